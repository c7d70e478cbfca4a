"""Painter of arcades: a viaduct or a drowned aqueduct, whole or fallen, and its mirror.

Every arch is seen from the body's column, so that of its inner side more shows the farther off it
stands, and jambs that look toward the light are lit. Openings are see-through.
"""

from __future__ import annotations

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Job, Painter
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.mirror import stand_in_water
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.craft.water import lamp_path, shore_line
from genbg.paint.painters.arcade.build import fallen, form_tier, lay_tiers
from genbg.paint.painters.arcade.keys import RAMPS, Keys
from genbg.paint.painters.arcade.stone import face_tones, reveal_tones, rims
from genbg.paint.painters.arcade.things import hang_ivy, hang_lanterns, raise_gatehouse


def paint(keys: Keys, job: Job) -> Painting:
    """The arcade, what grows and hangs on it, and what the water shows of it."""
    picture, part = TonalPicture(job, RAMPS), TonalPicture(job, RAMPS)
    dice = Dice(job.seed, "arcade")
    sun = job.body.x if job.body else job.width * (0.5 + 0.4 * job.light[0])
    foot = keys.foot * job.lines
    off = (np.arange(job.width)[None, :] + 0.5 - sun) % job.width
    toward = np.where(off < job.width / 2, -1.0, 1.0)
    tiers = lay_tiers(keys, job, dice.part("tiers"), foot)
    gap = sun + dice.between(-30, 30)
    stands = fallen(keys, job, dice.part("ruin"), tiers[-1].high, gap)
    for tier in tiers:
        form = form_tier(tier, job, foot, sun)
        left = form.up <= stands[None, :]
        tone = face_tones(form, job, toward, keys.backlit)
        wall = form.wall & left
        part.lay(form.reveal & left, "stone", reveal_tones(form, toward))
        part.lay(wall, "stone", rims(wall, tone, toward, keys.backlit))
    part.guard |= part.holds("stone") & (np.arange(job.lines)[:, None] < foot - 24)
    if keys.growth > 0:
        light = (-0.6 if job.light[0] < 0 else 0.6), 0.7
        hang_ivy(part, job, dice.part("growth"), keys.growth, light)
    if keys.tower:
        at = sun + dice.choice((-1.0, 1.0)) * dice.between(60, 110)
        raise_gatehouse(part, job, dice.part("gate"), (at % job.width, foot - tiers[-1].high), sun)
    lamps = hang_lanterns(part, job, dice.part("lamps"), tiers[0], foot, keys.lamps)
    stand_in_water(picture, part, foot, keys.mirror, hash_words(job.seed, "mirror"))
    _lamp_paths(picture, part, job, lamps, foot)
    if keys.mirror > 0:
        dark, thread = shore_line(part.holds(), hash_words(job.seed, "shore"), 0.4)
        low = np.arange(job.lines)[:, None] > foot - 2
        picture.lay(dark & low, "stone", 0.0)
        picture.lay(thread & low, "stone", 3.0)
    picture.calm(job.thrift)
    return picture.painting(tidy=True)


def _lamp_paths(
    picture: TonalPicture,
    part: TonalPicture,
    job: Job,
    lamps: list[tuple[float, float]],
    foot: float,
) -> None:
    """A column of light on the water below each lantern."""
    edge = round(foot) + 1
    if edge >= job.lines:
        return
    for number, (x, y) in enumerate(lamps):
        at = x, max(3.0, 0.6 * (foot - y))
        seed = hash_words(job.seed, "path", number)
        heat = lamp_path((job.lines - edge, job.width), at, seed, long=26.0)
        lit = np.zeros((job.lines, job.width), dtype=bool)
        lit[edge:] = heat >= 0
        tone = np.zeros((job.lines, job.width))
        tone[edge:] = np.clip(np.floor(heat * 0.7) + 1.0, 1.0, 3.0)
        lit &= ~part.holds()
        picture.lay(lit, "lamp", tone)
        picture.guard |= lit


PAINTER = Painter(
    name="arcade",
    about="A viaduct or a drowned aqueduct with ivy, lanterns and its mirror.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
