| Fills every second word of a scroll table with the runs of one plane, from the line at its top on.
|   a0  runs; a1  the plane's first word; a3  lines of the screen; d0  plane line at the top
|   d4, d7  high and low word of the frame; d5, d6  whole pixels and fraction of camera_x
| Changes d0 to d3 and a0 to a4; keeps the rest.
.Lfill:
        move.l  %a0,%a2
.Lpass:
        move.w  (%a0),%d1               | lines of a run; 0 ends the list
        cmp.w   %d1,%d0
        bcs.s   .Lrun
        sub.w   %d1,%d0
        lea     10(%a0),%a0
        bra.s   .Lpass
.Lrun:
        move.w  (%a0)+,%d3
        sub.w   %d0,%d3                 | lines of the run from here on
        move.w  %a3,%d1
        cmp.w   %d1,%d3
        bls.s   .Lfits
        move.w  %d1,%d3                 | no more than the screen has left
.Lfits:
        sub.w   %d3,%d1
        movea.w %d1,%a3
        movea.w %d3,%a4
        bsr.s   .Lmoved
        swap    %d2                     | whole pixels
        neg.w   %d2
        andi.w  #0x3FF,%d2
        move.w  %a4,%d3
        subq.w  #1,%d3
.Lline:
        move.w  %d2,(%a1)+
        addq.l  #2,%a1
        dbra    %d3,.Lline
        move.w  %a3,%d1
        beq.s   .Lfilled
        moveq   #0,%d0
        tst.w   (%a0)
        bne.s   .Lrun
        movea.l %a2,%a0                 | a plane begins again after its last line
        bra.s   .Lrun
.Lfilled:
        rts

| d2 = ratio * camera + drift * frame, 16.16, its low 32 bits; ratio and drift are read at a0, which
| goes past them. Takes d4 to d7 as .Lfill does. Changes d0, d1, d3.
|
| How it is exact: ratio and camera are 16.16, so their product has 32 bits of fraction. Its bits
| 16 to 47 are summed from four products of 16-bit halves; lower bits cannot reach a whole pixel
| (drift * frame has none of them) and higher ones leave the word. So 32 bits hold all that counts,
| and every sum may overflow them freely.
.Lmoved:
        bsr.s   .Lscale
        move.l  (%a0)+,%d0
        beq.s   .Lstill
        move.w  %d0,%d1
        mulu.w  %d7,%d1                 | low * frame's low word
        add.l   %d1,%d2
        move.w  %d0,%d1
        mulu.w  %d4,%d1                 | low * frame's high word
        swap    %d0
        mulu.w  %d7,%d0                 | high * frame's low word
        add.l   %d0,%d1
        swap    %d1
        clr.w   %d1
        add.l   %d1,%d2
.Lstill:
        rts

| d2 = ratio * camera, as above; the ratio is read at a0, which goes past it.
.Lscale:
        move.w  (%a0)+,%d0              | high half of the ratio
        move.w  (%a0)+,%d1              | low half
        move.w  %d1,%d2
        mulu.w  %d6,%d2                 | low * fraction
        clr.w   %d2
        swap    %d2
        move.w  %d1,%d3
        mulu.w  %d5,%d3                 | low * whole pixels
        add.l   %d3,%d2
        tst.w   %d5
        bpl.s   .Lahead
        swap    %d1                     | whole pixels below 0 were read 65536 too large
        clr.w   %d1
        sub.l   %d1,%d2
.Lahead:
        tst.w   %d0
        beq.s   .Lscaled                | most ratios lie between 0 and 1
        move.w  %d0,%d3
        mulu.w  %d6,%d3                 | high * fraction
        add.l   %d3,%d2
        move.w  %d0,%d3
        mulu.w  %d5,%d3                 | high * whole pixels
        swap    %d3
        clr.w   %d3
        add.l   %d3,%d2
        tst.w   %d0
        bpl.s   .Lscaled
        move.w  %d6,%d3                 | a ratio below 0 was read 65536 too large
        swap    %d3
        clr.w   %d3
        sub.l   %d3,%d2
.Lscaled:
        rts
