"""The quantize stage's door: planes and sprites as painted -> all of them in palette rows.

The fit sees a *sheet*: two pictures that hold every cell which needs colours, once. A plane reads
its cells from the sheet as the machine reads tiles from memory: by number, some upside down.

Where a plane mirrors itself, its lower cells are numbers of the upper ones. Their colours stand in
the same entries, rewritten part-way down the frame; so what a plane without a mirror shows on those
lines must fit in with the entries of the lines that are mirrored there. Its lower part therefore
lies on the sheet beside the upper one, upside down, line on line with what the other plane mirrors.
Sprites stand there as swatches (`swatches.py`).
"""

from __future__ import annotations

import dataclasses
from dataclasses import dataclass

import numpy as np

from genbg.hardware.sizes import CELL
from genbg.model import BACK, FRONT, Canvas, CutSprites, Fit, PlanePicture
from genbg.model.inks import Inks
from genbg.model.zones import ZonePlan
from genbg.quantize.cells import cut_cells, join_cells
from genbg.quantize.fit import fit_palette
from genbg.quantize.swatches import Swatches, add_swatches, take_swatches
from genbg.request import Request
from genbg.way import Call, plainly


@dataclass(frozen=True, eq=False)
class Sheet:
    """front, back: what the fit is shown; zones: its lines (top, bottom) with rows of their own
    parts: its columns (left, right) that are as wide as a plane, whose edges meet
    place: (2, R, C) intp cell of the sheet in each place of the planes, -1 see-through
    turned: (2, R, C) bool upside down
    swatches: where those of the sprites' pictures stand
    """

    front: PlanePicture
    back: PlanePicture
    zones: tuple[tuple[int, int], ...]
    parts: tuple[tuple[int, int], ...]
    place: np.ndarray
    turned: np.ndarray
    swatches: Swatches
    sprites: CutSprites


def fit_canvas(
    request: Request, inks: Inks, canvas: Canvas, call: Call = plainly, quick: bool = False
) -> Fit:
    """Fit planes and sprites together into palette rows.

    quick: take the first rows found, for a first look
    """
    sheet, levels = lay_sheet(canvas, request.zones), request.machine.levels
    args = sheet.front, sheet.back, inks.for_fit(), levels, sheet.zones, quick, sheet.parts
    return read_sheet(sheet, call(fit_palette, *args), inks.home_steps(levels))


def lay_sheet(canvas: Canvas, plan: ZonePlan) -> Sheet:
    """The sheet of a canvas."""
    front, back = (fold(canvas.planes[plane], plan, plane) for plane in (FRONT, BACK))
    zones, width = plan.fit_zones(front.ink), canvas.planes[FRONT].ink.shape[1]
    parts = tuple((left, left + width) for left in range(0, front.ink.shape[1], width))
    front, back, swatches = add_swatches(front, back, canvas.sprites, zones)
    place, turned = map_sheet(canvas.priority.shape, front.priority.shape, plan)
    return Sheet(front, back, zones, parts, place, turned, swatches, canvas.sprites)


def fold(picture: PlanePicture, plan: ZonePlan, plane: int) -> PlanePicture:
    """A plane's own cells: what mirrors left out, what stands beside a mirror beside it."""
    if plan.mirror is None:
        return picture
    parts = ((picture.ink, CELL), (picture.guard, CELL), (picture.priority, 1))
    folded = []
    for part, scale in parts:
        mirror = plan.mirror * scale // CELL
        lower = np.zeros_like(part[:mirror])
        if not plan.mirrored[plane]:
            below = part[mirror : 2 * mirror]
            lower[mirror - len(below) :] = below[::-1]
        wide = (part[:mirror],) if all(plan.mirrored) else (part[:mirror], lower)
        folded.append(np.concatenate(wide, axis=1))
    return PlanePicture(*folded)


def map_sheet(
    planes: tuple[int, ...], sheet: tuple[int, ...], plan: ZonePlan
) -> tuple[np.ndarray, np.ndarray]:
    """`place` and `turned` of planes (2, R, C) whose sheet has (rows, columns) of cells."""
    plane, row, column = np.indices(planes)
    turned = np.zeros(planes, dtype=bool)
    if plan.mirror is not None:
        mirror = plan.mirror // CELL
        turned = row >= mirror
        beside = turned & ~np.array(plan.mirrored)[plane]
        row, column = np.where(turned, 2 * mirror - 1 - row, row), column + beside * planes[2]
    place = (plane * sheet[0] + row) * sheet[1] + column
    return np.where(row >= 0, place, -1), turned


def read_sheet(sheet: Sheet, fitted: Fit, lab: np.ndarray) -> Fit:
    """The planes and the pictures of the sprites, read from the fit of their sheet.

    lab: (K+1, 3) lab steps of every ink at HOME
    """
    pictures, picture_row = take_swatches(fitted, sheet.swatches, sheet.sprites, lab)
    place, upside = sheet.place.ravel(), sheet.turned.ravel()
    cells = cut_cells(fitted.index)[place].reshape(-1, CELL, CELL)
    cells[place < 0] = 0
    cells[upside] = cells[upside, ::-1]
    row = np.where(sheet.place < 0, 0, fitted.row.ravel()[sheet.place])
    return dataclasses.replace(
        fitted,
        index=join_cells(cells, sheet.place.shape),
        row=row.astype(np.uint8),
        pictures=pictures,
        picture_row=picture_row,
    )
