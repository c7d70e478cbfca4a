
| Takes the waves' offsets from the words of a scroll table.
|   a0  waves; a1  table; d5  frame; d6  waves, less one
|   a2  four words: plane line at the top for front and back, lines of a plane less one, lines of
|       the screen
| A line's phase is (frame % frames) * 65536 / frames + line * step, modulo 65536; its upper 8 bits
| say which offset counts. The remainder comes from two divisions, high word of the frame first.
| Changes d0 to d4, d6, d7, a0, a3, a4.
.Lsway:
        moveq   #0,%d1
        move.l  %d5,%d0
        swap    %d0
        move.w  %d0,%d1
        move.w  6(%a0),%d2              | frames of a period
        divu.w  %d2,%d1
        move.w  %d5,%d1
        divu.w  %d2,%d1
        clr.w   %d1                     | the remainder times 65536
        divu.w  %d2,%d1                 | d1: phase of the frame
        move.w  2(%a0),%d0              | first line
        move.w  %d0,%d3
        mulu.w  8(%a0),%d3
        add.w   %d3,%d1                 | d1: phase of the first line
        move.w  (%a0),%d2
        add.w   %d2,%d2
        sub.w   (%a2,%d2.w),%d0
        and.w   4(%a2),%d0              | d0: where it stands, counted from the line at the top
        lea     (%a1,%d2.w),%a3
        move.w  %d0,%d2
        add.w   %d2,%d2
        add.w   %d2,%d2
        adda.w  %d2,%a3                 | a3: its first word
        move.w  %d1,%d7
        move.w  4(%a0),%d4              | lines
        move.w  6(%a2),%d2
        sub.w   %d0,%d2                 | lines of the screen from there on
        bls.s   .Lbelow
        cmp.w   %d2,%d4
        bls.s   .Lwhole
        move.w  %d2,%d4
.Lwhole:
        bsr.s   .Lstretch
.Lbelow:
        sub.w   4(%a2),%d0
        subq.w  #1,%d0
        add.w   4(%a0),%d0              | lines that come again at the top of the screen
        ble.s   .Lonce
        move.w  4(%a0),%d7
        sub.w   %d0,%d7
        mulu.w  8(%a0),%d7
        add.w   %d1,%d7
        move.w  6(%a2),%d4
        cmp.w   %d4,%d0
        bcc.s   .Lfull
        move.w  %d0,%d4
.Lfull:
        move.w  (%a0),%d2
        add.w   %d2,%d2
        lea     (%a1,%d2.w),%a3
        bsr.s   .Lstretch
.Lonce:
        lea     266(%a0),%a0
        dbra    %d6,.Lsway
        rts

| d4 lines from the word at a3 on; d7: phase of the first. Changes d2 to d4, d7, a3, a4.
.Lstretch:
        lea     10(%a0),%a4
        subq.w  #1,%d4
.Lswing:
        move.w  %d7,%d2
        lsr.w   #8,%d2
        move.b  (%a4,%d2.w),%d2
        ext.w   %d2
        move.w  (%a3),%d3
        sub.w   %d2,%d3
        andi.w  #0x3FF,%d3
        move.w  %d3,(%a3)+
        addq.l  #2,%a3
        add.w   8(%a0),%d7
        dbra    %d4,.Lswing
        rts
