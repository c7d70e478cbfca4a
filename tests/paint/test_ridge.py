"""The ridge painter: shapes that wrap, one light, and few tiles."""

import numpy as np
import pytest
from painting_checks import (
    LIGHT_LEFT,
    LIGHT_RIGHT,
    count_tiles,
    paint,
    stray_share,
)

SEEDS = range(1, 9)
HILLS = {"peaks": 0.0, "cover": "grass", "height": 0.7, "roughness": 0.3, "spacing": 160}
LOOKS = {
    "mountains": {"snow": 0.5, "spacing": 136, "height": 0.95},
    "bare": {},
    "hills": HILLS,
    "meadow with trees": HILLS | {"trees": 0.4},
    "wood": HILLS | {"cover": "broadleaves"},
    "conifers": {"peaks": 0.6, "cover": "conifers"},
    "silhouette": {"faces": 0.0, "mist": 0.0},
}


def outline_of(ink):
    """First painted line of every column."""
    assert (ink[-1] > 0).all()
    return (ink > 0).argmax(axis=0)


MOST = {
    "mountains": 190,
    "bare": 160,
    "hills": 90,
    "meadow with trees": 190,
    "wood": 100,
    "conifers": 190,
    "silhouette": 25,
}


@pytest.mark.parametrize("look", LOOKS)
def test_few_tiles_at_default_thrift(look):
    """96 lines of terrain, 768 cells, cost a share of the usual budget of 640 that leaves room."""
    counts = [count_tiles(paint("ridge", seed=s, params=LOOKS[look]).ink, 40) for s in SEEDS]
    assert max(counts) <= MOST[look], counts


@pytest.mark.parametrize("look", ["mountains", "hills", "conifers"])
def test_thrift_costs_fewer_tiles(look):
    """Each turn of the thrift saves tiles, from every cell its own down to the coarse grid."""
    counts = [
        sum(
            count_tiles(paint("ridge", seed=s, thrift=thrift, params=LOOKS[look]).ink, 40)
            for s in (1, 2)
        )
        for thrift in (0.0, 0.5, 1.0)
    ]
    assert counts[0] > counts[1] * 1.02
    assert counts[1] > counts[2] * 1.02


@pytest.mark.parametrize("look", LOOKS)
def test_few_stray_pixels(look):
    """Outside the dithered mist, at most 0.5 % of pixels have no neighbour of their ink."""
    for seed in SEEDS:
        ink = paint("ridge", seed=seed, params=LOOKS[look] | {"mist": 0.0}).ink
        assert stray_share(ink) <= 0.005


def test_seeds_differ_in_shape():
    """Two seeds differ in their outline even when one is moved along the other."""
    first, other = (paint("ridge", seed=seed).ink for seed in (1, 2))
    a, b = outline_of(first), outline_of(other)
    apart = [np.abs(a - np.roll(b, by)).mean() for by in range(512)]
    assert min(apart) > 2.0


def test_light_from_the_other_side_swaps_lit_and_shaded_faces():
    """Left slopes are lit by light from the left and lie in shade by light from the right."""
    params = {"texture": 0.0, "mist": 0.0, "faces": 0.3}
    lit, shade = (4, 5), (1, 2)
    for seed in SEEDS:
        left = paint("ridge", seed=seed, light=LIGHT_LEFT, params=params).ink
        right = paint("ridge", seed=seed, light=LIGHT_RIGHT, params=params).ink
        slope = np.roll(outline_of(left), -4) - np.roll(outline_of(left), 4)
        y = np.clip(outline_of(left) + 3, 0, len(left) - 1)
        x = np.arange(512)
        for ink, rises in ((left, slope < -4), (right, slope > 4)):
            on_slope = ink[y, x][rises]
            assert np.isin(on_slope, lit).mean() > 0.6
            assert np.isin(on_slope, shade).mean() < 0.4
        swapped = (np.isin(left, lit) & np.isin(right, shade)).mean()
        assert swapped > 0.1


def test_overhead_light_leaves_no_full_shade():
    """With the light overhead the faces differ by one tone only."""
    params = {"texture": 0.0, "mist": 0.0, "faces": 0.15}
    assert 2 in paint("ridge", light=LIGHT_LEFT, params=params).ink
    assert 2 not in paint("ridge", light=(0.0, 1.0), params=params).ink


