"""Painter of cliffs: a village in terraces over its harbour, in one light, with its mirror.

Everything is a small solid in one perspective. The land lies beside the sun or moon, on the side
that the seed draws; all light comes from the body's own column.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Job, Painter
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.edges import shifted
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.solids import (
    Chips,
    Eye,
    Facade,
    Kind,
    Light,
    Seen,
    Shadows,
    bedded,
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
from genbg.paint.craft.solids.light import TEXELS
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.craft.water import broken_off, rippled, shore_line
from genbg.paint.painters.cliffs.build import MOLE_DEPTH, build, sail_out
from genbg.paint.painters.cliffs.keys import NUMBER, RAMPS, Keys
from genbg.paint.painters.cliffs.land import lay_land
from genbg.paint.painters.cliffs.smoke import lay_smoke

PLAIN = 0.6
"""Thrift from which rock is left without its beds, and mirrors are a third as long."""
WET = 4.0
"""Units above the water below which a foot counts as standing in it."""
ABOVE_WATER = 30
"""Lines below the horizon above which nothing is mirrored."""
SCREEN = 160.0
"""Column in the middle of the first screen."""
CLEAR = 28.0
"""Columns between the body and the land, and as many more where a mole lies between them."""
BESIDE = (15.0, 26.0, 36.0, -18.0)
"""Columns from the body's to the end of a mole: its post stands at an edge of the light's path, on
this side or the other, or clear of it."""


COARSE = 0.8
"""Pixels a unit in the light's picture of a hill that is higher than a screen: a coarse one takes a
third of the time."""
LOW, NOON = (0.4, 0.1), (0.7, 0.6)
"""How far light comes from above and from our side while it stands low, and how much more at noon:
while the sun stands low behind the place, what faces us lies in the cool of its own shade."""
CRAGS = Chips(7, 17, (0.55, 0.22), 0.35)
LEAVES = Chips(4, 3, (0.55, 0.55))


def paint(keys: Keys, job: Job) -> Painting:
    """Village, harbour and mirror; all else is see-through."""
    dice = Dice(job.seed, "cliffs")
    land = lay_land(dice.part("land"), keys.plan)
    sun = job.body.x if job.body else job.width * 0.25
    away = CLEAR * (2 if keys.mole else 1) - land.left + keys.offset
    side = _side(sun, away, job.width)
    turned = side < 0
    eye = Eye((sun + side * away) % job.width, keys.horizon, keys.eye)
    mole_end = (dice.part("mole").choice(BESIDE) - away) * MOLE_DEPTH / eye.focal
    stage, works = build(keys, land, dice.part("build"), turned, mole_end)
    sail_out(stage, dice.part("offing"), keys, -away, eye.focal)
    far_side = away + land.right
    high, front = LOW[0] + NOON[0] * keys.noon, LOW[1] + NOON[1] * keys.noon
    turn = side * (far_side + job.width) / 2
    light = Light(high=high, front=front, column=sun, turn=turn)
    shadows = Shadows(stage, light, COARSE if land.plan == "stair" else TEXELS)
    picture = TonalPicture(job, RAMPS)
    lines = job.top, job.bottom
    bend = ragged(hash_words(job.seed, "bend"), job.lines, job.width)
    seen = look(stage, eye, lines, job.width, bend)
    _colour(picture, seen, shadows, keys, job, _firelight(seen, works.fires, eye))
    if works.puffs:
        lay_smoke(picture, seen, works.puffs, eye, job, light.signs(job.width))
    if keys.mirror and job.bottom > keys.horizon + ABOVE_WATER:
        first = max(job.top, keys.horizon + ABOVE_WATER)
        low = bend[0][first - job.top :], bend[1][first - job.top :]
        still = look_in_water(stage, eye, (first, job.bottom), job.width, low)
        _mirror(picture, seen, still, shadows, keys, job)
    return picture.painting(tidy=True)


def _side(sun: float, away: float, width: int) -> float:
    """1 or -1: right or left of the body, where the first screen shows more of the land."""
    off = [
        abs((sun + side * away - SCREEN + width / 2) % width - width / 2) for side in (1.0, -1.0)
    ]
    return 1.0 if off[0] <= off[1] else -1.0


def _shaded(
    seen: Seen, shadows: Shadows, keys: Keys, job: Job, cast: bool = True
) -> tuple[np.ndarray, dict[str, np.ndarray]]:
    """Tones 0..5 (N, W) of what is seen, and pixels of what is drawn on it by name."""
    seed = hash_words(job.seed, "stone")
    if job.thrift < PLAIN:
        chips(seen, seen.has & (seen.kind == Kind.ROCK), seed, CRAGS)
        chips(seen, seen.has & (seen.kind == Kind.LEAF), seed + 1, LEAVES)
    top = 0.66 + 0.2 * fractal(job.width, job.lines, seed + 2, 36, octaves=2)
    seen.material[(seen.material == NUMBER["rock"]) & (seen.ny > top)] = NUMBER["grass"]
    lit = lighten(shadows, seen, cast)
    tone = tones(seen, lit, seed + 3, 1.0 - 0.7 * job.thrift)
    if job.thrift < PLAIN:
        tone = bedded(seen, tone, seed + 7)
    drawn = drawn_facade(seen, tone, seed + 4, Facade(glow=keys.glow, detail=1.0 - job.thrift))
    tone = edge_tones(seen, drawn.tone, lit, seed + 5)
    wet = seen.has & (seen.y < 1.6) & np.isin(seen.kind, [Kind.ROCK, Kind.STONE])
    tone = np.where(wet, np.where(tone >= 3, 3.0, 0.0), tone)
    if job.thrift < PLAIN:
        green = hanging_green(seen, seed + 6) & ~np.isin(seen.material, BRICK)
        seen.material[green] = NUMBER["leaf"]
    parts = {"pane": drawn.pane, "glow": drawn.glow & (tone < 3), "door": drawn.door}
    parts["shutter"] = drawn.shutter
    return tone, parts


BRICK = tuple(NUMBER[name] for name in ("rose", "ochre"))
"""What is too hot for anything to grow on it."""
FIRELIT = 0.3
"""Light of fires from which something in shade is lit by them."""


def _firelight(seen: Seen, fires: Sequence[Lamp], eye: Eye) -> np.ndarray | float:
    """Light (N, W) of fires on what is seen; 0 where there are none."""
    return lamplight(seen, fires, eye) if fires else 0.0


def _colour(
    picture: TonalPicture,
    seen: Seen,
    shadows: Shadows,
    keys: Keys,
    job: Job,
    fire: np.ndarray | float,
) -> None:
    """Lay what is seen. fire: light (N, W) of fires on it"""
    tone, parts = _shaded(seen, shadows, keys, job)
    tone = np.where(fire > FIRELIT, np.clip(2.6 + 1.6 * fire, np.maximum(tone, 3.0), 5.0), tone)
    tone = np.floor(tone)
    picture.material[seen.has] = seen.material[seen.has]
    picture.tone[seen.has] = tone[seen.has]
    light = tone >= 3
    picture.lay(parts["pane"], "pane", np.where(light, 1.0, 0.0))
    picture.lay(parts["door"], "wood", np.where(light, 3.0, 1.0))
    picture.lay(parts["shutter"], "leaf", np.where(light, 3.0, 1.0))
    picture.lay(parts["glow"], "glow", np.where(seen.v % 7.4 < 5.0, 1.0, 0.0))
    lamp = seen.has & (seen.kind == Kind.LAMP)
    picture.lay(lamp, "glow", 2.0)
    if not isinstance(fire, float):
        rim = lamp & ~(shifted(lamp, 1, 0) & shifted(lamp, -1, 0) & shifted(lamp, 0, 1))
        picture.lay(rim, "glow", 0.0)
    picture.guard |= lamp | parts["glow"] | (seen.has & (seen.kind == Kind.TOWER))


DULL = {"white": 0.0, "ochre": -0.3, "rose": -0.3, "tile": -0.6, "slate": -0.6}
"""How much darker a material is than whitewash, in tones; all others a whole tone."""


def _mirror(
    picture: TonalPicture,
    seen: Seen,
    still: Seen,
    shadows: Shadows,
    keys: Keys,
    job: Job,
) -> None:
    """The mirror below the feet of things: whole at the waterline, broken into rows toward us."""
    plain = replace(job, thrift=max(job.thrift, PLAIN), top=still.top)
    tone, _ = _shaded(still, shadows, keys, plain)
    dull = np.array([DULL.get(ramp.name, -1.0) for ramp in RAMPS])[still.material]
    value = np.where(tone >= 3, np.maximum(tone + dull, 3.0), np.maximum(tone + dull, 0.0))
    value = drawn_out(value, still.has)
    value = np.where(still.kind == Kind.LAMP, 5.0, value)
    seed = hash_words(job.seed, "ripples")
    foot = _feet(seen, keys)
    waterline = keys.horizon - job.top + 40
    line, column = rippled(job.lines, job.width, waterline, seed)
    line = np.maximum(line - (still.top - job.top), 0)
    shown = still.has[line, column] & ~seen.has & (foot[None, :] >= 0)
    below = np.arange(job.lines)[:, None] - foot[None, :]
    shown &= broken_off(job.lines, job.width, below, mirror_lines(keys.mirror, job), seed + 1) & (
        below > 0
    )
    picture.lay(shown, "mirror", np.floor(value[line, column] + 0.5))
    dark, thread = shore_line(seen.has & (seen.y < WET), seed + 2)
    picture.lay(dark & ~seen.has, "mirror", 0.0)
    bright = profile(job.width, seed + 3, 36, 2) > 0.2
    picture.lay(thread & ~seen.has, "thread", np.where(bright[None, :], 1.0, 0.0))


STROKE = 5
"""Columns on either side over which a mirror runs into horizontal strokes."""
LIT_SHARE = 0.5
"""Share of what is lit along a stroke for it to be lit."""

PALE = 0.4
"""Mean tone of what lies in shade along a stroke from which its mirror is pale."""


def drawn_out(value: np.ndarray, has: np.ndarray) -> np.ndarray:
    """Values 0..4 (N, W) of a mirror drawn out along its lines: strokes, no windows or joints.

    value: 0..5 of what is mirrored, where it `has` anything (N, W) bool
    """
    lit, shade, count = (np.zeros(value.shape) for _ in range(3))
    for dx in range(-STROKE, STROKE + 1):
        there, beside = shifted(has, dx, 0), shifted(value, dx, 0)
        lit += there & (beside >= 3)
        shade += np.where(there, np.minimum(beside, 2.0), 0.0)
        count += there
    count = np.maximum(count, 1.0)
    share = lit / count
    bright = 3.0 + (share > 0.5 + LIT_SHARE / 2)
    return np.where(share > LIT_SHARE, bright, np.where(shade / count > PALE, 2.0, 0.0))


def mirror_lines(asked: int, job: Job) -> float:
    """Lines that a mirror is long: a thrifty one breaks off early."""
    return asked * (1.0 if job.thrift < PLAIN else 1 / 3)


def _feet(seen: Seen, keys: Keys) -> np.ndarray:
    """The lowest line (W,) of what stands in the water, counted from the layer's first; -1 none."""
    wet = seen.has & (seen.y < 8)
    last = len(wet) - 1 - wet[::-1].argmax(axis=0)
    return np.where(wet.any(axis=0), last, -1)


PAINTER = Painter(
    name="cliffs",
    about="A village in terraces on cliffs above its harbour, with boats, a mole and its mirror.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
