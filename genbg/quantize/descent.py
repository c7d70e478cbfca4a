"""Out of the hollow where settling ends: deal a part of the cells anew.

Settling moves cells one by one, so four rows that share the picture badly stay that way. Two kinds
of *moves* lead out, each followed by settling and kept only where that ends lower:
  redeal   the cells of two rows are dealt anew around two of them, to the one that is nearer by
           mean colour or has more of their inks
  carry    a cell, and those of its row that look most like it, go to another row
What is dealt is drawn by lot, half of the time among what is shown badly; the lots are the same
ones each time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable

import numpy as np

from genbg.hardware.sizes import PALETTES
from genbg.quantize.rows import Fit, Rows, fill_rows, pool_rows, settle_rows
from genbg.quantize.start import cell_gaps

MOVES = 80
"""Moves tried in any case."""

SETS_A_MOVE = 6
"""A picture of many sets gets one move for so many of them: photographs have many ways to deal
their cells."""

WORK = 1 << 22
"""Moves times the size of the gap table are held to this, so that pictures of several hundred
colours do not take seconds."""

NEGLIGIBLE = 2
"""Error of a pixel in the mean (in the gap table's units) below which a start is good enough: a few
pixels in a picture are one shade off."""

COMPANY = (3, 10, 30)
"""So many cells look most like the one that is carried; those of its row go with it."""


Move = tuple[np.ndarray, list[int]]
"""The row (m,) that a move gives every cell, and the two rows concerned."""


class Lots:
    """Whole numbers drawn by lot: G. L. Steele, D. Lea, C. H. Flood, "Fast splittable pseudorandom
    number generators", 2014, the finaliser of the 64-bit version."""

    def __init__(self) -> None:
        self.state = 0

    def below(self, count: int) -> int:
        """A number from 0 to count - 1."""
        mask = (1 << 64) - 1
        self.state = (self.state + 0x9E3779B97F4A7C15) & mask
        mixed = ((self.state ^ self.state >> 30) * 0xBF58476D1CE4E5B9) & mask
        mixed = ((mixed ^ mixed >> 27) * 0x94D049BB133111EB) & mask
        return (mixed ^ mixed >> 31) % count


def descend_best(fit: Fit, starts: Iterable[np.ndarray]) -> Rows:
    """The state reached by moves; starts: entries (4, Z, 15).

    A quarter of the moves goes to each of the two best starts, the others to the better end. The
    first start with negligible error is taken as it is.
    """
    ends: dict[int, Rows] = {}
    for start in starts:
        state = settle_rows(fit, start)
        ends.setdefault(state.total, state)
        if state.total <= NEGLIGIBLE * fit.weight.sum():
            return state
    moves, lots = moves_for(fit), Lots()
    best = [descend_rows(fit, ends[total], moves // 4, lots) for total in sorted(ends)[:2]]
    better = min(best, key=lambda state: state.total)
    return descend_rows(fit, better, moves - moves // 4 * len(best), lots)


def moves_for(fit: Fit) -> int:
    """How many moves a picture is worth."""
    return max(4, min(max(MOVES, len(fit.first) // SETS_A_MOVE), WORK // fit.gap.size))


def descend_rows(fit: Fit, start: Rows, moves: int, lots: Lots) -> Rows:
    """The state after at most so many moves; no worse than `start`."""
    best = start
    for _ in range(moves):
        if not best.total:
            break
        row, dealt = KINDS[lots.below(len(KINDS))](fit, best, lots)
        entries = best.entries.copy()
        entries[dealt] = fit.nothing
        laid = fill_rows(fit, entries, pool_rows(fit, row))
        state = settle_rows(fit, laid, best.total, dealt)
        if state.total < best.total:
            best = state
    return best


def redeal_by_inks(fit: Fit, state: Rows, lots: Lots) -> Move:
    """Two rows are dealt anew to the one of two cells that has more of a cell's inks."""
    cells, seeds, rows = draw_seeds(state, lots)
    shares = [shared_pixels(fit, seed)[cells] for seed in seeds]
    over = np.where(shares[0] == shares[1], state.row[cells] == rows[1], shares[1] > shares[0])
    row = state.row.copy()
    row[cells] = np.where(over, rows[1], rows[0])
    return row, rows


def redeal_by_mean(fit: Fit, state: Rows, lots: Lots) -> Move:
    """Two rows are dealt anew to the one of two cells that is nearer by mean colour."""
    cells, seeds, rows = draw_seeds(state, lots)
    far = cell_gaps(fit.means[cells], fit.means[seeds])
    row = state.row.copy()
    row[cells] = np.where(far[:, 1] < far[:, 0], rows[1], rows[0])
    return row, rows


def draw_seeds(state: Rows, lots: Lots) -> tuple[np.ndarray, list[int], list[int]]:
    """The cells of two rows, two of them to deal the others around, and the rows."""
    first = draw_cell(state, lots)
    here = int(state.row[first])
    there = (here + 1 + lots.below(PALETTES - 1)) % PALETTES
    cells = np.flatnonzero((state.row == here) | (state.row == there))
    return cells, [first, int(cells[lots.below(len(cells))])], [here, there]


def carry(fit: Fit, state: Rows, lots: Lots) -> Move:
    """A cell and those of its row that look most like it go to another row."""
    one = draw_cell(state, lots)
    here = int(state.row[one])
    there = (here + 1 + lots.below(PALETTES - 1)) % PALETTES
    far = cell_gaps(fit.means, fit.means[[one]])[:, 0]
    near = np.argsort(far, kind="stable")[: COMPANY[lots.below(len(COMPANY))]]
    row = state.row.copy()
    row[near[row[near] == here]] = there
    return row, [here, there]


KINDS: tuple[Callable[[Fit, Rows, Lots], Move], ...] = (
    redeal_by_inks,
    redeal_by_inks,
    redeal_by_inks,
    redeal_by_mean,
    carry,
)
"""Drawn by lot; the one that stands several times leads out most often."""


def draw_cell(state: Rows, lots: Lots) -> int:
    """A cell, half of the time any and half of the time the likelier the more its error is."""
    if lots.below(2):
        return lots.below(len(state.row))
    error = np.cumsum(state.cost.min(axis=0))
    return int(np.searchsorted(error, lots.below(state.total), side="right"))


def shared_pixels(fit: Fit, cell: int) -> np.ndarray:
    """How many pixels of every cell (m,) show points of this one."""
    begin = fit.first[cell]
    has = np.zeros(len(fit.gap))
    has[fit.kind[begin : begin + fit.lengths[cell]]] = 1
    return np.add.reduceat(has[fit.kind] * fit.weight, fit.first)
