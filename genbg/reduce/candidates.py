"""Candidates: the few tiles that come into question for every kind of cell.

They are the tiles of least own cost, each in its best row and flip. Where little is merged,
lists are kept from turn to turn; a thorough search keeps what every tile costs every kind.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from genbg.reduce.metric import SIGNS, Form, features, lengths, likeness
from genbg.reduce.problem import WASTE, Choice, Errors, Problem, heavy_costs, show

BLOCK = 128
"""Kinds whose costs are worked out at a time, so that they stay near the processor."""

GONE = 2.0**40
"""Cost of a candidate whose tile is not what it was."""


@dataclass(frozen=True, eq=False)
class Table:
    """What showing every kind of cell by every tile costs, less the length of the kind.

    cost: (kinds, k) float32, without extra weights; row: (kinds, k) uint8 the best palette row
    """

    cost: np.ndarray
    row: np.ndarray


@dataclass(frozen=True, eq=False)
class Candidates:
    """Best looks of every kind of cell, as seen by its canonical tile.

    number, row, flip: (kinds, M); cost: (kinds, M) float64 own cost, whole numbers
    table: of all tiles, where a search is thorough
    """

    number: np.ndarray
    row: np.ndarray
    flip: np.ndarray
    cost: np.ndarray
    table: Table | None = None


@dataclass(frozen=True, eq=False)
class Looks:
    """Every tile in every row, row after row.

    tiles: (k, 8, 8); feature: (4, r k, f) and its squared length (r k,)

    A look that shows an entry without a colour has the length WASTE.
    """

    tiles: np.ndarray
    feature: np.ndarray
    length: np.ndarray


def make_looks(problem: Problem, tiles: np.ndarray) -> Looks:
    """All looks of tiles (k, 8, 8)."""
    stacked = np.concatenate([tiles] * problem.rows)
    row = np.repeat(np.arange(problem.rows), len(tiles))
    _, feature, length = see_looks(problem.steps, problem.allowed, problem.form, stacked, row)
    return Looks(tiles, feature, length)


def see_looks(
    steps: np.ndarray, allowed: np.ndarray, form: Form, tiles: np.ndarray, row: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Tiles (n, 8, 8) as rows (n,) show them: coarse steps (n, ch, 8, 8), features and lengths.

    steps: (r, 16, ch) and allowed: (r, 16) of the entries
    """
    shown = show(steps, tiles, row).reshape(len(row), -1, 8, 8)
    feature = features(shown, form)
    length = lengths(feature)
    length[~allowed[row[:, None], tiles.reshape(len(row), 64)].all(axis=1)] = WASTE
    return shown, feature, length


def renew_looks(problem: Problem, looks: Looks, tiles: np.ndarray) -> tuple[Looks, np.ndarray]:
    """Looks of other tiles, as many as before, and which (k,) bool are not the same."""
    changed = (tiles != looks.tiles).any(axis=(1, 2))
    if not changed.any():
        return looks, changed
    fresh = make_looks(problem, tiles[changed])
    feature, length = looks.feature.copy(), looks.length.copy()
    where = np.tile(changed, problem.rows)
    feature[:, where], length[where] = fresh.feature, fresh.length
    return Looks(tiles, feature, length), changed


def find_candidates(
    problem: Problem, looks: Looks, most: int, thorough: bool = False
) -> Candidates:
    """The tiles of least own cost for every kind of cell. Ties: the lowest number.

    A kind's own palette row is looked through; another one only if its colours could show the kind
    better than the best there, or than the second best where the search is thorough.
    """
    kinds, size = np.arange(len(problem.kinds.tile)), len(looks.tiles)
    most, bar = min(most, size), np.full(len(kinds), np.inf)
    if not thorough:
        return _find_some(problem, looks, most, kinds, bar)
    table = Table(np.empty((len(kinds), size), np.float32), np.empty((len(kinds), size), np.uint8))
    for some, cost, row in _blocks(problem, looks, kinds, bar, rank=1):
        table.cost[some], table.row[some] = cost, row
    return _list_candidates(problem, looks, table, most)


def _list_candidates(problem: Problem, looks: Looks, table: Table, most: int) -> Candidates:
    """Candidates of every kind of cell out of a table of all costs."""
    shape = (len(problem.kinds.tile), min(most, len(looks.tiles)))
    empty = Candidates(
        np.empty(shape, np.intp),
        np.empty(shape, np.uint8),
        np.empty(shape, np.uint8),
        np.empty(shape),
    )
    return _pick(problem, looks, np.arange(shape[0]), table, empty)


