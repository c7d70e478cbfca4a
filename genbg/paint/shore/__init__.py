"""Painter of the near shore: rocks in groups with water between, nets, grasses, a boat, a lamp."""

from __future__ import annotations

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Job, Painter
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.solids import (
    Chips,
    Eye,
    Frame,
    Kind,
    Light,
    Seen,
    Shadows,
    Stage,
    chips,
    edge_tones,
    lighten,
    look,
    ragged,
    tones,
)
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.craft.water import shore_line
from genbg.paint.families.lamps import LAMPS
from genbg.paint.shore.blades import net, stalk, tuft
from genbg.paint.shore.build import STUFF, beach_boat, build_rocks, place_groups
from genbg.paint.shore.keys import NUMBER, RAMPS, ShoreKeys
from genbg.paint.shore.quay import build_quay, moor_boat, paving, place_slabs

EYE_HEIGHT = 127.0
"""Over the near water, in pixels at the depth of the rocks: we look down on them."""
CUT = Chips(15, 11, (0.5, 0.42))
LIGHT = Light(0.78, 0.42, -0.36)
"""Low, from behind: only tops and sides catch it."""


def paint(keys: ShoreKeys, job: Job) -> Painting:
    """The near shore; water between is see-through."""
    dice = Dice(job.seed, "shore")
    stage = _build(keys, job, dice)
    eye = Eye(job.width / 2, keys.horizon, EYE_HEIGHT)
    bend = ragged(hash_words(job.seed, "bend"), job.lines, job.width)
    seen = look(stage, eye, (job.top, job.bottom), job.width, bend)
    sun = job.body.x if job.body else job.width * 0.25
    light = Light(LIGHT.side, LIGHT.high, LIGHT.front, sun, job.width * 0.6)
    picture = TonalPicture(job, RAMPS)
    _colour(picture, seen, Shadows(stage, light), job)
    lamps = dice.part("lamps")
    for n in range(keys.lamps):
        _set_lamp(picture, seen, eye, lamps.part(n), job)
    _grow(picture, seen, light.signs(job.width)[0], keys, job, dice)
    return picture.painting()


def _build(keys: ShoreKeys, job: Job, dice: Dice) -> Stage:
    """What we stand on, and its boat."""
    stage, width = Stage(), float(job.width)
    if keys.kind == "quay":
        slabs = place_slabs(dice.part("slabs"), keys.cover, width)
        build_quay(stage, dice.part("quay"), slabs, STUFF)
        if keys.boat:
            moor_boat(stage, dice.part("boat"), slabs, STUFF)
        return stage
    groups = place_groups(dice.part("groups"), keys.cover, keys.rise, width)
    build_rocks(stage, dice.part("rocks"), groups, width)
    if keys.boat:
        beach_boat(stage, dice.part("boat"), groups, width)
    return stage


def _colour(picture: TonalPicture, seen: Seen, shadows: Shadows, job: Job) -> None:
    seed = hash_words(job.seed, "stone")
    mossy = fractal(job.width, job.lines, seed + 2, 14, octaves=3) + 0.5 * (seen.ny - 0.8) > 0.06
    seen.material[(seen.material == NUMBER["rock"]) & (seen.ny > 0.6) & mossy] = NUMBER["grass"]
    chips(seen, seen.has & (seen.kind == Kind.ROCK), seed, CUT)
    lit = lighten(shadows, seen)
    tone = edge_tones(seen, tones(seen, lit, seed + 3, 0.4, 1.6), lit, seed + 5)
    tone, joint = paving(seen, tone, seed + 8)
    mossy = fractal(job.width, job.lines, seed + 9, 20, octaves=2) > 0.16
    seen.material[joint & mossy] = NUMBER["grass"]
    wet = seen.has & (seen.y < 2.0)
    tone = np.where(wet, np.minimum(tone, np.where(tone >= 3, 3.0, 0.0)), tone)
    picture.material[seen.has] = seen.material[seen.has]
    picture.tone[seen.has] = tone[seen.has]
    dark, thread = shore_line(seen.has & (seen.y < 4), seed + 6)
    picture.lay(dark & ~seen.has, "foam", 0.0)
    picture.lay(thread & ~seen.has, "foam", 1.0)


