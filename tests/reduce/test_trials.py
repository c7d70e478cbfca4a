"""Trials: every move is judged by exactly what it changes, and only those that pay are kept."""

from __future__ import annotations

import numpy as np
import pytest
from reduce_samples import (
    SAMPLES,
    hilly_planes,
    hilly_problem,
    no_guard,
    same_choice,
    square_error,
)

from genbg.reduce import search as search_module
from genbg.reduce import trials
from genbg.reduce.buckets import merge_all
from genbg.reduce.candidates import Survey, find_candidates, make_looks
from genbg.reduce.metric import pull
from genbg.reduce.problem import Choice, Problem, blank, errors, score
from genbg.reduce.search import MODES, descend, draw_start, kind_uses
from genbg.reduce.tiles import reduce_tiles

BUDGET = 40


def sample(seed: int = 11, **kind: bool) -> Problem:
    return hilly_problem(15, seed, **kind)


def settled(problem: Problem) -> tuple[Choice, Survey]:
    """Where turns of drawing, choosing and swapping end."""
    groups = merge_all(problem.kinds.feature, kind_uses(problem), problem.kinds.tile, BUDGET)
    survey = Survey(problem, 4)
    choice, _ = descend(problem, draw_start(problem, groups, BUDGET), MODES["balanced"], survey)
    return choice, survey


def listed(problem: Problem, choice: Choice, survey: Survey) -> tuple:
    """Candidates and units that a round of trials begins with."""
    error = errors(problem, choice)
    survey.of(choice, error, thorough=True)
    survey.list_anew(trials.CANDIDATES)
    _, candidates = survey.of(choice, error, thorough=True)
    return candidates, trials.list_units(problem, choice, error, candidates)


def first_moves(problem: Problem, choice: Choice, survey: Survey) -> tuple:
    """The moves of a first round, the choice after all of them, and what judged them."""
    error = errors(problem, choice)
    candidates, units = listed(problem, choice, survey)
    age = [0] * len(choice.tiles)
    moves = trials.pick_moves(units, blank(choice), age, {}, 0)
    tried = trials.carry_out(problem, choice, candidates, units, moves)
    pulls = pull(error.value, error.place, problem.around, problem.form)
    change = trials.judge_moves(problem, tried, error, pulls, errors(problem, tried), moves)
    return moves, tried, change


@pytest.mark.parametrize("kind", SAMPLES)
def test_judgements_add_up_to_what_the_whole_cost_changed_by(kind):
    """To the last whole number: no share is forgotten, none counted twice."""
    problem = sample(**kind)
    choice, survey = settled(problem)
    moves, tried, change = first_moves(problem, choice, survey)
    before, after = (score(problem, errors(problem, c)) for c in (choice, tried))
    assert len(moves) > 5
    assert (change < 0).any()
    assert (change > 0).any()
    assert int(change.sum()) == after - before


@pytest.mark.parametrize("kind", SAMPLES)
def test_a_single_move_costs_what_it_was_judged_to(kind):
    """Made alone, a move changes the whole cost by what it was judged to do, and what is undone
    leaves no trace."""
    problem = sample(**kind)
    choice, survey = settled(problem)
    moves, tried, _ = first_moves(problem, choice, survey)
    error = errors(problem, choice)
    pulls = pull(error.value, error.place, problem.around, problem.form)
    before = score(problem, error)
    for kept in (0, len(moves) // 2, len(moves) - 1):
        alone = trials.undo_moves(choice, tried, moves[:kept] + moves[kept + 1 :])
        touched = np.isin(np.arange(len(choice.tiles)), moves[kept].touched)
        assert (alone.tiles[~touched] == choice.tiles[~touched]).all()
        seen = errors(problem, alone)
        change = trials.judge_moves(problem, alone, error, pulls, seen, moves)
        assert int(change[kept]) == score(problem, seen) - before
        assert not np.delete(change, kept).any()
    gone = trials.undo_moves(choice, tried, moves)
    assert same_choice(gone, choice)


@pytest.mark.parametrize("kind", SAMPLES)
def test_no_two_moves_touch_the_same_tile(kind):
    """Else none of them could be undone without the other; cells move between touched ones only."""
    problem = sample(**kind)
    choice, survey = settled(problem)
    moves, tried, _ = first_moves(problem, choice, survey)
    touched = [tile for move in moves for tile in move.touched]
    assert len(touched) == len(set(touched))
    owner = np.full(len(choice.tiles), -1)
    for place, move in enumerate(moves):
        owner[list(move.touched)] = place
    assert (owner[choice.number] == owner[tried.number]).all()
    assert any(move.stored >= 0 for move in moves)
    assert any(move.stored < 0 for move in moves)


def test_trials_lower_the_score_and_say_what_errs():
    """Where turns have ended, trials go on, in no more tiles, and their errors are true."""
    gains = []
    for seed in (11, 12, 13):
        problem = sample(seed)
        choice, survey = settled(problem)
        before = score(problem, errors(problem, choice))
        better, known = trials.try_moves(problem, choice, errors(problem, choice), survey, 30)
        fresh = errors(problem, better)
        assert len(better.tiles) == len(choice.tiles)
        assert (fresh.cell == known.cell).all()
        assert (fresh.value == known.value).all()
        gains.append(1 - score(problem, known) / before)
    assert min(gains) > 0
    assert np.mean(gains) > 0.01


def test_after_trials_candidates_are_those_of_the_last_choice():
    """The survey that trials widened is as narrow as before, and no cost in it is stale."""
    problem = sample()
    choice, survey = settled(problem)
    better, known = trials.try_moves(problem, choice, errors(problem, choice), survey, 10)
    looks, candidates = survey.of(better, known, thorough=True)
    anew = find_candidates(problem, make_looks(problem, better.tiles), survey.most, True)
    assert (looks.tiles == better.tiles).all()
    assert candidates.number.shape == anew.number.shape
    assert (candidates.cost == anew.cost).all()


def test_a_move_that_failed_is_not_made_again():
    """As long as the tiles that it touches are the same, nothing else would come of it."""
    problem = sample()
    choice, survey = settled(problem)
    _, units = listed(problem, choice, survey)
    age = [0] * len(choice.tiles)
    first = trials.pick_moves(units, blank(choice), age, {}, 0)
    failed = {move.name: trials.ages_of(move, age) for move in first}
    second = trials.pick_moves(units, blank(choice), age, failed, 0)
    assert second
    assert not {move.name for move in first} & {move.name for move in second}
    older = [1] * len(choice.tiles)
    third = trials.pick_moves(units, blank(choice), older, failed, 0)
    assert {move.name for move in third} == {move.name for move in first}


@pytest.mark.slow
def test_trials_pay_in_the_whole_search(monkeypatch):
    """Squared error alone, over three pictures, falls by a hundredth and more through trials."""
    ratios = []
    for seed in (21, 22, 23):
        judged = hilly_planes(12, 16, seed)
        guard = no_guard(judged)
        tried = square_error(judged, reduce_tiles(judged, 50, guard))
        with monkeypatch.context() as patch:
            patch.setattr(search_module, "MOST_TRIALS", 0)
            plain = reduce_tiles(judged, 50, guard)
            ratios.append(tried / square_error(judged, plain))
    assert np.mean(ratios) < 0.99
