/* $title: the data of a backdrop in C99. See backdrop.h. */
#include "backdrop.h"

$data

/* The product of two 16-bit numbers: one multiply instruction on a 16-bit processor. */
static uint32_t product(uint32_t a, uint32_t b)
{
    return (uint32_t)(uint16_t)a * (uint16_t)b;
}

/* floor(ratio * camera_x / 65536) modulo 2^32: the product of two signed 16.16 numbers as 16.16.
 *
 * Both are cut into a signed high and an unsigned low half. A negative high half, read as unsigned,
 * is 65536 too large; what that adds to the product is taken away again. */
static uint32_t scale(int32_t ratio, int32_t camera_x)
{
    uint32_t r = (uint32_t)ratio, c = (uint32_t)camera_x;
    uint32_t result = product(r, c) >> 16;
    result += product(r, c >> 16) + product(r >> 16, c);
    result += product(r >> 16, c >> 16) << 16;
    if (ratio < 0) {
        result -= c << 16;
    }
    if (camera_x < 0) {
        result -= r << 16;
    }
    return result;
}

/* drift * frame modulo 2^32. */
static uint32_t drifted(int32_t drift, uint32_t frame)
{
    uint32_t d = (uint32_t)drift;
    return product(d, frame) + ((product(d >> 16, frame) + product(d, frame >> 16)) << 16);
}

/* Fills every second word from `word` on: one plane's half of the table. */
static void fill(uint16_t *word, const struct backdrop_run *run, int32_t camera_x, uint32_t frame)
{
    for (; run->lines != 0; run++) {
        uint32_t pixels = scale(run->ratio, camera_x) + drifted(run->drift, frame);
        uint16_t value = (uint16_t)((0u - (pixels >> 16)) & 0x3FFu);
        uint16_t lines;
        for (lines = run->lines; lines != 0; lines--) {
            *word = value;
            word += 2;
        }
    }
}

void backdrop_scroll(uint16_t *table, int32_t camera_x, uint32_t frame)
{
    fill(table, backdrop_front_runs, camera_x, frame);
    fill(table + 1, backdrop_back_runs, camera_x, frame);
}
