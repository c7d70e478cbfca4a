"""The underside of a storm: rags and pouches of cloud, and shafts of rain that fall from it.

Both lie on the cell grid, so that they cost the few ways in which a hem or a shaft crosses a cell.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.fields import profile
from genbg.paint.craft.paths import draw_paths
from genbg.paint.craft.scatter import hash_words

HANGS = 12
"""Lines by which the underside of a storm hangs down at its deepest, pouches apart."""
POUCH = np.array([0, 1, 2, 3, 3, 4, 4, 4, 4, 4, 4, 3, 3, 2, 1, 0])
"""Lines of a pouch, over two cells."""


def hang_rags(picture: np.ndarray, base: int, seed: int, ink: int) -> None:
    """Cloud below a flat base in place: it hangs down in rags and pouches, here more, there less.

    picture: (8R, 8C) inks, wrapping; base: cell row at which the flat base ends
    """
    columns = picture.shape[1] // CELL
    sag = profile(columns, hash_words(seed, "rags"), max(2, columns // 6), octaves=2)
    sag = sag.astype(np.float64) - float(sag.min())
    deep = np.floor(sag / max(float(sag.max()), 1e-6) * HANGS / 4 + 0.5).astype(np.int64) * 4
    path = draw_paths(np.append(deep, deep[0])[None], hash_words(seed, "hem"), 1, 0)[0]
    hem = base * CELL + path + POUCH[np.arange(len(path)) % len(POUCH)]
    y = np.arange(len(picture))[:, None]
    picture[(y >= base * CELL) & (y < hem)] = ink


def draw_rain(
    picture: np.ndarray, base: int, deep: int, seed: int, from_right: bool, ink: int
) -> None:
    """Slanting lines in place, in whole cells below the base: shafts, thinner far down.

    picture, base: as above; deep: cell rows that the rain falls; from_right: where light comes from
    """
    columns = picture.shape[1] // CELL
    strength = profile(columns, hash_words(seed, "rain"), max(2, columns // 8), octaves=2)
    lean = -1 if from_right else 1
    down, across = np.arange(CELL)[:, None], np.arange(CELL)[None, :]
    place = (across + lean * (down // 2)) % CELL
    drop = np.tile(((place == 0) & (down < 5)) | ((place == 4) & (down > 2)), (1, columns))
    for row in range(base, base + deep):
        shift = lean * (row - base) // 2
        wet = np.roll(strength, -shift) > 0.35 * (row - base) / max(1, deep) - 0.1
        picture[row * CELL : (row + 1) * CELL][drop & np.repeat(wet, CELL)[None, :]] = ink
