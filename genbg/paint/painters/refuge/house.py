"""The refuge as solids: hut, long house or steep roof, under snow, with lit windows and a door."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.relief import wrapped
from genbg.paint.craft.solids import (
    Eye,
    Frame,
    Kind,
    Light,
    Stage,
    box,
    gable_roof,
    lighten,
    look,
    tones,
)
from genbg.paint.craft.solids.light import Shadows
from genbg.paint.craft.solids.look import Seen
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.refuge.homely import dress_roof, stack_logs
from genbg.paint.painters.refuge.keys import Keys
from genbg.paint.painters.refuge.lamplight import lay_smoke
from genbg.paint.painters.refuge.shoulder import Shoulder
from genbg.paint.painters.refuge.site import Site

PLANK = 2.4
"""Width of a plank in pixels."""
WALL, SNOW, STONE, BARE = range(4)
"""Materials of the stage: plank walls, snow, stone, roofs without snow."""
FOCAL = 400.0
HORIZON = 100
"""Screen line of the eye's height."""
MOONLIGHT = Light(side=0.72, high=0.5, front=-0.42)
"""Light from behind and the side; front walls lie in shade."""


@dataclass(frozen=True)
class Plan:
    """A house: width, height of walls, depth, rise of its roof, whether the ridge runs along

    annex: width of a lower part at its side, 0: none; turns: how it stands to the eye
    """

    width: float
    height: float
    depth: float
    rise: float
    along: bool
    annex: float
    turns: float


def draw_house_plan(dice: Dice, turn: int) -> Plan:
    """A plan of the family of mountain houses; turn: side that its front turns to."""
    kind = dice.choice(("hut", "long", "steep"))
    turns = -turn * dice.between(0.075, 0.11)
    if kind == "hut":
        return Plan(25, 12, 26, 15, False, dice.choice((0.0, 13.0)), turns)
    if kind == "long":
        return Plan(44, 11, 22, 13, True, 0.0, -turns)
    return Plan(22, 7, 24, 24, False, dice.choice((0.0, 15.0)), turns)


