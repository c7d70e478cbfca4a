"""Masses of cloud: towers, hanging ceilings, banks along the horizon, rain.

Each is a plan of heads, large form first, drawn from back to front into a `CloudPicture`; the light
comes from one place, and each head is dimmed by where it stands in its mass.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.clouds import CloudPicture, Head, draw_head
from genbg.paint.craft.exact import smooth
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.scatter import unit

LIFT = 36.0
"""Pixels above the light from which towers are lit, so that their crowns are modelled too."""
CORE = 0.12
"""Tone of a cloud's shade far from the light."""


@dataclass(frozen=True)
class CloudLight:
    """Column and row of the picture where the light is; reach: pixels by which it is gone."""

    x: float
    y: float
    reach: float
    width: int

    def off(self, x: float) -> float:
        """Pixels from a column to the light, the shorter way round."""
        return (self.x - x + self.width / 2) % self.width - self.width / 2

    def at(self, x: float, y: float, lift: float = 0.0) -> tuple[tuple[float, float], float]:
        """Unit vector from a place toward the light, and how near it is, 0..1."""
        dx, dy = self.off(x), self.y - lift - y
        away = float(np.sqrt(dx * dx + dy * dy)) + 1e-6
        return (dx / away, dy / away), max(0.0, 1.0 - away / self.reach)


def _draws(seed: int) -> Callable[..., float]:
    """A function of words that gives a number 0..1."""
    return lambda *words: float(unit(seed, *words)[0])


def tower(
    clouds: CloudPicture,
    light: CloudLight,
    place: tuple[float, float, float, float],
    seed: int,
    ragged: float = 5.0,
) -> None:
    """A tower of cloud with a flat belly.

    place: its middle column, its top and its belly's row, half its width at the belly
    ragged: pixels by which the belly is uneven
    """
    x, top, belly, half = place
    draw = _draws(seed)
    floor = belly + ragged * 1.6 * profile(clouds.size[1], seed, 24, octaves=3).astype(np.float64)
    spans = [0.34, 0.5 + 0.35 * draw(1), 0.55 + 0.4 * draw(2), 0.8 + 0.25 * draw(3), 1.0]
    lean, row, number = (draw(4) - 0.5) * half, top + 0.16 * half, 0
    while row < belly + 0.1 * half:
        deep = min(1.0, (row - top) / (belly - top))
        span = half * float(np.interp(deep, [0, 0.25, 0.5, 0.75, 1], spans))
        radius = half * (0.15 + 0.12 * deep) * (0.85 + 0.3 * draw(number, 5))
        middle = x + lean * (1.0 - deep)
        for head, side in _tier(draw, number, (middle, row, span, radius)):
            toward, near = light.at(head.x, head.y, LIFT)
            facing = 0.62 + 0.8 * (head.x - x) * (1.0 if light.off(x) > 0 else -1.0) / half
            gain = min(1.0, max(0.12, facing)) * (0.45 + 0.7 * near)
            shade = CORE + 0.08 * near + 0.05 * (1.0 - deep) + 0.02 * side
            lit = Head(head.x, head.y, head.radius, gain=gain, shade=shade, seed=head.seed)
            draw_head(clouds, lit, toward, floor)
        row += radius * 0.95
        number += 1


def _tier(
    draw: Callable[..., float], number: int, place: tuple[float, float, float, float]
) -> list[tuple[Head, float]]:
    """Heads of one tier of a tower, outer ones first, each with its place -1..1 across it."""
    x, row, span, radius = place
    count = max(1, round(span / radius))
    sides = [(2 * n + 1) / count - 1.0 for n in range(count)]
    order = sorted(range(count), key=lambda n: -abs(sides[n]) + 0.8 * draw(number, n, 9))
    found = []
    for n in order:
        side = sides[n]
        size = radius * (0.7 + 0.75 * draw(number, n, 3)) * (1.1 - 0.25 * abs(side))
        at = x + side * span * 0.8 + (draw(number, n, 1) - 0.5) * 0.5 * radius
        line = row + (draw(number, n, 2) - 0.5) * 0.9 * radius + abs(side) * radius * 0.5
        seed = int(draw(number, n, 4) * 2**24)
        found.append((Head(at, line, size, seed=seed), side))
    return found


