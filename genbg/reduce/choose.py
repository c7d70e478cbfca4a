"""Every cell chooses again: which tile, turned which way, in which palette row.

Each cell weighs its own cost and how it meets its neighbours as they are now, and takes what
costs least: iterated conditional modes, J. Besag, "On the statistical analysis of dirty
pictures", J. Royal Statist. Soc. B 48(3), 1986. A cell chooses among a few *candidates*, the
tiles of least own cost, each in its best row and flip.
"""

from __future__ import annotations

import numpy as np

from genbg.reduce.candidates import Candidates
from genbg.reduce.exact import flip_each
from genbg.reduce.metric import features, pull
from genbg.reduce.problem import Choice, Errors, Problem, errors, heavy_error, list_errors, show

AT_ONCE = 2048
"""Cells that choose at a time: cells of one colour do not see each other, and memory is short."""

PULL_BITS = 12
"""Pulls are rounded to 1/16 of a coarse step (WHOLE = 2**16) so that products fit 32 bits."""


def choose_again(
    problem: Problem,
    choice: Choice,
    candidates: Candidates,
    error: Errors | None = None,
    apt: np.ndarray | None = None,
) -> tuple[Choice, Errors]:
    """Let cells that have an error choose again, those of one colour of a chessboard at a time.

    error: of the choice, where it is known; it is used up
    apt: (n,) bool cells that may have a reason to change; None: all

    Returns the new choice and its errors.

    A cell shown as it is has hardly ever a reason to change.
    Ties: the present choice, else the first candidate.
    """
    number, flip, row = choice.number.copy(), choice.flip.copy(), choice.row.copy()
    error = errors(problem, choice) if error is None else error
    planes, rows, columns = problem.cells.shape
    board = np.indices((rows, columns)).sum(axis=0).reshape(-1) % 2
    board = np.tile(board, planes)
    cells = error.cell if apt is None else error.cell[apt[error.cell]]
    for colour in (0, 1):
        some = cells[board[cells] == colour]
        for start in range(0, len(some), AT_ONCE):
            part = some[start : start + AT_ONCE]
            _choose_some(problem, choice.tiles, candidates, part, error, number, flip, row)
    # cells that chose a look without error are no longer listed
    error = list_errors(error.cell, error.value[:-1], len(number))
    return Choice(choice.tiles, number, flip, row), error


def _choose_some(
    problem: Problem,
    tiles: np.ndarray,
    candidates: Candidates,
    some: np.ndarray,
    error: Errors,
    number: np.ndarray,
    flip: np.ndarray,
    row: np.ndarray,
) -> None:
    """Let some cells choose, in place."""
    kind = problem.kind[some]
    field = pull(error.value, error.place, problem.around[some], problem.form)
    field = (field + (1 << (PULL_BITS - 1))) >> PULL_BITS
    options = candidates.number[kind]
    turns = candidates.flip[kind] ^ problem.cells.flip[some][:, None]
    shape = options.shape
    turned = flip_each(tiles[options.reshape(-1)], turns.reshape(-1))
    shown = show(problem.steps, turned, candidates.row[kind].reshape(-1))
    shown = shown.reshape(*shape, -1, 64)
    meant = shown - problem.painted[some][:, None]
    flat = meant.reshape(*shape, -1)
    joined = np.einsum("nmk,nk->nm", flat, field.reshape(len(some), -1))
    cost = candidates.cost[kind].astype(np.int64) * 16 + 2 * joined.astype(np.int64)
    same = (
        (options == number[some][:, None])
        & (turns == flip[some][:, None])
        & (candidates.row[kind] == row[some][:, None])
    )
    known = error.place[some]
    own = _own(problem, some, error.value[known])
    now = error.value[known].reshape(len(some), -1)
    present = own * 16 + 2 * np.einsum("nk,nk->n", now, field.reshape(len(some), -1))
    cost[same] = np.broadcast_to(present[:, None], shape)[same]
    best = cost.argmin(axis=1)
    take = np.flatnonzero(cost[np.arange(len(some)), best] < present)
    moved, best = some[take], best[take]
    number[moved], flip[moved] = options[take, best], turns[take, best]
    row[moved] = candidates.row[kind][take, best]
    error.value[known[take]] = meant[take, best]


def _own(problem: Problem, some: np.ndarray, error: np.ndarray) -> np.ndarray:
    """Own cost (m,) int64 of some cells' errors (m, ch, 64), as by features up to rounding."""
    feature = features(error.reshape(len(error), -1, 8, 8), problem.form).astype(np.float64)
    result = np.einsum("gnf,gnf->n", feature, feature).astype(np.int64)
    if problem.heavy is not None:
        result += heavy_error(problem.heavy[some], error)
    return result * problem.care[some]
