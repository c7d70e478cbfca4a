"""The ruins painter: what has fallen and what grows, by share."""

import numpy as np
import pytest
from built_checks import joins_at_wrap, likeness, outline_of, ramp_pixels, same_outline
from painting_checks import LIGHT_RIGHT, count_patterns, paint, stray_share

SEEDS = range(1, 7)
GROUND = {"top": 80, "bottom": 192}
LOOKS = {
    "all": {},
    "walls": {"walls": 1.0, "columns": 0.0, "arches": 0.0},
    "columns": {"walls": 0.0, "columns": 1.0, "arches": 0.0},
    "arches": {"walls": 0.0, "columns": 0.0, "arches": 1.0},
    "two ranks": {"ranks": 2, "pointed": True},
}


@pytest.mark.parametrize("look", LOOKS)
@pytest.mark.parametrize("seed", SEEDS)
def test_ruins_are_clean_and_thrifty(seed, look):
    """Few patterns and few stray pixels."""
    painting = paint("ruins", seed=seed, **GROUND, params=LOOKS[look])
    assert count_patterns(painting.ink, 80) <= 330
    assert stray_share(painting.ink) <= 0.008


@pytest.mark.parametrize("look", LOOKS)
def test_ruins_wrap(look):
    """The join of right and left edge is not harder than joins of cells inside."""
    fields = [paint("ruins", seed=seed, **GROUND, params=LOOKS[look]) for seed in SEEDS]
    join, limit = joins_at_wrap(fields)
    assert join <= limit


@pytest.mark.parametrize("seed", SEEDS)
def test_no_ruin_is_seen_twice_on_a_screen(seed):
    """No stretch of 64 pixels of the outline comes back within 320 pixels."""
    painting = paint("ruins", seed=seed, **GROUND, params={"growth": 0.0, "rubble": 0.0})
    assert same_outline(painting) == 0


def test_seeds_differ_in_shape():
    """However two fields of ruins are shifted, their outlines differ."""
    fields = [paint("ruins", seed=seed, **GROUND, params={"density": 1.0}) for seed in SEEDS]
    assert max(likeness(a, b) for n, a in enumerate(fields) for b in fields[:n]) < 0.5


def test_more_has_fallen_where_more_is_broken():
    """Over seeds, what stands shrinks with the share that is broken."""
    stone = [
        sum(
            int(
                ramp_pixels(
                    paint("ruins", seed=seed, **GROUND, params=LOOKS["walls"] | {"broken": b}),
                    "stone",
                ).sum()
            )
            for seed in SEEDS
        )
        for b in (0.0, 0.5, 1.0)
    ]
    assert stone[0] > stone[1] > stone[2]


def test_an_unbroken_wall_has_a_level_top():
    """With nothing fallen, each wall's outline is one line but for its end."""
    keys = LOOKS["walls"] | {"broken": 0.0, "growth": 0.0, "rubble": 0.0, "density": 0.5}
    line = outline_of(paint("ruins", **GROUND, params=keys))
    assert len(np.unique(line)) <= 14


def test_growth_and_rubble_come_and_go():
    """No leaf at 0, more leaves the more grows; rubble lies only where asked."""
    leaves = [
        int(ramp_pixels(paint("ruins", **GROUND, params={"growth": g}), "leaves").sum())
        for g in (0.0, 0.3, 0.6, 1.0)
    ]
    assert leaves[0] == 0
    assert leaves == sorted(set(leaves))
    bare = {"growth": 0.0, "density": 0.2}
    clear, strewn = (
        paint("ruins", **GROUND, params=bare | {"rubble": share}) for share in (0.0, 1.0)
    )
    assert (strewn.ink[-8:] > 0).sum() > (clear.ink[-8:] > 0).sum()
    assert not ramp_pixels(clear, "behind").any()
    assert ramp_pixels(paint("ruins", **GROUND, params={"ranks": 2}), "behind").any()


def test_openings_show_what_lies_behind():
    """Walls have holes through which the other plane is seen: see-through pixels under stone."""
    painting = paint("ruins", **GROUND, params=LOOKS["walls"] | {"growth": 0.0})
    solid = painting.ink > 0
    below = np.maximum.accumulate(solid, axis=0) & ~solid
    assert below.sum() > 500


def test_light_from_the_right_is_the_mirror_image():
    """The whole field turns over, so the lit side of each stone does too."""
    left = paint("ruins", **GROUND)
    right = paint("ruins", **GROUND, light=LIGHT_RIGHT)
    assert (left.ink[:, ::-1] == right.ink).all()


def test_one_kind_must_be_asked_for():
    """Keys that leave nothing to build are a fault, told at the key."""
    from genbg.paint.ruins import RuinsKeys

    nothing = RuinsKeys(walls=0.0, columns=0.0, arches=0.0)
    assert [key for key, _ in nothing.faults()] == ["walls"]
    assert not list(RuinsKeys().faults())


@pytest.mark.parametrize("lines", [8, 24, 40, 63])
def test_a_layer_of_few_lines(lines):
    """Where there is hardly room, ruins are cut off and nothing fails."""
    for look in LOOKS.values():
        assert paint("ruins", top=101, bottom=101 + lines, params=look).ink.any()
