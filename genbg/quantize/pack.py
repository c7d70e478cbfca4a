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

NODE_LIMIT = 2000
"""Nodes after which the search gives up: about half a second of plain Python at the very worst."""

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


_Node = tuple[tuple[int, ...], list[int], int, list[int]]
"""Unions, sets that no row holds yet, the set to branch on, the rows left to it (last tried first)."""


class _Search:
    """One search: its limits, its count of nodes and the unions below which nothing was found."""

    def __init__(self, zones: tuple[int, ...], rows: int, entries: int, limit: int) -> None:
        self.zones, self.rows, self.entries, self.limit = zones, rows, entries, limit
        self.nodes = 0

    def run(self, sets: list[int]) -> tuple[int, ...] | None:
        """Unions that hold all sets, or None: there are none, or the limit was reached."""
        seen: set[tuple[int, ...]] = set()
        stack: list[_Node] = []
        unions: tuple[int, ...] = (0,) * self.rows
        remaining = sets
        while True:
            node = self.narrow(unions, remaining)
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
            above, remaining, picked, rows = stack[-1]
            unions = _with(above, rows.pop(), picked)

    def narrow(self, unions: tuple[int, ...], remaining: list[int]) -> _Node | None:
        """The node after every forced step; None where a set has no row left."""
        while True:
            remaining = [s for s in remaining if all(s & ~u for u in unions)]
            if not remaining:
                return unions, remaining, 0, []
            if self.overfull(unions, remaining):
                return None
            picked, rows = self.tightest(unions, remaining)
            if len(rows) > 1:
                return unions, remaining, picked, rows
            if not rows:
                return None
            unions = _with(unions, rows[0], picked)

    def overfull(self, unions: tuple[int, ...], remaining: list[int]) -> bool:
        """True where some zone has more inks to take in than free entries.

        Sets without a common ink add up, whichever rows they go to: each brings at least the inks
        that its best row lacks. Inks of no row that are in none of those sets come on top.
        """
        held = missing = 0
        for union in unions:
            held |= union
        for one in remaining:
            missing |= one
        missing &= ~held
        for zone in self.zones:
            free = sum(self.entries - (u & zone).bit_count() for u in unions)
            if (missing & zone).bit_count() > free:
                return True
            used = brought = 0
            for one in remaining:
                part = one & zone
                if not part & used:
                    used |= part
                    brought += min((part & ~u).bit_count() for u in unions)
            if brought + (missing & zone & ~used).bit_count() > free:
                return True
        return False

    def tightest(self, unions: tuple[int, ...], remaining: list[int]) -> tuple[int, list[int]]:
        """The set with the fewest rows left, and those rows, the one that grows least last.

        A set with one row or none is returned at once. Equal sets: the one that makes its best row
        grow most, then the first.
        """
        best_key, best = (self.rows + 1, 0), (0, [0])
        for one in remaining:
            growth = self.growths(unions, one)
            if len(growth) < 2:
                return one, [row for _, row in growth]
            key = len(growth), -growth[0][0]
            if key < best_key:
                best_key, best = key, (one, [row for _, row in reversed(growth)])
        return best

    def growths(self, unions: tuple[int, ...], one: int) -> list[tuple[int, int]]:
        """(by how many inks it grows, row) for every row that can take the set, least first."""
        growth = []
        empty = False
        for row, union in enumerate(unions):
            if not union:
                if empty:
                    continue
                empty = True
            both = union | one
            if all((both & zone).bit_count() <= self.entries for zone in self.zones):
                growth.append(((one & ~union).bit_count(), row))
        growth.sort()
        return growth


def _with(unions: tuple[int, ...], row: int, one: int) -> tuple[int, ...]:
    return (*unions[:row], unions[row] | one, *unions[row + 1 :])
