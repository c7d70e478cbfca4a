
| Takes the waves' offsets from the words of the table. Keeps no register but a7.
|
| A line's phase is (frame % frames) * 65536 / frames + line * step, modulo 65536; its upper 8 bits
| say which offset counts. The remainder comes from two divisions, high word of the frame first.
backdrop_sway:
        lea     backdrop_waves,%a0
        move.w  #BACKDROP_WAVES-1,%d6
        move.l  40(%sp),%d5             | frame
.Lwave:
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
        add.w   %d3,%d1                 | d1: phase of the line
        move.l  32(%sp),%a1
        add.w   %d0,%d0
        add.w   (%a0),%d0               | its plane
        add.w   %d0,%d0
        adda.w  %d0,%a1
        move.w  4(%a0),%d3              | lines
        subq.w  #1,%d3
        move.w  8(%a0),%d2              | step
        lea     10(%a0),%a0
.Lsway:
        move.w  %d1,%d0
        lsr.w   #8,%d0
        move.b  (%a0,%d0.w),%d0
        ext.w   %d0
        move.w  (%a1),%d4
        sub.w   %d0,%d4
        andi.w  #0x3FF,%d4
        move.w  %d4,(%a1)+
        addq.l  #2,%a1
        add.w   %d2,%d1
        dbra    %d3,.Lsway
        lea     256(%a0),%a0
        dbra    %d6,.Lwave
        rts
