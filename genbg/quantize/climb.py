"""Out of the hollow where settling ends: dissolve a row, split another.

Settling moves cells one by one, so four rows that share the picture badly stay that way: two rows
for much the same colours, one for two families of them. A *move* sends the cells of one row to
their next best rows and gives the free row half of another one's cells, then settles. The moves
are tried in the order of a cheap forecast (what dissolving costs, less what the split row costs
now); the first that ends lower is taken, and the forecast is made anew.
"""

from __future__ import annotations

import numpy as np

from genbg.quantize.pack import ROWS
from genbg.quantize.rows import Fit, Rows, fill_rows, pool_rows, settle_rows
from genbg.quantize.start import cell_means, spread_means

WORK = 1 << 20
"""Moves times entries of the gap table that a climb may spend, besides MOVES: it bounds the time on
pictures of several hundred colours."""

MOVES = 16
"""Moves that a climb may try."""


def climb_rows(fit: Fit, start: Rows) -> Rows:
    """The state after all moves that help; no worse than `start`."""
    best, means = start, cell_means(fit)
    left = max(4, min(MOVES, WORK // fit.gap.size))
    while left > 0:
        for dissolved, split in forecast_moves(best):
            left -= 1
            state = try_move(fit, best, means, dissolved, split)
            if state.total < best.total:
                best = state
                break
            if left <= 0:
                return best
        else:
            return best
    return best


def forecast_moves(state: Rows) -> list[tuple[int, int]]:
    """All (row dissolved, row split), the most promising first; ties to the lowest rows."""
    at = np.arange(len(state.row))
    now = state.cost[at, state.row]
    spent = [int(now[state.row == r].sum()) for r in range(ROWS)]
    forecast = []
    for gone in range(ROWS):
        mine = state.row == gone
        others = np.delete(state.cost[mine], gone, axis=1)
        more = int(others.min(axis=1).sum()) - spent[gone] if mine.any() else 0
        forecast += [(more - spent[split], gone, split) for split in range(ROWS) if split != gone]
    return [(gone, split) for _, gone, split in sorted(forecast)]


def try_move(fit: Fit, state: Rows, means: np.ndarray, dissolved: int, split: int) -> Rows:
    """The state after one move and settling."""
    cost = state.cost.copy()
    cost[:, dissolved] = np.inf
    row = np.where(state.row == dissolved, cost.argmin(axis=1), state.row)
    halved = np.flatnonzero(state.row == split)
    if len(halved) > 1:
        row[halved[spread_means(means[halved], 2) == 1]] = dissolved
    entries = state.entries.copy()
    entries[[dissolved, split]] = fit.nothing
    return settle_rows(fit, fill_rows(fit, entries, pool_rows(fit, row)))
