"""Trials: moves of which nobody knows beforehand whether they pay, each judged by what it did.

Where no step gains any more by itself, two together still may: cells go over to another tile,
and both tiles are drawn anew. What that gains can only be guessed, so in every round many such
moves are made at once, no two of which touch the same tile; all touched tiles are drawn
anew; then each move is judged by itself and undone if it lost.

The guess is that of a relocation between centroids (J. A. Hartigan, "Clustering Algorithms", 1975,
chapter 4): m cells that leave a tile of n take n / (n - m) of their error with them, and m that
come to one of n add n / (n + m) of theirs. The judgement is exact. The form is quadratic: own cost
plus errors times pulls, so the change of the whole is the sum over all cells whose error changed,
from e to f, of what their own cost changed by, plus (f - e) times the sum of their pulls before and
after; where no two moves touch the same tile every such cell belongs to one of them.
"""

from __future__ import annotations

import itertools
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from genbg.reduce.candidates import Candidates, Survey
from genbg.reduce.draw import redraw
from genbg.reduce.metric import WHOLE, inner_product, pull
from genbg.reduce.problem import (
    Choice,
    Errors,
    Problem,
    blank,
    errors,
    heavy_error,
    surrounded,
)

CANDIDATES = 8
"""Tiles that cells may go over to; with 4, trials gained a fifth less."""

SLACK = 1.5
"""A move is tried where its guessed loss is at most this many times its guessed gain."""

FRUITLESS = 3
"""Rounds without a gain after which trials end: others are tried in each."""

MOST_HEIRS = 5
"""A tile is dropped only where its cells go to so few others, which cannot move then."""

MOST_SWAPS = 200
"""Tiles to drop, and cells to store instead, that are looked at in a round."""


@dataclass(eq=False)
class _Units:
    """Cells of one kind that one tile shows: they move together.

    kind, tile: (u,); order: (n,) all cells, unit after unit, and where each begins (u + 1,)
    of: (k + 1,) where the units of each tile begin in `by_tile` (u,)
    error: (u,) own cost of all their cells now; leave: (u,) what is gained where they leave
    number, join: (u, M) the tiles they may go over to and what is lost there
    next: (u,) which of those loses least
    """

    kind: np.ndarray
    tile: np.ndarray
    order: np.ndarray
    begin: np.ndarray
    by_tile: np.ndarray
    of: np.ndarray
    error: np.ndarray
    leave: np.ndarray
    number: np.ndarray
    join: np.ndarray
    next: np.ndarray

    def cells(self, unit: int) -> np.ndarray:
        """The cells of a unit."""
        return self.order[self.begin[unit] : self.begin[unit + 1]]

    def shown_by(self, tile: int) -> np.ndarray:
        """The units that a tile shows."""
        return self.by_tile[self.of[tile] : self.of[tile + 1]]


@dataclass(frozen=True, eq=False)
class _Move:
    """Units that go over to other tiles, and perhaps a unit stored in place of a tile.

    name: what tells it from others; touched: tiles that it changes
    going: (unit, which of its candidates); stored: the unit that the first touched tile shows
        from now on, or -1
    """

    name: tuple[int, ...]
    touched: tuple[int, ...]
    going: tuple[tuple[int, int], ...]
    stored: int = -1


def try_moves(
    problem: Problem,
    choice: Choice,
    error: Errors,
    survey: Survey,
    rounds: int,
    thorough: bool = True,
) -> tuple[Choice, Errors]:
    """A choice that costs no more, and its errors.

    error: of the choice; rounds: at most so many
    thorough: whether cells may go over to any tile, not to the few on their lists alone
    """
    age, fruitless = [0] * len(choice.tiles), 0
    pulls = pull(error.value, error.place, problem.around, problem.form)
    failed: dict[tuple[int, ...], tuple[int, ...]] = {}
    if thorough:
        survey.of(choice, error, thorough)
        survey.list_anew(CANDIDATES)
    for number in range(rounds):
        _, candidates = survey.of(choice, error, thorough)
        units = list_units(problem, choice, error, candidates)
        moves = pick_moves(units, blank(choice), age, failed, number)
        if not moves:
            break
        tried = carry_out(problem, choice, candidates, units, moves)
        lost = judge_moves(problem, tried, error, pulls, errors(problem, tried), moves) >= 0
        good = [move for move, bad in zip(moves, lost, strict=True) if not bad]
        bad = [move for move, bad in zip(moves, lost, strict=True) if bad]
        failed.update((move.name, ages_of(move, age)) for move in bad)
        kept = undo_moves(choice, tried, bad)
        seen = errors(problem, kept)
        cells, change = _changes(problem, error, pulls, seen)
        if change.sum() < 0:
            choice, error, fruitless = kept, seen, 0
            stirred = np.zeros(len(pulls), dtype=bool)
            stirred[cells] = True
            near = np.flatnonzero(surrounded(problem, stirred))
            pulls[near] = pull(error.value, error.place, problem.around[near], problem.form)
            for tile in itertools.chain(*(move.touched for move in good)):
                age[tile] += 1
        else:
            fruitless += 1
            if fruitless == FRUITLESS:
                break
    if thorough:
        survey.of(choice, error, thorough)
        survey.list_anew(survey.most)
    return choice, error


