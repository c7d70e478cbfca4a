| The stage: a program that shows a backdrop from power-on, for a bootable image.
|
| The table `stage_about`, as the driver has it, follows the program; after it come longs and words of
| the preview (the P_ fields) and the data. In play the preview's frames come one after the other. With
| a pad: left, right, up and down move the camera, faster with A; B shows the next mood; C stops, and
| steps on by a frame; START goes back to the preview.

        .equ    BLOCK, 0xFF0000
        .equ    SHOWN, 0xFFFD00         | not 0 once the blank has come
        .equ    P_STEP, 132             | camera_x of a frame
        .equ    P_HEIGHTS, 136          | camera_y of every frame; 0: always 0
        .equ    P_FRAMES, 140
        .equ    P_RETURNS, 142          | 1: back again after the last frame
        .equ    PADS, 0xA10003          | data of the first pad

        .section .text, "ax"
vectors:
        .long   0x00FFFC00, start
        .rept   26
        .long   stop
        .endr
        .long   line_interrupt          | level 4
        .long   stop
        .long   frame_interrupt         | level 6
        .rept   33
        .long   stop
        .endr
header:
        .space  256

start:
        move    #0x2700,%sr
        move.b  0xA10001,%d0
        andi.b  #15,%d0
        beq.s   .Lopen
        move.l  0x100,0xA14000          | boards of later make want the header's first word
.Lopen:
        move.w  #0x100,0xA11100         | the sound processor stays off the bus
        move.w  #0x100,0xA11200
        move.b  #0x40,0xA10009          | the pad's select line is ours
        move.b  #0x40,PADS
        lea     0xC00011,%a0
        move.b  #0x9F,(%a0)             | four voices silent
        move.b  #0xBF,(%a0)
        move.b  #0xDF,(%a0)
        move.b  #0xFF,(%a0)
        tst.w   0xC00004
        pea     BLOCK
        bsr     stage_load
        addq.l  #4,%sp
        lea     stage_about,%a6
        moveq   #0,%d7                  | d7: frame of the preview, or of the game's clock
        moveq   #1,%d6                  | d6: 1 forward, -1 back
        moveq   #0,%d5                  | d5: camera_x
        moveq   #0,%d4                  | d4: camera_y
        moveq   #0,%d3                  | d3: 0 in play, 1 by hand, 2 stopped
        moveq   #0,%d2                  | d2: buttons down, a bit each: START A C B right left down up
.Lleave_blank:
        cmpi.b  #224,0xC00008           | line of the beam
        bcc.s   .Lleave_blank
.Lawait_blank:
        cmpi.b  #224,0xC00008
        bcs.s   .Lawait_blank
        move    #0x2300,%sr             | interrupts that wait come now, in the blank
        bra.s   .Lshow

| Each turn: the frame is worked out, shown in the blank, then the pad says what comes next.
.Lturn:
        bsr     read_pad
        bsr     next
.Lshow:
        move.l  %d7,-(%sp)
        move.l  %d4,-(%sp)
        move.l  %d5,-(%sp)
        pea     BLOCK
        bsr     stage_frame
        lea     16(%sp),%sp
        clr.b   SHOWN
.Lwait:
        stop    #0x2300                 | lines interrupt, too
        tst.b   SHOWN
        beq.s   .Lwait
        bra.s   .Lturn

frame_interrupt:
        movem.l %d0-%d1/%a0-%a1,-(%sp)
        pea     BLOCK
        bsr     stage_vblank
        addq.l  #4,%sp
        st      SHOWN
        movem.l (%sp)+,%d0-%d1/%a0-%a1
        rte

line_interrupt:
        pea     BLOCK
        bsr     stage_line
        addq.l  #4,%sp
        rte

stop:
        bra.s   stop

