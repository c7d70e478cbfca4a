/* $title: backdrop for a 16-bit tile console.
 *
 * Link either backdrop.s or backdrop.c: both hold the same data under the same names. Everything
 * is big-endian on the console and begins at an even address. Pattern numbers in the maps and in
 * the sprites already count from ${NAME}_TILE_BASE, so load the patterns at
 * ${NAME}_TILES_ADDRESS and copy the rest as it stands.
 */
#ifndef ${NAME}_H
#define ${NAME}_H

#include <stdint.h>

$constants

/* Patterns, one long a row of 8 pixels, 4 bits a pixel, the left pixel in the highest bits. */
extern const uint32_t ${name}_tiles[${NAME}_TILES * 8];

/* Words that set the video chip's registers, the one that lights the screen first; 0 ends them. */
extern const uint16_t ${name}_registers[];

/* Map words of the two planes, row after row. */
extern const uint16_t ${name}_front_map[${NAME}_PLANE_ROWS * ${NAME}_PLANE_COLUMNS];
extern const uint16_t ${name}_back_map[${NAME}_PLANE_ROWS * ${NAME}_PLANE_COLUMNS];

/* Colour memory: 0000 BBB0 GGG0 RRR0, four rows of 16. The first is the mood shown in the preview;
 * then all moods one after the other, in the order of the ${NAME}_MOOD_ constants. */
extern const uint16_t ${name}_palette[64];
extern const uint16_t ${name}_moods[${NAME}_MOODS * 64];

/* A screen line after the other: front ratio, back ratio (pixels for a camera pixel), front drift,
 * back drift (pixels a frame), signed 16.16. */
extern const int32_t ${name}_speeds[${NAME}_LINES * 4];

$runs_of/* The same speeds as runs of neighbouring lines that move alike; a run of 0 lines ends the list. */
struct ${name}_run {
    uint16_t lines;
    int32_t ratio;
    int32_t drift;
};
extern const struct ${name}_run ${name}_front_runs[${NAME}_FRONT_RUNS + 1];
extern const struct ${name}_run ${name}_back_runs[${NAME}_BACK_RUNS + 1];
$optional
/* Fills a line-scroll table in main memory: ${NAME}_LINES pairs of words, front then back.
 *
 *   word = (-floor(ratio * camera_x + drift * frame)) & 0x3FF, less the offsets of waves, if any
 *
 * table: at an even address, ${NAME}_LINES * 4 bytes
 * camera_x: signed 16.16 pixels, the whole range: -32768 to 32767 and 65535/65536
 * frame: counts from 0; all 32 bits
$about_y *
 * The word is exact for every camera and frame in these ranges. Copy the table to
 * ${NAME}_SCROLL_TABLE_ADDRESS in the vertical blank. */
void ${name}_scroll(uint16_t *table, int32_t camera_x, uint32_t frame$more);

#endif