def ages_of(move: _Move, age: list[int]) -> tuple[int, ...]:
    """How often each of the tiles that a move touches has changed."""
    return tuple(age[tile] for tile in move.touched)


def list_units(problem: Problem, choice: Choice, error: Errors, candidates: Candidates) -> _Units:
    size = len(choice.tiles)
    key, unit = np.unique(problem.kind * size + choice.number, return_inverse=True)
    kind, tile = np.divmod(key, size)
    count = np.bincount(unit).astype(np.float64)
    whole = np.bincount(choice.number, minlength=size).astype(np.float64)
    own = np.zeros(len(choice.number))
    own[error.cell] = _own_costs(problem, error.cell, error.value[:-1]) / WHOLE
    lost = np.bincount(unit, own)
    rest = whole[tile] - count
    leave = np.where(rest > 0, lost * whole[tile] / np.maximum(rest, 1), 0)
    number = candidates.number[kind]
    join = candidates.cost[kind] * count[:, None]
    join *= whole[number] / (whole[number] + count[:, None])
    join[number == tile[:, None]] = np.inf
    return _Units(
        kind=kind,
        tile=tile,
        order=np.argsort(unit, kind="stable"),
        begin=np.concatenate([[0], np.cumsum(np.bincount(unit))]),
        by_tile=np.argsort(tile, kind="stable"),
        of=np.concatenate([[0], np.cumsum(np.bincount(tile, minlength=size))]),
        error=lost,
        leave=leave,
        number=number,
        join=join,
        next=join.argmin(axis=1),
    )


def pick_moves(
    units: _Units,
    blank: np.ndarray,
    age: list[int],
    failed: dict[tuple[int, ...], tuple[int, ...]],
    number: int,
) -> list[_Move]:
    """Moves of this round, no two of which touch the same tile, best guess first.

    A move that failed is tried again only when a tile that it touches has changed.
    """
    busy, moves = [False] * len(age), []
    for move in _guesses(units, blank, number, busy):
        if failed.get(move.name) != ages_of(move, age):
            for tile in move.touched:
                busy[tile] = True
            moves.append(move)
    return moves


def _guesses(units: _Units, blank: np.ndarray, number: int, busy: list[bool]) -> Iterator[_Move]:
    """Moves that may pay, best guess first, of those that touch no busy tile."""
    unit, place = np.nonzero(units.join < SLACK * units.leave[:, None])
    dropped, stored, loss = _swaps(units, blank, number)
    guess = np.concatenate([units.join[unit, place] - units.leave[unit], loss])
    relocations = len(unit)
    first = np.concatenate([units.tile[unit], dropped]).tolist()
    second = np.concatenate([units.number[unit, place], units.tile[stored]]).tolist()
    for at in np.argsort(guess, kind="stable").tolist():
        one, other = first[at], second[at]
        if busy[one] or busy[other] or one == other:
            continue
        if at < relocations:
            name = (int(units.kind[unit[at]]), one, other)
            yield _Move(name, (one, other), ((int(unit[at]), int(place[at])),))
            continue
        mine = units.shown_by(one)
        heirs = np.unique(units.number[mine, units.next[mine]]).tolist()
        if len(heirs) <= MOST_HEIRS and not any(busy[heir] for heir in heirs):
            fresh = int(stored[at - relocations])
            touched = tuple(dict.fromkeys((one, other, *heirs)))
            going = tuple(zip(mine.tolist(), units.next[mine].tolist(), strict=True))
            yield _Move((int(units.kind[fresh]), one, other, -1), touched, going, fresh)


