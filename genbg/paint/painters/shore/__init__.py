"""Painter of the near shore: rocks in groups with water between, nets, grasses, a boat, a lamp."""

from __future__ import annotations

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
    Chips,
    Facade,
    Frame,
    Kind,
    Light,
    Oblique,
    Seen,
    Shadows,
    Stage,
    chips,
    drawn_facade,
    edge_tones,
    lighten,
    look,
    ragged,
    tones,
)
from genbg.paint.craft.solids.glow import Lamp, lamplight
from genbg.paint.craft.solids.light import Lit
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.craft.water import shore_line
from genbg.paint.families.lamps import LAMPS
from genbg.paint.painters.shore.build import STUFF, beach_boat, place_groups, strew
from genbg.paint.painters.shore.keys import NUMBER, RAMPS, Keys
from genbg.paint.painters.shore.quay import REPEAT, build_quay, paving, place_slabs, slip_tones
from genbg.paint.painters.shore.shelf import Shelf, colour_shelf, lay_shelf
from genbg.paint.parts.blades import net, stalk, tuft

WATERLINE = 215.0
"""Line at which things at the usual depth stand in the water."""
SLOPES = {"rocks": 0.32, "quay": 0.55}
"""Lines by which ground a unit deeper lies higher: we look down on a quay more than on rocks."""
CUT = Chips(15, 11, (0.5, 0.42))
PLAIN = 0.6
"""Thrift from which rocks have no chips and floors no stones."""
TWICE = 0.9
"""Thrift from which the shore repeats after half the plane."""
BARE = 16
"""Lines at the foot of the picture in which no rim of a quay grows anything: a slip stays clear."""
PUDDLES = 0.24
"""Noise above which a floor is under water."""
MASONRY = Facade(holes=0.0, glow=0.0, shutters=0.0, doors=False, course=6.0)
LIGHT = Light(0.78, 0.42, -0.36)
"""Low, from behind: only tops and sides catch it."""


