"""The search: start from merged pairs, then draw, choose and swap by turns, and keep the best."""

from __future__ import annotations

import numpy as np

from genbg.measure import present
from genbg.records import record
from genbg.reduce.candidates import (
    Candidates,
    Looks,
    find_candidates,
    make_looks,
    renew_candidates,
    renew_looks,
)
from genbg.reduce.choose import choose_again
from genbg.reduce.draw import draw_groups, redraw
from genbg.reduce.exact import canonical, distinct
from genbg.reduce.merge import Groups
from genbg.reduce.metric import WHOLE, Weights
from genbg.reduce.problem import Choice, Errors, Problem, changed, errors, score, surrounded
from genbg.reduce.swap import shake_patterns, swap_patterns

HEAVY_SHARE = 256
"""Sum of extra weights that counts as one more cell when pairs are merged: a cell's pixels."""


LEAST_GAIN = 1 / 512
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
through all patterns in every turn, and swaps are made in hope. A plane and more, but no long level.
"""

FAR = 1 << 62
"""More than any choice costs."""

MOST_SHAKES = 8
SHAKE_WORK = 60_000
"""Kinds of cells times patterns that all shakes together may be worth: 8 of them for 120 cells in
40 patterns, none for a whole plane, whose search has enough to choose from."""


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
    best, least = descend(problem, start, mode)
    size = len(problem.kind_tile) * len(start.patterns)
    shakes = min(MOST_SHAKES, SHAKE_WORK // size) if mode.rounds else 0
    if not shakes:
        return best
    random = np.random.Generator(np.random.PCG64(seed))
    for _ in range(shakes):
        looks = make_looks(problem, best.patterns)
        candidates = find_candidates(problem, looks, mode.candidates)
        shaken = shake_patterns(problem, best, looks, candidates, blank(best), random)
        choice, cost = descend(problem, shaken, mode)
        if cost < least:
            best, least = choice, cost
    return best


def descend(problem: Problem, choice: Choice, mode: Mode) -> tuple[Choice, int]:
    """The best choice on the way down from a start, and its score.

    Turns of drawing, choosing and swapping go on while each gains enough. Then swaps are made in
    hope, from the best choice so far, as long as that has led to a better one.
    """
    error = errors(problem, choice)
    best, least, known, last, tried = choice, FAR, error, FAR, 0
    looks = candidates = hoped = drawn = apt = None
    kinds, size = len(problem.kind_tile), len(choice.patterns)
    few_left, large = size <= FEW_LEFT * kinds, size * kinds > PATIENT_WORK
    patient = few_left and not large
    for turn in range(mode.rounds + 1):
        if turn or few_left or not mode.rounds:
            choice = redraw(problem, choice, blank(choice), mode.stir, error)
            error = errors(problem, choice)
        looks, candidates = look_again(problem, choice, error, looks, candidates, mode, patient)
        if drawn is not None:
            apt = restless_cells(problem, drawn, choice, candidates)
        drawn = choice
        choice, error = choose_again(problem, choice, candidates, error, apt)
        cost = score(problem, error)
        share = LEAST_GAIN if few_left else least_gain(problem, cost)
        patient = (few_left or share <= MUCH_MERGED) and not large
        if cost < least:
            best, least, known = choice, cost, error
        if turn == mode.rounds:
            break
        gains, last, tried = last - cost > share * cost or tried < 2, cost, tried + 1
        if gains:
            swapped, gain = swap_patterns(problem, choice, looks, candidates, blank(choice), error)
            gains = gain * WHOLE >= share * cost
        if not gains:
            if not patient or (hoped is not None and hoped - least < LEAST_GAIN * least):
                break
            hoped, last, tried = least, 2 * least, 0
            if choice is not best:
                choice, error = best, known
                looks, candidates = look_again(
                    problem, choice, error, looks, candidates, mode, patient
                )
            swapped, _ = swap_patterns(
                problem, choice, looks, candidates, blank(choice), error, hope=True
            )
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


def look_again(
    problem: Problem,
    choice: Choice,
    error: Errors,
    looks: Looks | None,
    candidates: Candidates | None,
    mode: Mode,
    thorough: bool,
) -> tuple[Looks, Candidates]:
    """Looks of a choice's patterns and candidates among them, from those of earlier patterns.

    error: of the choice; thorough: whether to look through all patterns, not the changed ones
    """
    if looks is None or candidates is None:
        looks = make_looks(problem, choice.patterns)
        return looks, find_candidates(problem, looks, mode.candidates, thorough)
    looks, fresh = renew_looks(problem, looks, choice.patterns)
    if thorough and candidates.table is None:
        return looks, find_candidates(problem, looks, mode.candidates, thorough)
    bad = bad_kinds(problem, error)
    return looks, renew_candidates(problem, looks, candidates, fresh, bad)


def bad_kinds(problem: Problem, error: Errors) -> np.ndarray:
    """Kinds (kinds,) bool of which some cell has an error."""
    bad = np.zeros(len(problem.kind_tile), dtype=bool)
    bad[problem.kind[error.cell]] = True
    return bad


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


def blank(choice: Choice) -> np.ndarray:
    """Patterns (k,) bool in use that are see-through all over: nothing may ever be drawn there."""
    used = np.bincount(choice.number, minlength=len(choice.patterns)) > 0
    return used & ~choice.patterns.any(axis=(1, 2))


def unify(choice: Choice) -> Choice:
    """The same picture without patterns that are equal up to flips or used by no cell."""
    lowest, turn = canonical(choice.patterns)
    used = present(choice.number)
    first, back = distinct(lowest[used])
    place = np.zeros(len(lowest), dtype=np.intp)
    place[used] = back
    flip = choice.flip ^ turn[choice.number]
    return Choice(lowest[used[first]], place[choice.number], flip, choice.row)
