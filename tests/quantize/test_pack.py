"""The packing search, against HiGHS (scipy.optimize.milp) and small cases worked by hand.

The problem: Grange, Kacem, Martin, "Algorithms for the bin packing problem with overlapping items",
2018.
"""

import itertools

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.optimize import Bounds, LinearConstraint, milp
from scipy.sparse import lil_matrix

from genbg.quantize.pack import Packing, cell_sets, largest_sets, pack_sets


def bits(numbers):
    return sum(1 << int(number) for number in numbers)


def solve_by_highs(sets, rows=4, entries=15, zones=()):
    """Whether the sets can be packed, by mixed-integer programming."""
    kinds = max(one.bit_length() for one in sets)
    zones = zones or [(1 << kinds) - 1]
    placed, held = len(sets) * rows, kinds * rows
    members = [[k for k in range(kinds) if one >> k & 1] for one in sets]
    lines = len(sets) + rows * (sum(map(len, members)) + len(zones))
    matrix = lil_matrix((lines, placed + held))
    low, high = np.full(lines, -np.inf), np.zeros(lines)
    line = 0
    for s, inks in enumerate(members):
        matrix[line, s * rows : (s + 1) * rows] = 1
        low[line] = high[line] = 1
        line += 1
        for k, r in itertools.product(inks, range(rows)):
            matrix[line, s * rows + r], matrix[line, placed + k * rows + r] = 1, -1
            line += 1
    for zone, r in itertools.product(zones, range(rows)):
        for k in range(kinds):
            if zone >> k & 1:
                matrix[line, placed + k * rows + r] = 1
        high[line] = entries
        line += 1
    least = np.zeros(placed + held)
    for row, s in enumerate(strangers(sets, entries, zones)[:rows]):
        least[s * rows + row] = 1
    found = milp(
        np.zeros(placed + held),
        constraints=LinearConstraint(matrix.tocsr(), low, high),
        integrality=np.ones(placed + held),
        bounds=Bounds(least, 1),
    )
    return {0: True, 2: False}[found.status]


def strangers(sets, entries, zones):
    """Sets of which no two share a row, picked greedily: they may be given a row each beforehand,
    since rows can be renamed; without that, HiGHS tries every renaming."""
    picked = []
    for s in sorted(range(len(sets)), key=lambda s: -sets[s].bit_count()):
        unions = [sets[s] | sets[other] for other in picked]
        if all(max((both & zone).bit_count() for zone in zones) > entries for both in unions):
            picked.append(s)
    return picked


def check(sets, packing, rows=4, entries=15, zones=(-1,)):
    """Every set lies in some row, and no row holds too many inks."""
    assert len(packing.rows) == rows
    for one in sets:
        assert any(one & ~union == 0 for union in packing.rows)
    for union, zone in itertools.product(packing.rows, zones):
        assert (union & zone).bit_count() <= entries


def from_rows(rng, kinds, count, low, high):
    """Sets drawn from four hidden rows of 15 inks: they can be packed."""
    rows = [rng.choice(kinds, 15, replace=False) for _ in range(4)]
    return [
        bits(rng.choice(rows[rng.integers(4)], rng.integers(low, high + 1), replace=False))
        for _ in range(count)
    ]


def from_parts(rng, count, low, high):
    """Sets drawn from 60 inks dealt to four rows without overlap: one packing, none to spare."""
    rows = rng.permutation(60).reshape(4, 15)
    return [
        bits(rng.choice(rows[rng.integers(4)], rng.integers(low, high + 1), replace=False))
        for _ in range(count)
    ]


def from_ramps(rng, ramps, count):
    """Sets as drawn scenery has them: runs of neighbouring steps of one to three ramps."""
    starts = np.cumsum([0, *rng.integers(3, 6, ramps)])
    sets = []
    for _ in range(count):
        inks = set()
        for ramp in rng.choice(ramps, rng.integers(1, 3), replace=False):
            first, last = np.sort(rng.integers(starts[ramp], starts[ramp + 1], 2))
            inks |= set(range(first, last + 1))
        sets.append(bits(inks))
    return sets


def at_random(rng, kinds, count, low, high):
    return [
        bits(rng.choice(kinds, rng.integers(low, high + 1), replace=False)) for _ in range(count)
    ]


FEASIBLE = {
    "hidden rows, 40 inks": lambda rng: from_rows(rng, 40, 60, 4, 13),
    "hidden rows, small sets": lambda rng: from_rows(rng, 35, 60, 5, 8),
    "hidden parts": lambda rng: from_parts(rng, 60, 4, 13),
    "hidden parts, small sets": lambda rng: from_parts(rng, 60, 3, 6),
}
"""Kinds of 60 sets that can be packed by how they are made."""

