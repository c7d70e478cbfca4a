"""Out of the hollow where settling ends: dissolve a row, split another.

Settling moves cells one by one, so four rows that share the picture badly stay that way: two rows
for much the same colours, one for two families of them. A *move* sends the cells of one row to
their next best rows, gives the free row a part of another one's cells, then settles. A row is split
in two ways: halves of like mean colour, or the third of its cells that it shows worst. Moves are
tried in the order of a cheap forecast (what dissolving costs, less what the split row costs now);
the first that ends lower is taken, and the forecast is made anew.
"""

from __future__ import annotations

from collections.abc import Iterable

import numpy as np

from genbg.quantize.pack import ROWS
from genbg.quantize.rows import Fit, Rows, fill_rows, pool_rows, settle_rows
from genbg.quantize.start import cell_means, spread_means

TRIAL, MOVES = 8, 32
"""Moves tried from each start, and then from the best end of these."""

WORK = 3 << 19
"""Moves times the size of the gap table are held to this, so that pictures of several hundred
colours do not take seconds."""

WORST = 3
"""One in so many cells of a row is split off as shown worst."""

Move = tuple[int, int, bool]
"""The row dissolved, the row split, and whether it is split by looks (or else by error)."""


def climb_best(fit: Fit, starts: Iterable[Rows]) -> Rows:
    """The best state reached by moves: a few from each start, more from the best end."""
    share = min(1.0, WORK / ((TRIAL + MOVES) * fit.gap.size))
    ends = [climb_rows(fit, start, max(4, int(TRIAL * share))) for start in starts]
    return climb_rows(fit, min(ends, key=lambda rows: rows.total), max(4, int(MOVES * share)))


def climb_rows(fit: Fit, start: Rows, moves: int) -> Rows:
    """The state after at most so many moves tried; no worse than `start`."""
    best, means = start, cell_means(fit)
    while moves > 0:
        for move in forecast_moves(best):
            moves -= 1
            state = try_move(fit, best, means, move)
            if state.total < best.total:
                best = state
                break
            if moves <= 0:
                return best
        else:
            return best
    return best


def forecast_moves(state: Rows) -> list[Move]:
    """All moves, the most promising first; ties to the lowest rows, split by looks first."""
    at = np.arange(len(state.row))
    now = state.cost[at, state.row]
    spent = [int(now[state.row == r].sum()) for r in range(ROWS)]
    forecast = []
    for gone in range(ROWS):
        mine = state.row == gone
        others = np.delete(state.cost[mine], gone, axis=1)
        more = int(others.min(axis=1).sum()) - spent[gone] if mine.any() else 0
        forecast += [(more - spent[split], gone, split) for split in range(ROWS) if split != gone]
    return [(gone, split, looks) for _, gone, split in sorted(forecast) for looks in (True, False)]


def try_move(fit: Fit, state: Rows, means: np.ndarray, move: Move) -> Rows:
    """The state after one move and settling, which is cut short where it can't get lower."""
    dissolved, split, looks = move
    cost = state.cost.copy()
    cost[:, dissolved] = np.inf
    row = np.where(state.row == dissolved, cost.argmin(axis=1), state.row)
    parted = np.flatnonzero(state.row == split)
    if len(parted) > 1:
        off = (
            parted[spread_means(means[parted], 2) == 1]
            if looks
            else shown_worst(fit, state, parted)
        )
        row[off] = dissolved
    entries = state.entries.copy()
    entries[[dissolved, split]] = fit.nothing
    return settle_rows(fit, fill_rows(fit, entries, pool_rows(fit, row)), state.total)


def shown_worst(fit: Fit, state: Rows, cells: np.ndarray) -> np.ndarray:
    """Of these cells, the third with the most error a pixel; ties to the first cell."""
    pixels = np.add.reduceat(fit.weight, fit.first)
    error = state.cost[cells, state.row[cells]] / pixels[cells]
    return cells[np.argsort(-error, kind="stable")[: max(1, len(cells) // WORST)]]
