@sprites

/* Sprite table entries, four words each. */
extern const uint16_t ${name}_sprites[${NAME}_SPRITES * 4];
@splits

/* Colour rewrites down the screen: line from which it holds, first entry,
 * count, then that many colour words; ${NAME}_SPLITS of them. Then the same in every
 * mood, in the order of the ${NAME}_MOOD_ constants. */
extern const uint16_t ${name}_splits[${NAME}_SPLIT_WORDS];
@mood_splits
extern const uint16_t ${name}_mood_splits[${NAME}_MOODS * ${NAME}_SPLIT_WORDS];
@waves

/* Waves, which ${name}_scroll adds to the table: plane (0 front, 1 back), first
 * line, lines, frames of a period, step, then 256 offsets as signed bytes. A line's phase
 * is (frame % frames) * 65536 / frames + line * step, modulo 65536; its upper 8 bits say
 * which offset is taken from the word. */
extern const uint16_t ${name}_waves[${NAME}_WAVES * 133];
@motion

/* Moving colours: frames of a period; then, for each frame of it in which any
 * colour changes: frame, count, and that often target and word. Targets 0 to 63 are colour
 * entries; from 64 on they are words of ${name}_splits, counted from its start, so copy
 * that table to main memory. A change in frame 0 is one from the end of a period. */
extern const uint16_t ${name}_motion[${NAME}_MOTION_WORDS];
@mood_motion

/* The same in every mood, in the order of the ${NAME}_MOOD_ constants, and
 * where in it each mood begins; after the last, where all end. */
extern const uint16_t ${name}_mood_motion[];
@motion_starts
extern const uint32_t ${name}_motion_starts[${NAME}_MOODS + 1];
@pieces

/* Sprites as a game places them, the nearest first, eight words each: column of the left edge and
 * line of the upper one at the start (the line signed), size as in a table entry's first half of
 * the second word, map word, ratio and drift as two words each, signed 16.16. A sprite stands
 *
 *   floor(ratio * camera_x + drift * frame) pixels further left, modulo the plane's width, and
 *   floor(ratio * camera_y) lines higher
 *
 * Leave out what is beside the screen; link the others in this order. */
extern const uint16_t ${name}_pieces[${NAME}_PIECES * 8];
@plane_speeds

/* As ${name}_speeds, for all lines of the planes. While a plane stands
 *
 *   up = floor(${NAME}_RATIO_Y_FRONT * camera_y), or ${NAME}_RATIO_Y_BACK, in 16.16
 *
 * lines higher, screen line i shows plane line i + up, modulo ${NAME}_PLANE_LINES, and moves
 * sideways as that line does. `up` is what its vertical-scroll words hold. */
extern const int32_t ${name}_plane_speeds[${NAME}_PLANE_LINES * 4];
@columns

/* What each column of 16 pixels adds to those words: frame after frame 20 pairs, front then back,
 * again after ${NAME}_COLUMN_FRAMES frames. */
extern const int16_t ${name}_columns[${NAME}_COLUMN_FRAMES * 40];
