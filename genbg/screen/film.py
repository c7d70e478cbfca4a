"""The preview's frames as pictures: indexed colours where 256 will do, true colour where not.

Every picture of an export is cut from one film, so that frames are drawn once.

A backdrop whose colours stay the same keeps the machine's own 64 entries as its picture palette.
Where splits or colour motion rewrite them, the palette holds every colour that is in memory at some
time, in order of their numbers; where that is more than 256, those that some pixel shows. Where
these are more than 256 too, the film is in true colour.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.colour import screen_table
from genbg.hardware.colour_word import word_to_number
from genbg.measure import present
from genbg.model import Backdrop
from genbg.screen.display import FRAMES_AT_ONCE, Screen, iter_frames, line_palettes, load_screen

MOST_INDEXED = 256

Zones = tuple[list[int], np.ndarray]
"""Zones of a frame: the first line of each and the end of the screen; colour numbers (Z, 64)."""


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
    entries = draw_all(screen, backdrop.preview.frames if frames is None else frames)
    levels = tuple(backdrop.machine.levels)
    screen_rgb = screen_table(levels)
    if not backdrop.colours.splits and backdrop.preview.palette is None:
        return Film(entries, screen_rgb[word_to_number(backdrop.palette)], levels)
    zones = [frame_zones(backdrop, frame) for frame in range(len(entries))]
    held = present(np.concatenate([numbers for _, numbers in zones]))
    if len(held) > MOST_INDEXED:
        number = np.zeros(entries.shape, dtype=np.uint16)
        recolour(entries, zones, np.arange(512, dtype=np.uint16), number)
        held = np.flatnonzero(sum(np.bincount(one.ravel(), minlength=512) for one in number))
        if len(held) > MOST_INDEXED:
            return Film(number, None, levels)
    place = np.zeros(512, dtype=np.uint8)
    place[held] = np.arange(len(held))
    recolour(entries, zones, place, entries)
    return Film(entries, screen_rgb[held], levels)


def draw_all(screen: Screen, frames: int) -> np.ndarray:
    """Return the first frames as colour entries (F, L, width) uint8."""
    entries = np.empty((frames, screen.lines, screen.width), dtype=np.uint8)
    for number, frame in enumerate(iter_frames(screen, frames)):
        first = number * FRAMES_AT_ONCE
        entries[first : first + len(frame)] = frame
    return entries


def frame_zones(backdrop: Backdrop, frame: int) -> Zones:
    """Return a frame's zones: the lines where each begins and ends, colour numbers (Z, 64)."""
    starts, words = line_palettes(backdrop, frame)
    edges = [*starts.tolist(), backdrop.machine.screen[1]]
    return edges, word_to_number(words)


def recolour(entries: np.ndarray, zones: list[Zones], place: np.ndarray, out: np.ndarray) -> None:
    """Put `place[colour number]` of every pixel of entries (F, L, width) into `out`."""
    for frame, (edges, numbers) in enumerate(zones):
        for zone, table in enumerate(place[numbers]):
            band = np.s_[frame, edges[zone] : edges[zone + 1]]
            out[band] = table[entries[band]]
