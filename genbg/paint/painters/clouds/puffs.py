"""Puffs: small heaps of cloud, drawn once as stamps of whole cells and used again and again.

Clouds drawn pixel by pixel make every cell unlike the next. Here a cloud is put together from a few
stamps on the cell grid, back to front: a puff is lit at its top and plain below, so where a nearer
puff's lit top lies before a farther one's plain lower part, the same tiles come back.

Inks of a stamp: 0 see-through, 1 deepest shade, ... `steps` highlight.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.dither import dither_levels, threshold_plane
from genbg.paint.craft.edges import CELL, clean_mask, lit_share, paste
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words, pick, pick_one, unit

SIZES = ((3, 2), (4, 3), (6, 4), (8, 6))
"""Stamps' widths and heights in cells, from small to large."""
DEEPEST = 1
"""Ink of what lies in the shade of all."""
BODY = 2
"""Ink of a puff's plain foot and of the body that puffs stand before."""
INNER_COLUMNS, INNER_ROWS = 6, 3
"""Cells between the large puffs before a body: near enough to fill it, too far to pile up."""
LANDMARK = 2
"""Number of the smallest stamp that catches the eye where it is seen twice."""
SCREEN = 40
"""Cells that are seen at once."""
BUMPS = 7
"""Round heads along the outline of a puff."""


@dataclass(frozen=True)
class Shading:
    """How puffs are shaded.

    steps: inks; light: where it comes from; plain, grain: of the dither
    relief: how far levels rise from the body's toward the highlight, 0..1
    """

    steps: int
    light: tuple[float, float]
    plain: float = 0.3
    grain: int = 4
    relief: float = 1.0


def draw_puff(columns: int, rows: int, seed: int, shading: Shading) -> np.ndarray:
    """A puff's inks (8 * rows, 8 * columns) int32: heads along a dome over a plain foot."""
    width, height = columns * CELL, rows * CELL
    number = np.arange(BUMPS)
    u, v, w = (unit(seed, number, n) for n in range(3))
    t = (number + 0.25 + 0.5 * u) / BUMPS
    dome = 4.0 * t * (1.0 - t)
    x = np.concatenate([width * (0.11 + 0.78 * t), width * np.array([0.5, 0.3, 0.7])])
    y = np.concatenate(
        [height * (0.88 - 0.56 * dome * (0.85 + 0.3 * v)), height * np.array([0.8, 0.95, 0.95])]
    )
    radius = np.concatenate(
        [width * (0.13 + 0.11 * w + 0.03 * dome), width * np.array([0.3, 0.22, 0.22])]
    )
    radius = np.minimum(np.minimum(radius, np.minimum(x, width - x) - 1.0), y - 1.0)
    heights, mask = _bulge(width, height, seed, np.stack([x, y, radius]))
    lit = np.clip(lit_share(heights, shading.light), -0.3, 1.2)
    up = 0.75 - (np.arange(height) + 0.5)[:, None] / height
    rise = (2.2 * lit + 2.4 * up) * (shading.steps - 1) * 0.25 * shading.relief
    levels = np.maximum(1.0 + rise, 1.0)
    shade = dither_levels(levels, shading.steps, 0, shading.grain, shading.plain)
    return np.where(mask, 1 + shade, 0)


