"""The best palette rows where the painted colours are too many: rows and cells fitted jointly.

Words: a *candidate* is an ink that an entry may hold; the *gap* of a point and a candidate is their
squared colour distance; a row's *pool* is what its cells show, point by point.

Two choices hang together: which row a cell takes, and which inks a row holds. `settle_rows` takes
turns: each cell goes to the row that shows it best, then each row exchanges entries for candidates
that serve its pool better (Teitz and Bart, Operations Research 16(5), 1968, priced with the nearest
and the second nearest entry of every point) and moves each to the candidate that serves its points
best (Lloyd, IEEE Transactions on Information Theory 28(2), 1982), until nothing gets better.
Candidates are colours that exist, so nothing is rounded afterwards.

All numbers are whole and below 2**53, so sums and matrix products are exact in any order.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.quantize.pack import ENTRIES, ROWS

FAR = float(1 << 27)
"""Gap to an entry that holds nothing: above that of any two colours."""

SWAPS = 4
"""Exchanges in one row before cells are dealt again; more would tune entries to cells that are
about to leave."""

ROUNDS = 40
"""Turns before settling is called off; most pictures need three to eight."""


HOPE = 3
"""A turn's gain is hoped to come so many times more in all the turns after it."""


@dataclass(frozen=True, eq=False)
class Fit:
    """What is to be fitted: m cells that are not empty, P points, J candidates, Z zones.

    first: (m,) where each cell begins in kind and weight, (e,): its points and their pixels
    gap: (P, J + 1) float64; the last column is FAR, for entries that hold nothing
    home: (P, 3) float64 lab steps of the points
    members: for each zone, the points in it
    """

    first: np.ndarray
    kind: np.ndarray
    weight: np.ndarray
    gap: np.ndarray
    home: np.ndarray
    members: tuple[np.ndarray, ...]

    @property
    def nothing(self) -> int:
        """The number that stands for no candidate."""
        return self.gap.shape[1] - 1

    @property
    def empty_rows(self) -> np.ndarray:
        """Entries (4, Z, 15) that hold nothing."""
        return np.full((ROWS, len(self.members), ENTRIES), self.nothing)


@dataclass(frozen=True, eq=False)
class Rows:
    """A state of the search.

    entries: (4, Z, 15) candidates; row: (m,) row of every cell; cost: (m, 4) of each cell in each
        row; total: the cost of all cells in their rows
    """

    entries: np.ndarray
    row: np.ndarray
    cost: np.ndarray
    total: int


def settle_rows(fit: Fit, entries: np.ndarray, bound: float = np.inf) -> Rows:
    """Improve entries and cells' rows in turns; the best state seen.

    bound: a total to get below; the turns end early where the last gain shows that it is too far
    """
    best = place_cells(fit, entries)
    for _ in range(ROUNDS):
        pool = pool_rows(fit, best.row)
        entries = move_entries(fit, swap_entries(fit, best.entries, pool), pool)
        state = place_cells(fit, entries)
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
    row = cost.argmin(axis=1)
    total = int(cost[np.arange(len(cost)), row].sum())
    return Rows(entries, row, cost, total)


def cell_costs(fit: Fit, gap: np.ndarray) -> np.ndarray:
    """Error (m, 4) of every cell in every row; gap: (P, 4) of each point in each row."""
    return np.add.reduceat(fit.weight[:, None] * gap[fit.kind], fit.first, axis=0)


def nearest_gap(fit: Fit, entries: np.ndarray) -> np.ndarray:
    """Gap (P, 4) of each point to the nearest entry of each row in the point's zone."""
    gap = np.empty((len(fit.gap), ROWS))
    for zone, points in enumerate(fit.members):
        held = fit.gap[points][:, entries[:, zone].ravel()]
        gap[points] = held.reshape(len(points), ROWS, ENTRIES).min(axis=2)
    return gap


def pool_rows(fit: Fit, row: np.ndarray) -> np.ndarray:
    """What the cells of each row show, (4, P)."""
    points = len(fit.gap)
    lengths = np.diff(fit.first, append=len(fit.kind))
    place = np.repeat(row, lengths) * points + fit.kind
    return np.bincount(place, fit.weight, minlength=ROWS * points).reshape(ROWS, points)


