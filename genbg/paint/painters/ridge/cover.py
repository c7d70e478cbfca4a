"""What grows or lies on terrain: strokes on rock, tufts on grass, woods, snow.

Texture is made of small patches of whole cells. Marks go only where a cell has one tone, so an edge
never crosses them, and a wood takes its tone cell by cell: a texture costs a handful of tiles
however far it reaches. All is drawn for light from the left; light from the right takes the mirror
images.
"""

from __future__ import annotations

import functools

import numpy as np

from genbg.hardware.sizes import CELL
from genbg.paint.craft.edges import remove_strays, rim
from genbg.paint.craft.paths import draw_paths, snap
from genbg.paint.craft.scatter import hash_words, pick
from genbg.paint.painters.ridge.marks import tone_changes
from genbg.paint.painters.ridge.relief import DEEP, LIT, RIM, SHADE, Lattice, Summit

STROKES = (
    tone_changes("........ ......-. .....--. ....--.. ....-... ........ ........ ........"),
    tone_changes("........ ........ ....--.. ...--... ..--.... .--..... ........ ........"),
)
"""Down the fall line of a face that looks left."""

TUFTS = (
    tone_changes("........ ........ .-...-.. ..-.-... ..-.-... ........ ........ ........"),
    tone_changes("........ ........ ........ ...-.-.. ....-... ....-... ........ ........"),
)

CROWNS = ((3, 2, 4), (11, 1, 3), (8, 6, 4), (15, 8, 4), (4, 11, 3), (11, 12, 4))
"""x, y, radius of the crowns in the 16x16 patch of a broad-leaved wood; it wraps both ways."""
CROWN_RISE = np.array([1, 3, 4, 5, 5, 4, 3, 1, 0, 2, 3, 4, 4, 3, 2, 0])
CONES = ((4, -1, 11), (12, 3, 9), (0, 7, 10), (8, 9, 12))
"""x, y of the tip and height of the trees in the 16x16 patch of conifers."""
CONE_RISE = np.array([-3, -1, 1, 4, 6, 4, 1, -1, -3, -2, 0, 2, 4, 2, 0, -2])
"""Pixels by which trees rise above the outline of their hill, column by column."""

EDGE = 9
"""A tone that no patch has, around cells while they are cleaned."""

DRIPS = np.array([[0, 0, 1, 3, 5, 4, 1, 0], [0, 1, 4, 6, 7, 5, 2, 0], [0, 0, 0, 1, 1, 0, 0, 0]])
"""How far snow reaches below its line, column by column."""


@functools.cache
def wood_patch(conifers: bool) -> np.ndarray:
    """Tone changes (16, 16) int64, -2..1, of a wood seen from the side, nearer trees lower."""
    canvas = np.full((48, 48), -2, dtype=np.int64)
    y, x = np.mgrid[0:48, 0:48]
    trees = CONES if conifers else CROWNS
    copies = [
        (ty + oy, tx + ox, size)
        for tx, ty, size in trees
        for oy in (0, 16, 32)
        for ox in (0, 16, 32)
    ]
    for ty, tx, size in sorted(copies):
        across, down = x - tx, y - ty
        if conifers:
            reach = (down * 5 // 3 + 1) // 3 - (down % 4 == 3)
            inside = (down >= 0) & (down < size) & (np.abs(across) <= reach)
            tone = np.where(across < 0, 1, np.where(across <= 1, 0, -1))
        else:
            inside = across * across + down * down <= size * size + size // 2
            side = -3 * across - 4 * down
            tone = np.where(side > 2 * size, 1, np.where(side < -2 * size, -1, 0))
        canvas = np.where(inside, tone, canvas)
    patch = remove_strays(canvas)[16:32, 16:32].copy()
    for row in (slice(0, 8), slice(8, 16)):
        for column in (slice(0, 8), slice(8, 16)):
            # Cell by cell, since neighbouring cells of a wood may differ in tone.
            edged = np.pad(patch[row, column], 1, constant_values=EDGE)
            cleaned = remove_strays(edged)[1:-1, 1:-1]
            patch[row, column] = np.where(cleaned == EDGE, patch[row, column], cleaned)
    patch.setflags(write=False)
    return patch


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
    left: int,
    conifers: bool,
    light: tuple[float, float],
    top: int,
) -> np.ndarray:
    """Tones (N, w) of a hill's window under a wood, whose crowns break its outline.

    outline: (w,) first line of the hill; left: column of the plane at which the window begins
    """
    lines, width = tones.shape
    rise, patch = (CONE_RISE if conifers else CROWN_RISE), wood_patch(conifers)
    if light[0] > 0:
        rise, patch = rise[::-1], patch[:, ::-1]
    y, x = np.arange(lines)[:, None], np.arange(width)[None, :]
    # A cell has the tone of the hill at its middle, so that no edge runs through the leaves.
    middle = tones[np.clip((y + top) // CELL * CELL - top + 4, 0, lines - 1), x // CELL * CELL + 4]
    ground = np.clip(np.where(middle < 0, LIT, middle), SHADE, LIT)
    crown = y >= outline[None, :] - rise[(x + left) % 16]
    leaves = np.clip(ground + patch[(y + top) % 16, (x + left) % 16], DEEP, RIM)
    leaves = np.where(rim(crown, light), np.minimum(ground + 1, RIM), leaves)
    return np.where(crown, leaves, -1)


def lay_snow(tones: np.ndarray, line: float, summit: Summit, lattice: Lattice) -> np.ndarray:
    """Pixels (N, w) bool of a mountain's window where snow lies.

    line: line above which it lies, counted from the layer's first; it wanders by a cell
    """
    seed = hash_words(summit.seed, "snow")
    border = np.arange(tones.shape[1] // CELL + 1)
    wander = (pick(seed, 3, border) - 1) * CELL
    base = int(snap(np.array(line + lattice.phase), lattice.quantum)) - lattice.phase
    edge = draw_paths((base + wander)[None], lattice.seed, lattice.variants, 0)[0]
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
