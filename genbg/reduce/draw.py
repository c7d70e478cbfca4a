"""Free tiles: what a group of cells shares is drawn anew, pixel by pixel, in palette entries.

A *part* is the cells of one tile that show it in one palette row. The form is quadratic, so a
part's cells count only through their number and the sums of their errors and pulls.
"""

from __future__ import annotations

import itertools
from dataclasses import dataclass

import numpy as np

from genbg.reduce.exact import flip_each, flip_tiles
from genbg.reduce.metric import WHOLE, pull
from genbg.reduce.problem import Choice, Errors, Problem, errors, show, stirred, weighed_uses
from genbg.reduce.product import through

NEVER = 2.0**60

FEW = 8
"""A tile is left alone where only one in so many of its cells has an error: the others hold it
where it is."""

_ORDER = np.array(
    [
        8 * y + x
        for top in range(4)
        for left in range(4)
        for y in (top, top + 4)
        for x in (left, left + 4)
    ]
)
"""Pixels in the order in which they are drawn: `AT_ONCE` of them, four apart, do not meet in the
form."""

AT_ONCE = 4


@dataclass(eq=False)
class _Parts:
    """Parts in order of row, then tile; sums as whole numbers in float64, pixels in _ORDER.

    tile: (p,) the tiles that are drawn, ascending
    of: (parts,) place in `tile` of each part's; row: (parts,); slices: parts of each row
    count: (parts, 1) cells of it, each as often as it counts
    error, pull: (ch, parts, 64) sums over its cells, errors as often as they count
    heavy: (parts, 64) sums of extra weights; heavy_error: (ch, parts, 64) of weights times errors
    """

    tile: np.ndarray
    of: np.ndarray
    row: np.ndarray
    slices: list[slice]
    count: np.ndarray
    error: np.ndarray
    pull: np.ndarray
    heavy: np.ndarray | None
    heavy_error: np.ndarray | None


def _gather(
    problem: Problem, choice: Choice, error: Errors, frozen: np.ndarray, stir: bool
) -> _Parts:
    """The parts of all tiles that are worth drawing anew."""
    near, live = stirred(problem, error), error.live
    uses = np.bincount(choice.number, minlength=len(choice.tiles))
    bad = np.bincount(choice.number[near if stir else live], minlength=len(uses))
    wanted = bad * FEW > uses
    cell = np.flatnonzero((wanted & ~frozen)[choice.number])
    size = len(choice.tiles)
    key = choice.row[cell].astype(np.intp) * size + choice.number[cell]
    key, part = np.unique(key, return_inverse=True)
    place = part * 4 + choice.flip[cell]
    row, number = np.divmod(key, size)
    bounds = np.searchsorted(row, np.arange(problem.rows + 1))
    tile, of = np.unique(number, return_inverse=True)

    def total(values: np.ndarray, some: np.ndarray) -> np.ndarray:
        return _sum_turned(values, place[some], len(key))

    bad = np.flatnonzero(live[cell])
    pulled = np.flatnonzero(near[cell])
    field = pull(error.value, error.place, problem.around[cell[pulled]], problem.form)
    heavy = heavy_error = None
    if problem.heavy is not None:
        some = np.flatnonzero(problem.kinds.weighty[problem.kind[cell]])
        weight = (problem.heavy * problem.care[:, None])[cell[some]][:, None]
        heavy = total(weight, some)[0] * WHOLE
        heavy_error = total(weight * error.of(cell[some]), some) * WHOLE
    return _Parts(
        tile=tile,
        of=of,
        row=row,
        slices=[slice(a, b) for a, b in itertools.pairwise(bounds)],
        count=np.bincount(part, problem.care[cell], minlength=len(key))[:, None],
        error=total(error.of(cell[bad]) * problem.care[cell[bad], None, None], bad),
        pull=total(field, pulled),
        heavy=heavy,
        heavy_error=heavy_error,
    )


