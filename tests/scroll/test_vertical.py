"""Vertical scroll: the camera's way, columns, and what lines show, worked by hand."""

from __future__ import annotations

import math
from fractions import Fraction

import numpy as np
import pytest

from genbg.hardware.profile import Machine
from genbg.scroll.vertical import (
    CameraPath,
    film_columns,
    moved_up,
    shown_lines,
    sway_offsets,
    swing,
    wrap_warnings,
)

ONE = 65536


def test_a_dip_by_hand():
    """32 pixels in 8 frames: a quarter of the way in an eighth of the time, half in a quarter."""
    path = CameraPath(dip=Fraction(32), frames=8)
    assert (path.heights(9) / ONE).tolist() == [0, 4, 16, 28, 32, 28, 16, 4, 0]


def test_speed_goes_on_for_ever():
    """Half a pixel a frame, a dip on top of it; exact to 1/65536 pixel."""
    assert (CameraPath(Fraction(1, 2)).heights(5) / ONE).tolist() == [0, 0.5, 1, 1.5, 2]
    both = CameraPath(Fraction(1), Fraction(32), 8).heights(5)
    assert (both / ONE).tolist() == [0, 5, 18, 31, 36]
    third = CameraPath(Fraction(ONE // 3, ONE)).heights(4)
    assert third.tolist() == [0, 21845, 43690, 65535]


@pytest.mark.parametrize(
    ("path", "ratio", "frames"),
    [
        (CameraPath(), (ONE, ONE), 1),
        (CameraPath(dip=Fraction(9), frames=77), (ONE, 12345), 77),
        (CameraPath(Fraction(2)), (ONE, ONE // 2), 256),
        (CameraPath(Fraction(2)), (ONE, 0), 128),
        (CameraPath(Fraction(-2), Fraction(3), 96), (ONE, 0), 384),
    ],
)
def test_after_a_period_all_is_as_before(path, ratio, frames):
    """The period by hand for planes of 256 lines; from there on the lines are the same again."""
    assert path.period(ratio, 256) == frames
    up = moved_up(ratio, path.heights(2 * frames + 3))
    assert ((up[frames:] - up[:-frames]) % 256 == 0).all()


def test_lines_are_rounded_down():
    """A ratio of 1/4: 7 pixels down are 1 line, 7 pixels up are -2."""
    assert moved_up((ONE // 4,), np.array([7 * ONE, -7 * ONE])).tolist() == [[1], [-2]]


def test_a_screen_line_moves_as_the_line_it_shows():
    """Moved up by 2 lines of 5, screen lines 0 to 2 show plane lines 2, 3, 4; by 4: 4, 0, 1."""
    words = np.arange(5)[None, :, None] + np.array([0, 100])
    shown = shown_lines(np.repeat(words, 2, axis=0), np.array([[2, 0], [4, 1]]), 3)
    assert shown[:, :, 0].tolist() == [[2, 3, 4], [4, 0, 1]]
    assert shown[:, :, 1].tolist() == [[100, 101, 102], [101, 102, 103]]


def test_a_tilt_by_hand():
    """At its largest the outermost of 20 columns stand 6 pixels off, the others in between."""
    offsets = sway_offsets("tilt", (6, 0), 4, 8, 20)
    assert offsets.shape == (4, 20, 2)
    assert not offsets[0].any()
    # 6 * (2 * column - 19) / 19, to the nearest whole number
    nearest = [math.floor(6 * (2 * c - 19) / 19 + 0.5) for c in range(20)]
    assert offsets[1, :, 0].tolist() == nearest
    assert offsets[3, :, 0].tolist() == [
        math.floor(-6 * (2 * c - 19) / 19 + 0.5) for c in range(20)
    ]
    assert not offsets[:, :, 1].any()


def test_a_sway_runs_along_the_columns():
    """A wave of 4 columns: crest, middle, trough, middle; a quarter of the time later one on."""
    offsets = sway_offsets("sway", (3, 1), 8, 4.0, 20)
    assert offsets[2, :5, 0].tolist() == [3, 0, -3, 0, 3]
    assert offsets[4, :5, 0].tolist() == [0, 3, 0, -3, 0]
    assert offsets[2, :5, 1].tolist() == [1, 0, -1, 0, 1]


def test_the_wave_is_near_a_sine():
    """Whole numbers, symmetric, and nowhere further from a sine than two arcs of a parabola are.

    The largest difference of 4u(1-u) and sin(pi u), 0.0560, is elementary calculus, no source.
    """
    phase = np.arange(0, ONE, 16)
    level = swing(phase) / ONE
    sine = np.array([math.sin(2 * math.pi * p / ONE) for p in phase])
    assert np.abs(level - sine).max() == pytest.approx(0.0560, abs=1e-4)
    assert (swing(phase + 0x8000) == -swing(phase)).all()
    assert swing(np.array([0, 0x4000, 0x8000, 0xC000])).tolist() == [0, ONE, 0, -ONE]


def test_columns_take_their_offsets_over_and_over():
    """Frame 3 of a period of 3 is as frame 0; words hold 10 bits."""
    offsets = np.arange(120).reshape(3, 20, 2) - 60
    words = film_columns(np.array([[0, 0], [5, -5], [0, 0], [1, 1]]), offsets)
    assert words[0].tolist() == (offsets[0] & 0x3FF).tolist()
    assert words[1, 0].tolist() == [(offsets[1, 0, 0] + 5) & 0x3FF, (offsets[1, 0, 1] - 5) & 0x3FF]
    assert words[3].tolist() == ((offsets[0] + 1) & 0x3FF).tolist()
    assert (film_columns(np.array([[7, 1023]]), None) == np.array([7, 1023])).all()


def words_of(*ups) -> np.ndarray:
    """Column words of frames in which the front plane stands so many lines higher."""
    up = np.array([[u, 0] for u in ups])
    return film_columns(up, None)


def test_as_far_as_the_plane_reaches_nothing_is_said():
    """A plane of 256 lines under a screen of 224 may move by 32; one more shows its line 0."""
    reach = [[(0, 256)], [(0, 224)]]
    assert wrap_warnings(words_of(0, 32), reach, Machine()) == []
    (told,) = wrap_warnings(words_of(0, 33), reach, Machine())
    assert told == (
        "vertical scroll: the front plane of 256 lines shows its line 0 below its line 255 (it "
        "moves from 0 to 33, and 32 lines are to spare); move the camera less, or ask for a "
        "taller plane (machine.plane_cells)"
    )
    (told,) = wrap_warnings(words_of(0, -1), reach, Machine())
    assert "it moves from -1 to 0" in told


def test_lines_that_nothing_reaches_are_told():
    """Scenery that ends with the screen shows a gap once the camera goes down."""
    reach = [[(100, 224)], [(0, 224)]]
    (told,) = wrap_warnings(words_of(0, 10), reach, Machine())
    assert told == (
        "vertical scroll: the front plane shows lines 224 to 233, which no layer reaches; draw its "
        "lowest layer down to line 234"
    )
    assert wrap_warnings(words_of(0, 10), [[(100, 234)], [(0, 224)]], Machine()) == []
    assert wrap_warnings(words_of(0, 10), [[(100, 180)], [(0, 224)]], Machine()) == []
