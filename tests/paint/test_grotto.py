"""The grotto: round columns in one light, clear of the sun, with their mirror; cones hang down."""

import numpy as np
import pytest
from painting_checks import paint, step_at_wrap

from genbg.paint.contract import Body
from genbg.paint.painters.grotto import tones

SUN = Body(150.0, 70.0, 12.0)
BARE = {"ceiling": 0.0, "hanging": 0.0, "mirror": 0.0, "foot": 1.0}


def drawn(seed=1, **keys):
    return paint("grotto", top=0, bottom=120, seed=seed, body=SUN, ratio=0.4, params=keys).ink


def test_a_face_that_looks_to_the_light_is_lit_and_one_that_looks_away_is_not():
    """Lambert's cosine law (Photometria, 1760) for a smooth column, left to right."""
    turn = np.linspace(-1.0, 1.0, 21)[None, :]
    right = tones(turn, np.zeros_like(turn), np.ones_like(turn))[0]
    assert (np.diff(right) >= 0).all()
    assert right[0] < 3 <= right[-1]
    assert (tones(turn, np.zeros_like(turn), -np.ones_like(turn))[0] == right[::-1]).all()


@pytest.mark.parametrize("seed", range(3))
def test_no_column_stands_before_the_sun(seed):
    ink = drawn(seed, columns=8, wide=12.0, **BARE)
    assert not ink[58:82, 140:160].any()
    assert ink.any()


def test_columns_right_of_the_sun_are_lit_from_the_left():
    """One light: left of its own middle a column right of the sun is lighter than right of it."""
    for seed in range(3):
        ink = drawn(seed, columns=1, wide=20.0, **BARE)[40:80].astype(float)
        used = ink.any(axis=0)
        start = int(np.flatnonzero(~used)[0])
        ink = np.roll(ink, -start, axis=1)
        columns = np.flatnonzero(ink.any(axis=0))
        middle = (columns[0] + columns[-1]) // 2
        left, right = ink[:, columns[0] : middle], ink[:, middle : columns[-1]]
        toward_left = (middle + start - SUN.x) % 512 < 256
        lighter, darker = (left, right) if toward_left else (right, left)
        assert lighter[lighter > 0].mean() > darker[darker > 0].mean() + 0.5


def test_the_mirror_lies_below_the_foot_and_the_wrap_is_whole():
    keys = {"foot": 0.6, "columns": 4, "ceiling": 0.0, "hanging": 0.0}
    with_mirror, without = (drawn(2, mirror=share, **keys) for share in (0.6, 0.0))
    assert not without[74:].any()
    assert with_mirror[74:].any()
    assert np.array_equal(with_mirror[:70], without[:70])
    across, inside = step_at_wrap(with_mirror)
    assert across <= inside.max()
