"""Merging in pairs: from every pattern on its own down to a number of groups.

The cost of joining two groups is what their cells lose by sharing one centroid: J. H. Ward,
"Hierarchical grouping to optimize an objective function", J. Amer. Statist. Assoc. 58(301), 1963;
here under flips. Groups that are each other's nearest are merged many at a time, the cheapest
first: with this cost a merge never brings a third group nearer than the two were, so such pairs
would be found in any order (F. Murtagh, "A survey of recent advances in hierarchical clustering
algorithms", The Computer Journal 26(4), 1983).
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.reduce.metric import best_flips, lengths, likeness, turn_features

HASTE = 6
"""How many pairs merge at once: one in so many that may. With all of them at once the last
ones cost more than merges to come: 2 gives a fifth more error than one at a time, 4 less than one
hundredth, 8 and more three thousandths."""

BLOCK = 256
"""Rows of the table of costs that are worked on at a time, so that they stay near the processor."""

COMPACT = 0.75
"""Share of the table still in use below which the rest is thrown away: copying costs time too."""

FAR = np.float32(3e38)


@dataclass(frozen=True, eq=False)
class Groups:
    """Items in groups.

    label: (D,) intp group of every item; flip: (D,) uint8 flip between item and group
    costs: what each merge cost, in the order of the merges (the first len(label) - groups)
    """

    label: np.ndarray
    flip: np.ndarray
    costs: np.ndarray


def merge_items(
    feature: np.ndarray,
    weight: np.ndarray,
    tile: np.ndarray,
    budget: int,
    haste: int = HASTE,
) -> Groups:
    """Merge items in pairs until the groups need at most `budget` patterns.

    feature: (4, D, f) float32 whole numbers; weight: (D,) how many cells an item stands for
    tile: (D,) which pattern an item is: unmerged items of one pattern share it at no cost
    haste: one in so many of the pairs that may merge does so at once
    Ties: the pair of lowest numbers.
    """
    count = feature.shape[1]
    alone = np.ones(count, dtype=bool)
    parent, turn = np.arange(count), np.zeros(count, dtype=np.uint8)
    feature, weight = feature.copy(), weight.astype(np.float32)
    table = _cost_table(feature, weight)
    alive, spent = np.arange(count), [np.zeros(0, np.float32)]
    names, near = alive, table.argmin(axis=1)
    while (need := _patterns_needed(names[alive], alone, tile)) > budget:
        if len(alive) < COMPACT * len(table):
            table = table[alive][:, alive]
            feature, weight, names = feature[:, alive].copy(), weight[alive], names[alive]
            near, alive = np.searchsorted(alive, near[alive]), np.arange(len(alive))
        first, second, cost = _pick_pairs(table, near, alive, need - budget, haste)
        flips = _join(feature, weight, first, second)
        parent[names[second]], turn[names[second]] = names[first], flips
        table[second], table[:, second] = FAR, FAR
        alive = np.setdiff1d(alive, second, assume_unique=True)
        _refresh(table, feature, weight, first, alive)
        _renew_nearest(table, near, alive, first, second)
        alone[names[first]] = False
        spent.append(cost)
    label, flip = _follow(parent, turn)
    return Groups(label, flip, np.concatenate(spent))


def _patterns_needed(names: np.ndarray, alone: np.ndarray, tile: np.ndarray) -> int:
    """Patterns that groups need: one each, but one for all unmerged items of one pattern."""
    single = alone[names]
    return int((~single).sum()) + len(np.unique(tile[names[single]]))


def _follow(parent: np.ndarray, turn: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Group, numbered from 0 in the order of the items kept, and flip of every item."""
    parent, turn = parent.copy(), turn.copy()
    while (parent[parent] != parent).any():
        turn ^= turn[parent] * (parent[parent] != parent)
        parent = parent[parent]
    return np.unique(parent, return_inverse=True)[1], turn


def _cost_table(feature: np.ndarray, weight: np.ndarray) -> np.ndarray:
    """Cost (D, D) float32 of joining any two; FAR on the diagonal."""
    count = feature.shape[1]
    table = np.empty((count, count), dtype=np.float32)
    length = lengths(feature)
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
    table: np.ndarray, near: np.ndarray, alive: np.ndarray, most: int, haste: int
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Cheapest of the pairs that are each other's nearest, at most so many, cheapest first.

    near: the nearest of each group. Returns the lower group, the higher one and the cost.
    """
    other = near[alive]
    first = alive[(near[other] == alive) & (alive < other)]
    second = near[first]
    if len(first) == 0:  # a ring of ties: the first cheapest pair will do
        lowest = alive[table[alive, other].argmin()]
        pair = np.sort([lowest, near[lowest]])
        first, second = pair[:1], pair[1:]
    cost = table[first, second]
    order = np.argsort(cost, kind="stable")[: max(1, min(most, (len(first) + haste - 1) // haste))]
    return first[order], second[order], cost[order]


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
    table: np.ndarray, feature: np.ndarray, weight: np.ndarray, some: np.ndarray, alive: np.ndarray
) -> None:
    """Work out the costs of some groups to all that are left anew, in place."""
    feature, weight = feature[:, alive], weight[alive]
    length = lengths(feature)
    place = np.searchsorted(alive, some)
    for start in range(0, len(some), BLOCK):
        rows, here = some[start : start + BLOCK], place[start : start + BLOCK]
        fresh = _costs(feature, weight, length, here)
        fresh[np.arange(len(here)), here] = FAR
        table[np.ix_(rows, alive)] = fresh
        table[np.ix_(alive, rows)] = fresh.T
