"""The search: start from merged pairs, then draw, choose and swap by turns, and keep the best."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.measure import present
from genbg.reduce.candidates import Candidates, Survey
from genbg.reduce.choose import choose_again
from genbg.reduce.draw import draw_groups, redraw
from genbg.reduce.entry_orders import as_it_is, order_entries
from genbg.reduce.exact import canonical, distinct
from genbg.reduce.merge import Groups
from genbg.reduce.metric import WHOLE, Weights
from genbg.reduce.problem import (
    Choice,
    Problem,
    blank,
    changed,
    errors,
    reordered,
    score,
    surrounded,
    weighed_uses,
)
from genbg.reduce.swap import restart_tiles, swap_tiles
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
"""Tiles to one kind of cell up to which much is merged, however little it errs."""

PATIENT_WORK = 8_000_000
"""Kinds of cells times tiles up to which a search is patient where much is merged: cells look
through all tiles in every turn. A plane and more, but no long level."""

FEW_TRIALS = 2
"""Rounds of trials where little is merged and yet an error can be seen; each takes 20 to 30 ms."""

CELL_WORK = 16
"""What a cell counts in the work of a search, beside kinds of cells times tiles."""

MOST_TRIALS = 60
TRIAL_WORK = 6_000_000
"""Work that all rounds of trials together may be worth: a picture of few kinds is tried until
nothing gains, a photograph's plane for five rounds or so."""

FAR = 1 << 62
"""More than any choice costs."""

MOST_RESTARTS = 24
RESTART_WORK = 260_000
"""Work that all restarts together may be worth: 24 of them for 120 cells in 40 tiles, one or two
for planes drawn with thrift, none for a photograph, whose search has enough to choose from."""

FRUITLESS = 8
"""Shakes without a gain after which a problem is left alone."""

MOST_TRIES = 200
ORDER_WORK = 24_000_000
"""Exchanges of entries that are tried in a round, and the work that all of them may be worth: 200
for planes of little variety in few tiles, 70 for planes of 750 kinds of cells in half as many.
As many again gained planes another percent and took half as much time again."""

ORDER_ROUNDS = 2
"""Rounds of exchanges at most, each with a search on from there; small problems have them all."""

ROUND_RESTARTS = 2
"""Shakes that a round stands for: after it, planes gained a thousandth by one."""

ORDER_KINDS = 900
"""Kinds of cells up to which entries are ordered. Planes drawn with thrift have fewer, and their
score falls by 4 to 15 %; that of drawn pictures of a thousand kinds fell by 1 to 3 % in half as
much time again as a search takes, that of photographs of two thousand by a third of a percent in
twice the time."""

RESTART_TRIES = 60
"""Exchanges after a restart: more restarts gain more than longer ones."""


