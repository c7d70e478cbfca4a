/* $title: backdrop for a 16-bit tile console.
 *
 * Link either backdrop.s or backdrop.c: both hold the same data under the same names. Everything
 * is big-endian on the console and begins at an even address. Pattern numbers in the maps and in
 * the sprites already count from BACKDROP_TILE_BASE, so load the patterns at
 * BACKDROP_TILES_ADDRESS and copy the rest as it stands.
 */
#ifndef BACKDROP_H
#define BACKDROP_H

#include <stdint.h>

$constants

/* Patterns, one long a row of 8 pixels, 4 bits a pixel, the left pixel in the highest bits. */
extern const uint32_t backdrop_tiles[BACKDROP_TILES * 8];

/* Map words of the two planes, row after row. */
extern const uint16_t backdrop_front_map[BACKDROP_PLANE_ROWS * BACKDROP_PLANE_COLUMNS];
extern const uint16_t backdrop_back_map[BACKDROP_PLANE_ROWS * BACKDROP_PLANE_COLUMNS];

/* Colour memory: 0000 BBB0 GGG0 RRR0, four rows of 16. The first is the mood shown in the preview;
 * then all moods one after the other, in the order of the BACKDROP_MOOD_ constants. */
extern const uint16_t backdrop_palette[64];
extern const uint16_t backdrop_moods[BACKDROP_MOODS * 64];

/* A screen line after the other: front ratio, back ratio (pixels for a camera pixel), front drift,
 * back drift (pixels a frame), signed 16.16. */
extern const int32_t backdrop_speeds[BACKDROP_LINES * 4];

/* The same speeds as runs of neighbouring lines that move alike; a run of 0 lines ends the list. */
struct backdrop_run {
    uint16_t lines;
    int32_t ratio;
    int32_t drift;
};
extern const struct backdrop_run backdrop_front_runs[BACKDROP_FRONT_RUNS + 1];
extern const struct backdrop_run backdrop_back_runs[BACKDROP_BACK_RUNS + 1];
$optional
/* Fills a line-scroll table in main memory: BACKDROP_LINES pairs of words, front then back.
 *
 *   word = (-floor(ratio * camera_x + drift * frame)) & 0x3FF, less the offsets of waves, if any
 *
 * table: at an even address, BACKDROP_LINES * 4 bytes
 * camera_x: signed 16.16 pixels, the whole range: -32768 to 32767 and 65535/65536
 * frame: counts from 0; all 32 bits
 *
 * The word is exact for every camera_x and frame in these ranges. Copy the table to
 * BACKDROP_SCROLL_TABLE_ADDRESS in the vertical blank. */
void backdrop_scroll(uint16_t *table, int32_t camera_x, uint32_t frame);

#endif