def _sum_turned(values: np.ndarray, place: np.ndarray, parts: int) -> np.ndarray:
    """Sums (ch, parts, 64) float64 of cells' whole numbers (m, ch, 64), turned as in the tile
    and brought into _ORDER.

    place: (m,) part of each cell times 4, plus its flip
    """
    channels = values.shape[1]
    result = np.zeros((parts, channels, 8, 8))
    if len(values):
        order = np.argsort(place, kind="stable")
        starts = np.flatnonzero(np.diff(place[order], prepend=-1))
        sums = np.add.reduceat(values[order].astype(np.float64), starts, axis=0)
        sums = sums.reshape(-1, channels, 8, 8)
        part, flip = np.divmod(place[order[starts]], 4)
        for number in range(4):
            some = flip == number
            result[part[some]] += flip_tiles(sums[some], number)
    ordered = result.reshape(parts, channels, 64)[:, :, _ORDER]
    return np.ascontiguousarray(ordered.transpose(1, 0, 2))


def redraw(
    problem: Problem,
    choice: Choice,
    frozen: np.ndarray,
    stir: bool = False,
    error: Errors | None = None,
) -> Choice:
    """The same use of tiles drawn anew, each pixel the entry that costs least as things stand.

    frozen: (k,) bool, tiles to be left alone
    stir: whether tiles whose cells are all shown as they are may change too, to meet their
        neighbours; it closes seams a little more and takes longer
    error: of the choice, where it is known
    Ties: the entry that is there, else the lowest.
    """
    error = errors(problem, choice) if error is None else error
    parts = _gather(problem, choice, error, frozen, stir)
    if not len(parts.count):
        return choice
    entries = choice.tiles.reshape(-1, 64)[parts.tile][:, _ORDER]
    colours = problem.steps.astype(np.float64)
    apart = (colours[:, :, None] - colours[:, None]) ** 2
    apart = np.stack([apart[..., 0], apart[..., 1:].sum(axis=3)])
    barred = np.where(problem.allowed, 0, NEVER)
    inner = problem.form.inner[:, _ORDER][:, :, _ORDER].astype(np.float64)
    for start in range(0, 64, AT_ONCE):
        pixels = slice(start, start + AT_ONCE)
        total = _changes(colours, apart, barred, parts, entries, pixels, inner[:, :, pixels])
        best = total.argmin(axis=2)
        better = np.take_along_axis(total, best[..., None], 2)[..., 0] < 0
        if better.any():
            fresh = np.where(better, best, entries[:, pixels]).astype(np.uint8)
            _apply(colours, parts, entries, pixels, fresh)
    tiles = choice.tiles.copy()
    tiles[parts.tile] = entries[:, np.argsort(_ORDER)].reshape(-1, 8, 8)
    return Choice(tiles, choice.number, choice.flip, choice.row)


def _changes(
    colours: np.ndarray,
    apart: np.ndarray,
    barred: np.ndarray,
    parts: _Parts,
    entries: np.ndarray,
    pixels: slice,
    inner: np.ndarray,
) -> np.ndarray:
    """What each entry in place of the present one would cost, (p, pixels, 16) float64.

    inner: (2, 64, pixels) the form from all pixels to these

    apart: (2, 4, 16, 16) squared steps between entries, of lightness and of the rest
    barred: (4, 16) what showing an entry costs beside
    """
    now = entries[:, pixels][parts.of]
    place = np.arange(AT_ONCE)
    weight = inner[:, pixels][:, place, place][..., None, None, None]
    own = weight[0] * apart[0] + weight[1] * apart[1] + barred[:, None]
    change = own[place, parts.row[:, None], now]
    change *= parts.count[:, None]
    if parts.heavy is not None:
        some = np.flatnonzero(parts.heavy.any(axis=1))
        added = apart.sum(axis=0)[parts.row[some, None], now[some]]
        added *= parts.heavy[some][:, pixels, None]
        change[some] += added
    slope = parts.pull[:, :, pixels].copy()
    for channel in range(len(slope)):
        slope[channel] += through(parts.error[channel], inner[min(channel, 1)])
    if parts.heavy_error is not None:
        slope += parts.heavy_error[:, :, pixels]
    slope = slope.reshape(len(slope), -1)
    total = np.zeros((len(entries), AT_ONCE, 16))
    for row, part in enumerate(parts.slices):
        wide = slice(part.start * AT_ONCE, part.stop * AT_ONCE)
        along = slope[:, wide].T @ (2 * colours[row].T)
        along -= along[np.arange(len(along)), now[part].reshape(-1), None]
        change[part] += along.reshape(-1, AT_ONCE, 16)
        total[parts.of[part]] += change[part]
    return total


