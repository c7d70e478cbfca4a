"""The worst visible cells, mended last: a square in a calm place is seen at once, however little it
costs among thousands of cells.

A search keeps the whole error small, and a cell that stands out by itself counts little in it.
Here such a cell is stored as it was painted. A tile makes room for it: the one whose cells are
seen least when each goes over to its next best tile, which mostly lie in texture. Both sides are
looked at before and after; what is seen more than before is taken back.
"""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np

from genbg.reduce.calm import contrasts, thresholds, visibility
from genbg.reduce.candidates import Survey
from genbg.reduce.draw import redraw
from genbg.reduce.exact import flip_each
from genbg.reduce.problem import Choice, Errors, Problem, blank, errors, heavy_error, score, show

AIM = 0.7
"""Share of the worst visibility that mending goes down to."""

UNSEEN = 0.5
"""Visibility, in thresholds, that is not worth mending."""

ROUNDS = 32
"""Rounds of mending at most; each takes as long as a turn of the search."""

MOVES = 8
"""Cells mended in a round at most: what dropped tiles leave behind is known only after it."""

DEAREST = 17 / 16
"""What mending may raise the whole cost to, beside the cost before: where all cells are seen about
as plainly as the worst, as in noise, there is nothing to mend."""

LESS = 0.8
"""How plainly a dropped tile's cells may be seen, as a share of the cell that is mended."""


@dataclass(frozen=True, eq=False)
class _Heirs:
    """Where each cell would go if its tile were dropped.

    number, row, flip: (n,) its next best look; seen: (n,) its visibility there
    """

    number: np.ndarray
    row: np.ndarray
    flip: np.ndarray
    seen: np.ndarray


@dataclass(frozen=True)
class _Move:
    """A cell that is stored in place of a tile; `kind` is the cell's."""

    cell: int
    kind: int
    tile: int


@dataclass(eq=False)
class _Mender:
    """What stays the same from round to round.

    threshold: (n,) coarse steps that are just seen in each cell
    failed: (kind, tile) of moves that were taken back
    """

    problem: Problem
    survey: Survey
    threshold: np.ndarray
    failed: set[tuple[int, int]] = field(default_factory=set)


def mend_worst(problem: Problem, choice: Choice, candidates: int) -> Choice:
    """The same choice with its worst visible cells mended, at little cost to the others.

    candidates: tiles that a cell chooses among
    """
    contrast = contrasts(problem.painted, problem.cells.shape)
    mender = _Mender(problem, Survey(problem, candidates), thresholds(contrast))
    best, aim, dearest = choice, 0.0, 0.0
    for _ in range(ROUNDS + 1):
        error = errors(problem, choice)
        seen = _seen(mender, error)
        cost = score(problem, error)
        aim = aim or max(AIM * float(seen.max()), UNSEEN)
        dearest = dearest or DEAREST * cost
        if cost > dearest:
            break
        best = choice
        if seen.max() <= aim:
            break
        heirs = _find_heirs(mender, choice, error)
        moves = _pick_moves(mender, choice, seen, heirs, aim)
        if not moves:
            break
        choice = _make(mender, choice, seen, heirs, moves)
    return best


def _seen(mender: _Mender, error: Errors) -> np.ndarray:
    """Visibility (n,) of every cell."""
    seen = np.zeros(len(mender.threshold))
    threshold = mender.threshold[error.cell]
    seen[error.cell] = visibility(error.value[:-1], threshold, mender.problem.form)
    return seen


def _find_heirs(mender: _Mender, choice: Choice, error: Errors) -> _Heirs:
    problem = mender.problem
    _, candidates = mender.survey.of(choice, error, thorough=True)
    listed = candidates.number[problem.kind]
    cost = np.where(listed == choice.number[:, None], np.inf, candidates.cost[problem.kind])
    every, place = np.arange(len(cost)), cost.argmin(axis=1)
    number, row = listed[every, place], candidates.row[problem.kind, place]
    flip = candidates.flip[problem.kind, place] ^ problem.cells.flip
    off = show(problem.steps, flip_each(choice.tiles[number], flip), row) - problem.painted
    seen = visibility(off, mender.threshold, problem.form)
    if problem.heavy is not None:
        now = np.zeros(len(off), dtype=np.int64)
        now[error.cell] = heavy_error(problem.heavy[error.cell], error.value[:-1])
        seen[heavy_error(problem.heavy, off) > now] = np.inf  # a star or a mark is not given away
    return _Heirs(number, row, flip, seen)


