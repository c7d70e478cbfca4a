"""Air: one field of light for all far slices, rays that end in pools, mist that loses feet.

Light is a number 0..1 at every pixel, the tone of air itself. What stands in it is mixed toward it:
`v = light * (1 - k) + tone * k`, with k near 0 far away and near 1 close by, so that one ramp of
inks serves every slice and depth comes by itself.

Fields are (N, W) float64; columns wrap.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.dither import between_corners
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.exact import blur, fall, smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words


def away(x: np.ndarray | float, centre: float, width: int) -> np.ndarray:
    """Pixels (...) float64 from a column to others, the shorter way round, right above 0."""
    half = width / 2
    return (np.asarray(x, dtype=np.float64) - centre + half) % width - half


@dataclass(frozen=True)
class Clearing:
    """A bright place between trees: its middle x, y, half its breadth and height, its light 0..1.

    lean: columns by which it shifts for each line down, as the light comes slanting
    """

    x: float
    y: float
    across: float
    down: float
    light: float = 1.0
    lean: float = 0.0


def clearing_light(lines: int, width: int, clearing: Clearing, tear: np.ndarray) -> np.ndarray:
    """Light (N, W) of one clearing, flat at its heart and torn at its sides, without rings.

    tear: (N, W), by how many pixels its sides wander
    """
    y = np.arange(lines)[:, None]
    x = np.arange(width)[None, :]
    slid = away(x - clearing.lean * (y - clearing.y), clearing.x, width) + tear
    u = np.abs(slid) / clearing.across
    v = np.abs(y - clearing.y) / clearing.down
    return clearing.light * fall(u * u * u + v * v * v)


def light_field(
    lines: int,
    width: int,
    clearings: Sequence[Clearing],
    seed: int,
    least: float = 0.43,
    most: float = 1.05,
    top: int = 0,
) -> np.ndarray:
    """The light (N, W), 0..1, between the trees of a wood: clearings, and large clouds of haze.

    least, most: light far from a clearing, and in one; top: screen line of the first row
    """
    cloud = fractal(width, lines, hash_words(seed, "haze"), width // 128, 1 / 64, 3, top=top)
    tear = fractal(width, lines, hash_words(seed, "tear"), width // 32, 1 / 24, 2, top=top)
    column = fractal(width, lines, hash_words(seed, "column"), width // 16, 1 / 128, 2, top=top)
    shift = blur(tear.astype(np.float64) * 130.0, 8)
    glow = np.zeros((lines, width))
    for clearing in clearings:
        glow = np.maximum(glow, clearing_light(lines, width, clearing, shift))
    field = least + (most - least) * glow * (0.97 + 0.26 * column * (1.0 - glow))
    return blur(np.clip(field + 0.15 * cloud * (1.0 - 0.85 * glow), 0.0, 1.0), 2)


def mixed(light: np.ndarray, tone: np.ndarray | float, near: np.ndarray | float) -> np.ndarray:
    """What a slice shows: its tone where `near` is 1, the light of the air where it is 0."""
    return light + (tone - light) * near


def lost_feet(lines: int, near: float, first: float, last: float, loss: float) -> np.ndarray:
    """`near` (N, 1) of a slice whose feet stand in mist.

    first, last: lines between which mist thickens; loss: share of it that is lost at the last
    """
    y = np.arange(lines, dtype=np.float64)[:, None]
    return near * (1.0 - loss * smooth(y, first, last))


@dataclass(frozen=True)
class Ray:
    """A shaft of light: its column at the line where it ends, its width in pixels, its light."""

    x: float
    wide: float
    light: float


def beams(
    lines: int, width: int, rays: Sequence[Ray], slope: float, end: int, fade: tuple[float, float]
) -> np.ndarray:
    """Light (N, W) of parallel shafts with hard edges, the strongest where they cross.

    slope: columns to the right for each line down; end: line at which `Ray.x` is told
    fade: lines from the first over which shafts come in, and before `end` over which they thin
    """
    y = np.arange(lines)[:, None]
    x = np.arange(width)[None, :] - slope * (y - end)
    strong = np.zeros((lines, width))
    for ray in rays:
        inside = np.abs(away(x, ray.x, width)) < ray.wide / 2
        strong = np.maximum(strong, ray.light * inside)
    begins = np.floor(smooth(y, 0.0, fade[0]) * 4.0 + 0.5) / 4.0
    return strong * begins * (1.0 - 0.5 * smooth(y, end - fade[1], end)) * (y <= end)


def with_companions(rays: Sequence[Ray], seed: int) -> list[Ray]:
    """Each wide ray with a thin one at either side, and a brighter core, as gaps in leaves make."""
    found = []
    for n, ray in enumerate(rays):
        word = hash_words(seed, n)
        left, right = 4 + word % 4, 5 + (word >> 8) % 5
        found.append(ray)
        found.append(Ray(ray.x - ray.wide / 2 - left, 3 + (word >> 16) % 3, ray.light * 0.6))
        found.append(Ray(ray.x + ray.wide / 2 + right, 3 + (word >> 24) % 2, ray.light * 0.6))
        if ray.wide > 15:
            found.append(Ray(ray.x + 3, ray.wide * 0.35, ray.light * 1.25))
    return found


def cell_steps(
    field: np.ndarray, last: int, top: int = 0, calm: float = 0.6, quantum: float = 0.5
) -> np.ndarray:
    """Tones (N, W) of a soft field of shares 0..1, known at the corners of cells.

    Corners take tones that are multiples of `quantum`, whole tones where the field is lighter than
    `calm`; between them the field runs straight. So a soft glow of any outline is dithered in few
    tiles, its heart is flat, and no cell shows as a box.
    last: the ramp's lightest tone; top: screen line of the first row
    """
    lines = len(field)
    first = -(top % CELL)
    rows = np.arange(first, lines + CELL, CELL)
    corners = np.clip(field[np.clip(rows, 0, lines - 1)][:, ::CELL], 0.0, 1.0) * last
    step = np.where(corners > calm * last, 1.0, quantum)
    tone = np.floor(corners / step + 0.5) * step
    return between_corners(tone)[-first : lines - first]


def pool(lines: int, width: int, x: float, y: float, across: float, down: float) -> np.ndarray:
    """A patch of light (N, W) on level ground, 1.3 at its heart, 0 beyond its edge."""
    line = (np.arange(lines)[:, None] - y) / down
    column = away(np.arange(width)[None, :], x, width) / across
    return np.clip(1.3 - column * column - line * line, 0.0, None)
