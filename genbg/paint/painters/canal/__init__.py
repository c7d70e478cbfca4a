"""Painter of a town canal: houses on their bank, what spans the opening, the mirror, the lamps.

Two lights meet: the moon's, from its own column, and the lamps'. A pixel that a lamp reaches takes
its material's warm ramp, whose first tone is the bounce between blue and gold. Water that mirrors
only sky is see-through: the moon's path lies in the plane behind and stays under the moon.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Job, Painter
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.edges import shifted
from genbg.paint.craft.exact import fall
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.solids import (
    Chips,
    Eye,
    Facade,
    Kind,
    Light,
    Seen,
    Shadows,
    chips,
    drawn_facade,
    edge_tones,
    hanging_green,
    lighten,
    look,
    look_in_water,
    ragged,
    tones,
)
from genbg.paint.craft.solids.glow import Lamp, lamplight
from genbg.paint.craft.solids.light import Lit
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.craft.water import broken_off, rippled, shore_line
from genbg.paint.painters.canal.build import BANK, build, lay_town
from genbg.paint.painters.canal.fronts import SHUTTERS, Fronts, tell_fronts
from genbg.paint.painters.canal.keys import NUMBER, RAMPS, WARM, Keys
from genbg.paint.painters.canal.mirror import arched, lamp_columns, lay_mirror
from genbg.paint.painters.canal.plan import house_tones, in_the_air, ringed, tiled

LEAVES = Chips(5, 4, (0.45, 0.5))
MOONLIGHT = Light(0.78, 0.5, 0.17)
FACADE = Facade(8.4, 11.0, (1.9, 5.6), 3.2, 0.86, shutters=0.0, groups=0.7)
ASIDE = {"bridge": 20.0, "arches": 34.0, "gate": 20.0, "basin": 60.0, "narrow": 70.0}
"""Columns by which the opening may lie beside the moon."""
RED, HUNG, CORE = 0.4, 16.0, 0.5
"""Share of paper lanterns that are dull, height over the bank from which lamps are paper, and
sideways share of a normal within which their flame shines through."""
TORN = 0.5
"""How much lamplight is broken up by what walls are made of."""
FAR_AWAKE = 0.4
"""Share of far houses in which a light is seen."""
THROUGH = 440.0
"""Depth from which what shows through an arch is one flat tone."""
ABOVE_WATER = 8
"""Lines below the horizon above which no water mirrors anything."""
FADE = 95.0
"""Columns from the moon over which its light fades to its least, by e."""


@dataclass(frozen=True, eq=False)
class Shown:
    """What is seen, shaded: tones 0..5 of the moon's light, warm (N, W) light of lamps, details."""

    seen: Seen
    tone: np.ndarray
    warm: np.ndarray
    fronts: Fronts
    pane: np.ndarray
    glow: np.ndarray
    door: np.ndarray


def paint(keys: Keys, job: Job) -> Painting:
    """The town and its mirror; open water and sky are see-through."""
    dice = Dice(job.seed, "canal")
    town = lay_town(dice.part("town"), keys.plan, float(job.width))
    moon = job.body.x if job.body else job.width * 0.5
    eye = Eye(moon + ASIDE[town.plan] * dice.between(-1, 1), keys.horizon, keys.eye)
    stage, lamps = build(keys, town, dice.part("build"))
    light = Light(MOONLIGHT.side, MOONLIGHT.high, MOONLIGHT.front, moon, job.width * 0.5)
    shadows = Shadows(stage, light)
    bend = ragged(hash_words(job.seed, "bend"), job.lines, job.width)
    picture = TonalPicture(job, RAMPS)
    lines = job.top, job.bottom
    seen = look(stage, eye, lines, job.width, bend)
    direct = _shaded(seen, shadows, lamps, eye, keys, job)
    _lay(picture, direct)
    if keys.mirror and job.bottom > keys.horizon + ABOVE_WATER:
        band = replace(job, thrift=1.0, top=max(job.top, keys.horizon + ABOVE_WATER))
        low = bend[0][band.top - job.top :], bend[1][band.top - job.top :]
        still = look_in_water(stage, eye, (band.top, band.bottom), job.width, low)
        mirror = _shaded(still, shadows, lamps, eye, keys, band)
        _mirror(picture, direct, mirror, lamps, eye, keys, job)
    return picture.painting(tidy=True)


