"""Layered rock as a solid that is marched through: beds, flutes, joints, talus, arches.

A rock is where D(x, z) + off(y) < 0 below its top: D is the distance to the outline of its foot,
with flutes; `off` tells how far the wall steps back at a height, bed by bed. All masses of one rock
share their beds, so strata run through every tower. The picture is found by marching whole rows
away from us, one pixel of depth at a time, as a pinhole sees them (Hartley and Zisserman, ch. 6).

Heights y rise from the foot; depths z run away from us; columns wrap.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import blur, cosine, sine
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.relief import wrapped
from genbg.paint.craft.scatter import hash_words
from genbg.records import record

NOTHING, WALL, TALUS = 0, 1, 2
"""What a pixel shows."""
HARD = (4.0, 7.0, 12.0, 20.0, 28.0)
"""Thickness of hard beds in pixels; five sizes, so that no even hoops show."""
STEP_BACK = (0.5, 0.5, 1.4, 1.4, 4.0)
"""Pixels by which the wall steps back above a hard bed."""
MOST_BACK = 10.0
"""Pixels that a wall steps back in all, or thin towers would die."""
OVERHANG = 1.5
"""Pixels by which soft beds are hollowed."""
TALUS_SLOPE = 1.5
"""Pixels of way for one of height down a heap of talus."""
DIP = 20.0
"""Pixels by which beds lean up and down along a rock, so that no ledge runs level."""
CLOSE = 26.0
"""Half width in pixels below which a mass has shallower steps and flutes."""


@record(frozen=True)
class Arch:
    """An opening: its middle's column, the height of its springing, half its width, its rise."""

    x: float
    y: float
    wide: float
    tall: float


@record(frozen=True)
class Mass:
    """One body of rock: middle, half width and half depth of its foot, height, turn of its foot.

    talus: how much lies at its foot, 1 is common; turn: whole turns
    """

    x: float
    z: float
    wide: float
    deep: float
    top: float
    talus: float = 1.0
    turn: float = 0.0
    arch: Arch | None = None


@record(frozen=True)
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


@record(frozen=True, eq=False)
class Beds:
    """By height: off: pixels that the wall steps back; tint: -1..0.5, colour of the bed

    under: 1 just below a hard bed, where it is dark; edge: 1 on a hard bed's upper edge
    """

    off: np.ndarray
    tint: np.ndarray
    under: np.ndarray
    edge: np.ndarray


@record(frozen=True, eq=False)
class Rock:
    """A rock as it is seen; arrays of pixels are (N, W).

    hit: `NOTHING`, `WALL` or `TALUS`; y, z: height and depth of what is seen
    normal: (right, up, away from us); tops: (Z, W) height of the rock over its foot
    bed: height within the beds, bent by their dip
    """

    hit: np.ndarray
    y: np.ndarray
    z: np.ndarray
    normal: tuple[np.ndarray, np.ndarray, np.ndarray]
    tops: np.ndarray
    bed: np.ndarray
    beds: Beds


def draw_beds(dice: Dice, top: float, scale: float = 1.0) -> Beds:
    """Hard and soft beds in turn, up to a height; scale: 1 near, less for what is far off."""
    count = int(top) + 40
    off, tint, under, edge = (np.zeros(count) for _ in range(4))
    y, base, hard = 0, 0.0, True
    while y < count:
        thick = dice.choice(HARD) * dice.between(0.8, 1.2) if hard else dice.between(1.5, 5)
        last = y + max(1, round(thick * scale))
        step = dice.choice(STEP_BACK) * scale
        tint[y:last] = dice.between(-0.15, 0.45) if hard else dice.between(-1.0, -0.55)
        off[y:last] = base + (0.0 if hard else OVERHANG * scale)
        if hard and step > 0.8 * scale:
            edge[max(y, last - 2) : last] = 1.0
        if not hard:
            under[max(y, last - 2) : last] = 1.0
        base += step if hard else 0.3 * scale
        y, hard = last, not hard
    whole = off[min(count - 1, int(top))]
    return Beds(off * min(1.0, MOST_BACK * scale / max(whole, 0.1)), tint, under, edge)


@record(frozen=True, eq=False)
class Grain:
    """Noise (Z, W) that roughens the feet of a rock: wide bumps by the size of a mass, and flutes.

    rough: for masses of the sizes `BUMPS`
    prows: great bays and the prows between them, for broad masses
    """

    rough: tuple[np.ndarray, ...]
    flutes: np.ndarray
    prows: np.ndarray


BUMPS = (14, 26, 46)
"""Pixels that the largest bumps of an outline measure, for small, common and great masses."""


