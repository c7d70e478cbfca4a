"""Where the search for palette rows starts.

Two ways that fail on different pictures, so both are tried and the better end is kept:
  by mean   cells of like mean colour share a row: best for photographs
  by join   inks that differ least are joined, the rarer into the commoner, until the cells' sets
            can be packed: best for drawn art, where few joins are needed
"""

from __future__ import annotations

import numpy as np

from genbg.quantize.pack import ENTRIES, ROWS, cell_sets, pack_sets
from genbg.quantize.rows import Fit, fill_rows, pool_rows

MEAN_ROUNDS = 12
"""Rounds of the means; they settle in fewer on nearly every picture."""

JOIN_NODES = 150
"""Nodes for one packing on the way down; whoever needs more goes on joining."""


def start_by_mean(fit: Fit) -> np.ndarray:
    """Entries (4, Z, 15) for rows of cells of like mean colour."""
    row = spread_means(cell_means(fit), ROWS)
    return fill_rows(fit, fit.empty_rows, pool_rows(fit, row))


def cell_means(fit: Fit) -> np.ndarray:
    """Mean colour of every cell, (m, 3) whole lab steps as float64."""
    total = np.add.reduceat(fit.weight[:, None] * fit.home[fit.kind], fit.first, axis=0)
    pixels = np.add.reduceat(fit.weight, fit.first)
    return np.floor(total / pixels[:, None] + 0.5)


def spread_means(means: np.ndarray, groups: int) -> np.ndarray:
    """Group (m,) of each of the means (m, 3): k-means from centres far apart, on whole steps."""
    middle = np.floor(means.sum(axis=0) / len(means) + 0.5)
    picks = [int(_gaps(means, middle[None])[:, 0].argmax())]
    while len(picks) < groups:
        picks.append(int(_gaps(means, means[picks]).min(axis=1).argmax()))
    centres = means[picks]
    group = _gaps(means, centres).argmin(axis=1)
    for _ in range(MEAN_ROUNDS):
        share = (group == np.arange(groups)[:, None]).astype(np.float64)
        pixels = np.maximum(share.sum(axis=1), 1.0)
        centres = np.floor(share @ means / pixels[:, None] + 0.5)
        moved = _gaps(means, centres).argmin(axis=1)
        if np.array_equal(moved, group):
            break
        group = moved
    return group


def _gaps(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    d = a[:, None] - b[None]
    return d[..., 0] * d[..., 0] + d[..., 1] * d[..., 1] + d[..., 2] * d[..., 2]


def start_by_join(fit: Fit, own: np.ndarray) -> np.ndarray:
    """Entries (4, Z, 15) after as few joins as make the cells' sets fit.

    own: (P,) the candidate that is each point's own ink
    """
    joins = join_order(fit, own)
    fewest, most = 0, len(joins)
    entries = fit.empty_rows
    while fewest < most:
        joined = (fewest + most) // 2
        found = _pack_joined(fit, own, joins[:joined])
        if found is None:
            fewest = joined + 1
        else:
            entries, most = found, joined
    pool = pool_rows(fit, np.zeros(len(fit.first), np.int64))
    return entries if (entries != fit.nothing).any() else fill_rows(fit, entries, pool)


def join_order(fit: Fit, own: np.ndarray) -> list[tuple[int, int]]:
    """All joins (point, point it becomes) from the cheapest on; ties to the lowest points.

    A join costs the pixels of the rarer one times the gap; only points of one zone are joined.
    """
    pixels = np.bincount(fit.kind, fit.weight, minlength=len(fit.gap))
    gap = fit.gap[:, own]
    apart = np.ones(gap.shape, bool)
    for points in fit.members:
        apart[np.ix_(points, points)] = False
    np.fill_diagonal(apart, True)
    cost = np.where(apart, np.inf, np.minimum(pixels[:, None], pixels) * gap)
    joins = []
    for _ in range(len(own) - len(fit.members)):
        a, b = divmod(int(cost.argmin()), len(cost))
        if pixels[a] > pixels[b]:
            a, b = b, a
        joins.append((a, b))
        pixels[b] += pixels[a]
        cost[a] = cost[:, a] = np.inf
        fresh = np.where(np.isinf(cost[b]), np.inf, np.minimum(pixels[b], pixels) * gap[b])
        cost[b] = cost[:, b] = fresh
    return joins


def _pack_joined(fit: Fit, own: np.ndarray, joins: list[tuple[int, int]]) -> np.ndarray | None:
    becomes = np.arange(len(own))
    for a, b in joins:
        becomes[becomes == a] = b
    left, number = np.unique(becomes, return_inverse=True)
    zones = [np.isin(left, points) for points in fit.members]
    if max(zone.sum() for zone in zones) > ROWS * ENTRIES:
        return None
    sets = cell_sets(fit.first, number[fit.kind], len(left))
    masks = [bits_of(np.flatnonzero(zone)) for zone in zones]
    rows = pack_sets(sets, masks, node_limit=JOIN_NODES).rows
    if rows is None:
        return None
    return entries_of(rows, masks, own[left], fit.nothing)


def bits_of(numbers: np.ndarray) -> int:
    """The integer that has these bits set."""
    return sum(1 << int(number) for number in numbers)


def entries_of(
    rows: tuple[int, ...], masks: list[int], candidate: np.ndarray, nothing: int
) -> np.ndarray:
    """Entries (4, Z, 15) of packed rows; candidate: (bits,) what each bit stands for."""
    entries = np.full((len(rows), len(masks), ENTRIES), nothing)
    for r, union in enumerate(rows):
        for zone, mask in enumerate(masks):
            held = [c for bit, c in enumerate(candidate) if (union & mask) >> bit & 1]
            entries[r, zone, : len(held)] = held
    return entries
