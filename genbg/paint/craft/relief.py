"""Height fields: hulls of crests, light on them, cast shadows, and how they are seen.

A height field (Z, W) float64 has a row for each depth, the nearest first, and a column for each of
the plane's, which wrap. Heights and depths are in pixels. `Ground` says where its rows lie: how far
off each is and on which line level ground of that row is seen. Light is (x, up, far): x -1 from the
left .. 1 from the right, `far` above 0 from behind the scene; each a number or one for each column.

Lambert's cosine law gives the light on a face (J. H. Lambert, "Photometria", 1760); shadows are
marched along the light through the field.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.exact import blur, smooth

Light = tuple[np.ndarray | float, float, float]
"""Where light comes from: (x, up, far)."""
UNSEEN = -1
"""Row of a pixel that shows no ground."""
BIAS = 0.6
"""Pixels by which ground has to lie below the ray to the light before it is in shade."""


@dataclass(frozen=True, eq=False)
class Ground:
    """Where the rows of a height field lie, the nearest first.

    base: (Z,) float64, line on which level ground is seen, falling; depth: (Z,) float64, rising
    """

    base: np.ndarray
    depth: np.ndarray

    @property
    def rows(self) -> int:
        return len(self.base)


def oblique(rows: int, foot: float, tilt: float) -> Ground:
    """Ground seen from afar: each pixel of depth lifts it by `tilt` lines; row 0 is at `foot`."""
    depth = np.arange(rows, dtype=np.float64)
    return Ground(foot - tilt * depth, depth)


def receding(near: float, far: float, horizon: float, reach: float, sub: int = 4) -> Ground:
    """Ground in perspective from line `near` up to line `far`, `sub` rows a line.

    A line `h` below the horizon lies at depth reach * log-like steps: one line there spans
    reach / h pixels of depth, as seen by a pinhole (Hartley and Zisserman, ch. 6), where heights
    are drawn alike near and far.
    """
    rows = max(2, int((near - far) * sub))  # ground that lies below the layer still has two rows
    base = near - np.arange(rows, dtype=np.float64) / sub
    span = reach / np.maximum(base - horizon, 1.0) / sub
    depth = np.add.accumulate(span) - span[0]
    return Ground(base, depth)


def wrapped(x: np.ndarray | float, middle: np.ndarray | float, width: int) -> np.ndarray:
    """Signed way (...) float64 from `middle` to x on a plane that wraps: -width/2 .. width/2."""
    x = np.asarray(x, dtype=np.float64)
    return (x - middle + width / 2) % width - width / 2


def hull(
    points: np.ndarray,
    ground: Ground,
    width: int,
    slope: float | tuple[float, float, float, float],
    floor: float = -60.0,
    turned: np.ndarray | None = None,
) -> np.ndarray:
    """Heights (Z, W) of the upper hull of cones that stand on points: crests and flat faces.

    points: (P, 3) float64 of x, depth, height
    slope: fall a pixel: one for all ways, or to the left, to the right, toward us, away from us
    turned: (P,) bool, points whose slopes to left and right change places
    Found by jump flooding (G. Rong and T.-S. Tan, I3D 2006): each place asks its neighbours at
    halving steps which point stands highest above it.
    """
    left, right, toward, away = (slope,) * 4 if isinstance(slope, (int, float)) else slope
    border = min(width, BORDER)
    faces = np.ones(len(points)) if turned is None else np.where(turned, -1.0, 1.0)
    points, faces = _beside(points, faces, width, border)
    wide = width + 2 * border
    xs = np.append(points[:, 0] + border, 0.0).astype(np.float32)
    zs = np.append(points[:, 1], 0.0).astype(np.float32)
    hs = np.append(points[:, 2], NOWHERE).astype(np.float32)
    face = np.append(faces, 1.0).astype(np.float32)
    column = np.clip(np.floor(xs[:-1] + np.float32(0.5)).astype(np.int64), 0, wide - 1)
    row = np.clip(np.searchsorted(ground.depth, points[:, 1]), 0, ground.rows - 1)
    order = np.argsort(hs[:-1], kind="stable")
    best = np.full((ground.rows, wide), len(points), dtype=np.int32)
    best[row[order], column[order]] = order
    x, z = np.arange(wide, dtype=np.float32), ground.depth.astype(np.float32)

    def height(which: np.ndarray, x: np.ndarray, z: np.ndarray) -> np.ndarray:
        across = x - xs[which]
        if turned is not None:
            across *= face[which]
        across *= np.where(across > 0, np.float32(right), np.float32(left))
        down = z - zs[which]
        down *= np.where(down > 0, np.float32(away), np.float32(toward))
        return hs[which] - np.sqrt(across * across + down * down)

    value = height(best, x[None, :], z[:, None])
    for step in JUMPS:
        for down, across in AROUND:
            here, there = _overlap(ground.rows, down * step), _overlap(ground.rows, -down * step)
            mine, other = _overlap(wide, across * step), _overlap(wide, -across * step)
            asked = best[there, other]
            rows, columns = np.nonzero((asked != best[here, mine]) & (asked != len(points)))
            which = asked[rows, columns]
            rows, columns = rows + here.start, columns + mine.start
            high = height(which, x[columns], z[rows])
            better = high > value[rows, columns]
            at = rows[better], columns[better]
            value[at], best[at] = high[better], which[better]
    return np.maximum(value[:, border : border + width].astype(np.float64), floor)


JUMPS = (32, 16, 8, 4, 2, 1, 1)
"""Steps at which a place asks its neighbours which point stands highest above it."""
AROUND = tuple((down, across) for down in (-1, 0, 1) for across in (-1, 0, 1) if down or across)
"""Ways to the neighbours."""
BORDER = 72
"""Columns beyond the plane's edges that are worked out too, so that nothing has to wrap."""
NOWHERE = -1e9
"""Height of no point."""


