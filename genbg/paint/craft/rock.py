"""Layered rock as a solid that is marched through: beds, faces, talus, arches and alcoves.

A rock is where D(x, z) + off(y) < 0 below its top: D is the distance to the outline of its foot;
`off` tells how far the wall steps back at a height, bed by bed. All masses of one rock share their
beds, so strata run through every tower. The picture is found by marching whole rows away from us,
one pixel of depth at a time, as a pinhole sees them (Hartley and Zisserman, ch. 6).

Heights y rise from the foot; depths z run away from us; columns wrap.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.relief import wrapped
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.strata import Beds, draw_beds, draw_faces

NOTHING, WALL, TALUS = 0, 1, 2
"""What a pixel shows."""
TALUS_SLOPE = 1.35
"""Pixels of way for one of height down a heap of talus."""
HEAP = 15.0
"""Height in pixels of a common heap of talus."""
DIP = 14.0
"""Pixels by which beds lean up and down along a rock, so that no ledge runs level."""
CLOSE = 26.0
"""Half width in pixels below which a mass has shallower steps."""
ROUGH = 4.6
"""Pixels by which the faces of a mass are rough."""
BATTER = 0.045
"""Pixels by which a wall leans back for one that it rises."""
WORN = 0.55
"""Pixels by which a mass is worn back for each one that is near its top (or its lower end)."""
WORN_FROM = 4.0, 11.0
"""Pixels below its top from which a mass is worn, fewest and most."""
ALWAYS = 999.0
"""Depth that an opening goes through everything to."""


@dataclass(frozen=True)
class Arch:
    """An opening: its middle's column, the height of its springing, half its width, its rise.

    until: depth at which it ends; an arch goes through, an alcove does not
    """

    x: float
    y: float
    wide: float
    tall: float
    until: float = ALWAYS


@dataclass(frozen=True)
class Mass:
    """One body of rock: middle, half width and half depth of its foot, height, turn of its foot.

    talus: how much lies at its foot, 1 is common; turn: whole turns
    low: height over the ground at which it begins: above 0 for what lies on another mass
    """

    x: float
    z: float
    wide: float
    deep: float
    top: float
    talus: float = 1.0
    turn: float = 0.0
    arch: Arch | None = None
    low: float = 0.0


@dataclass(frozen=True)
class View:
    """How a rock is seen: the line of its foot, of the eye's height, how many lines there are.

    reach: pixels of depth in which things shrink by half
    """

    base: float
    horizon: float
    lines: int
    reach: float = 150.0

    def heights(self, z: int) -> np.ndarray:
        """Height (N,) over the foot that each line shows at a depth."""
        line = np.arange(self.lines) + 0.5
        return self.base - self.horizon + (self.horizon - line) * (1.0 + z / self.reach)


@dataclass(frozen=True, eq=False)
class Rock:
    """A rock as it is seen; arrays of pixels are (N, W).

    hit: `NOTHING`, `WALL` or `TALUS`; y, z: height and depth of what is seen
    which: number of the mass that is seen
    normal: (right, up, away from us) of the large face that a pixel belongs to
    hollow: bool, in an alcove or under an arch; tops: (Z, W) height of the rock over its foot
    bed: height within the beds, bent by their dip
    """

    hit: np.ndarray
    y: np.ndarray
    z: np.ndarray
    which: np.ndarray
    normal: tuple[np.ndarray, np.ndarray, np.ndarray]
    hollow: np.ndarray
    tops: np.ndarray
    bed: np.ndarray
    beds: Beds


def draw_grain(seed: int, depth: int, width: int) -> np.ndarray:
    """Noise (Z, W) of about a pixel that roughens the faces of all masses."""
    cells = max(2, width // 13)
    return ROUGH * fractal(width, depth, hash_words(seed, "rough"), cells, octaves=3)


def outline(seed: int, depth: int, width: int, mass: Mass) -> tuple[np.ndarray, np.ndarray]:
    """Columns (w,) that a mass can reach, and in them the distance (Z, w) to its foot's outline.

    Below 0 inside; made of flat faces.
    """
    around = 4.0 + (REACH_OF_FOOT * min(1.0, mass.talus) if mass.talus else 0.0)
    reach = min(width // 2, int(1.2 * max(mass.wide, mass.deep) + around))
    x = np.arange(-reach, reach)
    columns = (np.floor(mass.x + 0.5).astype(np.int64) + x) % width
    x, z = x[None, :].astype(np.float64), (np.arange(depth) - mass.z)[:, None]
    faces = draw_faces(Dice(seed, "faces"), mass.wide, mass.deep, mass.turn)
    far_off = np.full((depth, 2 * reach), -ALWAYS)
    for across, away, distance in faces.tolist():
        far_off = np.maximum(far_off, across * x + away * z - distance)
    return columns, far_off


class _Shared:
    """What all masses of a rock share: beds, their dip, broken tops, heaps of talus."""

    def __init__(self, seed: int, masses: Sequence[Mass], scale: float, depth: int, width: int):
        top = max(mass.top for mass in masses)
        self.seed, self.width, self.depth = seed, width, depth
        self.beds = draw_beds(Dice(seed, "beds"), top, scale)
        self.count = int(top) + 20
        self.grain = draw_grain(seed, depth, width) * (0.4 + 0.6 * scale)
        self.dip = DIP * scale * _line(seed, "dip", width, 110, 2)
        cap = 9.0 * _line(seed, "cap", width, 16, 2) + 12.0 * _line(seed, "wide", width, 64, 1)
        self.cap = np.floor(cap * scale / 3 + 0.5) * 3 + 0.5 * self.dip
        cells = max(2, width // 22)
        wobble = fractal(
            width, self.count, hash_words(seed, "wobble"), cells, 1 / (11 * scale + 3), 2
        )
        height = np.arange(self.count)[:, None]
        bed = np.clip(height + self.dip[None, :], 0, len(self.beds.off) - 1)
        self.wobble = 2.0 * scale * wobble
        self.back = self.beds.off[np.floor(bed).astype(np.int64)] + self.wobble
        fans = fractal(width, depth, hash_words(seed, "fans"), max(2, width // 17), 1 / 60, 2)
        wide = _line(seed, "heaps", width, 60, 1)
        self.heap = HEAP * scale * np.maximum(0.25, 1.0 + 0.45 * fans + 0.8 * wide[None, :])


def _line(seed: int, name: str, width: int, size: int, octaves: int) -> np.ndarray:
    """Noise (W,) whose bumps are about `size` pixels wide."""
    return fractal(width, 1, hash_words(seed, name), max(1, width // size), octaves=octaves)[0]


class _Body:
    """A mass in the columns that it can reach."""

    def __init__(self, shared: _Shared, number: int, mass: Mass):
        self.mass = mass
        self.share = min(1.0, min(mass.wide, mass.deep) / CLOSE)
        seed = hash_words(shared.seed, "mass", number)
        self.columns, self.face = outline(seed, shared.depth, shared.width, mass)
        rough = shared.grain[:, self.columns] * (0.35 + 0.65 * self.share)
        self.near = self.face + rough
        self.back = shared.back[:, self.columns] * self.share
        self.heap = shared.heap[:, self.columns] * mass.talus
        self.lid = mass.top - shared.cap[self.columns] * min(1.0, 0.4 + 0.6 * self.share)
        dice = Dice(seed, "worn")
        height = np.arange(shared.count, dtype=np.float64)[:, None] - mass.low
        self.worn = dice.between(*WORN_FROM) * (0.5 + 0.5 * self.share)
        self.back = self.back + BATTER * height
        if mass.low:
            self.worn = ROUND * (mass.top - mass.low)
            self.back = self.back + WORN * np.maximum(0.0, self.worn - height)
        self.bend = 1.0 + 0.012 * shared.dip[self.columns]
        self.rag = shared.wobble[:, self.columns]
        self.from_arch = (
            None if mass.arch is None else wrapped(self.columns, mass.arch.x, shared.width)
        )

    def wall(self, z: int, y: np.ndarray, rows: np.ndarray, part: slice) -> np.ndarray:
        """Places (N, w) inside the wall at a depth; y: (N, 1), rows: (N,) whole heights.

        part: the columns that are asked
        """
        worn = WORN * np.maximum(0.0, y - self.lid[part] + self.worn)
        found: np.ndarray = self.near[z, part] + self.back[rows, part] + worn < 0
        found &= y < self.lid[part]
        if self.mass.low:
            found &= y > self.mass.low + 0.5 * self.rag[rows, part]
        return found & ~self.opening(z, y, part) if self.mass.arch else found

    def talus(self, z: int, y: np.ndarray, part: slice) -> np.ndarray:
        """Places (N, w) inside the talus at a depth."""
        room = self.heap[z, part] - y
        found: np.ndarray = (room > 0) & (self.near[z, part] < room * TALUS_SLOPE)
        return found & ~self.opening(z, y, part, 1.1) if self.mass.arch else found

    def opening(self, z: int, y: np.ndarray, part: slice, wider: float = 1.0) -> np.ndarray:
        """Places (N, w) of the opening: an ellipse over straight jambs, askew with depth."""
        arch = self.mass.arch
        if arch is None or self.from_arch is None or z >= arch.until:
            return np.zeros((len(y), len(self.lid[part])), dtype=bool)
        across = self.from_arch[part]
        across = (across + 0.34 * (z - self.mass.z)) / (arch.wide * wider)
        rows = np.clip(np.floor(y[:, 0]), 0, len(self.rag) - 1).astype(np.int64)
        across = across * (self.bend[part] + ARCH_RAG * self.rag[rows, part])
        up = np.where(y > arch.y, (y - arch.y) / arch.tall, 0.0)
        return across * across + up * up < 1.0

    def march(self, ys: Callable[[int], np.ndarray], lines: int) -> tuple[np.ndarray, np.ndarray]:
        """What each place (N, w) shows, and at which depth."""
        shape = lines, len(self.columns)
        hit, far = np.zeros(shape, np.uint8), np.full(shape, len(self.near), np.int64)
        highest = min(len(self.back) - 1.0, max(float(self.lid.max()), float(self.heap.max())))
        reach = max(-float(self.back.min()), TALUS_SLOPE * (float(self.heap.max()) + 0.5))
        low, high = self.near.min(axis=1), -0.5 if not self.mass.low else self.mass.low - 2.0
        for z in np.flatnonzero(low < reach).tolist():
            y = ys(z)
            lower = np.flatnonzero((y > high) & (y < highest))
            beside = np.flatnonzero(self.near[z] < reach)
            if not len(lower):
                continue
            down, part = _span(lower), _span(beside)
            y = y[down]
            rows = np.floor(np.maximum(y, 0.0)).astype(np.int64)
            free = hit[down, part] == NOTHING
            wall = free & self.wall(z, y[:, None], rows, part)
            hit[down, part][wall] = WALL
            if self.mass.talus:
                heap = free & ~wall & self.talus(z, y[:, None], part)
                hit[down, part][heap] = TALUS
                wall |= heap
            far[down, part][wall] = z
        return hit, far


def _span(places: np.ndarray) -> slice:
    """The slice from the first to the last of rising places."""
    return slice(int(places[0]), int(places[-1]) + 1)


RIBS = 0.5
"""Share of its true slope by which light tells the ribs of a heap of talus."""
ROUND = 0.42
"""Share of its height from which a block that lies on another is worn, at both ends."""
ARCH_RAG = 0.1
"""Share of an arch's width by which a pixel of wobble bends its edge."""
REACH_OF_FOOT = 44.0
"""Pixels from a mass's outline that its talus can reach."""


