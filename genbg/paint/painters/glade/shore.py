"""The far bank of a glade: points and coves, turf above, an undercut below, bushes, stones."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.air import away
from genbg.paint.craft.exact import fall
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.ground import cut_stone, grass
from genbg.paint.craft.leaves import BARE, LeafSheet, clusters, mass_leaves
from genbg.paint.craft.scatter import bell, between, hash_words, pick, unit
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.craft.wood import Wood, bark_grain, bark_tone, bough
from genbg.paint.painters.glade.keys import Stage


@dataclass(frozen=True, eq=False)
class Shore:
    """The far bank: crest and waterline (W,) in lines; light (W,) 0..1 that falls on it.

    cove: (W,) 0..1, where the bank draws back and is lost in the light
    """

    crest: np.ndarray
    water: np.ndarray
    light: np.ndarray
    cove: np.ndarray


def _hump(x: np.ndarray, centre: float, half: float) -> np.ndarray:
    """A flat hump (W,) 0..1."""
    off = np.abs(away(x, centre, len(x))) / half
    return fall(off * off * off)


def lie_of_land(stage: Stage, width: int, rough: float, rays: list, seed: int) -> Shore:
    """Where the bank runs: a point under the sight, coves beside it, small bays all along."""
    x = np.arange(width)
    wide = 24.0 + 10.0 * stage.size
    other = stage.clearings[1].x
    side = 1 if hash_words(seed, "cove") % 2 else -1
    cove = (
        _hump(x, stage.focus + side * (wide + 38), 30)
        + 0.9 * _hump(x, stage.focus - side * (wide + 30), 18)
        + _hump(x, other + side * 60, 26)
    )
    point = _hump(x, stage.focus, wide)
    if stage.kind == "bridge":  # a stream comes from the light, and the bridge spans it
        cove, point = cove + 1.2 * _hump(x, stage.focus, 25 * stage.size), 0.0 * point
    waves = 5.0 * profile(width, hash_words(seed, "wide"), 4, 2)
    waves = waves + 3.0 * profile(width, hash_words(seed, "mid"), 13, 1)
    small = 1.3 * profile(width, hash_words(seed, "small"), 64, 1)
    water = stage.shore - 2 + waves + small + 7.0 * stage.size * point - 3.5 * cove
    water = water + 4.0 * _hump(x, other + 18, 30)
    high = 6.0 + 8.0 * rough * profile(width, hash_words(seed, "high"), 5, 3) + 2.0 * point
    crest = water - np.clip(high * (0.6 + 0.8 * rough), 2.5, 13.0)
    light = np.zeros(width)
    for ray in rays:
        light = np.maximum(light, ray.light * _hump(x, ray.x, ray.wide * 0.7 + 4))
    return Shore(crest, water, np.clip(light, 0.0, 1.0), np.clip(cove, 0.0, 1.0))


def lay_bank(picture: TonalPicture, shore: Shore, water: bool, seed: int, period: int = 0) -> None:
    """The bank's body: lit turf on top, earth and a dark undercut at the water, if there is any.

    period: columns after which its grain comes again; 0: none do
    """
    lines, width = picture.tone.shape
    y = np.arange(lines)[:, None]
    top, foot = np.floor(shore.crest + 0.5), np.floor(shore.water + 0.5)
    part = (y - top) / np.maximum(foot - top, 1.0)
    round_at = period or width
    grain = fractal(round_at, lines, hash_words(seed, "grain"), round_at // 8, 1 / 4, 2) * 0.9
    grain = np.tile(grain, (1, -(-width // round_at)))[:, :width]
    inside = (y >= top) & (y <= foot)
    turf = (part < 0.45 + 0.4 * grain) | (not water)
    tone = 0.42 + 0.44 * shore.light - (0.55 if water else 0.1) * part + 0.4 * grain
    picture.lay(inside & turf, "leaves", np.clip(np.floor(tone * 8 + 0.5), 2, 7))
    earth = 2.6 + 5.0 * grain + 1.2 * shore.light - 2.2 * part
    picture.lay(inside & ~turf, "bark", np.clip(np.floor(earth), 0, 4))
    under = inside & (part > 0.86) & (shore.cove < 0.4) & water
    picture.lay(under, "leaves", 0)
    pale = inside & (shore.cove > 0.45) & (grain < shore.cove - 0.30)
    picture.lay(pale, "air", np.clip(3.0 + 2.0 * shore.cove - 1.6 * part, 2, 5))


def plant_bank(
    picture: TonalPicture, stage: Stage, shore: Shore, light: tuple[float, float], seed: int,
    lush: float = 1.0,
) -> None:  # fmt: skip
    """Turf on the crest, and bushes that hang over the edge, lit from the light's side."""
    lines, width = picture.tone.shape
    sheet = LeafSheet(lines, width)
    number = np.arange(int(lush * (width * 5 // 4)))
    x = pick(seed, width, number, 0)
    y = np.floor(shore.crest[x] + 5.0 * unit(seed, number, 1) - 1.0).astype(np.int64)
    tone = 2.8 + 4.0 * shore.light[x] + 0.7 * bell(seed, number) - 0.3 * (y - shore.crest[x])
    grass(sheet, x, y, 2.0 + 1.6 * unit(seed, number, 2), tone, hash_words(seed, "turf"))
    sheet.lay(mass_leaves(_bushes(stage, shore, width, hash_words(seed, "bush")), seed, light,
                          size=2, closeness=1.0))  # fmt: skip
    level = np.where(sheet.covered, np.minimum(np.floor(sheet.level + 0.5), 7), 0)
    picture.lay(sheet.level > BARE, "leaves", level)


def plant_grove(
    picture: TonalPicture, share: float, stage: Stage, shore: Shore, light: tuple[float, float],
    seed: int,
) -> None:  # fmt: skip
    """Trees in blossom along the far bank, in groups, never before the sight."""
    lines, width = picture.tone.shape
    wood, centres = Wood(lines, width), []
    for n in range(round(share * 16 * width / 512)):
        own = hash_words(seed, n)
        x = between(own, 0, width, 0)
        size = between(own, 9, 17, 1)
        if abs(float(away(x, stage.focus, width))) < 30 * stage.size + size:
            continue
        foot = float(shore.crest[int(x) % width]) + 2
        high = size * between(own, 1.1, 1.5, 2)
        wood.sweep(bough((x, foot, 1.8), (x + between(own, -4, 4, 3), foot - high, 1.0), own), n)
        bright = 0.35 + 0.65 * between(own, 0, 1, 4)
        centres.append((x, foot - high - size * 0.25, size, size * 0.66, bright))
    picture.lay(wood.there, "bark", np.where(wood.nx * light[0] > 0.2, 3.0, 1.0))
    sheet = LeafSheet(lines, width)
    masses = clusters(np.array(sorted(centres)).reshape(-1, 5), hash_words(seed, "kids"), 3, 5)
    sheet.lay(mass_leaves(masses, hash_words(seed, "leaves"), light, size=2, closeness=0.9))
    picture.lay(sheet.covered, "blossom", np.clip(np.floor(sheet.level + 0.5), 0, 6))


def sow_front(picture: TonalPicture, stage: Stage, shore: Shore, seed: int) -> None:
    """A few tufts before the sight, so that its feet stand in the grass."""
    if stage.kind != "shelter":
        return
    lines, width = picture.tone.shape
    sheet = LeafSheet(lines, width)
    number = np.arange(round(26 * stage.size))
    x = np.floor(stage.focus + 18 * stage.size * bell(seed, number)).astype(np.int64)
    y = np.floor(shore.crest[x % width] + 2.0 + 4.0 * unit(seed, number, 4)).astype(np.int64)
    tone = 3.6 + 2.6 * shore.light[x % width] + 0.6 * bell(seed, number, 7)
    grass(sheet, x, y, 2.0 + 2.0 * unit(seed, number, 6), tone, hash_words(seed, "tufts"))
    level = np.clip(np.floor(sheet.level + 0.5), 0, 7)
    picture.lay(sheet.covered, "leaves", level)


def _bushes(stage: Stage, shore: Shore, width: int, seed: int) -> np.ndarray:
    """Masses (M, 5) of bushes on the far bank, none before the sight."""
    centres = []
    for n in range(max(2, width * 9 // 512)):
        own = hash_words(seed, n)
        x = (n + between(own, 0.0, 0.9, 0)) * width / 9 * 512 / width % width
        if abs(float(away(np.array(x), stage.focus, width))) < 44 * stage.size:
            continue
        at = int(x) % width
        size = between(own, 6, 12, 1) if own % 5 < 3 else between(own, 13, 19, 1)
        size *= 1.0 - 0.5 * float(shore.cove[at])
        high = size * between(own, 0.45, 0.72, 2)
        bright = 0.2 + 0.8 * float(shore.light[at])
        centres.append((x, float(shore.crest[at]) - high * 0.3, size, high, bright))
    return clusters(np.array(centres).reshape(-1, 5), seed, 2, 4)


def lay_stones(
    picture: TonalPicture, places: list[tuple[float, float, float]], light: tuple[float, float],
    bright: np.ndarray, seed: int,
) -> None:  # fmt: skip
    """Stones at x, y of their middle, half width; bright: (W,) light on them, 0..1."""
    lines, width = picture.tone.shape
    for n, (x, y, size) in enumerate(places):
        stone = cut_stone(x, y, size, size * 0.66, hash_words(seed, n), light)
        inside = (stone.y >= 0) & (stone.y < lines)
        at = stone.y[inside], stone.x[inside] % width
        glow = 0.75 + 0.5 * bright[at[1]]
        mask = np.zeros(picture.tone.shape, dtype=bool)
        tone = np.zeros(picture.tone.shape)
        mask[at], tone[at] = True, np.floor(stone.tone[inside] * glow * 4.6)
        picture.lay(mask, "stone", np.clip(tone, 0, 3))
        green = np.zeros_like(mask)
        green[at] = stone.moss[inside]
        picture.lay(green, "leaves", np.clip(tone * 1.3 + 2.0, 2, 7))


def fell_trunk(
    picture: TonalPicture, stage: Stage, shore: Shore, light: tuple[float, float], seed: int
) -> None:
    """A fallen trunk that lies from the bank out into the water, with stubs and moss."""
    lines, width = picture.tone.shape
    side = 1 if seed % 2 else -1
    base = stage.focus + side * between(seed, 70, 120, "base")
    at = float(shore.water[int(base) % width])
    long, thick = between(seed, 46, 70, "long"), between(seed, 4.2, 6.2, "thick")
    wood = Wood(lines, width)
    tip = base - side * long, at + between(seed, 6, 11, "down"), thick * 0.55
    wood.sweep(bough((base + side * 10, at - 9, thick), tip, seed, 2.0, 1.0, 8), 0)
    for n in range(3):
        t = between(seed, 0.3, 0.9, n, "stub")
        x, y = base - side * long * t, at - 7 + 14 * t
        up = x + between(seed, -7, 7, n, "x"), y - between(seed, 5, 12, n, "y"), 0.7
        wood.sweep(bough((x, y, 1.4), up, hash_words(seed, n), 1.0, 0.5, 5), 1)
    for n in range(5):
        root = base + side * between(seed, 14, 20, n, "root"), at - 14 + 5.5 * n, 0.8
        wood.sweep(bough((base + side * 9, at - 7, thick * 0.8), root, hash_words(seed, n, 2)), 2)
    tone = bark_tone(wood, bark_grain(wood, seed), (light[0] * 0.4, 1.0))
    picture.lay(wood.there, "bark", np.clip(np.floor(tone * 6 + 0.2), 0, 4))
    moss = wood.there & (wood.ny < -0.35) & (wood.part == 0)
    picture.lay(moss, "leaves", np.clip(np.floor(3.2 - 2.5 * wood.ny), 3, 6))


def water_stones(stage: Stage, shore: Shore, seed: int) -> list[tuple[float, float, float]]:
    """Stones that stand in the water: x, y of the middle, half width; larger ones nearer."""
    found = []
    width = len(shore.water)
    side = 1 if seed % 2 else -1
    middle = stage.focus + side * between(seed, 40, 150, "middle")
    for n in range(3 + seed % 4):
        x = middle + between(seed, -34, 34, n, "x")
        out = between(seed, 5, 16, n, "out")
        size = (3.0 + 0.34 * out) * between(seed, 0.8, 1.5, n, "size")
        found.append((x, float(shore.water[int(x) % width]) + out - size * 0.3, size))
    return sorted(found, key=lambda one: one[1])
