"""Free patterns: what a group of cells shares is drawn anew, pixel by pixel, in palette entries.

A *part* is the cells of one pattern that show it in one palette row. The form is quadratic, so a
part's cells count only through their number and the sums of their errors and pulls.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from genbg.reduce.exact import flip_each
from genbg.reduce.metric import WHOLE, pull
from genbg.reduce.problem import ROWS, Choice, Problem, errors, stirred
from genbg.reduce.product import through

NEVER = 2.0**60

_CLASSES = [
    np.array([8 * y + x for y in (top, top + 4) for x in (left, left + 4)])
    for top in range(4)
    for left in range(4)
]
"""Pixels four apart do not meet in the form, so each of these sixteen sets is drawn at once."""


@dataclass(eq=False)
class _Parts:
    """Parts in order of row, then pattern; sums as whole numbers in float64.

    heavy: (parts, 64) sums of extra weights; heavy_error: (parts, ch, 64) of weights times errors
    """

    pattern: np.ndarray
    slices: list[slice]
    count: np.ndarray
    error: np.ndarray
    pull: np.ndarray
    heavy: np.ndarray | None
    heavy_error: np.ndarray | None


def _gather(problem: Problem, choice: Choice, frozen: np.ndarray, stir: bool) -> _Parts:
    error = errors(problem, choice)
    wanted = np.zeros(len(choice.patterns), dtype=bool)
    some = stirred(problem, error.live) if stir else error.live[:-1]
    wanted[choice.number[some]] = True
    cell = np.flatnonzero((wanted & ~frozen)[choice.number])
    size = len(choice.patterns)
    key = choice.row[cell].astype(np.intp) * size + choice.number[cell]
    order = np.argsort(key, kind="stable")
    cell, key = cell[order], key[order]
    starts = np.flatnonzero(np.diff(key, prepend=-1))
    flips = choice.flip[cell]

    def total(values: np.ndarray) -> np.ndarray:
        tiles = values.reshape(len(cell), values.shape[1], 8, 8)
        turned = flip_each(tiles, flips).reshape(values.shape)
        return np.add.reduceat(turned, starts, axis=0, dtype=np.int64).astype(np.float64)

    row, pattern = np.divmod(key[starts], size)
    bounds = np.searchsorted(row, np.arange(ROWS + 1))
    slices = [slice(a, b) for a, b in itertools.pairwise(bounds)]
    count = np.diff(np.r_[starts, len(key)]).astype(np.float64)
    field = pull(error.value, error.live, problem.around[cell], problem.form)
    heavy = heavy_error = None
    if problem.heavy is not None:
        weight = problem.heavy[cell][:, None]
        heavy = total(weight)[:, 0] * WHOLE
        heavy_error = total(weight * error.value[cell]) * WHOLE
    summed = total(error.value[cell])
    return _Parts(pattern, slices, count, summed, total(field), heavy, heavy_error)


def redraw(problem: Problem, choice: Choice, frozen: np.ndarray, stir: bool = False) -> Choice:
    """The same use of patterns drawn anew, each pixel the entry that costs least as things stand.

    frozen: (k,) bool, patterns to be left alone
    stir: whether patterns whose cells are all shown as they are may change too, to meet their
        neighbours; it closes seams a little more and takes longer
    Ties: the entry that is there, else the lowest.
    """
    parts = _gather(problem, choice, frozen, stir)
    if not len(parts.count):
        return choice
    entries = choice.patterns.reshape(-1, 64).copy()
    inner = problem.form.inner.astype(np.float64)
    for pixels in _CLASSES:
        total = _changes(problem, parts, entries, pixels, inner)
        best = total.argmin(axis=2)
        better = np.take_along_axis(total, best[..., None], 2)[..., 0] < 0
        if better.any():
            fresh = np.where(better, best, entries[:, pixels]).astype(np.uint8)
            _apply(problem, parts, entries, pixels, fresh)
    return Choice(entries.reshape(-1, 8, 8), choice.number, choice.flip, choice.row)


def _changes(
    problem: Problem, parts: _Parts, entries: np.ndarray, pixels: np.ndarray, inner: np.ndarray
) -> np.ndarray:
    """What each entry in place of the present one would cost, (k, pixels, 16) float64."""
    total = np.zeros((len(entries), len(pixels), 16))
    slope = parts.pull[:, :, pixels].copy()
    slope[:, 0] += through(parts.error[:, 0], inner[0][:, pixels])
    for channel in range(1, slope.shape[1]):
        slope[:, channel] += through(parts.error[:, channel], inner[1][:, pixels])
    if parts.heavy_error is not None:
        slope += parts.heavy_error[:, :, pixels]
    slope = slope.transpose(0, 2, 1)
    place = np.arange(len(pixels))
    for row, part in enumerate(parts.slices):
        colours = problem.steps[row].astype(np.float64)
        apart = (colours[:, None] - colours) ** 2
        own = inner[0][pixels, pixels][:, None, None] * apart[..., 0]
        own += inner[1][pixels, pixels][:, None, None] * apart[..., 1:].sum(axis=2)
        own[:, :, ~problem.allowed[row]] = NEVER
        pattern = parts.pattern[part]
        now = entries[pattern][:, pixels]
        change = own[place, now] * parts.count[part, None, None]
        if parts.heavy is not None:
            change += parts.heavy[part][:, pixels, None] * apart.sum(axis=2)[now]
        along = 2 * slope[part] @ colours.T
        change += along
        change -= np.take_along_axis(along, now[..., None].astype(np.intp), 2)
        total[pattern] += change
    return total


def _apply(
    problem: Problem, parts: _Parts, entries: np.ndarray, pixels: np.ndarray, fresh: np.ndarray
) -> None:
    """Put fresh entries (k, pixels) in place and bring the sums up to date."""
    for row, part in enumerate(parts.slices):
        pattern = parts.pattern[part]
        colours = problem.steps[row]
        moved = colours[fresh[pattern]] - colours[entries[pattern][:, pixels]]
        counted = moved * parts.count[part, None, None]
        parts.error[part][:, :, pixels] += counted.transpose(0, 2, 1)
        if parts.heavy is not None and parts.heavy_error is not None:
            weighed = moved * parts.heavy[part][:, pixels, None]
            parts.heavy_error[part][:, :, pixels] += weighed.transpose(0, 2, 1)
    entries[:, pixels] = fresh


def draw_groups(
    problem: Problem, cell: np.ndarray, number: np.ndarray, flip: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Patterns for groups of cells: the aligned centroid, snapped in the row that suits it best.

    cell: (m,) cells; number: (m,) their groups, 0 to the last without a gap; flip: (m,)
    Returns patterns (g, 8, 8) and their palette rows (g,). Ties: the lowest entry, the lowest row.
    """
    order = np.argsort(number, kind="stable")
    cell, turn = cell[order], flip[order]
    starts = np.flatnonzero(np.diff(number[order], prepend=-1))

    def total(values: np.ndarray) -> np.ndarray:
        turned = flip_each(values.reshape(len(cell), -1, 8, 8), turn).reshape(values.shape)
        return np.add.reduceat(turned, starts, axis=0, dtype=np.int64).astype(np.float64)

    weight = np.ones((len(cell), 1, 64), dtype=np.int32)
    if problem.heavy is not None:
        weight += problem.heavy[cell][:, None]
    sums = total(problem.painted[cell] * weight).transpose(0, 2, 1)
    count = total(weight)[:, 0, :, None]
    least, rows = np.full(len(starts), np.inf), np.zeros(len(starts), dtype=np.uint8)
    patterns = np.zeros((len(starts), 64), dtype=np.uint8)
    for row in range(ROWS):
        colours = problem.steps[row].astype(np.float64)
        cost = count * (colours * colours).sum(axis=1) - 2 * sums @ colours.T
        cost[:, :, ~problem.allowed[row]] = NEVER
        entry = cost.argmin(axis=2)
        whole = np.take_along_axis(cost, entry[..., None], 2).sum(axis=(1, 2))
        better = whole < least
        least[better], rows[better], patterns[better] = whole[better], row, entry[better]
    return patterns.reshape(-1, 8, 8), rows