def _beside(
    points: np.ndarray, faces: np.ndarray, width: int, border: int
) -> tuple[np.ndarray, np.ndarray]:
    """Points and their faces moved onto the plane, and again beside it where near an edge."""
    home = points.copy()
    home[:, 0] = points[:, 0] % width
    left, right = home[:, 0] >= width - border, home[:, 0] < border
    step = np.array([width, 0.0, 0.0])
    return (
        np.concatenate([home, home[left] - step, home[right] + step]),
        np.concatenate([faces, faces[left], faces[right]]),
    )


def _overlap(size: int, step: int) -> slice:
    """Places that have one `step` places before them."""
    return slice(max(0, step), max(0, size + min(0, step)))


def slopes(heights: np.ndarray, ground: Ground) -> tuple[np.ndarray, np.ndarray]:
    """Rise a pixel (Z, W) to the right, and away from us."""
    across = (np.roll(heights, -1, axis=1) - np.roll(heights, 1, axis=1)) * 0.5
    first, last = np.maximum(np.arange(ground.rows) - 1, 0), np.arange(ground.rows) + 1
    last = np.minimum(last, ground.rows - 1)
    span = (ground.depth[last] - ground.depth[first])[:, None]
    return across, (heights[last] - heights[first]) / span


def lambert(heights: np.ndarray, ground: Ground, light: Light) -> np.ndarray:
    """Light (Z, W) -1..1 on the field: the cosine between each face and the way to the light."""
    across, away = slopes(heights, ground)
    x, up, far = light
    x = np.asarray(x, dtype=np.float64)
    long = np.sqrt(x * x + up * up + far * far)
    return (up - across * x - away * far) / np.sqrt(across * across + away * away + 1.0) / long


