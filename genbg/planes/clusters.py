"""Clusters: parts of a picture that no sprite can share, so that each is covered by itself.

Two pixels can share a sprite of so many pixels a side only where they lie fewer lines and columns
apart. The picture repeats after its width, so a cluster may reach over its right edge.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from genbg.planes.cover import SIDE


@dataclass(frozen=True, eq=False)
class Cluster:
    """A part of a picture with its place.

    top, left: of its first pixel line and column; left may reach past the picture's width
    ink: (h, w) uint16, 0 where no pixel of this cluster is
    """

    top: int
    left: int
    ink: np.ndarray


def find_clusters(ink: np.ndarray, side: int = SIDE) -> list[Cluster]:
    """Clusters of (N, W) inks, 0 see-through; from the top down, then from the left.

    side: pixels along one side of the largest sprite
    """
    W = ink.shape[1]
    reach = min(side, W)
    label = label_regions(spread(ink > 0, reach))[: len(ink)]
    found = []
    for number in range(1, int(label.max(initial=0)) + 1):
        mine = np.where(label == number, ink, 0)
        cut = cut_column(mine > 0)
        turned = np.roll(mine, -cut, axis=1)
        lines = np.flatnonzero(turned.any(axis=1))
        columns = np.flatnonzero(turned.any(axis=0))
        top, left = int(lines[0]), int(columns[0])
        part = turned[top : lines[-1] + 1, left : columns[-1] + 1]
        found.append(Cluster(top, (left + cut) % W, np.ascontiguousarray(part)))
    return sorted(found, key=lambda cluster: (cluster.top, cluster.left))


def spread(mask: np.ndarray, reach: int) -> np.ndarray:
    """(N + reach - 1, W) bool: every pixel grown to a square, to the right (round) and down."""
    N, W = mask.shape
    wide = np.zeros((N + reach - 1, W), dtype=bool)
    wide[:N] = mask
    for axis in (0, 1):
        grown = 1
        while grown < reach:
            step = min(grown, reach - grown)
            wide |= np.roll(wide, step, axis=axis) if axis else _lowered(wide, step)
            grown += step
    return wide


def _lowered(mask: np.ndarray, step: int) -> np.ndarray:
    lowered = np.zeros_like(mask)
    lowered[step:] = mask[:-step]
    return lowered


def label_regions(mask: np.ndarray) -> np.ndarray:
    """Regions (N, W) int of (N, W) bool that touch along lines or columns, counted from 1.

    The left and the right edge touch. Regions are numbered as their first pixels come, line by
    line.
    """
    runs = list(_runs(mask))
    parent = list(range(len(runs)))

    def root(number: int) -> int:
        while parent[number] != number:
            parent[number] = parent[parent[number]]
            number = parent[number]
        return number

    for one, other in _neighbours(runs, mask.shape[1]):
        a, b = sorted((root(one), root(other)))
        parent[b] = a
    names: dict[int, int] = {}
    label = np.zeros(mask.shape, dtype=np.int32)
    for number, (line, first, last) in enumerate(runs):
        label[line, first:last] = names.setdefault(root(number), len(names) + 1)
    return label


Run = tuple[int, int, int]
"""A run of True: its line, its first column and the one after its last."""


def _runs(mask: np.ndarray) -> Iterator[Run]:
    edges = np.diff(np.pad(mask, ((0, 0), (1, 1))).astype(np.int8), axis=1)
    lines, firsts = np.nonzero(edges == 1)
    lasts = np.nonzero(edges == -1)[1]
    yield from zip(lines.tolist(), firsts.tolist(), lasts.tolist(), strict=True)


def _neighbours(runs: list[Run], width: int) -> Iterator[tuple[int, int]]:
    """Pairs of runs that touch: one above the other, or across the edge on one line."""
    by_line: dict[int, list[int]] = {}
    for number, (line, _, _) in enumerate(runs):
        by_line.setdefault(line, []).append(number)
    for line, numbers in by_line.items():
        if runs[numbers[0]][1] == 0 and runs[numbers[-1]][2] == width:
            yield numbers[0], numbers[-1]
        for one in numbers:
            for other in by_line.get(line - 1, ()):
                if runs[other][1] < runs[one][2] and runs[one][1] < runs[other][2]:
                    yield other, one


def cut_column(mask: np.ndarray) -> int:
    """Where to cut a picture (N, W) that goes round: after its widest run of empty columns.

    Where no column is empty, at the one with the fewest pixels. Ties: the leftmost.
    """
    used = mask.sum(axis=0)
    if used.min() > 0:
        return int(used.argmin())
    W = len(used)
    empty = np.concatenate([used, used]) == 0
    best, length, run = 0, -1, 0
    for column in range(2 * W):
        run = run + 1 if empty[column] else 0
        if run > length and column + 1 >= W:
            best, length = (column + 1) % W, run
    return best
