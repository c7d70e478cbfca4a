"""Moves between groups: tiles that few would miss make room for cells that are shown badly.

A swap drops one tile, whose cells go to their next best one, and stores some cell's own tile in
its place, to which every cell goes that gains by it. Both sides are known before anything moves:
what the dropped tile's cells lose, and what the fresh one gains. The idea is that of medoid
swaps (E. Schubert and P. Rousseeuw, Information Systems 101, 2021), many at a time, with one
addition: when a cell leaves a group of free tiles the rest of the group gains too, because its
tile is drawn anew; for a centroid of m cells that is 1/(m - 1) of the leaving cell's error.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.reduce.candidates import Candidates, Looks
from genbg.reduce.metric import SIGNS, best_flips, likeness
from genbg.reduce.problem import Choice, Errors, Problem, errors, heavy_costs, heavy_error

SHARE = 4
"""A round swaps at most this part of the tiles (one in four): each swap makes the other
estimates less true."""

OFFERS = 512
"""Tiles that are looked at as fresh tiles: those of the worst shown kinds of cells."""

RESTART_SHARE = 8
"""A restart swaps this part of the tiles (one in eight) at random."""

AT_ONCE = 4096
"""Kinds whose costs are worked out at a time."""

LEAST_OFFERS_PER_TILE = 0.5


@dataclass(eq=False)
class _Ledger:
    """What is known before any swap, and what is still open.

    cell: (a,) cells with an error; own: (a,) their cost now; offer: (o,) kinds offered
    gain: (o, a) what each of these cells gains by each offer; open: (o,) what an offer still gains
    loss: (k,) what dropping a tile costs; heir, place: (n,) the next best tile of each cell
        and which of its candidates that is
    locked: (k,) tiles that must stay as they are
    """

    cell: np.ndarray
    own: np.ndarray
    offer: np.ndarray
    gain: np.ndarray
    open: np.ndarray
    loss: np.ndarray
    heir: np.ndarray
    place: np.ndarray
    locked: np.ndarray


def swap_tiles(
    problem: Problem,
    choice: Choice,
    looks: Looks,
    candidates: Candidates,
    frozen: np.ndarray,
    error: Errors | None = None,
) -> tuple[Choice, float]:
    """Swap tiles where the estimate says that it pays; returns what it says, in own cost.

    looks, candidates: those of `choice.tiles`; frozen: (k,) tiles that are not dropped
    error: of the choice, where it is known
    Ties: the lowest tile, the lowest kind.
    """
    if len(choice.tiles) < 2:
        return choice, 0.0
    error = errors(problem, choice) if error is None else error
    ledger = _open_ledger(problem, choice, looks, candidates, frozen, error)
    swaps, gain = _pick_swaps(choice, ledger, len(choice.tiles) // SHARE)
    return (_carry_out(problem, choice, candidates, ledger, swaps) if swaps else choice), gain


def restart_tiles(
    problem: Problem,
    choice: Choice,
    looks: Looks,
    candidates: Candidates,
    frozen: np.ndarray,
    random: np.random.Generator,
) -> Choice:
    """Swap some tiles at random, whatever it costs, so that a search may end elsewhere.

    random: only `integers` is used, whose numbers are the same in every version of numpy
    """
    error = errors(problem, choice)
    ledger = _open_ledger(problem, choice, looks, candidates, frozen, error)
    gone = np.zeros(len(choice.tiles), dtype=bool)
    swaps: list[tuple[int, int]] = []
    offers = len(ledger.offer)
    for _ in range(max(1, len(gone) // RESTART_SHARE) if offers else 0):
        drop, best = (int(random.integers(size)) for size in (len(gone), offers))
        heirs = ledger.heir[choice.number == drop]
        if frozen[drop] or ledger.locked[drop] or gone[heirs].any():
            continue
        gone[drop] = True
        ledger.locked[heirs] = True
        swaps.append((drop, best))
    return _carry_out(problem, choice, candidates, ledger, swaps)


def _open_ledger(
    problem: Problem,
    choice: Choice,
    looks: Looks,
    candidates: Candidates,
    frozen: np.ndarray,
    error: Errors,
) -> _Ledger:
    size = len(choice.tiles)
    own = cell_costs(problem, choice, looks, error)
    listed = candidates.number[problem.kind]
    costs = np.where(listed == choice.number[:, None], np.inf, candidates.cost[problem.kind])
    place = costs.argmin(axis=1)
    every = np.arange(len(own))
    heir = listed[every, place]
    members = np.bincount(choice.number, minlength=size)
    lost = np.maximum(costs[every, place] - own, 0)
    loss = np.bincount(choice.number, lost, minlength=size)
    loss[frozen] = np.inf
    cell = np.flatnonzero(own > 0)
    bad = own[cell]
    rest = np.where(
        members[choice.number[cell]] > 1, bad / np.maximum(members[choice.number[cell]] - 1, 1), 0
    )
    offer = _pick_offers(problem, cell, bad + rest, size)
    gain = _gains(problem, cell, bad, offer)
    # the rest of a group gains once, by the worst cell of the offered kind
    bonus = np.zeros(problem.kinds.feature.shape[1])
    np.maximum.at(bonus, problem.kind[cell], rest)
    whole = gain.sum(axis=1, dtype=np.float64) + bonus[offer]
    locked = np.zeros(size, dtype=bool)
    return _Ledger(cell, bad, offer, gain, whole, loss, heir, place, locked)


def cell_costs(problem: Problem, choice: Choice, looks: Looks, error: Errors) -> np.ndarray:
    """Own cost (n,) float64 of every cell as it is shown now, with these errors."""
    cost = np.zeros(len(choice.number))
    cell = error.cell
    kind = problem.kind[cell]
    look = choice.row[cell].astype(np.intp) * len(choice.tiles) + choice.number[cell]
    turn = SIGNS[choice.flip[cell] ^ problem.cells.flip[cell]]
    own = looks.length[look] + problem.kinds.length[kind].astype(np.float64)
    for group in range(4):
        part = np.einsum("nf,nf->n", looks.feature[group][look], problem.kinds.feature[group][kind])
        own -= 2 * turn[:, group] * part.astype(np.float64)
    if problem.heavy is not None:
        own += heavy_error(problem.heavy[cell], error.value[:-1])
    cost[cell] = own * problem.care[cell]
    return cost


def _pick_offers(problem: Problem, cell: np.ndarray, worth: np.ndarray, size: int) -> np.ndarray:
    """Kinds of the worst shown cells, ascending."""
    kinds = problem.kinds.feature.shape[1]
    total = np.zeros(kinds)
    np.maximum.at(total, problem.kind[cell], worth)
    most = max(OFFERS, int(size * LEAST_OFFERS_PER_TILE))
    order = np.argsort(-total, kind="stable")[:most]
    return np.sort(order[total[order] > 0])


def _gains(problem: Problem, cell: np.ndarray, own: np.ndarray, offer: np.ndarray) -> np.ndarray:
    """What each cell gains (o, a) float32 if an offered kind is stored as it is."""
    kinds, of = np.unique(problem.kind[cell], return_inverse=True)
    most = np.zeros(len(kinds), dtype=np.float32)
    np.maximum.at(most, of, own.astype(np.float32))
    offered = np.ascontiguousarray(problem.kinds.feature[:, offer])
    gain = np.empty((len(offer), len(cell)), dtype=np.float32)
    order = np.argsort(of, kind="stable")
    for start in range(0, len(kinds), AT_ONCE):
        some = kinds[start : start + AT_ONCE]
        cost = likeness(offered, problem.kinds.feature[:, some])
        cost *= -2
        cost += problem.kinds.length[offer, None]
        cost += problem.kinds.length[some]
        care = problem.kinds.care[some].astype(np.float32)
        heavy = np.flatnonzero(problem.kinds.weighty[some])
        which, place = np.nonzero(cost[:, heavy] * care[heavy] < most[start + heavy])
        if len(which):
            place = heavy[place]
            cost[which, place] = _heavy_offers(problem, some[place], offer[which])
        cost *= care
        first, last = np.searchsorted(of[order], (start, start + len(some)))
        here = order[first:last]
        fresh = np.subtract(own[here].astype(np.float32), cost[:, of[here] - start])
        gain[:, here] = np.maximum(fresh, 0, out=fresh)
    return gain


def _heavy_offers(problem: Problem, kind: np.ndarray, offer: np.ndarray) -> np.ndarray:
    """What showing kinds (m,) by the tiles of other kinds (m,) costs, extra weights and all, each
    in the flip that suits it without them."""
    result = np.empty(len(kind), dtype=np.float32)
    for start in range(0, len(kind), AT_ONCE):
        part = slice(start, start + AT_ONCE)
        mine, other = kind[part], offer[part]
        turn, product = best_flips(problem.kinds.feature[:, mine], problem.kinds.feature[:, other])
        tiles = problem.cells.tiles[problem.kinds.tile[other]]
        added = heavy_costs(problem, mine, tiles, problem.kinds.row[other])
        result[part] = problem.kinds.length[mine] + problem.kinds.length[other] - 2 * product
        result[part] += added[np.arange(len(mine)), turn]
    return result


def _pick_swaps(choice: Choice, ledger: _Ledger, most: int) -> tuple[list[tuple[int, int]], float]:
    """Pairs (tile to drop, offer to store), best first, none touching what another relies on,
    and what they gain; no more than one above `most`."""
    order = np.argsort(ledger.loss, kind="stable")
    number = choice.number[ledger.cell]
    swaps: list[tuple[int, int]] = []
    left, at, whole = ledger.own.copy(), 0, 0.0
    open_, gain = ledger.open, ledger.gain
    gone = np.zeros(len(order), dtype=bool)
    while len(swaps) <= most and len(open_):
        best = int(open_.argmax())
        while at < len(order) and (
            ledger.locked[order[at]] or gone[ledger.heir[choice.number == order[at]]].any()
        ):
            at += 1
        if at == len(order) or not open_[best] > ledger.loss[order[at]]:
            break
        drop = int(order[at])
        users = np.flatnonzero(gain[best] > 0)
        if drop in number[users]:
            # its own cells would come to the fresh tile: no loss to speak of, judged next time
            open_[best] = -1
            continue
        swaps.append((drop, best))
        whole += float(open_[best] - ledger.loss[drop])
        gone[drop] = True
        ledger.locked[number[users]] = True
        ledger.locked[drop] = True
        ledger.locked[ledger.heir[choice.number == drop]] = True
        _discount(ledger, left, best, users)
    return swaps, whole


def _discount(ledger: _Ledger, left: np.ndarray, best: int, users: np.ndarray) -> None:
    """Take from every offer what its cells have gained already by this one."""
    gain = ledger.gain[:, users].astype(np.float64)
    own, before = ledger.own[users], left[users]
    after = np.minimum(before, own - gain[best])
    cost = own - gain
    ledger.open -= np.maximum(before - cost, 0).sum(axis=1)
    ledger.open += np.maximum(after - cost, 0).sum(axis=1)
    left[users] = after
    ledger.open[best] = -1


def _carry_out(
    problem: Problem,
    choice: Choice,
    candidates: Candidates,
    ledger: _Ledger,
    swaps: list[tuple[int, int]],
) -> Choice:
    tiles, number = choice.tiles.copy(), choice.number.copy()
    flip, row = choice.flip.copy(), choice.row.copy()
    gone = np.zeros(len(tiles), dtype=bool)
    gone[[drop for drop, _ in swaps]] = True
    cell = np.flatnonzero(gone[number])
    kind, place = problem.kind[cell], ledger.place[cell]
    number[cell], row[cell] = ledger.heir[cell], candidates.row[kind, place]
    flip[cell] = candidates.flip[kind, place] ^ problem.cells.flip[cell]
    taken = np.zeros(len(ledger.cell), dtype=np.float32)
    for drop, best in swaps:
        tiles[drop] = problem.cells.tiles[problem.kinds.tile[ledger.offer[best]]]
        users = np.flatnonzero(ledger.gain[best] > taken)
        taken[users] = ledger.gain[best][users]
        cell, kind = ledger.cell[users], problem.kind[ledger.cell[users]]
        fresh = np.full(len(users), ledger.offer[best])
        turn, _ = best_flips(problem.kinds.feature[:, fresh], problem.kinds.feature[:, kind])
        number[cell], row[cell] = drop, problem.kinds.row[fresh]
        flip[cell] = turn ^ problem.cells.flip[cell]
    return Choice(tiles, number, flip, row)
