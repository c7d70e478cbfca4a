"""In which order each palette row holds its inks.

The order costs nothing and decides how far one tile serves: cells under different rows share a
tile where equal entries mean the right thing in both. So
  - an ink that stands in several rows gets the same entry in all of them where that can be had;
  - inks that play the same part in the same shape (two bands with the same dither, two hills with
    the same outline) get the same entry: each such meeting is a *vote* for the pair;
  - otherwise inks of like lightness meet, so that a tile drawn for one row shows the same light
    and shade under another.
Votes go to single pairs, and a tile is only shared where all its pairs are right at once; so in
the end entries are exchanged wherever that leaves fewer tiles.

A *list* is the inks of one row in one zone, counted `row * Z + zone`; a *slot* is a place in a list
before, a *column* the entry 1..15 after ordering; a *filling* is the slots that stand in the parts
of a shape.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping

import numpy as np

from genbg.assignment import best_assignment
from genbg.hardware.sizes import PALETTE_COLOURS
from genbg.quantize.shapes import LABELS, cell_shapes

LIGHT_STEPS = 512
"""Lab steps of lightness, half of the way from black to white: two inks closer than this gain from
a common entry, the more the closer they are."""

VOTE_WORTH = 2 * LIGHT_STEPS
"""A vote outweighs any likeness in light: it is a tile saved for certain."""

SAME_INK_VOTES = 64
"""Votes for giving an ink the same entry in two rows: more than shapes get in most pictures,
because then every tile that shows only such inks serves under both rows unchanged."""

FILLINGS = 64
"""Of one shape, so many fillings vote; a border between two inks can have hundreds."""

PASSES = 3
"""Times that all lists are ordered anew, each against all others."""


def order_columns(
    ink: np.ndarray, light: np.ndarray, slots: np.ndarray, zones: int = 1
) -> np.ndarray:
    """Column 1..15 of every slot, (lists, 15); each list's columns are a permutation.

    ink: (lists, 15) ink of every slot, -1 where it holds none
    light: (lists, 15) lightness in lab steps
    slots: (p, 64) distinct cell tiles as `list * 15 + slot`, -1 see-through
    zones: Z, so many lists in a row are one palette row from the top down

    Two orders are tried, by votes and by the numbers of inks (which follow painters' ramps); the
    one with fewer tiles and rewrites wins, the first if they are equal.
    """
    fillings = shape_fillings(slots)
    stays = staying_slots(ink, zones)
    voted = vote_columns(ink, light, shape_votes(fillings, ink.size), stays)
    numbered = np.stack([_in_order(one, one) for one in ink])
    tally = Tally(fillings, stays, ink.size)
    orders = [exchange_columns(columns, tally) for columns in (voted, numbered)]
    return min(orders, key=lambda order: order[0])[1]


def tonal_columns(ink: np.ndarray, light: np.ndarray) -> np.ndarray:
    """Column 1..15 of every slot (lists, 15), each list from dark to light.

    For pictures of more colours than the rows hold, such as photographs: their cells are all
    different, so hardly any tile is the same under two rows, but one drawn for one row has the
    right light and shade under another, which leaves merging a wider choice: a fortieth less error
    in the median of five photographs. Pictures that fit, or nearly so, lose by it.
    """
    return np.stack([_in_order(*pair) for pair in zip(ink, light, strict=True)])


def staying_slots(ink: np.ndarray, zones: int) -> np.ndarray:
    """Pairs of slots (n, 2) of one ink in one row of two zones that follow each other.

    Where their columns are equal, the ink needs no rewrite at the border.
    """
    pairs = []
    for one in range(len(ink)):
        if (one + 1) % zones:
            same = (ink[one][:, None] == ink[one + 1][None]) & (ink[one][:, None] >= 0)
            pairs.append(np.argwhere(same) + PALETTE_COLOURS * np.array([one, one + 1]))
    return np.concatenate([np.zeros((0, 2), np.int64), *pairs])


def vote_columns(
    ink: np.ndarray, light: np.ndarray, votes: np.ndarray, stays: np.ndarray
) -> np.ndarray:
    """Columns (lists, 15) by votes, then likeness in light; the fullest list is laid first."""
    flat = ink.ravel()
    same = (flat[:, None] == flat[None]) & (flat[:, None] >= 0)
    votes = votes + SAME_INK_VOTES * same
    for a, b in (stays.T, stays.T[::-1]):
        votes[a, b] += SAME_INK_VOTES
    column = tonal_columns(ink, light)
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


def exchange_columns(column: np.ndarray, tally: Tally) -> tuple[int, np.ndarray]:
    """What the columns cost after exchanging two of a list wherever that costs less, and they."""
    flat = column.ravel().tolist()
    tally.begin(flat)
    for _ in range(PASSES):
        before = tally.cost
        for a, b in tally.pairs:
            tally.exchange(flat, a, b)
        if tally.cost == before:
            break
    return tally.cost, np.array(flat, np.int64).reshape(column.shape)


class Tally:
    """What an order costs: tiles of shapes that lie in several lists, and inks that move.

    A tile's *key* is its shape's number and the columns of its parts, four bits each. After an
    exchange only the keys of fillings that hold one of the two slots are made anew.

    cost: distinct keys, plus inks rewritten at a zone's border that could stay
    pairs: every two slots of a list whose exchange can matter
    """

    def __init__(
        self, fillings: Mapping[bytes, set[tuple[int, ...]]], stays: np.ndarray, size: int
    ) -> None:
        self.bases: list[int] = []
        self.uses: list[list[tuple[int, int]]] = [[] for _ in range(size)]
        self.stays: list[list[int]] = [[] for _ in range(size)]
        self.parts: list[tuple[int, ...]] = []
        for number, several in enumerate(fillings.values()):
            if len({part[0] // PALETTE_COLOURS for part in several}) > 1:
                for part in sorted(several):
                    for place, slot in enumerate(part):
                        self.uses[slot].append((len(self.parts), 1 << 4 * place))
                    self.parts.append(part)
                    self.bases.append(number << 4 * LABELS)
        for a, b in stays.tolist():
            self.stays[a].append(b)
            self.stays[b].append(a)
        met = [bool(use or stay) for use, stay in zip(self.uses, self.stays, strict=True)]
        self.pairs = [
            (a, b)
            for a in range(size)
            for b in range(a + 1, (a // PALETTE_COLOURS + 1) * PALETTE_COLOURS)
            if met[a] or met[b]
        ]
        self.cost = 0

    def begin(self, column: list[int]) -> None:
        """Count anew for the columns of all slots."""
        self.keys = [
            base + sum([column[slot] << 4 * place for place, slot in enumerate(part)])
            for base, part in zip(self.bases, self.parts, strict=True)
        ]
        self.times = dict(Counter(self.keys))
        moved = sum(column[a] != column[b] for a, others in enumerate(self.stays) for b in others)
        self.cost = len(self.times) + moved // 2

    def exchange(self, column: list[int], a: int, b: int) -> None:
        """Exchange the columns of two slots of a list if that costs less."""
        step = column[b] - column[a]
        fresh = {one: self.keys[one] + step * unit for one, unit in self.uses[a]}
        for one, unit in self.uses[b]:
            fresh[one] = fresh.get(one, self.keys[one]) - step * unit
        gain = 0
        if self.stays[a] or self.stays[b]:
            gain += self.moved(column, a, b)
            column[a], column[b] = column[b], column[a]
            gain -= self.moved(column, a, b)
            column[a], column[b] = column[b], column[a]
        old, new = [self.keys[one] for one in fresh], list(fresh.values())
        if gain <= 0 and self.times.keys().isdisjoint(new) and len(set(new)) >= len(set(old)):
            return
        gain += self.recount(old, new)
        if gain > 0:
            column[a], column[b] = column[b], column[a]
            self.cost -= gain
            for one, key in fresh.items():
                self.keys[one] = key
        else:
            self.recount(new, old)

    def recount(self, gone: list[int], come: list[int]) -> int:
        """How many fewer distinct keys there are once some are gone and others have come."""
        times = self.times
        before = len(times)
        for key in gone:
            left = times[key] - 1
            if left:
                times[key] = left
            else:
                del times[key]
        for key in come:
            times[key] = times.get(key, 0) + 1
        return before - len(times)

    def moved(self, column: list[int], a: int, b: int) -> int:
        """How many inks of two slots have another column across a zone's border."""
        return sum([column[slot] != column[other] for slot in (a, b) for other in self.stays[slot]])


def _in_order(ink: np.ndarray, by: np.ndarray) -> np.ndarray:
    order = np.lexsort((ink, by, ink < 0))
    column = np.empty(PALETTE_COLOURS, np.int64)
    column[order] = np.arange(1, PALETTE_COLOURS + 1)
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
    score = np.zeros((PALETTE_COLOURS, PALETTE_COLOURS), np.int64)
    rank = _in_order(ink[one], light[one])
    for other in others:
        at = np.empty(PALETTE_COLOURS, np.int64)
        at[column[other] - 1] = np.arange(PALETTE_COLOURS)
        score += (
            votes[one * PALETTE_COLOURS :][:PALETTE_COLOURS, other * PALETTE_COLOURS + at]
            * VOTE_WORTH
        )
        both = (ink[one][:, None] >= 0) & (ink[other][at][None] >= 0)
        apart = np.abs(light[one][:, None] - light[other][at][None])
        score += np.where(both, np.maximum(LIGHT_STEPS - apart, 0), 0)
    # Where nothing else decides, the list stays in its own order from dark to light.
    score = score * 4 * PALETTE_COLOURS - np.abs(rank[:, None] - np.arange(1, PALETTE_COLOURS + 1))
    score[ink[one] < 0] = 0
    return best_assignment(-score) + 1


def shape_fillings(slots: np.ndarray) -> dict[bytes, set[tuple[int, ...]]]:
    """For each shape of few inks, which slots fill its parts in the tiles (p, 64) given."""
    fillings: dict[bytes, set[tuple[int, ...]]] = {}
    for found in cell_shapes(slots):
        if found is not None and found[1]:
            fillings.setdefault(found[0], set()).add(found[1])
    return fillings


def shape_votes(fillings: Mapping[bytes, set[tuple[int, ...]]], size: int) -> np.ndarray:
    """How often two slots of different lists play the same part in one shape, (size, size)."""
    votes = np.zeros((size, size), np.int64)
    for several in fillings.values():
        if len(several) < 2:
            continue
        parts = np.array(sorted(several)[:FILLINGS])
        lists = parts // PALETTE_COLOURS
        first, second = np.nonzero((lists[:, None] != lists[None]).all(axis=2))
        np.add.at(votes, (parts[first], parts[second]), 1)
    return votes
