"""Too many patterns -> the budget: what costs nothing first, then a search for the least error."""

from __future__ import annotations

import numpy as np

from genbg.errors import LimitError, PresetError
from genbg.model import FittedPlanes, StoredPlanes
from genbg.reduce.exact import FLIPS, find_cells
from genbg.reduce.metric import make_form
from genbg.reduce.problem import Choice, pose_problem
from genbg.reduce.search import MODES, search, unify

MOST_PATTERNS = 2048
"""A map word's 11-bit pattern number reaches no further."""


def reduce_tiles(
    fitted: FittedPlanes,
    lab: np.ndarray,
    budget: int,
    guard: np.ndarray,
    mode: str = "balanced",
    seed: int = 0,
) -> StoredPlanes:
    """Both planes in at most `budget` patterns, at the least visible error.

    fitted: the planes in palette rows, any number of planes
    lab: (K+1, 3) int lab steps of every ink, lab[0] the backdrop colour
    budget: 1..2048; guard: (planes, H, W) bool, pixels that merging has to keep
    mode: "balanced", "fast" (no swaps) or "contours" (outlines before texture)
    seed: no part of the search is random; the same planes give the same patterns for any seed

    Raises: LimitError for a budget out of range, PresetError for an unknown mode.
    """
    if not 1 <= budget <= MOST_PATTERNS:
        raise LimitError("patterns", budget, MOST_PATTERNS, cure="set tile_budget to 1..2048")
    if mode not in MODES:
        raise PresetError(f'mode "{mode}": allowed are {", ".join(sorted(MODES))}')
    cells = find_cells(fitted.index, fitted.row)
    before = len(cells.patterns)
    choice = Choice(cells.patterns, cells.number, cells.flip, cells.row)
    if before > budget:
        how = MODES[mode]
        problem = pose_problem(cells, fitted.palette, lab, make_form(how.weights), guard)
        choice = unify(search(problem, budget, how))
    flips = np.array(FLIPS)[choice.flip]
    return StoredPlanes(
        patterns=choice.patterns,
        number=choice.number.reshape(cells.shape).astype(np.uint16),
        hflip=flips[:, 0].reshape(cells.shape),
        vflip=flips[:, 1].reshape(cells.shape),
        row=choice.row.reshape(cells.shape).astype(np.uint8),
        before=before,
    )
