"""Painter of tea hills: round hills whose fields run along their contours in hedges.

A hill is a round mound seen from a little above: each contour is the front half of an ellipse, and
a hedge is a sphere swept along it, so that it is round in the hill's light. Between hedges runs a
trodden tread in their shadow. Steps climb to a shelter; fields keep lamps on posts.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.air import away
from genbg.paint.craft.edges import shifted
from genbg.paint.craft.exact import smooth
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.leaves import LeafSheet, clusters, mass_leaves
from genbg.paint.craft.scatter import between, hash_words, pick_one
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.craft.wood import Wood, bough, toward_light
from genbg.paint.families.lantern import lantern
from genbg.paint.families.shelter import shelter

TILT = 0.42
"""How far a hill's front comes down the screen, a share of its height: how steeply we look."""
ROW_DEPTH = 40.0
"""By how much a row lies nearer to the eye than the one above it: more than any hedge is thick."""


@dataclass(frozen=True)
class Keys:
    """Keys of the tea painter."""

    hills: int = key(3, "int", "How many hills a plane of 512 shows.", low=0, high=8)
    height: float = key(0.7, "float", "How high they rise, a share of the lines.", low=0, high=1)
    step: int = key(12, "int", "Lines from one hedge to the next.", low=5, high=30, unit="lines")
    shelter: bool = key(False, "bool", "Whether a shelter stands on a hill, with steps to it.")
    trees: float = key(0.4, "float", "How many trees stand on the hills.", low=0, high=1)
    lamps: float = key(0.5, "float", "How many fields keep a lamp.", low=0, high=1)
    near: int = key(
        0, "int", "Lines at the bottom that level fields take, near to us.", low=0, high=100
    )


RAMPS = (
    Ramp(
        "leaves",
        "Hedges, trees, thatch.",
        ("#000024", "#002449", "#004949", "#246d49", "#499249", "#6db649", "#b6db49", "#dbff6d",
         "#ffffb6"),
        9,
        hazed=False,
    ),
    Ramp("soil", "Treads and steps.", ("#240049", "#492449", "#926d49", "#dbb66d"), 4,
         hazed=False),
    Ramp("lamp", "Lamps, and timber in their light.",
         ("#490000", "#922400", "#db6d00", "#ffb649", "#ffdb6d", "#ffffdb"), 6, lit=True),
)  # fmt: skip


@dataclass(frozen=True)
class Hill:
    """A hill: its middle column, the line of its foot, its height, half breadth, its rows' step."""

    x: float
    foot: float
    high: float
    half: float
    step: float
    seed: int


