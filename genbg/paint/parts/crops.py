"""What grows on terraced fields, and the walls and lamps between: patches that repeat on cells."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.sheet import DEEP, LIT, RIM, Sheet, art
from genbg.paint.parts.marks import mark_mask, tone_patch

CROPS = {
    "rice": ("water", "water", "water", "sprouts"),
    "tea": ("tea",),
    "mixed": ("water", "tea", "sprouts", "tea", "meadow"),
}
"""What grows on the fields of a hill, drawn field by field."""


TEA = tone_patch("22333322 23444332 33443333 23333322 22222211 11222110 01111110 00000000")
"""Tones (8, 8) of a clipped hedge, light from the left; it repeats along the row."""
TEA_LOW = tone_patch("23443322 23333221 11222110 00000000 33222344 33122233 22111122 00000000")
"""The same of two rows of lower hedges."""
WALL = tone_patch("33323333 22212222 22212222 11111111 33333332 22222221 22222221 11111111")
"""Tones (8, 8) of two courses of a wall's stones, from its top."""
MEADOW = tone_patch("33333333 33333333 33233333 32323333 33333333 33333323 33333232 33333333")
GLINTS = tone_patch("22222222 22222222 44444222 22222222 22222222 22222244 22222222 22222222")
"""Tones (8, 8) of still water."""
SHADED_TEA = np.array([2, 2, 1, 1, 1, 0, 0, 0])
"""Tones (8,) of a hedge that the light does not reach."""
SPROUTS = mark_mask("........ .#...#.. .#...#.. ........ ...#...# ...#...# ........ ........")

LAMP = (
    "..0000.. .0LMML0. .0LMML0. .0LMML0. ..0000.. ...01... ...01... ...01... "
    "...01... ...01... ...01... ...01... ...01... ...01... ...01... ..0011.."
)


def draw_lip_lamp(sheet: Sheet) -> np.ndarray:
    """A lamp on its post as a piece."""
    rock = sheet.tones.row("wall")
    lamp = art(LAMP, {"0": rock[DEEP], "1": rock[LIT], "L": sheet.tones("lamp", DEEP)})
    return np.where(art(LAMP, {"M": 1}) > 0, sheet.tones("lamp", RIM), lamp)
