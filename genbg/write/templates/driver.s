| $title: a driver for the backdrop whose data lies in backdrop.s.
|
|   m68k-linux-gnu-as -m68000 -o driver.o driver.s
|
| driver.h says what each routine does. All of them take the address of a block in main memory on
| the stack and keep every register but d0, d1, a0, a1. Nothing else in main memory is touched. Only
| instructions of the 68000 are used, and words and longs are read and written at even addresses.

        .equ    VIDEO, 0xC00000         | data port of the video chip
        .equ    CONTROL, 0xC00004       | its control port

| Where each field of a block stands. ${name}_load fills in all of them.
        .equ    B_ABOUT, 0              | address of what the backdrop holds, as below
        .equ    B_MOOD, 4
        .equ    B_SPRITES, 6            | sprites of the frame
        .equ    B_AT, 8                 | frame that the moving colours are at
        .equ    B_SCRIPT, 12            | their next change
        .equ    B_END, 16               | end of their script
        .equ    B_GAP, 20               | the next gap in which colours are rewritten
        .equ    B_FRESH, 24             | 1: colour memory has to be sent again
        .equ    B_TOP, 26               | plane line at the screen's top, front and back; then lines
                                        | of a plane less one, lines of the screen
        .equ    B_X, 34
        .equ    B_Y, 38
        .equ    B_FRAME, 42
        .equ    B_LEFT, 46              | of the last sprite: ratio, drift, pixels left, lines up
        .equ    B_GAPS, 58              | address of the list of gaps
        .equ    B_UP, 62                | lines that the planes stand higher, front and back
        .equ    B_READY, 66             | 1: a frame has been worked out and not been sent
        .equ    B_DARK, 68              | 1: the screen has not been lit yet
        .equ    B_NEXT, 70              | address of the list of gaps of the next frame
        .equ    B_TURN, 74              | 1: it is made, and waits for the blank
        .equ    B_SCROLL, 76            | 240 pairs
        .equ    B_COLUMNS, 1036         | 20 pairs
        .equ    B_TABLE, 1116           | 80 sprites
        .equ    B_COLOURS, 1756         | 64 words, then those of the rewrites, then two lists of gaps

| Where each field of the table ${name}_about stands.
        .equ    A_REGISTERS, 0
        .equ    A_TILES, 4
        .equ    A_TILE_WORDS, 8
        .equ    A_TILES_AT, 12          | places in video memory; -1: there is none
        .equ    A_FRONT, 16
        .equ    A_FRONT_AT, 20
        .equ    A_BACK, 24
        .equ    A_BACK_AT, 28
        .equ    A_MAP_WORDS, 32
        .equ    A_WINDOW_AT, 36
        .equ    A_WINDOW_WORDS, 40
        .equ    A_BLANK_WORD, 42
        .equ    A_BLANK_AT, 44
        .equ    A_SPRITES_AT, 48
        .equ    A_SCROLL_AT, 52
        .equ    A_MOODS, 56
        .equ    A_SPLITS, 60
        .equ    A_SPLIT_WORDS, 64
        .equ    A_SPLIT_COUNT, 66
        .equ    A_MOTION, 68            | 0: no colour moves
        .equ    A_MOTION_STARTS, 72
        .equ    A_FRONT_RUNS, 76
        .equ    A_BACK_RUNS, 80
        .equ    A_WAVES, 84
        .equ    A_WAVE_COUNT, 88
        .equ    A_PIECE_COUNT, 90
        .equ    A_PIECES, 92
        .equ    A_COLUMNS, 96           | 0: no column moves by itself
        .equ    A_COLUMN_FRAMES, 100
        .equ    A_SPRITE_ROOM, 102
        .equ    A_RATIO_Y, 104          | front and back
        .equ    A_LINES, 112
        .equ    A_WIDTH, 114
        .equ    A_PLANE_LINES, 116
        .equ    A_PLANE_WIDTH, 118
        .equ    A_SCROLL_STEP, 120      | lines of a pair of scroll words: 1, 8, or 0 for all
        .equ    A_VERTICAL, 122         | pairs that move up and down: 0, 1 or 20
        .equ    A_ENDLESS, 124          | 1: sprites come again from below
        .equ    A_HOME, 126             | the mood of the preview
        .equ    A_MOOD_COUNT, 128
        .equ    A_GAP_BYTES, 130        | of a list of gaps

        .equ    LINE_END, 0x85          | columns from here on may belong to the line counted before
        .equ    PIECE, 16               | bytes of a sprite as a game places it

        .text
        .balign 2
        .globl  ${name}_load, ${name}_mood, ${name}_frame, ${name}_vblank, ${name}_line

