"""Painter of a grotto: a ceiling that hangs in cones, columns of dripstone that stand in water.

What turns to the body's column takes its light; all else is in shade. The columns have their mirror
in the water below their feet.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, two_families
from genbg.paint.craft.air import away
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.mirror import stand_in_water
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.tonal import TonalPicture


@dataclass(frozen=True)
class Keys:
    """Keys of the grotto painter."""

    ceiling: float = key(0.2, "float", "How low the ceiling hangs.", low=0, high=0.8)
    rough: float = key(0.5, "float", "How much its height changes.", low=0, high=1)
    columns: int = key(4, "int", "Columns from the ceiling to the water.", low=0, high=12)
    wide: float = key(16.0, "float", "Half the width of a column's waist.", low=3, high=40)
    hanging: float = key(0.5, "float", "How many cones hang down.", low=0, high=1)
    long: float = key(34.0, "float", "How long the longest of them is.", low=6, high=90)
    foot: float = key(0.8, "float", "Row of the water, a share of the lines.", low=0.2, high=1)
    mirror: float = key(0.5, "float", "How far down the mirror reaches.", low=0, high=1)


RAMPS = (two_families("rock", "Dripstone", "000024 000049 24246d 49499b 6d92db b6dbff"),)

LUMP = 13
"""Columns from lump to lump of the rock."""
FLUTE, FLUTE_LINES = 6, 1 / 46
"""Columns from flute to flute, and lattice cells a line: flutes are long."""
FLARE_TOP, FLARE_FOOT = (0.34, 2.3), (0.16, 1.1)
"""Share of a column's height over which it widens, and by how many waists, at its head and foot."""
LIT = (0.22, 0.5, 0.76)
"""Cosines from which a face takes the first, second and third tone of its light."""
CONE_GAP = 17.0
"""Columns for one hanging cone where they are thickest."""
NEAREST = 0.62
"""Least share of the even spacing by which columns stand apart."""


@dataclass(frozen=True)
class Form:
    """A column or cone: its middle, its first and last row, half its widest and narrowest width.

    foot: how much it widens at its foot; 0 is a cone that ends in a point
    """

    x: float
    first: float
    last: float
    wide: float
    foot: float


def paint(keys: Keys, job: Job) -> Painting:
    """Ceiling, cones, columns and mirror; the rest is see-through."""
    dice = Dice(job.seed, "grotto")
    picture, rock = TonalPicture(job, RAMPS), TonalPicture(job, RAMPS)
    edge = ceiling_edge(keys, job)
    row = keys.foot * job.lines
    grain = _grain(job)
    for form in place_columns(keys, job, dice.part("columns"), edge, row):
        _lay_form(rock, job, form, grain)
    for form in place_cones(keys, job, dice.part("cones"), edge):
        _lay_form(rock, job, form, grain)
    _lay_ceiling(rock, job, edge, grain)
    stand_in_water(picture, rock, row, keys.mirror, hash_words(job.seed, "mirror"))
    return picture.painting(tidy=True)


