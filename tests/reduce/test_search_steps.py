"""Drawing, choosing and swapping: each does what it says, and short cuts equal the full measure."""

from __future__ import annotations

import dataclasses

import numpy as np
import pytest
from reduce_samples import SAMPLES, hilly_problem, same_choice

from genbg.reduce.buckets import merge_all
from genbg.reduce.candidates import (
    find_candidates,
    make_looks,
    own_costs,
    renew_candidates,
    renew_looks,
)
from genbg.reduce.choose import choose_again
from genbg.reduce.draw import redraw
from genbg.reduce.exact import flip_tiles
from genbg.reduce.metric import WHOLE, inner_product
from genbg.reduce.problem import Choice, Problem, blank, errors, score, show
from genbg.reduce.search import draw_start, kind_uses, restless_cells, unify
from genbg.reduce.swap import cell_costs, restart_tiles, swap_tiles

BUDGET = 40
MOST = 8


def sample(**kind: bool) -> Problem:
    return hilly_problem(9, 11, **kind)


def start(problem: Problem) -> Choice:
    groups = merge_all(problem.kinds.feature, kind_uses(problem), problem.kinds.tile, BUDGET)
    return draw_start(problem, groups, BUDGET)


def cost(problem: Problem, choice: Choice) -> int:
    return score(problem, errors(problem, choice))


@pytest.mark.parametrize("kind", SAMPLES)
@pytest.mark.parametrize("stir", [False, True])
def test_redrawing_never_costs_more(kind, stir):
    """Tiles drawn anew lower the score of the whole plane, neighbours and all."""
    problem = sample(**kind)
    choice = start(problem)
    drawn = redraw(problem, choice, blank(choice), stir)
    assert cost(problem, drawn) < cost(problem, choice)
    again = redraw(problem, drawn, blank(drawn), stir)
    assert cost(problem, again) <= cost(problem, drawn)


@pytest.mark.parametrize("kind", SAMPLES)
def test_no_pixel_of_a_redrawn_tile_can_be_bettered_alone(kind):
    """After some turns, every entry in place of each of 15 pixels costs the whole plane more."""
    problem = sample(**kind)
    choice = start(problem)
    for _ in range(20):
        drawn = redraw(problem, choice, blank(choice))
        if (drawn.tiles == choice.tiles).all():
            break
        choice = drawn
    least = cost(problem, choice)
    live = np.unique(choice.number[errors(problem, choice).live])
    random = np.random.Generator(np.random.PCG64(2))
    for _ in range(15):
        tile = int(live[random.integers(len(live))])
        y, x = random.integers(0, 8, 2)
        rows = np.unique(choice.row[choice.number == tile])
        for entry in np.flatnonzero(problem.allowed[rows].all(axis=0)):
            tiles = choice.tiles.copy()
            tiles[tile, y, x] = entry
            assert cost(problem, dataclasses.replace(choice, tiles=tiles)) >= least


@pytest.mark.parametrize("kind", SAMPLES)
def test_costs_of_candidates_are_those_of_trying(kind):
    """Own costs from features equal the form of the shown error, up to rounding of features."""
    problem = sample(**kind)
    choice = start(problem)
    looks = make_looks(problem, choice.tiles)
    found = find_candidates(problem, looks, MOST)
    for one in range(0, len(problem.kinds.tile), 7):
        tile = problem.cells.tiles[problem.kinds.tile[one]][None]
        meant = show(problem.steps, tile, problem.kinds.row[one : one + 1])
        for place in range(found.number.shape[1]):
            shown = flip_tiles(choice.tiles[found.number[one, place]], found.flip[one, place])
            row = found.row[one, place][None]
            if not problem.allowed[row[0]][shown].all():
                continue
            off = show(problem.steps, shown[None], row) - meant
            exact = (off * inner_product(off, problem.form)).sum() / WHOLE
            if problem.kinds.heavy is not None:
                exact += ((off * off).sum(axis=1) * problem.kinds.heavy[one]).sum()
            assert found.cost[one, place] == pytest.approx(exact, rel=0.05, abs=300)


def test_candidates_are_the_nearest_of_all_looks():
    """The best candidate is the best of all rows and flips; in a kind's own row no other tile
    has a lower own cost than the last candidate."""
    problem = sample()
    choice = start(problem)
    looks = make_looks(problem, choice.tiles)
    found = find_candidates(problem, looks, MOST)
    kinds = np.arange(len(problem.kinds.tile))
    every = np.broadcast_to(np.arange(BUDGET), (len(kinds), BUDGET))
    by_row = np.array(
        [own_costs(problem, looks, kinds, every, np.full(every.shape, row))[1] for row in range(4)]
    )
    assert (found.cost.min(axis=1) == by_row.min(axis=(0, 2))).all()
    own, last = by_row[problem.kinds.row, kinds], found.cost.max(axis=1)
    offered = (found.number[:, :, None] == np.arange(BUDGET)).any(axis=1)
    assert (offered | (own >= last[:, None])).all()
    assert (found.row != problem.kinds.row[:, None]).any()


def test_renewed_candidates_equal_those_made_afresh_as_far_as_they_go():
    """After few tiles changed, the best candidate is the same as from all looks."""
    problem = sample()
    choice = start(problem)
    looks = make_looks(problem, choice.tiles)
    old = find_candidates(problem, looks, MOST)
    tiles = choice.tiles.copy()
    tiles[[3, 17]] = tiles[[17, 3]]
    tiles[5] = problem.cells.tiles[0]
    looks, changed = renew_looks(problem, looks, tiles)
    assert np.flatnonzero(changed).tolist() == [3, 5, 17]
    every = np.ones(len(problem.kinds.tile), dtype=bool)
    renewed = renew_candidates(problem, looks, old, changed, every)
    afresh = find_candidates(problem, make_looks(problem, tiles), MOST)
    assert (renewed.cost.min(axis=1) == afresh.cost.min(axis=1)).all()