| void ${name}_load(struct ${name}_block *block)
${name}_load:
        movem.l %d2-%d7/%a2-%a6,-(%sp)
        movea.l 48(%sp),%a5
        lea     ${name}_about,%a6
        move.l  %a6,(%a5)
        lea     CONTROL,%a4
        move.w  #0x8134,(%a4)           | dark, no interrupt, transfers allowed
        movea.l A_REGISTERS(%a6),%a0
        addq.l  #2,%a0                  | the first, which lights the screen, comes last
.Lregister:
        move.w  (%a0)+,%d0
        beq.s   .Lregistered
        move.w  %d0,(%a4)
        bra.s   .Lregister
.Lregistered:
        move.l  #0x40000080,%d5
        movea.l A_TILES(%a6),%a0
        move.l  A_TILE_WORDS(%a6),%d1
        move.l  A_TILES_AT(%a6),%d0
        bsr     .Lsend
        movea.l A_FRONT(%a6),%a0
        move.l  A_MAP_WORDS(%a6),%d1
        move.l  A_FRONT_AT(%a6),%d0
        bsr     .Lsend
        movea.l A_BACK(%a6),%a0
        move.l  A_MAP_WORDS(%a6),%d1
        move.l  A_BACK_AT(%a6),%d0
        bsr     .Lsend
        move.l  A_BLANK_AT(%a6),%d0
        moveq   #15,%d1
        moveq   #0,%d2
        bsr     .Lrepeat
        move.l  A_WINDOW_AT(%a6),%d0
        move.w  A_WINDOW_WORDS(%a6),%d1
        subq.w  #1,%d1
        move.w  A_BLANK_WORD(%a6),%d2
        bsr     .Lrepeat
        move.l  A_SPRITES_AT(%a6),%d0
        moveq   #3,%d1
        moveq   #0,%d2
        bsr     .Lrepeat                | no sprite yet
        move.l  #0x40000010,%d5
        moveq   #0,%d0
        moveq   #39,%d1
        moveq   #0,%d2
        bsr     .Lrepeat                | nothing stands higher yet
        moveq   #0,%d0
        lea     B_MOOD(%a5),%a0
        move.w  #(B_COLOURS-B_MOOD)/2-1,%d1
.Lempty:
        move.w  %d0,(%a0)+
        dbra    %d1,.Lempty
        move.w  A_PLANE_LINES(%a6),%d0
        subq.w  #1,%d0
        move.w  %d0,B_TOP+4(%a5)
        move.w  A_LINES(%a6),B_TOP+6(%a5)
        moveq   #0,%d0
        move.w  A_SPLIT_WORDS(%a6),%d0
        add.l   %d0,%d0
        lea     B_COLOURS+128(%a5),%a0
        adda.l  %d0,%a0
        move.l  %a0,B_GAPS(%a5)
        adda.w  A_GAP_BYTES(%a6),%a0
        move.l  %a0,B_NEXT(%a5)
        lea     .Lnothing(%pc),%a0
        move.l  %a0,B_GAP(%a5)          | no gap before the first blank
        move.w  A_HOME(%a6),%d0
        bsr     .Lpaint
        bsr     .Lplan
        move.w  #1,B_DARK(%a5)
        movem.l (%sp)+,%d2-%d7/%a2-%a6
        rts