def _apply(
    colours: np.ndarray, parts: _Parts, entries: np.ndarray, pixels: slice, fresh: np.ndarray
) -> None:
    """Put fresh entries (p, pixels) in place and bring the sums up to date."""
    some = np.flatnonzero((fresh != entries[:, pixels]).any(axis=1)[parts.of])
    row, of = parts.row[some, None], parts.of[some]
    moved = colours[row, fresh[of]] - colours[row, entries[of, pixels]]
    moved = moved.transpose(2, 0, 1)
    parts.error[:, some, pixels] += moved * parts.count[some]
    if parts.heavy is not None and parts.heavy_error is not None:
        parts.heavy_error[:, some, pixels] += moved * parts.heavy[some, pixels]
    entries[:, pixels] = fresh


def draw_groups(
    problem: Problem, kind: np.ndarray, number: np.ndarray, flip: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Tiles for groups of kinds of cells: the aligned centroid, snapped in the row that suits it
    best of those that its kinds are in.

    kind: (m,) kinds; number: (m,) their groups, 0 to the last without a gap; flip: (m,)
    Returns tiles (g, 8, 8) and their palette rows (g,). Ties: the lowest entry, the lowest row.
    """
    order = np.argsort(number, kind="stable")
    kind, turn = kind[order], flip[order]
    starts = np.flatnonzero(np.diff(number[order], prepend=-1))
    uses = weighed_uses(problem)[kind, None, None]

    def total(values: np.ndarray) -> np.ndarray:
        turned = flip_each(values.reshape(len(kind), -1, 8, 8), turn).reshape(values.shape)
        return np.add.reduceat(turned, starts, axis=0).astype(np.float64)

    weight = np.repeat(uses, 64, axis=2)
    if problem.kinds.heavy is not None:
        weight += uses * problem.kinds.heavy[kind][:, None]
    meant = show(
        problem.steps, problem.cells.tiles[problem.kinds.tile[kind]], problem.kinds.row[kind]
    )
    sums = total(meant * weight).transpose(0, 2, 1)
    count = total(weight)[:, 0, :, None]
    least, rows = np.full(len(starts), np.inf), np.zeros(len(starts), dtype=np.uint8)
    tiles = np.zeros((len(starts), 64), dtype=np.uint8)
    met = np.zeros((len(starts), problem.rows), dtype=bool)
    met[number[order], problem.kinds.row[kind]] = True
    for row in range(problem.rows):
        some = np.flatnonzero(met[:, row])
        colours = problem.steps[row].astype(np.float64)
        flat = sums[some].reshape(-1, sums.shape[2])
        cost = through(flat, -2 * colours.T).reshape(len(some), 64, 16)
        cost += count[some] * (colours * colours).sum(axis=1)
        cost[:, :, ~problem.allowed[row]] = NEVER
        entry = cost.argmin(axis=2)
        whole = np.take_along_axis(cost, entry[..., None], 2).sum(axis=(1, 2))
        lower = whole < least[some]
        better = some[lower]
        least[better], rows[better], tiles[better] = whole[lower], row, entry[lower]
    return tiles.reshape(-1, 8, 8), rows