| d2: buttons down; d1: those that were not down before.
read_pad:
        lea     PADS,%a0
        move.b  #0x40,(%a0)
        nop
        nop
        move.b  (%a0),%d0
        move.b  #0,(%a0)
        nop
        nop
        move.b  (%a0),%d1
        move.b  #0x40,(%a0)
        andi.b  #0x3F,%d0
        lsl.b   #2,%d1
        andi.b  #0xC0,%d1
        or.b    %d1,%d0
        not.b   %d0
        move.b  %d2,%d1
        not.b   %d1
        and.b   %d0,%d1
        move.b  %d0,%d2
        rts

| What comes next: in d3 to d7. Changes d0, d1, a0.
next:
        btst    #4,%d1
        beq.s   .Lsame_mood
        move.l  %d1,-(%sp)
        moveq   #0,%d0
        move.w  BLOCK+4,%d0
        addq.w  #1,%d0
        cmp.w   128(%a6),%d0
        bcs.s   .Lmood
        moveq   #0,%d0
.Lmood:
        move.l  %d0,-(%sp)
        pea     BLOCK
        bsr     stage_mood
        addq.l  #8,%sp
        move.l  (%sp)+,%d1
.Lsame_mood:
        tst.b   %d1
        bpl.s   .Lno_start
        moveq   #0,%d3
        moveq   #0,%d7
        moveq   #1,%d6
        bra     .Lplace_camera
.Lno_start:
        btst    #5,%d1
        beq.s   .Lno_step
        cmpi.b  #2,%d3
        beq.s   .Lplay_step             | stopped: one frame on
        moveq   #2,%d3
        rts
.Lno_step:
        moveq   #15,%d0
        and.b   %d2,%d0
        bne.s   .Lby_hand
        tst.b   %d3
        beq.s   .Lplay
        subq.b  #1,%d3
        beq.s   .Lclock
        addq.b  #1,%d3
        rts                             | stopped
.Lclock:
        moveq   #1,%d3
        addq.l  #1,%d7
        rts
.Lby_hand:
        moveq   #1,%d3
        addq.l  #1,%d7
        move.l  #0x20000,%d0
        btst    #6,%d2
        beq.s   .Lslow
        lsl.l   #2,%d0
.Lslow:
        btst    #3,%d2
        beq.s   .Lnot_right
        add.l   %d0,%d5
.Lnot_right:
        btst    #2,%d2
        beq.s   .Lnot_left
        sub.l   %d0,%d5
.Lnot_left:
        tst.w   122(%a6)
        beq.s   .Lflat_scene
        btst    #1,%d2
        beq.s   .Lnot_down
        add.l   %d0,%d4
.Lnot_down:
        btst    #0,%d2
        beq.s   .Lflat_scene
        sub.l   %d0,%d4
        bcc.s   .Lflat_scene
        moveq   #0,%d4
.Lflat_scene:
        rts
.Lplay_step:
.Lplay:
        cmpi.w  #1,P_FRAMES(%a6)
        beq.s   .Lplace_camera
        add.l   %d6,%d7
        bmi.s   .Lturn_up
        cmp.w   P_FRAMES(%a6),%d7
        bcs.s   .Lplace_camera
        tst.w   P_RETURNS(%a6)
        bne.s   .Lturn_back
        moveq   #0,%d7
        bra.s   .Lplace_camera
.Lturn_back:
        moveq   #-1,%d6
        subq.l  #2,%d7
        bra.s   .Lplace_camera
.Lturn_up:
        moveq   #1,%d6
        moveq   #1,%d7
.Lplace_camera:
        move.l  P_STEP(%a6),%d0
        move.w  %d0,%d5
        mulu.w  %d7,%d5
        swap    %d0
        mulu.w  %d7,%d0
        swap    %d0
        clr.w   %d0
        add.l   %d0,%d5
        move.l  P_HEIGHTS(%a6),%d0
        beq.s   .Lheld_up
        movea.l %d0,%a0
        move.w  %d7,%d0
        add.w   %d0,%d0
        add.w   %d0,%d0
        move.l  (%a0,%d0.w),%d4
.Lheld_up:
        rts

$driver
        .balign 4
stage_about:
