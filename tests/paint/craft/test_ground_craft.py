"""Ground: ridges in order, stones with a lit side, shadows that fall away from the light."""

import numpy as np
import pytest

from genbg.paint.craft.ground import (
    Turf,
    cut_stone,
    fern,
    ground_shadows,
    lay_ridge,
    road,
    torn,
)
from genbg.paint.craft.leaves import BARE, LeafSheet
from genbg.paint.craft.lenses import PERIOD, band_heights, ripples

LINES, WIDTH = 64, 512
EDGE = np.full(WIDTH, 30.0)


def ridge(light: float, seed: int = 3) -> LeafSheet:
    sheet = LeafSheet(LINES, WIDTH)
    lay_ridge(sheet, EDGE, Turf(2.0), np.full((LINES, WIDTH), light), seed)
    return sheet


def test_a_ridge_covers_all_below_its_crest_and_little_above() -> None:
    """Below the crest no gap; above it only blades, none higher than the tallest fan."""
    covered = ridge(0.0).covered
    assert covered[31:].all()
    assert 0.02 < covered[25:30].mean() < 0.8
    assert not covered[:20].any()


def test_light_on_the_ground_is_lighter() -> None:
    """The same ridge in full light is lighter by about the tones that light adds."""
    dark, lit = ridge(0.0).level[34:60], ridge(1.0).level[34:60]
    assert lit.mean() - dark.mean() == pytest.approx(Turf(2.0).lit, abs=1.0)


@pytest.mark.parametrize("light", [(-0.8, 0.6), (0.8, 0.6)])
def test_stones_are_lit_from_the_light(light: tuple[float, float]) -> None:
    """Lambert's law: the half of a stone on the light's side is lighter, for each of 20 stones."""
    side = np.sign(light[0])
    for seed in range(20):
        stone = cut_stone(100, 40, 14, 10, seed, light)
        toward = (stone.x - 100) * side
        assert stone.tone[toward > 3].mean() > stone.tone[toward < -3].mean()
        assert np.abs(stone.x - 100).max() <= 15
        assert len(np.unique(np.round(stone.tone, 1))) >= 3


def test_shadows_fall_away_from_the_light() -> None:
    """A trunk's shadow moves by its slope each line and begins at its foot."""
    dark = ground_shadows(LINES, np.array([[100.0, 20.0, 5.0, WIDTH]]), 1.5)
    assert not dark[:21].any()
    for line in (25, 40):
        assert np.nonzero(dark[line])[0].mean() == pytest.approx(100 + 1.5 * (line - 20), abs=1)


def test_torn_light_has_shadows_in_it() -> None:
    """Leaves take a part of a pool of light, never add any."""
    light = np.ones((LINES, WIDTH))
    found = torn(light, 4)
    assert set(np.unique(found)) == {0.2, 1.0}
    assert 0.1 < (found < 1).mean() < 0.7


def test_ferns_and_roads_lie_where_told() -> None:
    """A fern stands on its foot within its size; a road keeps its breadth, with dark ruts."""
    sheet = LeafSheet(LINES, WIDTH)
    fern(sheet, 100.0, 50.0, 12.0, 3.0, 5)
    lines, columns = np.nonzero(sheet.level > BARE)
    assert lines.min() > 50 - 20
    assert np.abs(columns - 100).max() < 24
    there, tone = road(LINES, WIDTH, EDGE, 3, 20.0)
    assert there.sum(axis=0).mean() == pytest.approx(20.0, abs=3.0)
    middle = tone.mean(axis=1)
    assert middle[36] < middle[40] - 0.1


def test_ripples_grow_toward_us_and_repeat() -> None:
    """Perspective: bands get higher and waves longer with each line nearer; the period is kept."""
    heights = band_heights(80)
    assert heights == sorted(heights)
    assert heights[0] == 1
    field = ripples(80, 512, 5)
    assert np.array_equal(field[:, :PERIOD], field[:, PERIOD : 2 * PERIOD])
    turns = ((field > 0) != np.roll(field > 0, 1, axis=1)).sum(axis=1)
    assert turns[:15].mean() > 1.5 * turns[-15:].mean()
