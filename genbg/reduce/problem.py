"""What the search is handed, and what it hands on: a choice of tiles and of their use.

Letters: n cells, D items, k tiles, ch channels, r palette rows (four, or four for each palette
zone). An *item* is a distinct canonical tile in the palette row that its cells use most; many
cells may be uses of one item. A *look* is a tile seen in a palette row.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.reduce.calm import MOST_CARE, care_of_cells, contrasts
from genbg.reduce.exact import Cells, distinct, flip_each, flip_tiles, join_cells, list_cells
from genbg.reduce.heavy import heavy_pixels
from genbg.reduce.metric import (
    WHOLE,
    Form,
    entry_steps,
    features,
    full_cost,
    inner_product,
    lengths,
    neighbours,
)

WASTE = np.float32(1 << 23)
"""Cost of a look that shows an entry without a colour: above what any two cells differ by."""


@dataclass(frozen=True, eq=False)
class Kinds:
    """The distinct (tile, row, weights) among cells; m of them.

    tile, row: (m,) numbers in the cells' tiles and among the palettes
    feature: (4, m, f) of the tiles made upright; length: (m,) float32, its square
    least: (m, r) int64 what showing a kind in each row costs at least: its pixels' errors there
    heavy: (m, 64) int32 extra weights of its pixels, or None; weighty: (m,) bool which have any
    care: (m,) int32, 1 and more, how often its cost counts
    """

    tile: np.ndarray
    row: np.ndarray
    feature: np.ndarray
    length: np.ndarray
    least: np.ndarray
    heavy: np.ndarray | None
    weighty: np.ndarray
    care: np.ndarray


@dataclass(frozen=True, eq=False)
class Problem:
    """Cells to be shown, and how their error is weighed.

    cells: the uses of distinct tiles
    steps: (r, 16, ch) int32 coarse steps of every entry; allowed: (r, 16) bool
    cell_entries: (n, 64) uint8 entries and painted: (n, ch, 64) int32 coarse steps of every cell
    heavy: (n, 64) int32 extra weight of every pixel, or None where no pixel has any
    around: (n, 8) neighbours; form: the visible error
    care: (n,) int32, 1 and more, how often a cell's own cost counts
    kind: (n,) intp which of `kinds` a cell is a use of
    """

    cells: Cells
    steps: np.ndarray
    allowed: np.ndarray
    cell_entries: np.ndarray
    painted: np.ndarray
    heavy: np.ndarray | None
    around: np.ndarray
    form: Form
    care: np.ndarray
    kind: np.ndarray
    kinds: Kinds

    @property
    def rows(self) -> int:
        """How many palette rows there are."""
        return len(self.steps)


@dataclass(frozen=True, eq=False)
class Choice:
    """Tiles and how every cell uses them.

    tiles: (k, 8, 8) uint8; number, flip, row: (n,)
    """

    tiles: np.ndarray
    number: np.ndarray
    flip: np.ndarray
    row: np.ndarray


def pose_problem(
    cells: Cells, palette: np.ndarray, lab: np.ndarray, form: Form, guard: np.ndarray | None = None
) -> Problem:
    """The problem of showing cells in few tiles.

    palette: (r, 16) inks; lab: (K+1, 3) lab steps of every ink
    guard: (planes, H, W) uint8, `MARKED`, `KEPT` or `SHAPED` pixels; None: no pixel weighs more,
        rare spots neither
    """
    see_through = bool((cells.tiles == 0).any())
    steps = entry_steps(palette, lab, see_through)
    allowed = palette > 0
    allowed[:, 0] = see_through
    tiles = flip_each(cells.tiles[cells.number], cells.flip)
    painted, heavy = show(steps, tiles, cells.row), None
    care = np.ones(len(tiles), dtype=np.int32)
    if guard is not None:
        care = care_of_cells(contrasts(painted, cells.shape))
        light = painted[:, 0].astype(np.int16).reshape(-1, 8, 8)
        heavy = heavy_pixels(join_cells(light, cells.shape), guard)
        heavy = heavy.reshape(-1, 64).astype(np.int32) if heavy.any() else None
    return _pose(cells, tiles, painted, steps, allowed, heavy, care, form)


def reordered(problem: Problem, order: np.ndarray) -> Problem:
    """The same problem with the entries of palette rows in another order.

    order: (r, 16), for every entry as it is now the entry as it was
    """
    cells = problem.cells
    back = np.argsort(order, axis=1).astype(np.uint8)
    tiles = back[cells.row[:, None], problem.cell_entries].reshape(-1, 8, 8)
    steps = np.take_along_axis(problem.steps, order[:, :, None].astype(np.intp), 1)
    allowed = np.take_along_axis(problem.allowed, order.astype(np.intp), 1)
    found = list_cells(tiles, cells.row, cells.shape)
    heavy, care = problem.heavy, problem.care
    return _pose(found, tiles, problem.painted, steps, allowed, heavy, care, problem.form)


def _pose(
    cells: Cells,
    tiles: np.ndarray,
    painted: np.ndarray,
    steps: np.ndarray,
    allowed: np.ndarray,
    heavy: np.ndarray | None,
    care: np.ndarray,
    form: Form,
) -> Problem:
    """The problem of cells whose entries, tiles (n, 8, 8), show steps (r, 16, ch)."""
    key = (cells.number * len(steps) + cells.row) * (MOST_CARE + 1) + care
    upright = None
    if heavy is not None:
        upright = flip_each(heavy.reshape(-1, 8, 8), cells.flip).reshape(-1, 64)
        some = np.flatnonzero(upright.any(axis=1))
        marks = distinct(upright[some].astype(np.uint8).reshape(-1, 8, 8))[1]
        key = key * (len(some) + 1)
        key[some] += 1 + marks
    _, first, kind = np.unique(key, return_index=True, return_inverse=True)
    tile, row = cells.number[first], cells.row[first]
    shown = show(steps, cells.tiles[tile], row).reshape(len(tile), -1, 8, 8)
    feature = features(shown, form)
    kind_heavy = None if upright is None else upright[first]
    kinds = Kinds(
        tile=tile,
        row=row,
        feature=feature,
        length=lengths(feature),
        least=_least_in_rows(steps, allowed, cells.tiles[tile].reshape(-1, 64), row),
        heavy=kind_heavy,
        weighty=(first < 0) if kind_heavy is None else kind_heavy.any(axis=1).astype(bool),
        care=care[first],
    )
    return Problem(
        cells=cells,
        steps=steps,
        allowed=allowed,
        cell_entries=tiles.reshape(-1, 64),
        painted=painted,
        heavy=heavy,
        around=neighbours(cells.shape),
        form=form,
        care=care,
        kind=kind,
        kinds=kinds,
    )


def _least_in_rows(
    steps: np.ndarray, allowed: np.ndarray, tiles: np.ndarray, row: np.ndarray
) -> np.ndarray:
    """Squared coarse steps (m, r) int64 of tiles (m, 64), seen in palette rows (m,), from what each
    row's colours come nearest to them."""
    table = steps.reshape(len(steps) * 16, 1, 1, -1) - steps
    apart = (table * table).sum(axis=3)
    apart[:, ~allowed] = int(WASTE)
    nearest = apart.min(axis=2).astype(np.int32).T.copy()
    entry = tiles + row[:, None].astype(np.intp) * 16
    return np.stack([table.take(entry).sum(axis=1, dtype=np.int64) for table in nearest], axis=1)


