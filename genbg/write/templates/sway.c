/* (frame % frames) * 65536 / frames, digit by digit: no division of the run-time library. */
static uint16_t frame_phase(uint32_t frame, uint16_t frames)
{
    uint32_t rest = (uint16_t)((uint16_t)(frame >> 16) % frames);
    uint16_t low = (uint16_t)frame, phase = 0, digits;
    for (digits = 16; digits != 0; digits--) {
        rest = rest << 1 | low >> 15;
        low = (uint16_t)(low << 1);
        if (rest >= frames) {
            rest -= frames;
        }
    }
    for (digits = 16; digits != 0; digits--) {
        rest <<= 1;
        phase = (uint16_t)(phase << 1);
        if (rest >= frames) {
            rest -= frames;
            phase |= 1;
        }
    }
    return phase;
}

/* Takes a wave's offsets from `lines` words; `phase` is that of the first. */
static void swing(uint16_t *word, uint16_t lines, uint16_t phase, const uint16_t *wave)
{
    const uint16_t *offsets = wave + 5;
    uint16_t step = wave[4];
    do {
        uint16_t pair = offsets[phase >> 9];
        if ((phase & 0x100) == 0) {
            pair >>= 8;
        }
        *word = (uint16_t)(*word - (uint16_t)(int8_t)pair) & 0x3FF;
        word += 2;
        phase = (uint16_t)(phase + step);
    } while (--lines != 0);
}

/* Takes the waves' offsets from the words of the table; top: plane lines at the screen's top. */
static void sway(uint16_t *table, uint32_t frame, const uint16_t *top)
{
    const uint16_t *wave = ${name}_waves;
    uint16_t left;
    for (left = ${NAME}_WAVES; left != 0; left--) {
        uint16_t *word = table + wave[0];
        uint16_t phase = (uint16_t)(frame_phase(frame, wave[3]) + product(wave[1], wave[4]));
        uint16_t at = (uint16_t)(wave[1] - top[wave[0]]) & (${NAME}_PLANE_ROWS * 8 - 1);
        uint16_t lines = wave[2], below = (uint16_t)(${NAME}_PLANE_ROWS * 8 - at);
        if (at < ${NAME}_LINES) {
            uint16_t seen = (uint16_t)(${NAME}_LINES - at);
            swing(word + 2 * at, lines < seen ? lines : seen, phase, wave);
        }
        if (lines > below) {
            lines = (uint16_t)(lines - below);
            phase = (uint16_t)(phase + product(below, wave[4]));
            swing(word, lines < ${NAME}_LINES ? lines : ${NAME}_LINES, phase, wave);
        }
        wave += 133;
    }
}

