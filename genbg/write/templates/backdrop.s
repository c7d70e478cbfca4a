| $title: the data of a backdrop for the GNU assembler.
|
|   m68k-linux-gnu-as -m68000 -o backdrop.o backdrop.s
|
| backdrop.h says what each table holds; it declares the same names for C. Only instructions of the
| 68000 are used, and words and longs are read and written at even addresses only.

$constants

        .section .rodata

$data

| void ${name}_scroll(uint16_t *table, int32_t camera_x, uint32_t frame$more)
|
| Fills a line-scroll table in main memory: pairs of words, front plane then back plane.
|
|   word = (-floor(ratio * camera_x + drift * frame)) & 0x3FF, less the offsets of waves, if any
|
| Arguments on the stack, longs, as a C compiler passes them (leftmost at the lowest address):
|   table     even address of ${NAME}_LINES * 4 bytes
|   camera_x  signed 16.16 pixels, the whole range
|   frame     unsigned, counts from 0, all 32 bits
$about_y| Changes d0, d1, a0, a1 and the condition codes; keeps every other register. Returns nothing.

        .text
        .balign 2
        .globl  ${name}_scroll
${name}_scroll:
        movem.l %d2-%d7/%a2-%a4,-(%sp)
        move.w  #${NAME}_LINES,-(%sp)
        move.w  #${NAME}_PLANE_ROWS*8-1,-(%sp)
        clr.l   -(%sp)                  | plane line at the top: front, back
$rise        move.l  52(%sp),%d6             | camera_x
        move.l  %d6,%d5
        swap    %d5                     | d5: its whole pixels, d6: its fraction
        move.l  56(%sp),%d7             | frame
        move.l  %d7,%d4
        swap    %d4                     | d4: its high word, d7: its low word
        lea     ${name}_front_runs,%a0
        movea.l 48(%sp),%a1
        movea.w #${NAME}_LINES,%a3
        move.w  (%sp),%d0
        bsr.s   .Lfill
        lea     ${name}_back_runs,%a0
        movea.l 48(%sp),%a1
        addq.l  #2,%a1
        movea.w #${NAME}_LINES,%a3
        move.w  2(%sp),%d0
        bsr.s   .Lfill
${sway_call}        addq.l  #8,%sp
        movem.l (%sp)+,%d2-%d7/%a2-%a4
        rts

$motion