POOL = 15.0
"""Pixels that the light of a lamp set down reaches."""


def _set_lamp(picture: TonalPicture, seen: Seen, eye: Eye, dice: Dice, job: Job) -> None:
    """The courier's lamp on a rock that is high and level, with its pool of light."""
    rim = np.where(seen.has.any(axis=0), seen.has.argmax(axis=0), job.lines - 1)
    foot = np.minimum(rim + 3, job.lines - 1)
    columns = np.arange(job.width)
    level = seen.has[foot, columns] & (seen.ny[foot, columns] > 0.6) & (rim > 14)
    if not level.any():
        return
    best = np.where(level, rim * 4 + np.floor(unit(dice.seed, columns) * 40), np.inf)
    x = int(best.argmin())
    y = int(foot[x])
    stage = Stage()
    frame = Frame(float(seen.x[y, x]), float(seen.y[y, x]) - 0.5, float(seen.z[y, x]))
    LAMPS["hand"](stage, dice, frame, 13.0, STUFF)
    lamp = look(stage, eye, (job.top, job.bottom), job.width)
    across = np.abs((columns - x + job.width / 2) % job.width - job.width / 2)[None, :]
    down = np.arange(job.lines)[:, None] - y
    away = np.sqrt(across * across * 0.6 + down * down * 1.8) / POOL
    ground = picture.holds("rock", "grass", "stone") & seen.has
    near = ground & (away < 1.0) & (seen.ny > -0.2)
    warmer = np.where(away < 0.4, 4.0, 3.0)
    picture.tone[near] = np.maximum(picture.tone, warmer)[near]
    picture.material[lamp.has] = lamp.material[lamp.has]
    tone = np.where(lamp.kind == Kind.LAMP, 2.0, 1.0)
    picture.tone[lamp.has] = tone[lamp.has]
    picture.guard |= lamp.has


def _grow(
    picture: TonalPicture, seen: Seen, signs: np.ndarray, keys: ShoreKeys, job: Job, dice: Dice
) -> None:
    """Nets and grasses on the upper edges of the rocks."""
    rim = np.where(seen.has.any(axis=0), seen.has.argmax(axis=0), job.lines)
    hung = dice.part("nets")
    for n in range(keys.nets):
        _hang(picture, hung.part(n), rim, signs, job)
    part = dice.part("grass")
    for n in range(int(34 * keys.grass)):
        x = part.whole(0, job.width - 1)
        if rim[x] > job.lines - 8:
            continue
        wind, one = 0.55 * float(signs[x]), part.part(n)
        high = one.between(6, 15) * one.between(0.6, 1.0)
        tuft(picture, one, (x, rim[x] + one.between(0, 5)), (one.whole(7, 20), high), wind)
        if one.chance(0.25):
            stalk(picture, one, x, rim[x] + 2.0, high * 1.4, wind)


def _hang(picture: TonalPicture, dice: Dice, rim: np.ndarray, signs: np.ndarray, job: Job) -> None:
    """A net between posts where the rocks are not too high."""
    for _ in range(20):
        x = dice.whole(0, job.width - 1)
        xs = [x, x + dice.whole(34, 46), x + dice.whole(74, 88)]
        feet = [int(rim[at % job.width]) for at in xs]
        if all(job.lines * 0.3 < foot < job.lines - 4 for foot in feet):
            high = min(feet) - 2.0
            rise = min(high, 30.0) - min(feet)
            posts = [
                (float(at), foot + 2.0, rise + foot + dice.between(-3, 2))
                for at, foot in zip(xs, feet, strict=True)
            ]
            net(picture, dice, posts, float(signs[x]))
            return


PAINTER = Painter(
    name="shore",
    about="The near shore: rocks or a quay with water between, nets, grasses, a boat, a lamp.",
    params=ShoreKeys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