def test_height_and_roughness_do_what_they_say():
    """The highest summit reaches the share asked for; a rough outline is longer than a smooth."""
    for share in (0.3, 0.6, 0.9):
        top = outline_of(paint("ridge", params={"height": share}).ink).min()
        assert abs((96 - top) / 96 - share) < 0.08
    lengths = []
    for rough in (0.0, 0.5, 1.0):
        inks = [paint("ridge", seed=s, thrift=0.0, params={"roughness": rough}).ink for s in SEEDS]
        lengths.append(sum(np.abs(np.diff(outline_of(ink))).sum() for ink in inks))
    assert lengths[0] < lengths[1] < lengths[2]


def test_peaks_go_from_round_to_sharp():
    """Near its top a sharp summit falls away faster than a round one."""
    falls = []
    for peaks in (0.0, 0.4, 1.0):
        outlines = [
            outline_of(paint("ridge", seed=s, params={"peaks": peaks, "roughness": 0.0}).ink)
            for s in SEEDS
        ]
        falls.append(np.mean([np.roll(o, -24)[o.argmin()] - o.min() for o in outlines]))
    assert falls[0] < falls[1] < falls[2]


def test_snow_lies_high_and_mist_low():
    """No snow far below its line, none where it is not asked for; mist fills the last lines."""
    with_snow = paint("ridge", params={"snow": 0.4, "mist": 0.25})
    names = [use.name for use in with_snow.ramps]
    assert names == ["rock", "snow", "mist"]
    snow = (with_snow.ink > 5) & (with_snow.ink <= 9)
    lowest = np.flatnonzero(snow.any(axis=1)).max()
    # The highest summit is 86 of 96 lines up, and 40 % of it below lies line 45; teeth and the
    # wander of the line reach up to 23 lines farther.
    assert 10 < lowest < 45 + 23
    assert (with_snow.ink[-6:] > 9).all()
    assert [use.name for use in paint("ridge", params={"mist": 0.0}).ramps] == ["rock"]


@pytest.mark.parametrize("steps", [2, 3, 5, 9])
def test_a_ramp_may_have_any_number_of_steps(steps):
    """Tones spread over however many inks a preset asks for."""
    given = {"rock": steps, "grass": 5, "leaves": 5, "snow": steps, "mist": steps}
    painting = paint("ridge", steps=given, params={"snow": 0.4})
    assert [use.steps for use in painting.ramps] == [steps] * 3
    rock = painting.ink[(painting.ink > 0) & (painting.ink <= steps)]
    assert rock.max() == steps
    assert rock.min() <= 2


@pytest.mark.parametrize("lines", [(0, 1), (3, 11), (100, 224), (37, 90)])
@pytest.mark.parametrize("width", [256, 1024])
def test_any_band_can_be_painted(lines, width):
    """One line, a few, many, off the cell grid, narrow and wide: no failure, all columns full."""
    for params in LOOKS.values():
        ink = paint("ridge", top=lines[0], bottom=lines[1], width=width, params=params).ink
        assert (ink[-1] > 0).all()


def test_open_hills_rise_from_water():
    """With `open` the last line is see-through between the hills, else it never is."""
    keys = {"peaks": 0.0, "cover": "conifers", "height": 0.3, "spacing": 256, "mist": 0.0}
    for seed in range(3):
        closed = paint("ridge", params=keys, seed=seed).ink
        islands = paint("ridge", params=keys | {"open": True}, seed=seed).ink
        assert (closed[-1] > 0).all()
        assert 0.0 < (islands[-1] > 0).mean() < 1.0
        assert (islands[islands > 0] == closed[islands > 0]).all()


def test_firs_stand_on_round_hills():
    """`firs` changes nothing but the single trees, which are narrower than round ones."""
    keys = {"peaks": 0.0, "cover": "grass", "trees": 0.5, "mist": 0.0, "texture": 0.0}
    for seed in range(3):
        leaves = []
        for firs in (False, True):
            painting = paint("ridge", params=keys | {"firs": firs}, seed=seed)
            first = 1 + next(use.steps for use in painting.ramps if use.name == "grass")
            leaves.append(painting.ink >= first)
        assert leaves[1].any()
        assert leaves[1].sum() < leaves[0].sum()
