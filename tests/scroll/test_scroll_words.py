"""Scroll words against the contract's formula in exact fractions."""

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genbg.model import LineSpeeds
from genbg.scroll.words import film_words, scroll_words

FIXED = st.integers(-(2**31), 2**31 - 1)


def speeds(ratio, drift):
    return LineSpeeds(np.array(ratio, dtype=np.int32), np.array(drift, dtype=np.int32))


def by_fractions(ratio, drift, camera_x, frame):
    """(-floor(ratio*camera_x + drift*frame)) & 0x3FF with fractions, one word at a time."""
    moved = Fraction(ratio, 65536) * camera_x + Fraction(drift, 65536) * frame
    return -math.floor(moved) & 0x3FF


def test_words_by_hand():
    """Half speed: 3 camera pixels are 1.5, floor 1, minus 1 is 0x3FF; drift against it."""
    still = speeds([[32768, 65536]], [[0, -65536]])
    assert scroll_words(still, Fraction(3), 0).tolist() == [[0x3FF, 0x3FD]]
    assert scroll_words(still, Fraction(3), 2).tolist() == [[0x3FF, 0x3FF]]
    assert scroll_words(still, Fraction(-1, 2), 0).tolist() == [[1, 1]]
    assert scroll_words(still, Fraction(0), 0).tolist() == [[0, 0]]


@settings(deadline=None)
@given(
    st.lists(st.tuples(FIXED, FIXED), min_size=1, max_size=4),
    st.fractions(-(10**9), 10**9, max_denominator=10**6),
    st.integers(-(10**9), 10**9),
)
def test_any_camera_is_exact(pairs, camera_x, frame):
    """Random speeds, cameras far left and right, odd fractions: the contract's formula holds."""
    ratio = [[r, d] for r, d in pairs]
    drift = [[d, r] for r, d in pairs]
    words = scroll_words(speeds(ratio, drift), camera_x, frame)
    assert words.dtype == np.uint16
    assert words.tolist() == [
        [by_fractions(r, d, camera_x, frame), by_fractions(d, r, camera_x, frame)] for r, d in pairs
    ]


@pytest.mark.parametrize("camera_x", [Fraction(10**30), Fraction(1, 10**30), Fraction(2**70, 3)])
def test_numbers_past_64_bits_are_exact_too(camera_x):
    """No camera position overflows."""
    for frame in (0, 10**6):
        got = scroll_words(speeds([[21845, -7]], [[123, 5]]), camera_x, frame)
        assert got.tolist() == [
            [by_fractions(21845, 123, camera_x, frame), by_fractions(-7, 5, camera_x, frame)]
        ]


@settings(deadline=None)
@given(FIXED, FIXED, st.integers(-(2**22), 2**22))
def test_a_film_is_its_frames(ratio, drift, step):
    """All frames at once equal the frames one by one."""
    two = speeds([[ratio, 8192]], [[drift, 0]])
    camera_step = Fraction(step, 65536)
    film = film_words(two, camera_step, 5)
    assert film.shape == (5, 1, 2)
    for frame in range(5):
        assert np.array_equal(film[frame], scroll_words(two, frame * camera_step, frame))
    assert np.array_equal(film_words(two, camera_step, [4, 100])[0], film[4])


def test_a_film_far_out_is_exact():
    """Frame numbers past 2**40 do not overflow."""
    one = speeds([[65535, 1]], [[3, -3]])
    frame, step = 2**45 + 1, Fraction(123457, 65536)
    assert film_words(one, step, [frame]).tolist() == [
        [[by_fractions(65535, 3, frame * step, frame), by_fractions(1, -3, frame * step, frame)]]
    ]
