"""The scroll table of every preview frame against the formula, from speeds.bin and waves.bin."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from genbg.check.listing import Export
from genbg.check.sprites import seen_lines
from genbg.hardware.sizes import FRACTION_BITS, SCROLL_MASK
from genbg.model import Backdrop, LineSpeeds, Wave
from genbg.scroll.waves import TURN

FRAMES_AT_ONCE = 256


def check(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield the first scroll word that is not the formula's, and how many there are.

    Camera x of frame n is n * camera_step; a word is (-(floor(ratio*x + drift*n) + offset)) &
    0x3FF, where the offset is that of a wave. Where planes move up and down, lines are theirs.
    """
    step = backdrop.preview.camera_step * (1 << FRACTION_BITS)
    if step.denominator != 1:
        yield "backdrop.json: preview.camera_step: is not a multiple of 1/65536 pixel"
        return
    for name in ("ratio", "drift") if backdrop.moves.vertical is not None else ():
        above = getattr(backdrop.moves.all_speeds, name)[: len(backdrop.moves.speeds.ratio)]
        if (above != getattr(backdrop.moves.speeds, name)).any():
            yield f"machine/plane_speeds.bin: {name}: its first lines are not those of speeds.bin"
    scroll = backdrop.preview.scroll
    count, where = 0, None
    for first in range(0, len(scroll), FRAMES_AT_ONCE):
        some = scroll[first : first + FRAMES_AT_ONCE]
        frames = np.arange(first, first + len(some))
        right = formula_words(backdrop.moves.all_speeds, int(step), frames)
        right = right - wave_pixels(backdrop.moves.waves, frames, right.shape[1]) & SCROLL_MASK
        if backdrop.moves.vertical is not None:
            lines = seen_lines(backdrop, range(first, first + len(some)))
            right = np.take_along_axis(right, lines, axis=1)
        wrong = some != right
        count += int(np.count_nonzero(wrong))
        if where is None and wrong.any():
            frame, line, plane = np.argwhere(wrong)[0].tolist()
            where = f"frame {first + frame}, line {line}, {('front', 'back')[plane]} plane"
    if count:
        waves = ", waves.bin" if backdrop.moves.waves else ""
        yield (
            f"machine/preview/scroll.bin: {where}: is not where speeds.bin{waves} and the camera "
            f"put it ({count} such words)"
        )


def formula_words(speeds: LineSpeeds, step: int, frames: np.ndarray) -> np.ndarray:
    """Return the scroll words (F, L, 2) of frames (F,), with the camera's step in 1/65536 pixel.

    Products have 32 bits of fraction and only 10 bits above them are asked for, so 64 bits that
    may overflow hold all that counts.
    """
    frame = frames.astype(np.uint64)[:, None, None]
    camera = frame * np.uint64(step % (1 << 64))
    ratio = speeds.ratio.astype(np.int64).astype(np.uint64)
    drift = speeds.drift.astype(np.int64).astype(np.uint64) << np.uint64(FRACTION_BITS)
    moved = (ratio * camera + drift * frame) >> np.uint64(2 * FRACTION_BITS)
    return (np.uint64(0) - moved & np.uint64(SCROLL_MASK)).astype(np.uint16)


def wave_pixels(waves: Sequence[Wave], frames: np.ndarray, lines: int) -> np.ndarray:
    """Return the waves' offsets (F, L, 2) int64: each line's phase, then its upper 8 bits."""
    pixels = np.zeros((len(frames), lines, 2), dtype=np.int64)
    for wave in waves:
        for line in range(wave.top, wave.bottom):
            phase = frames % wave.frames * TURN // wave.frames + line * wave.step
            pixels[:, line, wave.plane] = wave.offsets[phase // 256 % 256]
    return pixels
