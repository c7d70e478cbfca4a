"""Swatches: how sprites take part in the fit of palette rows.

A sprite has one palette row for all its cells. So the fit is not handed its cells but, for each
cell, a swatch that has the inks of the whole sprite in their shares; swatches stand in columns of
their own, right of the front plane, on lines of the sprite's palette zone. Swatches of one picture
are alike, so the fit gives them one row, and says which entry shows each ink there.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genbg.hardware.sizes import CELL, CELL_PIXELS
from genbg.measure import present
from genbg.model import CutSprites, Fit, PlanePicture

Zones = Sequence[tuple[int, int]]


@dataclass(frozen=True, eq=False)
class Swatches:
    """Where swatches stand: (b,) first line and column of one of each picture's, and its inks.

    inks: for each picture the inks of its swatch's pixels, line after line
    """

    line: np.ndarray
    column: np.ndarray
    inks: tuple[np.ndarray, ...]


def add_swatches(
    front: PlanePicture, back: PlanePicture, sprites: CutSprites, zones: Zones = ()
) -> tuple[PlanePicture, PlanePicture, Swatches]:
    """Both planes, wider by the swatches of all pictures.

    zones: (top, bottom) plane lines in order; none given: one zone
    """
    height, width = front.ink.shape
    rooms = [rooms_of(top, bottom) for top, bottom in tuple(zones) or ((0, height),)]
    taken = [0] * len(rooms)
    lines, columns, inks = [], [], []
    wanted: list[tuple[int, int, int]] = []
    for number, (picture, zone) in enumerate(zip(sprites.pictures, sprites.zones, strict=True)):
        room = rooms[zone]
        inks.append(swatch_inks(picture, (room[0][1] - room[0][0]) * CELL))
        for copy in range(filled_cells(picture)):
            across, down = divmod(taken[zone] + copy, len(room))
            wanted.append((room[down][0], width + across * CELL, number))
        lines.append(wanted[-1][0])
        columns.append(wanted[-1][1])
        taken[zone] += filled_cells(picture)
    extra = max((left + CELL for _, left, _ in wanted), default=width) - width
    front, back = _widen(front, extra), _widen(back, extra)
    for top, left, number in wanted:
        pixels = inks[number].reshape(-1, CELL)
        front.ink[top : top + len(pixels), left : left + CELL] = pixels
    places = np.array(lines, dtype=np.intp), np.array(columns, dtype=np.intp)
    return front, back, Swatches(*places, tuple(inks))


def rooms_of(top: int, bottom: int) -> list[tuple[int, int]]:
    """Lines (first, last plus one) of a zone on which a swatch has room, all of them as many.

    Whole rows of cells; in a zone without any, the lines of the row of which it has the most.
    """
    rows = range(-(-top // CELL), bottom // CELL)
    if len(rows):
        return [(row * CELL, row * CELL + CELL) for row in rows]
    edge = min(max(bottom // CELL * CELL, top), bottom)
    return [(top, edge) if edge - top >= bottom - edge else (edge, bottom)]


def filled_cells(picture: np.ndarray) -> int:
    """Cells of a picture that show something."""
    height, width = picture.shape
    parts = picture.reshape(height // CELL, CELL, width // CELL, CELL)
    return int((parts > 0).any(axis=(1, 3)).sum())


def swatch_inks(picture: np.ndarray, pixels: int = CELL_PIXELS) -> np.ndarray:
    """Inks (pixels,) of a swatch: every ink of the picture at least once, the rest by their shares.

    Of more inks than pixels the commonest are taken; ties: the lowest ink.
    """
    ink, count = np.unique(picture[picture > 0], return_counts=True)
    if len(ink) > pixels:
        kept = np.sort(np.argsort(-count, kind="stable")[:pixels])
        ink, count = ink[kept], count[kept]
    share = 1 + count * (pixels - len(ink)) // int(count.sum())
    share[int(count.argmax())] += pixels - int(share.sum())
    return np.repeat(ink, share).astype(np.uint16)


def _widen(plane: PlanePicture, cells: int) -> PlanePicture:
    pixels = ((0, 0), (0, cells * CELL))
    return PlanePicture(
        np.pad(plane.ink, pixels),
        np.pad(plane.guard, pixels),
        np.pad(plane.priority, ((0, 0), (0, cells))),
    )


def take_swatches(
    fitted: Fit, swatches: Swatches, sprites: CutSprites, lab: np.ndarray
) -> tuple[tuple[np.ndarray, ...], np.ndarray]:
    """The pictures in entries of their rows, and the pictures' rows, from a fit with swatches.

    lab: (K+1, 3) int lab steps of every ink, by which inks that a swatch lacks find the nearest
    Returns (pictures (8 * height, 8 * width) uint8 entries, (b,) uint8 palette rows).
    """
    rows = fitted.row[0, swatches.line // CELL, swatches.column // CELL].astype(np.uint8)
    pictures = []
    for number, picture in enumerate(sprites.pictures):
        top, left = int(swatches.line[number]), int(swatches.column[number])
        down = len(swatches.inks[number]) // CELL
        entries = fitted.index[0, top : top + down, left : left + CELL].reshape(-1)
        pictures.append(entries_of(picture, swatches.inks[number], entries, lab))
    return tuple(pictures), rows


def entries_of(
    picture: np.ndarray, inks: np.ndarray, entries: np.ndarray, lab: np.ndarray
) -> np.ndarray:
    """A picture in entries, given a swatch's inks (n,) and the entry (n,) that shows each."""
    known = present(inks)
    table = np.zeros(len(lab), dtype=np.uint8)
    table[inks] = entries
    steps = lab.astype(np.int64)
    for ink in sorted(set(picture[picture > 0].tolist()) - set(known.tolist())):
        gap = ((steps[known] - steps[ink]) ** 2).sum(axis=1)
        table[ink] = table[known[int(gap.argmin())]]
    table[0] = 0
    return table[picture]
