"""The mesa painter: flat tops, level beds, one light, few patterns."""

import numpy as np
import pytest
from painting_checks import (
    LIGHT_LEFT,
    LIGHT_RIGHT,
    count_patterns,
    paint,
    step_at_wrap,
    stray_share,
)

from genbg.paint.parts.buttes import Rock, part_line
from genbg.paint.parts.strata import HARD, SOFT, beds, draw_pillars, draw_sheets

SEEDS = range(1, 6)
LOOKS = {
    "mesas": {},
    "towers": {"width": 0.2, "cliffs": 6, "scree": 0.2},
    "walls": {"width": 1.0, "slopes": 2, "spacing": 200},
    "against the light": {"behind": True, "shadow": 24},
    "stacks in the sea": {"width": 0.25, "scree": 0.1, "surf": 0.7},
}


def tops_of(ink):
    """First painted line of every column; the number of lines where there is none."""
    painted = ink > 0
    return np.where(painted.any(axis=0), painted.argmax(axis=0), len(ink))


@pytest.mark.parametrize("look", LOOKS)
def test_mesas_wrap(look):
    """The join of right and left edge is not harder than joins of cells inside."""
    joins, inside = [], []
    for seed in SEEDS:
        join, others = step_at_wrap(paint("mesa", seed=seed, params=LOOKS[look]).ink)
        joins.append(join)
        inside.append(others[7::8])
    assert np.mean(joins) <= np.quantile(np.concatenate(inside), 0.95)


@pytest.mark.parametrize("look", LOOKS)
def test_few_patterns_at_default_thrift(look):
    """96 lines of rock, 768 cells, cost less than a quarter of them."""
    counts = [count_patterns(paint("mesa", seed=s, params=LOOKS[look]).ink, 40) for s in SEEDS]
    assert max(counts) <= 190, counts


def test_thrift_costs_fewer_patterns():
    """Each turn of the thrift saves patterns."""
    counts = [
        sum(count_patterns(paint("mesa", seed=s, thrift=t).ink, 40) for s in SEEDS)
        for t in (0.5, 0.75, 0.9)
    ]
    assert counts[0] > counts[1] > counts[2]


@pytest.mark.parametrize("look", LOOKS)
def test_few_stray_pixels(look):
    """At most 0.5 % of pixels have no neighbour of their ink."""
    for seed in SEEDS:
        assert stray_share(paint("mesa", seed=seed, params=LOOKS[look]).ink) <= 0.005


def test_the_same_job_gives_the_same_pixels_and_seeds_differ_in_shape():
    """Two seeds differ in their outline even when one is moved along the other."""
    first, again, other = (paint("mesa", seed=seed).ink for seed in (1, 1, 2))
    assert np.array_equal(first, again)
    a, b = tops_of(first), tops_of(other)
    assert min(np.abs(a - np.roll(b, by)).mean() for by in range(512)) > 2.0


def test_light_from_the_other_side_mirrors_the_rock():
    """All turns with the light, so no face is ever lit from the wrong side."""
    left = paint("mesa", light=LIGHT_LEFT).ink
    assert np.array_equal(left, paint("mesa", light=LIGHT_RIGHT).ink[:, ::-1])


def test_the_side_toward_the_light_is_lit():
    """Left edges of tall rocks are of light inks, right edges of dark ones."""
    for seed in SEEDS:
        ink = paint("mesa", seed=seed, params={"rubble": 0.0}).ink
        painted = ink > 0
        starts = painted & ~np.roll(painted, 1, axis=1)
        ends = painted & ~np.roll(painted, -1, axis=1)
        assert (ink[starts] >= 3).mean() > 0.95
        assert (ink[ends] <= 3).mean() > 0.95


def test_tops_are_flat_and_lie_on_few_heights():
    """Hard beds run through the layer, so most tops share a line with others."""
    for seed in SEEDS:
        tops = tops_of(paint("mesa", seed=seed, params={"scree": 0.0, "width": 0.6}).ink)
        assert (np.diff(tops) == 0).mean() > 0.7
        flat = tops[:-1][(np.diff(tops) == 0) & (tops[:-1] < 96)]
        lines, counts = np.unique(flat, return_counts=True)
        assert np.sort(counts)[-4:].sum() > 0.8 * counts.sum(), lines


def test_beds_begin_hard_and_take_turns():
    """A cap of hard rock lies on top; hard and soft beds are about as thick as asked."""
    for seed in range(20):
        kinds = beds(40, 4, 2, seed)
        assert kinds[0] == HARD
        runs = np.diff(np.flatnonzero(np.diff(kinds, prepend=-1)))
        assert runs[::2].min() >= 3
        assert runs[::2].max() <= 5
        assert runs[1::2].min() >= 1
        assert runs[1::2].max() <= 3
    assert (beds(40, 4, 0, 1) == HARD).all()
    assert SOFT in beds(40, 4, 1, 1)