def ceiling_edge(keys: Keys, job: Job) -> np.ndarray:
    """Rows (W,) at which the ceiling ends."""
    if keys.ceiling <= 0:
        return np.zeros(job.width)
    seed = hash_words(job.seed, "ceiling")
    broad = profile(job.width, seed, max(2, job.width // 128), 3).astype(np.float64)
    fine = profile(job.width, seed + 1, job.width // 18, 2).astype(np.float64)
    swing = keys.rough * (0.75 * broad + 0.16 * fine)
    return np.floor(job.lines * keys.ceiling * (1.0 + swing))


def _grain(job: Job) -> tuple[np.ndarray, np.ndarray]:
    """Noise (N, W) of lumps and of long flutes."""
    seed = hash_words(job.seed, "grain")
    lump = fractal(job.width, job.lines, seed, job.width // LUMP, octaves=2, top=job.top)
    flute = fractal(
        job.width, job.lines, seed + 1, job.width // FLUTE, FLUTE_LINES, octaves=2, top=job.top
    )
    keep = 1.0 - 0.8 * job.thrift
    return lump.astype(np.float64) * keep, flute.astype(np.float64) * keep


def place_columns(keys: Keys, job: Job, dice: Dice, edge: np.ndarray, row: float) -> list[Form]:
    """Columns round the plane with gaps of unlike width; slim ones first, as they are farther."""
    gaps = [dice.between(NEAREST, 1.5) for _ in range(keys.columns)]
    step = job.width / max(sum(gaps), 1e-6)
    x, found = dice.between(0, job.width), []
    for gap in gaps:
        x += gap * step
        wide = keys.wide * dice.between(0.55, 1.3)
        at = _beside_light(job, x, wide)
        first = float(edge[int(at) % job.width]) - 8.0
        last = row - dice.between(0.0, 0.05) * job.lines * (1.3 - wide / keys.wide)
        found.append(Form(at % job.width, first, last, wide, FLARE_FOOT[1]))
    return sorted(found, key=lambda one: (one.wide, one.x))


CLEAR = 14.0
"""Columns between the body's disc and the waist of a column."""


def _beside_light(job: Job, x: float, wide: float) -> float:
    """A column's middle, moved to the side where it would stand before the sun or moon."""
    if job.body is None:
        return x
    off = float(away(x, job.body.x, job.width))
    least = job.body.radius + wide + CLEAR
    return x if abs(off) >= least else job.body.x + (least if off >= 0 else -least)


def place_cones(keys: Keys, job: Job, dice: Dice, edge: np.ndarray) -> list[Form]:
    """Cones in families: a long one with short ones beside it."""
    count = int(keys.hanging * job.width / CONE_GAP)
    found, x, long = [], 0.0, keys.long
    for n in range(count):
        if n % 4 == 0:
            x, long = dice.between(0, job.width), keys.long * dice.between(0.6, 1.0)
        at = (x + dice.between(-26, 26) * min(n % 4, 1)) % job.width
        tall = long * (1.0 if n % 4 == 0 else dice.between(0.25, 0.6))
        first = float(edge[int(at)]) - 5.0
        wide = max(2.4, tall * dice.between(0.13, 0.18))
        found.append(Form(at, first, first + 5.0 + tall, wide, 0.0))
    return sorted(found, key=lambda one: (one.wide, one.x))


def _half_width(form: Form, lines: int, drift: np.ndarray) -> np.ndarray:
    """Half the width (N, 1) of a form on each row; 0 where it is not. drift: (N,) noise"""
    row = np.arange(lines) + 0.5
    share = np.clip((row - form.first) / max(form.last - form.first, 1.0), 0.0, 1.0)
    if form.foot:
        head, low = FLARE_TOP[0], FLARE_FOOT[0]
        top = np.clip((head - share) / head, 0.0, 1.0)
        foot = np.clip((share - 1.0 + low) / low, 0.0, 1.0)
        half = form.wide * (1.0 + 0.3 * drift + FLARE_TOP[1] * top * top + form.foot * foot * foot)
    else:
        half = form.wide * (1.0 - share) * (1.0 + 0.25 * drift)
    there = (row >= form.first) & (row <= form.last)
    return np.where(there, half, 0.0)[:, None]


def _lay_form(
    rock: TonalPicture, job: Job, form: Form, grain: tuple[np.ndarray, np.ndarray]
) -> None:
    """Lay a round form: its normal turns from its left side to its right."""
    seed = hash_words(job.seed, "form", round(form.x * 8))
    drift = fractal(1, job.lines, seed, 1, 1 / 16, octaves=2)[:, 0].astype(np.float64)
    half = _half_width(form, job.lines, drift)
    reach = int(half.max()) + 3
    columns = np.arange(int(form.x) - reach, int(form.x) + reach + 1) % job.width
    off = away(columns + 0.5, form.x, job.width)[None, :] + 2.0 * drift[:, None]
    inside = np.abs(off) < half
    turn = off / np.maximum(half, 0.5)
    lump, flute = (noise[:, columns] for noise in grain)
    turn = turn + 0.95 * flute + 0.35 * lump
    where = np.zeros(rock.tone.shape, dtype=bool)
    where[:, columns] = inside
    tone = np.zeros(rock.tone.shape)
    tone[:, columns] = tones(turn, lump, _toward(job)[:, columns])
    rock.lay(where, "rock", tone)


def _toward(job: Job) -> np.ndarray:
    """(1, W) -1..1: which way the light is, 1 to the right; both ways before the light itself, and
    half a plane from it, where one side's light meets the other's."""
    light = job.body.x if job.body else (0.5 + 0.5 * job.light[0]) * job.width
    off = -away(np.arange(job.width) + 0.5, light, job.width)
    room = np.minimum(np.abs(off), job.width / 2 - np.abs(off))
    return (np.sign(off) * np.minimum(room / 24.0, 1.0))[None, :]


def tones(turn: np.ndarray, lump: np.ndarray, toward: np.ndarray) -> np.ndarray:
    """Tones 0..5 of faces: 0..2 in shade, 3..5 in light.

    turn: how far a face looks to the right, about -1..1; lump: noise; toward: where the light is
    """
    facing = turn * toward + 0.2 * lump
    bright = 3.0 + (facing > LIT[1]) + (facing > LIT[2])
    shade = np.clip(np.floor(1.5 + 0.9 * facing + 1.3 * lump), 0.0, 2.0)
    return np.where(facing > LIT[0], bright, shade)


def _lay_ceiling(
    rock: TonalPicture, job: Job, edge: np.ndarray, grain: tuple[np.ndarray, np.ndarray]
) -> None:
    """Lay the ceiling: dark above, broken into faces, with a lit lip where light comes in."""
    lump, _ = grain
    row = np.arange(job.lines)[:, None]
    where = row < edge[None, :]
    slope = np.roll(lump, -2, axis=1) - np.roll(lump, 2, axis=1)
    down = edge[None, :] - row
    low = np.clip(1.0 - down / 16.0, 0.0, 1.0)
    tone = tones(2.4 * slope, lump, _toward(job))
    tone = np.where((low < 0.35) & (tone >= 3), 2.0, tone)
    tone = np.where((down <= 2) & (lump > -0.12), np.maximum(tone, 3.0), tone)
    rock.lay(where, "rock", np.where(down > 34, np.minimum(tone, 1.0), tone))


PAINTER = Painter(
    name="grotto",
    about="A grotto: ceiling with hanging cones, columns of dripstone with their mirror in water.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.2,
)