| void ${name}_mood(struct ${name}_block *block, int mood)
${name}_mood:
        movem.l %d2-%d7/%a2-%a6,-(%sp)
        movea.l 48(%sp),%a5
        movea.l (%a5),%a6
        move.l  52(%sp),%d0
        cmp.w   A_MOOD_COUNT(%a6),%d0
        bcc.s   .Lunknown               | a mood that there is not changes nothing
        bsr     .Lpaint
        bsr     .Lplan
.Lunknown:
        movem.l (%sp)+,%d2-%d7/%a2-%a6
        rts

| void ${name}_frame(struct ${name}_block *block, int32_t camera_x, int32_t camera_y,
|                    uint32_t frame)
${name}_frame:
        movem.l %d2-%d7/%a2-%a6,-(%sp)
        movea.l 48(%sp),%a5
        movea.l (%a5),%a6
        move.l  52(%sp),B_X(%a5)
        move.l  56(%sp),B_Y(%a5)
        move.l  60(%sp),B_FRAME(%a5)
        clr.w   B_READY(%a5)
        bsr     .Lrise
        bsr     .Lslide
        bsr     .Lcolumns
        bsr     .Lsprites
        bsr     .Lcolours
        move.w  #1,B_READY(%a5)
        movem.l (%sp)+,%d2-%d7/%a2-%a6
        rts

| void ${name}_vblank(struct ${name}_block *block)
${name}_vblank:
        movem.l %d2-%d7/%a2-%a6,-(%sp)
        movea.l 48(%sp),%a5
        movea.l (%a5),%a6
        lea     CONTROL,%a4
        move.w  #0x8A00,(%a4)           | line interrupts at lines 0 and 1, which find the others
        tst.w   B_TURN(%a5)
        beq.s   .Lkept
        clr.w   B_TURN(%a5)
        move.l  B_GAPS(%a5),%d0
        move.l  B_NEXT(%a5),B_GAPS(%a5)
        move.l  %d0,B_NEXT(%a5)
.Lkept:
        move.l  B_GAPS(%a5),B_GAP(%a5)
        move.w  A_SPLIT_COUNT(%a6),%d0
        or.w    B_FRESH(%a5),%d0
        beq.s   .Lsame
        clr.w   B_FRESH(%a5)
        lea     B_COLOURS(%a5),%a0
        moveq   #64,%d1
        moveq   #0,%d0
        move.l  #0xC0000080,%d5
        bsr     .Lsend
.Lsame:
        tst.w   B_READY(%a5)
        beq.s   .Lplain                 | the frame is late: the one before stays
        clr.w   B_READY(%a5)
        bsr     .Lsend_scroll
        move.w  A_VERTICAL(%a6),%d1
        beq.s   .Llevel
        lea     B_COLUMNS(%a5),%a0
        add.w   %d1,%d1
        ext.l   %d1
        moveq   #0,%d0
        move.l  #0x40000090,%d5
        bsr     .Lsend
.Llevel:
        move.l  A_SPRITES_AT(%a6),%d0
        bmi.s   .Lshown
        lea     B_TABLE(%a5),%a0
        moveq   #0,%d1
        move.w  B_SPRITES(%a5),%d1
        bne.s   .Lsome
        moveq   #1,%d1                  | an empty table is one sprite above the screen
.Lsome:
        lsl.w   #2,%d1
        move.l  #0x40000080,%d5
        bsr     .Lsend
.Lshown:
        tst.w   B_DARK(%a5)
        beq.s   .Lplain
        clr.w   B_DARK(%a5)             | the first frame: the screen is lit
        movea.l A_REGISTERS(%a6),%a0
        move.w  (%a0),(%a4)
.Lplain:
        movem.l (%sp)+,%d2-%d7/%a2-%a6
        rts