def plan_hills(keys: Keys, job: Job) -> list[Hill]:
    """The hills of a seed, the farthest first: one is the highest, the others lean on it."""
    seed = hash_words(job.seed, "hills")
    count = max(min(keys.hills, 1), keys.hills * job.width // 512)
    first = between(seed, 0.0, job.width, "first")
    if job.body:
        first = job.body.x + (1 if seed % 2 else -1) * between(seed, 90, 150, "beside")
    bottom = job.lines - keys.near
    hills = []
    for n in range(count):
        own = hash_words(seed, n)
        x = first + (n + between(own, -0.18, 0.18, 0)) * job.width / count
        share = 1.0 if n == 0 else between(own, 0.4, 0.66, 1)
        high = keys.height * bottom * share
        half = (0.62 + 0.5 * between(own, 0, 1, 2)) * job.width / count * (0.8 + 0.4 * share)
        step = keys.step * (1.15 - 0.3 * share)
        foot = bottom - TILT * high * 0.35 + (1.0 - share) * 14.0
        hills.append(Hill(x % job.width, foot, high, min(half, job.width * 0.46), step, own))
    return sorted(hills, key=lambda hill: -hill.high)


def paint(keys: Keys, job: Job) -> Painting:
    """Hills from their outline down, see-through above."""
    picture = TonalPicture(job, RAMPS)
    hills = plan_hills(keys, job)
    for n, hill in enumerate(hills):
        _lay_hill(job, picture, hill)
        _plant(keys, job, picture, hill)
        if n == 0 and keys.shelter:
            _climb(job, picture, hill)
        _light_lamps(keys, job, picture, hill)
    if keys.near:
        _lay_level(keys, job, picture)
    return picture.painting()


def _round(hill: Hill, job: Job) -> tuple[np.ndarray, np.ndarray]:
    """The hill's outline (W,) in lines, and how far each column lies from its middle, -1..1."""
    u = away(np.arange(job.width), hill.x, job.width) / hill.half
    u = u + 0.10 * profile(job.width, hill.seed, 4, 2)
    return hill.foot - hill.high * (1.0 - u * u), u


def contour(hill: Hill, job: Job, level: float) -> np.ndarray:
    """Points (n, 2) of a contour's front, x and y, from left to right; level: 0 foot .. 1 top.

    On a mound z = H (1 - r^2) the contour z is the circle r = sqrt(1 - z / H); its front half is
    seen TILT times as deep as it is.
    """
    reach = float(np.sqrt(max(0.0, 1.0 - level)))
    count = max(5, int(reach * hill.half / 3.5))
    u = (np.arange(count) / (count - 1) * 2.0 - 1.0) * reach
    front = np.sqrt(np.maximum(reach * reach - u * u, 0.0))
    x = hill.x + u * hill.half
    bend = profile(job.width, hash_words(hill.seed, "bend"), 6, 2)
    y = hill.foot - level * hill.high + TILT * hill.high * front
    y = y + 7.0 * bend[np.floor(x).astype(np.int64) % job.width] * front
    return np.stack([x, y], axis=1)


def _lay_hill(job: Job, picture: TonalPicture, hill: Hill) -> None:
    """One hill: its treads, the hedges along its contours, the shadows under them."""
    lines, width = picture.tone.shape
    outline, u = _round(hill, job)
    y = np.arange(lines)[:, None]
    bottom = hill.foot + TILT * hill.high * np.sqrt(np.maximum(1.0 - u * u, 0.0))
    body = (y >= outline[None, :]) & (y <= bottom[None, :]) & (np.abs(u) < 1)[None, :]
    side = 1.0 if job.light[0] > 0 else -1.0
    lit = (u * side)[None, :] + 0.0 * y
    wood = Wood(lines, width)
    rows = int(hill.high / hill.step)
    for row in range(rows + 1):
        points = contour(hill, job, 1.0 - (row + 0.4) / (rows + 1))
        lump = profile(width, hash_words(hill.seed, "lump", row), max(4, width // 14), 2)
        column = np.floor(points[:, 0]).astype(np.int64) % width
        radius = (hill.step * (0.43 + 0.22 * lump[column]))[:, None]
        wood.sweep(np.concatenate([points, radius], axis=1), row, ROW_DEPTH * row, 1)
    grain = fractal(width, lines, hash_words(hill.seed, "soil"), width // 14, 1 / 4, 2)
    picture.lay(body, "soil", np.clip(np.floor(1.7 + 1.0 * lit + 1.6 * grain), 0, 3))
    _lay_hedges(job, picture, wood, lit, hill.seed)


def _lay_hedges(job: Job, picture: TonalPicture, wood: Wood, lit: np.ndarray, seed: int) -> None:
    """Hedges round in their light, in clumps, with a dark foot and a shadow on the tread below."""
    lines, width = picture.tone.shape
    there = wood.there
    below = shifted(there, 0, -1) | shifted(there, 0, -2)
    picture.lay(below & ~there & picture.holds("soil"), "leaves", 1.0)
    clump = fractal(width, lines, hash_words(seed, "clump"), width // 7, 1 / 5, 2)
    speck = fractal(width, lines, hash_words(seed, "speck"), width // 3, 1 / 2, 1)
    toward = toward_light(wood, job.light)
    upward = smooth(-wood.ny, -0.3, 0.8)
    tone = 1.6 + 2.5 * upward + 1.1 * toward + 1.5 * lit
    tone = tone + (1.7 * clump + 0.8 * speck) * smooth(wood.radius, 1.5, 4.0)
    picture.lay(there, "leaves", np.clip(np.floor(tone + 0.5), 0, 7))


def _plant(keys: Keys, job: Job, picture: TonalPicture, hill: Hill) -> None:
    """Trees on the hill's outline, in twos and threes."""
    lines, width = picture.tone.shape
    outline, _ = _round(hill, job)
    wood, centres = Wood(lines, width), []
    for n in range(round(keys.trees * 4)):
        own = hash_words(hill.seed, "trees", n)
        middle = hill.x + between(own, -0.75, 0.75, 0) * hill.half
        if abs(middle - hill.x) < 34 and keys.shelter:
            continue
        for k in range(1 + own % 3):
            x = middle + (0, 9, -8)[k] * between(own, 0.8, 1.2, k, 1)
            size = hill.step * between(own, 0.55, 0.95, k, 2) / (1 + 0.25 * k)
            foot = float(outline[int(x) % width]) + 3
            wood.sweep(bough((x, foot, 1.4), (x + 1, foot - size * 1.5, 0.8), own), n)
            centres.append((x, foot - size * 1.7, size, size * 0.75, 0.9))
    if not centres:
        return
    picture.lay(wood.there, "soil", 0.0)
    sheet = LeafSheet(lines, width)
    masses = clusters(np.array(centres), hash_words(hill.seed, "crowns"), 2, 4)
    sheet.lay(mass_leaves(masses, hill.seed, job.light, size=2, closeness=0.9))
    picture.lay(sheet.covered, "leaves", np.clip(np.floor(sheet.level + 0.5), 0, 7))


def _climb(job: Job, picture: TonalPicture, hill: Hill) -> None:
    """Steps up the hill's front to a shelter on its top."""
    lines, width = picture.tone.shape
    outline, _ = _round(hill, job)
    top = float(outline[int(hill.x) % width]) + 2
    bottom = hill.foot + TILT * hill.high
    y = np.arange(lines)[:, None]
    t = np.clip((y - top) / max(1.0, bottom - top), 0.0, 1.0)
    turn = 1 if hill.seed % 2 else -1
    middle = hill.x + turn * hill.half * 0.34 * t * t
    x = away(np.arange(width)[None, :] - middle, 0.0, width)
    half = 2.0 + 5.0 * t
    path = (np.abs(x) < half) & (y >= top) & (y <= bottom + 4)
    riser = np.floor((y - top) / (2.0 + 2.0 * t)) % 2
    edge = np.abs(x) > half - 1.2
    picture.lay(path, "soil", np.where(edge, 0.0, 2.0 + riser))
    side = 1.0 if job.light[0] > 0 else -1.0
    shelter(picture, np.floor(hill.x), np.floor(top), 0.95, side, hill.seed)
    near = (np.abs(away(np.arange(width)[None, :], hill.x, width)) < 28) & (
        np.abs(y - top + 18) < 26
    )
    picture.guard |= near & picture.holds("lamp")


def _light_lamps(keys: Keys, job: Job, picture: TonalPicture, hill: Hill) -> None:
    """Lamps on posts at the ends of rows."""
    lines, width = picture.tone.shape
    for n in range(round(keys.lamps * 3)):
        own = hash_words(hill.seed, "lamp", n)
        points = contour(hill, job, between(own, 0.2, 0.75, 0))
        x, foot = points[2 + pick_one(own, max(1, len(points) - 4), "at")].tolist()
        u = away(np.arange(width)[None, :], np.floor(x), width)
        v = np.arange(lines)[:, None] - np.floor(foot)
        size = hill.step / 15.0
        pole = (np.abs(u) < 0.8) & (v <= 0) & (v > -22 * size)
        picture.lay(pole, "lamp", 0.0)
        lantern(picture, u, v + np.floor(24 * size), size)


def _lay_level(keys: Keys, job: Job, picture: TonalPicture) -> None:
    """Level fields at our feet: broad hedges one before the other, and a way between them."""
    lines, width = picture.tone.shape
    seed = hash_words(job.seed, "near")
    first = lines - keys.near
    x = np.arange(0, width + 4, 4)
    roll = profile(width, seed, 2, 3)
    y = np.arange(lines)[:, None]
    edge = first + 15.0 * roll
    below = y >= edge[None, :]
    picture.lay(below, "soil", np.clip(np.floor(2.6 - 2.2 * (y - edge[None, :]) / keys.near), 0, 3))
    wood, at, row = Wood(lines, width), 2.0, 0
    while at < keys.near + 6:
        own = profile(width, hash_words(seed, row), 7, 2)
        line = edge[x % width] * (1.0 - 0.01 * at) + 0.01 * at * first + at + 5.0 * own[x % width]
        radius = 4.6 + 0.11 * at
        lump = profile(width, hash_words(seed, row, "lump"), max(4, width // 18), 2)
        limb = np.stack(
            [x.astype(np.float64), line, radius * (1.0 + 0.4 * lump[x % width])], axis=1
        )
        wood.sweep(limb, row, ROW_DEPTH * row, 1)
        at += radius * 2.7 if row % 2 == 0 else radius * 2.2
        row += 1
    glow = fractal(width, lines, hash_words(seed, "glow"), width // 100, 1 / 30, 2)
    _lay_hedges(job, picture, wood, np.clip(1.6 * glow - 0.35, -0.8, 0.6), seed)


PAINTER = Painter(
    name="tea",
    about="Round hills with hedges of tea along their contours, steps, a shelter, lamps.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
