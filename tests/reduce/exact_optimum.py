"""The least error there is of choosing among existing tiles, by integer programming."""

from __future__ import annotations

import numpy as np
from reduce_samples import painted_inks
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import csr_matrix, eye, hstack, kron

from genbg.reduce.judge import Judged


def pair_errors(judged: Judged) -> tuple[np.ndarray, np.ndarray]:
    """Squared error (n, n) of showing each distinct look by each, best flip; and their uses."""
    inks = painted_inks(judged)
    planes, rows, columns = judged.row.shape
    cells = judged.steps[inks].reshape(planes, rows, 8, columns, 8, 3).transpose(0, 1, 3, 2, 4, 5)
    cells = cells.reshape(-1, 8, 8, 3).astype(np.float64)
    turned = [cells[:, ::a, ::b].reshape(len(cells), -1) for a in (1, -1) for b in (1, -1)]
    error = np.min([((turned[0][:, None] - t[None]) ** 2).sum(axis=2) for t in turned], axis=0)
    _, first, uses = np.unique(error.argmin(axis=1), return_index=True, return_counts=True)
    return error[np.ix_(first, first)], uses.astype(np.float64)


def exact_medians(error: np.ndarray, uses: np.ndarray, budget: int) -> float:
    """Least error of choosing among existing tiles: the p-median optimum, by HiGHS.

    S. L. Hakimi, "Optimum locations of switching centers", Operations Research 12(3), 1964.
    """
    n = len(error)
    cost = np.concatenate([(error * uses[:, None]).reshape(-1), np.zeros(n)])
    shown_once = hstack([kron(eye(n), np.ones((1, n))), csr_matrix((n, n))])
    only_open = hstack([eye(n * n), -kron(np.ones((n, 1)), eye(n))])
    count = hstack([csr_matrix((1, n * n)), np.ones((1, n))])
    found = milp(
        cost,
        constraints=[
            LinearConstraint(shown_once, 1, 1),
            LinearConstraint(only_open, -np.inf, 0),
            LinearConstraint(count, budget, budget),
        ],
        integrality=np.concatenate([np.zeros(n * n), np.ones(n)]),
        bounds=Bounds(0, 1),
    )
    assert found.success
    return float(found.fun)
