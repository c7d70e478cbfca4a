"""Texture that comes again: cells of one material and like tones show the same pixels.

A plane has room for few tiles. Turf, leaves and mist are told by how light they are and not by
which blade stands where, so cells that look alike from afar may as well be the same cell; what is
unlike, guarded or of two materials keeps its own pixels.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from genbg.model import Painting
from genbg.paint.craft.edges import CELL

PART = CELL // 2
"""Pixels on a side of the quarters by which two cells are compared."""


@dataclass(frozen=True)
class Repeat:
    """How a material comes again.

    ramp: the material; period: cells along a line after which its texture may come again
    step: tones that the means of two cells' quarters may lie apart
    pixel: tones that their pixels may lie apart on the whole
    rows: rows of cells that share textures
    calm: whether the calmest cell comes again, not the first
    """

    ramp: str
    period: int
    step: float = 1.0
    pixel: float = 8.0
    rows: int = 1
    calm: bool = False


def repeat_texture(painting: Painting, top: int, repeats: tuple[Repeat, ...]) -> Painting:
    """The painting with like cells of the same texture made equal.

    top: screen line of its first row; only whole cells of the screen's grid change
    """
    skip = -top % CELL
    lines = (len(painting.ink) - skip) // CELL * CELL
    if lines <= 0:
        return painting
    ink = painting.ink.copy()
    window = slice(skip, skip + lines)
    cells = _cells(ink[window])
    free = np.logical_not(_cells(_kept(painting)[window]).any(axis=(2, 3)))
    source = cells.copy()
    for repeat in repeats:
        first, steps = _inks(painting, repeat.ramp)
        here = (source >= first) & (source < first + steps)
        _share(cells, source, np.asarray(free & here.all(axis=(2, 3))), repeat)
    ink[window] = cells.transpose(0, 2, 1, 3).reshape(lines, -1)
    return replace(painting, ink=ink)


def _kept(painting: Painting) -> np.ndarray:
    """Pixels (N, W) bool that nothing may change."""
    kept = np.zeros(painting.ink.shape, dtype=bool)
    for mask in (painting.guard, painting.shape):
        if mask is not None:
            kept |= mask
    return kept


def _inks(painting: Painting, ramp: str) -> tuple[int, int]:
    """The first local ink of a ramp, and how many it has."""
    first = 1
    for use in painting.ramps:
        if use.name == ramp:
            return first, use.steps
        first += use.steps
    raise KeyError(ramp)


def _cells(plane: np.ndarray) -> np.ndarray:
    """Cells (R, C, 8, 8) of a plane (8 R, 8 C)."""
    lines, width = plane.shape
    return plane.reshape(lines // CELL, CELL, width // CELL, CELL).transpose(0, 2, 1, 3)


def _share(cells: np.ndarray, source: np.ndarray, whole: np.ndarray, repeat: Repeat) -> None:
    """Give every whole cell the pixels of the likest one before it, if that is like enough."""
    row, column = np.nonzero(whole)
    tones = source[row, column].astype(np.int64)
    quarter = tones.reshape(-1, 2, PART, 2, PART).sum(axis=(2, 4)).reshape(-1, 4)
    most, far = repeat.step * PART * PART, int(repeat.pixel * CELL * CELL)
    leaders: dict[tuple[int, int], list[int]] = {}
    rough = np.abs(np.diff(tones, axis=2)).sum(axis=(1, 2)) * repeat.calm
    for n in np.argsort(rough, kind="stable").tolist():
        r, c = int(row[n]), int(column[n])
        known = leaders.setdefault((r // repeat.rows, c % repeat.period), [])
        apart = np.abs(quarter[known] - quarter[n]).max(axis=1)
        each = np.abs(tones[known] - tones[n]).sum(axis=(1, 2))
        like = np.where(apart <= most, each, far + 1)
        if known and like.min() <= far:
            chosen = known[int(np.argmin(like))]
            cells[r, c] = source[row[chosen], column[chosen]]
        else:
            known.append(n)
