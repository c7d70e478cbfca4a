"""Masses of leaves: stamps in passes, each smaller, lighter and shifted toward the light.

A mass is an ellipse that a bough carries. Its leaves are lenses of a few pixels. The first pass
covers the whole mass in the dark; each next one lies nearer to the light and is lighter, so that a
mass looks round without any shading in between. Twigs break the outline, holes let the light
through, and leaves at a hole glow.

Levels are tones of a leaf ramp, 0 dark. Columns wrap; nothing is laid outside the lines.
"""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.edges import shifted
from genbg.paint.craft.exact import cosine, power, sine
from genbg.paint.craft.scatter import hash_array, hash_words, unit

BARE = -1
"""Level of a pixel without a leaf."""
TURNS = 8
"""Angles of a leaf over half a turn; a lens looks the same after the other half."""
LENSES = ((0.8, 0.5), (1.4, 0.75), (2.1, 1.05), (3.0, 1.35), (4.2, 1.7))
"""Half length and half breadth of leaves in pixels, from far to near."""
LOBES = ((3, 0.20), (5, 0.13), (9, 0.08))
"""Waves around a mass, and by how much of its radius each moves its edge."""


@dataclass(frozen=True)
class Pass:
    """One pass over a mass.

    share: leaves of it, of those of the first pass; shift: toward the light, in radii; level: tone
    scale: its reach in radii; bright: how much light (0..1) must reach the mass for it
    """

    share: float
    shift: float
    level: int
    scale: float
    bright: float = 0.0


PASSES = (
    Pass(1.00, 0.00, 1, 1.00),
    Pass(0.34, -0.30, 0, 0.66),
    Pass(0.52, 0.24, 2, 0.74),
    Pass(0.36, 0.40, 3, 0.58, 0.05),
    Pass(0.20, 0.52, 4, 0.46, 0.18),
    Pass(0.10, 0.60, 5, 0.36, 0.50),
)
"""The dark body, its own shadow on the far side, then light upon light."""


