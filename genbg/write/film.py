"""The preview's frames as pictures: indexed colours where 256 will do, true colour where not.

Every picture of an export is cut from one film, so that frames are drawn once.

A backdrop whose colours stay the same keeps the machine's own 64 entries as its picture palette.
Where splits or colour motion rewrite them, the palette holds every colour that some pixel shows,
in order of its first use; past 256 of them the film is in true colour.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genbg.colour import screen_table
from genbg.hardware.colour_word import word_to_number
from genbg.model import Backdrop
from genbg.write.display import iter_frames, line_palettes, load_screen

MOST_INDEXED = 256


@dataclass(frozen=True, eq=False)
class Film:
    """All preview frames.

    pixels: (F, L, width) uint8 numbers into `palette`, or uint16 colour numbers 0..511 where
        `palette` is None
    palette: (P, 3) uint8 sRGB, P <= 256, or None
    levels: the 8 screen levels that colour numbers are shown in
    """

    pixels: np.ndarray
    palette: np.ndarray | None
    levels: tuple[int, ...]

    def rgb(self, frame: int) -> np.ndarray:
        """Return a frame as (L, width, 3) uint8 sRGB."""
        table = screen_table(self.levels) if self.palette is None else self.palette
        return table[self.pixels[frame]]


def make_film(backdrop: Backdrop, frames: int | None = None) -> Film:
    """Return the film of a backdrop's preview, or of its first `frames` frames."""
    screen = load_screen(backdrop)
    entries = np.concatenate(list(iter_frames(screen, frames)))
    levels = tuple(backdrop.machine.levels)
    screen_rgb = screen_table(levels)
    if not backdrop.splits and backdrop.preview.palette is None:
        return Film(entries, screen_rgb[word_to_number(backdrop.palette)], levels)
    number = np.stack([colour_numbers(backdrop, at, frame) for at, frame in enumerate(entries)])
    order = first_use(number)
    if len(order) > MOST_INDEXED:
        return Film(number, None, levels)
    place = np.zeros(512, dtype=np.uint8)
    place[order] = np.arange(len(order))
    return Film(place[number], screen_rgb[order], levels)


def colour_numbers(backdrop: Backdrop, frame: int, entries: np.ndarray) -> np.ndarray:
    """Return colour numbers (L, width) uint16 of a frame's colour entries (L, width)."""
    starts, words = line_palettes(backdrop, frame)
    numbers = word_to_number(words)
    ends = [*starts[1:].tolist(), len(entries)]
    zones: Sequence[np.ndarray] = [
        numbers[zone][entries[start:end]]
        for zone, (start, end) in enumerate(zip(starts.tolist(), ends, strict=True))
    ]
    return np.concatenate(zones).astype(np.uint16)


def first_use(number: np.ndarray) -> np.ndarray:
    """Return the distinct colour numbers of an array in the order of their first use."""
    distinct, first = np.unique(number, return_index=True)
    return distinct[np.argsort(first, kind="stable")]
