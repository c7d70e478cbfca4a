"""Merging in pairs: from every tile on its own down to a number of groups.

The cost of joining two groups is what their cells lose by sharing one centroid: J. H. Ward,
"Hierarchical grouping to optimize an objective function", J. Amer. Statist. Assoc. 58(301), 1963;
here under flips. All groups that are each other's nearest merge at once, down to one group, and
the merges are put in order of cost afterwards: with this cost a merge never brings a third group
nearer than the two were, so the cheapest pair again and again finds the same ones (F. Murtagh, "A
survey of recent advances in hierarchical clustering algorithms", The Computer Journal 26(4), 1983).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.reduce.metric import best_flips, lengths, likeness, turn_features

BLOCK = 256
"""Rows of the table of costs that are worked on at a time, so that they stay near the processor."""

COMPACT = 0.75
"""Share of the table still in use below which the rest is thrown away: copying costs time too."""

FAR = np.float32(3e38)


@dataclass(frozen=True, eq=False)
class Groups:
    """Items in groups.

    label: (D,) intp group of every item; flip: (D,) uint8 flip between item and group
    costs: what each merge cost, in order; further: what merges would cost from there to one group
    """

    label: np.ndarray
    flip: np.ndarray
    costs: np.ndarray
    further: np.ndarray


def merge_items(feature: np.ndarray, weight: np.ndarray, tile: np.ndarray, budget: int) -> Groups:
    """Merge items in pairs until the groups need at most `budget` tiles.

    feature: (4, D, f) float32 whole numbers; weight: (D,) how many cells an item stands for
    tile: (D,) which tile an item is: unmerged items of one tile share it at no cost
    Ties: the pair of lowest numbers.
    """
    count = feature.shape[1]
    first, second, turn, cost = _merge_all(feature.copy(), weight.astype(np.float32))
    order = np.argsort(_heights(first, second, cost), kind="stable")
    taken = _merges_needed(first[order], second[order], tile, budget)
    parent, flip = np.arange(count), np.zeros(count, dtype=np.uint8)
    used = order[:taken]
    parent[second[used]], flip[second[used]] = first[used], turn[used]
    return Groups(*_follow(parent, flip), cost[used], cost[order[taken:]])


def _merge_all(
    feature: np.ndarray, weight: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Merge down to one group; feature and weight are used up.

    Returns for each merge the item that names the group, the one that named the other until then,
    the flip between them and the cost, every merge after those that made its groups.
    """
    names = alive = np.arange(feature.shape[1])
    length = lengths(feature)
    table = _cost_table(feature, weight, length)
    near, gone = table.argmin(axis=1), np.zeros(len(table), dtype=bool)
    found = [(names[:0], names[:0], np.zeros(0, np.uint8), np.zeros(0, np.float32))]
    while len(alive) > 1:
        if len(alive) < COMPACT * len(table):
            table = table[alive][:, alive]
            feature, weight, length = feature[:, alive], weight[alive], length[alive]
            names, near = names[alive], np.searchsorted(alive, near[alive])
            alive, gone = np.arange(len(alive)), np.zeros(len(alive), dtype=bool)
        first, second = _pick_pairs(table, near, alive)
        cost = table[first, second]
        found.append((names[first], names[second], _join(feature, weight, first, second), cost))
        length[first] = lengths(feature[:, first])
        gone[second] = True
        table[:, second] = FAR
        _refresh(table, feature, weight, length, first, gone)
        alive = np.flatnonzero(~gone)
        _renew_nearest(table, near, alive, first, second)
    first, second, turn, cost = (np.concatenate(part) for part in zip(*found, strict=True))
    return first, second, turn, cost


def _heights(first: np.ndarray, second: np.ndarray, cost: np.ndarray) -> np.ndarray:
    """What merges (m,) are ordered by: their cost, or that of an earlier one of their items where
    rounding made it the greater."""
    height = cost.tolist()
    last: dict[int, float] = {}
    for place, (one, other) in enumerate(zip(first.tolist(), second.tolist(), strict=True)):
        height[place] = max(height[place], last.get(one, 0.0), last.get(other, 0.0))
        last[one] = height[place]
    return np.array(height)


