"""The ice painter and its bergs."""

import numpy as np
import pytest
from painting_checks import paint

from genbg.paint.parts.bergs import (
    LIT,
    RIM,
    SHADE,
    Berg,
    cliff_tops,
    face_tones,
    pointed_tops,
    snow_depth,
    table_tops,
)

MAKERS = {"pointed": pointed_tops, "table": table_tops}


@pytest.mark.parametrize("make", MAKERS)
@pytest.mark.parametrize("seed", range(8))
def test_bergs_rise_from_the_water_and_return(make, seed):
    """Both ends lie at the water, nothing is higher than asked or wider than there is room."""
    for tall, quantum, most in ((16.0, 4, 32), (90.0, 4, 32), (180.0, 2, 16)):
        tops = MAKERS[make](seed, tall, quantum, most)
        assert tops[0] == tops[-1] == 0
        assert (tops % quantum == 0).all()
        assert (tops >= 0).all()
        assert 0.6 * tall <= tops.max() <= tall * 1.1 + quantum
        assert len(tops) - 1 <= most


def test_a_cliff_closes():
    """A glacier's front ends at the height at which it began."""
    tops = cliff_tops(5, 60.0, 64, np.linspace(-0.5, 0.5, 64))
    assert len(tops) == 65
    assert tops[0] == tops[-1]
    assert tops.min() >= 0.2 * 60 - 4
    assert tops.max() <= 60


@pytest.mark.parametrize("left_lit", [True, False])
def test_the_main_point_parts_light_from_shade(left_lit):
    """Before any wet foot, faces right of the point are no brighter than those left of it."""
    tops = np.array([0, 24, 48, 72, 48, 24, 0])
    berg = Berg(0, tops, 4)
    top = np.repeat(96 - tops[1:], 8)
    tones = face_tones(berg, top, 96, 96, 0.0, left_lit)
    upper = tones[24:72]
    left, right = upper[:, :16], upper[:, -8:]
    assert (left.mean() > right.mean()) == left_lit
    assert set(np.unique(upper)) <= {SHADE, SHADE + 1, LIT, RIM, 0}


@pytest.mark.parametrize("left_lit", [True, False])
@pytest.mark.parametrize("seed", range(6))
def test_faces_meet_without_a_line_between_them(seed, left_lit):
    """Four faces and more, each broad at the foot; the one next to the light is the brightest."""
    tops = pointed_tops(seed, 96.0, 4, 32)
    berg = Berg(0, tops, seed)
    top = np.repeat(np.maximum(tops[1:], tops[:-1]), 8)
    tones = face_tones(berg, 100 - top, 100, 100, 0.2, left_lit)
    foot = tones[96]
    runs = np.diff(np.flatnonzero(np.diff(foot, prepend=-1, append=-1)))
    assert len(runs) >= 4
    assert runs.min() >= 4
    outer, inner = (foot[0], foot[-1]) if left_lit else (foot[-1], foot[0])
    assert outer == RIM
    assert outer > inner


def test_snow_lies_on_level_ice():
    """Worked by hand: deep on the level, less on slopes, none without the key."""
    berg = Berg(0, np.array([0, 16, 16, 0]), 1)
    depth = snow_depth(berg, 1.0)
    assert depth[8:16].mean() > depth[:8].mean()
    assert not snow_depth(berg, 0.0).any()


def test_the_foot_is_the_water_line():
    """Ice ends `shine` lines above the layer's foot; below it only the shine is painted."""
    ink = paint("ice", params={"shine": 16}).ink
    assert (ink[:-16] > 0).any()
    assert ((ink[-16:] == 0) | (ink[-16:] > 8)).all()
    assert (ink[-16:] > 8).any()
    dry = paint("ice", params={"shine": 0}).ink
    assert not (dry > 8).any()
    assert (dry[-1] > 0).any()


def test_a_cliff_has_no_gap():
    """A glacier covers every column down to the water; bergs do not."""
    assert (paint("ice", params={"kind": "cliff", "shine": 0}).ink[-8:] > 0).all()
    assert not (paint("ice", params={"shine": 0}).ink[-8:] > 0).all()


def test_floes_keep_to_their_cell_rows():
    """A floe's last line is free, so that rows of cells never run into each other."""
    ink = paint("ice", params={"kind": "floes"}, top=40, bottom=136).ink
    assert not (ink.reshape(12, 8, 512)[:, 7] > 0).any()


def test_near_floes_are_larger():
    """Runs of snow in the lower half are longer than those in the upper half."""
    there = paint("ice", params={"kind": "floes"}).ink > 0

    def run(part):
        starts = (part & ~np.roll(part, 1, axis=1)).sum()
        return part.sum() / max(1, starts)

    assert run(there[48:]) > 1.5 * run(there[:48])
