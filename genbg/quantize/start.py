"""Where the search for palette rows starts.

Ways that fail on different pictures, so all are tried:
  by mean    cells of like mean colour share a row: best for photographs
  by likes   sets of inks are taken together pair by pair until four are left: best for drawn art
  by join    a few inks that differ least are joined, the rarer into the commoner, so that the
             cells' sets can be packed: best where hardly anything is missing
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from genbg.hardware.sizes import PALETTE_COLOURS, PALETTES
from genbg.quantize.pack import cell_sets, pack_sets
from genbg.quantize.rows import Fit, fill_rows, pool_rows

MEAN_ROUNDS = 12
"""Rounds of the means; they settle in fewer on nearly every picture."""

JOINS = (1, 2)
"""Joins tried, the fewest first. Where more are needed, the other starts lead further."""

JOIN_NODES = 60
"""Nodes for one packing of joined inks."""

LIKES = 160
"""Sets that are taken together at most: the time grows with their square and more. Photographs have
more, and gain nothing by it."""

CROWD = 640
"""Sets that are looked at for that, the dearest ones."""

SCALE = 1024
"""What outweighs a tie-break or a fraction of a score: more inks than a picture has."""


def start_by_mean(fit: Fit) -> np.ndarray:
    """Entries (4, Z, 15) for rows of cells of like mean colour."""
    return deal_rows(fit, spread_means(fit.means, PALETTES))


def deal_rows(fit: Fit, row: np.ndarray) -> np.ndarray:
    """Entries (4, Z, 15) for cells in these rows (m,)."""
    return fill_rows(fit, fit.empty_rows, pool_rows(fit, row))


def cell_gaps(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Squared distance (n, k) of colours (n, 3) and (k, 3)."""
    d = a[:, None] - b[None]
    return d[..., 0] * d[..., 0] + d[..., 1] * d[..., 1] + d[..., 2] * d[..., 2]


def spread_means(means: np.ndarray, groups: int) -> np.ndarray:
    """Group (m,) of each of the means (m, 3): k-means from centres far apart, on whole steps."""
    middle = np.floor(means.sum(axis=0) / len(means) + 0.5)
    picks = [int(cell_gaps(means, middle[None])[:, 0].argmax())]
    while len(picks) < groups:
        picks.append(int(cell_gaps(means, means[picks]).min(axis=1).argmax()))
    centres = means[picks]
    group = cell_gaps(means, centres).argmin(axis=1)
    for _ in range(MEAN_ROUNDS):
        share = (group == np.arange(groups)[:, None]).astype(np.float64)
        pixels = np.maximum(share.sum(axis=1), 1.0)
        centres = np.floor(share @ means / pixels[:, None] + 0.5)
        moved = cell_gaps(means, centres).argmin(axis=1)
        if np.array_equal(moved, group):
            break
        group = moved
    return group


def starts_by_likes(fit: Fit) -> Iterator[np.ndarray]:
    """Entries (4, Z, 15) for rows of sets that have much in common, after each of WAYS.

    Sets that would lose least without one of their inks are left out first: a few pixels here and
    there tie together what is better kept apart. Ties to the larger sets, then to the dearer ones.
    """
    lone = np.empty(len(fit.gap))
    for table, members in zip(fit.tables, fit.members, strict=True):
        lone[members] = table.lone
    loss = np.minimum.reduceat(fit.weight * lone[fit.kind], fit.first)
    dearest = np.argsort(-loss, kind="stable")[:CROWD]
    has = point_table(fit)[dearest]
    common = has @ has.T
    inside = common == common.diagonal()[:, None]
    np.fill_diagonal(inside, False)
    for tenths, score in WAYS:
        kept = len(fit.first) - len(fit.first) * tenths // 10
        if kept > len(dearest):
            continue
        outer = has[:kept][~inside[:kept, :kept].any(axis=1)]
        outer = outer[np.argsort(-outer.sum(axis=1), kind="stable")]
        if len(outer) <= LIKES:
            groups = take_together(outer, PALETTE_COLOURS * len(fit.members), score)
            shown = np.add.reduceat(groups[:, fit.kind] * fit.weight, fit.first, axis=1)
            yield deal_rows(fit, shown.argmax(axis=0))


def point_table(fit: Fit) -> np.ndarray:
    """Which points each cell has, (m, P) float64 of 0 and 1."""
    has = np.zeros((len(fit.first), len(fit.gap)))
    has[np.repeat(np.arange(len(fit.first)), fit.lengths), fit.kind] = 1
    return has


Score = Callable[[np.ndarray, np.ndarray, np.ndarray, np.ndarray], np.ndarray]
"""How ill sets go with others: of the inks above a row's, those in common, and both sizes."""


def score_inks(
    surplus: np.ndarray, common: np.ndarray, size: np.ndarray, other: np.ndarray
) -> np.ndarray:
    """By inks in common, three for one above the row's; then the smaller pair first."""
    return (3 * surplus - common) * SCALE + size + other - common