@dataclass(frozen=True)
class Mode:
    """How hard the search works and what it weighs.

    rounds: turns of swapping after the first of drawing and choosing
    candidates: tiles that a cell chooses among; twice as many changed the result by less than
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


@dataclass(frozen=True, eq=False)
class Found:
    """Where a search stands.

    entry_order: (r, 16) uint8, for every entry of this problem the entry of the one that was posed
    cost: of the choice, by `score`
    """

    problem: Problem
    entry_order: np.ndarray
    choice: Choice
    cost: int


def search(
    problem: Problem, start: Choice, mode: Mode, seed: int = 0, free: np.ndarray | None = None
) -> Found:
    """The best choice found of no more tiles than a start has, by `score`.

    Where much is merged, entries of palette rows are brought into a better order on the way, and
    small problems are searched again from restarts; how often depends on their size alone.

    seed: of the random numbers of restarts
    free: (r,) bool, palette rows whose entries may change places; None: none may
    """
    size = len(start.tiles)
    free = np.zeros(problem.rows, dtype=bool) if free is None else free
    tries = order_tries(problem, size) if mode.rounds and free.any() else 0
    way = descend if tries and few_left(problem, size) else settle
    survey = Survey(problem, mode.candidates)
    best = Found(problem, as_it_is(problem.rows), *way(problem, start, mode, survey))
    if not mode.rounds or not much_merged(problem, size, best.cost):
        return best
    rounds = min(ORDER_ROUNDS, max(1, tries // MOST_TRIES)) if tries else 0
    for _ in range(rounds):
        best = cheaper(best, settle_ordered(best, mode, free, min(tries, MOST_TRIES)))
    restarts = min(MOST_RESTARTS, RESTART_WORK // work(problem, size) - ROUND_RESTARTS * rounds)
    random = np.random.Generator(np.random.PCG64(seed))
    fruitless = 0
    while restarts > 0 and fruitless < min(FRUITLESS, size):
        restarted = restart(best, mode, random)
        found = settle_ordered(restarted, mode, free, min(tries, RESTART_TRIES))
        fruitless = 0 if found.cost < best.cost else fruitless + 1
        best, restarts = cheaper(best, found), restarts - 1
    return best


def order_tries(problem: Problem, size: int) -> int:
    """Exchanges of entries that may be tried in all; 0 where there are too many kinds of cells."""
    few = len(problem.kinds.tile) <= ORDER_KINDS
    return ORDER_WORK // work(problem, size) if few else 0


def cheaper(one: Found, other: Found) -> Found:
    """Whichever costs less; the first if they are equal."""
    return other if other.cost < one.cost else one


def restart(found: Found, mode: Mode, random: np.random.Generator) -> Found:
    """The same with some tiles swapped at random."""
    problem, choice = found.problem, found.choice
    error = errors(problem, choice)
    looks, candidates = Survey(problem, mode.candidates).of(choice, error)
    restarted = restart_tiles(problem, choice, looks, candidates, blank(choice), random)
    return Found(problem, found.entry_order, restarted, FAR)


def settle_ordered(found: Found, mode: Mode, free: np.ndarray, tries: int) -> Found:
    """What comes of a better order of entries and of searching on from there."""
    problem, choice, entry_order = found.problem, found.choice, found.entry_order
    if tries:
        ordered = order_entries(problem, choice, free, tries)
        problem, choice = reordered(problem, ordered.entry_order), ordered.choice
        entry_order = np.take_along_axis(entry_order, ordered.entry_order.astype(np.intp), 1)
    return Found(
        problem, entry_order, *settle(problem, choice, mode, Survey(problem, mode.candidates))
    )


def settle(problem: Problem, start: Choice, mode: Mode, survey: Survey) -> tuple[Choice, int]:
    """The best choice near a start, and its score: down from it, then trials, as many as the
    problem's size allows, and down again where much is merged."""
    best, least = descend(problem, start, mode, survey)
    size, rounds = len(best.tiles), 0
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
    """How much a turn or a round among so many tiles takes, in products of two kinds' features
    or what takes as long."""
    return len(problem.kinds.tile) * size + CELL_WORK * len(problem.cell_entries)


def much_merged(problem: Problem, size: int, cost: int) -> bool:
    """Whether few tiles are left, or pixels err visibly: then a search is patient."""
    return few_left(problem, size) or least_gain(problem, cost) <= MUCH_MERGED


def few_left(problem: Problem, size: int) -> bool:
    """Whether a search has so few tiles that it is patient whatever the error."""
    return size <= FEW_LEFT * len(problem.kinds.tile)