def _merges_needed(first: np.ndarray, second: np.ndarray, tile: np.ndarray, budget: int) -> int:
    """How many of the merges have to be made until no more than `budget` tiles are needed.

    Groups need one each, but one for all unmerged items of one tile.
    """
    tiles = np.unique(tile, return_inverse=True)[1]
    alone = np.bincount(tiles).tolist()
    own, single, need = tiles.tolist(), [True] * len(tile), len(alone)
    for taken, pair in enumerate(zip(first.tolist(), second.tolist(), strict=True)):
        if need <= budget:
            return taken
        need += 1
        for item in pair:
            if single[item]:
                single[item] = False
                alone[own[item]] -= 1
                need -= alone[own[item]] == 0
            else:
                need -= 1
    return len(first)


def _follow(parent: np.ndarray, turn: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Group, numbered from 0 in the order of the items kept, and flip of every item."""
    parent, turn = parent.copy(), turn.copy()
    while (parent[parent] != parent).any():
        turn ^= turn[parent] * (parent[parent] != parent)
        parent = parent[parent]
    return np.unique(parent, return_inverse=True)[1], turn


def _cost_table(feature: np.ndarray, weight: np.ndarray, length: np.ndarray) -> np.ndarray:
    """Cost (D, D) float32 of joining any two; FAR on the diagonal."""
    count = feature.shape[1]
    table = np.empty((count, count), dtype=np.float32)
    for start in range(0, count, BLOCK):
        rows = slice(0, min(BLOCK, count - start))
        fresh = _costs(feature[:, start:], weight[start:], length[start:], rows)
        table[start : start + BLOCK, start:] = fresh
        table[start:, start : start + BLOCK] = fresh.T
    np.fill_diagonal(table, FAR)
    return table


def _costs(
    feature: np.ndarray, weight: np.ndarray, length: np.ndarray, rows: slice | np.ndarray
) -> np.ndarray:
    """Cost (n, D) of joining some groups to all."""
    cost = likeness(feature[:, rows], feature)
    cost *= -2
    cost += length[rows, None]
    cost += length
    mine = weight[rows, None]
    cost *= weight * mine / (weight + mine)
    return cost


def _pick_pairs(
    table: np.ndarray, near: np.ndarray, alive: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """The lower and the higher of the groups that are each other's nearest.

    near: the nearest of each group
    """
    other = near[alive]
    first = alive[(near[other] == alive) & (alive < other)]
    if len(first) == 0:  # a ring of ties: the first cheapest pair will do
        lowest = alive[table[alive, other].argmin()]
        pair = np.sort([lowest, near[lowest]])
        return pair[:1], pair[1:]
    return first, near[first]


def _renew_nearest(
    table: np.ndarray, near: np.ndarray, alive: np.ndarray, first: np.ndarray, second: np.ndarray
) -> None:
    """Find the nearest of every group again, in place, after some went into others.

    Only those whose nearest one changed look at all; others at what is new. Ties: the lowest.
    """
    changed = np.zeros(len(table), dtype=bool)
    changed[first] = changed[second] = True
    lost = changed[near[alive]] | changed[alive]
    some, rest = alive[lost], alive[~lost]
    near[some] = table[some].argmin(axis=1)
    if len(rest):
        fresh = np.sort(first)
        costs = table[np.ix_(rest, fresh)]
        best = costs.argmin(axis=1)
        cost, now = costs[np.arange(len(rest)), best], table[rest, near[rest]]
        better = (cost < now) | ((cost == now) & (fresh[best] < near[rest]))
        near[rest[better]] = fresh[best[better]]


def _join(
    feature: np.ndarray, weight: np.ndarray, first: np.ndarray, second: np.ndarray
) -> np.ndarray:
    """Let each second group go into its first, in place; returns the flips between them."""
    turn, _ = best_flips(feature[:, first], feature[:, second])
    mine, other = weight[first, None], weight[second, None]
    turned = turn_features(feature[:, second], turn)
    feature[:, first] = np.rint((feature[:, first] * mine + turned * other) / (mine + other))
    weight[first] += weight[second]
    return turn


def _refresh(
    table: np.ndarray,
    feature: np.ndarray,
    weight: np.ndarray,
    length: np.ndarray,
    some: np.ndarray,
    gone: np.ndarray,
) -> None:
    """Work out the costs of some groups to all anew, in place; FAR to those that are gone."""
    far = np.flatnonzero(gone)
    for start in range(0, len(some), BLOCK):
        rows = some[start : start + BLOCK]
        fresh = _costs(feature, weight, length, rows)
        fresh[:, far] = FAR
        fresh[np.arange(len(rows)), rows] = FAR
        table[rows] = fresh
        table[:, rows] = fresh.T
