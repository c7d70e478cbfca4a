"""The search: start from merged pairs, then draw, choose and swap by turns, and keep the best."""

from __future__ import annotations

import numpy as np

from genbg.measure import present
from genbg.records import record
from genbg.reduce.candidates import Candidates, Survey
from genbg.reduce.choose import choose_again
from genbg.reduce.draw import draw_groups, redraw
from genbg.reduce.exact import canonical, distinct
from genbg.reduce.merge import Groups
from genbg.reduce.metric import WHOLE, Weights
from genbg.reduce.problem import (
    Choice,
    Problem,
    blank,
    changed,
    errors,
    score,
    surrounded,
)
from genbg.reduce.swap import shake_patterns, swap_patterns
from genbg.reduce.trials import try_moves

HEAVY_SHARE = 256
"""Sum of extra weights that counts as one more cell when pairs are merged: a cell's pixels."""

LEAST_GAIN = 1 / 128
"""Share of the cost that swaps must promise, or a turn must have gained, to be worth another."""

UNSEEN_GAIN = 1 / 4
MOST_GAIN = 1 / 16
"""Where little was merged, what a turn must gain is so many squared coarse steps a pixel in the
mean, if that is no more than a sixteenth of the cost: less than that nobody will see."""

MUCH_MERGED = 1 / 100
"""Much is merged where the least gain is no more than that: where pixels err by 25 squared coarse
steps and more in the mean."""

FEW_LEFT = 9 / 16
"""Patterns to one kind of cell up to which much is merged, however little it errs."""

PATIENT_WORK = 8_000_000
"""Kinds of cells times patterns up to which a search is patient where much is merged: cells look
through all patterns in every turn. A plane and more, but no long level."""

FEW_TRIALS = 2
"""Rounds of trials where little is merged and yet an error can be seen; each takes 20 to 30 ms."""

CELL_WORK = 16
"""What a cell counts in the work of a search, beside kinds of cells times patterns."""

MOST_TRIALS = 60
TRIAL_WORK = 6_000_000
"""Work that all rounds of trials together may be worth: a picture of few kinds is tried until
nothing gains, a photograph's plane for five rounds or so."""

FAR = 1 << 62
"""More than any choice costs."""

MOST_SHAKES = 8
SHAKE_WORK = 260_000
"""Work that all shakes together may be worth: 8 of them for 120 cells in 40 patterns, one or two
for planes drawn with thrift, none for a photograph, whose search has enough to choose from."""


@record(frozen=True)
class Mode:
    """How hard the search works and what it weighs.

    rounds: turns of swapping after the first of drawing and choosing
    candidates: patterns that a cell chooses among; twice as many changed the result by less than
        one in a thousand
    stir: whether cells shown as they are may change to meet their neighbours
    """

    weights: Weights
    rounds: int
    candidates: int
    stir: bool = False


MODES = {
    "balanced": Mode(Weights(blur=14, seam=15), 24, 4),
    "fast": Mode(Weights(blur=14, seam=15), 0, 4),
    "contours": Mode(Weights(blur=6, seam=48), 16, 8, stir=True),
}


