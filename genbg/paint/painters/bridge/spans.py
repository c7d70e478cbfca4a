"""A bridge's arches: where they stand around the plane, and the openings they cut into its wall."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import hash_words, pick
from genbg.paint.craft.sheet import DEEP, LIT, RIM, SHADE
from genbg.paint.painters.bridge.keys import Keys
from genbg.paint.painters.bridge.masonry import arch_head, arch_mask, arch_ring

RING = 6
"""Pixels of the ring of wedge stones around an arch."""
SOFFIT = 5
"""Pixels of an arch's inner side that show."""


def place_arches(keys: Keys, columns: int, seed: int) -> list[tuple[int, int]]:
    """Openings (first cell column, cells) around the plane, in order; piers lie between them.

    Widths differ by two cells a step, so that an arch's middle is a cell border.
    """
    pier = max(1, keys.pier // CELL)
    usual = max(2, keys.span // CELL // 2 * 2)
    reach = round(keys.variety * usual / 4)
    count = max(1, min(round(columns / (usual + pier)), columns // 3))
    steps = pick(hash_words(seed, "spans"), 2 * reach + 1, np.arange(count)) - reach
    widths = np.maximum(usual + 2 * steps, 2)
    piers = np.full(count, pier)
    _share_out(columns, widths, piers)
    # The first arch stands across the wrap, so that no pier ends there, or under the gatehouse.
    places, at = [], round(keys.gate * columns) - int(widths[0]) // 2
    for width, wall in zip(widths.tolist(), piers.tolist(), strict=True):
        places.append((at % columns, width))
        at += width + wall
    if count > 1 and 2 * int(widths[0]) <= usual - 2 * reach:
        # What is left over is too narrow for an arch: it is one broad pier.
        del places[0]
    return places


def _share_out(columns: int, widths: np.ndarray, piers: np.ndarray) -> None:
    """Make arches and piers add up to the plane, in place: arches by two cells, then piers by one.

    Each arch stays at least two cells wide and each pier one; one arch after the other gives way.
    """
    n = 0
    while (gap := columns - int(widths.sum() + piers.sum())) not in (0, 1):
        place = n % len(widths)
        if gap > 0:
            widths[place] += 2
        elif widths.max() > 2:
            widths[place] -= 2 if widths[place] > 2 else 0
        else:
            piers[place] -= 1 if piers[place] > 1 else 0
        n += 1
    piers[0] += gap


def cut_openings(
    keys: Keys, tone: np.ndarray, arches: list[tuple[int, int]], top: int, foot: int
) -> dict[int, int]:
    """Cut all openings in place; returns {width in cells: line from which sides are straight}."""
    crown = top + keys.deck // CELL * CELL + CELL
    spring = {}
    if keys.tiers == 2:
        small = max(2, keys.span // CELL // 2 // 2 * 2)
        high = (small // 2 + 2) * CELL
        for column, width in _upper_arches(arches, small, tone.shape[1] // CELL):
            _cut(keys, tone, column, width, crown, min(crown + high, foot))
        crown += high + 2 * CELL
    for column, width in arches:
        head = crown + (max(w for _, w in arches) - width) * CELL // 4
        head = head // CELL * CELL
        _cut(keys, tone, column, width, head, foot)
        spring[width] = min(foot, head + arch_head(width * CELL, keys.pointed))
    return spring


def lower_crown(keys: Keys, arches: list[tuple[int, int]], spring: dict[int, int]) -> int:
    """First line of the highest opening of the lower tier; spring: as from `cut_openings`."""
    return min(spring[width] - arch_head(width * CELL, keys.pointed) for _, width in arches)


def _upper_arches(arches: list[tuple[int, int]], small: int, columns: int) -> list[tuple[int, int]]:
    """Small openings above the large ones, as many as fit, and one cell of stone between them."""
    places = []
    for n, (column, _) in enumerate(arches):
        after = arches[(n + 1) % len(arches)][0]
        bay = (after - column) % columns or columns
        count = max(1, bay // (small + 1))
        for k in range(count):
            first = column + (bay * k + count // 2) // count
            room = (bay * (k + 1) + count // 2) // count - (bay * k + count // 2) // count - 1
            places.append((first % columns, min(small, room // 2 * 2)))
    return [(column, width) for column, width in places if width >= 2]


def _cut(keys: Keys, tone: np.ndarray, column: int, width: int, head: int, foot: int) -> None:
    """One opening, its ring of wedge stones and the shaded inner side that shows, in place."""
    lines = foot - head
    if lines <= 0:
        return
    span = width * CELL
    opening = arch_mask(span, lines, keys.pointed)
    ring, joint = arch_ring(span, lines, RING, keys.pointed)
    x = (column * CELL + np.arange(-RING, span + RING)) % tone.shape[1]
    above = max(0, RING - head)
    wall = tone[head - RING + above : foot]
    ring, joint = ring[above:][: len(wall)], joint[above:][: len(wall)]
    # Its upper part faces the light.
    stones = np.where(np.arange(len(ring))[:, None] < span // 6 + RING, RIM, LIT)
    stones = np.where(joint, SHADE, stones)
    wall[:, x] = np.where(ring & (wall[:, x] >= 0), stones, wall[:, x])
    x = (column * CELL + np.arange(opening.shape[1])) % tone.shape[1]
    inner = np.zeros_like(opening)
    inner[:, :SOFFIT] = opening[:, :SOFFIT]
    for n in range(1, SOFFIT + 1):
        inner[:, n:] |= opening[:, n:] & ~opening[:, :-n]
    place = tone[head:foot]
    place[:, x] = np.where(opening, np.where(inner, DEEP, -1), place[:, x])
