"""Rocks: hulls of planes, chiselled into chips."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.exact import cosine, sine
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import unit
from genbg.paint.craft.solids.look import Seen
from genbg.paint.craft.solids.stage import Kind, Plane, Stage
from genbg.paint.craft.solids.view import Point

GIRDLE = 9
"""Planes around a rock's middle, so that it never runs into the corners of its box."""


@dataclass(frozen=True)
class Stone:
    """How a rock is cut.

    planes: how many, besides the girdle; steep: 0 a boulder .. 1 a cliff of upright faces
    flat: how high its top to stand on lies, as a share of its half height
    """

    planes: int = 22
    steep: float = 0.0
    flat: float = 0.75


BOULDER = Stone()
CLIFF = Stone(24, 0.72, 0.82)
CROWN = Stone(30, 0.0, 0.95)
"""Leaves of a tree or bush: nearly round."""


def boulder(
    stage: Stage,
    centre: Point,
    radii: Point,
    seed: int,
    material: int,
    stone: Stone = BOULDER,
    kind: Kind = Kind.ROCK,
    casts: bool = True,
) -> None:
    """A rock: what lies behind all of a number of planes at random."""
    normals, offsets = _hull(seed, stone)
    scaled = normals / np.array(radii)
    length = np.sqrt(
        scaled[:, 0] * scaled[:, 0] + scaled[:, 1] * scaled[:, 1] + scaled[:, 2] * scaled[:, 2]
    )
    scaled = scaled / length[:, None]
    lies = offsets / length + (
        scaled[:, 0] * centre[0] + scaled[:, 1] * centre[1] + scaled[:, 2] * centre[2]
    )
    planes = [
        Plane((x, y, z), distance, material, kind, centre, width=radii[0], height=radii[1])
        for (x, y, z), distance in zip(scaled.tolist(), lies.tolist(), strict=True)
    ]
    reach = 1.25
    corners = [
        (
            centre[0] + a * reach * radii[0],
            centre[1] + b * reach * radii[1],
            centre[2] + c * radii[2],
        )
        for a in (-1, 1)
        for b in (-1, 1)
        for c in (-1, 1)
    ]
    stage.thing()
    stage.solid(planes, corners, casts, bent=True)


def _hull(seed: int, stone: Stone) -> tuple[np.ndarray, np.ndarray]:
    """Unit normals (n, 3) and distances (n,) of planes about a ball of radius 1."""
    number = np.arange(stone.planes)
    normals = np.stack(
        [unit(seed, number, axis) + unit(seed, number, axis + 3) - 1.0 for axis in range(3)], axis=1
    )
    normals[:, 1] *= 1.0 - stone.steep
    if stone.steep > 0:
        tops = stone.planes // 4
        normals[:tops, 1] = np.abs(normals[:tops, 1]) * 6 + 0.4
    normals[0] = (unit(seed, 0, 7)[0] - 0.5) * 0.3, 1.0, -0.15 + (unit(seed, 0, 8)[0] - 0.5) * 0.25
    turns = number[:GIRDLE] / GIRDLE + unit(seed, 0, 9)[0] * 0.1
    girdle = np.stack(
        [cosine(turns), unit(seed, number[:GIRDLE], 10) * 0.45 - 0.35, sine(turns)], axis=1
    )
    normals = np.concatenate([normals, girdle])
    offsets = 0.72 + 0.28 * unit(seed, np.arange(len(normals)), 11)
    offsets[0] = stone.flat
    offsets[stone.planes :] += 0.12
    length = np.sqrt(
        normals[:, 0] * normals[:, 0]
        + normals[:, 1] * normals[:, 1]
        + normals[:, 2] * normals[:, 2]
    )
    return normals / np.maximum(length, 1e-6)[:, None], offsets


def ragged(
    seed: int, lines: int, width: int, reach: float = 3.0, cells: int = 36
) -> tuple[np.ndarray, np.ndarray]:
    """Pixels (N, W) by which columns and lines of bent solids are off, so that no edge is ruled."""
    across = fractal(width, lines, seed, cells, octaves=2).astype(np.float64)
    down = fractal(width, lines, seed + 1, cells, octaves=2).astype(np.float64)
    return across * 2 * reach, down * 2 * reach


@dataclass(frozen=True)
class Chips:
    """Chiselled planes on rock.

    across, down: their size in pixels; tilt: how far they turn sideways and up; lean: pixels by
    which each line lies off the one above
    """

    across: int = 8
    down: int = 11
    tilt: tuple[float, float] = (0.5, 0.5)
    lean: float = 0.25


STONE_CHIPS = Chips()


def chips(seen: Seen, where: np.ndarray, seed: int, cut: Chips = STONE_CHIPS) -> np.ndarray:
    """Tilt the normals of pixels (N, W) bool, chip by chip, in place; returns the chips' numbers.

    The chips are cells of a jittered diagram on the picture (each pixel takes the nearest seed).
    """
    number = cells(seen, where, seed, (cut.across, cut.down), cut.lean)
    if not where.any():
        return number
    one, two = unit(seed, np.arange(4096), 21) * 2 - 1, unit(seed, np.arange(4096), 22) * 2 - 1
    chosen = number[where]
    nx = seen.nx[where] + cut.tilt[0] * one[chosen]
    ny = seen.ny[where] + cut.tilt[1] * two[chosen]
    nz = seen.nz[where]
    length = np.sqrt(nx * nx + ny * ny + nz * nz)
    seen.nx[where], seen.ny[where], seen.nz[where] = nx / length, ny / length, nz / length
    return number


def cells(
    seen: Seen,
    where: np.ndarray,
    seed: int,
    size: tuple[int, int],
    lean: float = 0.25,
    period: int | None = None,
) -> np.ndarray:
    """Numbers 0..4095 (N, W) of the cells of a jittered diagram, on pixels (N, W) bool; else 0.

    size: columns and lines of a cell; lean: pixels by which each line lies off the one above
    period: columns after which the diagram repeats, so that its cells of the plane do; None: never
    """
    lines, width = where.shape[0], period or where.shape[1]
    columns = max(1, width // size[0])
    number = np.zeros(where.shape, dtype=np.int64)
    line, column = np.nonzero(where)
    if len(line):
        wave = fractal(width, lines, seed + 3, max(1, width // 16), octaves=2).astype(np.float64)
        wave = wave[line, column % width]
        high = line + float(seen.top)
        x = (column + wave * 9 + high * lean) / (width / columns)
        number[where] = _nearest(x, (high + wave * 7.0) / size[1], columns, seed)
    return number


def _nearest(x: np.ndarray, y: np.ndarray, columns: int, seed: int) -> np.ndarray:
    """Number 0..4095 (n,) of the seed nearest to each place; one seed a lattice cell."""
    left, above = np.floor(x).astype(np.int64), np.floor(y).astype(np.int64)
    low, high = int(above.min()) - 1, int(above.max()) + 1
    cell = np.arange(columns)[None, :], np.arange(low, high + 1)[:, None]
    off = [unit(seed, *cell, n) for n in (31, 32)]
    names = (unit(seed, *cell, 33) * 4096).astype(np.int64)
    best = np.full(x.shape, np.inf)
    number = np.zeros(x.shape, dtype=np.int64)
    for down in (-1, 0, 1):
        for across in (-1, 0, 1):
            row, column = above + down - low, (left + across) % columns
            dx = left + across + off[0][row, column] - x
            dy = above + down + off[1][row, column] - y
            away = dx * dx + dy * dy
            nearer = away < best
            best = np.where(nearer, away, best)
            number = np.where(nearer, names[row, column], number)
    return number
