"""The dwelling of a canyon land in the light: solids, with doors, windows and a lamp drawn."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import (
    Eye,
    Facade,
    Kind,
    Light,
    Seen,
    Shadows,
    Stage,
    drawn_facade,
    edge_tones,
    lighten,
    look,
    tones,
)
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.canyon.dwellings import CLOTH, FOCAL, HIDE, HOLE, KINDS, WALL, WOOD
from genbg.paint.painters.canyon.keys import Keys
from genbg.paint.painters.canyon.plans import Plan
from genbg.paint.painters.canyon.stone import SUN


def build_shelter(picture: TonalPicture, job: Job, keys: Keys, plan: Plan) -> None:
    """Lay the dwelling with its lamp on the picture."""
    stage, kind = Stage(), KINDS[plan.home]
    kind.build(stage, Dice(job.seed, "shelter"), plan.size, -plan.sun)
    eye = Eye(plan.x, float(keys.horizon), plan.line - keys.horizon, FOCAL)
    seen = look(stage, eye, (job.top, job.bottom), job.width)
    light = Light(SUN[0], SUN[1], -SUN[2], plan.x + 100.0 * plan.sun)
    lit = lighten(Shadows(stage, light), seen)
    tone = tones(seen, lit, job.seed & 0xFFFF)
    if plan.home == "cliff":  # under the roof of its alcove only its lit edge is left of the sun
        tone = np.where(tone >= 3, 2.0, np.minimum(tone, 1.0))
    facade = Facade(
        doors=not kind.door,
        holes=0.45 if kind.door else 0.8,
        bay=(7.0 if kind.door else 5.0) * plan.size,
        storey=(14.0 if kind.door else 7.5) * plan.size,
        window=(1.1, 2.6) if plan.home == "cliff" else (1.25, 3.5),
        glow=0.5 if kind.door else 0.8,
        shutters=0.0,
        detail=0.6,
    )
    drawn = drawn_facade(seen, tone, job.seed & 0xFFFF, facade)
    tone = edge_tones(seen, drawn.tone, lit, job.seed & 0xFFFF)
    _lay_stuff(picture, plan, seen, tone)
    wall = picture.last("wall") / 5.0
    picture.lay(drawn.pane | (drawn.door & ~drawn.glow), "shade", np.where(tone >= 3, 2.0, 1.0))
    if kind.door:
        _lay_door(picture, plan, seen, wall)
    picture.lay(drawn.glow & drawn.pane, "lamp", 1.0)
    picture.lay(seen.has & (seen.kind == Kind.LAMP), "lamp", 2.0)
    picture.guard |= seen.has


def _lay_stuff(picture: TonalPicture, plan: Plan, seen: Seen, tone: np.ndarray) -> None:
    """Walls, timber, striped cloth and what lies open, in their tones."""
    wall = picture.last("wall") / 5.0
    picture.lay(seen.has & (seen.material == WALL), "wall", tone * wall)
    picture.lay(seen.has & (seen.material == WOOD), "shade", np.where(tone >= 3, 3.0, 1.0))
    picture.lay(seen.has & (seen.material == HIDE), "lit", np.where(tone >= 3, 2.0, 0.7))
    stripe = np.floor(seen.u / (2.2 * plan.size)) % 2 < 1
    cloth = seen.has & (seen.material == CLOTH)
    picture.lay(cloth & stripe, "cloth", np.where(tone >= 3, 2.0, 1.0))
    picture.lay(cloth & ~stripe, "wall", np.where(tone >= 3, 5.0, 2.0) * wall)
    picture.lay(seen.has & (seen.material == HOLE), "shade", 1.0)
    slots = seen.has & (seen.kind == Kind.TOWER) & (seen.v > 0.68 * seen.height)
    slots &= (seen.v < 0.92 * seen.height) & (np.floor(seen.u / (1.5 * plan.size)) % 2 == 1)
    picture.lay(slots & (seen.u < seen.width - 1.5), "shade", 1.0)


def _lay_door(picture: TonalPicture, plan: Plan, seen: Seen, wall: float) -> None:
    """An arched door that stands open, and the ends of beams under the roof's edge."""
    off, up = (seen.u - 0.3 * seen.width) / plan.size, seen.v / plan.size
    front = seen.has & (seen.kind == Kind.FRONT) & (seen.nz < 0) & (seen.width > 14 * plan.size)
    arched = front & (np.abs(off) < 3.2) & (up < 8.0 + np.sqrt(np.maximum(9.0 - off * off, 0.0)))
    door = front & (np.abs(off) < 4.4) & (up < 8.6 + np.sqrt(np.maximum(18.0 - off * off, 0.0)))
    picture.lay(door, "wall", 1.0 * wall)
    picture.lay(arched, "lamp", np.where((np.abs(off + 0.8) < 1.4) & (up < 9.0), 1.0, 0.0))
    beams = front & (seen.v > seen.height - 4.0 * plan.size)
    beams &= (seen.v < seen.height - 2.4 * plan.size) & (
        seen.u - np.floor(seen.u / 4.0) * 4.0 < 1.3
    )
    picture.lay(beams, "shade", 1.0)