INFEASIBLE = {
    "rows and one stranger": (
        lambda rng: [*from_rows(rng, 40, 59, 4, 12), *at_random(rng, 40, 1, 9, 12)],
        (0, 1, 2, 3),
    ),
    "rows and three strangers": (
        lambda rng: [*from_rows(rng, 36, 57, 5, 8), *at_random(rng, 36, 3, 7, 9)],
        (1,),
    ),
    "ramps": (lambda rng: from_ramps(rng, 13, 60), (2,)),
    "random, dense": (lambda rng: at_random(rng, 30, 16, 6, 9), (0, 2, 3)),
}
"""Kinds of up to 60 sets and the seeds at which they can't be packed and HiGHS needs a second."""


@pytest.mark.parametrize("seed", range(5))
@pytest.mark.parametrize("case", FEASIBLE)
def test_what_can_be_packed_is_packed(case, seed):
    """Of 60 sets that are known to fit four rows, a packing is found; it is its own proof."""
    sets = FEASIBLE[case](np.random.default_rng(seed))
    packing = pack_sets(sets)
    assert packing.rows is not None
    check(sets, packing)


@pytest.mark.parametrize(
    ("case", "seed"), [(case, seed) for case, (_, seeds) in INFEASIBLE.items() for seed in seeds]
)
def test_what_is_proven_infeasible_is_infeasible_for_highs(case, seed):
    """Where the search proves that there is no packing, HiGHS finds none either."""
    sets = INFEASIBLE[case][0](np.random.default_rng(seed))
    packing = pack_sets(sets)
    assert packing.proven
    assert packing.rows is None
    assert not solve_by_highs(sets)


@pytest.mark.parametrize("seed", range(12))
def test_small_cases_agree_with_highs(seed):
    """Near the border between both, with fewer entries, the search says what HiGHS says."""
    rng = np.random.default_rng(seed)
    sets = at_random(rng, 14, 12 + seed, 2, 4)
    packing = pack_sets(sets, rows=3, entries=7)
    assert packing.proven
    assert (packing.rows is not None) == solve_by_highs(sets, rows=3, entries=7)


@given(st.integers(0, 10**6), st.integers(2, 9), st.integers(1, 3), st.integers(2, 4))
@settings(max_examples=60, deadline=None)
def test_small_cases_agree_with_trying_everything(seed, count, rows, entries):
    """With few sets, the search finds a packing exactly where some deal of sets to rows is one."""
    sets = at_random(np.random.default_rng(seed), 7, count, 1, min(3, entries))
    packing = pack_sets(sets, rows=rows, entries=entries)
    possible = any(
        all(
            _union(one for one, r in zip(sets, deal, strict=True) if r == row).bit_count()
            <= entries
            for row in range(rows)
        )
        for deal in itertools.product(range(rows), repeat=count)
    )
    assert packing.proven
    assert (packing.rows is not None) == possible
    if possible:
        check(sets, packing, rows, entries)


def _union(sets):
    union = 0
    for one in sets:
        union |= one
    return union


@pytest.mark.parametrize("seed", range(8))
def test_zones_agree_with_highs(seed):
    """Two zones with inks of their own, and cells that the border crosses: HiGHS agrees."""
    rng = np.random.default_rng(seed)
    upper, lower = at_random(rng, 11, 6 + seed, 2, 4), at_random(rng, 11, 6 + seed, 2, 4)
    crossing = [a | b << 11 for a, b in zip(at_random(rng, 11, 4, 1, 3), lower, strict=False)]
    sets = [*upper, *(one << 11 for one in lower), *crossing]
    zones = ((1 << 11) - 1, ((1 << 11) - 1) << 11)
    packing = pack_sets(sets, zones, rows=3, entries=6)
    assert packing.proven
    assert (packing.rows is not None) == solve_by_highs(sets, 3, 6, zones)
    if packing.rows is not None:
        check(sets, packing, 3, 6, zones)


def test_a_zone_doubles_the_inks():
    """Sixty inks above a border and sixty others below it need no more than four rows."""
    upper = [bits(range(15 * r, 15 * r + 15)) for r in range(4)]
    sets = upper + [one << 60 for one in upper]
    zones = ((1 << 60) - 1, ((1 << 60) - 1) << 60)
    assert pack_sets(sets).rows is None
    check(sets, pack_sets(sets, zones), zones=zones)