def test_a_renewed_table_equals_one_made_afresh():
    """Where all costs are kept, a few changed tiles leave candidates as good as from all looks,
    down to the second; more of each list comes from the own row."""
    problem = sample()
    choice = start(problem)
    looks = make_looks(problem, choice.tiles)
    old = find_candidates(problem, looks, MOST, thorough=True)
    tiles = choice.tiles.copy()
    tiles[[3, 17]] = tiles[[17, 3]]
    tiles[5] = problem.cells.tiles[0]
    looks, changed = renew_looks(problem, looks, tiles)
    none = np.zeros(len(problem.kinds.tile), dtype=bool)
    renewed = renew_candidates(problem, looks, old, changed, none)
    afresh = find_candidates(problem, make_looks(problem, tiles), MOST, thorough=True)
    for one, other in ((renewed, afresh), (afresh, renewed)):
        assert (np.sort(one.cost, axis=1)[:, :2] == np.sort(other.cost, axis=1)[:, :2]).all()


@pytest.mark.parametrize("kind", SAMPLES)
def test_cells_left_out_had_no_reason_to_change(kind):
    """Only cells that changed, or whose neighbours or candidates did, choose otherwise."""
    problem = sample(**kind)
    drawn = redraw(problem, start(problem), np.zeros(BUDGET, bool))
    candidates = find_candidates(problem, make_looks(problem, drawn.tiles), MOST)
    chosen, _ = choose_again(problem, drawn, candidates)
    apt = restless_cells(problem, drawn, chosen, candidates)
    assert not apt.all()
    all_, _ = choose_again(problem, chosen, candidates)
    some, _ = choose_again(problem, chosen, candidates, apt=apt)
    assert same_choice(some, all_)


@pytest.mark.parametrize("kind", SAMPLES)
def test_choosing_again_costs_less(kind):
    """Cells that choose for themselves lower the score, and report their errors rightly."""
    problem = sample(**kind)
    choice = start(problem)
    candidates = find_candidates(problem, make_looks(problem, choice.tiles), MOST)
    chosen, error = choose_again(problem, choice, candidates)
    assert cost(problem, chosen) < cost(problem, choice)
    afresh, every = errors(problem, chosen), np.arange(len(choice.number))
    assert (error.of(every) == afresh.of(every)).all()
    assert (error.cell == afresh.cell).all()


@pytest.mark.parametrize("kind", SAMPLES)
def test_cell_costs_are_own_costs_of_what_is_shown(kind):
    """What swapping believes a cell costs is the form of its error, up to rounding."""
    problem = sample(**kind)
    choice = start(problem)
    error = errors(problem, choice)
    found = cell_costs(problem, choice, make_looks(problem, choice.tiles), error)
    off = error.of(np.arange(len(choice.number)))
    exact = (off.astype(np.int64) * inner_product(off, problem.form)).sum(axis=(1, 2)) / WHOLE
    if problem.heavy is not None:
        exact += ((off * off).sum(axis=1) * problem.heavy).sum(axis=1)
    assert np.allclose(found, exact, rtol=0.05, atol=300)


@pytest.mark.parametrize("kind", SAMPLES)
def test_swaps_pay_in_the_end(kind):
    """A swap, tiles drawn anew and cells chosen again cost less than before the swap."""
    problem = sample(**kind)
    choice = redraw(problem, start(problem), np.zeros(BUDGET, bool))
    looks = make_looks(problem, choice.tiles)
    candidates = find_candidates(problem, looks, MOST)
    before, _ = choose_again(problem, choice, candidates)
    swapped, gain = swap_tiles(problem, before, looks, candidates, blank(before))
    assert gain > 0
    after = redraw(problem, swapped, blank(swapped))
    candidates = find_candidates(problem, make_looks(problem, after.tiles), MOST)
    after, _ = choose_again(problem, after, candidates)
    assert cost(problem, after) < cost(problem, before)


def test_swaps_and_restarts_leave_every_cell_a_tile_that_is_there():
    """No cell is left with a dropped tile: what it shows stays near what it should."""
    problem = sample(see_through=True)
    choice = start(problem)
    looks = make_looks(problem, choice.tiles)
    candidates = find_candidates(problem, looks, MOST)
    random = np.random.Generator(np.random.PCG64(0))
    restarted = restart_tiles(problem, choice, looks, candidates, blank(choice), random)
    swapped, _ = swap_tiles(problem, choice, looks, candidates, blank(choice))
    for other in (restarted, swapped):
        assert other.tiles.shape == choice.tiles.shape
        assert other.number.max() < BUDGET
        rows = problem.allowed[other.row[:, None], other.tiles[other.number].reshape(-1, 64)]
        assert rows.all(), "no entry without a colour is shown"
        kept = blank(choice)
        assert (other.tiles[kept] == 0).all(), "the see-through pattern stays"


def test_unify_keeps_the_picture():
    """Tiles equal up to flips become one, unused ones go, and nothing looks different."""
    problem = sample()
    choice = start(problem)
    twins = np.concatenate([choice.tiles, choice.tiles[:, ::-1]])
    half = np.arange(len(choice.number)) % 2 == 1
    number = np.where(half, choice.number + BUDGET, choice.number)
    flip = np.where(half, choice.flip ^ 2, choice.flip)
    doubled = Choice(twins, number, flip, choice.row)
    plain = unify(doubled)
    assert len(plain.tiles) <= BUDGET
    every = np.arange(len(choice.number))
    assert (errors(problem, plain).of(every) == errors(problem, choice).of(every)).all()
