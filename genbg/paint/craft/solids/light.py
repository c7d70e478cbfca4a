"""Light on what is seen: Lambert's law, cast shadows, tones in light and shade, edges.

Tones 0, 1, 2 are a material in shade and 3, 4, 5 the same in the light, so the two may be families
of another hue; no tone is shared across the edge of the light.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.edges import shifted
from genbg.paint.craft.fields import fractal, warped
from genbg.paint.craft.solids.look import Seen
from genbg.paint.craft.solids.raster import draw
from genbg.paint.craft.solids.stage import Kind, Stage
from genbg.paint.craft.solids.view import Point, Sunward, unit_vector

TEXELS = 1.4
"""Pixels a unit in the picture from the light."""
BIAS = 1.6
"""Units by which something has to be nearer to the light to throw a shadow."""
LIFT = 0.5
"""Units along the normal from which a place looks toward the light."""


@dataclass(frozen=True)
class Light:
    """Light that comes from a body's side: from the left where its x is right of what is lit.

    side: how far it comes from the side, high: from above, front: from the eye (each as part of a
    vector); column: where the body stands; turn: columns right of it from which things count as
    left of it, best where nothing stands
    """

    side: float = 0.88
    high: float = 0.40
    front: float = 0.10
    column: float = 0.0
    turn: float = 256.0

    def toward(self, sign: float) -> Point:
        """The unit vector to the light, for things right (1) or left (-1) of its body."""
        return unit_vector((-self.side * sign, self.high, -self.front))

    def signs(self, width: int) -> np.ndarray:
        """(1, W) float64: 1 for columns right of the body, -1 for those left of it."""
        away = (np.arange(width)[None, :] + 0.5 - self.column) % width
        return np.where(away < self.turn % width, 1.0, -1.0)


@dataclass(frozen=True, eq=False)
class Lit:
    """facing: (N, W) float64, cosine of the angle to the light (Lambert, Photometria, 1760)

    open: (N, W) bool, nothing stands between; sign: (1, W), which side the light comes from
    """

    facing: np.ndarray
    open: np.ndarray
    sign: np.ndarray


class Shadows:
    """Depth pictures of a stage from its light, one for each side the light comes from.

    texels: their pixels a unit
    """

    def __init__(self, stage: Stage, light: Light, texels: float = TEXELS):
        self.stage, self.light, self.texels = stage, light, texels
        self._maps: dict[float, tuple[Sunward, np.ndarray]] = {}

    def _map(self, sign: float) -> tuple[Sunward, np.ndarray]:
        if sign not in self._maps:
            corners = [c for part in self.stage.parts if part.casts for c in part.corners]
            toward = self.light.toward(sign)
            view, lines, columns = Sunward.of(toward, corners or [(0.0, 0.0, 0.0)], self.texels)
            buffer = draw(self.stage, view, (0, lines), columns, wraps=False, shadows=True)
            self._maps[sign] = view, buffer.near
        return self._maps[sign]

    def reached(self, seen: Seen, where: np.ndarray, sign: float) -> np.ndarray:
        """Pixels (N, W) bool of `where` that the light reaches from its side; True elsewhere."""
        view, near = self._map(sign)
        at = np.nonzero(where)
        column, line, here = view.near(
            (seen.x + seen.nx * LIFT)[at],
            (seen.y + seen.ny * LIFT)[at],
            (seen.z + seen.nz * LIFT)[at],
        )
        column, line = np.floor(column).astype(np.int64), np.floor(line).astype(np.int64)
        lines, columns = near.shape
        inside = (column >= 0) & (column < columns) & (line >= 0) & (line < lines)
        nearest = near[np.clip(line, 0, lines - 1), np.clip(column, 0, columns - 1)]
        reached = np.ones(where.shape, dtype=bool)
        reached[at] = ~inside | (nearest <= here + BIAS)
        return reached


def lighten(shadows: Shadows, seen: Seen, cast: bool = True) -> Lit:
    """How the light falls on what is seen; the side it comes from goes by each column.

    cast: ask for shadows too
    """
    light = shadows.light
    sign = light.signs(seen.has.shape[1])
    facing, open_to = np.zeros(seen.has.shape), np.ones(seen.has.shape, dtype=bool)
    for side in (1.0, -1.0):
        here = seen.has & (sign == side)
        if not here.any():
            continue
        toward = light.toward(side)
        lambert = seen.nx * toward[0] + seen.ny * toward[1] + seen.nz * toward[2]
        facing = np.where(here, lambert, facing)
        if cast:
            open_to &= shadows.reached(seen, here, side)
    return Lit(facing, open_to, sign)


STEPS = (0.30, 0.64)
"""Cosines from which a face takes the second and the third tone of its light."""
GRAZING = {Kind.ROOF: -0.14}
"""Least cosine for a kind of face to count as lit; tiles stand up and catch low light."""
LEAST = 0.06


def tones(seen: Seen, lit: Lit, seed: int, rough: float = 1.0, sky: float = 0.75) -> np.ndarray:
    """Tones (N, W) float64, whole: 0..2 in shade, 3..5 in light.

    rough: how much rock and leaves are broken up; sky: how much lighter in shade what looks up is
    """
    lines, width = seen.has.shape
    noise = fractal(width, lines, seed, 17, octaves=3)
    broken = (seen.kind == Kind.ROCK) | (seen.kind == Kind.LEAF)
    least = np.where(seen.kind == Kind.ROOF, GRAZING[Kind.ROOF], LEAST)
    facing = lit.facing + np.where(broken, noise * 0.5 * rough, 0.0)
    bright = 3.0 + (facing > STEPS[0]) + (facing > STEPS[1])
    bounce = np.clip(seen.nx * lit.sign, -1.0, 1.0)
    shade = 1.3 + sky * np.clip(seen.ny, -0.3, 1.0) + 0.5 * bounce - 0.2 * hollows(seen)
    shade += np.where(broken, noise * 1.5 * rough, 0.0)
    in_light = seen.has & lit.open & (lit.facing > least)
    return np.where(in_light, bright, np.clip(np.floor(shade), 0.0, 2.0))


def bedded(seen: Seen, tone: np.ndarray, seed: int, thick: float = 4.6) -> np.ndarray:
    """Tones with the beds of rock told: dark cracks between some, others a shade lighter.

    thick: of a bed, in units
    """
    at = seen.has & (seen.kind == Kind.ROCK)
    x, y = seen.x[at], seen.y[at]
    lean = x * 0.12
    bed = warped(
        (x / 22 + 64).astype(np.float32), ((y + lean) / thick + 40).astype(np.float32), seed, 256
    )
    here = tone[at]
    floor = np.where(here >= 3, 3.0, 0.0)
    here = np.where(bed < -0.2, np.maximum(here - 1, floor), here)
    tone = tone.copy()
    tone[at] = np.where(bed > 0.26, np.minimum(here + 1, floor + 2), here)
    return tone


AROUND = ((-5, -3), (-3, 1), (-2, -6), (2, -5), (5, -2), (3, 2), (-8, -5), (8, -4))
"""Pixels (dx, dy) around a place that may stand before it and take its sky."""


def hollows(seen: Seen) -> np.ndarray:
    """How much (N, W) of its sky nearer things take from a place, 0..8."""
    taken = np.zeros(seen.has.shape)
    depth = np.where(seen.has, seen.depth, 1e5)
    for dx, dy in AROUND:
        gap = depth - shifted(depth, dx, dy)
        taken += np.where(gap < 60, np.clip((gap - 1.5) / 10, 0.0, 1.0), 0.0)
    return taken


GAP = 2.5
"""Units by which something stands before another to darken it at its edge."""
RIM_GAP = 4.0
"""Units to what lies behind an edge for the edge to catch light."""


def edge_tones(seen: Seen, tone: np.ndarray, lit: Lit, seed: int) -> np.ndarray:
    """The tones with edges told: a step darker behind a nearer edge, a step lighter on lit edges
    before something far; edges in shade and between chips are lost and found by noise."""
    lines, width = tone.shape
    depth = np.where(seen.has, seen.depth, 1e5)
    light = tone >= 3
    floor = np.where(light, 3.0, 0.0)
    for dx, dy in ((-1, 0), (1, 0), (0, 1)):
        gap = depth - shifted(depth, dx, dy)
        behind = seen.has & (gap > GAP) & (gap < 400)
        tone = np.where(behind, np.maximum(tone - 1, floor), tone)
    found = fractal(width, lines, seed, 57, octaves=2) > -0.12
    toward = lit.sign > 0
    side = np.where(toward, shifted(depth, -1, 0), shifted(depth, 1, 0))
    above = shifted(depth, 0, -1)
    rim = seen.has & light & ((side - depth > RIM_GAP) | (above - depth > RIM_GAP))
    tone = np.where(rim & (lit.facing > 0.1) & found, np.minimum(tone + 1, 5.0), tone)
    ridge = (seen.kind == Kind.ROCK) & light & found
    ridge &= lit.facing > shifted(lit.facing, 0, -1) + 0.15
    ridge &= shifted(seen.face, 0, -1) == seen.face
    return np.where(ridge, np.minimum(tone + 1, 5.0), tone)
