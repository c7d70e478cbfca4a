"""A sea in perspective: a height field of crests, seen from above the water's edge.

The sea is told along v, the number of wave spacings from the horizon: spacings grow evenly with
the line below it, as equal steps on a level plane do for a pinhole camera (Hartley and Zisserman,
"Multiple View Geometry", 2nd ed., ch. 6). Crests are ridges of noise, 1 - 2|n|: sharp tops and wide
troughs, as gravity waves have (Stokes, 1847). Every point is lifted by its height and near ones
cover far ones, so crests truly stand before what is behind them.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.exact import fall, power, smooth
from genbg.paint.craft.fields import fractal, pnoise2, profile, seed_offsets
from genbg.paint.craft.scatter import hash_words

FIRST = 2.4
"""Pixels between crests at the horizon."""
GROW = 0.30
"""Pixels that the spacing grows a line below the horizon."""
STEPS = 3.0
"""Points along v for each line of the picture."""
DROWNED = 40.0
"""Lines below the picture from which crests may still reach into it."""


@dataclass(frozen=True, eq=False)
class Swell:
    """What each pixel of a sea shows, all (N, W) float64.

    height: of the water there, -1 .. 1; slope: rise toward the horizon per spacing (faces turned to
    us are above 0); tilt: rise to the right per pixel, in spacings; line: the line of level water
    that it belongs to, counted from the horizon; wet: bool, False above the farthest crest;
    rise: how high the roller stands there, 0 .. 1; down: how far down its face, as in `roller_at`
    """

    height: np.ndarray
    slope: np.ndarray
    tilt: np.ndarray
    line: np.ndarray
    wet: np.ndarray
    rise: np.ndarray
    down: np.ndarray


@dataclass(frozen=True)
class Roller:
    """One great wave that comes toward us.

    x: column of its middle; half: half its length in pixels; line: of its crest, below the horizon;
    tall: its height in pixels; deep: lines from its crest to the foot of its face
    turn: 1 where it breaks at its left end and runs out to the right, -1 where it is turned about
    """

    x: float
    half: float
    line: float
    tall: float
    deep: float
    turn: float = 1.0


PEAK = -0.34
"""Where a roller is highest, in half lengths from its middle: it falls off steeply on the side on
which it breaks, and long on the other."""
SHOULDER = 0.55
"""Share of its height by which a roller's back is whole: its ends sink into the sea."""
BACK = 1.0
"""How much longer a roller's back is than its face."""


def roller_at(
    roller: Roller, line: np.ndarray, width: int, seed: int
) -> tuple[np.ndarray, np.ndarray]:
    """How high (n, W) a roller stands, 0 .. 1, and how far down its face each place is.

    The second is below 0 on its back, 0 at the crest and 1 at the foot.
    """
    off = (np.arange(width) + 0.5 - roller.x + width / 2) % width - width / 2
    sway = profile(width, hash_words(seed, "sway"), 12, octaves=3).astype(np.float64)
    place = roller.turn * off / roller.half + 0.2 * sway
    short, long = smooth(place, -1.0, PEAK + 0.06), 1.0 - (place - PEAK) / (1.1 - PEAK)
    long = np.clip(long, 0.0, 1.0)
    side = np.where(place < PEAK, short, long * (0.55 + 0.45 * long))
    crest = roller.line + 7.0 * sway - 0.3 * roller.deep * off / roller.half
    down = (line[:, None] - crest[None, :]) / roller.deep
    shape = np.where(down < 0, smooth(down, -BACK, 0.0), power(1.0 - down, 1.7))
    return side * shape, down


def spacing(line: np.ndarray | float) -> np.ndarray:
    """Pixels between crests on lines below the horizon."""
    return FIRST + GROW * np.asarray(line, dtype=np.float64)


def _numbers(line: np.ndarray) -> np.ndarray:
    """Spacings from the horizon to each of the lines 0, 1, 2 .. (steps added one by one)."""
    return np.add.accumulate(1.0 / spacing(line)) - 1.0 / spacing(line[:1])


