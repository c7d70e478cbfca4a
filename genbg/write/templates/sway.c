/* (frame % frames) * 65536 / frames, modulo 65536, digit by digit: no division of the runtime. */
static uint16_t frame_phase(uint32_t frame, uint16_t frames)
{
    uint32_t rest = 0;
    uint16_t phase = 0, digits;
    for (digits = 48; digits != 0; digits--) {
        rest = rest << 1 | frame >> 31;
        frame <<= 1;
        phase = (uint16_t)(phase << 1);
        if (rest >= frames) {
            rest -= frames;
            phase |= 1;
        }
    }
    return phase;
}

/* Takes the waves' offsets from the words of the table. */
static void sway(uint16_t *table, uint32_t frame)
{
    const uint16_t *wave = backdrop_waves;
    uint16_t left, lines;
    for (left = BACKDROP_WAVES; left != 0; left--) {
        uint16_t *word = table + wave[0] + (wave[1] << 1);
        uint16_t phase = (uint16_t)(frame_phase(frame, wave[3]) + product(wave[1], wave[4]));
        for (lines = wave[2]; lines != 0; lines--) {
            uint16_t pair = wave[5 + (phase >> 9)];
            uint16_t offset = phase & 0x100 ? pair & 0xFF : pair >> 8;
            if (offset & 0x80) {
                offset |= 0xFF00;
            }
            *word = (uint16_t)(*word - offset) & 0x3FF;
            word += 2;
            phase = (uint16_t)(phase + wave[4]);
        }
        wave += 133;
    }
}

