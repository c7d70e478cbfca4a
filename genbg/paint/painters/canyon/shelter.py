"""The caravans' shelter: cubes of clay with a dome or an upper room, an awning, a lamp."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import (
    Eye,
    Facade,
    Frame,
    Kind,
    Light,
    Shadows,
    Stage,
    beam,
    drawn_facade,
    edge_tones,
    lighten,
    look,
    tones,
)
from genbg.paint.craft.solids.shapes import slab
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.families.houses import Size, dome_house
from genbg.paint.families.lamps import post_lamp
from genbg.paint.families.stuff import Stuff
from genbg.paint.painters.canyon.floor import Floor
from genbg.paint.painters.canyon.keys import Keys
from genbg.paint.painters.canyon.plans import Plan
from genbg.paint.painters.canyon.stone import SUN

FOCAL = 400.0
WALL, CLOTH, WOOD, GLASS = range(4)
"""Materials of the stage."""
STUFF = Stuff((WALL,), (WALL,), WALL, WOOD, GLASS, CLOTH, CLOTH, (WOOD,))


def build_shelter(picture: TonalPicture, job: Job, keys: Keys, plan: Plan, floor: Floor) -> None:
    """Lay the shelter with its awning and lamp on the picture."""
    dice = Dice(job.seed, "shelter")
    eye = Eye(plan.x, float(keys.horizon), plan.line - keys.horizon, FOCAL)
    stage = _stage(dice, plan)
    seen = look(stage, eye, (job.top, job.bottom), job.width)
    light = Light(SUN[0], SUN[1], -SUN[2], plan.x + 100.0 * plan.sun)
    lit = lighten(Shadows(stage, light), seen)
    tone = tones(seen, lit, job.seed & 0xFFFF)
    facade = Facade(
        doors=False,
        holes=0.45,
        bay=7.0 * plan.size,
        storey=14.0 * plan.size,
        glow=0.5,
        shutters=0.0,
    )
    drawn = drawn_facade(seen, tone, job.seed & 0xFFFF, facade)
    tone = edge_tones(seen, drawn.tone, lit, job.seed & 0xFFFF)
    wall = picture.last("wall") / 5.0
    picture.lay(seen.has & (seen.material == WALL), "wall", tone * wall)
    picture.lay(seen.has & (seen.material == WOOD), "shade", np.where(tone >= 3, 3.0, 1.0))
    stripe = np.floor(seen.u / (2.2 * plan.size)) % 2 < 1
    cloth = seen.has & (seen.material == CLOTH)
    picture.lay(cloth & stripe, "cloth", np.where(tone >= 3, 2.0, 1.0))
    picture.lay(cloth & ~stripe, "wall", np.where(tone >= 3, 5.0, 2.0) * wall)
    picture.lay(drawn.pane, "shade", np.where(tone >= 3, 2.0, 1.0))
    off, up = (seen.u - 0.3 * seen.width) / plan.size, seen.v / plan.size
    front = seen.has & (seen.kind == Kind.FRONT) & (seen.nz < 0) & (seen.width > 14 * plan.size)
    arched = front & (np.abs(off) < 3.2) & (up < 8.0 + np.sqrt(np.maximum(9.0 - off * off, 0.0)))
    door = front & (np.abs(off) < 4.4) & (up < 8.6 + np.sqrt(np.maximum(18.0 - off * off, 0.0)))
    picture.lay(door, "wall", 1.0 * wall)
    picture.lay(arched, "lamp", np.where((np.abs(off + 0.8) < 1.4) & (up < 9.0), 1.0, 0.0))
    beams = (
        front & (seen.v > seen.height - 4.0 * plan.size) & (seen.v < seen.height - 2.4 * plan.size)
    )
    beams &= seen.u - np.floor(seen.u / 4.0) * 4.0 < 1.3
    picture.lay(beams, "shade", 1.0)
    picture.lay(drawn.glow & drawn.pane, "lamp", 1.0)
    picture.lay(seen.has & (seen.kind == Kind.LAMP), "lamp", 2.0)
    picture.guard |= seen.has


def _stage(dice: Dice, plan: Plan) -> Stage:
    """House, awning and lamp about world x = 0."""
    stage, k, away = Stage(), plan.size, -plan.sun
    home = Frame(0.0, 0.0, FOCAL, 0.07 * away).moved(-12 * k, 0, 0)
    size = Size(23 * k, dice.between(15, 19) * k, 18 * k)
    dome_house(stage, dice, home, size, STUFF)
    stage.thing()
    left = size.width + 1 if away > 0 else -15 * k
    high, low = 12 * k, 8.5 * k
    quad = [
        home.at(left, low, -7 * k),
        home.at(left + 14 * k, low, -7 * k),
        home.at(left + 14 * k, high, 8 * k),
        home.at(left, high, 8 * k),
    ]
    slab(stage, quad, CLOTH, Kind.PLAIN, 0.8)
    for across in (0.6, 13.4 * k):
        foot = home.at(left + across, 0, -6.6 * k)
        beam(stage, foot, (foot[0], foot[1] + low, foot[2]), 0.9, WOOD)
    stage.thing()
    post_lamp(stage, dice, Frame(-30 * k * away, 0.0, FOCAL - 6), 27 * k, STUFF)
    return stage