def march(
    seed: int,
    masses: Sequence[Mass],
    view: View,
    width: int,
    depth: int = 96,
    scale: float = 1.0,
) -> Rock:
    """A rock as it is seen; depth: pixels that are marched; scale: 1 near, less far off."""
    shared = _Shared(seed, masses, scale, depth, width)
    bodies = [_Body(shared, number, mass) for number, mass in enumerate(masses)]
    hit = np.zeros((view.lines, width), np.uint8)
    which, far = np.zeros(hit.shape, np.int64), np.full(hit.shape, depth, np.int64)
    for n, body in enumerate(bodies):
        found, at = body.march(view.heights, view.lines)
        nearer = at < far[:, body.columns]
        lines, columns = np.nonzero(nearer)
        there = lines, body.columns[columns]
        hit[there], far[there], which[there] = found[nearer], at[nearer], n
    z = np.minimum(far, depth - 1)
    line = np.arange(view.lines)[:, None] + 0.5
    high = view.base - view.horizon + (view.horizon - line) * (1.0 + z / view.reach)
    high = np.where(hit > 0, high, 0.0)
    normal, hollow = _normals(shared, bodies, hit, which, high, z)
    bed = np.clip(high + shared.dip[None, :], 0, len(shared.beds.off) - 1)
    tops = _tops(shared, bodies)
    return Rock(hit, high, z, which, normal, hollow, tops, bed, shared.beds)