def _find_some(
    problem: Problem, looks: Looks, most: int, kinds: np.ndarray, bar: np.ndarray
) -> Candidates:
    """The same for some kinds (m,); bar: (m,) a cost that is reached without other rows."""
    number = np.empty((len(kinds), most), dtype=np.intp)
    row = np.empty((len(kinds), most), dtype=np.uint8)
    for some, cost, rows in _blocks(problem, looks, kinds, bar):
        number[some] = _least_columns(cost, most)
        row[some] = np.take_along_axis(rows, number[some], 1)
    flip, cost = own_costs(problem, looks, kinds, number, row)
    return Candidates(number, row, flip, cost)


def _pick(
    problem: Problem, looks: Looks, kinds: np.ndarray, table: Table, old: Candidates
) -> Candidates:
    """Candidates of some kinds (m,) from a table of all costs; of the others the old ones."""
    number = np.empty((len(kinds), old.number.shape[1]), dtype=np.intp)
    for start in range(0, len(kinds), BLOCK):
        block = slice(start, start + BLOCK)
        number[block] = _least_columns(table.cost[kinds[block]], number.shape[1])
    row = table.row[kinds[:, None], number]
    flip, cost = own_costs(problem, looks, kinds, number, row)
    result = Candidates(old.number.copy(), old.row.copy(), old.flip.copy(), old.cost.copy(), table)
    result.number[kinds], result.row[kinds] = number, row
    result.flip[kinds], result.cost[kinds] = flip, cost
    return result


def _blocks(
    problem: Problem, looks: Looks, kinds: np.ndarray, bar: np.ndarray, rank: int = 0
) -> Iterator[tuple[np.ndarray, np.ndarray, np.ndarray]]:
    """Some of the kinds (m,) at a time, what each tile costs them and in which row, (b, k) both.

    bar: (m,) a cost that is reached without other rows; rank: of the cost in the own row that other
        rows have to better
    """
    rank = min(rank, len(looks.tiles) - 1)
    for own in range(problem.rows):
        of_row = np.flatnonzero(problem.kinds.row[kinds] == own)
        for start in range(0, len(of_row), BLOCK):
            some = of_row[start : start + BLOCK]
            cost = _row_costs(problem, looks, kinds[some], own)
            rows = np.full(cost.shape, own, dtype=np.uint8)
            least = np.partition(cost, rank, axis=1)[:, rank] if rank else cost.min(axis=1)
            reached = bar[some] / problem.kinds.care[kinds[some]]
            np.minimum(least, reached - problem.kinds.length[kinds[some]], out=least)
            for other in range(problem.rows):
                floor = problem.kinds.least[kinds[some], other] - problem.kinds.length[kinds[some]]
                able = np.flatnonzero(floor < least) if other != own else ()
                if len(able):
                    there = _row_costs(problem, looks, kinds[some[able]], other)
                    better = there < cost[able]
                    rows[able] = np.where(better, np.uint8(other), rows[able])
                    cost[able] = np.where(better, there, cost[able])
            yield some, cost, rows


def _row_costs(problem: Problem, looks: Looks, kinds: np.ndarray, row: int) -> np.ndarray:
    """What showing kinds (m,) by each tile in one palette row costs, (m, k) float32, less the
    length of the kind."""
    size = len(looks.tiles)
    part = slice(row * size, (row + 1) * size)
    cost = likeness(problem.kinds.feature[:, kinds], looks.feature[:, part])
    cost *= -2
    cost += looks.length[part]
    return cost


def renew_candidates(
    problem: Problem, looks: Looks, old: Candidates, changed: np.ndarray, bad: np.ndarray
) -> Candidates:
    """Candidates among other looks, where only some tiles changed (k,) bool.

    A table is brought up to date in place. Without one, lists that lost a tile are filled up
    with changed ones alone, and that only for kinds that are shown badly, bad (kinds,) bool.
    """
    some, most = np.flatnonzero(changed), old.number.shape[1]
    if 2 * len(some) > len(changed):
        return find_candidates(problem, looks, most, old.table is not None)
    if not len(some):
        return old
    where = (np.arange(problem.rows)[:, None] * len(changed) + some).reshape(-1)
    part = Looks(looks.tiles[some], looks.feature[:, where], looks.length[where])
    left = np.where(changed[old.number], GONE, old.cost)
    if old.table is not None:
        kinds = np.arange(len(left))
        bar = np.partition(left, 1, axis=1)[:, 1] if most > 1 else left[:, 0]
        stale = changed[old.number].any(axis=1)
        last = np.take_along_axis(old.table.cost, old.number, 1).max(axis=1)
        for block, cost, row in _blocks(problem, part, kinds, bar, rank=1):
            old.table.cost[block[:, None], some] = cost
            old.table.row[block[:, None], some] = row
            stale[block] |= cost.min(axis=1) <= last[block]
        return _pick(problem, looks, np.flatnonzero(stale), old.table, old)
    kinds = np.flatnonzero(bad)
    fresh = _find_some(problem, part, min(most, len(some)), kinds, left[kinds].min(axis=1))
    both = np.concatenate([left[kinds], fresh.cost], axis=1)
    order = np.argsort(both, axis=1, kind="stable")[:, :most]

    def joined(a: np.ndarray, b: np.ndarray) -> np.ndarray:
        result = a.copy()
        result[kinds] = np.take_along_axis(np.concatenate([a[kinds], b], axis=1), order, 1)
        return result

    return Candidates(
        joined(old.number, some[fresh.number]),
        joined(old.row, fresh.row),
        joined(old.flip, fresh.flip),
        joined(left, fresh.cost),
    )


