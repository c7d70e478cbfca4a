"""Vertical scroll: the column table and what is undefined in it."""

import numpy as np

from genbg.hardware.profile import Machine
from genbg.scroll.columns import column_warnings


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