Normal = tuple[np.ndarray, np.ndarray, np.ndarray]
"""(right, up, away from us), each (N, W)."""


def _normals(
    shared: _Shared,
    bodies: Sequence[_Body],
    hit: np.ndarray,
    which: np.ndarray,
    high: np.ndarray,
    z: np.ndarray,
) -> tuple[Normal, np.ndarray]:
    """Unit normals of the faces that are seen, and what lies within openings."""
    right, up, away = np.zeros(hit.shape), np.zeros(hit.shape), np.zeros(hit.shape)
    hollow = np.zeros(hit.shape, dtype=bool)
    off, last = shared.beds.off, shared.depth - 1
    for n, body in enumerate(bodies):
        lines, own = np.nonzero((hit[:, body.columns] > 0) & (which[:, body.columns] == n))
        at = lines, body.columns[own]
        deep, size = z[at], len(body.columns) - 1
        slope = TALUS_SLOPE * (hit[at] == TALUS)
        face, heap = body.face, body.heap
        left, beside = np.maximum(own - 1, 0), np.minimum(own + 1, size)
        front, behind = np.maximum(deep - 1, 0), np.minimum(deep + 1, last)
        right[at] = face[deep, beside] - face[deep, left]
        right[at] -= RIBS * slope * (heap[deep, beside] - heap[deep, left])
        away[at] = face[behind, own] - face[front, own]
        bed = np.clip(np.floor(high[at] + shared.dip[at[1]]).astype(np.int64), 1, len(off) - 2)
        up[at] = np.where(slope > 0, 2.0 * slope, (off[bed + 1] - off[bed - 1]) * body.share)
        hollow[at] = _hollow(body, own, high[at], deep)
    long = np.sqrt(right * right + up * up + away * away) + 1e-6
    return (right / long, up / long, away / long), hollow