def build_house(
    picture: TonalPicture, job: Job, keys: Keys, site: Site, shoulder: Shoulder
) -> None:
    """Lay the house on the picture, its windows lit."""
    dice = Dice(job.seed, "house")
    plan = draw_house_plan(dice, site.turn)
    foot = shoulder.line(site.house, site.deep)
    eye = Eye(site.house, float(HORIZON), float(foot + job.top - HORIZON), FOCAL)
    stage = _stage(dice, plan, site, keys.snow)
    seen = look(stage, eye, (job.top, job.bottom), job.width)
    column = job.body.x if job.body else (0.0 if job.light[0] < 0 else float(job.width))
    light = Light(MOONLIGHT.side, MOONLIGHT.high, MOONLIGHT.front, column)
    lit = lighten(Shadows(stage, light), seen)
    tone = tones(seen, lit, job.seed & 0xFFFF)
    _lay(picture, seen, tone)
    if keys.homely:
        _make_homely(picture, job, seen, tone, plan, site, shoulder)
    _light_up(picture, dice, seen, plan, site)
    if keys.lamplight > 0 and keys.snow > 0.3:
        chimney = seen.has & (seen.material == STONE) & (seen.v > (plan.rise + 3) * site.size)
        rows, columns = np.nonzero(chimney)
        if len(rows):
            middle = float(np.sort(columns)[len(columns) // 2])
            lay_smoke(picture, job, middle, int(rows.min()) - 2)


def _stage(dice: Dice, plan: Plan, site: Site, snow: float) -> Stage:
    """The house and its annex, chimney and step, standing at world x = 0."""
    stage = Stage()
    k = site.size
    roof = SNOW if snow > 0.3 else BARE
    home = Frame(0.0, 0.0, FOCAL, plan.turns).moved(-plan.width * k / 2, 0, 0)
    stage.thing()
    box(
        stage,
        home.moved(-0.8, 0, -0.8),
        plan.width * k + 1.6,
        2.4 * k,
        plan.depth * k + 1.6,
        STONE,
        Kind.STONE,
    )
    size = plan.width * k, plan.height * k, plan.depth * k
    gable_roof(stage, home, size, plan.rise * k, WALL, roof, plan.along, 2.2 * k)
    stage.thing()
    across = plan.width * (0.2 if plan.along else 0.16) * k
    smoke = home.moved(across, plan.height * k, plan.depth * 0.62 * k)
    box(stage, smoke, 5 * k, (plan.rise + 5) * k, 4.4 * k, STONE, Kind.STONE)
    box(
        stage,
        smoke.moved(-0.6, (plan.rise + 5) * k, -0.6),
        6 * k,
        1.8 * k,
        5.6 * k,
        SNOW if snow > 0.3 else STONE,
    )
    if plan.annex:
        stage.thing()
        side = home.moved(plan.width * k if site.turn < 0 else -plan.annex * k, 0, 5 * k)
        size = plan.annex * k, 7.5 * k, (plan.depth - 8) * k
        gable_roof(stage, side, size, 6 * k, WALL, roof, True, 1.6 * k)
    return stage


def _lay(picture: TonalPicture, seen: Seen, tone: np.ndarray) -> None:
    """Tones of the stage in the painter's ramps."""
    bright = tone >= 3
    wood, stone = picture.last("wood"), picture.last("stone")
    step = np.clip(tone, 0, 5).astype(np.int64)
    wall = np.array([0.0, 0.0, 0.25, 0.5, 0.5, 0.75])[step] * wood
    plank = np.floor(seen.u / 2.6)
    seam = (seen.u - plank * 2.6 < 1.0) & (seen.v > 0)
    wall = np.where(seam, np.maximum(wall - 0.25 * wood, 0.0), wall)
    picture.lay(seen.has & (seen.material == WALL), "wood", wall)
    picture.lay(seen.has & (seen.material == BARE), "wood", wall)
    block = np.array([0.0, 0.34, 0.34, 0.67, 0.67, 1.0])[step] * stone
    picture.lay(seen.has & (seen.material == STONE), "stone", block)
    snow = seen.has & (seen.material == SNOW)
    last = picture.last("lit")
    near_ridge = np.clip(seen.v / np.maximum(seen.height, 1.0), 0.0, 1.0)
    white = 0.6 * last + 0.34 * last * near_ridge
    roof = seen.kind == Kind.ROOF
    picture.lay(snow & bright, "lit", np.where(roof, white, 0.8 * last), 0.3)
    dim = picture.last("shade") * np.where(roof, 0.72 + 0.3 * near_ridge, 0.7)
    picture.lay(snow & ~bright, "shade", dim)
    picture.guard |= seen.has & (seen.material != SNOW)


def _make_homely(
    picture: TonalPicture,
    job: Job,
    seen: Seen,
    tone: np.ndarray,
    plan: Plan,
    site: Site,
    shoulder: Shoulder,
) -> None:
    """Pale snow on the shaded roof too, its edge thick, icicles; logs at the wall off the lamp."""
    wall, last = seen.has & (seen.material == WALL), picture.last("wood")
    plank = seen.u / (PLANK * site.size)
    seam = plank - np.floor(plank) < 0.34
    picture.lay(wall, "wood", np.where(seam, 0.0, np.where(tone < 3, 0.25, 0.5)) * last)
    roof = seen.has & (seen.material == SNOW) & (seen.kind == Kind.ROOF)
    part = np.clip(seen.v / np.maximum(seen.height, 1.0), 0.0, 1.0)
    last = picture.last("lit")
    picture.lay(roof & (tone < 3), "lit", (0.16 + 0.26 * part) * last)
    if roof.any():
        dress_roof(picture, job, roof, seen)
    walls = np.flatnonzero((seen.has & (seen.material == WALL)).any(axis=0))
    reach = wrapped(walls, site.house, job.width) * -site.turn
    x = site.house - site.turn * (float(reach.max(initial=0.0)) + 3.0 * site.size)
    stack_logs(picture, job, (x, shoulder.line(x, site.deep) + 2), 0.8 * site.size)


def _light_up(picture: TonalPicture, dice: Dice, seen: Seen, plan: Plan, site: Site) -> None:
    """Windows and a door with light behind them, a warm rim on the planks around."""
    k = site.size
    front = seen.has & (seen.kind == Kind.FRONT) & (seen.nz < 0) & (seen.material == WALL)
    side = seen.has & (seen.kind == Kind.SIDE) & (seen.material == WALL)
    u, v = seen.u / k, seen.v / k
    wide = seen.width / k
    door_at = wide * (0.5 if not plan.along else 0.72)
    door = front & (wide > 18) & (np.abs(u - door_at) < 3.3) & (v > 2.0) & (v < 10.4)
    glow = front & (wide > 18) & (np.abs(u - door_at) < 8.5) & (v < 14.5)
    picture.shift(glow, 0.34 * picture.last("wood"))
    windows = np.zeros_like(door)
    for share in (0.2, 0.42, 0.8) if not plan.along else (0.14, 0.34, 0.54):
        at = wide * share
        faces = (
            (front & (wide > 30)) | (side & (wide > 12)) | (front & (wide < 18) & (share == 0.42))
        )
        windows |= faces & (np.abs(u - at) < 2.9) & (v > 5.0) & (v < 9.8)
    loft = front & ~np.bool_(plan.along) & (wide > 18) & (np.abs(u - wide / 2) < 1.9)
    loft &= (v > plan.height + 2.0) & (v < plan.height + 6.0)
    pane = windows | loft
    frame = _around(pane | door) & seen.has & (seen.material == WALL)
    picture.lay(frame, "wood", picture.last("wood") * 0.8)
    last = picture.last("lamp")
    part = u - np.floor(u)
    picture.lay(pane, "lamp", last * np.where(v > 8.6, 0.67, 0.85))
    bar = windows & (np.abs(v - 7.4) < 0.55)
    picture.lay(bar, "lamp", 0.0)
    picture.lay(
        door,
        "lamp",
        last * np.clip(1.05 - 0.16 * np.abs(u - door_at) - 0.03 * v + 0 * part, 0.3, 1),
    )
    picture.guard |= pane | door


def _around(mask: np.ndarray) -> np.ndarray:
    """Pixels beside a mask, not of it."""
    grown = mask.copy()
    for step in (-1, 1):
        grown |= np.roll(mask, step, axis=1) | np.roll(mask, step, axis=0)
    return grown & ~mask
