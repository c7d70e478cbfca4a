"""Assignments: every row of a table of costs gets a column of its own, at the least cost in all."""

from __future__ import annotations

import numpy as np


def best_assignment(cost: np.ndarray) -> np.ndarray:
    """For each row of a table (n, m) of whole numbers its own column, at the least cost in all.

    There are at least as many columns as rows, and no number is 2**60 or more. Shortest augmenting
    paths with potentials (H. W. Kuhn, Naval Research Logistics Quarterly 2, 1955). Ties to the
    lowest column on the way.
    """
    n, m = cost.shape
    table = np.zeros((n + 1, m + 1), np.int64)
    table[1:, 1:] = cost
    row_price, column_price = np.zeros(n + 1, np.int64), np.zeros(m + 1, np.int64)
    taken = np.zeros(m + 1, np.int64)
    for row in range(1, n + 1):
        taken[0] = row
        at, came = _find_free(table, row_price, column_price, taken)
        while at:
            taken[at] = taken[came[at]]
            at = came[at]
    used = np.flatnonzero(taken[1:])
    result = np.empty(n, np.int64)
    result[taken[1:][used] - 1] = used
    return result


def _find_free(
    table: np.ndarray, row_price: np.ndarray, column_price: np.ndarray, taken: np.ndarray
) -> tuple[int, np.ndarray]:
    """The nearest column that no row has taken, and from which column each was reached.

    Column 0 is where the new row waits. Prices are moved along in place.
    """
    size = len(taken)
    least = np.full(size, 1 << 60)
    came = np.zeros(size, np.int64)
    done = np.zeros(size, bool)
    at = 0
    while True:
        done[at] = True
        way = table[taken[at]] - row_price[taken[at]] - column_price
        nearer = ~done & (way < least)
        least[nearer], came[nearer] = way[nearer], at
        step = int(np.where(done, 1 << 60, least).argmin())
        delta = least[step]
        row_price[taken[done]] += delta
        column_price[done] -= delta
        least[~done] -= delta
        at = step
        if not taken[at]:
            return at, came
