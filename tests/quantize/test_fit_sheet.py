"""The sheet that the fit is shown: every cell once, and each plane reads its own from it."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.model import BACK, FRONT, Canvas, CutSprites, Fit, PlanePicture
from genbg.model.zones import plan_zones
from genbg.planes.mirror import mirror_pictures
from genbg.quantize.cells import contour_pixels
from genbg.quantize.sheet import Sheet, lay_sheet, read_sheet

HEIGHT, WIDTH, MIRROR = 256, 64, 144
NO_SPRITES = CutSprites(*(np.zeros(0, np.int64) for _ in range(7)), pictures=(), zones=())


def dice(seed: int) -> np.random.Generator:
    return np.random.Generator(np.random.PCG64(seed))


def picture(seed: int) -> PlanePicture:
    """A plane of random inks 1..39, guards and priorities."""
    random = dice(seed)
    ink = random.integers(1, 40, (HEIGHT, WIDTH)).astype(np.uint16)
    priority = random.integers(0, 2, (HEIGHT // 8, WIDTH // 8)).astype(bool)
    return PlanePicture(ink, random.integers(0, 2, ink.shape).astype(np.uint8), priority)


def mirrored_canvas(plane: str) -> Canvas:
    """Two planes of which `plane` ("both", "front", "back") mirrors itself."""
    plan = plan_zones(224, (), MIRROR, plane)
    return Canvas(mirror_pictures(picture(1), picture(11), plan), NO_SPRITES)


def as_fit(sheet: Sheet) -> Fit:
    """A fit of the sheet that shows each ink by the entry of the same number."""
    index = np.stack([sheet.front.ink, sheet.back.ink]).astype(np.uint8)
    row = dice(5).integers(0, 4, (2, index.shape[1] // 8, index.shape[2] // 8)).astype(np.uint8)
    return Fit(np.zeros((1, 4, 16), np.uint16), index, row, True)


@pytest.mark.parametrize("plane", ["both", "front", "back"])
def test_planes_read_their_own_pixels(plane):
    """What the fit says of the sheet lands on the pixels that were laid there, and mirrored ones
    on those that they mirror. Lines that no screen shows, twice as far down as the mirror and
    more, are see-through.
    """
    plan, canvas = plan_zones(224, (), MIRROR, plane), mirrored_canvas(plane)
    sheet = lay_sheet(canvas, plan)
    assert sheet.front.ink.shape == (MIRROR, WIDTH if plane == "both" else 2 * WIDTH)
    planes = read_sheet(sheet, as_fit(sheet), np.zeros((40, 3), int))
    for number in (FRONT, BACK):
        assert np.array_equal(planes.index[number], canvas.planes[number].ink)


def test_rows_of_cells_mirror_with_their_cells():
    """A mirrored cell has the palette row of the cell that it mirrors; a cell of the other plane
    has that of its own place beside it."""
    plan = plan_zones(224, (), MIRROR, "back")
    sheet = lay_sheet(mirrored_canvas("back"), plan)
    fit = as_fit(sheet)
    planes = read_sheet(sheet, fit, np.zeros((40, 3), int))
    cells, across = MIRROR // 8, WIDTH // 8
    assert np.array_equal(planes.row[BACK, cells : cells + 10], fit.row[BACK, ::-1][:10, :across])
    assert np.array_equal(planes.row[FRONT, cells : cells + 10], fit.row[FRONT, ::-1][:10, across:])


def test_without_a_mirror_the_sheet_is_the_planes():
    """Planes and fit stay as they are where nothing mirrors."""
    plan = plan_zones(224, (100,))
    canvas = Canvas((picture(1), picture(11)), NO_SPRITES)
    sheet = lay_sheet(canvas, plan)
    assert np.array_equal(sheet.front.ink, canvas.planes[FRONT].ink)
    assert sheet.zones == ((0, 100), (100, HEIGHT))
    fit = as_fit(sheet)
    planes = read_sheet(sheet, fit, np.zeros((40, 3), int))
    assert np.array_equal(planes.index, fit.index)
    assert np.array_equal(planes.row, fit.row)


def soft_marks(ink: np.ndarray) -> np.ndarray:
    """Pixels (H, W) bool of a plane, which wraps sideways, that a contour between inks 1 and 2
    runs along: one or two of the four neighbours differ, one of them so."""
    height, width = ink.shape
    found = np.zeros(ink.shape, dtype=bool)
    for (line, column), own in np.ndenumerate(ink):
        around = [ink[line, (column + step) % width] for step in (-1, 1)]
        around += [ink[other, column] for other in (line - 1, line + 1) if 0 <= other < height]
        differ = [other for other in around if other != own]
        found[line, column] = len(differ) <= 2 and any({own, one} == {1, 2} for one in differ)
    return found


def contour_canvas() -> Canvas:
    """Planes whose first and last columns hold inks 1, 2 or 3 by lot; a sprite of ink 1 or 2."""
    inks = dice(3).integers(1, 4, (2, HEIGHT, WIDTH)).repeat(4, axis=1)[:, :HEIGHT]
    inks = inks.astype(np.uint16)
    inks[:, :, 8:-8] = 3
    blank = np.zeros((HEIGHT // 8, WIDTH // 8), dtype=bool)
    planes = [PlanePicture(ink, np.zeros(ink.shape, np.uint8), blank) for ink in inks]
    one = np.zeros(1, np.int64)
    shape = (np.indices((16, 16)).sum(axis=0) // 8 % 2 + 1).astype(np.uint16)
    sprite = CutSprites(one, one, one, one, one, one, one, pictures=(shape,), zones=(0,))
    return Canvas((planes[FRONT], planes[BACK]), sprite)


@pytest.mark.parametrize("plane", ["none", "front", "both"])
def test_contours_meet_at_the_edges_of_the_plane(plane):
    """What stands beside a plane on the sheet makes no contours in the plane's edge columns.

    Source: a plane of the machine wraps sideways (common practice, no source), so its first and
    last column are neighbours; checked against a plain count of neighbours.
    """
    plan = plan_zones(224) if plane == "none" else plan_zones(224, (), MIRROR, plane)
    canvas = contour_canvas()
    sheet = lay_sheet(canvas, plan)
    lab = np.array([[0, 0, 0], [500, 0, 0], [560, 0, 0], [900, 0, 0]])
    ink = np.stack([sheet.front.ink, sheet.back.ink]).astype(int)
    marked = contour_pixels(ink, lab, sheet.parts)
    assert sheet.front.ink.shape[1] > WIDTH * len(sheet.parts)
    for number in (FRONT, BACK):
        for left, right in sheet.parts:
            part = ink[number, :, left:right]
            assert np.array_equal(marked[number, :, left:right], soft_marks(part) & (part > 0))
    assert marked[:, :, [0, WIDTH - 1]].any()
