"""Scroll words against the contract's formula in exact fractions."""

import math
from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genbg.model import LineSpeeds
from genbg.scroll.words import film_words

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
    film = film_words(still, Fraction(3, 2), 3)
    assert film.tolist() == [[[0, 0]], [[0, 0]], [[0x3FF, 0x3FF]]]
    assert film_words(still, Fraction(-1, 2), [1]).tolist() == [[[1, 2]]]
    assert film_words(speeds([[32768, 65536]], [[0, 0]]), Fraction(3), [1])[0, 0, 1] == 0x3FD


@settings(deadline=None)
@given(
    st.lists(st.tuples(FIXED, FIXED), min_size=1, max_size=4),
    st.fractions(-(10**9), 10**9, max_denominator=10**6),
    st.integers(0, 10**9),
)
def test_any_camera_is_exact(pairs, step, frame):
    """Random speeds, cameras far left and right, odd fractions: the contract's formula holds."""
    ratio = [[r, d] for r, d in pairs]
    drift = [[d, r] for r, d in pairs]
    words = film_words(speeds(ratio, drift), step, [frame])[0]
    camera_x = frame * step
    assert words.dtype == np.uint16
    assert words.tolist() == [
        [by_fractions(r, d, camera_x, frame), by_fractions(d, r, camera_x, frame)] for r, d in pairs
    ]


@pytest.mark.parametrize("step", [Fraction(10**30), Fraction(1, 10**30), Fraction(2**70, 3)])
def test_numbers_past_64_bits_are_exact_too(step):
    """No camera position overflows."""
    for frame in (1, 10**6):
        camera_x = frame * step
        (got,) = film_words(speeds([[21845, -7]], [[123, 5]]), step, [frame])
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
        assert film[frame, 0, 0] == by_fractions(ratio, drift, frame * camera_step, frame)
    assert np.array_equal(film_words(two, camera_step, [4, 100])[0], film[4])


def test_a_film_far_out_is_exact():
    """Frame numbers past 2**40 do not overflow."""
    one = speeds([[65535, 1]], [[3, -3]])
    frame, step = 2**45 + 1, Fraction(123457, 65536)
    assert film_words(one, step, [frame]).tolist() == [
        [[by_fractions(65535, 3, frame * step, frame), by_fractions(1, -3, frame * step, frame)]]
    ]
