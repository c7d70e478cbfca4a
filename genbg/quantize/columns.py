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

import numpy as np

from genbg.quantize.pack import ENTRIES

LIGHT_STEPS = 16
"""Lab steps of lightness that weigh as much as one vote."""

SAME_INK_VOTES = 64
"""Votes for giving an ink the same entry in two rows: more than shapes get in most pictures,
because then every pattern that shows only such inks serves under both rows unchanged."""

LABELS = 4
"""Shapes of more inks than this are too rarely met twice to be worth the look."""

FILLINGS = 64
"""Of one shape, so many fillings vote; a border between two inks can have hundreds."""

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
    for fillings in shapes(slots).values():
        parts = np.array(sorted(fillings)[:FILLINGS])
        lists = parts // ENTRIES
        apart = (lists[:, None] != lists[None]).all(axis=2)
        first, second = np.nonzero(apart)
        np.add.at(votes, (parts[first], parts[second]), 1)
    return votes


def shapes(slots: np.ndarray) -> dict[bytes, set[tuple[int, ...]]]:
    """For each shape of 2 to LABELS inks, which slots fill its parts in the patterns given.

    slots: (p, 64), -1 see-through
    """
    ranked = np.sort(slots, axis=1)
    fresh = (ranked[:, 1:] != ranked[:, :-1]) & (ranked[:, 1:] >= 0)
    inks = (ranked[:, 0] >= 0) + fresh.sum(axis=1)
    some = slots[(inks >= 2) & (inks <= LABELS)]
    square = some.reshape(-1, 8, 8)
    flips = [
        label_cells(np.ascontiguousarray(one).reshape(-1, 64))
        for one in (square, square[:, :, ::-1], square[:, ::-1], square[:, ::-1, ::-1])
    ]
    found: dict[bytes, set[tuple[int, ...]]] = {}
    for drawn in zip(*flips, strict=True):
        shape, parts = min(drawn)
        found.setdefault(shape, set()).add(parts)
    return found


def label_cells(cells: np.ndarray) -> list[tuple[bytes, tuple[int, ...]]]:
    """Each cell's shape and what fills it: its values labelled in the order they are met.

    cells: (p, 64) with at most LABELS values beside see-through (below 0)
    """
    at = np.arange(len(cells))
    label = np.where(cells < 0, 0, LABELS + 1).astype(np.uint8)
    parts = np.full((len(cells), LABELS), -1)
    for k in range(LABELS):
        open_pixels = label > LABELS
        value = np.where(open_pixels.any(axis=1), cells[at, open_pixels.argmax(axis=1)], -1)
        label[(cells == value[:, None]) & open_pixels] = k + 1
        parts[:, k] = value
    filled = [tuple(value for value in row if value >= 0) for row in parts.tolist()]
    return [(shape.tobytes(), part) for shape, part in zip(label, filled, strict=True)]


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