def _shaded(
    seen: Seen,
    shadows: Shadows,
    lamps: Sequence[Lamp],
    eye: Eye,
    keys: Keys,
    job: Job,
) -> Shown:
    seed = hash_words(job.seed, "stone")
    chips(seen, seen.has & (seen.kind == Kind.LEAF), seed + 1, LEAVES)
    lit = lighten(shadows, seen, cast=False)  # the plan tells planes, and no cast shadow cuts them
    half = job.width / 2
    away = np.abs((np.arange(job.width) + 0.5 - shadows.light.column + half) % job.width - half)
    strong = (0.7 + 0.7 * fall(away / FADE))[None, :]
    lit = Lit(lit.facing * strong, lit.open, lit.sign)
    near = fall(away / FADE)[None, :]
    tone = house_tones(
        seen, tones(seen, lit, seed + 3, 0.45 * (1.0 - job.thrift)), lit.sign, near, seed
    )
    facade = replace(FACADE, glow=keys.glow, detail=1.0 - job.thrift)
    drawn = drawn_facade(seen, tone, seed + 4, facade)
    roof = seen.kind == Kind.ROOF
    calm = tone if job.thrift >= PLAIN else tiled(seen, tone, seed + 10)
    drawn_tone = ringed(seen, np.where(roof, calm, drawn.tone))
    fronts = tell_fronts(seen, drawn_tone, drawn, facade, seed + 9, job.thrift >= PLAIN)
    tone = edge_tones(seen, fronts.tone, lit, seed + 5)
    tone = in_the_air(seen, tone, near)
    far = seen.has & (seen.material == NUMBER["haze"])
    through = arched(seen) & seen.has & (seen.depth > THROUGH)
    tone = np.where(through, 1.0, tone)
    wet = seen.has & (seen.y < 1.8) & (seen.kind == Kind.STONE)
    tone = np.where(wet, np.where(tone >= 3, 3.0, 0.0), tone)
    green = hanging_green(seen, seed + 6, 5.0)
    seen.material[green] = NUMBER["leaf"]
    torn = fractal(job.width, job.lines, seed + 8, 42, 0.11, octaves=3)
    warm = lamplight(seen, lamps, eye) * (1.0 + TORN * torn)
    awake = fronts.glow & (~far | (~through & (unit(seed, seen.thing) < FAR_AWAKE)))
    return Shown(seen, tone, warm, fronts, fronts.pane & ~far, awake, drawn.door & ~far)


PLAIN = 0.6
"""Thrift from which the mirror is a third as long."""
LEAST_WARM = 0.20
"""Lamplight from which a pixel takes its warm ramp; a moonlit one needs half as much again."""
LEAFY = 0.35
"""Share of lamplight that leaves give back."""
WARM_STEP = 0.24
"""Lamplight from tone to tone of the warm ramps."""


def _lay(picture: TonalPicture, shown: Shown) -> None:
    """Lay what is seen, by the moon or by a lamp."""
    seen, tone = shown.seen, shown.tone
    picture.material[seen.has] = seen.material[seen.has]
    picture.tone[seen.has] = tone[seen.has]
    moonlit = tone >= 3
    warm = shown.warm + 0.05 * (tone - 1.0) * (shown.warm > 0)
    warm = np.where(seen.kind == Kind.LEAF, warm * LEAFY, warm)
    golden = seen.has & (warm > np.where(moonlit, LEAST_WARM * 1.5, LEAST_WARM))
    table = np.arange(len(RAMPS))
    for cool, lamp in WARM.items():
        table[NUMBER[cool]] = NUMBER[lamp]
    picture.material[golden] = table[seen.material][golden]
    picture.tone[golden] = np.clip(np.floor((warm - LEAST_WARM) / WARM_STEP), 0, 4)[golden]
    _lay_fronts(picture, shown, golden, moonlit)
    lamp = seen.has & (seen.kind == Kind.LAMP)
    rims = lamp & ~(shifted(lamp, 1, 0) & shifted(lamp, -1, 0) & shifted(lamp, 0, 1))
    dull = np.where(unit(hash_words(11, "paper"), seen.thing) < RED, 1.0, 0.0)
    shade = np.where(rims, 1.0, np.where(np.abs(seen.nx) < CORE, 3.0, 2.0)) - dull * ~rims
    picture.lay(lamp, "glow", np.where(seen.y > BANK + HUNG, shade, 3.0))
    spans = seen.has & (seen.kind == Kind.STONE) & (seen.y > BANK + 1.0)
    spans |= seen.has & (seen.kind == Kind.RING)
    picture.guard |= lamp | shown.glow | spans


