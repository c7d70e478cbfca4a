"""Wood: trunks, boughs and roots as swept spheres in one height buffer, with bark and moss.

A limb is a line of points with a radius at each. A sphere swept along it leaves its height where it
is nearer to the eye than what lies there, so that boughs, trunk and roots flow into one another and
every pixel knows its normal, its place along the limb and its place across it.

x runs right over the plane's columns and wraps, y down over the layer's lines; the normal's third
part looks at the eye.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.exact import fall, sine, smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import bell, between, hash_words, unit

EMPTY = -1e9
"""Height of a pixel without wood."""
LEAST_RADIUS = 0.55
"""Thinnest limb in pixels: thinner ones would break up."""
FLARE = 1.1
"""Radii above its foot at which a trunk's spread has fallen to a third."""
BARK_LINES, BARK_COLUMNS = 512, 256
"""Size of the bark's texture: along the wood, and around it, where it repeats."""


def rounded(points: np.ndarray, rounds: int = 2) -> np.ndarray:
    """Points (n, k) with their corners cut off, ends kept.

    G. Chaikin, "An algorithm for high-speed curve generation", Computer Graphics and Image
    Processing 3, 1974.
    """
    points = np.asarray(points, dtype=np.float64)
    for _ in range(rounds):
        near = points[:-1] * 0.75 + points[1:] * 0.25
        far = points[:-1] * 0.25 + points[1:] * 0.75
        cut = np.stack([near, far], axis=1).reshape(-1, points.shape[1])
        points = np.concatenate([points[:1], cut, points[-1:]])
    return points


def bough(
    start: tuple[float, float, float],
    end: tuple[float, float, float],
    seed: int,
    bend: float = 0.0,
    wobble: float = 1.0,
    count: int = 10,
) -> np.ndarray:
    """A limb's points (count, 3): x, y, radius, between two ends.

    bend: pixels by which its middle leaves the straight line, to the right of its way if above 0
    wobble: size of its small turns, pixels
    """
    t = np.arange(count) / (count - 1)
    belly = sine(t / 2)
    (x0, y0, r0), (x1, y1, r1) = start, end
    length = max(1e-6, float(np.sqrt((x1 - x0) * (x1 - x0) + (y1 - y0) * (y1 - y0))))
    drift = np.add.accumulate(bell(seed, np.arange(count))) * (wobble / 3.0)
    off = (bend + drift) * belly
    x = x0 + (x1 - x0) * t - (y1 - y0) / length * off
    y = y0 + (y1 - y0) * t + (x1 - x0) / length * off
    return np.stack([x, y, r0 + (r1 - r0) * t], axis=1)


