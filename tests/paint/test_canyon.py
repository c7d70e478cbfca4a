"""The canyon painter: shadows, dwellings of all kinds, hero forms, air, dunes."""

from __future__ import annotations

import functools
import json

import numpy as np
import pytest
from painting_checks import LIGHT_LEFT, LIGHT_RIGHT, inks_of, paint

from genbg.paint.craft.crestlines import long_crest
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.relief import receding
from genbg.paint.craft.scrub import LEAF, STEM, draw_clump, draw_rosette
from genbg.paint.craft.solids import Kind, Stage
from genbg.paint.painters.canyon.dwellings import FOCAL, KINDS
from genbg.paint.painters.canyon.heroes import HEROES
from genbg.paint.table import painter


@functools.cache
def _drawn(given):
    return paint("canyon", top=24, bottom=173, **json.loads(given))


def drawn(**given):
    """A painting on the canyon's own lines; the same one for all that ask alike."""
    return _drawn(json.dumps({"width": 256} | given, sort_keys=True))


@pytest.mark.parametrize(("light", "side"), [(LIGHT_LEFT, 1), (LIGHT_RIGHT, -1)])
def test_shadows_fall_away_from_the_sun(light, side):
    """Shaded sand lies more on the side of the rock that the light does not come from."""
    gap = 0
    for seed in range(2):
        given = {"plan": "butte", "dunes": 0.0, "river": 0.0, "shelter": False}
        painting = drawn(width=512, seed=seed, light=light, params=given)
        rock = inks_of(painting, "lit")[0] | inks_of(painting, "shade")[0]
        rock, cool = rock[100:128].any(axis=0), inks_of(painting, "cool")[0].sum(axis=0)
        beside = [cool[np.roll(rock, 12 * way) & ~rock].sum() for way in (1, -1)]
        gap += int(beside[0]) - int(beside[1])
    assert gap * side > 0


def test_a_dwelling_stands_in_the_near_rank_only():
    """Its walls are guarded; the far rank has none, and the near one none where none is asked."""
    painting = drawn(params={"home": "domed"})
    wall, _ = inks_of(painting, "wall")
    assert wall.sum() > 150
    assert painting.guard[wall].mean() > 0.95  # lone pixels beside it are painted over
    assert not inks_of(drawn(params={"rank": "far"}), "wall")[0].any()
    assert not inks_of(drawn(params={"shelter": False}), "wall")[0].any()


def test_far_rock_is_paler_than_near_rock():
    """Air between: shaded rock of the far rank is lighter, in the mean (aerial perspective)."""
    steps = next(ramp.steps for ramp in painter("canyon").ramps if ramp.name == "shade")
    mean = {}
    for rank, given in (("far", {"rank": "far"}), ("near", {"home": "domed"})):
        here, tone = inks_of(drawn(params=given), "shade")
        mean[rank] = tone[here].mean()
    assert mean["far"] > mean["near"] + 0.15 * steps


@pytest.mark.parametrize("name", KINDS)
def test_every_dwelling_has_a_lamp_and_stands_about_its_place(name):
    """Solids with a glass among them, feet on the ground, none farther off than 50 units."""
    for seed in range(3):
        stage = Stage()
        KINDS[name].build(stage, Dice(seed), 1.0, 1)
        corners = np.array([corner for part in stage.parts for corner in part.corners])
        assert any(plane.kind == Kind.LAMP for plane in stage.planes)
        assert -0.5 <= corners[:, 1].min() < 0.5  # a beam that leans dips by half its thickness
        assert np.abs(corners[:, 0]).max() < 50
        assert np.abs(corners[:, 2] - FOCAL).max() < 40


def test_an_alcove_shelters_a_cliff_dwelling():
    """Above its houses there is shade, the alcove's roof, and above that rock again."""
    painting = drawn(params={"home": "cliff", "dunes": 0.0}, seed=3)
    lines, columns = np.nonzero(inks_of(painting, "wall")[0])
    middle, top = int(np.median(columns)), int(lines.min())
    above = painting.ink[top - 12 : top, middle - 8 : middle + 8]
    shade, _ = inks_of(painting, "shade")
    assert (above > 0).all()
    assert shade[top - 6 : top, middle - 8 : middle + 8].mean() > 0.6


@pytest.mark.parametrize("name", HEROES)
def test_heroes_differ_from_seed_to_seed_and_leave_the_dwelling_in_sight(name):
    """Masses stand elsewhere, are of other heights, and the home lies in or near the first view."""
    found = [HEROES[name](Dice(seed), 124.0, 1) for seed in range(6)]
    assert len({round(hero.masses[0].x) for hero in found}) >= 4
    tops = [max(mass.top for mass in hero.masses) for hero in found]
    assert max(tops) > 1.05 * min(tops)
    assert all(60 < top <= 124.0 * 1.12 for top in tops)
    assert all(-10 < hero.home[0] < 410 for hero in found)


def test_a_long_crest_rises_between_its_ends():
    """Low at both ends, highest between, never above 1.2 of its height; from far off to near."""
    ground = receding(180.0, 110.0, 100.0, 150.0, 2)
    for seed in range(5):
        points = long_crest(Dice(seed), ground, 100.0, (130.0, 170.0), 20.0, 60.0, 20.0)
        high = points[:, 2]
        assert max(high[0], high[-1]) < 0.7 * high.max()
        assert 12.0 < high.max() < 24.0
        assert (np.diff(points[:, 1]) < 0).all()


def test_plants_of_dry_lands_are_lit_from_the_side():
    """Blades and straws on the lit half are lighter in the mean, over ten of each; a flower's stalk
    is as high as is asked."""
    for draw, part in ((draw_rosette, LEAF), (draw_clump, STEM)):
        gap = 0.0
        for seed in range(10):
            plant = draw(Dice(seed), 20.0, -1.0)
            off = np.arange(plant.material.shape[1])[None, :] - plant.x
            here = plant.material == part
            gap += plant.tone[here & (off < -1)].mean() - plant.tone[here & (off > 1)].mean()
        assert gap / 10 > 0.08
    plant = draw_rosette(Dice(1), 12.0, 1.0, 40.0)
    rows = np.nonzero((plant.material == STEM).any(axis=1))[0]
    assert plant.y - rows.min() == pytest.approx(40, abs=2)
