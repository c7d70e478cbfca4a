"""What hangs and stands on an arcade: ivy, lanterns with their light, a gatehouse."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.leaves import LeafSheet, clusters, hang_twigs, mass_leaves
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.solids import (
    Eye,
    Facade,
    Frame,
    Kind,
    Light,
    Shadows,
    Stage,
    drawn_facade,
    edge_tones,
    gable_roof,
    lighten,
    look,
    tones,
)
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.families.stuff import stuff_of
from genbg.paint.families.towers import TOWERS
from genbg.paint.painters.arcade.build import Tier
from genbg.paint.painters.arcade.keys import NUMBER

STUFF = stuff_of(NUMBER, "stone", "roof", leaf="leaf")
FACADE = Facade(9.0, 13.0, (1.6, 5.0), 4.0, 0.7, glow=0.5, shutters=0.0, course=4.0)
REACH = 24.0
"""Pixels from a lantern up to which it lights stone."""


def hang_ivy(
    picture: TonalPicture, job: Job, dice: Dice, amount: float, light: tuple[float, float]
) -> None:
    """Ivy in hanging masses from the upper edge of the wall, with twigs below."""
    wall = picture.holds("stone")
    top = np.where(wall.any(axis=0), wall.argmax(axis=0), job.lines)
    centres = []
    for n in range(round(amount * 14 * job.width / 512)):
        own = dice.part("ivy", n)
        x = own.between(0, job.width)
        y = float(top[int(x) % job.width])
        if y > job.lines - 24:
            continue
        size = own.between(4, 8)
        for step in range(own.whole(1, 4)):
            at = x + own.between(-4, 4), y + 4 + step * size * 1.1
            shrink = 1.0 - 0.18 * step
            centres.append((at[0], at[1], size * shrink * 1.1, size * shrink * 0.9, 0.6))
    if not centres:
        return
    sheet = LeafSheet(job.lines, job.width)
    masses = clusters(np.array(centres), hash_words(dice.seed, "masses"), 2, 4)
    sheet.lay(mass_leaves(masses, hash_words(dice.seed, "leaves"), light, size=1, closeness=0.8))
    hang_twigs(sheet, hash_words(dice.seed, "twigs"), 4 * len(centres), (4.0, 12.0))
    picture.lay(sheet.covered, "leaf", np.clip(np.floor(sheet.level * 0.8 + 0.9), 0, 5))


def hang_lanterns(
    picture: TonalPicture, job: Job, dice: Dice, tier: Tier, foot: float, share: float
) -> list[tuple[float, float]]:
    """Lanterns on chains under crowns that still stand, and their light on the stone about."""
    found = []
    count = round(job.width / tier.bay)
    wall = picture.holds("stone")
    lines = np.arange(job.lines)[:, None] + 0.5
    for n in range(count):
        own = dice.part("lamp", n)
        x = np.floor(tier.first + (n + 0.5) * tier.bay) % job.width
        crown = int(np.floor(foot - tier.spring - tier.half))
        if own.unit() > share or not 2 <= crown < job.lines - 20 or not wall[crown - 1, int(x)]:
            continue
        y = crown + own.between(9, 13)
        across = (np.arange(job.width)[None, :] + 0.5 - x + job.width / 2) % job.width
        across = across - job.width / 2
        down = lines - y
        away = np.sqrt(across * across + down * down)
        near = picture.holds("stone") & (away < REACH)
        heat = np.floor((1.0 - away / REACH) * 4.6 + 0.25 * (picture.tone - 1.0))
        picture.lay(near & (heat >= 0.6), "warm", np.clip(heat - 0.5, 0.0, 3.0))
        chain = (np.abs(across) < 0.6) & (lines > crown - 1) & (down < -3)
        picture.lay(chain & (np.floor(lines) % 3 > 0), "lamp", 0.0)
        body = (np.abs(across) < 3.2) & (np.abs(down) < 4.5)
        picture.lay(body, "lamp", 0.0)
        picture.lay((np.abs(across) < 2.2) & (np.abs(down) < 3.2), "lamp", 2.0)
        picture.lay((np.abs(across) < 1.2) & (np.abs(down - 0.5) < 2.0), "lamp", 3.0)
        ring = (away < 7.5) & (away > 4.5) & ((np.floor(across) + np.floor(lines)) % 2 == 0)
        picture.lay(ring & ~picture.holds("lamp", "stone", "warm"), "lamp", 1.0)
        picture.guard |= away < 7.0
        found.append((float(x), float(y)))
    picture.guard &= picture.holds()
    return found


def raise_gatehouse(
    picture: TonalPicture, job: Job, dice: Dice, at: tuple[float, float], sun: float
) -> None:
    """A tower and a lower house on the deck. at: column and row of the deck there."""
    stage = Stage()
    eye = Eye(at[0], job.top + at[1] - 4.0, 4.0)
    side = dice.choice((-1.0, 1.0))
    stage.thing()
    wide, high = dice.between(32, 44), dice.between(18, 25)
    left = 4.0 if side > 0 else -4.0 - wide
    frame = Frame(left, -1.0, 396.0)
    wall, roof = NUMBER["stone"], NUMBER["roof"]
    gable_roof(stage, frame, (wide, high, 18.0), dice.between(9, 14), wall, roof, along=True)
    tower = TOWERS[dice.choice(("spire", "watch"))]
    place = Frame(-side * 6.0, -1.0, 400.0)
    tower(stage, dice.part("tower"), place, min(dice.between(38, 50), at[1] - 18.0), STUFF)
    seen = look(stage, eye, (job.top, job.bottom), job.width)
    light = Light(0.8, 0.45, 0.3, sun, job.width / 2)
    lit = lighten(Shadows(stage, light), seen)
    drawn = drawn_facade(seen, tones(seen, lit, dice.seed, 0.5), dice.seed + 1, FACADE)
    tone = edge_tones(seen, drawn.tone, lit, dice.seed + 2)
    has = seen.has & (np.arange(job.lines)[:, None] <= at[1] + 1)
    picture.material[has] = seen.material[has]
    picture.tone[has] = tone[has]
    picture.lay(has & drawn.pane, "stone", 0.0)
    picture.lay(has & (drawn.glow | (seen.kind == Kind.LAMP)), "lamp", 2.0)
    picture.guard |= has
