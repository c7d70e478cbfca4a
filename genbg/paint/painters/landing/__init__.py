"""Painter of a landing by the water: quays that face us with stairs down to it, boats, posts.

We look from the water: a strip of wet floor, a wall in shade below its lit edge, and in the water
the wall's dark mirror and the lanterns' light. Water farther off is see-through.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Job, Painter
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.edges import shifted
from genbg.paint.craft.exact import fall
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.solids import (
    Facade,
    Kind,
    Light,
    Oblique,
    Seen,
    Shadows,
    Stage,
    drawn_facade,
    edge_tones,
    hanging_green,
    lighten,
    look,
    tones,
)
from genbg.paint.craft.solids.glow import Lamp, lamplight
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.craft.water import wavelets
from genbg.paint.painters.landing.build import HIGH, Place, build_landing, lay_place
from genbg.paint.painters.landing.keys import NUMBER, RAMPS, Keys
from genbg.paint.painters.landing.stones import deck_tones, floor_tones, wall_tones
from genbg.paint.parts.blades import tuft

WATERLINE = 214.0
"""Line at which a wall at the usual depth stands in the water."""
SLOPE = 0.5
"""Lines by which ground a unit deeper lies higher."""
LIGHT = Light(0.78, 0.5, -0.3)
"""The moon's light, from behind what stands here."""
REACH = 110.0
"""Columns from the moon over which its light fades, by e."""
PLAIN = 0.6
"""Thrift from which stones and goods are left out."""
MASONRY = Facade(holes=0.0, glow=0.0, shutters=0.0, doors=False)
LEAST_WARM, WARM_STEP = 0.28, 0.24
"""Lamplight from which a pixel takes the warm ramp, and from tone to tone of it."""


def paint(keys: Keys, job: Job) -> Painting:
    """The landing and the water at its foot; farther water is see-through."""
    dice = Dice(job.seed, "landing")
    eye = Oblique(job.width / 2, WATERLINE, SLOPE)
    moon = job.body.x if job.body else job.width * 0.3
    place = lay_place(dice.part("place"), keys.cover, float(job.width), moon, eye)
    stage = Stage()
    lamps = build_landing(stage, dice.part("build"), place, keys, job.thrift >= PLAIN)
    seen = look(stage, eye, (job.top, job.bottom), job.width)
    shadows = Shadows(stage, replace(LIGHT, column=moon, turn=job.width * 0.5))
    picture = TonalPicture(job, RAMPS)
    _water(picture, seen, lamps, eye, job)
    tone = _lay(picture, seen, shadows, job)
    _warm(picture, seen, tone, lamps, eye, job)
    _grow(picture, seen, place, eye, keys, dice)
    return picture.painting(tidy=True)


def _near(job: Job, column: float) -> np.ndarray:
    """How close the moon's column is, (1, W) 0..1."""
    away = np.abs(np.arange(job.width) + 0.5 - column)
    away = np.minimum(away, job.width - away)
    return fall(away / REACH)[None, :]


def _lay(picture: TonalPicture, seen: Seen, shadows: Shadows, job: Job) -> np.ndarray:
    """Lay what is seen by the moon's light; its tones (N, W)."""
    seed = hash_words(job.seed, "stone")
    lit = lighten(shadows, seen)
    tone = tones(seen, lit, seed, 0.0, 1.2)
    tone = drawn_facade(seen, tone, seed + 1, replace(MASONRY, detail=1.0 - job.thrift)).tone
    near = _near(job, shadows.light.column)
    if job.thrift < PLAIN:
        tone = floor_tones(seen, tone, near, seed + 2)
        tone = deck_tones(seen, tone, seed + 6)
        tone, weed = wall_tones(seen, tone, seed + 3)
        green = hanging_green(seen, seed + 4, 6.0) & (seen.kind == Kind.STONE)
        seen.material[weed | green] = NUMBER["grass"]
        leaf = unit(seed, np.floor(seen.u * 0.7).astype(np.int64), seen.v.astype(np.int64))
        tone = np.where(green, np.where(leaf > 0.6, 3.0, 2.0), tone)
    else:
        floor = seen.kind == Kind.FLOOR
        tone = np.where(floor, np.where(tone >= 3, 3.0, 1.0), tone)
    rim = seen.has & (seen.kind == Kind.RING)
    tone = np.where(rim, np.clip(tone, 2.0, 3.0) + 1.0, tone)
    tone = edge_tones(seen, tone, lit, seed + 5)
    picture.material[seen.has] = seen.material[seen.has]
    picture.tone[seen.has] = tone[seen.has]
    return tone