def heavy_costs(
    problem: Problem, kind: np.ndarray, tiles: np.ndarray, row: np.ndarray
) -> np.ndarray:
    """What the extra weights add, (m, 4) int64 for every flip, in squared coarse steps.

    kind: (m,); tiles: (m, 8, 8) and row: (m,) that show them
    """
    assert problem.kinds.heavy is not None
    upright = problem.cells.tiles[problem.kinds.tile[kind]]
    meant = show(problem.steps, upright, problem.kinds.row[kind])
    shown = show(problem.steps, tiles, row).reshape(len(kind), -1, 8, 8)
    return weigh_flips(problem.kinds.heavy[kind], meant, shown)


def weigh_flips(heavy: np.ndarray, meant: np.ndarray, shown: np.ndarray) -> np.ndarray:
    """What weights (m, 64) add where cells (m, ch, 8, 8) are shown in every flip instead of those
    that are meant (m, ch, 64): (m, 4) int64."""
    added = np.empty((len(heavy), 4), dtype=np.int64)
    for flip in range(4):
        off = flip_tiles(shown, flip).reshape(meant.shape) - meant
        added[:, flip] = ((off * off).sum(axis=1) * heavy).sum(axis=1)
    return added


def show(steps: np.ndarray, tiles: np.ndarray, row: np.ndarray) -> np.ndarray:
    """Coarse steps (n, ch, 64) int32 of tiles (n, 8, 8) in palette rows (n,)."""
    entry = tiles.reshape(len(tiles), 64) + (row.astype(np.intp) * 16)[:, None]
    tables = np.ascontiguousarray(steps.reshape(len(steps) * 16, -1).T)
    shown = np.empty((len(tiles), len(tables), 64), dtype=np.int32)
    for channel, table in enumerate(tables):
        shown[:, channel] = table.take(entry)
    return shown


