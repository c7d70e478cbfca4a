"""Vertical scroll: the column table and what is undefined in it."""

from fractions import Fraction

import numpy as np
import pytest

from genbg.errors import LimitError
from genbg.hardware.profile import Machine
from genbg.scroll.columns import column_warnings, vertical_words


def test_whole_plane_by_hand():
    """Larger moves up: camera 3 down at half speed is 1; drift up by 2 frames of -1 is 0x3FE."""
    words = vertical_words((32768, 0), (0, -65536), Fraction(3), 2)
    assert words.shape == (20, 2)
    assert (words == [1, 0x3FE]).all()
    assert words.dtype == np.uint16


def test_columns_add_their_own():
    """20 pairs, one a 16-pixel column of 320. Common practice, no source."""
    offsets = np.stack([np.arange(20), -np.arange(20)], axis=-1)
    words = vertical_words((65536, 65536), (0, 0), Fraction(1), 0, offsets)
    assert words[:, 0].tolist() == list(range(1, 21))
    assert words[:3, 1].tolist() == [1, 0, 0x3FF]
    assert Machine().screen[0] == 20 * 16


def test_far_cameras_are_exact():
    """Any fraction, any distance."""
    words = vertical_words((1, 65536), (0, 0), Fraction(65536 * 5), 0)
    assert words[0].tolist() == [5, 65536 * 5 % 1024]


def test_a_wrong_number_of_columns():
    """19 pairs are no table."""
    with pytest.raises(LimitError, match="column offsets: 19 columns asked, 20 columns allowed"):
        vertical_words((0, 0), (0, 0), Fraction(0), 0, np.zeros((19, 2), dtype=int))


def test_partial_columns_are_reported():
    """Only for a plane that sways in a frame with an offset that is no multiple of 16."""
    offsets = np.zeros((3, 224, 2), dtype=int)
    offsets[1:, :, 1] = 5
    vertical = np.zeros((3, 20, 2), dtype=int)
    assert column_warnings(offsets, vertical, Machine()) == []
    vertical[2, 7, 1] = 3
    assert column_warnings(offsets, vertical, Machine()) == [
        "column scroll of the back plane: a partial column at the left edge is undefined in 1 of 3 "
        "frames, where the plane's horizontal offset is no multiple of 16"
    ]


def test_columns_past_a_narrow_screen_do_not_count():
    """256 pixels show 16 columns; the rest of the table is not seen."""
    narrow = Machine(screen=(256, 224))
    vertical = np.zeros((1, 20, 2), dtype=int)
    vertical[0, 16:, 0] = 9
    assert column_warnings(np.full((1, 224, 2), 3), vertical, narrow) == []