def test_soft_beds_are_level_and_hard_ones_upright():
    """Sheets are alike across a row; the columns of pillars are nearly alike down the rows."""
    sheets = draw_sheets(6, 10, 3)
    assert np.array_equal(sheets, np.tile(sheets[:, :8], (1, 10)))
    pillars = draw_pillars(6, 40, 3, 3, 1)
    assert np.array_equal(pillars, np.tile(pillars[:8], (6, 1)))
    assert (draw_pillars(6, 40, 3, 3, 2) == pillars).mean() > 0.8


def test_keys_do_what_they_say():
    """Width, height, scree and surf each change what they name."""
    shares = [(paint("mesa", params={"width": w}).ink > 0).mean() for w in (0.2, 0.5, 0.9)]
    assert shares[0] < shares[1] < shares[2]
    for share in (0.3, 0.6, 0.9):
        top = tops_of(paint("mesa", params={"height": share}).ink).min()
        assert abs((96 - top) / 96 - share) < 0.08
    feet = [
        (paint("mesa", params={"width": 0.3, "scree": s}).ink[-1] > 0).mean() for s in (0, 0.4, 0.8)
    ]
    assert feet[0] < feet[1] < feet[2]
    dry = paint("mesa")
    wet = paint("mesa", params={"surf": 1.0})
    assert [use.name for use in wet.ramps] == ["rock", "foam"]
    assert np.array_equal(dry.ink[:-8], wet.ink[:-8])
    assert (wet.ink[-8:] > 6).any()
    misty = paint("mesa", params={"mist": 0.3, "surf": 1.0})
    assert [use.name for use in misty.ramps] == ["rock", "foam", "mist"]
    assert (misty.ink[-4:][misty.ink[-4:] > 0] > 8).mean() > 0.9


def test_light_from_behind_leaves_the_faces_dark_and_rims_both_sides():
    """Inks of light lie along the outline and nowhere else; left and right edge are as bright."""
    for seed in SEEDS:
        ink = paint("mesa", seed=seed, params={"behind": True, "rubble": 0.0, "spacing": 256}).ink
        painted = ink > 0
        bright = ink >= 4
        starts = painted & ~np.roll(painted, 1, axis=1)
        ends = painted & ~np.roll(painted, -1, axis=1)
        assert (ink[starts] == 6).mean() > 0.95
        assert (ink[ends] == 6).mean() > 0.95
        assert 0.02 < bright[painted].mean() < 0.3
        assert (ink[painted] <= 3).mean() > 0.7


def test_a_shadow_lies_before_the_foot():
    """It takes the last lines, is there below every foot, and the ground shows more and more."""
    plain = paint("mesa", bottom=112, params={"width": 0.3})
    cast = paint("mesa", bottom=136, params={"width": 0.3, "shadow": 24})
    assert [use.name for use in cast.ramps] == ["rock", "shadow"]
    assert np.array_equal(cast.ink[:72], plain.ink)
    foot = plain.ink[-1] > 0
    assert (cast.ink[72:80] > 0)[:, foot].mean() > 0.9
    rows = [(row == 7)[:, foot].mean() for row in np.split(cast.ink[72:], 3)]
    assert rows[1] > rows[2] > 0.4
    beside = [int((row == 7)[:, ~foot].sum()) for row in np.split(cast.ink[72:], 3)]
    assert beside[0] < beside[1] + beside[2]
    assert paint("mesa", bottom=44, params={"shadow": 64}).ink.any()


def test_light_and_shade_do_not_part_along_a_ruler():
    """The border has corners on every tall cliff, as faces of rock do."""
    for seed in SEEDS:
        rock = Rock(20, 0, 6, seed)
        edges = np.full(13, 48)
        assert len(set(part_line(rock, -edges, edges).tolist())) > 1


@pytest.mark.parametrize("steps", [2, 3, 5, 9])
def test_a_ramp_may_have_any_number_of_steps(steps):
    """Tones spread over however many inks a preset asks for."""
    ink = paint("mesa", steps={"rock": steps, "mist": 2, "foam": 2}).ink
    assert ink.max() == steps
    assert ink[ink > 0].min() == 1


@pytest.mark.parametrize("lines", [(0, 1), (3, 11), (100, 224), (37, 90)])
@pytest.mark.parametrize("width", [256, 1024])
def test_any_band_can_be_painted(lines, width):
    """One line, a few, many, off the cell grid, narrow and wide: no failure."""
    for params in LOOKS.values():
        ink = paint("mesa", top=lines[0], bottom=lines[1], width=width, params=params).ink
        assert (ink[-1] > 0).any()


@pytest.mark.parametrize("seed", range(12))
def test_no_cliff_ends_on_the_wrap(seed):
    """Few lines change from the last column to the first; an edge there looks like a seam."""
    ink = paint("mesa", top=0, bottom=152, seed=seed, params={"cliffs": 3, "width": 0.4}).ink
    assert (ink[:, 0] != ink[:, -1]).mean() <= 1 / 4