def _warm(
    picture: TonalPicture,
    seen: Seen,
    tone: np.ndarray,
    lamps: Sequence[Lamp],
    eye: Oblique,
    job: Job,
) -> None:
    """Lamplight on what is seen: pools that stones and goods cut."""
    seed = hash_words(job.seed, "warm")
    torn = fractal(job.width, job.lines, seed, 42, 0.12, octaves=3)
    light = lamplight(seen, lamps, eye) * (1.0 + 0.7 * torn)
    warm = seen.has & (light > np.where(tone >= 3, 1.4 * LEAST_WARM, LEAST_WARM))
    value = np.floor((light - LEAST_WARM) / WARM_STEP + 0.4 * (np.minimum(tone, 3.0) - 1.5))
    picture.lay(warm, "warm", np.clip(value, 0.0, 4.0))
    glass = seen.has & (seen.kind == Kind.LAMP)
    rims = glass & ~(shifted(glass, 1, 0) & shifted(glass, -1, 0))
    picture.lay(glass, "glow", np.where(rims, 1.0, 2.0))
    picture.guard |= glass


MIRROR = 13
"""Lines below a wall's foot over which its mirror breaks up."""


def _water(
    picture: TonalPicture, seen: Seen, lamps: Sequence[Lamp], eye: Oblique, job: Job
) -> None:
    """The dark mirror of walls and boats at their foot, ripples on it, the lanterns' light."""
    seed = hash_words(job.seed, "water")
    lines, width = job.lines, job.width
    has = seen.has
    row = np.arange(lines)[:, None]
    last = np.maximum.accumulate(np.where(has, row, -1), axis=0)
    below = np.where(last >= 0, row - last, lines)
    noise = fractal(width, lines, seed, 28, 0.5, octaves=2)
    dark = ~has & (below < MIRROR * (0.7 + 1.2 * noise))
    picture.lay(dark, "water", 0.0)
    ripple = wavelets(lines, width, seed + 1, 0.7, width // 2) > 0
    picture.lay(dark & ripple & (below > 2), "water", 2.0)
    picture.lay(~has & (below == 1), "water", np.where(noise > 0.1, 3.0, 0.0))
    for number, lamp in enumerate(lamps):
        column = eye.place(lamp.place)[0]
        bright, tone = _dashes((lines, width), column, seed + number)
        bright &= ~has & (below < lines)
        picture.lay(bright, "warmth", tone)
        picture.guard |= bright


FLICKER = 2
"""Lines of a dash of lamplight on the near water, with the gap below it."""


def _dashes(size: tuple[int, int], column: float, seed: int) -> tuple[np.ndarray, np.ndarray]:
    """A lamp's light on near water: level dashes about its column, wide and narrow by turns, the
    brightest at the foot of the picture. Pixels (N, W) bool and their tones."""
    lines, width = size
    row = np.arange(lines)
    wave = row // FLICKER
    long, off, gone = (unit(seed, wave, n)[:, None] for n in range(3))
    away = np.arange(width)[None, :] + 0.5 - column - 3.0 * (off - 0.5)
    away = np.abs((away + width / 2) % width - width / 2)
    half = 1.2 + 3.4 * long * long
    lies = (away < half) & (gone > 0.2) & ((row % FLICKER == 0)[:, None] | (away < half * 0.4))
    core = np.where(away < half * 0.35, 3.0, np.where(away < half * 0.7, 2.0, 1.0))
    return lies, core - (gone < 0.45)


def _grow(
    picture: TonalPicture, seen: Seen, place: Place, eye: Oblique, keys: Keys, dice: Dice
) -> None:
    """Plants at the rims of the quays."""
    top = picture.top
    part = dice.part("plants")
    piers = [pier for pier in place.piers if pier.floor == HIGH]
    for n in range(int(26 * keys.plants)):
        one = part.part(n)
        pier = piers[one.whole(0, len(piers) - 1)]
        spot = pier.far(one.unit()) if one.chance(0.6) else pier.near(one.unit())
        column, line = eye.place((spot[0], pier.floor, spot[1]))
        tuft(picture, one, (column, line - top), (one.whole(5, 14), one.between(4, 9)), 0.3)


PAINTER = Painter(
    name="landing",
    about="A landing by the water: quays with stairs, moored boats, posts, goods and lanterns.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