def search(problem: Problem, start: Choice, mode: Mode, seed: int = 0) -> Choice:
    """The best choice found of no more patterns than a start has, by `score`.

    Small problems are shaken a few times and searched again from there; how often depends on
    their size alone. seed: of the random numbers that shake
    """
    survey = Survey(problem, mode.candidates)
    best, least = settle(problem, start, mode, survey)
    if not mode.rounds or not much_merged(problem, len(start.patterns), least):
        return best
    shakes = min(MOST_SHAKES, SHAKE_WORK // work(problem, len(start.patterns)))
    random = np.random.Generator(np.random.PCG64(seed))
    for _ in range(shakes):
        looks, candidates = survey.of(best, errors(problem, best))
        shaken = shake_patterns(problem, best, looks, candidates, blank(best), random)
        choice, cost = settle(problem, shaken, mode, survey)
        if cost < least:
            best, least = choice, cost
    return best


def settle(problem: Problem, start: Choice, mode: Mode, survey: Survey) -> tuple[Choice, int]:
    """The best choice near a start, and its score: down from it, then trials, as many as the
    problem's size allows, and down again where much is merged."""
    best, least = descend(problem, start, mode, survey)
    size, rounds = len(best.patterns), 0
    patient = much_merged(problem, size, least)
    if mode.rounds and (patient or least_gain(problem, least) < MOST_GAIN):
        most = min(MOST_TRIALS, size) if patient else FEW_TRIALS
        rounds = min(most, TRIAL_WORK // work(problem, size))
    if not rounds:
        return best, least
    better, known = try_moves(problem, best, errors(problem, best), survey, rounds, patient)
    cost = score(problem, known)
    if not patient:
        return better, cost
    choice, lower = descend(problem, better, mode, survey)
    return (choice, lower) if lower < cost else (better, cost)


def work(problem: Problem, size: int) -> int:
    """How much a turn or a round among so many patterns takes, in products of two kinds' features
    or what takes as long."""
    return len(problem.kind_tile) * size + CELL_WORK * len(problem.tiles)


def much_merged(problem: Problem, size: int, cost: int) -> bool:
    """Whether few patterns are left, or pixels err visibly: then a search is patient."""
    few_left = size <= FEW_LEFT * len(problem.kind_tile)
    return few_left or least_gain(problem, cost) <= MUCH_MERGED


def descend(problem: Problem, choice: Choice, mode: Mode, survey: Survey) -> tuple[Choice, int]:
    """The best choice on the way down from a start, and its score.

    Turns of drawing, choosing and swapping go on while each gains enough.
    """
    error = errors(problem, choice)
    best, least, known, last = choice, FAR, error, FAR
    drawn = apt = None
    kinds, size = len(problem.kind_tile), len(choice.patterns)
    few_left, large = size <= FEW_LEFT * kinds, size * kinds > PATIENT_WORK
    patient = few_left and not large
    for turn in range(mode.rounds + 1):
        if turn or few_left or not mode.rounds:
            choice = redraw(problem, choice, blank(choice), mode.stir, error)
            error = errors(problem, choice)
        looks, candidates = survey.of(choice, error, patient)
        if drawn is not None:
            apt = restless_cells(problem, drawn, choice, candidates)
        drawn = choice
        choice, error = choose_again(problem, choice, candidates, error, apt)
        cost = score(problem, error)
        share = LEAST_GAIN if few_left else least_gain(problem, cost)
        patient = not large and much_merged(problem, size, cost)
        if cost < least:
            best, least, known = choice, cost, error
        if turn == mode.rounds or (last - cost <= share * cost and turn >= 2):
            break
        last = cost
        swapped, gain = swap_patterns(problem, choice, looks, candidates, blank(choice), error)
        if gain * WHOLE < share * cost:
            break
        choice, error = swapped, errors(problem, swapped)
    if mode.rounds and not few_left and least_gain(problem, least) > LEAST_GAIN:
        return best, least
    choice = redraw(problem, best, blank(best), mode.stir, known)
    cost = score(problem, errors(problem, choice))
    return (choice, cost) if cost < least else (best, least)


def restless_cells(
    problem: Problem, before: Choice, now: Choice, candidates: Candidates
) -> np.ndarray:
    """Cells (n,) bool that changed, or whose neighbours or candidates did."""
    fresh = (before.patterns != now.patterns).any(axis=(1, 2))
    offered = fresh[candidates.number].any(axis=1)[problem.kind]
    return surrounded(problem, changed(before, now)) | offered


def least_gain(problem: Problem, cost: int) -> float:
    """Share of the cost that makes another turn worth while."""
    unseen = UNSEEN_GAIN * WHOLE * problem.tiles.size
    return max(LEAST_GAIN, min(MOST_GAIN, unseen / max(cost, 1)))


def kind_uses(problem: Problem) -> np.ndarray:
    """How much each kind of cell weighs (kinds,) when pairs are merged: uses and extra weights."""
    uses = np.bincount(problem.kind, minlength=len(problem.kind_tile)).astype(np.float64)
    if problem.kind_heavy is not None:
        uses *= 1 + problem.kind_heavy.sum(axis=1) // HEAVY_SHARE
    return uses


def draw_start(problem: Problem, groups: Groups, budget: int) -> Choice:
    """Groups of kinds as patterns, with spare ones up to the budget."""
    return spread(unify(_draw_groups(problem, groups)), budget)


def _draw_groups(problem: Problem, groups: Groups) -> Choice:
    """A pattern for every group; a kind on its own stays as it is, as cells of the same pattern in
    another row do: so they share it."""
    kind, label = problem.kind, groups.label
    alone = np.bincount(label)[label] == 1
    patterns = np.zeros((int(label.max()) + 1, 8, 8), dtype=np.uint8)
    rows = np.zeros(len(patterns), dtype=np.uint8)
    patterns[label[alone]] = problem.cells.patterns[problem.kind_tile[alone]]
    rows[label[alone]] = problem.kind_row[alone]
    some = np.flatnonzero(~alone)
    if len(some):
        merged, number = np.unique(label[some], return_inverse=True)
        patterns[merged], rows[merged] = draw_groups(problem, some, number, groups.flip[some])
    return Choice(patterns, label[kind], groups.flip[kind] ^ problem.cells.flip, rows[label[kind]])


def spread(choice: Choice, budget: int) -> Choice:
    """The same choice with blank patterns up to the budget, which swaps will put to use."""
    spare = np.zeros((budget - len(choice.patterns), 8, 8), dtype=np.uint8)
    patterns = np.concatenate([choice.patterns, spare])
    return Choice(patterns, choice.number, choice.flip, choice.row)


def unify(choice: Choice) -> Choice:
    """The same picture without patterns that are equal up to flips or used by no cell."""
    lowest, turn = canonical(choice.patterns)
    used = present(choice.number)
    first, back = distinct(lowest[used])
    place = np.zeros(len(lowest), dtype=np.intp)
    place[used] = back
    flip = choice.flip ^ turn[choice.number]
    return Choice(lowest[used[first]], place[choice.number], flip, choice.row)