def _bulge(width: int, height: int, seed: int, heads: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Heights (h, w) of a union of balls (3, n) x, y, radius with a frayed edge, and its mask."""
    across = (np.arange(width) + 0.5)[None, :]
    down = (np.arange(height) + 0.5)[:, None]
    fray = fractal(64, height, seed, 8, octaves=2)[:, :width] * 1.8
    heights = np.full((height, width), -np.inf)
    for x, y, radius in heads.T:
        square = (across - x) * (across - x) + (down - y) * (down - y)
        ball = np.sqrt(np.maximum(radius * radius - square, 0.0)) + (y - height * 0.5) * 0.35
        edge = np.maximum(radius + fray, 0.0)
        heights = np.where(square < edge * edge, np.maximum(heights, ball), heights)
    drawn = heights > -np.inf
    mask = clean_mask(np.pad(drawn, ((0, 0), (1, 1))), 2)[:, 1:-1]
    heights = np.where(mask & ~drawn, 0.0, heights)
    return np.where(mask, heights, heights[mask].min()), mask


Library = tuple[tuple[np.ndarray, ...], ...]
"""Stamps [size][variant]."""


def puff_library(seed: int, shading: Shading, variants: int) -> Library:
    """All sizes in `variants` shapes each."""
    return tuple(
        tuple(draw_puff(w, h, hash_words(seed, size, v), shading) for v in range(variants))
        for size, (w, h) in enumerate(SIZES)
    )


def dome_crown(seed: int, wide: int, high: int) -> np.ndarray:
    """Heights (wide,) int64 in cells of one cloud: a leaning dome with hashed heads."""
    peak = 35 + pick_one(seed, 31, "peak")
    share = (2 * np.arange(wide) + 1) * 50 // wide
    lean = np.where(share < peak, share * 50 // peak, 100 - (100 - share) * 50 // (100 - peak))
    head = pick(seed, 3, np.arange(wide) // 3) - 1
    tops = 1 + ((high - 1) * 4 * lean * (100 - lean) + 5000) // 10000 + (head if high > 5 else 0)
    ends = 2 + np.minimum(np.arange(wide), np.arange(wide)[::-1])
    return np.clip(np.minimum(tops, ends), 2, high)


def mass(
    picture: np.ndarray,
    library: Library,
    seed: int,
    tops: np.ndarray,
    left: int,
    base: int,
    full: float = 0.8,
    inner: Library | None = None,
    ring: bool = False,
) -> None:
    """Draw a mass of cloud in place on the cell grid, its flat base at cell row `base`.

    picture: (N, W) inks whose row 0 is a cell border, wrapping
    tops: (n,) heights in cells of the crown at n cell columns from `left`
    full: share of the body that large puffs stand before; the rest is plain hollows, 0..1
    inner: stamps of those, where they differ from the crown's
    ring: the crown goes all the way round and closes
    """
    _fill_body(picture, tops, left, base, ring)
    puffs = [(*puff, library) for puff in _crown_puffs(seed, tops, ring)]
    puffs += [(*puff, inner or library) for puff in _inner_puffs(seed, tops, ring, full)]
    shown = _Shown(len(tops) if ring else 0)
    for z, station, size, source in sorted(puffs, key=lambda puff: puff[:3]):
        while size and (SIZES[size][1] > -z or SIZES[size][0] > len(tops)):
            size -= 1
        w, h = SIZES[size]
        column = station - w // 2 + 1
        if not ring:
            column = min(max(column, 0), len(tops) - w)
        variant = pick_one(seed, len(source[size]), station, -z, "stamp")
        if size >= LANDMARK:
            size, variant = shown.choose(z, column, size, variant, len(source[size]))
            w, h = SIZES[size]
        stamp = source[size][variant]
        paste(picture, stamp, (left + column) * CELL, (base - max(-z, h)) * CELL)
    _close_holes(picture[: max(0, base * CELL)])


class _Shown:
    """Which large stamps a mass has shown where, so that none is seen twice on one screen."""

    def __init__(self, around: int):
        """around: cells after which a ring closes; 0 for a mass that has two ends"""
        self._around = around
        self._columns: dict[tuple[int, int, int], list[int]] = {}

    def choose(self, row: int, column: int, size: int, first: int, count: int) -> tuple[int, int]:
        """Size and variant for a place: the first variant that is not near, else a small stamp."""
        for turn in range(count):
            variant = (first + turn) % count
            places = self._columns.setdefault((row, size, variant), [])
            if all(self._far(column - other) for other in places):
                places.append(column)
                return size, variant
        return LANDMARK - 1, first

    def _far(self, away: int) -> bool:
        away = abs(away)
        if self._around:
            away = min(away, self._around - away)
        return away >= SCREEN


def _close_holes(picture: np.ndarray) -> None:
    """Fill in place with body what lies under cloud and has cloud near on both sides."""
    cloud = picture > 0
    left = right = cloud
    for step in (1, 2, 4, 8, 16):
        left = left | np.roll(left, step, axis=1)
        right = right | np.roll(right, -step, axis=1)
    picture[~cloud & np.logical_or.accumulate(cloud, axis=0) & left & right] = BODY


def _crown_puffs(seed: int, tops: np.ndarray, ring: bool) -> list[tuple[int, int, int]]:
    """(-height, column, size) of the heads along the crown, and of those down its steep sides."""
    puffs = []
    count = len(tops)
    for station in range(0, count, 2):
        tall = int(tops[station])
        beside = (
            [(station - 2) % count, (station + 2) % count]
            if ring
            else [max(0, station - 2), min(count - 1, station + 2)]
        )
        lowest = min(int(tops[n]) for n in beside)
        if not ring and station in (0, count - 1, count - 2):
            lowest = 0
        size = 0 if tall < 3 else 2 if tall > 3 and pick_one(seed, 3, station) == 0 else 1
        puffs.append((-tall, station, size))
        puffs.extend((-z, station, 1) for z in range(tall - 2, max(lowest, 1), -2))
    return puffs


def _inner_puffs(
    seed: int, tops: np.ndarray, ring: bool, full: float
) -> list[tuple[int, int, int]]:
    """(-height, column, size) of the large puffs before the body, in groups."""
    puffs = []
    count, most = len(tops), int(tops.max())
    groups = fractal(count, most + 1, seed, max(1, count // 10), 0.16, octaves=2)
    level = np.sort(groups, axis=None)[min(groups.size - 1, int(groups.size * (1.0 - full)))]
    for row, z in enumerate(range(most - 3, 2, -INNER_ROWS)):
        for station in range(2 + row % 2 * INNER_COLUMNS // 2, count - 1, INNER_COLUMNS):
            luck = pick_one(seed, 6, row, station, "in")
            column, up = (station + luck % 3 - 1) % count, z - luck // 3
            if SIZES[2][1] <= up <= tops[column] - 2 and groups[up, column] >= level:
                puffs.append((-up, column, 3 if tops[column] > 5 else 2))
    return puffs


def _fill_body(picture: np.ndarray, tops: np.ndarray, left: int, base: int, ring: bool) -> None:
    """Plain body ink under the crown, well within its outline."""
    padded = np.pad(tops, 1, mode="wrap" if ring else "constant")
    inside = np.min([padded[n : n + len(tops)] for n in range(3)], axis=0) - 2
    for column, tall in enumerate(inside.tolist()):
        if tall > 0:
            columns = (np.arange(CELL) + (left + column) * CELL) % picture.shape[1]
            picture[max(0, (base - tall) * CELL) : max(0, base * CELL), columns] = BODY


def shade_body(ink: np.ndarray, base: int, depth: int, grain: int = 4) -> None:
    """Darken the plain body in place toward its base: lines base - depth .. base, in pixels."""
    lines = np.arange(max(0, base - depth), min(base, len(ink)))
    if len(lines) == 0:
        return
    dark = (lines - (base - depth)) * (grain * grain + 1) // depth
    part = ink[lines]
    mask = (part == BODY) & (
        dark[:, None] > threshold_plane(len(lines), ink.shape[1], int(lines[0]), grain)
    )
    part[mask] = DEEPEST
    ink[lines] = part
