"""Kilns of the town painter: bottle shaped, lit, no two alike in a row, smoking."""

import numpy as np
import pytest
from built_checks import ramp_pixels, same_outline
from painting_checks import LIGHT_RIGHT, paint, stray_share

from genbg.paint.craft.sheet import DEEP, RIM, Tones
from genbg.paint.painters.town import RAMPS
from genbg.paint.painters.town.kilns import NECK, SHOULDER, draw_kiln

GROUND = {"top": 56, "bottom": 192}
KEYS = {"kilns": 0.5, "width": 48, "cluster": 4, "ranks": 1, "height": 1.0}
TONES = Tones(RAMPS, {ramp.name: ramp.steps for ramp in RAMPS})


@pytest.mark.parametrize("columns", [4, 6])
@pytest.mark.parametrize("rows", [9, 12])
def test_a_kiln_is_a_bottle(columns, rows):
    """The neck is less than half as wide as the wall; widths never shrink downward."""
    kiln = draw_kiln(TONES, "wall", columns, rows, 1, True)
    wide = (kiln > 0).sum(axis=1)
    assert (np.diff(wide) >= 0).all()
    assert wide[0] * 2 < wide[-1] == columns * 8
    assert (wide[: NECK * 8] == wide[0]).all()
    assert (wide[(NECK + SHOULDER) * 8 :] == wide[-1]).all()


def test_its_light_comes_from_the_left():
    """The left end of each line of the wall is the lightest, the right end the darkest."""
    kiln = draw_kiln(TONES, "wall", 6, 10, 1, True)
    assert (kiln[-1, :4] == TONES("wall", RIM)).all()
    assert (kiln[-1, -4:] == TONES("wall", DEEP)).all()


@pytest.mark.parametrize("seed", range(1, 6))
def test_kilns_burn_and_smoke(seed):
    """With kilns there is fire and smoke; without, no smoke; no outline comes back on a screen."""
    burning = paint("town", seed=seed, **GROUND, params=KEYS)
    cold = paint("town", seed=seed, **GROUND, params=KEYS | {"kilns": 0.0})
    assert ramp_pixels(burning, "smoke").sum() > 200
    assert burning.guard.sum() > 200
    assert not ramp_pixels(cold, "smoke").any()
    assert stray_share(burning.ink) <= 0.008
    assert same_outline(burning) == 0


def test_kilns_turn_over_with_the_light():
    """With light from the right a kiln's dark side is its left one."""
    left, right = (
        paint("town", **GROUND, params=KEYS | {"kilns": 1.0}, **light)
        for light in ({}, {"light": LIGHT_RIGHT})
    )
    assert (left.ink > 0).sum() == pytest.approx((right.ink > 0).sum(), rel=0.05)
    assert (left.ink != right.ink).any()


@pytest.mark.parametrize("lines", [8, 24, 60])
def test_kilns_in_few_lines(lines):
    """Where there is no room they are cut off and nothing fails."""
    assert paint("town", top=60, bottom=60 + lines, params=KEYS).ink.any()
