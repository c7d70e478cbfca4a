"""What tells the fronts of a town apart: plaster, timbers, frames, shutters, attics."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.edges import shifted
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import unit
from genbg.paint.craft.solids import Facade, Kind, Seen
from genbg.paint.craft.solids.details import Drawn
from genbg.paint.painters.canal.keys import NUMBER

FAR = 560.0
"""Depth from which a house is a plain shape in the air."""
TIMBERED = 0.26
"""Share of houses with timbers in their fronts."""
SHUTTERED = 0.5
"""Share of houses with shutters."""
BEAM = 0.8
"""Units that a timber is wide."""
ATTIC = (1.3, 1.6, 4.6)
"""Half width of an attic's window, and from where to where it reaches over the eaves, in units."""


@dataclass(frozen=True, eq=False)
class Fronts:
    """Pixels (N, W) bool of what is laid over walls.

    tone: (N, W), with frames and pale plaster told; halo: of walls round lit windows
    """

    tone: np.ndarray
    pane: np.ndarray
    glow: np.ndarray
    halo: np.ndarray
    timber: np.ndarray
    shutter: np.ndarray


def tell_fronts(
    seen: Seen, tone: np.ndarray, drawn: Drawn, facade: Facade, seed: int, plain: bool
) -> Fronts:
    """Tell the fronts of a town apart, each house its own way. plain: only plaster and attics"""
    house = unit(seed, seen.thing)
    wall = seen.has & ((seen.kind == Kind.FRONT) | (seen.kind == Kind.SIDE))
    wall &= seen.depth < FAR
    pane, glow = _attics(seen, drawn, house, facade)
    if plain:
        none = np.zeros_like(wall)
        return Fronts(tone, pane, glow, none, none, none)
    tone = _stained(seen, tone, wall, seed)
    beside = (shifted(pane, 1, 0) | shifted(pane, -1, 0)) & wall & ~pane
    ends = (shifted(pane, 0, 1) | shifted(pane, 0, -1)) & wall & ~pane
    shuttered = unit(seed + 1, seen.thing) < SHUTTERED
    shutter = beside & shuttered
    shutter |= (shifted(shutter, 1, 0) | shifted(shutter, -1, 0)) & wall & ~pane & shuttered
    framed = ends | (beside & ~shuttered)
    low = np.where(tone >= 3, 3.0, 0.0)
    tone = np.where(framed, np.minimum(tone + 1, low + 2), tone)
    halo = glow.copy()
    for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        halo |= shifted(glow, dx, dy)
    timber = _timbers(seen, wall, house, facade) & ~pane & ~beside & ~ends
    return Fronts(tone, pane, glow, halo & wall & ~pane, timber, shutter)


def _attics(
    seen: Seen, drawn: Drawn, house: np.ndarray, facade: Facade
) -> tuple[np.ndarray, np.ndarray]:
    """Panes and lit panes with a window in each gable."""
    half, low, high = ATTIC
    over = seen.v - seen.height
    gable = seen.has & (seen.kind == Kind.FRONT) & (seen.width > 12)
    attic = gable & (np.abs(seen.u - seen.width / 2) < half) & (over > low) & (over < high)
    lit = unit(7, seen.thing) < facade.glow * 0.6
    return drawn.pane | attic, drawn.glow | (attic & lit)


def _timbers(seen: Seen, wall: np.ndarray, house: np.ndarray, facade: Facade) -> np.ndarray:
    """Posts between the bays, a beam at each floor, braces in the outer bays."""
    bays = np.maximum(1.0, np.floor((seen.width - 1.5) / facade.bay))
    wide = np.maximum(seen.width, 1.0) / bays
    bay = np.floor(seen.u / wide)
    u = seen.u - bay * wide
    floor = np.floor((seen.v - 0.5) / facade.storey)
    v = seen.v - 0.5 - floor * facade.storey
    post = (u < BEAM) | (seen.u > seen.width - BEAM)
    beam = v < BEAM + 0.2
    slope = np.where(bay == 0, u, wide - u) * facade.storey / wide
    outer = ((bay == 0) | (bay == bays - 1)) & (floor == 1) & (bays > 1)
    brace = outer & (np.abs(v - slope) < 1.1)
    return wall & (house < TIMBERED) & (seen.v > facade.storey * 0.8) & (post | beam | brace)


def _stained(seen: Seen, tone: np.ndarray, wall: np.ndarray, seed: int) -> np.ndarray:
    """Plaster that damp has darkened from the foot up, and a few patches higher."""
    lines, width = tone.shape
    noise = fractal(width, lines, seed + 2, 36, 0.05, octaves=3)
    damp = wall & (noise - seen.v * 0.05 > 0.02) & (seen.v < 12)
    damp |= wall & (noise > 0.42)
    low = np.where(tone >= 3, 3.0, 0.0)
    return np.where(damp, np.maximum(tone - 1, low), tone)


SHUTTERS = (NUMBER["hull"], NUMBER["leaf"], NUMBER["tile"])
"""Materials of shutters; a house has one."""