| void ${name}_line(struct ${name}_block *block)
|
| A stretch of gaps, one line after the other: the interval to the line interrupt after the next, the
| number of gaps less one, and for each gap the line above it times 256, the number of its colours
| less one, and for each colour where it goes and what it is. The interrupt comes before the line
| above the first gap; the routine waits for each line to begin, then for the beam to go dark.
${name}_line:
        movem.l %d0-%d2/%a0-%a2,-(%sp)
        movea.l 28(%sp),%a2
        lea     CONTROL,%a1
        btst    #3,1(%a1)
        bne.s   .Lnone                  | an interrupt of the blank, which waited
        movea.l B_GAP(%a2),%a0
        move.w  (%a0)+,%d0
        beq.s   .Lnone                  | after the last gap
        move.w  %d0,(%a1)
        move.w  (%a0)+,%d2
        bmi.s   .Lgone                  | an interrupt that only sets up others
        lea     VIDEO,%a2
.Lsoon:
        move.w  4(%a1),%d0              | where the beam is: line, column
        cmpi.b  #LINE_END,%d0
        bcs.s   .Lcounted
        subi.w  #0x100,%d0              | the line is counted on before its end
.Lcounted:
        cmp.w   (%a0),%d0
        bcs.s   .Lsoon
        addq.l  #2,%a0
        move.w  (%a0)+,%d1
.Ldark:
        btst    #2,1(%a1)
        beq.s   .Ldark
.Lrewrite:
        move.l  (%a0)+,(%a1)
        move.w  (%a0)+,(%a2)
        dbra    %d1,.Lrewrite
        dbra    %d2,.Lsoon
        movea.l 28(%sp),%a2
.Lgone:
        move.l  %a0,B_GAP(%a2)
.Lnone:
        movem.l (%sp)+,%d0-%d2/%a0-%a2
        rts

.Lnothing:
        .long   0

| Sends d1 words from a0 to address d0 of the memory that d5 says. Changes d0 to d4, a0.
| A transfer may not pass a border of 128 KiB in main memory, so one that would becomes two.
.Lsend:
        move.l  %a0,%d2
        andi.l  #0x1FFFF,%d2
        neg.l   %d2
        addi.l  #0x20000,%d2
        lsr.l   #1,%d2                  | words up to the border
        sub.l   %d2,%d1
        bls.s   .Lnear
        move.l  %d1,-(%sp)
        move.l  %d2,%d1
        bsr.s   .Ltransfer
        move.l  (%sp)+,%d1
        moveq   #0,%d2
.Lnear:
        add.l   %d2,%d1
| The same where no border lies between. a0 and d0 go on by what was sent.
.Ltransfer:
        move.l  #0x94009300,%d3
        move.b  %d1,%d3
        move.w  %d1,%d2
        lsr.w   #8,%d2
        swap    %d3
        move.b  %d2,%d3
        move.l  %d3,(%a4)               | how many words
        move.l  %a0,%d2
        lsr.l   #1,%d2
        move.l  #0x96009500,%d3
        move.b  %d2,%d3
        lsr.l   #8,%d2
        swap    %d3
        move.b  %d2,%d3
        move.l  %d3,(%a4)               | where from
        lsr.w   #8,%d2
        andi.w  #0x7F,%d2
        ori.w   #0x9700,%d2
        move.w  %d2,(%a4)
        bsr.s   .Lplace
        move.l  %d2,-(%sp)
        move.w  (%sp)+,(%a4)
        move.w  (%sp)+,(%a4)            | the word that starts it has to come from main memory
        add.l   %d1,%d1
        adda.l  %d1,%a0
        add.l   %d1,%d0
        rts

| d2: the control word that points at address d0 of the memory that d5 says. Keeps the rest.
.Lplace:
        move.l  %d0,%d2
        lsl.l   #2,%d2
        lsr.w   #2,%d2
        swap    %d2
        or.l    %d5,%d2
        rts

| Writes d1 + 1 words d2 from address d0 on, by the processor; nothing where d0 is below 0.
| Changes d1, d3.
.Lrepeat:
        tst.l   %d0
        bmi.s   .Lnowhere
        move.w  %d2,%d3
        bsr.s   .Lplace
        andi.w  #0xFF7F,%d2
        move.l  %d2,(%a4)
