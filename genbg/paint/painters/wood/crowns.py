"""The canopy of near trees: masses on boughs, a ragged roof, twigs, creepers, lit rims."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.air import away
from genbg.paint.craft.exact import fall, sine, smooth
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.leaves import (
    TURNS,
    LeafSheet,
    Leaves,
    clusters,
    hang_twigs,
    light_rims,
    mass_leaves,
)
from genbg.paint.craft.scatter import between, hash_array, hash_words, unit

HOLE = 0.20
"""Noise above which there are no leaves."""


def light_behind(lines: int, width: int, x: float, half: float) -> np.ndarray:
    """Light (N, W), 0..1, that comes through the leaves: most before the light's column."""
    off = away(np.arange(width), x, width) / half
    other = away(np.arange(width), x + width / 2, width) / (half * 0.7)
    glow = np.maximum(fall(off * off), 0.55 * fall(other * other))
    return glow[None, :] * smooth(np.arange(lines)[:, None], -8.0, 34.0)


def _masses(boughs: list[np.ndarray], deep: np.ndarray, glow: np.ndarray, seed: int) -> np.ndarray:
    """Masses (M, 5) of leaves: at the boughs' ends and bends, and along the picture's top."""
    lines, width = glow.shape
    centres = []

    def add(x: float, y: float, across: float, down: float) -> None:
        line, column = int(np.clip(y + 8, 0, lines - 1)), int(x) % width
        centres.append((x, y, across, down, float(glow[line, column])))

    for n, points in enumerate(boughs):
        own = hash_words(seed, "bough", n)
        x, y, _ = points[len(points) * 6 // 7].tolist()
        add(x, y - 1, between(own, 17, 27, 0), between(own, 9, 13, 1))
        x, y, _ = points[len(points) // 2].tolist()
        add(x, y - 3, between(own, 9, 14, 2), between(own, 5, 8, 3))
    count = max(1, width * 22 // 512)
    for n in range(count):
        own = hash_words(seed, "roof", n)
        x = (n + between(own, 0.0, 0.9, 0)) * width / count
        hang = float(deep[int(x) % width])
        add(x, between(own, -8, 2, 1) + hang * 0.5, between(own, 14, 28, 2),
            max(5.0, hang * 0.55 + between(own, -2, 4, 3)))  # fmt: skip
    masses = clusters(np.array(centres), hash_words(seed, "kids"), 2, 5)
    order = np.argsort(masses[:, 1] + 7.0 * unit(seed, np.arange(len(masses)), 5), kind="stable")
    return masses[order]


def roof_depth(width: int, lines: float, x: float, room: float, seed: int) -> np.ndarray:
    """How far leaves hang down (W,): lines on the whole, less before the light."""
    off = away(np.arange(width), x, width) / max(1.0, room)
    hang = lines + 0.8 * lines * profile(width, hash_words(seed, "hang"), 4, 3)
    return np.maximum(hang - lines * 0.85 * fall(off * off), 1.0)


def grow_canopy(
    boughs: list[np.ndarray], glow: np.ndarray, deep: np.ndarray, light: tuple[float, float],
    creepers: float, seed: int,
) -> LeafSheet:  # fmt: skip
    """All leaves of the layer as one sheet of levels."""
    lines, width = glow.shape
    sheet = LeafSheet(lines, width)
    masses = _masses(boughs, deep, glow, seed)
    leaves = mass_leaves(masses, hash_words(seed, "leaves"), light)
    hole = fractal(width, lines, hash_words(seed, "holes"), max(1, width // 32), 1 / 14, 2)
    at = np.clip(leaves.y, 0, lines - 1), leaves.x % width
    sheet.lay(leaves.kept((hole[at] < HOLE) | (leaves.y < 5)))
    low = int(lines * 0.5)
    hang_twigs(sheet, hash_words(seed, "twigs"), max(4, width * 46 // 512), lowest=low)
    hang_creepers(sheet, hash_words(seed, "creepers"), round(creepers * 24 * width / 512), low)
    light_rims(sheet, glow, hash_words(seed, "rims"))
    return sheet


def hang_creepers(sheet: LeafSheet, seed: int, count: int, lowest: int) -> None:
    """Thin creepers with leaves by turns, from the lower edge of the canopy down."""
    covered = sheet.covered
    lines, columns = np.nonzero(covered[:-1] & ~covered[1:])
    inside = (lines > 10) & (lines < lowest)
    lines, columns = lines[inside], columns[inside]
    order = np.argsort(hash_array(seed, lines, columns), kind="stable")[:count]
    for n, at in enumerate(order.tolist()):
        own = hash_words(seed, n)
        t = np.arange(int(between(own, 7, 30, 0)))
        x = columns[at] + np.floor(sine(t * 0.026 + between(own, 0, 1, 1)) * 1.3 + 0.5)
        sheet.put(x, lines[at] + t, 1.0)
        leaf = t[2::4]
        side = np.where(leaf % 8 < 4, 1, -1)
        kind = np.where(side > 0, TURNS + 3, TURNS + 5)
        level = 2.0 + (unit(own, leaf) < 0.4)
        place = x[2::4].astype(np.int64) + side
        sheet.lay(Leaves(place, lines[at] + leaf, kind, level))
