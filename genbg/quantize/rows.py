"""The best palette rows where the painted colours are too many: rows and cells fitted jointly.

Words: a *candidate* is an ink that an entry may hold; the *gap* of a point and a candidate is their
squared colour distance; a row's *pool* is what its cells show, point by point.

Two choices hang together: which row a cell takes, and which inks a row holds. `settle_rows` takes
turns: each cell goes to the row that shows it best, then each row's entries are exchanged and moved
for what its cells show (`entries.py`), until nothing gets better.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np

from genbg.hardware.sizes import PALETTE_COLOURS, PALETTES
from genbg.quantize.entries import Table, fill_entries, gap_table, improve_entries
from genbg.quantize.pack import set_words

ROUNDS = 40
"""Turns before settling is called off; most pictures need three to eight."""

HOPE = 3
"""All turns after one are expected to gain at most this many times what it gained."""

BEGIN, TURN = 4, 1.15
"""Where there is a total to get below: hopeless above so many times that one at the beginning, and
after the first turn. Nine in ten of those that get there lie below both."""


EVERY = tuple(range(PALETTES))
"""All rows."""


@dataclass(frozen=True, eq=False)
class Fit:
    """What is to be fitted: m cells that are not empty, P points, J candidates, Z zones.

    first: (m,) where each cell begins in kind and weight, (e,): its points and their pixels
    gap: (P, J + 1) float64; the last column is FAR, for entries that hold nothing
    home: (P, 3) float64 lab steps of the points
    members: for each zone, the points in it
    own: (P,) the candidate that is each point's own ink
    """

    first: np.ndarray
    kind: np.ndarray
    weight: np.ndarray
    gap: np.ndarray
    home: np.ndarray
    members: tuple[np.ndarray, ...]
    own: np.ndarray

    @property
    def nothing(self) -> int:
        """The number that stands for no candidate."""
        return self.gap.shape[1] - 1

    @property
    def empty_rows(self) -> np.ndarray:
        """Entries (4, Z, 15) that hold nothing."""
        return np.full((PALETTES, len(self.members), PALETTE_COLOURS), self.nothing)

    @cached_property
    def tables(self) -> tuple[Table, ...]:
        """The gaps of each zone."""
        return tuple(gap_table(self.gap[points], self.own[points]) for points in self.members)

    @cached_property
    def lengths(self) -> np.ndarray:
        """How many points each cell has, (m,)."""
        return np.diff(self.first, append=len(self.kind))

    @cached_property
    def means(self) -> np.ndarray:
        """Mean colour of every cell, (m, 3) whole lab steps as float64."""
        total = np.add.reduceat(self.weight[:, None] * self.home[self.kind], self.first, axis=0)
        pixels = np.add.reduceat(self.weight, self.first)
        return np.floor(total / pixels[:, None] + 0.5)


@dataclass(frozen=True, eq=False)
class Rows:
    """A state of the search.

    entries: (4, Z, 15) candidates; row: (m,) row of every cell; cost: (4, m) of each row for each
        cell; total: the cost of all cells in their rows
    """

    entries: np.ndarray
    row: np.ndarray
    cost: np.ndarray
    total: int


def merge_cells(fit: Fit) -> Fit:
    """The fit with cells of the same points taken together, one for each set of points.

    They would nearly always take the same row, and drawn art has several of them to a set.
    """
    if not len(fit.first):
        return fit
    words = set_words(fit.first, fit.kind, len(fit.gap))
    _, kept, which = np.unique(words, axis=0, return_index=True, return_inverse=True)
    first = np.cumsum(fit.lengths[kept]) - fit.lengths[kept]
    ahead = np.arange(len(fit.kind)) - np.repeat(fit.first, fit.lengths)
    place = np.repeat(first[which.ravel()], fit.lengths) + ahead
    kind = np.empty(int(fit.lengths[kept].sum()), np.int64)
    kind[place] = fit.kind
    weight = np.bincount(place, fit.weight)
    return Fit(first, kind, weight, fit.gap, fit.home, fit.members, fit.own)


def settle_rows(
    fit: Fit, entries: np.ndarray, bound: float = np.inf, dealt: Sequence[int] = EVERY
) -> Rows:
    """Improve entries and cells' rows in turns; the best state seen.

    bound: a total to get below; the turns end early where that seems too far
    dealt: rows to improve in the first turn, because the others have settled before
    """
    best = place_cells(fit, entries)
    for turn in range(ROUNDS):
        if not best.total or best.total > bound * (BEGIN, TURN)[min(turn, 1)]:
            break
        pool = pool_rows(fit, best.row)
        state = place_cells(fit, improve_rows(fit, best.entries, pool, EVERY if turn else dealt))
        gain = best.total - state.total
        if gain <= 0:
            break
        best = state
        if best.total - HOPE * gain > bound:
            break
    return best


def place_cells(fit: Fit, entries: np.ndarray) -> Rows:
    """Each cell in the row that shows it with the least error; ties to the lowest row."""
    cost = cell_costs(fit, nearest_gap(fit, entries))
    return Rows(entries, cost.argmin(axis=0), cost, int(cost.min(axis=0).sum()))


def cell_costs(fit: Fit, gap: np.ndarray) -> np.ndarray:
    """Error (4, m) of every cell in every row; gap: (4, P) of each point in each row."""
    return np.add.reduceat(gap.take(fit.kind, axis=1) * fit.weight, fit.first, axis=1)


def nearest_gap(fit: Fit, entries: np.ndarray) -> np.ndarray:
    """Gap (4, P) of each point to the nearest entry of each row in the point's zone."""
    gap = np.empty((PALETTES, len(fit.gap)))
    for zone, points in enumerate(fit.members):
        gap[:, points] = fit.tables[zone].column.take(entries[:, zone], axis=0).min(axis=1)
    return gap


def pool_rows(fit: Fit, row: np.ndarray) -> np.ndarray:
    """What the cells of each row show, (4, P)."""
    points = len(fit.gap)
    place = np.repeat(row * points, fit.lengths) + fit.kind
    return np.bincount(place, fit.weight, minlength=PALETTES * points).reshape(PALETTES, points)


def improve_rows(
    fit: Fit, entries: np.ndarray, pool: np.ndarray, dealt: Sequence[int] = EVERY
) -> np.ndarray:
    """Entries (4, Z, 15) after exchanges and moves in some rows for the pools (4, P)."""
    entries, rows = entries.copy(), np.array(dealt)
    for zone, points in enumerate(fit.members):
        share = pool[rows[:, None], points]
        entries[rows, zone] = improve_entries(fit.tables[zone], entries[rows, zone], share)
    return entries


def fill_rows(fit: Fit, entries: np.ndarray, pool: np.ndarray) -> np.ndarray:
    """Entries (4, Z, 15) with the empty ones filled for the pools (4, P)."""
    entries = entries.copy()
    for zone, points in enumerate(fit.members):
        entries[:, zone] = fill_entries(fit.tables[zone], entries[:, zone], pool[:, points])
    return entries