def descend(problem: Problem, choice: Choice, mode: Mode, survey: Survey) -> tuple[Choice, int]:
    """The best choice on the way down from a start, and its score.

    Turns of drawing, choosing and swapping go on while each gains enough.
    """
    error = errors(problem, choice)
    best, least, known, last = choice, FAR, error, FAR
    drawn = apt = None
    kinds, size = len(problem.kinds.tile), len(choice.tiles)
    few, large = few_left(problem, size), size * kinds > PATIENT_WORK
    patient = few and not large
    for turn in range(mode.rounds + 1):
        if turn or few or not mode.rounds:
            choice = redraw(problem, choice, blank(choice), mode.stir, error)
            error = errors(problem, choice)
        looks, candidates = survey.of(choice, error, patient)
        if drawn is not None:
            apt = restless_cells(problem, drawn, choice, candidates)
        drawn = choice
        choice, error = choose_again(problem, choice, candidates, error, apt)
        cost = score(problem, error)
        share = LEAST_GAIN if few else least_gain(problem, cost)
        patient = not large and much_merged(problem, size, cost)
        if cost < least:
            best, least, known = choice, cost, error
        if turn == mode.rounds or (last - cost <= share * cost and turn >= 2):
            break
        last = cost
        swapped, gain = swap_tiles(problem, choice, looks, candidates, blank(choice), error)
        if gain * WHOLE < share * cost:
            break
        choice, error = swapped, errors(problem, swapped)
    if mode.rounds and not few and least_gain(problem, least) > LEAST_GAIN:
        return best, least
    choice = redraw(problem, best, blank(best), mode.stir, known)
    cost = score(problem, errors(problem, choice))
    return (choice, cost) if cost < least else (best, least)


def restless_cells(
    problem: Problem, before: Choice, now: Choice, candidates: Candidates
) -> np.ndarray:
    """Cells (n,) bool that changed, or whose neighbours or candidates did."""
    fresh = (before.tiles != now.tiles).any(axis=(1, 2))
    offered = fresh[candidates.number].any(axis=1)[problem.kind]
    return surrounded(problem, changed(before, now)) | offered


def least_gain(problem: Problem, cost: int) -> float:
    """Share of the cost that makes another turn worth while."""
    unseen = UNSEEN_GAIN * WHOLE * 64 * int(problem.care.sum())
    return max(LEAST_GAIN, min(MOST_GAIN, unseen / max(cost, 1)))


def kind_uses(problem: Problem) -> np.ndarray:
    """How much each kind of cell weighs (kinds,) when pairs are merged: uses and extra weights."""
    uses = weighed_uses(problem).astype(np.float64)
    if problem.kinds.heavy is not None:
        uses *= 1 + problem.kinds.heavy.sum(axis=1) // HEAVY_SHARE
    return uses


def draw_start(problem: Problem, groups: Groups, budget: int) -> Choice:
    """Groups of kinds as tiles, with spare ones up to the budget."""
    return spread(unify(_draw_groups(problem, groups)), budget)


def _draw_groups(problem: Problem, groups: Groups) -> Choice:
    """A tile for every group; a kind on its own stays as it is, as cells of the same tile in
    another row do: so they share it."""
    kind, label = problem.kind, groups.label
    alone = np.bincount(label)[label] == 1
    tiles = np.zeros((int(label.max()) + 1, 8, 8), dtype=np.uint8)
    rows = np.zeros(len(tiles), dtype=np.uint8)
    tiles[label[alone]] = problem.cells.tiles[problem.kinds.tile[alone]]
    rows[label[alone]] = problem.kinds.row[alone]
    some = np.flatnonzero(~alone)
    if len(some):
        merged, number = np.unique(label[some], return_inverse=True)
        tiles[merged], rows[merged] = draw_groups(problem, some, number, groups.flip[some])
    return Choice(tiles, label[kind], groups.flip[kind] ^ problem.cells.flip, rows[label[kind]])


def spread(choice: Choice, budget: int) -> Choice:
    """The same choice with blank tiles up to the budget, which swaps will put to use."""
    spare = np.zeros((budget - len(choice.tiles), 8, 8), dtype=np.uint8)
    tiles = np.concatenate([choice.tiles, spare])
    return Choice(tiles, choice.number, choice.flip, choice.row)


def unify(choice: Choice) -> Choice:
    """The same picture without tiles that are equal up to flips or used by no cell."""
    lowest, turn = canonical(choice.tiles)
    used = present(choice.number)
    first, back = distinct(lowest[used])
    place = np.zeros(len(lowest), dtype=np.intp)
    place[used] = back
    flip = choice.flip ^ turn[choice.number]
    return Choice(lowest[used[first]], place[choice.number], flip, choice.row)
