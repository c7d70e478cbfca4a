"""Stones and cliffs: hulls of random planes in one depth picture, so that they overlap truly.

A stone is the space under a handful of planes that lean every way; what the eye meets first in a
pixel is the lowest of them there. Each plane is one facet with one normal, so light lies on it as a
whole (Lambert's cosine law). Two lights count: the sun's, warm and from one side, and the sky's,
cool and from above; whichever is stronger decides whether a pixel takes the warm or the cool ramp.

x runs right, y down, z toward the eye; columns wrap.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.edges import shifted
from genbg.paint.craft.exact import blur, cosine, sine, smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words, unit

EMPTY = -1e9
"""Depth where there is no stone."""
STRIDE = 64
"""Facet numbers that each stone may use."""
ROOM = 1.35
"""How far planes may cut outside a stone's radii."""
MARCH = 22
"""Steps along which a shadow is looked for; each is 1.5 pixels."""


class StonePicture:
    """Stones gathered so far.

    depth: (N, W) float64, `EMPTY` where there is none; normal: (3, N, W); facet: (N, W) int64
    """

    def __init__(self, lines: int, width: int, seed: int, bend: float = 1.1):
        self.depth = np.full((lines, width), EMPTY)
        self.normal = np.zeros((3, lines, width))
        self.facet = np.full((lines, width), -1, dtype=np.int64)
        self.count = 0
        cells = max(2, 90 * width // 512)
        bends = [
            fractal(width, lines, hash_words(seed, way), cells, 1 / 6.0, octaves=2)
            for way in ("across", "down")
        ]
        self.bend = 1.8 * bend * np.stack(bends).astype(np.float64)

    @property
    def cover(self) -> np.ndarray:
        return self.depth > EMPTY / 2

    @property
    def size(self) -> tuple[int, int]:
        lines, width = self.depth.shape
        return lines, width


@dataclass(frozen=True)
class Stone:
    """One stone: its middle x, y, z in pixels, half its width and height, how many planes cut it.

    sunny: side (-1 left, 1 right) on which it has a plane that faces the sun; 0: none on purpose
    tall: above 1 its planes stand steep, as on a cliff
    """

    x: float
    y: float
    z: float
    wide: float
    high: float
    planes: int = 14
    sunny: float = 0.0
    tall: float = 1.0
    seed: int = 0


def planes_of(stone: Stone) -> np.ndarray:
    """Planes (n, 4) float64: unit normal x, y, z (z > 0), and how far from the middle, 0..1.

    Every second one is steep, so that outlines are cut too.
    """
    n = np.arange(stone.planes)
    turn, lean, reach, start = (unit(stone.seed, n, k) for k in range(4))
    angle = start[0] + (2.0 * n + 0.8 * (turn - 0.5)) / stone.planes
    toward = (0.12 + 0.83 * lean) * np.where(n % 2 == 1, 0.45, 1.0)
    flat = np.sqrt(1.0 - toward * toward)
    x, y = cosine(angle) * flat, sine(angle) * flat / stone.tall
    away = 0.84 + 0.22 * reach
    if stone.sunny:
        x[0], y[0], toward[0] = stone.sunny * (0.55 + 0.25 * turn[0]), -0.15 - 0.25 * lean[0], 0.5
        away[0] = 0.62 + 0.2 * reach[0]
    long = np.sqrt(x * x + y * y + toward * toward)
    return np.stack([x / long, y / long, toward / long, away], axis=1)


def add_stone(picture: StonePicture, stone: Stone) -> None:
    """Put a stone into the depth picture; what stands nearer stays."""
    lines, width = picture.size
    wide, high = stone.wide * ROOM, stone.high * ROOM
    rows = np.arange(max(0, int(stone.y - high)), min(lines, int(stone.y + high) + 1))
    columns = np.arange(int(stone.x - wide), int(stone.x + wide) + 1)[:width]
    if not len(rows):
        return
    part = np.ix_(rows, columns % width)
    x = (columns[None, :] + 0.5 + picture.bend[0][part] - stone.x) / stone.wide
    y = (rows[:, None] + 0.5 + picture.bend[1][part] - stone.y) / stone.high
    planes = planes_of(stone)
    depth, facet = np.full(x.shape, np.inf), np.zeros(x.shape, dtype=np.int64)
    for number, (nx, ny, nz, away) in enumerate(planes.tolist()):
        here = (away - nx * x - ny * y) / nz
        facet = np.where(here < depth, number, facet)
        depth = np.minimum(depth, here)
    inside = (depth > 0.0) & (x * x / 1.6 + y * y / 1.8 < 1.0)
    depth = depth * min(stone.wide, stone.high) + stone.z
    seen = inside & (depth > picture.depth[part])
    picture.depth[part] = np.where(seen, depth, picture.depth[part])
    for axis in range(3):
        face = planes[facet, axis]
        picture.normal[axis][part] = np.where(seen, face, picture.normal[axis][part])
    own = picture.count * STRIDE + facet
    picture.facet[part] = np.where(seen, own, picture.facet[part])
    picture.count += 1


def shadows(depth: np.ndarray, toward: tuple[float, float], rise: float = 0.3) -> np.ndarray:
    """How deep (N, W) float64 each place lies under what stands between it and the light.

    toward: unit vector to the light in the picture; rise: how much the ray climbs a step
    """
    deepest = np.zeros(depth.shape)
    for step in range(1, MARCH):
        dx, dy = round(1.5 * toward[0] * step), round(1.5 * toward[1] * step)
        deepest = np.maximum(deepest, shifted(depth, dx, dy) - depth - rise * step)
    return np.where(depth > EMPTY / 2, deepest, 0.0)


@dataclass(frozen=True, eq=False)
class StoneLight:
    """Shares (N, W) float64, 0..1: warm, from the sun, and cool, from the sky; edge: bool ridges.

    sunlit: (N, W) bool, where the sun decides
    """

    warm: np.ndarray
    cool: np.ndarray
    edge: np.ndarray

    @property
    def sunlit(self) -> np.ndarray:
        return self.warm >= 0.92 * self.cool


def light_stones(
    picture: StonePicture,
    sun: tuple[float, float, float],
    foot: np.ndarray,
    seed: int,
    bounce: bool = False,
    back: float = 0.0,
) -> StoneLight:
    """Light on all stones.

    sun: unit vector to the sun (x right, y down, z toward the eye)
    foot: (W,) row of the waterline, toward which stone is wet and dark
    bounce: cool light comes from below, as off a sea of cloud, in place of from the sky
    back: 0..1, how much the sun stands behind: then outer edges shine and the sky gives less
    """
    lines, width = picture.size
    nx, ny, nz = picture.normal
    facing = nx * sun[0] + ny * sun[1] + nz * sun[2]
    flat = float(np.sqrt(sun[0] * sun[0] + sun[1] * sun[1])) + 1e-9
    shadow = shadows(picture.depth, (sun[0] / flat, sun[1] / flat))
    shadow = np.clip(shadow / 3.0, 0.0, 1.0)
    grain, big = _grains(lines, width, seed)
    rows = np.arange(lines)[:, None]
    wet = smooth(rows - foot[None, :], -10.0, 0.0)
    edge = (picture.facet != shifted(picture.facet, 1, 0)) & picture.cover
    edge |= (picture.facet != shifted(picture.facet, 0, 1)) & picture.cover
    lit = np.clip(facing - 0.16, 0.0, 1.0) * (1.0 - 0.92 * shadow)
    warm = 0.08 + 0.86 * lit + 0.1 * (grain + big) * lit - 0.22 * wet
    warm = warm + np.where(edge & (facing > 0.3) & (shadow < 0.4), 0.14, 0.0)
    warm = warm + (0.34 + 0.5 * back) * _rims(picture, sun, shadow, big)
    up = 0.9 * ny if bounce else -0.9 * ny
    sky = np.clip(up + 0.15 * nz, 0.0, 1.0)
    cool = 0.13 + (0.5 - 0.16 * back) * sky + 0.08 * (grain + big) * (sky > 0.2) - 0.1 * wet
    cool = cool + np.where(edge & (sky > 0.35), 0.12, 0.0) + 0.05 * nz * (sky < 0.3)
    return StoneLight(np.clip(warm, 0, 1), np.clip(cool, 0, 1), edge)


def _grains(lines: int, width: int, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """Fine and broad unevenness of stone, about -1 .. 1."""
    fine = fractal(width, lines, hash_words(seed, "fine"), width // 4, 1 / 3.0, octaves=2)
    broad = fractal(width, lines, hash_words(seed, "broad"), width // 21, 1 / 12.0, octaves=2)
    return 1.4 * fine.astype(np.float64), 1.4 * broad.astype(np.float64)


def _rims(
    picture: StonePicture, sun: tuple[float, float, float], shadow: np.ndarray, big: np.ndarray
) -> np.ndarray:
    """Lit outer edges (N, W), 0..1, on the sun's side, found and lost along the stone."""
    solid = picture.cover.astype(np.float64)
    soft = blur(solid, 2, 2, 1)
    across = shifted(soft, 1, 0) - shifted(soft, -1, 0)
    down = shifted(soft, 0, 1) - shifted(soft, 0, -1)
    long = np.sqrt(across * across + down * down) + 1e-6
    facing = np.clip(-(across * sun[0] + down * sun[1]) / long, 0.0, 1.0)
    return facing * (soft < 0.86) * np.clip(0.6 + 1.2 * big, 0.0, 1.0) * (1.0 - 0.6 * shadow)