@dataclass(frozen=True, eq=False)
class Errors:
    """Errors of those cells that have any. Most cells of a thrifty picture are shown as they are.

    cell: (m,) intp cells, ascending; value: (m + 1, ch, 64) int32 coarse steps, the last one 0
    place: (n + 1,) intp where in `value` each cell's error is; m for cells without one and for a
        cell that stands beyond the edge
    """

    cell: np.ndarray
    value: np.ndarray
    place: np.ndarray

    def of(self, cell: np.ndarray) -> np.ndarray:
        """Errors (k, ch, 64) of any cells (k,)."""
        return self.value[self.place[cell]]

    @property
    def live(self) -> np.ndarray:
        """Cells (n,) bool that have an error."""
        return self.place[:-1] < len(self.cell)


def errors(problem: Problem, choice: Choice) -> Errors:
    """How a choice shows every cell."""
    tiles = flip_each(choice.tiles[choice.number], choice.flip).reshape(-1, 64)
    same = (tiles.view(np.uint64) == problem.cell_entries.view(np.uint64)).all(axis=1)
    cell = np.flatnonzero(~same | (choice.row != problem.cells.row))
    value = show(problem.steps, tiles[cell], choice.row[cell]) - problem.painted[cell]
    return list_errors(cell, value, len(tiles))


def list_errors(cell: np.ndarray, value: np.ndarray, count: int) -> Errors:
    """Errors (m, ch, 64) of some cells (m,), ascending, of `count`, less those that are 0."""
    some = value.any(axis=(1, 2))
    cell = cell[some]
    place = np.full(count + 1, len(cell))
    place[cell] = np.arange(len(cell))
    nothing = np.zeros((1, *value.shape[1:]), dtype=value.dtype)
    return Errors(cell, np.concatenate([value[some], nothing]), place)


def stirred(problem: Problem, error: Errors) -> np.ndarray:
    """Cells (n,) bool that have an error or a neighbour with one: no other cell can gain."""
    return surrounded(problem, error.live)


def blank(choice: Choice) -> np.ndarray:
    """Tiles (k,) bool in use that are see-through all over: nothing may ever be drawn there."""
    used = np.bincount(choice.number, minlength=len(choice.tiles)) > 0
    return used & ~choice.tiles.any(axis=(1, 2))


def changed(before: Choice, now: Choice) -> np.ndarray:
    """Cells (n,) bool that two choices show by other tiles."""
    return (
        (before.tiles != now.tiles).any(axis=(1, 2))[now.number]
        | (before.number != now.number)
        | (before.flip != now.flip)
        | (before.row != now.row)
    )


def surrounded(problem: Problem, cells: np.ndarray) -> np.ndarray:
    """Cells (n,) bool and their neighbours."""
    result = np.append(cells, False)
    result[problem.around[cells]] = True
    return result[:-1]


def weighed_uses(problem: Problem) -> np.ndarray:
    """Cells of each kind (kinds,) int64, each as often as it counts."""
    return np.bincount(problem.kind, minlength=len(problem.kinds.tile)) * problem.kinds.care


def score(problem: Problem, error: Errors) -> int:
    """What a whole choice's errors cost: less is better. Choices are compared by this alone."""
    cost = full_cost(error.value, error.place, problem.around[error.cell], problem.form)
    flat, more = error.value[:-1], problem.care[error.cell].astype(np.int64) - 1
    again = np.flatnonzero(more)
    if len(again):
        own = (flat[again] * inner_product(flat[again], problem.form)).sum(axis=(1, 2))
        cost += int((own * more[again]).sum())
    if problem.heavy is not None:
        heavy = heavy_error(problem.heavy[error.cell], flat)
        cost += WHOLE * int((heavy * (more + 1)).sum())
    return cost


def heavy_error(heavy: np.ndarray, error: np.ndarray) -> np.ndarray:
    """What extra weights (n, 64) add to errors (n, ch, 64), (n,) int64 squared coarse steps."""
    return ((error * error).sum(axis=1) * heavy).sum(axis=1, dtype=np.int64)