def swell(
    lines: int,
    width: int,
    seed: int,
    long: float = 5.0,
    high: float = 0.5,
    first: float = 0.0,
    horizon: float = 0.0,
    roller: Roller | None = None,
) -> Swell:
    """A sea over `lines` rows from the horizon's row `horizon` on (which may be above 0).

    long: length of crests in spacings; high: half their height in spacings
    first: line below the horizon that is the farthest one painted
    """
    start = first
    if roller is not None:
        start = max(0.0, min(first, float(int(roller.line - BACK * roller.deep))))
    count = max(2, int((lines - horizon - start + DROWNED) * STEPS))
    line = start + np.arange(count) / STEPS
    number = _numbers(line) / STEPS + start / FIRST
    height = wave_heights(width, number, spacing(line), seed, long)
    lifted = horizon + line[:, None] - high * spacing(line)[:, None] * height
    rise, down = np.zeros(height.shape), np.zeros(height.shape)
    if roller is not None:
        rise, down = roller_at(roller, line, width, seed)
        lifted = lifted - roller.tall * rise + 0.7 * rise * high * spacing(line)[:, None] * height
        stands = smooth(rise.max(axis=0), 0.0, SHOULDER)[None, :]
        behind = line[:, None] < first - (first - start) * stands - 3.0 * height
        lifted = np.where(behind, float(2 * lines), lifted)
    return _seen(lines, (line, height, lifted, number, rise, down))


def wave_heights(
    width: int, number: np.ndarray, space: np.ndarray, seed: int, long: float
) -> np.ndarray:
    """Heights (n, W) float64 of the rows with these numbers of spacings and these spacings.

    Lattice cells along a row double from far to near octave by octave, cross-faded, so that crests
    keep their length in spacings and the row still wraps.
    """
    wanted = np.maximum(width / (long * space), 3.0)
    total = np.zeros((len(number), width))
    cells = 1
    while cells <= wanted.max():
        lower, upper = wanted / cells, wanted / (2 * cells)
        share = np.where(upper >= 1, 0.0, np.where(lower >= 1, lower - 1.0, 0.0))
        below = np.where((lower < 1) & (2 * lower >= 1), 2 * lower - 1.0, 0.0)
        weight = np.where(lower >= 1, 1.0 - smooth(share), smooth(below))
        weight = np.where(upper >= 1, 0.0, weight)
        rows = np.flatnonzero(weight > 0.01)
        if len(rows):
            total[rows] += weight[rows, None] * _ridges(width, number[rows], cells, seed)
        cells *= 2
    return total


def _ridges(width: int, number: np.ndarray, cells: int, seed: int) -> np.ndarray:
    """Crests (n, W): large ones, half as large ones, and ripples."""
    along = (np.arange(width) * (1.0 / width))[None, :]
    deep = number[:, None]
    big = 1.0 - 2.0 * np.abs(1.6 * _noise(along * cells + 0.35 * deep, deep * 0.9, cells, seed))
    half = 1.0 - 2.0 * np.abs(1.6 * _noise(along * cells * 2, deep * 2.1, 2 * cells, seed + 1))
    fine = 1.6 * _noise(along * cells * 4, deep * 4.3, 4 * cells, seed + 2)
    return 0.76 * big + 0.2 * half + 0.1 * fine


def _noise(x: np.ndarray, y: np.ndarray, cells: int, seed: int) -> np.ndarray:
    x, y = np.broadcast_arrays(x.astype(np.float32), y.astype(np.float32))
    offsets = seed_offsets(hash_words(seed, cells), 1)
    found = pnoise2(x, y, 1, repeatx=cells, repeaty=1 << 20, offsets=offsets)
    return found.astype(np.float64)


