"""Merging in pairs where there are too many items for one table of costs.

Items are split into buckets of alike ones, halving along the feature that varies most, as in a
k-d tree (J. L. Bentley, Comm. ACM 18(9), 1975); each bucket is merged on its own down to a share,
and what is left is split anew, along other features then, until one table holds it. Both the
splitting and the tables cost N log N for N items.
"""

from __future__ import annotations

import numpy as np

from genbg.reduce.merge import Groups, merge_items
from genbg.reduce.metric import turn_features

LARGEST = 4096
"""Items of one table: 64 MB."""

BUCKET = 2048
"""Items of a bucket; twice as many took twice as long for the same error."""

SHARE = 4
"""A bucket is merged down to a quarter: what is merged later still has nearly all of the choice."""


def merge_all(feature: np.ndarray, weight: np.ndarray, tile: np.ndarray, budget: int) -> Groups:
    """Merge any number of items in pairs until the groups need at most `budget` tiles.

    feature: (4, D, f) float32 whole numbers; weight: (D,); tile: (D,), all as in `merge_items`
    """
    label, flip = np.arange(feature.shape[1]), np.zeros(feature.shape[1], dtype=np.uint8)
    while feature.shape[1] > LARGEST:
        groups = _merge_buckets(feature, weight, tile, max(budget, LARGEST // 2))
        feature, weight, tile = centroids(feature, weight, tile, groups)
        flip ^= groups.flip[label]
        label = groups.label[label]
    last = merge_items(feature, weight, tile, budget)
    return Groups(last.label[label], last.flip[label] ^ flip, last.costs, last.further)


def _merge_buckets(feature: np.ndarray, weight: np.ndarray, tile: np.ndarray, least: int) -> Groups:
    """Merge each bucket to its share, all of them to no less than `least`."""
    count = feature.shape[1]
    share = max(1 / SHARE, least / count)
    label, flip = np.empty(count, dtype=np.intp), np.empty(count, dtype=np.uint8)
    start = 0
    for some in _split(_upright(feature), np.arange(count)):
        wanted = max(1, int(share * len(np.unique(tile[some]))))
        groups = merge_items(feature[:, some], weight[some], tile[some], wanted)
        label[some], flip[some] = groups.label + start, groups.flip
        start += int(groups.label.max()) + 1
    nothing = np.zeros(0, dtype=np.float32)
    return Groups(label, flip, nothing, nothing)


def _upright(feature: np.ndarray) -> np.ndarray:
    """Features (D, 4 f) that are the same for all flips of an item: all but their signs."""
    return np.abs(feature).transpose(1, 0, 2).reshape(feature.shape[1], -1)


def _split(flat: np.ndarray, some: np.ndarray) -> list[np.ndarray]:
    """Buckets of items, halved along the feature of largest spread. Ties: the lowest feature."""
    if len(some) <= BUCKET:
        return [some]
    part = flat[some].astype(np.float64)
    # sums of whole numbers, so the spread is the same whichever way they are added
    spread = len(some) * (part * part).sum(axis=0) - part.sum(axis=0) ** 2
    order = some[np.argsort(part[:, int(spread.argmax())], kind="stable")]
    half = len(some) // 2
    return _split(flat, order[:half]) + _split(flat, order[half:])


def centroids(
    feature: np.ndarray, weight: np.ndarray, tile: np.ndarray, groups: Groups
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Features, weights and tiles of groups; a group of several items has a tile of its own."""
    size = int(groups.label.max()) + 1
    order = np.argsort(groups.label, kind="stable")
    starts = np.searchsorted(groups.label[order], np.arange(size))
    turned = turn_features(feature[:, order], groups.flip[order])
    summed = np.add.reduceat(turned * weight[order, None], starts, axis=1, dtype=np.float64)
    whole = np.add.reduceat(weight[order], starts).astype(np.float64)
    first = tile[order[starts]]
    several = np.diff(np.r_[starts, len(order)]) > 1
    first[several] = int(tile.max()) + 1 + np.flatnonzero(several)
    return np.rint(summed / whole[:, None]).astype(np.float32), whole, first
