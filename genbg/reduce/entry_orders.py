"""Orders: which place each colour of a palette row has, chosen so that a tile serves more cells.

A tile is seen in other colours in every palette row. Which entry of one row meets which entry of
another is free: it changes no pixel as painted, and it decides what else a tile can stand for
once few are left. The fit orders entries so that equal tiles meet; here they are exchanged, two
of one row at a time, wherever the merged picture comes nearer to the painted one.

An exchange is tried like a move of the search. Tiles that stand mostly for cells of that row are
relabelled, so that those look as before; every kind of cell takes the look that costs it least; and
tiles whose kinds changed are drawn anew, by turns. It is kept where all together cost less.
Which are tried first is guessed from what the kinds lose that share a tile with another row, if
each keeps its look or falls to its second best.

Only own costs of kinds count here, without neighbours, and tiles are drawn by squared errors, so
that a try takes milliseconds; the search goes on from the best order with all it weighs. A row
whose colours cannot show a kind better than it is shown at the start, whatever their order, is not
looked through for it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.reduce.candidates import see_looks
from genbg.reduce.exact import flip_each, flip_tiles
from genbg.reduce.metric import SIGNS, features, likeness
from genbg.reduce.problem import Choice, Problem, show, weigh_flips, weighed_uses

SLACK = 1 / 64
"""Share of the whole cost that an exchange may lose before tiles are drawn anew."""

TURNS = 2
"""Times that tiles are drawn anew in one try; with 8, orders were no better."""

FIRST_TURNS = 30
"""The same before the first try: squared errors alone draw otherwise than the search did."""

NEVER = 2.0**36
"""Cost of an entry without a colour."""

Pair = tuple[int, int, int]
"""A palette row and two of its entries."""


@dataclass(frozen=True, eq=False)
class Ordered:
    """A choice under another order of entries.

    entry_order: (r, 16) uint8, for every entry as it is now the entry as it was
    choice: tiles in entries as they are now, and how every cell uses them
    """

    entry_order: np.ndarray
    choice: Choice


def as_it_is(rows: int) -> np.ndarray:
    """The order (r, 16) in which every entry keeps its place."""
    return np.tile(np.arange(16, dtype=np.uint8), (rows, 1))


def order_entries(problem: Problem, choice: Choice, free: np.ndarray, tries: int) -> Ordered:
    """A better order of entries, found in at most so many tries.

    choice: where the search stands; free: (r,) bool, rows whose entries may change places
    """
    state = open_state(problem, choice)
    while tries > 0:
        pairs = promising_pairs(state, free)[:tries]
        tries -= len(pairs)
        if not sum([exchange_entries(state, pair) for pair in pairs]):
            break
    return close_state(problem, choice, state)


@dataclass(eq=False)
class _State:
    """Where the search for an order stands. Letters: m kinds, k tiles, r rows.

    problem: as it was posed; uses: (m,) cells of each kind
    turned: (4, m, ch * 64) float32 each kind's coarse steps in every flip
    steps, allowed, entry_order, tiles (k, 64): in the order of entries as it is now
    kinds: for every row the kinds (m_r,) that may be shown in it, and their features
    table: for every row (m_r, k) float32 what each tile costs them, less their length
    number, row: (m,) the look of each kind; cost: (m,) float64 what it costs
    total: what all of them cost, times their uses
    undo: row, tiles and costs of parts of the table that a try has changed
    """

    problem: Problem
    uses: np.ndarray
    turned: np.ndarray
    steps: np.ndarray
    allowed: np.ndarray
    entry_order: np.ndarray
    tiles: np.ndarray
    kinds: list[np.ndarray]
    feature: list[np.ndarray]
    table: list[np.ndarray]
    number: np.ndarray
    row: np.ndarray
    cost: np.ndarray
    total: float
    undo: list[tuple[int, np.ndarray, np.ndarray]]

    @property
    def shape(self) -> tuple[int, int]:
        """Rows and tiles."""
        return len(self.steps), len(self.tiles)

    def weighty(self, row: int) -> np.ndarray:
        """Places, in `kinds` of a row, of those that have extra weights."""
        return np.flatnonzero(self.problem.kinds.weighty[self.kinds[row]])

    @property
    def look_uses(self) -> np.ndarray:
        """How many cells each look shows (r, k)."""
        rows, size = self.shape
        uses = np.bincount(self.row * size + self.number, self.uses, minlength=rows * size)
        return uses.reshape(rows, size)


def open_state(problem: Problem, choice: Choice) -> _State:
    """The state of a choice, its tiles drawn anew by squared error."""
    rows, size, kinds = problem.rows, len(choice.tiles), len(problem.kinds.tile)
    kind_tiles = problem.cells.tiles[problem.kinds.tile]
    want = show(problem.steps, kind_tiles, problem.kinds.row).reshape(kinds, -1, 8, 8)
    turned = [flip_tiles(want, turn).reshape(kinds, -1) for turn in range(4)]
    state = _State(
        problem=problem,
        uses=weighed_uses(problem).astype(np.float64),
        turned=np.stack(turned).astype(np.float32),
        steps=problem.steps.copy(),
        allowed=problem.allowed.copy(),
        entry_order=as_it_is(rows),
        tiles=choice.tiles.reshape(size, 64),
        kinds=[np.arange(kinds)] * rows,
        feature=[problem.kinds.feature] * rows,
        table=[np.empty((kinds, size), dtype=np.float32) for _ in range(rows)],
        number=np.zeros(kinds, dtype=np.intp),
        row=np.zeros(kinds, dtype=np.intp),
        cost=np.zeros(kinds),
        total=0.0,
        undo=[],
    )
    _fill(state, np.ones((rows, size), dtype=bool))
    state.undo = []
    state.total = _choose(state)
    for one in range(rows):
        some = np.flatnonzero(problem.kinds.least[:, one] <= state.cost)
        state.kinds[one], state.table[one] = some, state.table[one][some]
        state.feature[one] = np.ascontiguousarray(problem.kinds.feature[:, some])
    for _ in range(FIRST_TURNS):
        last, state.total = state.total, _turn(state, np.ones(size, dtype=bool))
        if state.total >= last:
            break
    return state


def close_state(problem: Problem, choice: Choice, state: _State) -> Ordered:
    """The order that was found, and the choice under it: all cells of a kind look alike."""
    kind = problem.kind
    flip = _flips(state, np.arange(len(state.number)))
    tiles = state.tiles.reshape(-1, 8, 8)
    row = state.row[kind].astype(choice.row.dtype)
    flips = flip[kind] ^ problem.cells.flip
    return Ordered(state.entry_order, Choice(tiles, state.number[kind], flips, row))


def promising_pairs(state: _State, free: np.ndarray) -> list[Pair]:
    """Exchanges whose guessed loss is not too much, the best guess first."""
    guess = _guess_losses(state)
    low, high = np.triu_indices(15, 1)
    pairs = [
        (int(row), a, b)
        for row in np.flatnonzero(free)
        for a, b in zip((low + 1).tolist(), (high + 1).tolist(), strict=True)
        if state.allowed[row, a] or state.allowed[row, b]
    ]
    losses = np.array([guess[pair] for pair in pairs])
    order = np.argsort(losses, kind="stable")
    return [pairs[place] for place in order[losses[order] <= SLACK * state.total]]


def _guess_losses(state: _State) -> np.ndarray:
    """What each exchange loses (r, 16, 16) before any tile is drawn anew, less what it gains.

    Kinds whose tile serves one row alone lose nothing.
    """
    uses = state.look_uses
    own = _owned(uses)
    guess = np.zeros((len(uses), 16, 16))
    kinds = np.flatnonzero(((uses > 0).sum(axis=0) > 1)[state.number])
    if not len(kinds):
        return guess
    number, row = state.number[kinds], state.row[kinds]
    want = state.turned[_flips(state, kinds), kinds].reshape(len(kinds), -1, 64)
    off = want.transpose(0, 2, 1)[:, :, None] - state.steps[row].astype(np.float32)[:, None]
    entry = np.arange(len(kinds))[:, None] * 16 + state.tiles[number]
    both = entry[:, :, None] * 16 + np.arange(16)
    error = np.bincount(both.ravel(), (off * off).sum(axis=3).ravel(), minlength=len(kinds) * 256)
    error = error.reshape(-1, 16, 16)  # of the pixels of each entry, were they another one
    now = np.einsum("nee->ne", error)
    loss = error + error.transpose(0, 2, 1) - now[:, :, None] - now[:, None]
    spare = _spare(state)[kinds]
    loss = np.minimum(loss, spare[:, None, None]) * state.uses[kinds, None, None]
    for one in range(len(uses)):
        guess[one] = loss[(row == one) ^ own[one, number]].sum(axis=0)
    return guess


def _owned(uses: np.ndarray) -> np.ndarray:
    """For every row the tiles (r, k) bool that show mostly cells of it."""
    return 2 * uses > uses.sum(axis=0)


def _spare(state: _State) -> np.ndarray:
    """What each kind (m,) loses if it takes its second best look."""
    second = np.full(len(state.number), np.inf)
    for row, (kinds, table) in enumerate(zip(state.kinds, state.table, strict=True)):
        cost = table.copy()
        here = np.flatnonzero(state.row[kinds] == row)
        cost[here, state.number[kinds[here]]] = np.inf
        second[kinds] = np.minimum(second[kinds], cost.min(axis=1))
    return second + state.problem.kinds.length - state.cost


def exchange_entries(state: _State, pair: Pair) -> bool:
    """Exchange two entries of a row if that costs less; whether it did."""
    row, a, b = pair
    before = state.tiles, state.number, state.row, state.cost
    state.undo = []
    holds = ((state.tiles == a) | (state.tiles == b)).any(axis=1)
    own = _owned(state.look_uses)[row] & holds
    stale = np.zeros(state.shape, dtype=bool)
    stale[:, own] = True
    stale[row] = holds & ~own
    touched = np.zeros(len(own), dtype=bool)
    touched[state.number[stale[state.row, state.number]]] = True
    _swap(state, pair)
    relabel = np.arange(16, dtype=np.uint8)
    relabel[[a, b]] = b, a
    state.tiles = np.where(own[:, None], relabel[state.tiles], state.tiles)
    _fill(state, stale)
    total = _choose(state)
    touched |= _stirred(state, before[1], before[2])
    for _ in range(TURNS):
        if total > state.total * (1 + SLACK) or not touched.any():
            break
        number, shown, last = state.number, state.row, total
        total = _turn(state, touched)
        touched = _stirred(state, number, shown)
        if total >= last:
            break
    if total < state.total:
        state.total = total
        return True
    _swap(state, pair)
    state.tiles, state.number, state.row, state.cost = before
    for one, which, cost in reversed(state.undo):
        state.table[one][:, which] = cost
    return False


def _swap(state: _State, pair: Pair) -> None:
    row, a, b = pair
    for part in (state.steps, state.allowed, state.entry_order):
        part[row, [a, b]] = part[row, [b, a]]


def _stirred(state: _State, number: np.ndarray, row: np.ndarray) -> np.ndarray:
    """Tiles (k,) bool that kinds came to or went from since they had other looks."""
    moved = (number != state.number) | (row != state.row)
    stirred = np.zeros(len(state.tiles), dtype=bool)
    stirred[number[moved]] = True
    stirred[state.number[moved]] = True
    return stirred


def _turn(state: _State, touched: np.ndarray) -> float:
    """Draw tiles (k,) bool anew and let kinds choose; what all cost."""
    stale = np.zeros(state.shape, dtype=bool)
    stale[:, draw_state(state, touched)] = True
    _fill(state, stale)
    return _choose(state)


def _fill(state: _State, stale: np.ndarray) -> None:
    """Bring looks (r, k) bool up to date in the table."""
    row, number = np.nonzero(stale)
    if not len(row):
        return
    tiles, form = state.tiles[number].reshape(-1, 8, 8), state.problem.form
    shown, feature, length = see_looks(state.steps, state.allowed, form, tiles, row)
    bounds = np.searchsorted(row, np.arange(len(stale) + 1)).tolist()
    for one, table in enumerate(state.table):
        some = slice(*bounds[one : one + 2])
        which = number[some]
        if len(which) and len(table):
            state.undo.append((one, which, table[:, which]))
            cost = likeness(state.feature[one], feature[:, some])
            cost *= -2
            cost += length[some]
            weighty = state.weighty(one)
            if len(weighty):
                cost[weighty] = _weighed(state, one, shown[some], feature[:, some], length[some])
            table[:, which] = cost


def _weighed(
    state: _State, row: int, shown: np.ndarray, feature: np.ndarray, length: np.ndarray
) -> np.ndarray:
    """What looks (n, ch, 8, 8) of one row cost its kinds with extra weights, (w, n), less their
    length: own costs and weighed errors, in the flip of the least sum."""
    heavy, some = state.problem.kinds.heavy, state.weighty(row)
    assert heavy is not None
    kinds = state.kinds[row][some]
    want = state.turned[0, kinds].astype(np.float64)
    wide = np.tile(heavy[kinds], shown.shape[1]).astype(np.float64)
    own = np.einsum("gwf,gnf->gwn", state.feature[row][:, some], feature)
    result = np.full((len(kinds), len(shown)), np.inf)
    for flip, signs in enumerate(SIGNS.astype(np.float32)):
        turned = flip_tiles(shown, flip).reshape(len(shown), -1).astype(np.float64)
        cost = wide @ (turned * turned).T - 2 * ((want * wide) @ turned.T)
        cost -= 2 * np.einsum("g,gwn->wn", signs, own)
        np.minimum(result, cost, out=result)
    return result + length + ((want * want) * wide).sum(axis=1, keepdims=True)


def _choose(state: _State) -> float:
    """Let every kind take the look that costs it least; what all cost.

    Ties: the lowest row, then the lowest tile.
    """
    best = np.full(len(state.number), np.inf, dtype=np.float32)
    state.number, state.row = np.zeros((2, len(best)), dtype=np.intp)
    for row, (kinds, table) in enumerate(zip(state.kinds, state.table, strict=True)):
        number = table.argmin(axis=1)
        cost = table[np.arange(len(kinds)), number]
        better = cost < best[kinds]
        some = kinds[better]
        best[some], state.number[some], state.row[some] = cost[better], number[better], row
    state.cost = best.astype(np.float64) + state.problem.kinds.length
    return float((state.cost * state.uses).sum())


def _flips(state: _State, kinds: np.ndarray) -> np.ndarray:
    """The flip (n,) uint8 in which its look shows each of some kinds best."""
    tiles = state.tiles[state.number[kinds]].reshape(-1, 8, 8)
    shown = show(state.steps, tiles, state.row[kinds]).reshape(len(kinds), -1, 8, 8)
    feature = features(shown, state.problem.form)
    product = np.einsum("gnf,gnf->ng", feature, state.problem.kinds.feature[:, kinds])
    cost = -2.0 * (product @ SIGNS.T.astype(np.float32))
    heavy, some = state.problem.kinds.heavy, np.flatnonzero(state.problem.kinds.weighty[kinds])
    if heavy is not None and len(some):
        want = state.turned[0, kinds[some]].astype(np.int32).reshape(len(some), -1, 64)
        cost[some] += weigh_flips(heavy[kinds[some]], want, shown[some])
    return cost.argmin(axis=1).astype(np.uint8)


def draw_state(state: _State, touched: np.ndarray) -> np.ndarray:
    """Draw tiles (k,) bool anew, each pixel the entry of least squared error; which changed.

    Nothing is drawn in tiles that are see-through all over.
    Ties: the entry that is there, else the lowest. Sums are whole numbers below 2**24 or 2**53.
    """
    kinds = np.flatnonzero((touched & state.tiles.any(axis=1))[state.number])
    if not len(kinds):
        return kinds
    rows, heavy, flip = len(state.steps), state.problem.kinds.heavy, _flips(state, kinds)
    drawn, place = np.unique(state.number[kinds], return_inverse=True)
    parts = np.zeros((len(drawn) * rows, len(kinds)), dtype=np.float32)
    parts[place * rows + state.row[kinds], np.arange(len(kinds))] = state.uses[kinds]
    want, weight = state.turned[flip, kinds], np.ones((len(kinds), 64), dtype=np.float32)
    if heavy is not None:
        weight += flip_each(heavy[kinds].reshape(-1, 8, 8), flip).reshape(-1, 64)
        want = want * np.tile(weight, want.shape[1] // 64)
    sums = (parts @ want).astype(np.float64).reshape(len(drawn), rows, -1, 64)
    count = (parts @ weight).astype(np.float64).reshape(len(drawn), rows, 64)
    steps = state.steps.astype(np.float64)
    square = (steps * steps).sum(axis=2)
    square[~state.allowed] = NEVER
    product = sums.transpose(0, 3, 1, 2).reshape(len(drawn) * 64, -1) @ (
        steps.transpose(0, 2, 1).reshape(-1, 16)
    )
    cost = count.transpose(0, 2, 1).reshape(-1, rows) @ square - 2 * product
    cost = cost.reshape(len(drawn), 64, 16)
    old = state.tiles[drawn]
    kept = np.take_along_axis(cost, old[:, :, None].astype(np.intp), 2)[..., 0]
    fresh = np.where(kept <= cost.min(axis=2), old, cost.argmin(axis=2)).astype(np.uint8)
    state.tiles = state.tiles.copy()
    state.tiles[drawn] = fresh
    return drawn[(fresh != old).any(axis=1)]
