"""Too many patterns -> the budget."""

from __future__ import annotations

import numpy as np

from genbg.errors import LimitError
from genbg.model import FittedPlanes, StoredPlanes
from genbg.reduce.exact import FLIPS, Cells, cut_cells, find_cells, flip_tiles

MOST_PATTERNS = 2048
"""A map word's 11-bit pattern number reaches no further."""

_EDGE = 256
"""Lab steps between see-through and opaque, beside the colours' own difference: silhouettes are
what an eye follows first."""

_GUARD = 64
"""Weight of a guarded pixel's error."""


def reduce_tiles(
    fitted: FittedPlanes,
    lab: np.ndarray,
    budget: int,
    guard: np.ndarray,
    mode: str = "balanced",
    seed: int = 0,
) -> StoredPlanes:
    """Both planes in at most `budget` patterns, at the least visible error.

    fitted: the planes in palette rows; lab: (K+1, 3) int lab steps of every ink, lab[0] the
        backdrop colour; budget: 1..2048; guard: (2, H, W) bool, pixels that merging has to keep

    Raises: LimitError for a budget out of range.
    """
    if not 1 <= budget <= MOST_PATTERNS:
        raise LimitError("patterns", budget, MOST_PATTERNS, cure="set tile_budget to 1..2048")
    cells = find_cells(fitted.index, fitted.row)
    before = len(cells.patterns)
    if before > budget:
        cells = _merge(cells, fitted.palette, np.asarray(lab), budget, cut_cells(guard))
    flips = np.array(FLIPS)[cells.flip]
    return StoredPlanes(
        patterns=cells.patterns,
        number=cells.number.reshape(cells.shape).astype(np.uint16),
        hflip=flips[:, 0].reshape(cells.shape),
        vflip=flips[:, 1].reshape(cells.shape),
        row=cells.row.reshape(cells.shape),
        before=before,
    )


def _merge(
    cells: Cells, palette: np.ndarray, lab: np.ndarray, budget: int, guard: np.ndarray
) -> Cells:
    """Drop the pattern whose cells lose least by the nearest kept one, until the budget holds."""
    count = len(cells.patterns)
    cost = np.zeros((count, count))
    best_flip = np.zeros((4, count, count), dtype=np.uint8)
    for row in range(4):
        use, weight, guarded = _uses(cells, guard, row)
        if len(use) == 0:
            continue
        steps = np.concatenate([lab[palette[row]], _opacity()], axis=1).astype(np.float64)
        # an entry without an ink shows no colour that anybody chose
        steps[1:][palette[row, 1:] == 0] = 2048
        error, flip = _errors(cells.patterns[use], guarded, cells.patterns, steps)
        cost[use] += error * weight[:, None]
        best_flip[row][use] = flip
    kept = _drop(cost, budget)
    nearest = kept[cost[:, kept].argmin(axis=1)]
    nearest[kept] = kept
    place = np.searchsorted(kept, nearest)
    flip = cells.flip ^ best_flip[cells.row, cells.number, nearest[cells.number]]
    return Cells(cells.patterns[kept], place[cells.number], flip, cells.row, cells.shape)


def _opacity() -> np.ndarray:
    return np.array([0] + [_EDGE] * 15)[:, None]


def _uses(cells: Cells, guard: np.ndarray, row: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Patterns used in a row, how often, and which of their pixels a guard marks anywhere."""
    mine = cells.row == row
    use, weight = np.unique(cells.number[mine], return_counts=True)
    marked = np.zeros((len(cells.patterns), 8, 8), dtype=bool)
    for flip in range(4):
        turned = mine & (cells.flip == flip)
        np.logical_or.at(marked, cells.number[turned], flip_tiles(guard[turned], flip))
    return use, weight, marked[use]


def _errors(
    wanted: np.ndarray, guarded: np.ndarray, patterns: np.ndarray, steps: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Least weighted squared error of every wanted tile shown by every pattern, and its flip.

    Products of integer-valued floats below 2**53: exact in any order of summing.
    """
    weight = np.where(guarded, _GUARD, 1).reshape(len(wanted), 64, 1).astype(np.float64)
    target = steps[wanted.reshape(-1, 64)]
    own = (weight * target * target).sum(axis=(1, 2))
    crossed = np.concatenate(
        [(-2 * weight * target).reshape(len(wanted), -1), weight[..., 0]], axis=1
    )
    best = np.full((len(wanted), len(patterns)), np.inf)
    flip = np.zeros(best.shape, dtype=np.uint8)
    for number in range(4):
        shown = steps[flip_tiles(patterns, number).reshape(-1, 64)]
        feature = np.concatenate(
            [shown.reshape(len(shown), -1), (shown * shown).sum(axis=2)], axis=1
        )
        error = own[:, None] + crossed @ feature.T
        lower = error < best
        best[lower], flip[lower] = error[lower], number
    return best, flip


def _drop(cost: np.ndarray, budget: int) -> np.ndarray:
    """Patterns kept, ascending: what costs least goes first. Ties: the lowest number goes."""
    count = len(cost)
    open_cost = cost.copy()
    np.fill_diagonal(open_cost, np.inf)
    alive = np.ones(count, dtype=bool)
    target = open_cost.argmin(axis=1)
    least = open_cost[np.arange(count), target]
    for _ in range(count - budget):
        gone = int(least.argmin())
        alive[gone] = False
        least[gone] = np.inf
        open_cost[:, gone] = np.inf
        # what the dropped pattern stood for weighs on the one that now stands for it
        open_cost[target[gone]] += np.where(np.isfinite(open_cost[target[gone]]), cost[gone], 0)
        for mine in np.flatnonzero(alive & ((target == gone) | (np.arange(count) == target[gone]))):
            target[mine] = open_cost[mine].argmin()
            least[mine] = open_cost[mine, target[mine]]
    return np.flatnonzero(alive)