def _seen(lines: int, rows: tuple[np.ndarray, ...]) -> Swell:
    """The nearest water in every pixel: for each column, the first point whose top is above it."""
    line, height, lifted, number, rise, down = rows
    count, width = height.shape
    nearest = np.minimum.accumulate(lifted[::-1], axis=0)
    row = np.clip(np.ceil(nearest - 0.5), 0, lines).astype(np.int64)
    column = np.broadcast_to(np.arange(width), row.shape)
    held = np.bincount((row * width + column).ravel(), minlength=(lines + 1) * width)
    covered = np.add.accumulate(held.reshape(lines + 1, width), axis=0)
    index = count - covered[:lines]
    wet = index < count
    place = count - 1 - np.minimum(index, count - 1), np.arange(width)[None, :]
    slope = np.gradient(height, axis=0) / np.gradient(number)[:, None]
    tilt = 0.5 * (np.roll(height, -1, axis=1) - np.roll(height, 1, axis=1))
    return Swell(
        height[place],
        -slope[place],
        tilt[place] * spacing(line[place[0]]),
        line[place[0]],
        wet,
        rise[place],
        down[place],
    )


def glints(sea: Swell, width: int, seed: int) -> np.ndarray:
    """Short flat dashes (N, W) float64, about -1 .. 1, that grow and spread toward us."""
    line = np.maximum(sea.line, 0.2)
    wanted = width / (0.75 * spacing(line))
    number = _numbers(np.arange(int(line.max()) + 3, dtype=np.float64))
    low = line.astype(np.int64)
    deep = 8.0 * (number[low] + (number[low + 1] - number[low]) * (line - low))
    along = (np.arange(width) * (1.0 / width))[None, :]
    found, cells = np.zeros(line.shape), 4
    while cells <= wanted.max():
        here = (wanted >= cells) & (wanted < 2 * cells)
        rows = np.flatnonzero(here.any(axis=1))
        if len(rows):
            share = smooth(wanted[rows] / cells - 1.0)
            one = _noise(along * cells, deep[rows], cells, seed)
            two = _noise(along * cells * 2, deep[rows], 2 * cells, seed)
            found[rows] = np.where(here[rows], one + (two - one) * share, found[rows])
        cells *= 2
    return 1.5 * found


LENS = 7.0
"""Half width in pixels of a body's path at the horizon; SPREAD: what it gains a line."""
SPREAD = 0.46
PATH_STEPS = (0.16, 0.26, 0.38, 0.48, 0.58, 0.8)
"""Light from which the path takes its next ink."""


def path_light(sea: Swell, job: Job, strength: float) -> np.ndarray:
    """Inks (N, W) float64 of the body's path on a sea, 0 none .. 6 its core.

    Lenses of light under the body, a solid core at the horizon, broken by troughs and thinning out
    toward us: each facet that mirrors the body into the eye lies on a line toward it (Minnaert,
    "Light and Color in the Open Air", 1954).
    """
    assert job.body is not None
    half = job.width / 2
    across = np.abs((np.arange(job.width)[None, :] + 0.5 - job.body.x + half) % job.width - half)
    line, far = sea.line, fall(sea.line / 34.0)
    ragged = fractal(job.width, job.lines, hash_words(job.seed, "path"), 6, 1 / 9.0, octaves=2)
    wide = LENS + SPREAD * line + 9.0 * fall(line * line / 5.0) + 9.0 * ragged.astype(np.float64)
    wide = np.maximum(wide + 0.25 * job.body.radius, 3.0)
    near = fall(power(np.minimum(across / wide / 4.0, 1.0), 1.7) * 10.556)
    core = fall(across * across / (0.2 * wide * wide))
    dash = glints(sea, job.width, hash_words(job.seed, "glints"))
    deep = np.clip(line / 124.0, 0.0, 1.0)
    light = near * (0.46 + 0.40 * far - 0.16 * deep) + 0.24 * core * (0.4 + 0.6 * far)
    light = light + near * (0.2 * sea.height - 0.22 * np.clip(sea.slope, -1, 1))
    light = light + (1.05 - 0.5 * far) * dash * (0.25 + 0.75 * near) - 0.36
    light = light + 0.34 * np.clip(1.0 - line / 6.0, 0, 1) * (0.35 + 1.3 * dash)
    light = np.where(near > 0.04, light * strength, 0.0)
    count = job.steps["path"]
    edges = [PATH_STEPS[min(5, round(5 * n / max(1, count - 1)))] for n in range(count)]
    found = np.zeros(light.shape)
    for edge in edges:
        found += light > edge
    return found
