"""Exact search: can all sets of inks be packed into four palette rows of 15?

Words: a *set* is the inks that one cell shows, as the bits of an integer; a *union* is what a row
has to hold for the sets put into it. An ink that stands in several sets of one row counts once, and
an ink may stand in several rows: bin packing with overlapping items (Grange, Kacem, Martin,
"Algorithms for the bin packing problem with overlapping items", 2018).

Where colours are rewritten part-way down the frame, each zone has inks (bits) of its own, and each
row has its 15 entries anew in every zone.

The search goes depth first and is exact. It always branches on the set with the fewest rows left to
it, so a set with one row left is forced and one with none ends the branch; of several empty rows it
tries one; it never looks below the same four unions twice; and it gives a branch up when the inks
that rows still have to take outnumber their free entries. It counts nodes, never seconds, so the
answer is the same on every machine.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

ROWS, ENTRIES = 4, 15
"""Palette rows, and entries of a row beside the see-through one; common practice, no source."""

NODE_LIMIT = 4000
"""Nodes after which the search gives up: a third of a second of plain Python."""

WORD = 63
"""Bits of a set in one int64."""


@dataclass(frozen=True)
class Packing:
    """What the search found.

    rows: unions of the sets put into each row, or None where nothing was found
    proven: False only where the search ran into its node limit without an answer
    nodes: how many nodes it took
    """

    rows: tuple[int, ...] | None
    proven: bool
    nodes: int


def pack_sets(
    sets: Sequence[int],
    zones: Sequence[int] = (),
    rows: int = ROWS,
    entries: int = ENTRIES,
    node_limit: int = NODE_LIMIT,
) -> Packing:
    """Pack sets of inks into rows, or prove that it can't be done.

    sets: inks of every cell as bits; zones: the bits of every zone, or none for a single zone

    Ties fall to the lowest set and the lowest row.
    """
    search = _Search(tuple(zones) or (-1,), rows, entries, node_limit)
    found = search.run(largest_sets(sets))
    return Packing(found, found is not None or search.nodes <= node_limit, search.nodes)


def largest_sets(sets: Sequence[int]) -> list[int]:
    """The sets that are part of no other, largest first, equal sizes by their bits."""
    kept: list[int] = []
    for one in sorted(set(sets), key=lambda s: (-s.bit_count(), s)):
        if one and not any(one & ~other == 0 for other in kept):
            kept.append(one)
    return kept


def cell_sets(first: np.ndarray, bit: np.ndarray, bits: int) -> list[int]:
    """The distinct sets of cells, as integers in rising order of their lowest words.

    first: (m,) where each cell begins in bit, (e,): numbers below `bits`
    """
    if not len(first):
        return []
    words = [
        np.bitwise_or.reduceat(np.where(bit // WORD == word, np.int64(1) << (bit % WORD), 0), first)
        for word in range(-(-bits // WORD))
    ]
    distinct = np.unique(np.stack(words, axis=1), axis=0).tolist()
    return [sum(part << (WORD * word) for word, part in enumerate(row)) for row in distinct]


_Open = list[tuple[int, int]]
"""Sets that no row holds yet, each with the rows that could still take it (as bits)."""

_Node = tuple[tuple[int, ...], _Open, int, list[int]]
"""Unions, open sets, the set to branch on, and the rows left to it (the next one last)."""


class _Search:
    """One search: its limits, its count of nodes and the unions that it has looked below."""

    def __init__(self, zones: tuple[int, ...], rows: int, entries: int, limit: int) -> None:
        self.zones, self.rows, self.entries, self.limit = zones, rows, entries, limit
        self.nodes = 0

    def run(self, sets: list[int]) -> tuple[int, ...] | None:
        """Unions that hold all sets, or None: there are none, or the limit was reached."""
        if not all(self.holds(one) for one in sets):
            return None
        seen: set[tuple[int, ...]] = set()
        stack: list[_Node] = []
        node = self.narrow((0,) * self.rows, [(one, (1 << self.rows) - 1) for one in sets])
        while True:
            if node is not None and not node[1]:
                return node[0]
            key = tuple(sorted(node[0])) if node is not None else ()
            if node is not None and key not in seen:
                seen.add(key)
                stack.append(node)
                self.nodes += 1
            while stack and not stack[-1][3]:
                stack.pop()
            if not stack or self.nodes > self.limit:
                return None
            unions, open_sets, picked, rows = stack[-1]
            state = self.put(unions, open_sets, picked, rows.pop())
            node = self.narrow(*state) if state is not None else None

    def holds(self, union: int) -> bool:
        """Whether one row can hold these inks."""
        if len(self.zones) == 1:
            return union.bit_count() <= self.entries
        return all((union & zone).bit_count() <= self.entries for zone in self.zones)

    def put(
        self, unions: tuple[int, ...], open_sets: _Open, one: int, row: int
    ) -> tuple[tuple[int, ...], _Open] | None:
        """Unions and open sets with one set put into a row; None where another has no row left."""
        union = unions[row] | one
        bit = 1 << row
        left: _Open = []
        for other, rows in open_sets:
            if other & ~union:
                if rows & bit and not self.holds(union | other):
                    rows ^= bit
                    if not rows:
                        return None
                left.append((other, rows))
        return (*unions[:row], union, *unions[row + 1 :]), left

    def narrow(self, unions: tuple[int, ...], open_sets: _Open) -> _Node | None:
        """The node after every forced step; None where the open sets can't be packed."""
        while open_sets:
            if self.overfull(unions, open_sets):
                return None
            picked, rows = self.tightest(unions, open_sets)
            if len(rows) > 1:
                return unions, open_sets, picked, rows
            state = self.put(unions, open_sets, picked, rows[0])
            if state is None:
                return None
            unions, open_sets = state
        return unions, open_sets, 0, []

    def overfull(self, unions: tuple[int, ...], open_sets: _Open) -> bool:
        """True where some zone has more inks to take in than free entries.

        Sets without a common ink add up, whichever rows they go to: each brings at least the inks
        that its best row lacks. Inks of no row that are in none of those sets come on top.
        """
        held = missing = 0
        for union in unions:
            held |= union
        for one, _ in open_sets:
            missing |= one
        for zone in self.zones:
            new = missing & ~held & zone
            free = sum(self.entries - (u & zone).bit_count() for u in unions)
            if new.bit_count() > free:
                return True
            used = brought = 0
            for one, _ in open_sets:
                part = one & zone
                if not part & used:
                    used |= part
                    brought += min([(part & ~u).bit_count() for u in unions])
            if brought + (new & ~used).bit_count() > free:
                return True
        return False

    def tightest(self, unions: tuple[int, ...], open_sets: _Open) -> tuple[int, list[int]]:
        """The set with the fewest rows left, and those rows, the one that grows least last.

        Of several empty rows only the first counts. Equal sets: the one that makes its best row
        grow most, then the first.
        """
        empty = [row for row, union in enumerate(unions) if not union]
        tried = ((1 << self.rows) - 1) & ~sum(1 << row for row in empty[1:])
        fewest, best, growth = self.rows + 1, 0, -1
        for one, rows in open_sets:
            count = (rows & tried).bit_count()
            if count > fewest:
                continue
            least = min([(one & ~u).bit_count() for r, u in enumerate(unions) if rows >> r & 1])
            if count < fewest or least > growth:
                fewest, best, growth, best_rows = count, one, least, rows & tried
        left = [row for row in range(self.rows) if best_rows >> row & 1]
        left.sort(key=lambda row: ((best & ~unions[row]).bit_count(), row), reverse=True)
        return best, left
