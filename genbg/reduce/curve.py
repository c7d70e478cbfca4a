"""Error against budget: what other budgets would cost, from one run.

Merging in pairs passes through every budget on its way. What it spends there is not the error of
a finished search, but it grows alike: the curve is scaled so that it meets the error of the search
at the budget asked for. All other points are estimates.
"""

from __future__ import annotations

import numpy as np

from genbg.reduce.merge import Groups

POINTS = 64
"""Points of a curve: enough for a plot of a few hundred pixels."""


def error_curve(before: int, groups: Groups, need: int, error: float) -> np.ndarray:
    """Curve (n, 2) float64 of tiles and mean squared OKLab error, from all tiles to one.

    before: distinct tiles; groups: the merge that the search began with
    need: tiles that the groups need; error: of the finished search with as many
    """
    spent = np.cumsum(groups.costs, dtype=np.float64)
    at_budget = float(spent[-1]) if len(spent) else 0.0
    above = np.stack([need + np.arange(len(spent))[::-1], spent], axis=1)
    further = at_budget + np.cumsum(groups.further, dtype=np.float64)
    below = np.stack([need - 1 - np.arange(len(further)), further], axis=1)
    points = np.concatenate([[[before, 0.0]], above[above[:, 0] < before], below])
    points = points[points[:, 0] >= 1]
    points[:, 1] *= error / at_budget if at_budget > 0 else 0.0
    return _thin(points, need)


def _thin(points: np.ndarray, need: int) -> np.ndarray:
    """Some of the points, evenly spread, with the ends and the budget itself."""
    if len(points) <= POINTS:
        return points
    chosen = set(np.linspace(0, len(points) - 1, POINTS).astype(int).tolist())
    chosen.update(np.flatnonzero(points[:, 0] == need).tolist())
    return points[sorted(chosen)]