def _swaps(
    units: _Units, blank: np.ndarray, number: int
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Tiles (s,) to drop, units (s,) to store instead, and the guess (s,) of what that costs.

    The tile that is missed least goes with the unit that gains most, and with others in other
    rounds. A unit beside cells like it may gain in a tile of its own; one alone has it already.
    """
    least = units.join[np.arange(len(units.kind)), units.next]
    loss = np.maximum(least - units.error, 0)
    loss = np.bincount(units.tile, loss, minlength=len(blank))
    loss[blank] = np.inf
    drop = np.argsort(loss, kind="stable")
    store = np.argsort(-units.leave, kind="stable")
    most = min(len(drop), len(store), MOST_SWAPS)
    rank = np.arange(most)
    drop = np.concatenate([drop[rank], drop[rank]])
    store = np.concatenate([store[rank], store[(rank + number) % most]])
    worth = loss[drop] < SLACK * units.leave[store]
    drop, store = drop[worth], store[worth]
    return drop, store, loss[drop] - units.leave[store]


def carry_out(
    problem: Problem, choice: Choice, candidates: Candidates, units: _Units, moves: list[_Move]
) -> Choice:
    """All moves made, and the tiles that they touch drawn anew."""
    tiles, number = choice.tiles.copy(), choice.number.copy()
    flip, row = choice.flip.copy(), choice.row.copy()
    still = np.ones(len(tiles), dtype=bool)
    for move in moves:
        still[list(move.touched)] = False
        for unit, place in move.going:
            cells, kind = units.cells(unit), units.kind[unit]
            number[cells], row[cells] = units.number[unit, place], candidates.row[kind, place]
            flip[cells] = candidates.flip[kind, place] ^ problem.cells.flip[cells]
        if move.stored >= 0:
            cells, kind = units.cells(move.stored), units.kind[move.stored]
            tiles[move.touched[0]] = problem.cells.tiles[problem.kinds.tile[kind]]
            number[cells], row[cells] = move.touched[0], problem.kinds.row[kind]
            flip[cells] = problem.cells.flip[cells]
    moved = Choice(tiles, number, flip, row)
    return redraw(problem, moved, still | blank(moved))


def undo_moves(before: Choice, after: Choice, moves: list[_Move]) -> Choice:
    """The choice after all moves, without some of them."""
    back = np.zeros(len(before.tiles), dtype=bool)
    for move in moves:
        back[list(move.touched)] = True
    cells = back[before.number]
    return Choice(
        np.where(back[:, None, None], before.tiles, after.tiles),
        np.where(cells, before.number, after.number),
        np.where(cells, before.flip, after.flip),
        np.where(cells, before.row, after.row),
    )


def judge_moves(
    problem: Problem,
    after: Choice,
    before: Errors,
    pulls: np.ndarray,
    now: Errors,
    moves: list[_Move],
) -> np.ndarray:
    """What each move changed the whole cost by, (moves,) in 1/WHOLE."""
    owner = np.zeros(len(after.tiles), dtype=np.intp)
    for place, move in enumerate(moves):
        owner[list(move.touched)] = place
    cells, change = _changes(problem, before, pulls, now)
    result = np.zeros(len(moves), dtype=np.int64)
    np.add.at(result, owner[after.number[cells]], change)
    return result


def _changes(
    problem: Problem, before: Errors, pulls: np.ndarray, now: Errors
) -> tuple[np.ndarray, np.ndarray]:
    """Cells (m,) whose error changed, and their shares (m,) int64 of the change of the cost.

    pulls: (n, ch, 64) of all cells before
    """
    cells = np.union1d(before.cell, now.cell)
    old, new = before.of(cells), now.of(cells)
    some = (old != new).any(axis=(1, 2))
    cells, old, new = cells[some], old[some], new[some]
    both = pull(now.value, now.place, problem.around[cells], problem.form).astype(np.int64)
    both += pulls[cells]
    change = ((new - old) * both).sum(axis=(1, 2))
    change += _own_costs(problem, cells, new) - _own_costs(problem, cells, old)
    return cells, change


def _own_costs(problem: Problem, cells: np.ndarray, error: np.ndarray) -> np.ndarray:
    """Own costs (m,) int64 of cells' errors (m, ch, 64), in 1/WHOLE."""
    result = (error * inner_product(error, problem.form)).sum(axis=(1, 2))
    if problem.heavy is not None:
        result += WHOLE * heavy_error(problem.heavy[cells], error)
    return result * problem.care[cells]