@dataclass(eq=False)
class Survey:
    """Looks and candidates of the choice that a search stands at, brought along as it moves.

    most: candidates of every kind of cell
    """

    problem: Problem
    most: int
    looks: Looks | None = None
    candidates: Candidates | None = None

    def of(self, choice: Choice, error: Errors, thorough: bool = False) -> tuple[Looks, Candidates]:
        """Looks of a choice's tiles and candidates among them.

        error: of the choice; thorough: whether to keep a table of what all tiles cost
        """
        if self.looks is None:
            self.looks = make_looks(self.problem, choice.tiles)
        self.looks, fresh = renew_looks(self.problem, self.looks, choice.tiles)
        known = self.candidates
        if known is None or (thorough and known.table is None):
            known = find_candidates(self.problem, self.looks, self.most, thorough)
        else:
            bad = _bad_kinds(self.problem, error)
            known = renew_candidates(self.problem, self.looks, known, fresh, bad)
        self.candidates = known
        return self.looks, known

    def list_anew(self, most: int) -> None:
        """Keep so many candidates of every kind from now on, out of the table of all costs."""
        assert self.looks is not None
        assert self.candidates is not None
        assert self.candidates.table is not None
        self.candidates = _list_candidates(self.problem, self.looks, self.candidates.table, most)


def _bad_kinds(problem: Problem, error: Errors) -> np.ndarray:
    """Kinds (kinds,) bool of which some cell has an error."""
    bad = np.zeros(len(problem.kinds.tile), dtype=bool)
    bad[problem.kind[error.cell]] = True
    return bad


def _least_columns(cost: np.ndarray, most: int) -> np.ndarray:
    """Columns (n, most) of the least costs (n, k) of each line, ascending. Ties: the lowest.

    Which of several equal costs a partition takes differs between processors, so lines where it
    had a choice are looked at again.
    """
    if most == cost.shape[1]:
        return np.broadcast_to(np.arange(most), cost.shape)
    near = np.sort(np.argpartition(cost, most - 1, axis=1)[:, :most], axis=1)
    last = np.take_along_axis(cost, near, 1).max(axis=1)
    for line in np.flatnonzero((cost <= last[:, None]).sum(axis=1) > most):
        near[line] = np.sort(np.argsort(cost[line], kind="stable")[:most])
    return near


def own_costs(
    problem: Problem, looks: Looks, kind: np.ndarray, number: np.ndarray, row: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Best flip uint8 and own cost (float64 whole numbers) of kinds (n,) shown by looks (n, M)."""
    size = len(looks.tiles)
    look = row.astype(np.intp) * size + number
    parts = [
        np.einsum("nmf,nf->nm", looks.feature[group][look], problem.kinds.feature[group][kind])
        for group in range(4)
    ]
    product = np.stack(parts, axis=-1) @ SIGNS.T.astype(np.float32)
    cost = looks.length[look][..., None] - 2.0 * product
    heavy = np.flatnonzero(problem.kinds.weighty[kind])
    if len(heavy):
        many = np.repeat(kind[heavy], number.shape[1])
        tiles = looks.tiles[number[heavy].reshape(-1)]
        added = heavy_costs(problem, many, tiles, row[heavy].reshape(-1))
        cost[heavy] += added.reshape(len(heavy), -1, 4)
    flip = cost.argmin(axis=-1).astype(np.uint8)
    least = np.take_along_axis(cost, flip[..., None].astype(np.intp), 2)[..., 0]
    whole = least + problem.kinds.length[kind].astype(np.float64)[:, None]
    return flip, whole * problem.kinds.care[kind][:, None]
