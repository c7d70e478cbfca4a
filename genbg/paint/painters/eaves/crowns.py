"""The canopy of near trees: dark roof, round masses with lit shoulders, holes, twigs, lit rims."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.air import away
from genbg.paint.craft.exact import fall, smooth
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.leaves import (
    LeafSheet,
    Pass,
    clusters,
    hang_twigs,
    light_rims,
    mass_leaves,
)
from genbg.paint.craft.scatter import between, hash_words, unit

PASSES = (
    Pass(0.40, -0.40, 0, 0.98),
    Pass(1.00, 0.00, 1, 0.98),
    Pass(0.52, 0.22, 2, 0.78),
    Pass(0.34, 0.40, 3, 0.58),
    Pass(0.17, 0.52, 4, 0.44, 0.08),
    Pass(0.10, 0.60, 5, 0.34, 0.34),
    Pass(0.06, 0.66, 6, 0.28, 0.66),
)
"""The shadow that a mass throws on what is behind it, its dark body, then light upon light."""
HOLE = 0.17
"""Noise above which there are no leaves."""
SHADED = 3.2
"""Lightest tone of leaves that no light is behind: only what stands before it is drawn out."""
SHELF = 6
"""Lines from the screen's top that are dark, and for each tone that leaves below are lighter."""


def light_behind(lines: int, width: int, x: float, half: float) -> np.ndarray:
    """Light (N, W), 0..1, that comes through the leaves: most before the light's column."""
    off = away(np.arange(width), x, width) / half
    other = away(np.arange(width), x + width / 2, width) / (half * 0.7)
    glow = np.maximum(fall(off * off), 0.6 * fall(other * other))
    return glow[None, :] * smooth(np.arange(lines)[:, None], -8.0, 34.0)


def roof_depth(width: int, lines: float, x: float, room: float, seed: int) -> np.ndarray:
    """How far leaves hang down (W,): in heavy lobes, and hardly at all before the light."""
    hang = lines * (0.95 + 1.1 * profile(width, hash_words(seed, "hang"), 5, 3))
    for middle, share in ((x, 1.0), (x + width / 2, 0.6)):
        off = away(np.arange(width), middle, width) / max(1.0, room)
        hang = hang * (1.0 - share * fall(off * off * off * off))
    return np.maximum(hang, 0.0)


def grow_canopy(
    boughs: list[np.ndarray], glow: np.ndarray, deep: np.ndarray, light: tuple[float, float],
    seed: int,
) -> LeafSheet:  # fmt: skip
    """All leaves over our heads as one sheet of levels."""
    lines, width = glow.shape
    sheet = LeafSheet(lines, width)
    y = np.arange(lines)[:, None]
    ragged = 5.0 * profile(width, hash_words(seed, "ragged"), width // 8, 2)
    sheet.level[y < (0.6 * deep + ragged)[None, :]] = 1.0
    masses = _masses(boughs, deep, glow, seed)
    leaves = mass_leaves(masses, hash_words(seed, "leaves"), light, PASSES, closeness=0.5)
    hole = fractal(width, lines, hash_words(seed, "holes"), max(1, width // 32), 1 / 16, 2)
    at = np.clip(leaves.y, 0, lines - 1), leaves.x % width
    sheet.lay(leaves.kept((hole[at] < HOLE) | (leaves.y < 6)))
    low = int(lines * 0.5)
    hang_twigs(sheet, hash_words(seed, "twigs"), max(4, width * 44 // 512), lowest=low)
    light_rims(sheet, glow, hash_words(seed, "rims"), 0.26)
    clumps = fractal(width, lines, hash_words(seed, "shelf"), width // 20, 1 / 10, 2) * 24.0
    most = np.floor(1.0 + np.maximum(y - SHELF + clumps, 0.0) / SHELF) + 5.0 * glow
    most = np.minimum(most, SHADED + 7.0 * glow)
    dark = sheet.covered & (sheet.level > most)
    sheet.level[dark] = most[dark]
    sheet.level[(y + clumps < SHELF) & sheet.covered & (glow < 0.3)] = 1.0
    return sheet


def _masses(boughs: list[np.ndarray], deep: np.ndarray, glow: np.ndarray, seed: int) -> np.ndarray:
    """Masses (M, 5) of leaves: at the boughs' ends and bends, and in lobes along the roof."""
    lines, width = glow.shape
    centres = []

    def add(x: float, y: float, across: float, down: float) -> None:
        line, column = int(np.clip(y + 8, 0, lines - 1)), int(x) % width
        lit = float(glow[line, column]) * float(smooth(y, 0.0, 10.0))
        centres.append((x, y, across, down, lit))

    for n, points in enumerate(boughs):
        own = hash_words(seed, "bough", n)
        x, y, _ = points[len(points) * 6 // 7].tolist()
        add(x, y - 1, between(own, 16, 27, 0), between(own, 9, 13, 1))
        x, y, _ = points[len(points) // 2].tolist()
        add(x, y - 3, between(own, 9, 14, 2), between(own, 5, 8, 3))
    count = max(1, width * 20 // 512)
    for n in range(count):
        own = hash_words(seed, "roof", n)
        x = (n + between(own, 0.0, 0.9, 0)) * width / count
        hang = float(deep[int(x) % width])
        if hang > 6.0:
            add(x, hang * between(own, 0.35, 0.75, 1), between(own, 15, 30, 2), 5.0 + hang * 0.4)
    masses = clusters(np.array(centres).reshape(-1, 5), hash_words(seed, "kids"), 2, 5)
    order = np.argsort(masses[:, 1] + 7.0 * unit(seed, np.arange(len(masses)), 5), kind="stable")
    return masses[order]
