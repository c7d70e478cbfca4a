"""What grows or lies on terrain: strokes on rock, tufts on grass, trees, snow.

Texture is made of small patches of one cell. They go only where a whole cell has one tone, so an
edge never crosses a patch and a texture costs a handful of patterns however far it reaches.
Patches are drawn for light from the left; light from the right takes their mirror images.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.paths import draw_paths, snap
from genbg.paint.relief import DEEP, LIT, RIM, SHADE, Lattice, Summit
from genbg.paint.scatter import hash_words, pick

CELL = 8


CHANGE = {".": 0, "+": 1, "-": -1}


def _patch(text: str) -> np.ndarray:
    """Tone changes (h, 8) int64: "-" darker, "+" lighter, "." as it is; rows by spaces."""
    return np.array([[CHANGE[sign] for sign in row] for row in text.split()])


STROKES = (
    _patch("........ ......-. .....--. ....--.. ....-... ........ ........ ........"),
    _patch("........ ........ ....--.. ...--... ..--.... .--..... ........ ........"),
)
"""Down the fall line of a face that looks left."""

TUFTS = (
    _patch("........ ........ .-...-.. ..-.-... ..-.-... ........ ........ ........"),
    _patch("........ ........ ........ ...-.-.. ....-... ....-... ........ ........"),
)

CONIFER = _patch("---++--- ---++.-- --+++.-- --++..-- -+++..-- -++....- ++++...- -++..-.-")
"""One tree top; the rows of a wood repeat it, every other row half a cell aside."""

CONIFER_RISE = np.array([-3, -1, 2, 5, 5, 2, -1, -3])
BROADLEAF = _patch("--+++--- -+++++.- ++++++.. +++++... .++++..- ..++...- -......- --...---")
BROADLEAF_RISE = np.array([0, 2, 4, 5, 5, 4, 2, 0])
"""Pixels by which a tree rises above the outline, column by column."""

DRIPS = np.array([[0, 0, 1, 3, 5, 4, 1, 0], [0, 1, 4, 6, 7, 5, 2, 0], [0, 0, 0, 1, 1, 0, 0, 0]])
"""How far snow reaches below its line, column by column."""


def add_marks(
    tones: np.ndarray,
    patches: tuple[np.ndarray, ...],
    share: int,
    mirror: bool,
    top: int,
    seed: int,
) -> np.ndarray:
    """Tones (N, W) with patches in cells that are wholly of one tone, mirrored in shade.

    share: of 16 cells, how many get a patch; mirror: light comes from the right
    """
    cells = _cells(tones, top)
    first = cells[:, :, 0, 0]
    flat = (cells == first[..., None, None]).all(axis=(2, 3)) & (first > DEEP) & (first < RIM)
    row, column = np.arange(cells.shape[0])[:, None], np.arange(cells.shape[1])[None, :]
    wanted = flat & (pick(seed, 16, row, column, 0) < share)
    chosen = pick(seed, len(patches), row, column, 1)
    stack = np.stack(patches)
    turned = np.stack([stack, stack[:, :, ::-1]])
    side = (first <= SHADE) ^ mirror
    marks = turned[side.astype(np.int64), chosen]
    cells = np.where(wanted[..., None, None], np.clip(cells + marks, DEEP, RIM), cells)
    return _lines(cells, top, len(tones))


def plant_wood(
    tones: np.ndarray,
    outline: np.ndarray,
    rise: np.ndarray,
    patch: np.ndarray,
    mirror: bool,
    top: int,
) -> np.ndarray:
    """Tones (N, w) of a hill's window covered with trees, whose tops break its outline.

    outline: (w,) first line of the hill; the tone of a tree is that of its cell's middle
    """
    lines, width = tones.shape
    rise, patch = (rise[::-1], patch[:, ::-1]) if mirror else (rise, patch)
    y, x = np.arange(lines)[:, None], np.arange(width)[None, :]
    row = (y + top) // CELL
    aside = np.where(row % 2, 4, 0)
    middle = tones[
        np.clip(row * CELL - top + 4, 0, lines - 1),
        np.minimum((x + aside) // CELL * CELL + 4 - aside, width - 1),
    ]
    crown = y >= outline[None, :] - np.tile(rise, width // CELL)[None, :]
    base = np.where(middle < 0, LIT, np.minimum(middle, LIT))
    leaves = np.clip(base + patch[(y + top) % CELL, (x + aside) % CELL], DEEP, RIM)
    return np.where(crown, leaves, -1)


def lay_snow(tones: np.ndarray, line: float, summit: Summit, lattice: Lattice) -> np.ndarray:
    """Pixels (N, w) bool of a mountain's window where snow lies.

    line: line above which it lies, counted from the layer's first; it wanders by a cell
    """
    width = tones.shape[1]
    seed = hash_words(summit.seed, "snow")
    border = np.arange(width // CELL + 1)
    wander = (pick(seed, 3, border) - 1) * CELL
    base = int(snap(np.array(line + lattice.phase), lattice.quantum)) - lattice.phase
    edge = draw_paths((base + wander)[None], lattice.seed, 2, 0)[0]
    drips = DRIPS[pick(seed, len(DRIPS), border[:-1], 1)].ravel()
    return (tones >= 0) & (np.arange(len(tones))[:, None] < edge + drips)


def _cells(tones: np.ndarray, top: int) -> np.ndarray:
    """The picture padded to whole cells of the screen, as cells (R, C, 8, 8)."""
    above, below = top % CELL, -(top + len(tones)) % CELL
    padded = np.pad(tones, ((above, below), (0, 0)), mode="edge")
    shape = len(padded) // CELL, CELL, tones.shape[1] // CELL, CELL
    return padded.reshape(shape).transpose(0, 2, 1, 3)


def _lines(cells: np.ndarray, top: int, lines: int) -> np.ndarray:
    """The picture (lines, W) of cells (R, C, 8, 8)."""
    rows, columns = cells.shape[:2]
    picture = cells.transpose(0, 2, 1, 3).reshape(rows * CELL, columns * CELL)
    return picture[top % CELL :][:lines]
