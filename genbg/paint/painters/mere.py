"""Painter of a mere: still water in a wood, in flat lenses, that mirrors the layers it sees.

By the far shore the mirror is sharp; a few lines on, each cell knows one light, the mean of what it
mirrors, and ripples cut that light into lenses: flat and close far away, long and high near. Cells
of like light at the same place of the ripples hold the same pixels, so broad water takes few tiles
and has no box in it. A lamp lays a path of its own colour, and lily pads lie in rafts.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.air import away
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.exact import blur, fall, smooth
from genbg.paint.craft.fields import profile
from genbg.paint.craft.lenses import ripples
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.craft.water import lamp_path
from genbg.paint.parts.pads import Rafts, float_pads

WEIGHTS = {"air": 1.0, "leaves": 0.34, "bark": 0.30, "stone": 0.45, "blossom": 0.9}
"""How light the light end of a seen ramp lies in the water, 0..1."""
OTHER_WEIGHT = 0.6
LIT = "lamp"
"""Ramps of this name shine, and trail their own colour."""
FLAT = 0.33
"""Tones from a whole one within which water is flat: between two such it is half covered by lenses,
so that ripples gather where light changes."""
SWING = 0.46
"""Tones by which ripples move the light: less than half, so that whole tones stay flat."""
PERIODS, NEAR = (64, 128), 26.0
"""Columns after which ripples repeat far off, and near: more than so many lines from the shore."""
RUNS, PUSH = (1, 2, 3), 9.0
"""Lines of a run of water far off, midway and near, and columns by which it is pushed along."""
IMAGE = 26.0
"""Lines below its foot at which the image of a lamp lies at most."""
BANK, DARK = 6.0, 0.42
"""Lines below a foot in which a dark bank, light up to so much, lies in the water."""


@dataclass(frozen=True)
class Keys:
    """Keys of the mere painter."""

    mirror: float = key(0.8, "float", "How clearly the water mirrors.", low=0, high=1)
    glow: float = key(0.6, "float", "How brightly the light lies on it.", low=0, high=1)
    ripple: float = key(0.6, "float", "How strongly ripples show.", low=0, high=1)
    pads: float = key(0.4, "float", "How many lily pads lie on it.", low=0, high=1)


RAMPS = (
    Ramp(
        "water",
        "Water, from its deepest to the light in it.",
        ("#002449", "#00246d", "#24496d", "#496d92", "#6d92b6", "#92dbb6", "#dbffb6"),
        7,
        hazed=False,
    ),
    Ramp("pads", "Lily pads.", ("#002449", "#004949", "#246d49", "#6db649"), 4, hazed=False),
    Ramp("lamp", "Lamps in the water.", ("#922400", "#db6d00", "#ffb649", "#ffffdb"), 4, lit=True),
)


@dataclass(frozen=True, eq=False)
class View:
    """What the water sees, on screen lines 0..H-1.

    value: (H, W) light 0..1; lamp: (H, W) light of what shines, 0 elsewhere; there: (H, W) bool
    thing: (H, W) bool, what the seen layers guard: things that stand before the shore
    bank: (W,) line at which water begins; foot: (N, W) line below what stands above each pixel
    """

    value: np.ndarray
    lamp: np.ndarray
    there: np.ndarray
    thing: np.ndarray
    bank: np.ndarray
    foot: np.ndarray


def look_up(job: Job) -> View:
    """The layers that the job sees, one in front of the other."""
    size = job.bottom, job.width
    value, lamp = np.full(size, 0.5), np.zeros(size)
    there, thing = np.zeros(size, dtype=bool), np.zeros(size, dtype=bool)
    for other in job.seen.values():
        ink = other.painting.ink[: max(0, job.bottom - other.top)]
        lines = slice(other.top, other.top + len(ink))
        first = 1
        for use in other.painting.ramps:
            here = (ink >= first) & (ink < first + use.steps)
            share = (ink - float(first)) / max(1, use.steps - 1)
            light = share * WEIGHTS.get(use.name, OTHER_WEIGHT)
            value[lines] = np.where(here, light, value[lines])
            lamp[lines] = np.where(here, (share + 0.2) * (use.name == LIT), lamp[lines])
            first += use.steps
        there[lines] |= ink > 0
        if other.painting.guard is not None:
            thing[lines] |= other.painting.guard[: len(ink)]
    solid = there | (np.arange(job.bottom)[:, None] < job.top)
    bank = np.where(solid.all(axis=0), job.bottom, np.argmin(solid, axis=0)).astype(np.float64)
    rows = np.arange(1, job.bottom + 1)[:, None]
    foot = np.maximum.accumulate(np.where(solid, rows, 0), axis=0)
    return View(value, lamp, there, thing, bank, foot[job.top :].astype(np.float64))


def paint(keys: Keys, job: Job) -> Painting:
    """Water over all lines of the layer that lie below what it mirrors."""
    picture = TonalPicture(job, RAMPS)
    view = look_up(job)
    y = np.arange(job.top, job.bottom)[:, None]
    shore = float(np.sort(view.bank)[job.width // 2])
    first = max(0, int(job.top - shore))
    seed = hash_words(job.seed, "lens")
    far, rip = (ripples(job.lines, job.width, seed, first, period) for period in PERIODS)
    rip = np.where(y - shore < NEAR, far, rip)
    down = np.maximum(y - view.foot, 0.0)
    deep = y - view.bank[None, :]
    water = (deep >= 0) & ~view.there[job.top :]
    last = picture.last("water")
    broad = _cell_light(keys, job, view, shore, last)
    tone = np.floor(broad + keys.ripple * np.clip(2.0 * SWING * rip, -SWING, SWING) + 0.5)
    sharp, thing = _mirrored(job, view, down, rip)
    shown = np.floor(np.clip(sharp, 0, 1) * last + 0.5)
    ragged = profile(job.width, hash_words(job.seed, "shade"), max(2, job.width // 22), 2)
    shade = down < BANK + 5.0 * ragged[None, :] + 3.0 * (rip > 0.25)
    shade &= sharp < DARK + 0.4 * np.clip(rip, -0.5, 0.5)
    tone = np.where(thing, shown, np.where(shade, np.minimum(tone, 1.0), tone))
    contact = (down < 1.0) & (rip < 0.3)
    picture.lay(water, "water", np.clip(np.where(contact, 0.0, tone), 0, last))
    _lamp_path(job, picture, view, down)
    float_pads(job, picture, shore, down, _rafts(keys))
    return picture.painting()


def _cell_light(keys: Keys, job: Job, view: View, shore: float, last: int) -> np.ndarray:
    """Tones (N, W) float64, one a cell of the screen's grid: what it mirrors, and its own depth."""
    rows = np.arange(job.top // CELL, -(-job.bottom // CELL))
    middle = rows * CELL + CELL / 2
    mean = blur(view.value[: max(1, int(shore))], 28, 7)
    deep = np.maximum(middle - shore, 0.0)
    source = np.clip(shore - 2.0 - 1.1 * deep, 0, len(mean) - 1).astype(np.intp)
    seen = mean[source][:, CELL // 2 :: CELL]
    own = 0.52 - 0.12 * smooth(deep, 16.0, 70.0)
    part = keys.mirror * (1.0 - 0.55 * smooth(deep, 18.0, 60.0))
    light = own[:, None] + (seen * 0.90 - own[:, None]) * part[:, None]
    if job.body is not None:
        column = np.arange(CELL // 2, job.width, CELL)
        off = away(column, job.body.x, job.width)[None, :]
        half = job.body.radius * 1.0 + 0.30 * deep[:, None]
        lies = fall(off * off / (half * half)) * (1.0 - smooth(deep, 26.0, 70.0))[:, None]
        light = light + 0.30 * keys.glow * lies
    exact = np.clip(light, 0.0, 1.0) * last
    tone = np.floor(exact + 0.5)
    tone = np.where(np.abs(exact - tone) < FLAT, tone, np.floor(exact) + 0.5)
    y = np.arange(job.top, job.bottom)
    x = np.arange(job.width)[None, :]
    deep = np.maximum(y - shore, 0.0)
    run = np.array(RUNS)[(deep > 12).astype(np.intp) + (deep > 34)]
    push = 2.0 * unit(hash_words(job.seed, "runs"), y // run, run) - 1.0
    column = (x + np.floor(PUSH * push * smooth(deep, 4.0, 18.0))[:, None]) % job.width
    row = (y // CELL - job.top // CELL)[:, None]
    return tone[row, (column // CELL).astype(np.intp)]


def _mirrored(
    job: Job, view: View, down: np.ndarray, rip: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """What pixels mirror (N, W), 0..1, about the foot of their column, and where that is a thing:
    things stay longer in the water than the wood does, broken into lenses."""
    x = np.arange(job.width)[None, :]
    line = view.foot - 1.0 - down * 1.1 - 2.0 * (rip > 0.2) * smooth(down, 2.0, 12.0)
    line = np.clip(line, 0, len(view.value) - 1).astype(np.intp)
    sway = np.floor(2.5 * np.clip(rip, -0.5, 0.5) * smooth(down, 2.0, 14.0) + 0.5)
    column = (x + sway).astype(np.intp) % job.width
    value = blur(view.value, 3, 1)[line, column] * 0.82
    lasting = view.thing[line, column] & (rip < 0.30 - 0.012 * down) & (line < job.bottom)
    return value, lasting


def _lamp_path(job: Job, picture: TonalPicture, view: View, down: np.ndarray) -> None:
    """The path of a lamp: lenses of its colour, hottest where its image lies, drawn out to us."""
    last = picture.last("lamp")
    lines, columns = np.nonzero(view.lamp > 0.9)
    if not len(columns):
        return
    middle = float(columns[len(columns) // 2])
    foot = view.bank[int(middle)]
    first = int(np.clip(foot + 1 - job.top, 0, job.lines))
    image = min(IMAGE, 0.8 * float(foot - lines[len(lines) // 2]))
    heat = lamp_path((job.lines - first, job.width), (middle, image), job.seed, 4.4, 30.0, 3.4)
    heat = np.concatenate([np.full((first, job.width), -1.0), heat])
    lit = (heat > 0.2) & (down > 0) & (picture.material >= 0)
    picture.lay(lit, "lamp", np.clip(np.floor(heat - 1.0), 0, last))
    picture.guard |= lit


def _rafts(keys: Keys) -> Rafts:
    """How pads lie on this water."""
    return Rafts(
        many=keys.pads * 14,
        few=2,
        near=6.0,
        far=44.0,
        size=2.0,
        grow=0.13,
        loose=4.5,
        flat=(0.28, 0.9),
    )


PAINTER = Painter(
    name="mere",
    about="Still water in flat lenses that mirrors the layers it sees, with pads and lamp paths.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
