"""The entries of rows in one zone: priced, exchanged, moved and filled, several rows at once.

A row's entries serve its *pool*: how many pixels of each point its cells show. Exchanges are priced
with the nearest and the second nearest entry of every point (Teitz and Bart, Operations Research
16(5), 1968); a move takes an entry to the candidate that serves its points best (Lloyd, IEEE
Transactions on Information Theory 28(2), 1982). Candidates are colours that exist, so nothing is
rounded afterwards.

All numbers are whole and below 2**53, so sums and matrix products are exact in any order.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.hardware.sizes import PALETTE_COLOURS

FAR = float(1 << 27)
"""Gap to an entry that holds nothing: above that of any two colours."""

SWAPS = 4
"""Exchanges in one row before cells are dealt again; more would tune entries to cells that are
about to leave."""


@dataclass(frozen=True, eq=False)
class Table:
    """Gaps in one zone: p points, J candidates.

    gap: (p, J) float64; column: (J + 1, p) the same turned, the last line FAR
    own: (p,) the candidate that is the point's own ink
    lone: (p,) gap of each point to the nearest candidate that differs from it
    """

    gap: np.ndarray
    column: np.ndarray
    own: np.ndarray
    lone: np.ndarray

    @property
    def nothing(self) -> int:
        """The number that stands for no candidate."""
        return len(self.column) - 1


def gap_table(gap: np.ndarray, own: np.ndarray) -> Table:
    """The table of some points; gap: (p, J + 1), the last column FAR."""
    inner = np.ascontiguousarray(gap[:, :-1])
    lone = np.where(inner > 0, inner, FAR).min(axis=1, initial=FAR)
    return Table(inner, np.ascontiguousarray(gap.T), own, lone)


def improve_entries(table: Table, held: np.ndarray, pool: np.ndarray) -> np.ndarray:
    """Entries (n, 15) of some rows after exchanges and moves; pool: (n, p)."""
    return move_entries(table, swap_entries(table, held, pool), pool)


def swap_entries(table: Table, held: np.ndarray, pool: np.ndarray) -> np.ndarray:
    """Entries after at most SWAPS exchanges in each row.

    All are priced once; the best one of each entry is made, the best entries first, if it still
    helps by then.
    """
    change = swap_changes(table, held, pool)
    taken, price = change.argmin(axis=2), change.min(axis=2)
    order = np.argsort(price, axis=1, kind="stable")
    held, rows = held.copy(), np.arange(len(held))
    cost = pool_costs(table, held, pool)
    for place in order.T[:SWAPS]:
        hopeful = price[rows, place] < 0
        if not hopeful.any():
            break
        tried = held.copy()
        tried[rows, place] = taken[rows, place]
        after = pool_costs(table, tried, pool)
        better = hopeful & (after < cost)
        held[better], cost[better] = tried[better], after[better]
    return held


def pool_costs(table: Table, held: np.ndarray, pool: np.ndarray) -> np.ndarray:
    """Error (n,) of every row's pool (n, p) with the entries (n, 15)."""
    cost: np.ndarray = (table.column.take(held, axis=0).min(axis=1) * pool).sum(axis=1)
    return cost


def swap_changes(table: Table, held: np.ndarray, pool: np.ndarray) -> np.ndarray:
    """By how much each exchange (entry given up, candidate taken) changes a row's cost, (n, 15, J).

    A point whose own entry goes falls to its second nearest or to the new candidate, any other one
    stays or goes to the new candidate.
    """
    gaps = table.column.take(held, axis=0)
    nearest, near = gaps.argmin(axis=1), gaps.min(axis=1)
    gaps[np.arange(len(held))[:, None], nearest, np.arange(len(table.gap))] = 2 * FAR
    second = gaps.min(axis=1)
    taken = np.minimum(table.gap, near[:, :, None])
    lost = np.minimum(table.gap, second[:, :, None])
    lost -= taken
    gained = np.matmul(pool[:, None], taken) - (pool * near).sum(axis=1)[:, None, None]
    change: np.ndarray = np.matmul(served(nearest, pool), lost) + gained
    return change


def served(nearest: np.ndarray, pool: np.ndarray) -> np.ndarray:
    """The pool of each entry, (n, 15, p); nearest: (n, p) the entry that serves each point."""
    return (nearest[:, None] == np.arange(PALETTE_COLOURS)[:, None]) * pool[:, None]


def move_entries(table: Table, held: np.ndarray, pool: np.ndarray) -> np.ndarray:
    """Entries moved to the candidates that serve their points best; those of no use filled anew."""
    share = served(table.column.take(held, axis=0).argmin(axis=1), pool)
    costs = share.reshape(held.size, -1) @ table.gap
    best = np.where(share.any(axis=2), costs.argmin(axis=1).reshape(held.shape), table.nothing)
    return fill_entries(table, best, pool)


def fill_entries(table: Table, held: np.ndarray, pool: np.ndarray) -> np.ndarray:
    """Entries (n, 15) with the empty ones filled, each by the candidate that helps the pool most.

    Wholly empty rows are laid by `lay_row` first. Ties to the lowest candidate; entries stay empty
    once nothing helps.
    """
    held = held.copy()
    empty = held == table.nothing
    for row in np.flatnonzero(empty.all(axis=1)):
        held[row] = lay_row(table, pool[row])
    open_rows = np.flatnonzero((held == table.nothing).any(axis=1))
    near = table.column[held[open_rows]].min(axis=1)
    cost = (near * pool[open_rows]).sum(axis=1)
    while cost.any():
        share = pool[open_rows]
        after = np.matmul(share[:, None], np.minimum(table.gap, near[:, :, None]))[:, 0]
        best = after.argmin(axis=1)
        place = (held[open_rows] == table.nothing).argmax(axis=1)
        least = after[np.arange(len(best)), best]
        held[open_rows, place] = np.where(least < cost, best, table.nothing)
        near = np.minimum(near, table.column[best])
        on = (least < cost) & (held[open_rows] == table.nothing).any(axis=1)
        open_rows, near, cost = open_rows[on], near[on], least[on]
    return held


def lay_row(table: Table, pool: np.ndarray) -> np.ndarray:
    """Entries (15,) of a new row: the points that would cost most if their nearest stood for them.

    pool: (p,). Ties to the lowest point.
    """
    held = np.full(PALETTE_COLOURS, table.nothing)
    price = pool * table.lone
    dearest = np.argsort(-price, kind="stable")[:PALETTE_COLOURS]
    dearest = dearest[price[dearest] > 0]
    held[: len(dearest)] = table.own[dearest]
    return held
