| $title: the data of a backdrop for the GNU assembler.
|
|   m68k-linux-gnu-as -m68000 -o backdrop.o backdrop.s
|
| backdrop.h says what each table holds; it declares the same names for C. Only instructions of the
| 68000 are used, and words and longs are read and written at even addresses only.

$constants

        .section .rodata

$data

| void backdrop_scroll(uint16_t *table, int32_t camera_x, uint32_t frame)
|
| Fills a line-scroll table in main memory: pairs of words, front plane then back plane.
|
|   word = (-floor(ratio * camera_x + drift * frame)) & 0x3FF, less the offsets of waves, if any
|
| Arguments on the stack, longs, as a C compiler passes them (leftmost at the lowest address):
|   table     even address of BACKDROP_LINES * 4 bytes
|   camera_x  signed 16.16 pixels, the whole range
|   frame     unsigned, counts from 0, all 32 bits
| Changes d0, d1, a0, a1 and the condition codes; keeps every other register. Returns nothing.
|
| How it is exact: ratio and camera_x are 16.16, so their product has 32 bits of fraction. Its bits
| 16 to 47 are summed from four products of 16-bit halves; lower bits cannot reach a whole pixel
| (drift * frame has none of them) and higher ones leave the table's 10 bits. So 32 bits hold all
| that counts, and every sum may overflow them freely.

        .text
        .balign 2
        .globl  backdrop_scroll
backdrop_scroll:
        movem.l %d2-%d7,-(%sp)
        move.l  32(%sp),%d6             | camera_x
        move.l  %d6,%d5
        swap    %d5                     | d5: its whole pixels, d6: its fraction
        move.l  36(%sp),%d7             | frame
        move.l  %d7,%d4
        swap    %d4                     | d4: its high word, d7: its low word
        move.l  28(%sp),%a1
        lea     backdrop_front_runs,%a0
        bsr.s   backdrop_fill
        move.l  28(%sp),%a1
        addq.l  #2,%a1
        lea     backdrop_back_runs,%a0
        bsr.s   backdrop_fill
${sway_call}        movem.l (%sp)+,%d2-%d7
        rts

| Fills every second word from a1 on with the runs at a0. Keeps d4 to d7.
backdrop_fill:
        move.w  (%a0)+,%d0              | lines of the run; 0 ends the list
        beq.s   .Ldone
        move.w  (%a0)+,%d0              | d0: high half of the ratio
        move.w  (%a0)+,%d1              | d1: low half
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
        beq.s   .Ldrift                 | most ratios lie between 0 and 1
        move.w  %d0,%d3
        mulu.w  %d6,%d3                 | high * fraction
        add.l   %d3,%d2
        move.w  %d0,%d3
        mulu.w  %d5,%d3                 | high * whole pixels
        swap    %d3
        clr.w   %d3
        add.l   %d3,%d2
        tst.w   %d0
        bpl.s   .Ldrift
        move.w  %d6,%d3                 | a ratio below 0 was read 65536 too large
        swap    %d3
        clr.w   %d3
        sub.l   %d3,%d2
.Ldrift:
        move.l  (%a0)+,%d0
        beq.s   .Lword
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
.Lword:
        swap    %d2                     | whole pixels
        neg.w   %d2
        andi.w  #0x3FF,%d2
        move.w  -10(%a0),%d3
        subq.w  #1,%d3
.Lline:
        move.w  %d2,(%a1)+
        addq.l  #2,%a1
        dbra    %d3,.Lline
        bra.s   backdrop_fill
.Ldone:
        rts
$sway