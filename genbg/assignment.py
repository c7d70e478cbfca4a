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
    table = [[0] * (m + 1), *([0, *line] for line in cost.astype(np.int64).tolist())]
    row_price, column_price, taken = [0] * (n + 1), [0] * (m + 1), [0] * (m + 1)
    for row in range(1, n + 1):
        taken[0] = row
        at, came = _find_free(table, row_price, column_price, taken)
        while at:
            taken[at] = taken[came[at]]
            at = came[at]
    result = np.empty(n, np.int64)
    for column, row in enumerate(taken[1:]):
        if row:
            result[row - 1] = column
    return result


def _find_free(
    table: list[list[int]], row_price: list[int], column_price: list[int], taken: list[int]
) -> tuple[int, list[int]]:
    """The nearest column that no row has taken, and from which column each was reached.

    Column 0 is where the new row waits. Prices are moved along in place. Plain lists, because most
    tables have fifteen columns, where a call of numpy costs more than a pass over them.
    """
    least, came = [1 << 60] * len(taken), [0] * len(taken)
    left, done = list(range(1, len(taken))), [0]
    at = 0
    while True:
        line, price = table[taken[at]], row_price[taken[at]]
        delta, nearest = 1 << 61, 0
        for column in left:
            way = line[column] - price - column_price[column]
            if way < least[column]:
                least[column], came[column] = way, at
            if least[column] < delta:
                delta, nearest = least[column], column
        for column in done:
            row_price[taken[column]] += delta
            column_price[column] -= delta
        for column in left:
            least[column] -= delta
        at = nearest
        left.remove(at)
        done.append(at)
        if not taken[at]:
            return at, came