def bank(
    clouds: CloudPicture,
    light: CloudLight,
    place: tuple[float, float, float],
    radius: float,
    seed: int,
) -> None:
    """A low bank along the horizon: first and last column, row of its belly; its largest radius."""
    first, last, belly = place
    draw, x, number = _draws(seed), first, 0
    floor = np.full(clouds.size[1], belly)
    while x < last:
        hump = 1.0 - abs(2.0 * (x - first) / (last - first) - 1.0)
        size = radius * (0.3 + 0.7 * hump * (0.5 + 0.5 * draw(number, 0)))
        toward, near = light.at(x, belly - size, LIFT / 3)
        head = Head(
            x,
            belly - 0.5 * size * hump,
            size,
            wide=1.8,
            high=0.8,
            gain=0.4 + 0.6 * near,
            shade=CORE + 0.16 + 0.1 * near,
            seed=int(draw(number, 1) * 2**24),
        )
        draw_head(clouds, head, toward, floor)
        x += size * (1.0 + 0.9 * draw(number, 2))
        number += 1


def ceiling(
    clouds: CloudPicture,
    light: CloudLight,
    ends: np.ndarray,
    seed: int,
    sizes: tuple[float, float] = (6.0, 26.0),
) -> None:
    """Dark folds that hang over the scene: large overhead, small and flat far away.

    ends: (W,) row down to which they hang; sizes: radius of the farthest and of the nearest
    """
    width, lowest = clouds.size[1], float(ends.max())
    draw, row, number = _draws(seed), lowest, 0
    while row > -0.3 * sizes[1]:
        near = 1.0 - row / max(lowest, 1.0)
        radius = sizes[0] + (sizes[1] - sizes[0]) * near * near
        x, n = radius * draw(number, 0), 0
        while x < width:
            size = radius * (0.7 + 0.6 * draw(number, n, 1))
            line = row + (draw(number, n, 2) - 0.5) * 0.8 * radius
            if line < ends[int(x) % width]:
                _pouch(clouds, light, (x, line, size), near, int(draw(number, n, 3) * 2**24))
            x += size * (1.5 + 1.1 * draw(number, n, 4))
            n += 1
        row -= max(3.0, 0.7 * radius)
        number += 1


def _pouch(
    clouds: CloudPicture,
    light: CloudLight,
    place: tuple[float, float, float],
    overhead: float,
    seed: int,
) -> None:
    """One fold, lit from below where the light is near; darker, the more overhead it is (0..1)."""
    x, line, size = place
    toward, near = light.at(x, line)
    lean, down = toward[0] * (0.3 + 0.7 * near), toward[1] * 0.5 + 1.1 * (1.0 - near)
    away = float(np.sqrt(lean * lean + down * down)) + 1e-6
    head = Head(
        x,
        line,
        size,
        wide=1.9,
        high=0.8,
        up=0.75,
        gain=0.26 + 0.74 * near * near,
        shade=0.17 - 0.12 * overhead + 0.12 * near,
        seed=seed,
    )
    draw_head(clouds, head, (lean / away, down / away))


def rain(
    size: tuple[int, int],
    place: tuple[float, float, float, float],
    slant: float,
    seed: int,
) -> np.ndarray:
    """How thick (N, W) float64, 0..1, a curtain of rain hangs.

    It is a veil of soft slanted folds that fades at its sides, where it leaves the cloud and where
    it is lost over the ground.

    place: first and last column at the top, top row and foot row; slant: columns a row
    """
    lines, width = size
    first, last, top, foot = place
    rows, columns = np.arange(lines)[:, None], np.arange(width)[None, :]
    along = np.floor(columns - slant * (rows - top)).astype(np.int64) % width
    fine = fractal(width, lines, seed, width // 4, 1 / 34.0, octaves=1).astype(np.float64)
    broad = fractal(width, lines, seed + 1, width // 26, 1 / 120.0, octaves=2).astype(np.float64)
    folds = 0.6 * fine[rows, along] + 0.7 * broad[rows, along]
    middle, half = (first + last) / 2, (last - first) / 2
    off = np.abs((along - middle + width / 2) % width - width / 2) / half
    drop = max(foot - top, 1.0)
    ends = smooth(rows, top, top + 0.25 * drop) * smooth(rows, foot, foot - 0.3 * drop)
    return np.clip(smooth(off, 1.0, 0.1) * ends * (0.95 + folds), 0.0, 1.0)
