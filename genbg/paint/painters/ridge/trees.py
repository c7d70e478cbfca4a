"""Single trees that stand on an outline: drawn by hand, placed on the cell grid.

A stamp is drawn for light from the left, in tones as of `relief.py`; its mirror image serves light
from the right.
"""

from __future__ import annotations

import numpy as np

from genbg.hardware.sizes import CELL
from genbg.paint.craft.scatter import pick_one
from genbg.paint.painters.ridge.relief import Lattice, Summit


def _stamp(text: str) -> np.ndarray:
    """Tones (h, w) int64 of a stamp: digits are tones, "." is see-through (-1)."""
    return np.array([[-1 if sign == "." else int(sign) for sign in row] for row in text.split()])


CONIFERS = (
    _stamp(
        "...34... ...33... ..3332.. ...32... ..3322.. .333222. ..3322.. .333222. "
        "33332222 ..33222. .3332222 33332221 .3332221 33322211 ...11... ...11..."
    ),
    _stamp(
        "........ ........ ........ ........ ...34... ...33... ..3322.. ...32... "
        "..3322.. .333222. ..3322.. .3332221 33322211 .3332211 ...11... ...11..."
    ),
)
BROADLEAVES = (
    _stamp(
        ".....3344....... ...333334433.... ..33333333332... .3333333332222.. "
        ".33333323332222. 3333233322222222 3322333222222221 3333322222221221 "
        ".22222212222211. .21222212221111. ..221111221111.. ....11110011.... "
        "......0000...... ......000....... ......000....... .....00000......"
    ),
    _stamp(
        "........ ........ ........ ........ ........ ........ ........ ........ "
        "..3344.. .333332. 33332322 33322222 33222212 22221211 .211111. ..1111.."
    ),
)


def stamps_of(conifers: bool) -> tuple[np.ndarray, ...]:
    """The stamps of a kind of tree; each is 16 lines high and whole cells wide."""
    return CONIFERS if conifers else BROADLEAVES


def plant_trees(
    outline: np.ndarray,
    shape: tuple[int, int],
    left: int,
    density: float,
    conifers: bool,
    mirror: bool,
    lattice: Lattice,
    summit: Summit,
) -> np.ndarray:
    """Tones `shape` (N, w) of trees on a hill's outline, -1 elsewhere.

    outline: (w,) first line of the hill; left: column of the plane at which the window begins
    density: share of the outline under trees, which stand in groups
    Trees stand on lines of the lattice, a little in the ground rather than above it.
    """
    trees = np.full(shape, -1, dtype=np.int64)
    seed, lines = summit.seed, shape[0]
    quantum, phase = lattice.quantum, lattice.phase
    stamps = stamps_of(conifers)
    cells = len(outline) // CELL
    for cell in range(1, cells - 2):
        at = left // CELL + cell
        group = pick_one(seed, 100, at // 4, 1) < density * 100
        if not group or pick_one(seed, 3, at, 2) == 0:
            continue
        stamp = stamps[pick_one(seed, len(stamps), at, 3)]
        foot = int(outline[cell * CELL : cell * CELL + stamp.shape[1]].max())
        foot = -(-(foot + phase + 1) // quantum) * quantum - phase
        if outline[cell * CELL] < lines:
            turned = stamp[:, ::-1] if mirror else stamp
            _put(trees, turned, cell * CELL, foot - len(stamp))
    return trees


def _put(onto: np.ndarray, stamp: np.ndarray, x: int, y: int) -> None:
    first, last = max(0, y), min(len(onto), y + len(stamp))
    if first < last:
        part = stamp[first - y : last - y]
        place = onto[first:last, x : x + stamp.shape[1]]
        place[...] = np.where(part >= 0, part, place)
