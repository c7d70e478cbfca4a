"""Pieces: text to inks, tones to ramps, and a sheet that lies on the screen's cells."""

import numpy as np
import pytest
from painting_checks import LIGHT_RIGHT, job_of

from genbg.paint.contract import Ramp
from genbg.paint.craft.sheet import DEEP, RIM, Sheet, Tones, art, digits, draw_line, lay

RAMPS = (
    Ramp("wood", "", ("#000000", "#ffffff"), 4),
    Ramp("lamp", "", ("#ffff00",), 2, True),
)


STEPS = {ramp.name: ramp.steps for ramp in RAMPS}


def tones_of(**steps):
    return Tones(RAMPS, STEPS | steps)


def sheet_of(**given):
    return Sheet(job_of("bridge", steps=STEPS, **given), RAMPS)


def test_tones_run_from_the_first_ink_of_a_ramp_to_its_last():
    """However many inks a ramp has, DEEP is the first, RIM the last, and none goes back."""
    for steps in range(1, 9):
        tones = tones_of(wood=steps)
        row = tones.row("wood")
        assert row[DEEP] == 1
        assert row[RIM] == steps
        assert (np.diff(row) >= 0).all()
        assert tones("lamp", DEEP) == steps + 1
        assert tones.holds(np.array([0, 1, steps, steps + 1]), "wood").tolist() == [
            False,
            True,
            True,
            False,
        ]


def test_art_reads_one_character_a_pixel():
    """Unknown characters and short rows are see-through."""
    tones = tones_of()
    piece = art("04 .L? 2", digits(tones, "wood", L=tones("lamp", RIM)))
    assert piece.tolist() == [[1, 4, 0], [0, 6, 0], [tones("wood", 2), 0, 0]]


def test_lay_cuts_off_at_the_edges_and_keeps_what_shows_through():
    """Parts may hang over any edge; ink 0 lets the piece show."""
    piece = np.full((4, 4), 7)
    lay(piece, np.array([[1, 0], [0, 2]]), -1, -1)
    lay(piece, np.array([[3, 0], [0, 4]]), 3, 3)
    lay(piece, np.array([[5]]), 9, 9)
    assert piece[0, 0] == 2
    assert piece[3, 3] == 3
    assert (piece == 7).sum() == 14


@pytest.mark.parametrize("slope", [-8, -4, -2, 0, 2, 4, 8])
def test_a_rope_keeps_its_slope(slope):
    """After 8 n lines it is slope * n pixels further, so that its cells repeat."""
    piece = np.zeros((40, 96), dtype=np.int64)
    draw_line(piece, (48, 0), 40, slope, 1)
    places = [row.nonzero()[0][0] for row in piece]
    assert [b - a for a, b in zip(places, places[8:], strict=False)] == [slope] * 32


def test_a_sheet_lies_on_the_cells_of_the_screen():
    """A layer that begins inside a cell still puts feet on the screen's cell borders."""
    sheet = sheet_of(top=45, bottom=93)
    assert sheet.foot == 53
    sheet.put(np.full((8, 8), 3), 2, 48)
    ink = sheet.painting().ink
    assert ink.shape == (48, 512)
    rows, columns = ink.nonzero()
    assert (rows.min() + 45) % 8 == 0
    assert columns.min() == 16


def test_light_from_the_right_turns_pieces_over():
    """The same piece shows its mirror image, at the same place, and wraps."""
    piece = np.zeros((8, 16), dtype=np.int64)
    piece[:, :4] = 2
    left, right = (sheet_of(light=light) for light in ((-0.6, 0.7), LIGHT_RIGHT))
    left.put(piece, 63, 16)
    right.put(piece, 63, 16)
    assert left.ink[8, 504:508].tolist() == [2] * 4
    assert right.ink[8, 4:8].tolist() == [2] * 4


def test_the_guard_holds_what_shines_and_nothing_else():
    """Merging has to keep just the materials that the painter names."""
    sheet = sheet_of()
    sheet.put(np.array([[1, 5], [6, 4]]), 0, 16)
    painting = sheet.painting(("lamp",))
    assert painting.guard.sum() == 2
    assert set(painting.ink[painting.guard].tolist()) == {5, 6}


def test_another_name_of_a_material_has_its_inks():
    """What a part asks for under its own name is drawn in the painter's ramp."""
    tones = Tones(RAMPS, STEPS, {"window": "lamp"})
    assert tones.row("window").tolist() == tones.row("lamp").tolist()
    assert tones("window", RIM) == tones("lamp", RIM) == 6