class Wood:
    """The height buffer of a layer's wood.

    height: (N, W) float64, `EMPTY` where there is none
    nx, ny: (N, W), the normal to the right and down, -1..1
    along, across: (N, W), pixels from the limb's start; -1..1 from its left to its right side
    radius: (N, W), the limb's; part: (N, W) int64, the number its maker gave it
    """

    def __init__(self, lines: int, width: int):
        size = lines, width
        self.height = np.full(size, EMPTY)
        self.nx, self.ny = np.zeros(size), np.zeros(size)
        self.along, self.across = np.zeros(size), np.zeros(size)
        self.radius = np.zeros(size)
        self.part = np.full(size, -1, dtype=np.int64)

    @property
    def there(self) -> np.ndarray:
        """Pixels (N, W) bool of wood."""
        return self.height > EMPTY / 2

    @property
    def nz(self) -> np.ndarray:
        """The normal's part toward the eye (N, W)."""
        return np.sqrt(np.maximum(1.0 - self.nx * self.nx - self.ny * self.ny, 0.0))

    def sweep(self, points: np.ndarray, part: int = 0, depth: float = 0.0, rounds: int = 2) -> None:
        """Sweep a sphere along points (n, 3): x, y, radius.

        depth: nearer to the eye by so much; rounds: of cutting corners
        """
        points = rounded(points, rounds)
        points[:, 2] = np.maximum(points[:, 2], LEAST_RADIUS)
        x0, y0, r0 = points[:-1].T
        vx, vy, vr = (points[1:] - points[:-1]).T
        square = vx * vx + vy * vy
        length = np.sqrt(square)
        gone = np.add.accumulate(length) - length if len(length) else length
        which, line, column = self._around(points, length)
        x0, y0, r0, vx, vy, vr = (one[which] for one in (x0, y0, r0, vx, vy, vr))
        x, y = column - x0, line - y0
        t = np.clip((x * vx + y * vy) / square[which], 0.0, 1.0)
        radius = r0 + vr * t
        dx, dy = x - vx * t, y - vy * t
        room = radius * radius - dx * dx - dy * dy
        tall = np.sqrt(np.maximum(room, 0.0)) + depth
        here = self._highest(line * self.height.shape[1] + column % self.height.shape[1], tall,
                             room >= 0.0)  # fmt: skip
        at = line[here], column[here] % self.height.shape[1]
        which, r, dx, dy, vx, vy = (one[here] for one in (which, radius, dx, dy, vx, vy))
        self.height[at], self.part[at], self.radius[at] = tall[here], part, r
        self.nx[at], self.ny[at] = dx / r, dy / r
        self.along[at] = gone[which] + t[here] * length[which]
        self.across[at] = (dy * vx - dx * vy) / length[which] / r

    def _around(
        self, points: np.ndarray, length: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Pixels (n,) about the straight pieces between points: piece, line, column."""
        low, high = np.minimum(points[:-1], points[1:]), np.maximum(points[:-1], points[1:])
        most = high[:, 2] + 1.0
        top = np.maximum(np.floor(low[:, 1] - most), 0).astype(np.int64)
        bottom = np.minimum(np.trunc(high[:, 1] + most) + 1, len(self.height)).astype(np.int64)
        left = np.floor(low[:, 0] - most).astype(np.int64)
        wide = np.trunc(high[:, 0] + most).astype(np.int64) + 1 - left
        count = np.where(length < LEAST_LENGTH, 0, np.maximum(bottom - top, 0) * wide)
        which = np.repeat(np.arange(len(count)), count)
        number = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
        return which, top[which] + number // wide[which], left[which] + number % wide[which]

    def _highest(self, place: np.ndarray, tall: np.ndarray, there: np.ndarray) -> np.ndarray:
        """Which (k,) of some heights are the highest of their place, the first of equals, and
        higher than what stands there; there: (n,) bool, which count at all."""
        found = np.flatnonzero(there)
        found = found[tall[found] > self.height.reshape(-1)[place[found]]]
        found = found[np.lexsort((-tall[found], place[found]))]
        first = np.ones(len(found), dtype=bool)
        first[1:] = place[found][1:] != place[found][:-1]
        return found[first]


LEAST_LENGTH = 1e-9
"""Pixels below which two points are one."""


def bark_grain(wood: Wood, seed: int, wide: float = 2.0, long: float = 13.0) -> np.ndarray:
    """Bark (N, W) float64, about 0..1: furrows that follow the wood around and along.

    wide, long: size of a furrow in pixels
    """
    cells = max(1, round(BARK_COLUMNS / wide))
    coarse = max(1, round(cells / 2.5))
    fine = fractal(BARK_COLUMNS, BARK_LINES, seed, cells, 1.0 / long, 1)
    rough = fractal(BARK_COLUMNS, BARK_LINES, hash_words(seed, "rough"), coarse, 0.6 / long, 1)
    table = 0.5 + 0.55 * fine.astype(np.float64) + 0.45 * rough.astype(np.float64)
    s = wood.across
    around = s + s * s * s / 6.0 + 0.2 * s * s * s * s * s  # the angle, by its first powers
    column = np.floor(around * wood.radius * 1.15 + wood.part * 53).astype(np.int64)
    return table[np.floor(wood.along).astype(np.int64) % BARK_LINES, column % BARK_COLUMNS]


def toward_light(wood: Wood, light: tuple[float, float]) -> np.ndarray:
    """How far (N, W) the wood turns to the light's side, -1..1: the cosine, drawn across it."""
    lx, ly = light
    size = max(1e-6, float(np.sqrt(lx * lx + ly * ly)))
    side = (1.0 if lx > 0 else -1.0) * max(abs(lx) / size, 0.85)
    return wood.nx * side - wood.ny * (ly / size) * 0.55


def bark_tone(wood: Wood, grain: np.ndarray, light: tuple[float, float]) -> np.ndarray:
    """Share (N, W) float64 of a bark ramp, 0 dark .. 1 light, lit from the side and behind.

    Wood before a bright place is dark at its middle and lit along the side that the light grazes;
    its grain speaks in the light and is nearly silent in the dark.
    light: toward it, (x, y) with y up
    """
    toward = toward_light(wood, light)
    rim = smooth(toward, 0.38, 0.86)
    lit = smooth(toward, -0.35, 0.35)
    thick = smooth(wood.radius, 1.2, 5.0)
    tone = 0.15 + 0.62 * rim + 0.13 * smooth(toward, 0.0, 0.7)
    return tone + (grain - 0.5) * thick * (0.14 + 0.78 * lit)


def grow_roots(
    wood: Wood,
    foot: tuple[float, float, float],
    seed: int,
    part: int,
    count: int = 6,
    lowest: float = 1e9,
) -> None:
    """Buttress roots that flow out of a trunk and grip the ground.

    foot: x, y, radius of the trunk where it meets the ground; lowest: line that none goes below
    """
    x, y, r = foot
    for n in range(count):
        own = hash_words(seed, n)
        f = (n / max(1, count - 1) - 0.5) * 2.0 + between(own, -0.13, 0.13, 0)
        side = abs(f)
        long = r * (0.35 + 0.75 * side) + between(own, 1.0, 7.0, 1)
        out = x + f * (r * 1.2 + long)
        low = min(lowest, y + 2.0 + between(own, 0.0, 4.0, 2) + (1.0 - side) * 7.0)
        size = 1.25 - 0.35 * side
        bow = between(own, -0.12, 0.12, 3) * long
        points = [
            (x + f * r * 0.45, y - r * 1.7 - between(own, 0.0, 6.0, 4), r * 0.22),
            (x + f * r * 0.80, y - r * 0.95, r * 0.36),
            (x + f * r * 1.10, y - r * 0.35 + bow, r * 0.40 * size),
            (x + f * (r * 1.2 + long * 0.35), y + (low - y) * 0.45 - bow, r * 0.31 * size),
            (x + f * (r * 1.2 + long * 0.70), y + (low - y) * 0.75 + bow, r * 0.20 * size),
            (out, low + 1.0, 0.8),
        ]
        wood.sweep(np.array(points), part, 0.4)


def grow_trunk(
    wood: Wood,
    foot: tuple[float, float, float],
    top: tuple[float, float, float],
    seed: int,
    part: int,
    bend: float = 4.0,
) -> np.ndarray:
    """A trunk that spreads at its foot; returns its points (n, 3): x, y, radius, from the foot up.

    foot, top: x, y, radius
    """
    sway = bend * float(bell(hash_words(seed, "sway"), 0)[0])
    points = bough(foot, top, seed, sway, 1.6, 18)
    up = (foot[1] - points[:, 1]) / (FLARE * foot[2])
    points[:, 2] *= 1.0 + 0.30 * fall(np.maximum(up, 0.0))
    wood.sweep(points, part)
    return points


def grow_boughs(
    wood: Wood,
    trunk: np.ndarray,
    seed: int,
    part: int,
    lines: tuple[float, float],
    count: int = 3,
    reach: tuple[float, float] = (40.0, 80.0),
) -> list[np.ndarray]:
    """Boughs with twigs, on both sides by turns; returns the boughs' points (n, 3).

    lines: highest and lowest line at which one leaves the trunk; reach: least and most length
    """
    grown = []
    first = hash_words(seed, "side") % 2
    for n in range(count):
        own = hash_words(seed, "bough", n)
        y = between(own, *lines, 0)
        at = int(np.argmin(np.abs(trunk[:, 1] - y)))
        x, y, r = trunk[at].tolist()
        side = 1 if (first + n) % 2 else -1
        long = between(own, *reach, 1)
        end = x + side * long, y - between(own, 8.0, 28.0, 2), 1.1
        points = bough((x, y, max(1.2, r * 0.40)), end, own, -side * between(own, 3, 9, 3), 2.2, 14)
        wood.sweep(points, part, -1.0)
        grown.append(points)
        for k in range(3):
            base = points[4 + int(unit(own, k, 4)[0] * 8)].tolist()
            tip = (
                base[0] + side * between(own, 9.0, 26.0, k, 5),
                base[1] + between(own, -13.0, 10.0, k, 6),
                0.6,
            )
            twig = bough((base[0], base[1], base[2] * 0.6), tip, hash_words(own, k), 2.0, 1.0, 7)
            wood.sweep(twig, part, -2.0)
    return grown
