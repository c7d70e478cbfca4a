"""Leaves: clumps put together from single dabs, drawn once as stamps of whole cells.

Tones are those of `relief.py`, 0 deep shade to 4 rim, and -1 where nothing is. A clump is an
ellipse of dabs laid from the top down, so that each shows its lit upper edge before the one behind;
how light a dab is depends on where it lies, as on a ball under the scene's light.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import pick, scatter

DEEP, RIM = 0, 4


def _dab(text: str) -> np.ndarray:
    """Tone changes (h, w) int64 of a dab; 9 stands for see-through."""
    signs = {".": 9, "o": 0, "+": 1, "-": -1}
    return np.array([[signs[sign] for sign in row] for row in text.split()])


BROAD = (
    _dab(".++.. ++oo. ooooo .oo-- ..--."),
    _dab("..++. .++oo ooooo --oo. .--.."),
    _dab(".++++. oooooo .oo--. ..--.."),
)
"""Round leaves, several to a dab."""

FINE = (
    _dab(".++. +ooo .o--"),
    _dab("++.. .oo. .oo- ..--"),
    _dab("..++ .oo. -oo. --.."),
)
"""Small leaves of far trees and clipped hedges."""

POINTED = (
    _dab("++.... .+oo.. ..ooo- ...oo- ....--"),
    _dab("....++ ..oo+. -ooo.. -oo... --...."),
    _dab("..+.. .++.. .oo.. .oo-. ..o-. ..--."),
)
"""Leaves that hang to a point."""

DABS = {"broad": BROAD, "fine": FINE, "pointed": POINTED}


@dataclass(frozen=True)
class Growth:
    """How leaves grow.

    dabs: which of `DABS`; spacing: pixels between them
    light: (x, y) where light comes from; contrast: tones between the lit and the shaded side
    middle: the mean tone of a clump
    """

    dabs: str
    spacing: int
    light: tuple[float, float]
    contrast: float = 1.6
    middle: float = 1.8


def leaf_clump(columns: int, rows: int, seed: int, growth: Growth) -> np.ndarray:
    """Tones (8 * rows, 8 * columns) int64 of one clump, an ellipse of dabs."""
    width, height = columns * CELL, rows * CELL
    y, x = np.arange(height)[:, None] + 0.5, np.arange(width)[None, :] + 0.5
    # Dabs stand out past the ellipse, so it keeps away from the stamp's edges.
    across, down = (x * 2 - width) / (width - 7), (y * 2 - height) / max(height - 6, 6)
    tones = np.where(across * across + down * down < 0.72, DEEP, -1)
    places = scatter(width, height, growth.spacing, seed, 12)
    shapes = DABS[growth.dabs]
    number = np.arange(len(places))
    shape, luck = pick(seed, len(shapes), number, 1), pick(seed, 5, number, 2)
    for n in np.lexsort((places[:, 0], places[:, 1])).tolist():
        px, py = int(places[n, 0]), int(places[n, 1])
        nx, ny = float(across[0, px]), float(down[py, 0])
        if nx * nx + ny * ny >= 0.9:
            continue
        lit = growth.light[0] * nx - growth.light[1] * ny
        level = growth.middle + growth.contrast * lit + (int(luck[n]) - 2) * 0.2
        _press(tones, shapes[int(shape[n])], px, py, int(np.floor(level + 0.5)))
    return tones


def _press(tones: np.ndarray, dab: np.ndarray, x: int, y: int, tone: int) -> None:
    """Put a dab with its middle at a place, in place, where it lies wholly inside."""
    height, width = dab.shape
    top, left = y - height // 2, x - width // 2
    if top < 0 or left < 0 or top + height > len(tones) or left + width > tones.shape[1]:
        return
    place = tones[top : top + height, left : left + width]
    shade = np.clip(dab + min(max(tone, DEEP), RIM - 1), DEEP, RIM)
    place[...] = np.where(dab == 9, place, shade)