.Lword:
        move.w  %d3,-4(%a4)
        dbra    %d1,.Lword
.Lnowhere:
        rts

| The lines that a game's screen needs of the scroll table: all, every eighth, or the first.
.Lsend_scroll:
        move.l  #0x40000080,%d5
        move.l  A_SCROLL_AT(%a6),%d0
        lea     B_SCROLL(%a5),%a0
        move.w  A_SCROLL_STEP(%a6),%d3
        cmpi.w  #8,%d3
        beq.s   .Lstrips
        moveq   #2,%d1
        tst.w   %d3
        beq.w   .Lsend
        moveq   #0,%d1
        move.w  A_LINES(%a6),%d1
        add.w   %d1,%d1
        bra.w   .Lsend
.Lstrips:
        move.w  A_LINES(%a6),%d1
        lsr.w   #3,%d1
        subq.w  #1,%d1
        bsr.s   .Lplace
        andi.w  #0xFF7F,%d2
        lea     VIDEO,%a1
.Lstrip:
        move.l  %d2,(%a4)
        move.l  (%a0),(%a1)
        lea     32(%a0),%a0
        addi.l  #0x200000,%d2
        dbra    %d1,.Lstrip
        rts

| Where the planes stand: lines that they are higher, and the line at the top of the screen.
.Lrise:
        tst.w   A_VERTICAL(%a6)
        beq.s   .Lrisen
        lea     A_RATIO_Y(%a6),%a0
        move.l  B_Y(%a5),%d6
        move.l  %d6,%d5
        swap    %d5
        bsr     .Lscale
        swap    %d2
        move.w  %d2,B_UP(%a5)
        and.w   B_TOP+4(%a5),%d2
        move.w  %d2,B_TOP(%a5)
        bsr     .Lscale
        swap    %d2
        move.w  %d2,B_UP+2(%a5)
        and.w   B_TOP+4(%a5),%d2
        move.w  %d2,B_TOP+2(%a5)
.Lrisen:
        rts

| The scroll table.
.Lslide:
        bsr.s   .Lcamera
        movea.l A_FRONT_RUNS(%a6),%a0
        lea     B_SCROLL(%a5),%a1
        movea.w A_LINES(%a6),%a3
        move.w  B_TOP(%a5),%d0
        bsr     .Lfill
        movea.l A_BACK_RUNS(%a6),%a0
        lea     B_SCROLL+2(%a5),%a1
        movea.w A_LINES(%a6),%a3
        move.w  B_TOP+2(%a5),%d0
        bsr     .Lfill
        move.w  A_WAVE_COUNT(%a6),%d6
        beq.s   .Lslid
        subq.w  #1,%d6
        movea.l A_WAVES(%a6),%a0
        lea     B_SCROLL(%a5),%a1
        lea     B_TOP(%a5),%a2
        move.l  B_FRAME(%a5),%d5
        bsr     .Lsway
.Lslid:
        rts

| d4, d7: frame; d5, d6: camera_x; as .Lfill takes them.
.Lcamera:
        move.l  B_X(%a5),%d6
        move.l  %d6,%d5
        swap    %d5
        move.l  B_FRAME(%a5),%d7
        move.l  %d7,%d4
        swap    %d4
        rts

| d1 = frame modulo the word d0; changes d2. Two divisions, the high word of the frame first.
.Lmodulo:
        move.l  B_FRAME(%a5),%d2
        moveq   #0,%d1
        swap    %d2
        move.w  %d2,%d1
        divu.w  %d0,%d1
        swap    %d2
        move.w  %d2,%d1
        divu.w  %d0,%d1
        swap    %d1
        rts