def paint(keys: Keys, job: Job) -> Painting:
    """The near shore; water between is see-through."""
    if job.thrift >= TWICE:
        return _twice(paint(keys, replace(job, width=job.width // 2, thrift=PLAIN)))
    dice = Dice(job.seed, "shore")
    stage = _build(keys, job, dice)
    eye = near_eye(keys, job)
    bend = ragged(hash_words(job.seed, "bend"), job.lines, job.width)
    seen = look(stage, eye, (job.top, job.bottom), job.width, bend)
    sun = job.body.x if job.body else job.width * 0.25
    light = Light(LIGHT.side, LIGHT.high, LIGHT.front, sun, job.width * 0.6)
    picture = TonalPicture(job, RAMPS)
    if keys.kind == "rocks":
        _rocks(picture, seen, eye, keys, job, Shadows(stage, light))
    else:
        _colour(picture, seen, Shadows(stage, light), keys, job)
    if keys.lamps:
        _set_lamps(picture, seen, eye, keys, job, dice.part("lamps"))
    _grow(picture, seen, light.signs(job.width)[0], keys, job, dice)
    return picture.painting(tidy=True)


def _twice(half: Painting) -> Painting:
    """A painting of half the plane's width, side by side with itself."""
    guard = None if half.guard is None else np.tile(half.guard, 2)
    return Painting(np.tile(half.ink, 2), half.ramps, guard)


def tiled(job: Job, seed: int, cells: int, line_cells: float) -> np.ndarray:
    """Noise (N, W) that repeats as paving does, so that its plain stretches share tiles."""
    noise = fractal(REPEAT, job.lines, seed, cells, line_cells, octaves=3)
    return np.tile(noise, (1, -(-job.width // REPEAT)))[:, : job.width]


def near_eye(keys: Keys, job: Job) -> Oblique:
    """The view of the near shore."""
    return Oblique(job.width / 2, WATERLINE, SLOPES[keys.kind])


def _build(keys: Keys, job: Job, dice: Dice) -> Stage:
    """What we stand on, and its boat."""
    stage, width = Stage(), float(job.width)
    if keys.kind == "quay":
        slabs = place_slabs(dice.part("slabs"), keys.cover, width, near_eye(keys, job))
        build_quay(stage, dice.part("quay"), slabs, near_eye(keys, job), keys.boat)
        return stage
    groups = place_groups(dice.part("groups"), keys.cover, keys.rise, width)
    if keys.boat:
        beach_boat(stage, dice.part("boat"), groups, near_eye(keys, job))
    if keys.boulders:
        number = round(keys.boulders * width / 512 * (1.0 if job.thrift < PLAIN else 0.5))
        strew(stage, dice.part("strew"), groups, near_eye(keys, job), number, keys.rise)
    return stage


def _rocks(
    picture: TonalPicture, seen: Seen, eye: Oblique, keys: Keys, job: Job, shadows: Shadows
) -> None:
    """Lay the shelf with the boat on it, and tell `seen` of its ground."""
    dice = Dice(job.seed, "shore")
    groups = place_groups(dice.part("groups"), keys.cover, keys.rise, float(job.width))
    light = shadows.light
    signs = light.signs(job.width)[0]
    shelf = lay_shelf(job, dice.part("shelf"), groups, keys.rise, light.column, signs)
    seed = hash_words(job.seed, "stone")
    colour_shelf(picture, shelf, seed, job.thrift >= PLAIN)
    boat = seen.has.copy()
    stone = boat & (seen.kind == Kind.ROCK)
    if job.thrift < PLAIN and keys.boulders:
        chips(seen, stone, seed, CUT)
    lit = lighten(shadows, seen)
    tone = edge_tones(seen, tones(seen, lit, seed + 3, 0.0, 1.6), lit, seed + 5)
    tone = drawn_facade(seen, tone, seed + 7, replace(MASONRY, detail=1.0 - job.thrift)).tone
    under = shelf.has & ~boat & (shifted(boat, 0, -1) | shifted(boat, 0, -2))
    under &= ~shifted(boat, 0, 1)
    picture.lay(under, "rock", 0.0)
    picture.material[boat] = seen.material[boat]
    picture.tone[boat] = tone[boat]
    _tell(seen, shelf, shelf.has & ~boat, eye)


def _tell(seen: Seen, shelf: Shelf, ground: np.ndarray, eye: Oblique) -> None:
    """Write the shelf's ground (N, W) bool into what is seen, where lamps and grass look for it."""
    line, column = np.nonzero(ground)
    seen.x[ground] = column + 0.5 - eye.x
    seen.y[ground] = GROUND
    depths = [eye.depth_at(seen.top + n + 0.5, GROUND) for n in range(len(ground))]
    seen.z[ground] = np.array(depths)[line]
    seen.nx[ground] = seen.nz[ground] = 0.0
    seen.ny[ground] = np.where(shelf.top, 1.0, 0.0)[ground]
    seen.kind[ground] = Kind.ROCK
    seen.has[ground] = True


GROUND = 5.0
"""Height of the shelf over the water, in units."""


def _colour(picture: TonalPicture, seen: Seen, shadows: Shadows, keys: Keys, job: Job) -> None:
    """Lay what is seen."""
    seed = hash_words(job.seed, "stone")
    mossy = fractal(job.width, job.lines, seed + 2, 14, octaves=3) + 0.5 * (seen.ny - 0.8) > 0.06
    seen.material[(seen.material == NUMBER["rock"]) & (seen.ny > 0.6) & mossy] = NUMBER["grass"]
    if job.thrift < PLAIN:
        chips(seen, seen.has & (seen.kind == Kind.ROCK), seed, CUT)
    lit = lighten(shadows, seen)
    away = np.arange(job.width) + 0.5 - shadows.light.column
    away = np.abs((away + job.width / 2) % job.width - job.width / 2)
    if keys.dim:
        torn = 1.0 + 1.1 * tiled(job, seed + 11, 6, 0.16)
        strong = 1.0 - keys.dim + keys.dim * fall(away / BODY_REACH)[None, :] * torn
        lit = Lit(lit.facing * strong, lit.open, lit.sign)
    tone = edge_tones(seen, tones(seen, lit, seed + 3, 0.4 * (1 - job.thrift), 1.6), lit, seed + 5)
    tone = drawn_facade(seen, tone, seed + 7, replace(MASONRY, detail=1.0 - job.thrift)).tone
    tone = slip_tones(seen, tone) if keys.kind == "quay" else tone
    joint = np.zeros(tone.shape, dtype=bool)
    if job.thrift < PLAIN:
        tone, joint = paving(seen, tone, fall(away / BODY_REACH)[None, :], seed + 8)
    mossy = tiled(job, seed + 9, 5, 0.04) > 0.16
    seen.material[joint & mossy] = NUMBER["grass"]
    pools = tiled(job, seed + 10, 2, 0.09) > PUDDLES
    pools &= seen.has & (seen.kind == Kind.FLOOR)
    wet = seen.has & (seen.y < 2.0) & (seen.kind != Kind.STONE)
    tone = np.where(wet, np.minimum(tone, np.where(tone >= 3, 3.0, 0.0)), tone)
    picture.material[seen.has] = seen.material[seen.has]
    picture.tone[seen.has] = tone[seen.has]
    picture.lay(pools, "foam", 0.0)
    picture.lay(pools & ~shifted(pools, 0, -2), "foam", 1.0)
    dark, thread = shore_line(seen.has & (seen.y < 4), seed + 6)
    picture.lay(dark & ~seen.has, "foam", 0.0)
    picture.lay(thread & ~seen.has, "foam", 1.0)


BODY_REACH = 80.0
"""Columns from the body over which its light fades, by e, where it is dim far off."""
APART = 90
"""Least columns between lamps."""


def _set_lamps(
    picture: TonalPicture, seen: Seen, eye: Oblique, keys: Keys, job: Job, dice: Dice
) -> None:
    """The courier's lamps where the ground is high and level, with their pools of light."""
    columns = np.arange(job.width)
    rim = np.where(seen.has.any(axis=0), seen.has.argmax(axis=0), job.lines - 1)
    foot = np.minimum(rim + 4, job.lines - 1)
    level = seen.has[foot, columns] & (seen.ny[foot, columns] > 0.6) & (rim > 13)
    best = np.where(level, rim * 4 + np.floor(unit(dice.seed, columns) * 40), np.inf)
    stage, lamps = Stage(), []
    for _ in range(keys.lamps):
        x = int(best.argmin())
        if not np.isfinite(best[x]):
            break
        y = int(foot[x])
        frame = Frame(float(seen.x[y, x]), float(seen.y[y, x]) - 0.5, float(seen.z[y, x]) - 4.0)
        lamps.append(Lamp(LAMPS["hand"](stage, dice, frame, 11.0, STUFF), 1.6, 13.0))
        best[np.abs((columns - x + job.width / 2) % job.width - job.width / 2) < APART] = np.inf
    torn = fractal(job.width, job.lines, dice.seed, 42, 0.14, octaves=3)
    light = lamplight(seen, lamps, eye) * (1.0 + 1.2 * torn)
    warm = seen.has & (light > LEAST_WARM) & picture.holds("rock", "grass", "stone", "wood")
    dark = picture.tone - np.where(picture.tone >= 3, 3.0, 0.0)
    tone = np.floor((light - LEAST_WARM) / 0.26 + dark * 0.5)
    picture.lay(warm, "warm", np.clip(tone, 0.0, 4.0))
    if keys.kind == "quay":
        for lamp in lamps:
            _streak(picture, eye.place(lamp.place), dice.seed)
    shown = look(stage, eye, (job.top, job.bottom), job.width)
    picture.material[shown.has] = shown.material[shown.has]
    glass = shown.has & (shown.kind == Kind.LAMP)
    rims = glass & ~(shifted(glass, 1, 0) & shifted(glass, -1, 0))
    picture.tone[shown.has] = np.where(glass, np.where(rims, 1.0, 2.0), 1.0)[shown.has]
    picture.guard |= glass


STREAK = 26.0
"""Lines over which a lamp's streak on wet stone ends."""


def _streak(picture: TonalPicture, at: tuple[float, float], seed: int) -> None:
    """Light of a lamp at (column, line) that wet ground draws out toward us, in broken strokes."""
    lines, width = picture.tone.shape
    down = np.arange(lines)[:, None] - (at[1] - picture.top) - 3.0
    row = np.arange(lines) // 2
    shift, long, kept = (unit(seed, row, n)[:, None] for n in (1, 2, 3))
    x = np.arange(width)[None, :] + 0.5 - at[0] - (shift - 0.5) * 3.0
    x = np.abs((x + width / 2) % width - width / 2)
    strong = 1.0 - down / STREAK
    lies = (x < (1.4 + 0.12 * down) * (0.5 + long)) & (down > 0) & (kept < 0.35 + 0.6 * strong)
    lies &= picture.holds("rock", "grass", "stone", "warm", "foam")
    tone = np.floor(4.2 * strong - 0.6 * x)
    warmer = lies & (tone > np.where(picture.holds("warm"), picture.tone, -1.0))
    picture.lay(warmer, "warm", np.clip(tone, 0.0, 4.0))


LEAST_WARM = 0.22
"""Lamplight from which ground takes its warm ramp."""


def _grow(
    picture: TonalPicture, seen: Seen, signs: np.ndarray, keys: Keys, job: Job, dice: Dice
) -> None:
    """Nets and grasses on the upper edges of the rocks."""
    rim = np.where(seen.has.any(axis=0), seen.has.argmax(axis=0), job.lines)
    if keys.kind == "quay":
        wall = seen.kind[np.minimum(rim, job.lines - 1), np.arange(job.width)] == Kind.STONE
        rim = np.where(wall | (rim > job.lines - BARE), job.lines, rim)
    hung = dice.part("nets")
    for n in range(keys.nets if job.thrift < PLAIN else 0):
        _hang(picture, hung.part(n), rim, signs, job)
    part = dice.part("grass")
    for n in range(int(34 * keys.grass * (1 - job.thrift))):
        x = part.whole(0, job.width - 1)
        if rim[x] > job.lines - 8 or (keys.kind == "rocks" and not _soil(picture, seen, rim, x)):
            continue
        wind, one = 0.55 * float(signs[x]), part.part(n)
        high = one.between(6, 15) * one.between(0.6, 1.0)
        tuft(picture, one, (x, rim[x] + one.between(0, 5)), (one.whole(7, 20), high), wind)
        if one.chance(0.25):
            stalk(picture, one, x, rim[x] + 2.0, high * 1.4, wind)


def _soil(picture: TonalPicture, seen: Seen, rim: np.ndarray, x: int) -> bool:
    """True where grass finds hold: on level rock, clear of lamps."""
    beside = np.arange(x - 9, x + 10) % len(rim)
    level = seen.kind[rim[x], x] == Kind.ROCK and seen.ny[rim[x], x] > 0.5
    return bool(level and not picture.guard[:, beside].any())


def _hang(picture: TonalPicture, dice: Dice, rim: np.ndarray, signs: np.ndarray, job: Job) -> None:
    """A net between posts where the rocks are not too high."""
    for _ in range(20):
        x = dice.whole(0, job.width - 1)
        xs = [x, x + dice.whole(34, 46), x + dice.whole(74, 88)]
        feet = [int(rim[at % job.width]) for at in xs]
        lamp = picture.guard[:, np.arange(xs[0] - 6, xs[2] + 7) % job.width].any()
        if all(job.lines * 0.3 < foot < job.lines - 4 for foot in feet) and not lamp:
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
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
