"""Shapes cut by lines of different speeds, by hand-worked cases."""

from __future__ import annotations

import numpy as np

from genbg.model import BACK, FRONT, LineSpeeds
from genbg.scroll.shear import cut_shape

RATIO = np.array([[0, 5], [0, 5], [0, 5], [9, 5], [9, 5], [9, 5]], dtype=np.int32)
DRIFT = np.array([[0, 0], [0, 0], [0, 0], [0, 0], [0, 1], [0, 1]], dtype=np.int32)
SPEEDS = LineSpeeds(RATIO, DRIFT)


def test_a_change_of_ratio_cuts() -> None:
    """The front plane changes its ratio at line 3, and only a shape across it is cut."""
    assert cut_shape(SPEEDS, FRONT, 1, 5) == [3]
    assert cut_shape(SPEEDS, FRONT, 0, 3) == []
    assert cut_shape(SPEEDS, FRONT, 3, 6) == []


def test_a_change_of_drift_cuts() -> None:
    """The back plane keeps its ratio and changes its drift at line 4."""
    assert cut_shape(SPEEDS, BACK, 0, 6) == [4]


def test_lines_off_the_screen_do_not_count() -> None:
    """A shape that reaches past the screen is judged by the lines that are on it."""
    assert cut_shape(SPEEDS, FRONT, -4, 2) == []
    assert cut_shape(SPEEDS, FRONT, 2, 40) == [3]
