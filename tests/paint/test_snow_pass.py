"""What the pass in the snow is made of: round drifts, broad slopes, a homely refuge."""

from __future__ import annotations

import numpy as np
import pytest
from painting_checks import count_tiles, job_of, paint

from genbg.paint.contract import Body
from genbg.paint.craft.relief import oblique
from genbg.paint.craft.terrain import fir_shadow, lay_scale
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.drifts.mounds import ASTRIDE, Mound, draw_mounds, raise_mound
from genbg.paint.painters.refuge.site import IN_VIEW, VIEW, draw_site
from genbg.paint.table import painter

NEAR = {"top": 173, "bottom": 224, "width": 256}
FAR = {"top": 16, "bottom": 172, "width": 256}
BARE = {"rocks": 0.0, "trees": 0.0, "way": 0.0, "height": 0.9}


def off(x, middle, width):
    """Signed columns from `middle` to x on a plane that wraps."""
    return (np.asarray(x) - middle + width / 2) % width - width / 2


def snow(**params):
    return paint("drifts", **NEAR, params=BARE | {"form": "mounds"} | params)


def test_a_scale_is_the_ramps_one_above_the_other():
    """Two ramps of 3 and 4 inks give pixel for pixel what one of 7 gives, dither included."""
    ramps = painter("drifts").ramps
    job = job_of("drifts", width=64, bottom=72, steps={"shade": 3, "lit": 4, "rock": 7, "leaf": 4})
    chosen = [next(ramp for ramp in ramps if ramp.name == name) for name in ("shade", "lit")]
    one = TonalPicture(job, chosen)
    other = TonalPicture(job, [ramp for ramp in ramps if ramp.name == "rock"])
    where = np.ones(one.tone.shape, dtype=bool)
    tone = np.linspace(-1.0, 7.5, where.size).reshape(where.shape)
    lay_scale(one, where, ("shade", "lit"), tone, 0.5)
    other.lay(where, "rock", tone, 0.5)
    assert np.array_equal(one.ink(), other.ink())


def test_shade_on_round_drifts_is_one_step_below_level_ground_at_most():
    """No black holes: of the shade ramp only the two lightest inks show."""
    painting = snow()
    steps = next(use.steps for use in painting.ramps if use.name == "shade")
    first = 1 + next(use.steps for use in painting.ramps if use.name == "lit")
    inks = np.unique(painting.ink)
    shades = inks[(inks >= first) & (inks < first + steps)]
    assert shades.tolist() == [first + steps - 2, first + steps - 1]


def test_round_drifts_need_fewer_patterns_than_sharp_crests():
    tops = NEAR["top"]
    soft = count_tiles(snow(way=1.0).ink, tops)
    params = BARE | {"way": 1.0, "ripples": 0.4}
    assert soft < 0.9 * count_tiles(paint("drifts", **NEAR, params=params).ink, tops)


def test_level_ground_is_left_out_above_a_border_of_cells():
    """Without drifts the layer begins on a line of the screen's cell grid, in one ink."""
    ink = snow(height=0.0, edge=0.75).ink
    first = int((ink > 0).any(axis=1).argmax())
    assert (first + NEAR["top"]) % 8 == 0
    assert (ink[:first] == 0).all()
    assert len(np.unique(ink[first:])) == 1


@pytest.mark.parametrize("seed", range(4))
def test_the_steep_side_of_a_drift_lies_away_from_the_body(seed):
    """Wind and light come from one side; under the body, where light has no side, none stands."""
    body = Body(150.0, 40.0, 12.0)
    job = job_of("drifts", width=512, seed=seed, body=body)
    side = np.where(off(np.arange(512), body.x, 512) > 0, -1.0, 1.0)
    mounds = draw_mounds(job, job.params, side)
    away = off([mound.x for mound in mounds], body.x, 512)
    assert len(mounds) > 4
    assert (np.abs(away) > ASTRIDE - 1e-9).all()
    assert (np.sign(away) == [mound.lee for mound in mounds]).all()


@pytest.mark.parametrize("lee", [-1, 1])
def test_a_drift_rises_slowly_to_its_brink_and_falls_steeply(lee):
    """Snow is laid down on the long side and drops over the brink (common practice, no source)."""
    ground = oblique(60, 60.0, 1.0)
    mound = Mound(128.0, 30.0, 12.0, 50.0, lee, 0.0, 0.0)
    heights = raise_mound(mound, ground, 256)
    row = heights[30]
    assert 0.95 * mound.tall < heights.max() <= mound.tall
    assert row.argmax() == 128
    rise = np.diff(row) * lee
    assert -rise.min() > 2.0 * rise.max() > 0


def test_a_firs_shadow_keeps_to_its_room():
    """None of it below the lines that it has; with room enough it is longer."""
    tall = fir_shadow((80, 64), 30, 40, 60.0, 0.5)
    kept = fir_shadow((80, 64), 30, 40, 60.0, 0.5, 12.0)
    assert np.flatnonzero(tall.any(axis=1)).max() > 52
    assert np.flatnonzero(kept.any(axis=1)).max() < 52


@pytest.mark.parametrize("x", [90.0, 160.0, 240.0])
def test_a_homely_house_stands_whole_in_the_first_view(x):
    """Its middle keeps off the edges of the first 320 columns by more than half its width."""
    for seed in range(12):
        given = {"homely": True, "size": 1.3}
        site = draw_site(job := job_of("refuge", seed=seed, body=Body(x, 40.0, 12.0), params=given),
                         job.params)  # fmt: skip
        room = IN_VIEW * site.size - 1e-9
        assert room <= site.house <= 2 * VIEW - room


def test_a_homely_refuge_has_logs_and_no_dotted_trail():
    """More wood stands there than the house alone shows; the last line stays level snow."""
    place = {"top": 64, "bottom": 173, "seed": 3, "body": Body(150.0, 40.0, 12.0)}
    wood = {}
    for homely in (False, True):
        painting = paint("refuge", **place, params={"homely": homely, "trees": 0.0})
        first = 1
        for use in painting.ramps:
            if use.name == "wood":
                here = (painting.ink >= first) & (painting.ink < first + use.steps)
            first += use.steps
        wood[homely] = int(here.sum())
        if homely:
            last = np.bincount(painting.ink[-1])
            assert last.max() >= 0.98 * last.sum()
    assert wood[True] > wood[False] + 60


def test_broad_slopes_need_fewer_patterns_and_light_lies_on_water_under_the_body():
    """One path of light, in the body's columns: what is mirrored stands under it."""
    body = Body(128.0, 30.0, 12.0)
    found = {}
    for form in ("ribbed", "broad"):
        params = {"form": form, "valley": "lake", "hamlet": False}
        found[form] = paint("peaks", **FAR, seed=2, body=body, params=params)
    tiles = {form: count_tiles(one.ink, FAR["top"]) for form, one in found.items()}
    assert tiles["broad"] < tiles["ribbed"]
    ink, first = found["broad"].ink, 1
    for use in found["broad"].ramps:
        if use.name == "water":
            bright = ink == first + use.steps - 1
        first += use.steps
    columns = np.flatnonzero(bright.any(axis=0))
    assert bright.sum() > 20
    assert abs(float(np.median(np.nonzero(bright)[1])) - body.x) < 8
    assert np.abs(columns - body.x).max() < 40
