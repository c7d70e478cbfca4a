"""In which order each palette row holds its inks.

The order costs nothing and decides how far one pattern serves: cells under different rows share a
pattern where equal entries mean the right thing in both. So
  - an ink that stands in several rows gets the same entry in all of them where that can be had;
  - inks that play the same part in the same shape (two bands with the same dither, two hills with
    the same outline) get the same entry: each such meeting is a *vote* for the pair;
  - otherwise rows run from dark to light, so that a pattern drawn for one row shows the same light
    and shade under another.

A *list* is the inks of one row in one zone, counted `row * Z + zone`; a *slot* is a place in a list
before, a *column* the entry 1..15 after ordering.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from genbg.quantize.pack import ENTRIES

LIGHT_STEPS = 16
"""Lab steps of lightness that weigh as much as one vote."""

SAME_INK_VOTES = 64
"""Votes for giving an ink the same entry in two rows: more than shapes get in most pictures,
because then every pattern that shows only such inks serves under both rows unchanged."""

SHAPE_LABELS = 4
"""Shapes of more inks than this are too rarely met twice to be worth the look."""

PASSES = 3
"""Times that all lists are ordered anew, each against all others."""


def order_columns(ink: np.ndarray, light: np.ndarray, slots: np.ndarray) -> np.ndarray:
    """Column 1..15 of every slot, (lists, 15); each list's columns are a permutation.

    ink: (lists, 15) ink of every slot, -1 where it holds none
    light: (lists, 15) lightness in lab steps
    slots: (p, 64) distinct cell patterns as `list * 15 + slot`, -1 see-through
    """
    votes = shape_votes(slots, ink.size)
    flat = ink.ravel()
    same = (flat[:, None] == flat[None]) & (flat[:, None] >= 0)
    votes += SAME_INK_VOTES * same
    column = np.stack([_dark_to_light(*pair) for pair in zip(ink, light, strict=True)])
    busy = np.argsort(-(ink >= 0).sum(axis=1), kind="stable")
    for turn in range(PASSES):
        before = column.copy()
        for place, one in enumerate(busy):
            others = busy[:place] if turn == 0 else np.delete(busy, place)
            if len(others):
                column[one] = _order_list(one, others, ink, light, votes, column)
        if turn and np.array_equal(before, column):
            break
    return column


def _dark_to_light(ink: np.ndarray, light: np.ndarray) -> np.ndarray:
    order = np.lexsort((ink, light, ink < 0))
    column = np.empty(ENTRIES, np.int64)
    column[order] = np.arange(1, ENTRIES + 1)
    return column


def _order_list(
    one: int,
    others: np.ndarray,
    ink: np.ndarray,
    light: np.ndarray,
    votes: np.ndarray,
    column: np.ndarray,
) -> np.ndarray:
    """The columns of one list that agree best with the other lists as they stand."""
    score = np.zeros((ENTRIES, ENTRIES), np.int64)
    rank = _dark_to_light(ink[one], light[one])
    for other in others:
        at = np.empty(ENTRIES, np.int64)
        at[column[other] - 1] = np.arange(ENTRIES)
        score += votes[one * ENTRIES :][:ENTRIES, other * ENTRIES + at] * LIGHT_STEPS
        both = (ink[one][:, None] >= 0) & (ink[other][at][None] >= 0)
        score -= np.where(both, np.abs(light[one][:, None] - light[other][at][None]), 0)
    # Where nothing else decides, the list stays in its own order from dark to light.
    score = score * 4 * ENTRIES - np.abs(rank[:, None] - np.arange(1, ENTRIES + 1))
    score[ink[one] < 0] = 0
    return best_assignment(-score) + 1


def shape_votes(slots: np.ndarray, size: int) -> np.ndarray:
    """How often two slots of different lists play the same part in one shape, (size, size).

    Two patterns have the same shape where one becomes the other, flipped or not, by exchanging
    inks. Shapes of a single ink vote for nothing: all solid cells share patterns in any order.
    """
    votes = np.zeros((size, size), np.int64)
    for parts in shapes(slots).values():
        tables = sorted(parts)
        for k, first in enumerate(tables):
            for second in tables[k + 1 :]:
                pairs = list(zip(first, second, strict=True))
                if all(a // ENTRIES != b // ENTRIES for a, b in pairs):
                    for a, b in pairs:
                        votes[a, b] += 1
                        votes[b, a] += 1
    return votes


def shapes(slots: np.ndarray) -> dict[bytes, set[tuple[int, ...]]]:
    """For each shape of 2 to SHAPE_LABELS inks, which slots fill its parts in the patterns given.

    slots: (p, 64), -1 see-through
    """
    ranked = np.sort(slots, axis=1)
    inks = (ranked[:, 0] >= 0) + ((ranked[:, 1:] != ranked[:, :-1]) & (ranked[:, 1:] >= 0)).sum(1)
    some = slots[(inks >= 2) & (inks <= SHAPE_LABELS)]
    found: dict[bytes, set[tuple[int, ...]]] = {}
    if not len(some):
        return found
    flips = _flips(some)
    labels = [_first_places(one) for one in flips]
    for k in range(len(some)):
        drawn = [
            (label[k].tobytes(), tuple(_in_order(one[k]))) for one, label in zip(flips, labels)
        ]
        shape, parts = min(drawn)
        found.setdefault(shape, set()).add(parts)
    return found


def _flips(cells: np.ndarray) -> list[np.ndarray]:
    square = cells.reshape(-1, 8, 8)
    flipped = square, square[:, :, ::-1], square[:, ::-1], square[:, ::-1, ::-1]
    return [np.ascontiguousarray(one.reshape(len(cells), 64)) for one in flipped]


def _first_places(cells: np.ndarray) -> np.ndarray:
    """For every pixel where its value first stands in the cell, (p, 64) uint8; see-through 255."""
    first = np.full(cells.shape, 255, np.uint8)
    for k in range(63, -1, -1):
        first[cells == cells[:, k : k + 1]] = k
    first[cells < 0] = 255
    return first


def _in_order(cell: np.ndarray) -> Sequence[int]:
    return [value for value in dict.fromkeys(cell.tolist()) if value >= 0]


def best_assignment(cost: np.ndarray) -> np.ndarray:
    """For each row of a square table of whole numbers its column, at the least cost in all.

    Shortest augmenting paths with potentials (H. W. Kuhn, Naval Research Logistics Quarterly 2,
    1955). Ties to the lowest column on the way.
    """
    n = len(cost)
    table = np.zeros((n + 1, n + 1), np.int64)
    table[1:, 1:] = cost
    row_price, column_price = np.zeros((2, n + 1), np.int64)
    taken = np.zeros(n + 1, np.int64)
    for row in range(1, n + 1):
        taken[0] = row
        at, came = _find_free(table, row_price, column_price, taken)
        while at:
            taken[at] = taken[came[at]]
            at = came[at]
    result = np.empty(n, np.int64)
    result[taken[1:] - 1] = np.arange(n)
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
