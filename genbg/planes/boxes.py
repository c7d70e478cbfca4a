"""From squares that cover a cluster to sprites: as small as they can be, each pixel in one of them.

A *box* is a sprite's place: 1 to 4 cells each way, on any pixel. Whatever two squares share goes to
one of them, and each is then made as small as what it has to show, which saves tiles and pixels
a line.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genbg.hardware.sizes import CELL
from genbg.planes.cover import SIDE, Cover, Square, cover_pixels


@dataclass(frozen=True, eq=False)
class Box:
    """A sprite in its cluster: top line, left column and its picture (8 * height, 8 * width)."""

    top: int
    left: int
    ink: np.ndarray


def cut_boxes(ink: np.ndarray, side: int = SIDE) -> list[Box]:
    """Sprites of a cluster (h, w) of inks, as few as there can be; no pixel is in two of them.

    side: pixels along one side of the largest sprite

    Of covers with as few squares, the one that needs the fewest tiles is taken; ties: the one
    found first.
    """
    cover: Cover = cover_pixels(ink > 0, side)
    ways = dict.fromkeys((cover.squares, *cover.alike))
    tries = [shrink(ink, side, order) for way in ways for order in (way, way[::-1])]
    return min(tries, key=count_tiles)


def count_tiles(boxes: Sequence[Box]) -> tuple[int, int]:
    """Tiles of boxes, equal pictures counted once, flipped or not; and cells in all."""
    kinds = {canonical(box.ink)[0].tobytes(): box.ink.size for box in boxes}
    return sum(kinds.values()), sum(box.ink.size for box in boxes)


def shrink(ink: np.ndarray, side: int, squares: Sequence[Square]) -> list[Box]:
    """The squares made smaller one after another, each to what no other one shows."""
    mask = ink > 0
    places = [_Place(top, left, side, side) for top, left in squares]
    cover = np.zeros(ink.shape, dtype=np.int16)
    for place in places:
        cover[place.within(ink)] += 1
    for number, place in enumerate(places):
        area = place.within(ink)
        own = mask[area] & (cover[area] == 1)
        cover[area] -= 1
        places[number] = place.around(own)
        cover[places[number].within(ink)] += 1
    return _cut_out(ink, [place for place in places if place.height])


@dataclass(frozen=True)
class _Place:
    top: int
    left: int
    height: int
    width: int

    def within(self, ink: np.ndarray) -> tuple[slice, slice]:
        """Its part of a picture."""
        lines = slice(max(self.top, 0), max(self.top + self.height, 0))
        return lines, slice(max(self.left, 0), max(self.left + self.width, 0))

    def around(self, own: np.ndarray) -> _Place:
        """The place in whole cells around pixels of its own; nothing where it has none."""
        lines, columns = np.flatnonzero(own.any(axis=1)), np.flatnonzero(own.any(axis=0))
        if not len(lines):
            return _Place(0, 0, 0, 0)
        height = -(-int(lines[-1] - lines[0] + 1) // CELL) * CELL
        width = -(-int(columns[-1] - columns[0] + 1) // CELL) * CELL
        top, left = max(self.top, 0) + int(lines[0]), max(self.left, 0) + int(columns[0])
        return _Place(top, left, height, width)


def _cut_out(ink: np.ndarray, places: Sequence[_Place]) -> list[Box]:
    """The picture in boxes; a pixel that several cover goes to the first."""
    left_over = ink.copy()
    boxes = []
    for place in places:
        area = place.within(ink)
        picture = np.zeros((place.height, place.width), dtype=ink.dtype)
        part = left_over[area]
        picture[: part.shape[0], : part.shape[1]] = part
        left_over[area] = 0
        boxes.append(Box(place.top, place.left, picture))
    return [box for box in boxes if box.ink.any()]


def canonical(ink: np.ndarray) -> tuple[np.ndarray, bool, bool]:
    """Of the four flips of a picture the one whose bytes come first, and how it was flipped.

    Returns (picture, flipped sideways, flipped upside down); ties: the fewest flips, sideways
    before upside down.
    """
    flips = [(False, False), (True, False), (False, True), (True, True)]
    return min(
        ((np.ascontiguousarray(flip(ink, across, down)), across, down) for across, down in flips),
        key=lambda flipped: flipped[0].tobytes(),
    )


def flip(ink: np.ndarray, across: bool, down: bool) -> np.ndarray:
    """A picture turned over sideways, upside down, or both."""
    return ink[:: -1 if down else 1, :: -1 if across else 1]
