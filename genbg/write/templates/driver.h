/* $title: the driver, see also backdrop.h.
 *
 * Link driver.s or driver.c with backdrop.s or backdrop.c. Every routine takes a block of main
 * memory, ${NAME}_BLOCK_BYTES bytes at an even address, which ${name}_load fills in; the driver keeps
 * nothing anywhere else. It writes to the video chip's ports, so a game that writes there, too, does
 * so in the blank, or with interrupts off where there are line interrupts.
 */
#ifndef ${NAME}_DRIVER_H
#define ${NAME}_DRIVER_H

#include "backdrop.h"

/* A block; a game reads no more of it than these. */
struct ${name}_block {
    const void *about;
    uint16_t mood;
    uint16_t sprites; /* of the frame; the last one's link is 0, and a game's own may follow it */
    uint8_t rest[${NAME}_BLOCK_BYTES - 8];
};

/* Darkens the screen and loads everything: registers, patterns, maps, the window's map. Interrupts
 * have to be off. The screen is lit in the blank after the first frame. */
void ${name}_load(struct ${name}_block *block);

/* Shows another mood, one of the ${NAME}_MOOD_ constants, from the next blank on. */
void ${name}_mood(struct ${name}_block *block, int32_t mood);

/* Works out a frame, in main memory alone. camera_x, camera_y: signed 16.16 pixels; frame: counts
 * from 0. */
void ${name}_frame(struct ${name}_block *block, int32_t camera_x, int32_t camera_y, uint32_t frame);

/* In every blank, from the frame interrupt: sends what the last frame changed. A frame that is not
 * ready is left out, and the one before stays. */
void ${name}_vblank(struct ${name}_block *block);

/* From the line interrupt, which comes only where colours are rewritten down the screen. Returns
 * after the last of a stretch of lines with rewrites. */
void ${name}_line(struct ${name}_block *block);

#endif
