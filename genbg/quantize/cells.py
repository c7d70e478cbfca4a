"""What the fit works on: cells of both planes as counts of points.

A *point* is an ink in a zone. A zone is a run of plane lines with palette rows of its own (colours
are rewritten where the next one begins); most backdrops have a single zone, where a point is just
an ink. A cell that a zone's border crosses has points of both zones, and its one row number holds
in both.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genbg.colour import distance_steps, lab_steps
from genbg.hardware.sizes import CELL
from genbg.model import BACK, KEPT, MARKED, InkColours, PlanePicture
from genbg.quantize.share import distinct_cells

CONTOUR_REACH = 123
"""Lab steps (0.12 OKLab): two neighbouring inks closer than this could be joined by a fit, and then
the contour between them would be lost."""

CONTOUR_WEIGHT, GUARD_WEIGHT = 1, 7
"""How many times more than any other pixel one counts that lies on such a contour, or one that its
painter guards (a lit window): few pixels that carry much of the picture."""


@dataclass(frozen=True, eq=False)
class Cells:
    """Both planes' distinct cells (p of them, m not see-through all over) and their P points.

    point: (p, 64) int32 point of every pixel, counted from 1; 0 see-through
    which: (n,) the distinct cell that stands in each place, FRONT first, row after row
    ink, zone: (P,) ink and zone of each point, counted from 0 here
    filled: (m,) the distinct cells that are not see-through all over
    first: (m,) where each of them begins in the lists below
    kind, count, weight: (e,) cell after cell, its points (from 0), how many pixels have each in all
        places of that cell, and the same with pixels counted more that a contour or a guard needs
    zones: number of zones; shape: (2, R, C)
    """

    point: np.ndarray
    which: np.ndarray
    ink: np.ndarray
    zone: np.ndarray
    filled: np.ndarray
    first: np.ndarray
    kind: np.ndarray
    count: np.ndarray
    weight: np.ndarray
    zones: int
    shape: tuple[int, int, int]


def read_cells(
    front: PlanePicture,
    back: PlanePicture,
    inks: InkColours,
    levels: tuple[int, ...],
    zones: Sequence[tuple[int, int]],
    parts: Sequence[tuple[int, int]] = (),
) -> Cells:
    """The cells of both planes.

    zones: (top, bottom) plane lines, in order, that cover the plane without a gap
    parts: as `contour_pixels` takes them
    """
    ink = unify_inks(inks).astype(np.int32).take(np.stack([front.ink, back.ink]))
    kinds = inks.colours.shape[1]
    zone_of_line = np.repeat(np.arange(len(zones)), [bottom - top for top, bottom in zones])
    ink[BACK] = open_backdrop(ink[BACK], back.priority, inks, zone_of_line)
    tagged = ink
    if len(zones) > 1:
        tagged = np.where(ink > 0, zone_of_line[:, None] * kinds + ink, 0)
    used = np.flatnonzero(np.bincount(tagged.ravel(), minlength=2)[1:]) + 1
    number = np.zeros(len(zones) * kinds, np.int32)
    number[used] = np.arange(1, len(used) + 1)
    pixels = cut_cells(number.take(tagged))
    point, which = distinct_cells(pixels)
    contours = contour_pixels(ink, lab_steps(levels)[inks.colours[0]], parts)
    extra = contours * np.uint8(CONTOUR_WEIGHT)
    guard = np.stack([front.guard, back.guard])
    extra += ((guard == MARKED) | (guard == KEPT)) * np.uint8(GUARD_WEIGHT)
    cell, kind, count, weight = count_points(pixels, which, len(used), cut_cells(extra))
    filled, first = np.unique(cell, return_index=True)
    shape = len(ink), ink.shape[1] // CELL, ink.shape[2] // CELL
    ink_of, zone_of = used % kinds, used // kinds
    return Cells(
        point, which, ink_of, zone_of, filled, first, kind, count, weight, len(zones), shape
    )


def unify_inks(inks: InkColours) -> np.ndarray:
    """For each ink (K+1,) the first ink that has its colours in all moods; 0 stays 0."""
    if inks.colours.shape[1] == 1:
        return np.zeros(1, np.int64)
    _, first, same = np.unique(inks.colours[:, 1:], axis=1, return_index=True, return_inverse=True)
    return np.concatenate([[0], first[same.ravel()] + 1]).astype(np.int64)


def open_backdrop(
    ink: np.ndarray, priority: np.ndarray, inks: InkColours, zone_of_line: np.ndarray
) -> np.ndarray:
    """The back plane (H, W) with pixels that have the backdrop colour in all moods see-through.

    Behind the back plane is nothing but the backdrop colour of the line's zone, so nobody can tell,
    and the ink needs no entry. High cells stay as they are: there the back plane lies before the
    front plane's low cells, which a see-through pixel would uncover.
    """
    zones = int(zone_of_line.max()) + 1
    behind = np.array((inks.behind * zones)[:zones])
    same = (inks.colours[:, None] == inks.colours[:, behind, None]).all(axis=0)
    low = np.repeat(np.repeat(~priority, CELL, axis=0), CELL, axis=1)
    place = ink if zones == 1 else zone_of_line[:, None] * same.shape[1] + ink
    return np.where(same.ravel().take(place) & low, 0, ink)


def cut_cells(pixels: np.ndarray) -> np.ndarray:
    """(2, H, W) cut into cells: (n, 64), the pixels of a cell row after row."""
    planes, height, width = pixels.shape
    blocks = pixels.reshape(planes, height // CELL, CELL, width // CELL, CELL)
    return blocks.swapaxes(2, 3).reshape(-1, CELL * CELL)


def join_cells(cells: np.ndarray, shape: tuple[int, int, int]) -> np.ndarray:
    """Cells (n, 64) back in their places: (2, H, W)."""
    planes, rows, columns = shape
    blocks = cells.reshape(planes, rows, columns, CELL, CELL).swapaxes(2, 3)
    return blocks.reshape(planes, rows * CELL, columns * CELL)


def count_points(
    pixels: np.ndarray, which: np.ndarray, points: int, extra: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Which points each distinct cell shows: cell, point from 0, pixels, pixels plus extra, (e,).

    pixels, extra: (n, 64); which: (n,) distinct cell of each place. Cell after cell, points in
    order, see-through left out.
    """
    place = (which[:, None] * (points + 1) + pixels).ravel()
    size = (int(which.max()) + 1) * (points + 1)
    count = np.bincount(place, minlength=size).reshape(-1, points + 1)
    count[:, 0] = 0
    cell, kind = np.nonzero(count)
    some = np.flatnonzero(extra)
    more = np.bincount(place[some], extra.ravel()[some], minlength=size).reshape(-1, points + 1)
    shown = count[cell, kind]
    return cell, kind - 1, shown, shown + more[cell, kind]


