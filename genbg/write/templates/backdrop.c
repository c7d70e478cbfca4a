/* $title: the data of a backdrop in C99. See backdrop.h. */
#include "backdrop.h"

$data

/* The product of two 16-bit numbers. They pass through memory, so that the compiler sees two words
 * and makes one instruction of it; of numbers cut out of longs it would call its run-time library. */
static uint32_t product(uint16_t a, uint16_t b)
{
    volatile uint16_t first = a, second = b;
    return (uint32_t)first * second;
}

/* floor(ratio * camera_x / 65536) modulo 2^32: the product of two signed 16.16 numbers as 16.16.
 *
 * Both are cut into a signed high and an unsigned low half. A negative high half, read as unsigned,
 * is 65536 too large; what that adds to the product is taken away again. */
static uint32_t scale(int32_t ratio, int32_t camera_x)
{
    uint16_t r_high = (uint16_t)((uint32_t)ratio >> 16), r_low = (uint16_t)ratio;
    uint16_t c_high = (uint16_t)((uint32_t)camera_x >> 16), c_low = (uint16_t)camera_x;
    uint32_t result = product(r_low, c_low) >> 16;
    result += product(r_low, c_high);
    if (r_high != 0) {
        result += product(r_high, c_low);
        result += product(r_high, c_high) << 16;
        if (ratio < 0) {
            result -= (uint32_t)c_low << 16;
        }
    }
    if (camera_x < 0) {
        result -= (uint32_t)r_low << 16;
    }
    return result;
}

/* drift * frame modulo 2^32. */
static uint32_t drifted(int32_t drift, uint32_t frame)
{
    if (drift == 0) {
        return 0;
    }
    {
        uint16_t d_high = (uint16_t)((uint32_t)drift >> 16), d_low = (uint16_t)drift;
        uint16_t f_high = (uint16_t)(frame >> 16), f_low = (uint16_t)frame;
        return product(d_low, f_low) + ((product(d_high, f_low) + product(d_low, f_high)) << 16);
    }
}

/* Fills every second word from `word` on: one plane's half of the table, from plane line `top` on. */
static void fill(uint16_t *word, const struct ${name}_run *first, uint16_t top, int32_t camera_x,
                 uint32_t frame)
{
    const struct ${name}_run *run = first;
    uint16_t left = ${NAME}_LINES;
    while (run->lines <= top) {
        top = (uint16_t)(top - run->lines);
        run++;
    }
    for (;;) {
        uint32_t pixels = scale(run->ratio, camera_x) + drifted(run->drift, frame);
        uint16_t value = (uint16_t)((0u - (pixels >> 16)) & 0x3FFu);
        uint16_t lines = (uint16_t)(run->lines - top);
        if (lines > left) {
            lines = left;
        }
        left = (uint16_t)(left - lines);
        do {
            *word = value;
            word += 2;
        } while (--lines != 0);
        if (left == 0) {
            return;
        }
        top = 0;
        run++;
        if (run->lines == 0) {
            run = first;
        }
    }
}

${sway}void ${name}_scroll(uint16_t *table, int32_t camera_x, uint32_t frame$more)
{
$rise    fill(table, ${name}_front_runs, $top_front, camera_x, frame);
    fill(table + 1, ${name}_back_runs, $top_back, camera_x, frame);
${sway_call}}