def draw_grain(seed: int, depth: int, width: int) -> Grain:
    """The noise of a rock's feet."""
    rough = tuple(
        fractal(width, depth, hash_words(seed, "rough", size), max(2, width // size), octaves=3)
        for size in BUMPS
    )
    wide = fractal(width, depth, hash_words(seed, "flutes"), width // 24, octaves=2)
    fine = fractal(width, depth, hash_words(seed, "fine"), width // 11, octaves=1)
    bays = fractal(width, depth, hash_words(seed, "bays"), max(2, width // 58), octaves=1)
    return Grain(rough, 13.0 * np.abs(wide) + 4.2 * np.abs(fine) - 3.5, BAY * np.abs(bays) - 5.0)


BAY = 30.0
"""Pixels by which a great bay lies behind the prows beside it, at most."""
BROAD = (22.0, 40.0)
"""Half widths of masses that have no bays yet, and those that have them whole."""


def outline(grain: Grain, mass: Mass) -> tuple[np.ndarray, np.ndarray]:
    """Columns (w,) that a mass can reach, and in them the distance (Z, w) to its foot's outline.

    Below 0 inside; with flutes and noise.
    """
    depth, width = grain.flutes.shape
    reach = min(width // 2, int(1.3 * max(mass.wide, mass.deep) + REACH_OF_FOOT) + 4)
    x = np.arange(-reach, reach)
    columns = (np.floor(mass.x + 0.5).astype(np.int64) + x) % width
    x, z = x[None, :].astype(np.float64), (np.arange(depth) - mass.z)[:, None]
    c, s = float(cosine(mass.turn)), float(sine(mass.turn))
    u, v = (x * c + z * s) / mass.wide, (z * c - x * s) / mass.deep
    boxy = np.sqrt(np.sqrt(u * u * u * u + v * v * v * v))
    size = int(np.searchsorted(np.array(BUMPS[1:]), 0.7 * mass.wide))
    rough = grain.rough[size][:, columns]
    shape = 0.5 * (np.sqrt(u * u + v * v) + boxy) - 1.0 - 0.26 * rough
    share = min(1.0, mass.wide / 22.0, mass.deep / 24.0)
    far_off = blur(shape / _steepness(shape), 1, 1, 1)
    bays = min(1.0, max(0.0, (mass.wide - BROAD[0]) / (BROAD[1] - BROAD[0])))
    rough = (1.0 - 0.4 * bays) * grain.flutes[:, columns] + bays * grain.prows[:, columns]
    return columns, far_off + rough * share


def _steepness(shape: np.ndarray) -> np.ndarray:
    """How much a shape changes a pixel, smoothed and kept off 0, so that it becomes a distance."""
    wide = blur(shape, 3, 3)
    across = (np.roll(wide, -1, axis=1) - np.roll(wide, 1, axis=1)) * 0.5
    padded = np.concatenate([wide[:1], wide, wide[-1:]])
    along = (padded[2:] - padded[:-2]) * 0.5
    return np.maximum(np.sqrt(across * across + along * along), 0.008)


class _Shared:
    """What all masses of a rock share: beds, their dip, broken tops, heaps of talus."""

    def __init__(self, seed: int, masses: Sequence[Mass], scale: float, depth: int, width: int):
        top = max(mass.top for mass in masses)
        self.width = width
        self.beds = draw_beds(Dice(seed, "beds"), top, scale)
        self.count = int(top) + 20
        self.dip = DIP * scale * _line(seed, "dip", width, 90, 2)
        cap = 9.0 * _line(seed, "cap", width, 22, 3) + 15.0 * _line(seed, "wide", width, 52, 2)
        self.cap = np.floor(cap * scale / 2 + 0.5) * 2 + 0.5 * self.dip
        cells = max(2, width // 22)
        wobble = fractal(
            width, self.count, hash_words(seed, "wobble"), cells, 1 / (9 * scale + 3), 3
        )
        height = np.arange(self.count)[:, None]
        bed = np.clip(height + self.dip[None, :], 0, len(self.beds.off) - 1)
        self.wobble = 2.1 * scale * wobble
        self.back = self.beds.off[np.floor(bed).astype(np.int64)] + self.wobble
        heap = fractal(width, depth, hash_words(seed, "talus"), max(1, width // 30), octaves=2)
        self.heap = 15.0 * scale * (1.0 + 0.84 * heap)


def _line(seed: int, name: str, width: int, size: int, octaves: int) -> np.ndarray:
    """Noise (W,) whose bumps are about `size` pixels wide."""
    return fractal(width, 1, hash_words(seed, name), max(1, width // size), octaves=octaves)[0]


class _Body:
    """A mass in the columns that it can reach."""

    def __init__(self, shared: _Shared, grain: Grain, mass: Mass):
        self.mass = mass
        self.share = min(1.0, min(mass.wide, mass.deep) / CLOSE)
        self.columns, self.near = outline(grain, mass)
        self.back = shared.back[:, self.columns] * self.share
        self.heap = shared.heap[:, self.columns] * mass.talus
        self.lid = mass.top - shared.cap[self.columns] * (1.0 if mass.arch is None else 1.6)
        self.first = int(np.argmax((self.near < REACH_OF_FOOT).any(axis=1)))
        self.bend = 1.0 + 0.03 * shared.dip[self.columns] * (7.0 / DIP)
        self.rag = shared.wobble[:, self.columns]
        self.from_arch = (
            None if mass.arch is None else wrapped(self.columns, mass.arch.x, shared.width)
        )

    def wall(self, z: int, y: np.ndarray, rows: np.ndarray, part: slice) -> np.ndarray:
        """Places (N, w) inside the wall at a depth; y: (N, 1), rows: (N,) whole heights.

        part: the columns that are asked
        """
        found: np.ndarray = self.near[z, part] + self.back[rows, part] < 0
        found &= y < self.lid[part]
        return found & ~self._opening(z, y, part) if self.mass.arch else found

    def talus(self, z: int, y: np.ndarray, part: slice) -> np.ndarray:
        """Places (N, w) inside the talus at a depth."""
        room = self.heap[z, part] - y
        found: np.ndarray = (room > 0) & (self.near[z, part] < room * TALUS_SLOPE)
        return found & ~self._opening(z, y, part, 1.1) if self.mass.arch else found

    def _opening(self, z: int, y: np.ndarray, part: slice, wider: float = 1.0) -> np.ndarray:
        """Places (N, w) of the opening: an ellipse over straight jambs, askew with depth."""
        arch = self.mass.arch
        if arch is None or self.from_arch is None:
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
        for z in range(self.first, len(self.near)):
            y = ys(z)
            lower = np.flatnonzero((y > -0.5) & (y < highest))
            beside = np.flatnonzero(self.near[z] < reach)
            if not len(lower) or not len(beside):
                continue
            down, part = _span(lower), _span(beside)
            y = y[down]
            rows = np.floor(np.maximum(y, 0.0)).astype(np.int64)
            free = hit[down, part] == NOTHING
            wall = free & self.wall(z, y[:, None], rows, part)
            heap = free & ~wall & self.talus(z, y[:, None], part)
            hit[down, part][wall], hit[down, part][heap] = WALL, TALUS
            far[down, part][wall | heap] = z
        return hit, far


def _span(places: np.ndarray) -> slice:
    """The slice from the first to the last of rising places."""
    return slice(int(places[0]), int(places[-1]) + 1)


ARCH_RAG = 0.13
"""Share of an arch's width by which a pixel of wobble bends its edge."""
REACH_OF_FOOT = 40.0
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
    grain = draw_grain(seed, depth, width)
    bodies = [_Body(shared, grain, mass) for mass in masses]
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
    normal = _normals(shared, bodies, hit, which, high, z)
    bed = np.clip(high + shared.dip[None, :], 0, len(shared.beds.off) - 1)
    return Rock(hit, high, z, normal, _tops(shared, bodies, depth), bed, shared.beds)


def _normals(
    shared: _Shared,
    bodies: Sequence[_Body],
    hit: np.ndarray,
    which: np.ndarray,
    high: np.ndarray,
    z: np.ndarray,
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Unit normals (right, up, away) of what is seen: the gradient of the solid there."""
    stack = np.full((len(bodies), len(bodies[0].near), hit.shape[1]), REACH_OF_FOOT)
    for n, body in enumerate(bodies):
        stack[n][:, body.columns] = body.near
    x, width, last = np.arange(hit.shape[1])[None, :], hit.shape[1], stack.shape[1] - 1
    right = (stack[which, z, (x + 1) % width] - stack[which, z, (x - 1) % width]) * 0.5
    away = stack[which, np.minimum(z + 1, last), x] - stack[which, np.maximum(z - 1, 0), x]
    off = shared.beds.off
    bed = np.clip(np.floor(high + shared.dip[None, :]).astype(np.int64), 1, len(off) - 2)
    up = (off[bed + 1] - off[bed - 1]) * 0.5 * np.array([body.share for body in bodies])[which]
    up = np.where(hit == TALUS, TALUS_SLOPE, up)
    away = away * 0.5
    long = np.sqrt(right * right + up * up + away * away) + 1e-6
    return right / long, up / long, away / long


def _tops(shared: _Shared, bodies: Sequence[_Body], depth: int) -> np.ndarray:
    """Height (Z, W) of the rock over each place of its foot, to throw shadows by."""
    tops = np.zeros((depth, shared.width))
    for body in bodies:
        own = np.zeros(body.near.shape)
        for y in range(0, shared.count - 1, 2):
            wall = (body.near + body.back[y] < 0) & (y < body.lid)
            arch = body.mass.arch
            if arch is not None and body.from_arch is not None and y < arch.y + 0.7 * arch.tall:
                wall &= np.abs(body.from_arch) > 0.8 * arch.wide
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
    dark = np.zeros(len(px), dtype=bool)
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