| What column scroll holds: how high the planes stand, and what each column adds.
.Lcolumns:
        move.w  A_VERTICAL(%a6),%d3
        beq.s   .Lcolumned
        subq.w  #1,%d3
        lea     B_COLUMNS(%a5),%a1
        move.w  B_UP(%a5),%d4
        move.w  B_UP+2(%a5),%d5
        move.w  #0x3FF,%d6
        move.w  A_COLUMN_FRAMES(%a6),%d0
        beq.s   .Lalike
        bsr.s   .Lmodulo
        mulu.w  #80,%d1
        movea.l A_COLUMNS(%a6),%a0
        adda.l  %d1,%a0
.Lcolumn:
        move.w  (%a0)+,%d0
        add.w   %d4,%d0
        and.w   %d6,%d0
        move.w  %d0,(%a1)+
        move.w  (%a0)+,%d0
        add.w   %d5,%d0
        and.w   %d6,%d0
        move.w  %d0,(%a1)+
        dbra    %d3,.Lcolumn
        rts
.Lalike:
        and.w   %d6,%d4
        and.w   %d6,%d5
.Lpair:
        move.w  %d4,(%a1)+
        move.w  %d5,(%a1)+
        dbra    %d3,.Lpair
.Lcolumned:
        rts

| The sprite table: those of the pieces that reach into the screen, the nearest first.
.Lsprites:
        clr.w   B_SPRITES(%a5)
        lea     B_TABLE(%a5),%a1
        clr.l   (%a1)                   | no sprite: one above the screen
        clr.l   4(%a1)
        move.w  A_PIECE_COUNT(%a6),%d3
        beq     .Lplaced
        movea.l A_PIECES(%a6),%a2
        move.w  %d3,-(%sp)
        bsr.w   .Lmeasure
.Lpiece:
        move.l  8(%a2),%d0
        cmp.l   B_LEFT(%a5),%d0
        bne.s   .Lother
        move.l  12(%a2),%d0
        cmp.l   B_LEFT+4(%a5),%d0
        beq.s   .Lalso
.Lother:
        bsr.w   .Lmeasure
.Lalso:
        move.w  2(%a2),%d1              | line
        sub.w   B_LEFT+10(%a5),%d1
        move.b  4(%a2),%d2
        moveq   #3,%d3
        and.w   %d2,%d3
        addq.w  #1,%d3
        lsl.w   #3,%d3                  | d3: lines that it takes
        tst.w   A_ENDLESS(%a6)
        beq.s   .Lstands
        add.w   %d3,%d1
        and.w   B_TOP+4(%a5),%d1
        sub.w   %d3,%d1
.Lstands:
        cmp.w   A_LINES(%a6),%d1
        bge.s   .Lunseen
        add.w   %d1,%d3
        ble.s   .Lunseen
        moveq   #12,%d3
        and.w   %d2,%d3
        addq.w  #4,%d3
        add.w   %d3,%d3                 | d3: pixels across
        neg.w   %d3
        move.w  (%a2),%d0               | column
        sub.w   B_LEFT+8(%a5),%d0
        move.w  A_PLANE_WIDTH(%a6),%d4
        subq.w  #1,%d4
        and.w   %d4,%d0
        addq.w  #1,%d4
        sub.w   %d4,%d0                 | a plane's width further left, then again and again
.Lcopy:
        cmp.w   A_WIDTH(%a6),%d0
        bge.s   .Lunseen
        cmp.w   %d3,%d0
        ble.s   .Lbeside
        move.w  B_SPRITES(%a5),%d5
        cmp.w   A_SPRITE_ROOM(%a6),%d5
        bcc.s   .Lcrowded
        addq.w  #1,%d5
        move.w  %d5,B_SPRITES(%a5)
        move.w  %d1,%d6
        addi.w  #128,%d6
        move.w  %d6,(%a1)+
        move.b  %d2,(%a1)+
        move.b  %d5,(%a1)+              | linked to the next
        move.w  6(%a2),(%a1)+
        move.w  %d0,%d6
        addi.w  #128,%d6
        move.w  %d6,(%a1)+
.Lbeside:
        add.w   %d4,%d0
        bra.s   .Lcopy
