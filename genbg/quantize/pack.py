"""Exact search: can all sets of inks be packed into four palette rows of 15?

Words: a *set* is the inks that one cell shows, as the bits of an integer; a *union* is what a row
has to hold for the sets put into it. An ink that stands in several sets of one row counts once, and
an ink may stand in several rows: bin packing with overlapping items (Grange, Kacem, Martin,
"Algorithms for the bin packing problem with overlapping items", 2018).

Where colours are rewritten part-way down the frame, each zone has inks (bits) of its own, and each
row has its 15 entries anew in every zone.

The search goes depth first and is exact. Every ink needs an entry somewhere; what entries are left
over is the *slack*, and an ink held by a second row is a *double*, which uses up slack. A set may
go to a row only if its inks fit in and its doubles are within the slack; a set with no row left
ends the branch, and so do sets without a common ink whose fewest doubles exceed the slack together.
It branches on the set with few rows left and many doubles, above all on one that ended branches
before (weights by conflicts: Boussemart, Hemery, Lecoutre, Sais, "Boosting systematic search by
weighting constraints", 2004); of several empty rows it tries one; it never looks below the same
four unions twice. It counts nodes, never seconds, so the answer is the same on every machine.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genbg.hardware.sizes import PALETTE_COLOURS, PALETTES

NODE_LIMIT = 2000
"""Nodes after which the search gives up: a tenth of a second of plain Python."""

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
    rows: int = PALETTES,
    entries: int = PALETTE_COLOURS,
    node_limit: int = NODE_LIMIT,
) -> Packing:
    """Pack sets of inks into rows, or prove that it can't be done.

    sets: inks of every cell as bits; zones: the bits of every zone, or none for a single zone

    Ties fall to the lowest set and the lowest row.
    """
    search = _Search(largest_sets(sets), tuple(zones) or (-1,), rows, entries, node_limit)
    found = search.run()
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
    distinct = sorted(set(map(tuple, set_words(first, bit, bits).tolist())))
    return [sum([part << WORD * at for at, part in enumerate(row)]) for row in distinct]


def set_words(first: np.ndarray, bit: np.ndarray, bits: int) -> np.ndarray:
    """The set of each cell in words (m, words) int64 of 63 bits; see `cell_sets`."""
    words = [
        np.bitwise_or.reduceat(np.where(bit // WORD == word, np.int64(1) << (bit % WORD), 0), first)
        for word in range(-(-bits // WORD))
    ]
    return np.stack(words, axis=1)


_Open = list[tuple[int, list[int]]]
"""Sets that no row holds yet, each with the rows that could still take it."""

_Node = tuple[tuple[int, ...], _Open, int, list[int]]
"""Unions, open sets, the set to branch on, and the rows left to it (the next one last)."""


class _Search:
    """One search: its limits, its count of nodes and what it has learnt on the way."""

    def __init__(
        self, sets: list[int], zones: tuple[int, ...], rows: int, entries: int, limit: int
    ) -> None:
        self.sets, self.zones, self.rows, self.entries = sets, zones, rows, entries
        self.limit, self.nodes = limit, 0
        self.every = 0
        for one in sets:
            self.every |= one
        self.conflicts = dict.fromkeys(sets, 1)

    def run(self) -> tuple[int, ...] | None:
        """Unions that hold all sets, or None: there are none, or the limit was reached."""
        seen: set[tuple[int, ...]] = set()
        stack: list[_Node] = []
        everywhere = list(range(self.rows))
        node = self.narrow((0,) * self.rows, [(one, everywhere) for one in self.sets])
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
            unions, open_sets, one, rows = stack[-1]
            node = self.narrow(_put(unions, one, rows.pop()), open_sets)

    def narrow(self, unions: tuple[int, ...], open_sets: _Open) -> _Node | None:
        """The node after every forced step; None where the open sets can't be packed."""
        while True:
            held = 0
            for union in unions:
                held |= union
            slack = self.slacks(unions, held)
            empty = unions.index(0) if 0 in unions else self.rows
            found = self.sift(unions, open_sets, held, slack, empty) if min(slack) >= 0 else None
            if found is None:
                return None
            open_sets, one, rows = found
            rows = [row for row in rows if row <= empty]
            if len(rows) != 1:
                grown = sorted([(_growth(unions[row], held, one), row) for row in rows])
                return unions, open_sets, one, [row for _, row in grown[::-1]]
            unions = _put(unions, one, rows[0])

    def slacks(self, unions: tuple[int, ...], held: int) -> list[int]:
        """For each zone the free entries that inks of no row yet will leave over."""
        return [
            sum([self.entries - (union & zone).bit_count() for union in unions])
            - (self.every & ~held & zone).bit_count()
            for zone in self.zones
        ]

    def sift(
        self, unions: tuple[int, ...], open_sets: _Open, held: int, slack: list[int], empty: int
    ) -> tuple[_Open, int, list[int]] | None:
        """The sets still open with the rows left to them, the one to branch on, and its rows.

        empty: the first empty row, which stands for all of them. None where the branch ends.
        """
        spare, several = sum(slack), len(self.zones) > 1
        rooms = [len(self.zones) * self.entries - union.bit_count() for union in unions]
        left: _Open = []
        doubles: list[tuple[int, int, int]] = []
        picked, most = (0, list[int]()), (-1.0, -1)
        for one, rows in open_sets:
            kept, ways, least, fewest = [], 0, spare, rooms[0] + one.bit_count()
            for row in rows:
                new = one & ~unions[row]
                if not new:
                    break
                inks, twice = new.bit_count(), (new & held).bit_count()
                if inks > rooms[row] or twice > spare:
                    continue
                if several and not self.zones_take(unions[row], new, held, slack):
                    continue
                kept.append(row)
                ways += row <= empty
                if twice < least:
                    least = twice
                if inks < fewest:
                    fewest = inks
            else:
                if not ways:
                    self.conflicts[one] += 1
                    return None
                left.append((one, kept))
                if least:
                    doubles.append((least, one & held, one))
                rank = self.conflicts[one] * (1 + least) / ways, fewest
                if rank > most:
                    most, picked = rank, (one, kept)
        return None if self.overdrawn(doubles, spare) else (left, *picked)

    def zones_take(self, union: int, new: int, held: int, slack: list[int]) -> bool:
        """Whether new inks fit into a row, and their doubles within the slack, in every zone."""
        return all(
            ((union | new) & zone).bit_count() <= self.entries
            and (new & held & zone).bit_count() <= spare
            for zone, spare in zip(self.zones, slack, strict=True)
        )

    def overdrawn(self, doubles: list[tuple[int, int, int]], spare: int) -> bool:
        """True where sets without a common held ink make more doubles than the slack allows.

        doubles: of each set the fewest doubles, its inks held by rows, and the set
        """
        if sum([least for least, _, _ in doubles]) <= spare:
            return False
        used = 0
        for least, inks, one in sorted(doubles, reverse=True):
            if not inks & used:
                used |= inks
                spare -= least
                if spare < 0:
                    self.conflicts[one] += 1
                    return True
        return False


def _put(unions: tuple[int, ...], one: int, row: int) -> tuple[int, ...]:
    return (*unions[:row], unions[row] | one, *unions[row + 1 :])


def _growth(union: int, held: int, one: int) -> tuple[int, int]:
    """What a row gets by a set: doubles, and inks."""
    new = one & ~union
    return (new & held).bit_count(), new.bit_count()