def score_share(
    surplus: np.ndarray, common: np.ndarray, size: np.ndarray, other: np.ndarray
) -> np.ndarray:
    """By the share of the smaller set that is in common; any ink above the row's outweighs it."""
    return surplus * SCALE - np.floor(common * 64 / np.minimum(size, other))


WAYS = ((0, score_share), (3, score_inks), (3, score_share), (6, score_inks), (6, score_share))
"""How many tenths of the sets are left out, and how the others are scored: ways that find the best
start on different pictures."""


def take_together(has: np.ndarray, most: int, score: Score) -> np.ndarray:
    """At most four unions (4, P) of the sets, by taking the best pair together again and again.

    has: (n, P) float64, 1 where the set has the ink; most: inks of a row. Ties to the first sets.
    """
    has, count = has.copy(), len(has)
    size = has.sum(axis=1)
    price = pair_scores(has @ has.T, size, size[:, None], most, score)
    price[np.triu_indices(count)] = np.inf
    gone = np.zeros(count, bool)
    for _ in range(count - PALETTES):
        upper, lower = divmod(int(price.argmin()), count)
        has[lower] = np.maximum(has[lower], has[upper])
        size[lower] = has[lower].sum()
        gone[upper] = True
        price[upper] = price[:, upper] = np.inf
        fresh = pair_scores(has @ has[lower], size, size[lower], most, score)
        fresh[gone] = np.inf
        price[lower, :lower], price[lower + 1 :, lower] = fresh[:lower], fresh[lower + 1 :]
    return has[~gone]


def pair_scores(
    common: np.ndarray, size: np.ndarray, other: np.ndarray, most: int, score: Score
) -> np.ndarray:
    """The score of sets with others, by their inks in common and their sizes."""
    return score(np.maximum(size + other - common - most, 0), common, size, other)


def start_by_join(fit: Fit) -> np.ndarray | None:
    """Entries (4, Z, 15) after the fewest of JOINS that make the cells' sets fit, or None."""
    joins = join_order(fit, JOINS[-1])
    for count in JOINS:
        entries = _pack_joined(fit, joins[:count])
        if entries is not None:
            return entries
    return None


def join_order(fit: Fit, count: int) -> list[tuple[int, int]]:
    """The cheapest joins (point, point it becomes), cheapest first; ties to the lowest points.

    A join costs the pixels of the rarer one times the gap; only points of one zone are joined.
    """
    pixels = np.bincount(fit.kind, fit.weight, minlength=len(fit.gap))
    gap = fit.gap[:, fit.own]
    apart = np.ones(gap.shape, bool)
    for points in fit.members:
        apart[np.ix_(points, points)] = False
    np.fill_diagonal(apart, True)
    cost = np.where(apart, np.inf, np.minimum(pixels[:, None], pixels) * gap)
    joins = []
    for _ in range(min(count, len(fit.own) - len(fit.members))):
        a, b = divmod(int(cost.argmin()), len(cost))
        if pixels[a] > pixels[b]:
            a, b = b, a
        joins.append((a, b))
        pixels[b] += pixels[a]
        cost[a] = cost[:, a] = np.inf
        fresh = np.where(np.isinf(cost[b]), np.inf, np.minimum(pixels[b], pixels) * gap[b])
        cost[b] = cost[:, b] = fresh
    return joins


def _pack_joined(fit: Fit, joins: list[tuple[int, int]]) -> np.ndarray | None:
    becomes = np.arange(len(fit.own))
    for a, b in joins:
        becomes[becomes == a] = b
    left, number = np.unique(becomes, return_inverse=True)
    zones = [np.isin(left, points) for points in fit.members]
    if max(zone.sum() for zone in zones) > PALETTES * PALETTE_COLOURS:
        return None
    sets = cell_sets(fit.first, number[fit.kind], len(left))
    masks = [bits_of(np.flatnonzero(zone)) for zone in zones]
    rows = pack_sets(sets, masks, node_limit=JOIN_NODES).rows
    if rows is None:
        return None
    return entries_of(rows, masks, fit.own[left], fit.nothing)


def bits_of(numbers: np.ndarray) -> int:
    """The integer that has these bits set."""
    return sum(1 << int(number) for number in numbers)


def entries_of(
    rows: tuple[int, ...], masks: list[int], candidate: np.ndarray, nothing: int
) -> np.ndarray:
    """Entries (4, Z, 15) of packed rows; candidate: (bits,) what each bit stands for."""
    entries = np.full((len(rows), len(masks), PALETTE_COLOURS), nothing)
    for r, union in enumerate(rows):
        for zone, mask in enumerate(masks):
            held = [c for bit, c in enumerate(candidate) if (union & mask) >> bit & 1]
            entries[r, zone, : len(held)] = held
    return entries