.Lunseen:
        lea     PIECE(%a2),%a2
        subq.w  #1,(%sp)
        bne.w   .Lpiece
.Lcrowded:
        addq.l  #2,%sp
        tst.w   B_SPRITES(%a5)
        beq.s   .Lplaced
        clr.b   -5(%a1)                 | the last one ends the list
.Lplaced:
        rts

| How far a piece at a2 has gone: left in B_LEFT + 8, up in B_LEFT + 10. Changes d0 to d7, a0.
.Lmeasure:
        bsr     .Lcamera
        lea     8(%a2),%a0
        move.l  (%a0),B_LEFT(%a5)
        move.l  4(%a0),B_LEFT+4(%a5)
        bsr     .Lmoved
        swap    %d2
        move.w  %d2,B_LEFT+8(%a5)
        clr.w   B_LEFT+10(%a5)
        tst.w   A_VERTICAL(%a6)
        beq.s   .Lmeasured
        move.l  B_Y(%a5),%d6
        move.l  %d6,%d5
        swap    %d5
        lea     8(%a2),%a0
        bsr     .Lscale
        swap    %d2
        move.w  %d2,B_LEFT+10(%a5)
.Lmeasured:
        rts

| Colours that move: brings memory's words and those of the rewrites to the frame.
.Lcolours:
        tst.l   A_MOTION(%a6)
        beq.s   .Lheld
        bsr.w   .Lbegin
        move.w  (%a1),%d0               | frames of a period
        bsr     .Lmodulo
        move.w  %d1,%d0
        cmp.w   B_AT+2(%a5),%d0
        beq.s   .Lheld
        bcc.s   .Lonward
        move.w  %d0,-(%sp)              | it begins again: from the mood on
        move.w  B_MOOD(%a5),%d0
        bsr.s   .Lpaint
        move.w  (%sp)+,%d0
.Lonward:
        move.w  %d0,B_AT+2(%a5)
        bsr.s   .Lchange
        tst.w   B_FRESH(%a5)
        bmi     .Lplan
.Lheld:
        rts

| a1: where the script of the block's mood begins; changes d1.
.Lbegin:
        move.w  B_MOOD(%a5),%d1
        add.w   %d1,%d1
        add.w   %d1,%d1
        movea.l A_MOTION_STARTS(%a6),%a1
        move.l  (%a1,%d1.w),%d1
        add.l   %d1,%d1
        movea.l A_MOTION(%a6),%a1
        adda.l  %d1,%a1
        rts

| Changes of all frames up to d0.
.Lchange:
        movea.l B_SCRIPT(%a5),%a0
        lea     B_COLOURS(%a5),%a1
.Lstep:
        cmpa.l  B_END(%a5),%a0
        bcc.s   .Lstepped
        cmp.w   (%a0),%d0
        bcs.s   .Lstepped
        addq.l  #2,%a0
        move.w  (%a0)+,%d1
        subq.w  #1,%d1
.Lcolour:
        move.w  (%a0)+,%d2
        cmpi.w  #64,%d2
        bcs.s   .Lplanes
        ori.w   #0x8000,B_FRESH(%a5)    | the list of gaps has to be made again
.Lplanes:
        add.w   %d2,%d2
        move.w  (%a0)+,(%a1,%d2.w)
        dbra    %d1,.Lcolour
        ori.w   #1,B_FRESH(%a5)
        bra.s   .Lstep
.Lstepped:
        move.l  %a0,B_SCRIPT(%a5)
        rts

| The colours of mood d0 as at the start. Changes d0 to d2, a0, a1.
.Lpaint:
        move.w  %d0,B_MOOD(%a5)
        move.w  %d0,%d2
        lsl.w   #7,%d0
        movea.l A_MOODS(%a6),%a0
        adda.w  %d0,%a0
        lea     B_COLOURS(%a5),%a1
        moveq   #31,%d1
