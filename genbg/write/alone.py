"""Frames of one part of a backdrop alone: a plane, the sprites, or all together."""

from __future__ import annotations

import functools
from itertools import pairwise

import numpy as np

from genbg.model import BACK, FRONT
from genbg.screen.display import ENTRY_BITS, Screen, draw_frame, plane_lines, sprite_layers
from genbg.screen.film import frame_zones
from genbg.write.labels import LEAF, PAPER

SPRITES, ALL = 2, 3
"""Parts beside the planes FRONT and BACK."""
CHECK_PX = 8
"""Squares where a part is see-through: as large as a cell."""


def part_entries(screen: Screen, part: int, frame: int) -> np.ndarray:
    """Return what a part shows in a frame: entries (L, width) intp, -1 where it is see-through."""
    if part == ALL:
        return draw_frame(screen, frame).astype(np.intp)
    code = part_codes(screen, part, frame)
    return np.where(code > 0, (code & ENTRY_BITS).astype(np.intp), -1)


def part_codes(screen: Screen, part: int, frame: int) -> np.ndarray:
    """Return the codes (L, width) uint8 of a plane or the sprites in a frame."""
    if part == SPRITES:
        none = np.zeros((screen.lines, screen.width), dtype=np.uint8)
        return next(sprite_layers(screen, frame, frame + 1), none)
    vscroll = screen.backdrop.preview.vscroll
    vertical = None if vscroll is None else vscroll[frame : frame + 1].astype(np.intp)
    codes = plane_lines(screen, part, screen.offsets[frame : frame + 1, :, part], vertical)[0]
    if part == FRONT and screen.window is not None:
        codes[screen.window] = 0
    return codes


def coloured(screen: Screen, entries: np.ndarray, frame: int) -> np.ndarray:
    """Return colour numbers (L, width) uint16 of entries; a chequer where they are see-through."""
    edges, numbers = frame_zones(screen.backdrop, frame)
    with_none = np.concatenate([numbers, np.zeros((len(numbers), 1), numbers.dtype)], axis=1)
    picture = np.empty(entries.shape, dtype=np.uint16)
    for zone, (start, end) in enumerate(pairwise(edges)):
        picture[start:end] = with_none[zone][entries[start:end]]
    clear = entries < 0
    picture[clear] = chequer(*entries.shape)[clear]
    return picture


@functools.cache
def chequer(height: int, width: int) -> np.ndarray:
    """Return (height, width) uint16 of two dark colours in squares."""
    odd = (np.arange(height)[:, None] // CHECK_PX + np.arange(width) // CHECK_PX) % 2
    squares = np.where(odd, LEAF, PAPER).astype(np.uint16)
    squares.setflags(write=False)
    return squares


def colours_at(screen: Screen, frame: int, line: int) -> np.ndarray:
    """Return the colour numbers (64,) that memory holds while a line is drawn."""
    edges, numbers = frame_zones(screen.backdrop, frame)
    return numbers[int(np.searchsorted(edges, line, side="right")) - 1]


PARTS = {BACK: "Back plane alone", FRONT: "Front plane alone", SPRITES: "Sprites alone"}
