"""Orders of entries: what is painted stays, what is tried and dropped leaves no trace, and a better
order is found where there is one to find."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from reduce_samples import (
    SAMPLES,
    hilly_planes,
    hilly_problem,
    no_guard,
    painted_inks,
    ramp_palette,
    square_error,
)

from genbg.reduce import entry_orders
from genbg.reduce import search as search_module
from genbg.reduce.buckets import merge_all
from genbg.reduce.candidates import find_candidates, make_looks, own_costs
from genbg.reduce.exact import find_cells
from genbg.reduce.judge import Judged
from genbg.reduce.metric import Weights, make_form
from genbg.reduce.problem import WASTE, Choice, Problem, pose_problem, reordered
from genbg.reduce.search import draw_start, kind_uses
from genbg.reduce.tiles import reduce_tiles

BUDGET = 40
ALL = np.ones(4, dtype=bool)


def sample(**kind: bool) -> Problem:
    return hilly_problem(15, 11, **kind)


def start(problem: Problem) -> Choice:
    groups = merge_all(problem.kinds.feature, kind_uses(problem), problem.kinds.tile, BUDGET)
    return draw_start(problem, groups, BUDGET)


def random_order(seed: int) -> np.ndarray:
    """An order of four rows whose see-through entry stays."""
    random = np.random.Generator(np.random.PCG64(seed))
    rows = [[0, *(1 + random.permutation(15))] for _ in range(4)]
    return np.array(rows, dtype=np.uint8)


def costs(problem: Problem, choice: Choice) -> float:
    """Own costs of all cells, extra weights and all, by the search's own measure, in the flips
    that the choice has."""
    looks = make_looks(problem, choice.tiles)
    number, row = choice.number[:, None], choice.row[:, None]
    flip, cost = own_costs(problem, looks, problem.kind, number, row)
    assert (flip[:, 0] == choice.flip ^ problem.cells.flip).mean() > 0.99, "but for ties"
    return float(cost.sum())


def scrambled_planes(seed: int) -> Judged:
    """Cells of four rows of like colours, which each row holds in an order of its own; the same
    hills in every row, so that with equal orders all rows could share their tiles."""
    judged = hilly_planes(12, 16, seed, grainy=False)
    palette = ramp_palette()[0]
    lab = judged.steps
    inks = np.concatenate([lab[:1], *(lab[1:17] + 40 * row for row in range(4))])
    strips = judged.index[:, :24].copy()
    index = np.concatenate([strips] * 4, axis=1)
    row = np.repeat(np.arange(4, dtype=np.uint8), 3)[None, :, None].repeat(16, axis=2)
    return Judged(palette, index, row, inks).reordered(random_order(seed))


@pytest.mark.parametrize("kind", SAMPLES)
def test_a_reordered_problem_is_the_one_that_reordered_planes_pose(kind):
    """The short cut, which keeps what an order cannot change, equals posing it all anew."""
    judged = hilly_planes(8, 16, 11, planes=2, see_through="see_through" in kind)
    guard = no_guard(judged)
    if "marked" in kind:
        guard[0, 20:24, 40:43] = True
    order, form = random_order(3), make_form(Weights(14, 15))
    given = guard if "marked" in kind else None
    before = pose_problem(
        find_cells(judged.index, judged.row), judged.palette, judged.steps, form, given
    )
    other = judged.reordered(order)
    anew = pose_problem(find_cells(other.index, other.row), other.palette, other.steps, form, given)
    short = reordered(before, order)
    for field in dataclasses.fields(Problem):
        one, two = getattr(short, field.name), getattr(anew, field.name)
        if isinstance(one, np.ndarray):
            assert (one == two).all(), field.name
    for part in ("tiles", "number", "flip", "row"):
        assert (getattr(short.cells, part) == getattr(anew.cells, part)).all()
    assert (short.heavy is None) == (anew.heavy is None) == ("marked" not in kind)


def test_another_order_paints_the_same():
    """Nothing that is painted depends on which entry holds a colour."""
    judged = hilly_planes(8, 16, 5, see_through=True)
    other = judged.reordered(random_order(9))
    assert not (other.palette == judged.palette).all()
    assert (painted_inks(other) == painted_inks(judged)).all()
    assert ((other.index == 0) == (judged.index == 0)).all()
    assert judged.reordered(None) is judged


@pytest.mark.parametrize("kind", SAMPLES)
def test_what_is_handed_on_costs_what_the_state_says_and_no_more_than_the_start(kind):
    """Worked out anew from the reordered problem, to the last whole number."""
    problem = sample(**kind)
    choice = start(problem)
    free = ALL
    state = entry_orders.open_state(problem, choice)
    begun = state.total
    for pair in entry_orders.promising_pairs(state, free)[:40]:
        entry_orders.exchange_entries(state, pair)
    ordered = entry_orders.close_state(problem, choice, state)
    after = reordered(problem, ordered.entry_order)
    assert costs(after, ordered.choice) == state.total < begun
    assert len(ordered.choice.tiles) == BUDGET
    again = entry_orders.order_entries(problem, choice, free, 40)
    assert (again.entry_order == ordered.entry_order).all()
    assert (again.choice.tiles == ordered.choice.tiles).all()


@pytest.mark.parametrize("kind", SAMPLES)
def test_a_dropped_exchange_leaves_no_trace_and_the_table_stays_true(kind):
    """After many tries, kept and dropped, every look costs what the table says."""
    problem = sample(**kind)
    state = entry_orders.open_state(problem, start(problem))
    kept = dropped = 0
    for pair in entry_orders.promising_pairs(state, ALL)[:60]:
        before = {
            name: [part.copy() for part in state.table]
            if name == "table"
            else getattr(state, name).copy()
            for name in (
                "table",
                "steps",
                "allowed",
                "entry_order",
                "tiles",
                "number",
                "row",
                "cost",
            )
        }
        total = state.total
        if entry_orders.exchange_entries(state, pair):
            kept += 1
            assert state.total < total
            continue
        dropped += 1
        assert state.total == total
        for one, two in zip(before.pop("table"), state.table, strict=True):
            assert (one == two).all()
        for name, part in before.items():
            assert (part == getattr(state, name)).all(), name
    assert min(kept, dropped) > 3
    after = reordered(problem, state.entry_order)
    looks = make_looks(after, state.tiles.reshape(-1, 8, 8))
    rows, size = state.shape
    for row in range(rows):
        kinds = state.kinds[row]
        cost = entry_orders.likeness(state.feature[row], looks.feature[:, row * size :][:, :size])
        true = looks.length[row * size :][:size] - 2 * cost
        plain = ~problem.kinds.weighty[kinds]
        assert (state.table[row][plain] == true[plain]).all()
        assert (state.table[row] >= true).all()
        assert (problem.kinds.row[kinds] == row).sum() == (problem.kinds.row == row).sum()


def test_extra_weights_count_in_every_look():
    """Kinds with marks cost what the search's own measure says, in the flip of the least sum: else
    a marked star would be given away for a better order."""
    problem = sample(marked=True)
    state = entry_orders.open_state(problem, start(problem))
    looks = make_looks(problem, state.tiles.reshape(-1, 8, 8))
    seen = 0
    for row, kinds in enumerate(state.kinds):
        some = np.flatnonzero(problem.kinds.weighty[kinds])
        number = np.arange(BUDGET) + np.zeros((len(some), 1), dtype=np.intp)
        true = own_costs(problem, looks, kinds[some], number, np.full_like(number, row))[1]
        unmarked = dataclasses.replace(problem.kinds, weighty=np.zeros_like(problem.kinds.weighty))
        plain = dataclasses.replace(problem, kinds=unmarked)
        light = own_costs(plain, looks, kinds[some], number, np.full_like(number, row))[1]
        table = (
            state.table[row][some].astype(np.float64) + problem.kinds.length[kinds[some]][:, None]
        )
        usable = looks.length[row * BUDGET :][:BUDGET] < WASTE
        assert (table[:, usable] == true[:, usable]).all()
        seen += int((true > light)[:, usable].sum())
    assert seen > 0


def test_no_row_that_is_left_out_could_show_a_kind_better():
    """However its colours were ordered, the best tile for the kind alone would cost more than
    the best look at the start does."""
    problem = sample()
    choice = start(problem)
    state = entry_orders.open_state(problem, choice)
    best = find_candidates(problem, make_looks(problem, choice.tiles), 1).cost[:, 0]
    out = 0
    for row, kinds in enumerate(state.kinds):
        left = np.setdiff1d(np.arange(len(state.number)), kinds)
        out += len(left)
        meant = problem.cells.tiles[problem.kinds.tile[left]].reshape(-1, 64)
        want = problem.steps[problem.kinds.row[left][:, None], meant]
        off = want[:, :, None] - problem.steps[row, 1:]
        nearest = (off * off).sum(axis=3).min(axis=2).sum(axis=1)
        assert (nearest > best[left]).all()
    assert out > 0


def test_rows_that_are_not_free_and_see_through_entries_keep_their_place():
    problem = sample(see_through=True)
    free = np.array([False, True, False, True])
    order = entry_orders.order_entries(problem, start(problem), free, 120).entry_order
    assert (order[~free] == np.arange(16)).all()
    assert (order[:, 0] == 0).all()
    assert (np.sort(order, axis=1) == np.arange(16)).all()
    assert (order[free] != np.arange(16)).any()


def test_nothing_is_drawn_where_all_is_see_through():
    """However cells choose, a tile of holes alone stays one."""
    judged = hilly_planes(8, 16, 11, planes=2, see_through=True)
    judged.index[:, 8:24, 16:48] = 0
    cells, form = find_cells(judged.index, judged.row), make_form(Weights(14, 15))
    problem = pose_problem(cells, judged.palette, judged.steps, form)
    choice = start(problem)
    state = entry_orders.open_state(problem, choice)
    empty = ~state.tiles.any(axis=1)
    assert empty[state.number].any()
    state.number[:] = np.flatnonzero(empty)[0]
    assert len(entry_orders.draw_state(state, np.ones(BUDGET, dtype=bool))) == 0
    after = entry_orders.order_entries(problem, choice, ALL, 60).choice
    assert not after.tiles[empty].any()


@pytest.mark.slow
def test_scrambled_rows_are_brought_into_an_order_that_shares_tiles():
    """Four rows of like colours, each in an order of its own: as many tiles err by nine tenths
    at most, and by two thirds in the mean, of what they do where no entry may move."""
    ratios = []
    for seed in (1, 2):
        judged = scrambled_planes(seed)
        guard = no_guard(judged)
        free = reduce_tiles(judged, BUDGET, guard, free=ALL)
        bound = reduce_tiles(judged, BUDGET, guard)
        assert bound.entry_order is None
        assert free.entry_order is not None
        ratios.append(square_error(judged, free) / square_error(judged, bound))
    assert max(ratios) < 0.9
    assert np.mean(ratios) < 2 / 3


def test_haste_and_little_merging_leave_entries_where_they_are():
    """Fast merging orders nothing; nor does the search where most tiles are left."""
    judged = hilly_planes(8, 16, 11)
    guard, before = no_guard(judged), len(find_cells(judged.index, judged.row).tiles)
    assert reduce_tiles(judged, BUDGET, guard, "fast", free=ALL).entry_order is None
    assert reduce_tiles(judged, before - 2, guard, free=ALL).entry_order is None
    assert reduce_tiles(judged, before, guard, free=ALL).entry_order is None


def test_a_problem_of_many_kinds_is_left_in_order(monkeypatch):
    """There, exchanges gain little for the time they take."""
    problem = sample()
    kinds = len(problem.kinds.tile)
    assert search_module.order_tries(problem, BUDGET) > search_module.MOST_TRIES
    monkeypatch.setattr(search_module, "ORDER_KINDS", kinds - 1)
    assert search_module.order_tries(problem, BUDGET) == 0