def move_entries(fit: Fit, entries: np.ndarray, pool: np.ndarray) -> np.ndarray:
    """Entries moved to the candidates that serve their points best, and empty ones filled."""
    entries = entries.copy()
    for zone, points in enumerate(fit.members):
        for r in range(ROWS):
            seen = points[pool[r, points] > 0]
            gap, share = fit.gap[seen], pool[r, seen]
            nearest = gap[:, entries[r, zone]].argmin(axis=1)
            costs = sum_groups(gap[:, :-1] * share[:, None], nearest)
            best = costs.argmin(axis=1)
            best[np.bincount(nearest, minlength=ENTRIES) == 0] = fit.nothing
            entries[r, zone] = fill_row(gap, best, share)
    return entries


def sum_groups(values: np.ndarray, group: np.ndarray) -> np.ndarray:
    """Sums (15, J) of the lines (p, J) that belong to each entry; group: (p,) below 15.

    Plain sums instead of a matrix product: small products in many threads cost more than they save
    where several backdrops are made side by side.
    """
    total = np.zeros((ENTRIES, values.shape[1]))
    if len(group):
        order = np.argsort(group, kind="stable")
        present, first = np.unique(group[order], return_index=True)
        total[present] = np.add.reduceat(values[order], first, axis=0)
    return total


def fill_rows(fit: Fit, entries: np.ndarray, pool: np.ndarray) -> np.ndarray:
    """Entries (4, Z, 15) with the empty ones filled for the pools (4, P)."""
    filled = entries.copy()
    for zone, points in enumerate(fit.members):
        gap = fit.gap[points]
        for r in range(ROWS):
            filled[r, zone] = fill_row(gap, entries[r, zone], pool[r, points])
    return filled


def fill_row(gap: np.ndarray, held: np.ndarray, pool: np.ndarray) -> np.ndarray:
    """Entries (15,) with the empty ones filled, each by the candidate that helps the pool most.

    gap: (p, J + 1) of the zone's points; pool: (p,). Ties to the lowest candidate; entries stay
    empty once nothing helps.
    """
    held, seen, nothing = held.copy(), np.flatnonzero(pool), gap.shape[1] - 1
    if not len(seen) or (held != nothing).all():
        return held
    gap, pool = gap[seen], pool[seen]
    near = gap[:, held].min(axis=1)
    for place in np.flatnonzero(held == nothing):
        gain = np.einsum("p,pj->j", pool, np.maximum(near[:, None] - gap, 0.0))
        best = int(gain[:-1].argmax())
        if gain[best] <= 0:
            break
        held[place] = best
        near = np.minimum(near, gap[:, best])
    return held


def swap_entries(fit: Fit, entries: np.ndarray, pool: np.ndarray) -> np.ndarray:
    """Entries after at most SWAPS exchanges in each row and zone, the best exchange first."""
    entries = entries.copy()
    for zone, points in enumerate(fit.members):
        for r in range(ROWS):
            seen = points[pool[r, points] > 0]
            if len(seen) > ENTRIES:
                entries[r, zone] = _swap_row(fit.gap[seen], entries[r, zone], pool[r, seen])
    return entries


def _swap_row(gap: np.ndarray, held: np.ndarray, pool: np.ndarray) -> np.ndarray:
    """One row after exchanges: all are priced once, then each is made if it still helps by then."""
    change = swap_changes(gap, held, pool)
    best = change.argmin(axis=1)
    price = change[np.arange(len(held)), best]
    cost = int((pool * gap[:, held].min(axis=1)).sum())
    left = SWAPS
    for place in np.argsort(price, kind="stable"):
        if price[place] >= 0 or not left:
            break
        tried = held.copy()
        tried[place] = best[place]
        after = int((pool * gap[:, tried].min(axis=1)).sum())
        if after < cost:
            held, cost, left = tried, after, left - 1
    return held


def swap_changes(gap: np.ndarray, held: np.ndarray, pool: np.ndarray) -> np.ndarray:
    """By how much each exchange (entry given up, candidate taken) changes the row's cost, (15, J).

    A point whose own entry goes falls to its second nearest or to the new candidate, any other one
    stays or goes to the new candidate.
    """
    own = gap[:, held]
    at = np.arange(len(own))
    nearest = own.argmin(axis=1)
    near = own[at, nearest]
    own[at, nearest] = 2 * FAR
    second = own.min(axis=1)
    taken = np.minimum(gap[:, :-1], near[:, None])
    lost = np.minimum(gap[:, :-1], second[:, None]) - taken
    lost *= pool[:, None]
    taken -= near[:, None]
    return sum_groups(lost, nearest) + np.einsum("p,pj->j", pool, taken)
