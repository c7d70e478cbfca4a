"""The temple and the bank of the ruins painter: grounded, lit, thrifty."""

import numpy as np
import pytest
from painting_checks import LIGHT_RIGHT, count_patterns, paint, stray_share

from genbg.paint.parts.banks import bank_levels
from genbg.paint.parts.temple import WIDTH

GROUND = {"top": 40, "bottom": 192}
KEYS = {"temple": True, "bank": 3, "height": 1.0, "density": 0.4, "cluster": 2}
SEEDS = range(1, 6)


@pytest.mark.parametrize("seed", SEEDS)
def test_the_temple_is_the_highest_and_costs_few_patterns(seed):
    """Nothing beside the temple reaches its gable; the layer stays within its budget."""
    painting = paint("ruins", seed=seed, **GROUND, params=KEYS | {"growth": 0.0})
    solid = painting.ink > 0
    middle = round(0.4 * solid.shape[1] / 8) * 8
    there = np.zeros(solid.shape[1], dtype=bool)
    there[middle - WIDTH * 4 - 8 : middle + WIDTH * 4 + 8] = True
    top = np.where(solid.any(axis=0), solid.argmax(axis=0), len(solid))
    assert top[there].min() + 24 <= top[~there].min()
    assert count_patterns(painting.ink, 40) <= 260
    assert stray_share(painting.ink) <= 0.008


@pytest.mark.parametrize("seed", SEEDS)
def test_everything_stands_on_the_bank(seed):
    """No see-through pixel lies under the turf's edge, and the bank goes all the way round."""
    painting = paint("ruins", seed=seed, **GROUND, params=KEYS)
    assert (painting.ink[-8:] > 0).all()


def test_the_bank_is_uneven_but_level_under_a_building():
    """Levels 1..highest, all of them used, the flat part at the highest."""
    levels = bank_levels(64, 3, slice(60, 70), 5)
    assert set(levels.tolist()) == {1, 2, 3}
    assert (levels[np.arange(60, 70) % 64] == 3).all()


def test_merging_keeps_the_lamp():
    """The pixels of the lamp are guarded; without a temple there are none."""
    assert paint("ruins", **GROUND, params=KEYS).guard.sum() >= 12
    assert not paint("ruins", **GROUND).guard.any()


def test_a_temple_turns_over_with_the_light():
    """Light from the right gives the mirror image."""
    left = paint("ruins", **GROUND, params=KEYS)
    right = paint("ruins", **GROUND, params=KEYS, light=LIGHT_RIGHT)
    assert (left.ink[:, ::-1] == right.ink).all()


@pytest.mark.parametrize("lines", [8, 40, 90])
def test_a_temple_in_few_lines(lines):
    """Where there is no room for it, it is cut off and nothing fails."""
    assert paint("ruins", top=60, bottom=60 + lines, params=KEYS).ink.any()
