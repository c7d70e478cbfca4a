"""Strata: beds of rock that run level through a whole layer, and how weather shapes them.

Hard beds stand as cliffs and split into pillars; soft beds lie between them in thin sheets and give
way to slopes. Both are the same in the same cell row everywhere, as they were laid down before
anything was cut out of them, so a wall of rock costs patterns for the ways a pillar's column or a
sheet may look, however wide and however broken up it is.

Tones are changes against the tone of the face they are on, -2..1, for light from the left.
"""

from __future__ import annotations

import functools

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import hash_words, pick, pick_one

HARD, SOFT = 0, 1

PILLAR = {
    "left": ("++++++..", "+++++..."),
    "body": ("........", "........"),
    "right": ("....--==", "...---=="),
    "thin": ("++...-==", "+....--="),
}
"""Columns of pillars, a line each, in two kinds: their lit edge, their middle, the crack at their
shaded edge, and a pillar of a single cell."""
SWAY = np.array([0, 0, 1, 1, 1, 1, 0, 0])
"""Pixels by which the lines of a pillar of the second kind lie to the left."""
SHEETS = (
    (
        "........",
        "--------",
        "--------",
        "........",
        "++++++++",
        "........",
        "--------",
        "........",
    ),
    (
        "........",
        "........",
        "---..---",
        "--------",
        "........",
        "++++++++",
        "++++++++",
        "........",
    ),
    (
        "........",
        "--------",
        "........",
        "++++++++",
        "+++++...",
        "........",
        "...-----",
        "--------",
    ),
)
CHANGE = {".": 0, "+": 1, "-": -1, "=": -2}


def _row(text: str) -> list[int]:
    return [CHANGE[sign] for sign in text]


@functools.cache
def pillar_patches() -> np.ndarray:
    """Tone changes (4, 2, 8, 8) int64 of the columns of PILLAR in their two kinds."""
    patches = np.zeros((len(PILLAR), 2, CELL, CELL), dtype=np.int64)
    for n, kinds in enumerate(PILLAR.values()):
        for kind, text in enumerate(kinds):
            for line in range(CELL):
                patches[n, kind, line] = np.roll(_row(text), -SWAY[line] * kind * (n >= 2))
    return patches


def beds(rows: int, hard: int, soft: int, seed: int) -> np.ndarray:
    """HARD or SOFT (rows,) of every cell row; beds are about `hard` and `soft` rows thick.

    The first bed is hard: it is the cap under which all others lie. soft: 0 for none
    """
    kinds = np.full(rows, HARD)
    row, kind, n = 0, HARD, 0
    while row < rows:
        thick = max(1, (hard, soft)[kind] + pick_one(seed, 3, "bed", n) - 1)
        kinds[row : row + thick] = kind
        row, n = row + thick, n + 1
        kind = HARD if kind == SOFT or soft == 0 else SOFT
    return kinds


def draw_pillars(rows: int, columns: int, seed: int, wide: int, variants: int) -> np.ndarray:
    """Tone changes (8*rows, 8*columns) int64 of pillars about `wide` cells wide.

    variants: 1 makes rows alike, 2 lets a column change its kind from row to row
    """
    part = np.ones(columns, dtype=np.int64)
    at = 0
    while at < columns:
        size = max(1, wide + pick_one(seed, 5, "pillar", at) - 2)
        end = min(at + size, columns)
        part[at], part[end - 1] = 0, 2
        if end - at == 1:
            part[at] = 3
        at = end
    kind = pick(seed, variants, np.arange(rows)[:, None], np.arange(columns)[None, :], 1)
    cells = pillar_patches()[part[None, :], kind]
    return cells.transpose(0, 2, 1, 3).reshape(rows * CELL, columns * CELL)


def draw_sheets(rows: int, columns: int, seed: int) -> np.ndarray:
    """Tone changes (8*rows, 8*columns) int64 of thin level sheets, one look for each row."""
    looks = np.array([[_row(line) for line in look] for look in SHEETS])
    chosen = looks[pick(hash_words(seed, "sheets"), len(looks), np.arange(rows))]
    return np.tile(chosen.reshape(rows * CELL, CELL), (1, columns))


def cell_rows(top: int, lines: int) -> int:
    """Cell rows of the screen that lines from screen line `top` on lie in."""
    return -(-(lines + top % CELL) // CELL)
