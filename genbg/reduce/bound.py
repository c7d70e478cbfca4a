"""What no method can beat: a lower bound on the squared error at a budget.

Let a tile serve m tiles. For any two of them it costs at least `joint(i, j)`, the least squared
error of showing both by one tile, each in whatever row and flip suits; summed over all pairs,
every tile counts m - 1 times, so the m tiles cost at least the sum over them of half the mean of
their m - 1 least joint costs. How many tiles share each tile is free, but the shares 1/m of all
tiles sum to at most the budget. The least of the sum under that one condition is found by its
Lagrange multiplier; every multiplier gives a valid bound, the best one is taken.

No bound on how good a result can be is perfect: this one counts pairs, so it says more about
budgets near the number of tiles than about small ones.
"""

from __future__ import annotations

import numpy as np

from genbg.colour import LAB_SCALE
from genbg.reduce.exact import cut_cells, find_cells, flip_tiles
from genbg.reduce.judge import Judged

NEAR = 24
"""Neighbours of a tile whose joint cost is worked out in full; the others count as the next one."""

STEPS = 60
"""Halvings of the interval of the Lagrange multiplier."""


def error_bound(judged: Judged, budget: int) -> float:
    """Mean squared OKLab error a pixel that no choice of `budget` tiles goes below, as long as
    entries of palette rows stay in their order.

    Takes about 3 seconds for 1000 distinct tiles, and grows with their square. Pixels that are
    see-through count as the backdrop colour lab[0], as in the figures of the manifest.
    """
    lab = np.asarray(judged.steps, dtype=np.int64)[:, :3]
    cells = find_cells(judged.index, judged.row)
    count = len(cells.tiles)
    if count <= budget:
        return 0.0
    uses = np.zeros((count, len(judged.palette)), dtype=np.int64)
    np.add.at(uses, (cells.number, cells.row), 1)
    row, weight = uses.argmax(axis=1), uses.max(axis=1)
    inks, at = np.unique(judged.palette, return_inverse=True)
    at = at.reshape(judged.palette.shape)
    tables = _pair_tables(judged.palette, lab[inks], lab)
    tiles = at[row[:, None, None], cells.tiles]
    least = _least_joint(tiles, weight, tables)
    whole = _best_bound(least, budget)
    return whole / (LAB_SCALE * LAB_SCALE * cut_cells(judged.index).size)


def _pair_tables(palette: np.ndarray, colours: np.ndarray, lab: np.ndarray) -> np.ndarray:
    """Least error (r * r, inks, inks) int32 of two inks shown by one entry, for every two rows."""
    rows = []
    for row in palette:
        usable = np.r_[True, row[1:] > 0]
        off = colours[:, None] - lab[row]
        cost = (off * off).sum(axis=2)
        cost[:, ~usable] = 1 << 24
        rows.append(cost)
    return np.stack([(a[:, None] + b[None]).min(axis=2) for a in rows for b in rows]).astype(
        np.int32
    )


def _least_joint(tiles: np.ndarray, weight: np.ndarray, tables: np.ndarray) -> np.ndarray:
    """The NEAR least joint costs (D, NEAR) float64 of every tile, ascending, or less.

    First every pair is bounded by the best rows pixel by pixel; only the nearest are worked out
    for each choice of rows. Others cost at least what the first of them is bounded by.
    """
    count = len(tiles)
    flips = np.stack([flip_tiles(tiles, flip).reshape(count, 64) for flip in range(4)])
    loose = tables.min(axis=0)
    near = min(NEAR, count - 1)
    result = np.empty((count, near))
    pixel = np.arange(64)
    for one in range(count):
        own = flips[0, one]
        bound = loose[own][pixel, flips].sum(axis=2, dtype=np.int64).min(axis=0)
        both = np.minimum(weight, weight[one])
        bound = bound * both
        bound[one] = np.iinfo(np.int64).max
        order = np.argsort(bound, kind="stable")
        some = order[:near]
        costs = [
            table[own][pixel, flips[:, some]].sum(axis=2, dtype=np.int64).min(axis=0)
            for table in tables
        ]
        exact = np.sort(np.min(costs, axis=0) * both[some])
        cap = bound[order[near]] if near < count - 1 else exact[-1]
        result[one] = np.minimum(exact, cap)
    return result


def _best_bound(least: np.ndarray, budget: int) -> float:
    """The largest of the bounds that the multipliers give."""
    count, near = least.shape
    shared = np.arange(1, near + 1)
    # a tile that shares with more than `near` others costs no less than with that many
    cost = np.concatenate([np.zeros((count, 1)), np.cumsum(least, axis=1) / shared / 2], axis=1)
    portion = np.r_[1.0, 1.0 / (shared + 1)]
    portion[-1] = 0.0

    def bound(multiplier: float) -> float:
        return float((cost + multiplier * portion).min(axis=1).sum()) - multiplier * budget

    low, high = 0.0, float(cost.max()) * 4 + 1.0
    for _ in range(STEPS):
        third = (high - low) / 3
        if bound(low + third) < bound(high - third):
            low += third
        else:
            high -= third
    return max(0.0, bound((low + high) / 2))