@dataclass(frozen=True, eq=False)
class Stamps:
    """Shapes made of pixels.

    dx, dy: (P,) int64 of all pixels; gain: (P,) float64, how much lighter each is than its shape
    first, size: (K,) int64, where each shape's pixels begin, and how many they are
    """

    dx: np.ndarray
    dy: np.ndarray
    gain: np.ndarray
    first: np.ndarray
    size: np.ndarray

    def pixels(
        self, kind: np.ndarray, x: np.ndarray, y: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
        """Columns, lines, owner (T,) int64 and gain of every pixel of stamps (n,), in order."""
        size = self.size[kind]
        owner = np.repeat(np.arange(len(kind)), size)
        within = np.arange(len(owner)) - np.repeat(np.add.accumulate(size) - size, size)
        at = self.first[kind][owner] + within
        return x[owner] + self.dx[at], y[owner] + self.dy[at], owner, self.gain[at]


@functools.cache
def cut_lenses(lenses: tuple[tuple[float, float], ...] = LENSES) -> Stamps:
    """Leaves of every size at `TURNS` angles; number size * TURNS + angle."""
    across, down, sizes = [], [], []
    for long, broad in lenses:
        reach = int(long) + 2
        y, x = np.mgrid[-reach : reach + 1, -reach : reach + 1]
        for turn in range(TURNS):
            c, s = float(cosine(turn / TURNS / 2)), float(sine(turn / TURNS / 2))
            u, v = x * c + y * s, y * c - x * s
            part = u / (long + 0.3)
            inside = (np.abs(u) <= long) & (np.abs(v) <= broad * (1.0 - part * part) + 0.05)
            lines, columns = np.nonzero(inside)
            across.append(columns - reach)
            down.append(lines - reach)
            sizes.append(len(lines))
    return _stamps(across, down, [np.zeros(size) for size in sizes])


@functools.cache
def cut_blades(heights: tuple[int, ...], leans: tuple[int, ...], gain: float = 2.4) -> Stamps:
    """Blades of grass that bend as they rise; number height's place * leans + lean's place.

    heights: pixels; leans: quarter pixels that a blade leaves its foot by for each line
    gain: how much lighter its tip is than its foot
    """
    across, down, gains = [], [], []
    for height in heights:
        t = np.arange(height)
        for lean in leans:
            x = 0.25 * lean * t + 0.10 * lean * t * t / height
            across.append(np.floor(x + 0.5).astype(np.int64))
            down.append(-t)
            gains.append(gain * (t / height - 0.45))
    return _stamps(across, down, gains)


def _stamps(across: list[np.ndarray], down: list[np.ndarray], gain: list[np.ndarray]) -> Stamps:
    """Shapes from the pixels of each."""
    size = np.array([len(one) for one in across])
    first = np.add.accumulate(size) - size
    joined = [np.concatenate(one) for one in (across, down, gain)]
    return Stamps(joined[0], joined[1], joined[2], first, size)


@dataclass(frozen=True, eq=False)
class Leaves:
    """Leaves (n,) back to front: x, y int64, kind int64 (see `cut_lenses`), level float64."""

    x: np.ndarray
    y: np.ndarray
    kind: np.ndarray
    level: np.ndarray

    def kept(self, which: np.ndarray) -> Leaves:
        """Those of a mask (n,)."""
        return Leaves(self.x[which], self.y[which], self.kind[which], self.level[which])


def mass_leaves(
    masses: np.ndarray,
    seed: int,
    light: tuple[float, float],
    passes: Sequence[Pass] = PASSES,
    size: int = 3,
    closeness: float = 0.62,
) -> Leaves:
    """Leaves of masses (M, 5): x, y, radius across, radius down, light 0..1; back to front.

    light: toward it, (x, y) with y up; size: of the largest leaves, a place in `LENSES`; small
        masses take smaller ones; closeness: leaves a pixel of the first pass
    """
    table = np.array([[p.share, p.shift, p.level, p.scale, p.bright] for p in passes])
    area = masses[:, 2] * masses[:, 3] * closeness
    wanted = masses[:, 4][:, None] >= table[:, 4][None, :]
    count = np.where(wanted, area[:, None] * table[:, 0][None, :], 0.0).astype(np.int64)
    flat = np.repeat(np.arange(count.size), count.ravel())
    mass, step = flat // len(passes), flat % len(passes)
    number = np.arange(len(flat))
    turn = unit(seed, number, 0)
    own = unit(seed, mass, 7)
    reach = power(unit(seed, number, 1), 0.55) * table[step, 3]
    for place, (waves, height) in enumerate(LOBES):
        reach = reach * (1.0 + height * sine(waves * turn + (place + 1) * own))
    x = reach * cosine(turn) + 0.9 * light[0] * table[step, 1]
    y = reach * sine(turn) - 0.9 * light[1] * table[step, 1]
    x = np.floor(masses[mass, 0] + x * masses[mass, 2]).astype(np.int64)
    y = np.floor(masses[mass, 1] + y * masses[mass, 3]).astype(np.int64)
    small = (unit(seed, number, 2) > 0.55).astype(np.int64) + (masses[mass, 2] < 12.0)
    angle = np.floor((2.0 * turn + 0.35 * unit(seed, number, 3)) * TURNS).astype(np.int64) % TURNS
    kind = np.maximum(size - small, 0) * TURNS + angle
    return Leaves(x, y, kind, table[step, 2])


def clusters(
    centres: np.ndarray, seed: int, least: int = 2, most: int = 5, spread: float = 0.9
) -> np.ndarray:
    """Masses (M, 5) with smaller ones on their edge, `least` to `most` each, back to front."""
    found = []
    for number, (x, y, across, down, bright) in enumerate(centres.tolist()):
        own = hash_words(seed, number)
        kids = least + own % (most - least + 1)
        place = np.arange(kids)
        turn, part = unit(own, place, 0), 0.40 + 0.22 * unit(own, place, 1)
        found.append(
            np.stack(
                [
                    x + cosine(turn) * across * spread,
                    y + sine(turn) * down * spread * 0.9,
                    across * part,
                    down * part * 1.1,
                    np.full(kids, bright),
                ],
                axis=1,
            )
        )
        found.append(np.array([[x, y, across, down, bright]]))
    return np.concatenate(found) if found else np.zeros((0, 5))


class LeafSheet:
    """What leaves have been laid: level (N, W) float64, `BARE` where there are none."""

    def __init__(self, lines: int, width: int):
        self.level = np.full((lines, width), float(BARE))

    @property
    def covered(self) -> np.ndarray:
        """Pixels (N, W) bool under leaves."""
        return self.level > BARE

    def lay(self, leaves: Leaves, stamps: Stamps | None = None) -> None:
        """Lay leaves, the last on top; stamps: what their kinds are, `cut_lenses` if None."""
        stamps = stamps or cut_lenses()
        x, y, owner, gain = stamps.pixels(leaves.kind, leaves.x, leaves.y)
        lines, width = self.level.shape
        inside = (y >= 0) & (y < lines)
        level = np.maximum(leaves.level[owner] + gain, 0.0)
        self.level[y[inside], x[inside] % width] = level[inside]

    def put(self, x: np.ndarray, y: np.ndarray, level: np.ndarray | float) -> None:
        """Single pixels (n,) of a level."""
        lines, width = self.level.shape
        x, y = np.asarray(x, dtype=np.int64), np.asarray(y, dtype=np.int64)
        inside = (y >= 0) & (y < lines)
        self.level[y[inside], x[inside] % width] = np.broadcast_to(level, y.shape)[inside]


def depth_inside(mask: np.ndarray, most: int) -> np.ndarray:
    """Steps (N, W) int64 from each pixel of a mask to its outside, at most `most`; 0 outside."""
    depth, left = mask.astype(np.int64), mask
    for _ in range(most - 1):
        left = left & shifted(left, 1, 0) & shifted(left, -1, 0)
        left = left & shifted(left, 0, 1) & shifted(left, 0, -1)
        depth += left
    return depth


def light_rims(sheet: LeafSheet, bright: np.ndarray, seed: int, share: float = 0.22) -> None:
    """Leaves that the light shines through, at the holes and the lower edge of what is laid.

    bright: (N, W), light behind the leaves, 0..1; share: of the pixels near an edge that glow
    """
    near = 5
    depth = depth_inside(sheet.covered, near)
    lines, columns = np.nonzero((depth > 0) & (depth < near))
    place = hash_array(seed, lines, columns) % np.uint64(1000)
    light = bright[lines, columns] * (near - depth[lines, columns]) / (near - 1)
    glows = place < (1000 * share * (0.10 + 0.85 * light)).astype(np.uint64)
    lines, columns, light = lines[glows], columns[glows], light[glows]
    number = np.arange(len(lines))
    kind = (1 + (unit(seed, number, 1) < 0.7)) * TURNS + np.floor(unit(seed, number, 2) * TURNS)
    level = 2.4 + 5.0 * light + 1.2 * (unit(seed, number, 3) - 0.5)
    sheet.lay(Leaves(columns, lines, kind.astype(np.int64), np.floor(level + 0.5)))


def hang_twigs(
    sheet: LeafSheet,
    seed: int,
    count: int,
    reach: tuple[float, float] = (6.0, 17.0),
    lowest: int = 1 << 30,
    level: float = 1.0,
) -> None:
    """Twigs with leaves in pairs that hang from the lower edge and break it.

    count: twigs; reach: their least and most length, pixels; lowest: line below which none begins
    """
    covered = sheet.covered
    lines, columns = np.nonzero(covered & ~shifted(covered, 0, 2))
    inside = (lines < min(lowest, len(covered) - 2)) & (lines > 8)
    lines, columns = lines[inside], columns[inside]
    order = np.argsort(hash_array(seed, lines, columns), kind="stable")[:count]
    lines, columns = lines[order], columns[order]
    twig = np.arange(len(lines))
    long = reach[0] + (reach[1] - reach[0]) * unit(seed, twig, 1)
    turn = 0.25 + 0.28 * (unit(seed, twig, 2) - 0.5)
    step = np.arange(int(reach[1]) + 1)
    there = (step[None, :] < long[:, None]).ravel()
    owner = np.repeat(twig, len(step))[there]
    t = np.tile(step, len(twig))[there].astype(np.float64)
    x = np.floor(columns[owner] + cosine(turn)[owner] * t * 0.8 + 0.5).astype(np.int64)
    y = np.floor(lines[owner] + sine(turn)[owner] * t * 0.6 + t * t * 0.018).astype(np.int64)
    sheet.put(x, y, level)
    pair = t.astype(np.int64) % 3 == 0
    x, y, owner, t = x[pair], y[pair], owner[pair], t[pair]
    for side in (-1, 1):
        lit = level + (unit(seed, owner, 3) < 0.45) + (unit(seed, owner, t.astype(np.int64)) < 0.3)
        slant = 2 if side > 0 else TURNS - 2
        kind = np.full(len(x), 2 * TURNS + slant)
        sheet.lay(Leaves(x + 2 * side, y + 1, kind, lit.astype(np.float64)))