def _pick_moves(
    mender: _Mender, choice: Choice, seen: np.ndarray, heirs: _Heirs, aim: float
) -> list[_Move]:
    """Moves for the worst cells, worst first, none touching what another relies on."""
    problem = mender.problem
    loss = np.zeros(len(choice.tiles))
    np.maximum.at(loss, choice.number, heirs.seen)
    loss[blank(choice)] = np.inf
    order = np.argsort(loss, kind="stable").tolist()
    users = _by_tile(choice)
    locked, gone = np.zeros(len(loss), dtype=bool), np.zeros(len(loss), dtype=bool)
    moves: list[_Move] = []
    mended: set[int] = set()
    for cell in np.argsort(-seen, kind="stable").tolist():
        kind = int(problem.kind[cell])
        if seen[cell] <= aim or len(moves) == MOVES:
            break
        if kind in mended:
            continue
        for tile in order:
            if loss[tile] >= LESS * seen[cell]:
                break
            free = not (locked[tile] or gone[tile] or tile == choice.number[cell])
            if free and (kind, tile) not in mender.failed:
                next_ones = heirs.number[users[tile]]
                if not gone[next_ones].any():
                    gone[tile] = locked[tile] = True
                    locked[next_ones] = True
                    mended.add(kind)
                    moves.append(_Move(cell, kind, tile))
                    break
    return moves


def _by_tile(choice: Choice) -> list[np.ndarray]:
    """The cells that each tile shows."""
    order = np.argsort(choice.number, kind="stable")
    ends = np.cumsum(np.bincount(choice.number, minlength=len(choice.tiles)))
    return np.split(order, ends[:-1])


def _make(
    mender: _Mender, choice: Choice, seen: np.ndarray, heirs: _Heirs, moves: list[_Move]
) -> Choice:
    """The choice after all moves but those by which some cell is seen nearly as plainly."""
    problem, users = mender.problem, _by_tile(choice)
    tiles, number = choice.tiles.copy(), choice.number.copy()
    flip, row = choice.flip.copy(), choice.row.copy()
    still = np.ones(len(tiles), dtype=bool)
    touched = []
    for move in moves:
        old, fresh = users[move.tile], np.flatnonzero((problem.kind == move.kind) & (seen > 0))
        number[old], row[old], flip[old] = heirs.number[old], heirs.row[old], heirs.flip[old]
        tiles[move.tile] = problem.cells.tiles[problem.kinds.tile[move.kind]]
        number[fresh], row[fresh] = move.tile, problem.kinds.row[move.kind]
        flip[fresh] = problem.cells.flip[fresh]
        still[heirs.number[old]] = False
        touched.append(np.concatenate([old, fresh]))
    made = Choice(tiles, number, flip, row)
    made = redraw(problem, made, still | blank(made))
    after = _seen(mender, errors(problem, made))
    bad = np.zeros(len(tiles), dtype=bool)
    for move, cells in zip(moves, touched, strict=True):
        near = np.isin(made.number, made.number[cells])
        if after[near].max() > max(LESS * seen[move.cell], float(seen[near].max())):
            mender.failed.add((move.kind, move.tile))
            bad[move.tile] = True
            bad[heirs.number[users[move.tile]]] = True
    return _take_back(choice, made, bad)


def _take_back(before: Choice, after: Choice, bad: np.ndarray) -> Choice:
    """The choice after all moves, but for tiles (k,) bool, the cells that they showed or show,
    and the tiles that those cells come back to."""
    while True:
        cells = bad[before.number] | bad[after.number]
        needed = bad.copy()
        needed[before.number[cells]] = True
        if (needed == bad).all():
            break
        bad = needed
    tiles = np.where(bad[:, None, None], before.tiles, after.tiles)
    return Choice(
        tiles,
        np.where(cells, before.number, after.number),
        np.where(cells, before.flip, after.flip),
        np.where(cells, before.row, after.row),
    )
