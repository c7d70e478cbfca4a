"""Planes for the reducer's tests, and a plain second way of showing what was stored."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.colour import lab_steps
from genbg.reduce.exact import find_cells
from genbg.reduce.judge import Judged
from genbg.reduce.metric import Weights, make_form
from genbg.reduce.problem import Choice, Problem, pose_problem
from genbg.reduce.tiles import Merged

RAMPS = ((0, 73, 146, 219, 292, 365, 438, 511), (1, 66, 131, 196, 261, 326, 391, 456))
"""Colour numbers, dark to light, of the ramps that palette rows are made of."""


def ramp_palette(rows: int = 4) -> tuple[np.ndarray, np.ndarray]:
    """Palette (4, 16) inks and lab steps of every ink: each row two ramps, shifted by the row."""
    colours = [0] + [
        (colour + 9 * row) % 512 for row in range(rows) for ramp in RAMPS for colour in ramp
    ]
    palette = np.zeros((4, 16), dtype=np.uint16)
    for row in range(rows):
        palette[row, 1:] = 1 + 16 * row + np.arange(15)
    return palette, lab_steps()[np.array(colours)]


def hilly_planes(
    rows: int,
    columns: int,
    seed: int,
    planes: int = 1,
    see_through: bool = False,
    grainy: bool = True,
) -> Judged:
    """Planes of smooth hills, grainy or not, so that cells are alike but not equal."""
    random = np.random.Generator(np.random.PCG64(seed))
    height, width = 8 * rows, 8 * columns
    y, x = np.mgrid[:height, :width]
    index = np.empty((planes, height, width), dtype=np.uint8)
    for plane in range(planes):
        waves = random.integers(1, 6, (4, 3))
        level = sum(np.sin(2 * np.pi * (a * x / width + b * y / height) + c) for a, b, c in waves)
        grain = random.integers(-1, 2, (height, width)) * (random.integers(0, 4, level.shape) == 0)
        index[plane] = np.clip(np.rint(4.5 + 1.7 * level) + grainy * grain, 1, 8)
        if see_through:
            index[plane][level > 1.2] = 0
    palette, lab = ramp_palette()
    row = random.integers(0, 4, (planes, rows, 1)).repeat(columns, axis=2).astype(np.uint8)
    return Judged(palette, index, row, lab)


def no_guard(judged: Judged) -> np.ndarray:
    return np.zeros(judged.index.shape, dtype=bool)


SAMPLES = [
    pytest.param({}, id="opaque"),
    pytest.param({"see_through": True}, id="see-through"),
    pytest.param({"marked": True}, id="marked"),
]
"""Kinds of `hilly_problem` that a step of the search has to do for."""


def hilly_problem(seam: int, seed: int, see_through: bool = False, marked: bool = False) -> Problem:
    """Two hilly planes as the search is handed them. seam: weight of a seam"""
    judged = hilly_planes(8, 16, seed, planes=2, see_through=see_through)
    guard = no_guard(judged)
    if marked:
        guard[0, 20:24, 40:43] = True
        guard[1, 3, 100] = True
    cells = find_cells(judged.index, judged.row)
    form = make_form(Weights(14, seam))
    return pose_problem(cells, judged.palette, judged.steps, form, guard if marked else None)


def same_choice(one: Choice, other: Choice) -> bool:
    """Whether two choices have the same tiles and every cell uses them alike."""
    return all(
        (getattr(one, part) == getattr(other, part)).all()
        for part in ("tiles", "number", "flip", "row")
    )


def shown_inks(judged: Judged, merged: Merged) -> np.ndarray:
    """Inks (planes, H, W) of merged planes, pixel by pixel as the machine would look them up."""
    planes, rows, columns = merged.cells.row.shape
    palette = judged.reordered(merged.entry_order).palette
    inks = np.empty((planes, rows * 8, columns * 8), dtype=np.intp)
    for p, r, c in np.ndindex(planes, rows, columns):
        tile = merged.cells.tiles[merged.cells.number[p, r, c]]
        if merged.cells.vflip[p, r, c]:
            tile = tile[::-1]
        if merged.cells.hflip[p, r, c]:
            tile = tile[:, ::-1]
        inks[p, 8 * r : 8 * r + 8, 8 * c : 8 * c + 8] = palette[merged.cells.row[p, r, c]][tile]
    return inks


def painted_inks(judged: Judged) -> np.ndarray:
    """Inks (planes, H, W) of planes as they were judged."""
    row = judged.row.repeat(8, axis=1).repeat(8, axis=2)
    return judged.palette[row, judged.index].astype(np.intp)


def square_error(judged: Judged, merged: Merged) -> int:
    """Sum of squared lab steps between planes as merged and as fitted."""
    off = (
        judged.steps[shown_inks(judged, merged)].astype(np.int64)
        - judged.steps[painted_inks(judged)]
    )
    return int((off * off).sum())
