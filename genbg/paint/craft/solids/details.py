"""Details by face coordinates: windows, doors, eaves, tiles, joints, planks.

They are sparse on purpose: courses show where chance has it, joints where they have something to
tell, so that walls stay calm.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import unit
from genbg.paint.craft.solids.look import Seen
from genbg.paint.craft.solids.stage import Kind


@dataclass(frozen=True)
class Facade:
    """How walls are drawn, in units of the world.

    bay, storey: from window to window; window: half its width, and its height; sill: height of
    its foot in the storey; holes: share of bays with a window; glow: share of windows lit from
    within; shutters: share with shutters; doors: whether fronts have one; course: height of a
    course of stones; groups: how far lit windows gather in few houses, 0 (each by chance) .. 1
    detail: how much of tiles, stones and planks is told, 0..1
    """

    bay: float = 6.6
    storey: float = 7.4
    window: tuple[float, float] = (1.25, 3.5)
    sill: float = 2.5
    holes: float = 0.7
    glow: float = 0.3
    shutters: float = 0.3
    doors: bool = True
    course: float = 3.0
    groups: float = 0.0
    detail: float = 1.0


@dataclass(frozen=True, eq=False)
class Drawn:
    """What was drawn: the tones, and pixels (N, W) bool of panes, lit panes, doors, shutters."""

    tone: np.ndarray
    pane: np.ndarray
    glow: np.ndarray
    door: np.ndarray
    shutter: np.ndarray


def drawn_facade(seen: Seen, tone: np.ndarray, seed: int, facade: Facade) -> Drawn:
    """Draw walls, roofs and stone of all that is seen."""
    tone = _roofs(seen, tone, seed, facade.detail)
    tone = _stones(seen, tone, seed, facade.course, facade.detail)
    if facade.detail > 0:
        tone = _planks(seen, tone, seed)
    return _walls(seen, tone, seed, facade)


def _step(tone: np.ndarray, where: np.ndarray, by: float) -> np.ndarray:
    """Tones a step darker or lighter, kept on their side of the light."""
    low = np.where(tone >= 3, 3.0, 0.0)
    return np.where(where, np.clip(tone + by, low, low + 2.0), tone)


def _roofs(seen: Seen, tone: np.ndarray, seed: int, detail: float) -> np.ndarray:
    """Courses of tiles by chance, single tiles, a light ridge."""
    roof = seen.has & (seen.kind == Kind.ROOF) & (seen.height > 0)
    course, part = np.floor(seen.v / 2.7), seen.v - np.floor(seen.v / 2.7) * 2.7
    tile = np.floor(seen.u / 2.2 + course * 0.5)
    chance = _chance(seed, seen.thing, tile, course)
    tone = _step(tone, roof & (part < 1.0) & (chance > 1 - 0.44 * detail), -1.0)
    tone = _step(tone, roof & (part >= 1.0) & (chance < 0.05 * detail), 1.0)
    return _step(tone, roof & (seen.v > seen.height - 1.1), 1.0)


def _stones(seen: Seen, tone: np.ndarray, seed: int, course: float, detail: float) -> np.ndarray:
    """Joints of masonry where chance has it, some stones of another shade, a light upper edge.

    A joint is a crack: in the light it is as dark as the lightest shade.
    """
    stone = seen.has & (seen.kind == Kind.STONE) & (seen.height > 0)
    row = np.floor(seen.v / course)
    long = course * 1.75
    along = seen.u + row * long / 2
    chance = _chance(seed, np.floor(along / long), row)
    tone = _step(tone, stone & (chance < 0.12 * detail), 1.0)
    joint = (seen.v - row * course < 0.95) | (along - np.floor(along / long) * long < 0.9)
    joint &= stone & (chance > 1 - 0.34 * detail)
    tone = np.where(joint, np.where(tone >= 3, 2.0, np.maximum(tone - 1, 0.0)), tone)
    return _step(tone, stone & (seen.v > seen.height - 1.1) & (seen.ny < 0.5), 1.0)


def _planks(seen: Seen, tone: np.ndarray, seed: int) -> np.ndarray:
    """Seams between planks, a shade of its own for some."""
    plank = seen.has & (seen.kind == Kind.PLANK)
    row = np.floor(seen.v / 1.9)
    tone = _step(tone, plank & (seen.v - row * 1.9 < 0.7) & (_chance(seed, row) > 0.3), -1.0)
    return _step(tone, plank & (_chance(seed + 1, row, seen.thing) > 0.8), 1.0)


AWAKE = 0.4
"""Share of houses in which lit windows gather."""


def _chance(seed: int, *words: np.ndarray) -> np.ndarray:
    """Numbers in [0, 1) by whole numbers (N, W)."""
    return unit(seed, *(word.astype(np.int64) for word in words))


def _walls(seen: Seen, tone: np.ndarray, seed: int, facade: Facade) -> Drawn:
    front = seen.has & (seen.kind == Kind.FRONT)
    wall = front | (seen.has & (seen.kind == Kind.SIDE))
    wide = wall & (seen.width > 5)
    bays = np.maximum(1.0, np.floor((seen.width - 1.5) / facade.bay))
    bay = np.clip(np.floor((seen.u - (seen.width - bays * facade.bay) / 2) / facade.bay), 0, bays)
    bay = np.minimum(bay, bays - 1)
    off = seen.u - (seen.width - bays * facade.bay) / 2 - (bay + 0.5) * facade.bay
    floor = np.floor((seen.v - 0.5) / facade.storey)
    up = seen.v - 0.5 - floor * facade.storey
    chance = _chance(seed, seen.face, bay, floor)
    half, high = facade.window
    under_eaves = seen.v < seen.height - 1.6
    whole = floor * facade.storey + facade.sill + high < seen.height - 0.6
    open_at = wide & whole & under_eaves & (chance < facade.holes) & (floor >= 0)
    mid = open_at & (up > facade.sill) & (up <= facade.sill + high)
    door_bay = bay == np.floor(_chance(seed + 2, seen.thing) * bays)
    door = wide & front & door_bay & (seen.v < 6.0) & (np.abs(off) < half + 0.3)
    door &= facade.doors
    pane = mid & (np.abs(off) < half) & ~(front & door_bay & (floor <= 0) & facade.doors)
    awake = np.where(_chance(seed + 5, seen.thing) < AWAKE, 1.0 / AWAKE, 0.0)
    share = facade.glow * (1.0 + facade.groups * (awake - 1.0))
    glow = pane & (chance < facade.holes * share)
    shutter = (
        mid & ~pane & (np.abs(off) < half + 1.4) & (_chance(seed + 3, seen.thing) < facade.shutters)
    )
    sill = open_at & (up > facade.sill - 1.0) & (up <= facade.sill) & (np.abs(off) < half + 0.6)
    tone = _step(tone, sill & ~door, 1.0)
    eaves = front & (seen.v > seen.height - 1.8) & (seen.v <= seen.height)
    tone = np.where(eaves & (tone >= 3), 2.0, _step(tone, eaves & (tone < 3), -1.0))
    tone = _step(tone, wall & (seen.v < 1.0), -1.0)
    return Drawn(tone, pane, glow, door, shutter & ~door & ~pane)


def hanging_green(seen: Seen, seed: int, reach: float = 9.0) -> np.ndarray:
    """Pixels (N, W) bool of what grows from the tops of stone walls down."""
    lines, width = seen.has.shape
    noise = fractal(width, lines, seed, 57, 0.02, octaves=3)
    wall = seen.has & (seen.kind == Kind.STONE) & (seen.ny < 0.5) & (seen.height < 30)
    return wall & (seen.v > seen.height - np.clip(noise * 3.2 * reach - 2.0, 0.0, reach))