def _hollow(body: _Body, own: np.ndarray, high: np.ndarray, z: np.ndarray) -> np.ndarray:
    """Which places (n,) of a body lie in its opening's reach, before where that ends."""
    arch = body.mass.arch
    if arch is None or body.from_arch is None:
        return np.zeros(len(own), dtype=bool)
    across = (body.from_arch[own] + 0.34 * (z - body.mass.z)) / (arch.wide + 2.5)
    up = np.where(high > arch.y, (high - arch.y) / (arch.tall + 2.5), 0.0)
    found: np.ndarray = across * across + up * up < 1.0
    return found & (body.face[z, own] < -2.0)


def _tops(shared: _Shared, bodies: Sequence[_Body]) -> np.ndarray:
    """Height (Z, W) of the rock over each place of its foot, to throw shadows by."""
    tops = np.zeros((shared.depth, shared.width))
    for body in bodies:
        own = np.zeros(body.near.shape)
        top = min(shared.count - 1, int(body.lid.max()) + 2)
        arch = body.mass.arch
        free = np.zeros(0) if arch is None or body.from_arch is None else body.from_arch
        for y in range(0, top, 2):
            wall = (body.near + body.back[y] < 0) & (y < body.lid)
            if arch is not None and arch.until == ALWAYS and y < arch.y + 0.7 * arch.tall:
                wall &= np.abs(free) > 0.8 * arch.wide
            own[wall] = y
        tops[:, body.columns] = np.maximum(tops[:, body.columns], own)
    return tops


def rock_shade(rock: Rock, light: tuple[float, float, float], reach: float = 190.0) -> np.ndarray:
    """Pixels (N, W) bool of the rock that the rock itself keeps from the light (x, up, away)."""
    x, up, away = light
    depth, width = rock.tops.shape
    at = np.nonzero(rock.hit)
    right, high, far = (axis[at] for axis in rock.normal)
    px, py, pz = at[1] + 2.0 * right, rock.y[at] + 2.0 * high, rock.z[at] + 2.0 * far
    dark = rock.hollow[at].copy()
    for n in range(1, int(reach / SHADE_STEP) + 1):
        t = 1.5 + n * SHADE_STEP
        z = np.floor(pz + away * t + 0.5).astype(np.int64)
        inside = (z >= 0) & (z < depth)
        column = np.floor(px + x * t + 0.5).astype(np.int64) % width
        dark |= inside & (rock.tops[np.clip(z, 0, depth - 1), column] > py + up * t + 1.5)
    shade = np.zeros(rock.hit.shape, dtype=bool)
    shade[at] = dark
    return shade


SHADE_STEP = 3.0
"""Pixels between two places that are asked on the way to the light."""