def shaded(
    heights: np.ndarray,
    ground: Ground,
    light: Light,
    reach: float = 60.0,
    step: float = 2.0,
    caster: np.ndarray | None = None,
) -> np.ndarray:
    """Pixels (Z, W) bool that ground between them and the light keeps dark.

    caster: (Z, W) heights of what throws shadows, where that is more than the ground itself
    reach: pixels that are marched, in steps of `step` along x and depth
    """
    x, up, far = light
    width = heights.shape[1]
    span = np.maximum(np.diff(ground.depth, append=2 * ground.depth[-1] - ground.depth[-2]), 1e-6)
    row, column = np.arange(ground.rows)[:, None], np.arange(width)[None, :]
    side = np.broadcast_to(np.asarray(x, dtype=np.float64), (width,))[None, :]
    dark = np.zeros(heights.shape, dtype=bool)
    caster = heights if caster is None else np.maximum(heights, caster)
    for n in range(1, int(reach / step) + 1):
        t = n * step
        there = np.floor(row + far * t / span[:, None] + 0.5).astype(np.int64)
        beside = np.floor(column + side * t + 0.5).astype(np.int64) % width
        inside = (there >= 0) & (there < ground.rows)
        above = caster[np.clip(there, 0, ground.rows - 1), beside] - heights - up * t
        dark |= inside & (above > BIAS)
    return dark


def planes(light: np.ndarray, edges: Sequence[float], tones: Sequence[float]) -> np.ndarray:
    """Tones (...) float64 of light cut into flat planes; edges rise, tones are one more."""
    return np.asarray(tones, dtype=np.float64)[np.searchsorted(np.asarray(edges), light)]


def broad(heights: np.ndarray, ground: Ground, light: Light, brush: int) -> np.ndarray:
    """Light (Z, W) on the field's large forms only, so that big planes stay whole."""
    return lambert(blur(heights, brush), ground, light)


def seen(
    heights: np.ndarray, ground: Ground, lines: int, clip: np.ndarray | None = None
) -> np.ndarray:
    """Row of the field (lines, W) int64 that each pixel shows; `UNSEEN` where it shows none.

    clip: (Z, W) bool, ground that is not drawn
    """
    top = np.floor(ground.base[:, None] - heights + 0.5)
    if clip is not None:
        top = np.where(clip, np.inf, top)
    top = np.minimum.accumulate(top, axis=0)
    line = np.arange(lines)[:, None]
    row = np.zeros((lines, heights.shape[1]), dtype=np.int64)
    for over in top:
        row += over[None, :] > line
    return np.where(row < ground.rows, row, UNSEEN)


def read(values: np.ndarray, row: np.ndarray) -> np.ndarray:
    """A value (lines, W) for each pixel from those of the field (Z, W), by the rows it shows."""
    return values[np.maximum(row, 0), np.arange(row.shape[1])[None, :]]


def hidden_step(row: np.ndarray, ground: Ground) -> np.ndarray:
    """Pixels of depth (lines, W) that lie hidden behind each pixel's upper edge; sky counts 999."""
    depth = np.where(row == UNSEEN, ground.depth[-1] + 999.0, ground.depth[np.maximum(row, 0)])
    above = np.concatenate([depth[:1], depth[:-1]])
    return above - depth


def cut_way(
    heights: np.ndarray, off: np.ndarray, deep: np.ndarray | float, lip: np.ndarray | float
) -> np.ndarray:
    """Heights with a way cut in: a flat bed, steep sides, what was thrown out as a rim.

    off: (Z, W) distance from the way's middle in half widths; deep, lip: pixels
    """
    off = np.abs(off)
    level = heights * (1.0 - 0.5 * smooth(off, 2.6, 1.0))
    bed = smooth(off, 1.02, 0.72)
    rim = np.maximum(0.0, 1.0 - np.abs(off - 1.16) / 0.22)
    return level - deep * bed + lip * rim * rim


def side_light(x: float | None, width: int, light: float, turn: float = 0.66) -> np.ndarray:
    """From which side light falls on each column (W,): -1 left .. 1 right.

    x: where the sun or moon stands; None: all from the side of `light`
    Right of the body light comes from the left and the other way round; where the two meet, `turn`
    of the width on, it comes from the front.
    """
    if x is None:
        return np.full(width, 1.0 if light > 0 else -1.0)
    back = (1.0 - turn) * width
    off = (np.arange(width) - x + back) % width - back
    near = -off / np.sqrt(off * off + NEAR_BODY * NEAR_BODY)
    end = np.minimum(off + back, turn * width - off)
    return near * smooth(end, 0.0, TURN_SOFT)


NEAR_BODY = 40.0
"""Pixels beside the body within which light comes from behind more than from the side."""
TURN_SOFT = 44.0
"""Pixels over which the side of the light turns about."""