def contour_pixels(
    ink: np.ndarray, lab: np.ndarray, parts: Sequence[tuple[int, int]] = ()
) -> np.ndarray:
    """Pixels (2, H, W) bool: on a contour between two colours close enough to be joined.

    ink: (2, H, W); lab: (K+1, 3) lab steps. On its own side a contour has the same ink: one or two
    of the four neighbours differ. Where more do, it is dither or a stray pixel.

    parts: (left, right) columns that are a plane each, from the left without a gap: the left and
        the right edge of a plane are neighbours. What lies right of them is a part by itself; none
        given: all columns are one plane
    """
    before = left_neighbours(ink.shape[2], parts)
    after = np.argsort(before)
    close = distance_steps(lab[:, None], lab[None]) <= CONTOUR_REACH * CONTOUR_REACH
    np.fill_diagonal(close, False)
    close[0] = close[:, 0] = False
    near, differ = np.zeros((2, *ink.shape), np.uint8)
    right = ink[:, :, after]
    for total, pairs in ((differ, ink != right), (near, _look_up(close, ink, right))):
        total += pairs
        total += pairs[:, :, before]
    upper, lower = ink[:, :-1], ink[:, 1:]
    for total, pairs in ((differ, upper != lower), (near, _look_up(close, upper, lower))):
        total[:, :-1] += pairs
        total[:, 1:] += pairs
    return (near > 0) & (differ <= 2)


def left_neighbours(width: int, parts: Sequence[tuple[int, int]]) -> np.ndarray:
    """The column (width,) left of each one; left of a part's first column is its last."""
    before = np.arange(width) - 1
    end = parts[-1][1] if parts else 0
    for left, right in (*parts, (end, width)):
        if left < right:
            before[left] = right - 1
    return before


def _look_up(table: np.ndarray, a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Values of a square table at places (a, b)."""
    return table.ravel().take(a * len(table) + b)