.Lentry:
        move.l  (%a0)+,(%a1)+
        dbra    %d1,.Lentry
        move.w  A_SPLIT_WORDS(%a6),%d1
        beq.s   .Lpainted
        mulu.w  %d1,%d2
        add.l   %d2,%d2
        movea.l A_SPLITS(%a6),%a0
        adda.l  %d2,%a0
        subq.w  #1,%d1
.Lsplit:
        move.w  (%a0)+,(%a1)+
        dbra    %d1,.Lsplit
.Lpainted:
        move.w  #0x8001,B_FRESH(%a5)
        clr.l   B_AT(%a5)
        tst.l   A_MOTION(%a6)
        beq.s   .Lunmoved
        move.w  B_MOOD(%a5),%d1
        add.w   %d1,%d1
        add.w   %d1,%d1
        movea.l A_MOTION_STARTS(%a6),%a0
        adda.w  %d1,%a0
        move.l  4(%a0),%d1
        add.l   %d1,%d1
        add.l   A_MOTION(%a6),%d1
        move.l  %d1,B_END(%a5)
        bsr.w   .Lbegin
        addq.l  #2,%a1
        tst.w   (%a1)                   | what frame 0 changes is so from the start
        bne.s   .Lscripted
        move.w  2(%a1),%d1
        add.w   %d1,%d1
        add.w   %d1,%d1
        lea     4(%a1,%d1.w),%a1
.Lscripted:
        move.l  %a1,B_SCRIPT(%a5)
.Lunmoved:
        rts

| The list of gaps, from the rewrites. Two interrupts at lines 0 and 1 come first, as the interval
| that one of them sets is that to the interrupt after the next. Changes d0 to d6, a0 to a4.
.Lplan:
        andi.w  #0x7FFF,B_FRESH(%a5)
        move.w  A_SPLIT_COUNT(%a6),%d6
        beq.s   .Lplanned
        lea     B_COLOURS+128(%a5),%a0
        movea.l B_NEXT(%a5),%a1
        move.w  #1,B_TURN(%a5)
        move.l  #0x8AFFFFFF,%d5         | no interrupt after the next, no colour
        movea.l %a1,%a2
        move.l  %d5,(%a1)+              | line 0
        movea.l %a1,%a3
        move.l  %d5,(%a1)+              | line 1
        moveq   #1,%d3                  | line of the last interrupt
        moveq   #-1,%d4                 | line below the last gap
.Lgap:
        move.w  (%a0)+,%d0              | line
        move.w  (%a0)+,%d1              | first entry
        move.w  (%a0)+,%d2              | count
        cmp.w   %d4,%d0
        beq.s   .Lmore
        addq.w  #1,%d4
        cmp.w   %d4,%d0
        beq.s   .Lnext
        move.w  %d0,%d5                 | a stretch begins
        subq.w  #1,%d5                  | its interrupt comes before the line above
        move.w  %d5,%d4
        sub.w   %d3,%d4
        move.w  %d5,%d3
        subq.w  #1,%d4
        bpl.s   .Lapart
        moveq   #0,%d4
.Lapart:
        move.b  %d4,1(%a2)              | of the stretch before the last
        movea.l %a3,%a2
        movea.l %a1,%a3
        move.l  #0x8AFFFFFF,(%a1)+
.Lnext:
        move.w  %d0,%d4
        addq.w  #1,2(%a3)
        subq.w  #1,%d0
        lsl.w   #8,%d0
        move.w  %d0,(%a1)+
        movea.l %a1,%a4
        move.w  #-1,(%a1)+
.Lmore:
        add.w   %d2,(%a4)
        subq.w  #1,%d2
        add.w   %d1,%d1
        addi.w  #0xC000,%d1
.Lput:
        move.w  %d1,(%a1)+              | where it goes
        clr.w   (%a1)+
        move.w  (%a0)+,(%a1)+
        addq.w  #2,%d1
        dbra    %d2,.Lput
        subq.w  #1,%d6
        bne.s   .Lgap
        clr.w   (%a1)
.Lplanned:
        rts

$motion
$about