def test_full_rows_pack_and_one_ink_more_does_not():
    """Four sets of 15 strangers just fit; a sixty-first ink, or a set of 16, is proven too much."""
    full = [bits(range(15 * r, 15 * r + 15)) for r in range(4)]
    check(full, pack_sets(full))
    for sets in ([*full, 1 << 60], [bits(range(16))]):
        packing = pack_sets(sets)
        assert packing.rows is None
        assert packing.proven


def test_sixty_inks_pack_and_sixty_one_do_not():
    """Single inks fill four rows to the last entry; one more has no place (counted by hand)."""
    singles = [1 << ink for ink in range(61)]
    check(singles[:60], pack_sets(singles[:60]))
    assert pack_sets(singles) == Packing(None, True, 0)
    assert not solve_by_highs([bits(range(15 * r, 15 * r + 15)) for r in range(4)] + [1 << 60])


@pytest.mark.parametrize("rows", [3, 4])
@pytest.mark.parametrize("seed", range(4))
def test_sets_that_need_all_four_rows(seed, rows):
    """Sixty sets of 46 to 60 inks, drawn from four parts: four rows hold them, three do not."""
    sets = from_parts(np.random.default_rng(seed), 60, 4, 13)
    inks = _union(sets).bit_count()
    assert 45 < inks <= 60
    packing = pack_sets(sets, rows=rows)
    assert packing.proven
    assert (packing.rows is not None) == solve_by_highs(sets, rows=rows) == (rows == 4)


@pytest.mark.parametrize("spare", [0, 1])
def test_doubles_are_held_to_the_free_entries(spare):
    """Of 60 inks in four full rows, a set that joins two rows needs entries that are free.

    A set of one ink of each of two rows: with 60 inks in four sets of 15 there is no entry for a
    double; where one row has 14 inks, there is one.
    """
    full = [bits(range(15 * r, 15 * r + 15)) for r in range(4)]
    full[0] &= ~spare
    sets = [*full, 1 << 5 | 1 << 20]
    packing = pack_sets(sets)
    assert packing.proven
    assert (packing.rows is not None) == bool(spare) == solve_by_highs(sets)


def test_five_sets_that_clash_in_pairs_are_infeasible():
    """Eight inks each with nothing in common: no row takes two, and there are five of them."""
    packing = pack_sets([bits(range(8 * s, 8 * s + 8)) for s in range(5)])
    assert packing.rows is None
    assert packing.proven


def test_a_spent_search_does_not_claim_a_proof():
    """Where the node limit ends the search, the answer is not called proven."""
    sets = at_random(np.random.default_rng(1), 22, 40, 4, 6)
    packing = pack_sets(sets, node_limit=50)
    assert packing.rows is None
    assert not packing.proven
    assert packing.nodes == 51


def test_the_order_of_sets_does_not_matter():
    """The same sets in any order, and repeated, give the same rows."""
    rng = np.random.default_rng(3)
    sets = from_rows(rng, 40, 40, 4, 9)
    again = [sets[k] for k in rng.permutation(40)] + sets[:7]
    assert pack_sets(sets) == pack_sets(again)


def test_no_sets_need_no_inks():
    """Planes that are see-through all over have four empty rows."""
    assert pack_sets([]).rows == (0, 0, 0, 0)
    assert pack_sets([0]).rows == (0, 0, 0, 0)


def test_many_zones_do_not_exhaust_the_stack():
    """A zone for each of 28 lines of cells, each with four full rows, is packed."""
    zones = [((1 << 60) - 1) << 60 * z for z in range(28)]
    sets = [bits(range(15 * r, 15 * r + 15)) << 60 * z for z in range(28) for r in range(4)]
    check(sets, pack_sets(sets, zones), zones=zones)


def test_largest_sets_drops_parts_of_others():
    """Sets inside another one go, equal ones stay once, the largest come first."""
    assert largest_sets([0b111, 0b11, 0b1000, 0b111, 0b100, 0]) == [0b111, 0b1000]


def test_cell_sets_reads_lists_of_any_width():
    """Sets of more than 63 inks are read whole, each distinct one once."""
    cells = [[0, 62, 63], [126, 130], [0, 62, 63], [5]]
    first = np.cumsum([0, *map(len, cells[:-1])])
    found = cell_sets(first, np.concatenate(cells), 131)
    assert sorted(found) == sorted({bits(cell) for cell in cells})
    assert cell_sets(np.zeros(0, int), np.zeros(0, int), 4) == []
