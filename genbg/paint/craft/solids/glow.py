"""Lamplight on what is seen: pools that fall off with distance and turn with the surface."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.solids.look import Seen
from genbg.paint.craft.solids.view import Eye, Oblique, Point

REACH = 4.5
"""Radii from a lamp beyond which its light is not told from none."""
BELOW, ABOVE = 0.75, 1.5
"""How much farther than it is something below a lamp counts, and something above: its cap throws
the light down."""
NEAR = 60.0
"""Least depth at which a lamp's reach on the picture is reckoned."""
WRAPPED = 0.14
"""Share of a lamp's light that also reaches surfaces turned away, from what stands around."""


@dataclass(frozen=True)
class Lamp:
    """A lamp: its place, how strong it is, and the distance at which it is half as strong."""

    place: Point
    strength: float
    radius: float


def lamplight(seen: Seen, lamps: Sequence[Lamp], eye: Eye | Oblique) -> np.ndarray:
    """Light (N, W) float64 of all lamps on what is seen.

    Each gives strength x cosine of the angle / (1 + (distance / radius)^2): Lambert's law, and the
    inverse square with a core that is not endless; it ends softly at `REACH` radii.
    """
    light = np.zeros(seen.has.shape)
    width = seen.has.shape[1]
    for lamp in lamps:
        column = eye.place(lamp.place)[0]
        span = lamp.radius * REACH * eye.focal / max(lamp.place[2] - lamp.radius * REACH, NEAR)
        columns = np.arange(int(column - span), int(column + span) + 1)[:width] % width
        light[:, columns] += _one(seen, lamp, columns, eye)
    return light


def _one(seen: Seen, lamp: Lamp, columns: np.ndarray, eye: Eye | Oblique) -> np.ndarray:
    """Light (N, k) of one lamp on some columns."""
    part = [getattr(seen, name)[:, columns] for name in ("x", "y", "z", "nx", "ny", "nz")]
    x, y, z, nx, ny, nz = part
    dx, dy, dz = lamp.place[0] - x, lamp.place[1] - y, lamp.place[2] - z
    there = np.where(seen.has[:, columns], z, 1.0)
    around = np.maximum(eye.round(seen.has.shape[1], there), 1.0)
    dx = dx - np.floor(dx / around + 0.5) * around
    away = np.sqrt(dx * dx + dy * dy + dz * dz) + 1e-6
    lean = np.where(dy > 0, BELOW, ABOVE) * dy
    facing = np.clip((nx * dx + ny * dy + nz * dz) / away, 0.0, 1.0)
    near = np.sqrt(dx * dx + lean * lean + dz * dz) / lamp.radius
    ends = np.clip((REACH - near) / (REACH * 0.5), 0.0, 1.0)
    light = lamp.strength * (WRAPPED + (1 - WRAPPED) * facing) / (1.0 + near * near) * ends
    return np.where(seen.has[:, columns], light, 0.0)