def _lay_fronts(
    picture: TonalPicture, shown: Shown, golden: np.ndarray, moonlit: np.ndarray
) -> None:
    """Timbers, shutters, panes and doors, by the moon or by a lamp."""
    seen, fronts = shown.seen, shown.fronts
    dark = np.where(moonlit, 3.0, 0.0)
    picture.lay(fronts.timber & ~golden, "wood", dark)
    picture.lay(fronts.timber & golden, "ember", 0.0)
    paint = np.array(SHUTTERS)[(unit(11, seen.thing) * len(SHUTTERS)).astype(np.int64)]
    shut = fronts.shutter & ~golden
    picture.material[shut] = paint[shut]
    picture.tone[shut] = (dark + 1.0)[shut]
    picture.lay(fronts.halo & ~golden, "ember", 0.0)
    glint = moonlit & (np.floor(seen.u - seen.v) % 6 < 1)
    picture.lay(shown.pane, "pane", np.where(glint, 2.0, np.where(golden | moonlit, 0.0, 1.0)))
    picture.lay(shown.door, "wood", 0.0)
    picture.lay(shown.glow, "glow", np.where(seen.v % FACADE.storey < 6.0, 2.0, 1.0))


def _mirror(
    picture: TonalPicture,
    direct: Shown,
    mirror: Shown,
    lamps: Sequence[Lamp],
    eye: Eye,
    keys: Keys,
    job: Job,
) -> None:
    """The town in the water: dark and broken, warm where lamps are, with their columns of light."""
    seed = hash_words(job.seed, "ripples")
    has = direct.seen.has
    edge = round(keys.horizon + keys.eye) - job.top
    line, column = rippled(job.lines, job.width, edge, seed)
    line = np.maximum(line - (mirror.seen.top - job.top), 0)
    wet = has & (direct.seen.y < 7)
    foot = np.where(wet.any(axis=0), job.lines - 1 - wet[::-1].argmax(axis=0), edge)
    below = np.arange(job.lines)[:, None] - np.minimum(foot, edge + 6)[None, :]
    water = ~has & (np.arange(job.lines)[:, None] > keys.horizon - job.top)
    shown = mirror.seen.has[line, column] & water
    long = keys.mirror * (1.0 if job.thrift < PLAIN else 1 / 3)
    shown &= broken_off(job.lines, job.width, below, long, seed + 1)
    shown &= ~arched(direct.seen) | (np.arange(job.lines)[:, None] >= edge)
    lay_mirror(picture, shown, mirror.seen.material, mirror.tone, (line, column))
    warm = np.where(mirror.glow, 1.3, mirror.warm * 0.8)[line, column]
    warm = warm * np.clip(1.1 - below / long, 0.0, 1.0)
    tinted = shown & (warm > LEAST_WARM)
    picture.lay(tinted, "warmth", np.clip(np.floor((warm - LEAST_WARM) / 0.3), 0, 4))
    heat = lamp_columns(lamps, eye, edge, job, seed)
    bright = water & (heat >= 0)
    picture.lay(bright, "warmth", np.floor(heat + 1.6))
    picture.guard |= bright
    dark, thread = shore_line(has & (direct.seen.y < 2), seed + 2, 0.35)
    picture.lay(dark & ~has, "mirror", 0.0)
    picture.lay(thread & ~has, "thread", 1.0)


PAINTER = Painter(
    name="canal",
    about="A town canal: house fronts, a bridge, boats, lamps and all of it in the water.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
