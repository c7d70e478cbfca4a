"""Masses of leaves: where the light falls, what breaks the outline, depth against a library."""

import numpy as np
import pytest
from scipy import ndimage

from genbg.paint.craft.leaves import (
    BARE,
    LENSES,
    TURNS,
    LeafSheet,
    clusters,
    cut_blades,
    cut_lenses,
    depth_inside,
    hang_twigs,
    light_rims,
    mass_leaves,
)

MASS = np.array([[128.0, 50.0, 30.0, 20.0, 1.0]])


def laid(light: tuple[float, float], masses: np.ndarray = MASS) -> LeafSheet:
    sheet = LeafSheet(100, 256)
    sheet.lay(mass_leaves(masses, 7, light))
    return sheet


@pytest.mark.parametrize("light", [(-0.8, 0.6), (0.8, 0.6), (0.0, 1.0)])
def test_light_levels_lie_toward_the_light(light: tuple[float, float]) -> None:
    """The middle of each level's pixels moves toward the light with the level (common practice of
    pixel artists, no source)."""
    sheet = laid(light)
    middles = []
    for level in (1, 3, 5):
        lines, columns = np.nonzero(sheet.level == level)
        middles.append((columns.mean() - 128) * light[0] - (lines.mean() - 50) * light[1])
    assert middles[0] < middles[1] < middles[2]


def test_masses_stay_in_their_ellipse() -> None:
    """No leaf lies farther out than its mass's lobes reach, 1.41 radii, and a leaf's length."""
    lines, columns = np.nonzero(laid((-0.8, 0.6)).covered)
    off = ((columns - 128) / (30 * 1.41 + 6)) ** 2 + ((lines - 50) / (20 * 1.41 + 6)) ** 2
    assert off.max() <= 1.0


def test_dim_masses_get_no_light_leaves() -> None:
    """A mass that no light reaches has none of the levels that ask for it."""
    dim = laid((-0.8, 0.6), MASS * np.array([1, 1, 1, 1, 0.0]))
    assert dim.level.max() < 3


def test_masses_wrap() -> None:
    """A mass at the seam is the one in the middle, rolled."""
    edge = laid((-0.8, 0.6), MASS - np.array([128.0, 0, 0, 0, 0]))
    assert np.array_equal(np.roll(laid((-0.8, 0.6)).level, -128, axis=1), edge.level)


def test_kids_ride_on_the_edge() -> None:
    """A mass comes with 2 to 5 smaller ones whose middles lie near its outline."""
    all_of_them = clusters(MASS, 3)
    kids = all_of_them[all_of_them[:, 2] < 30.0]
    assert 2 <= len(kids) <= 5
    out = np.hypot((kids[:, 0] - 128) / 30, (kids[:, 1] - 50) / 20)
    assert (np.abs(out - 0.87) < 0.1).all()


def test_depth_inside_is_the_chessboard_distance() -> None:
    """Against scipy's chamfer distance, up to the most that is asked for."""
    mask = laid((-0.8, 0.6)).covered
    wanted = np.minimum(ndimage.distance_transform_cdt(mask, metric="chessboard"), 5)
    assert np.array_equal(depth_inside(mask, 5), wanted)


def test_twigs_hang_below_and_rims_glow_at_the_edge() -> None:
    """Twigs only add leaves, lower than the mass; rims make only leaves near the edge lighter."""
    sheet = laid((-0.8, 0.6))
    before = sheet.level.copy()
    hang_twigs(sheet, 5, 12)
    added = (before == BARE) & sheet.covered
    assert added.sum() > 40
    assert np.nonzero(added)[0].mean() > 50
    level = sheet.level.copy()
    light_rims(sheet, np.ones((100, 256)), 3)
    lighter = (sheet.level > level) & (level > BARE)
    assert lighter.any()
    reach = int(2 * LENSES[2][0]) + 1
    assert depth_inside(level > BARE, 12)[lighter].max() <= 4 + reach


def test_lenses_are_as_long_as_told_and_turn() -> None:
    """A lens's pixels reach its half length, along its angle."""
    stamps = cut_lenses()
    for size, (long, _) in enumerate(LENSES):
        for turn in (0, TURNS // 2):
            kind = size * TURNS + turn
            part = slice(stamps.first[kind], stamps.first[kind] + stamps.size[kind])
            along = stamps.dx[part] if turn == 0 else stamps.dy[part]
            assert np.abs(along).max() == int(long)


def test_blades_rise_from_their_foot_and_lighten() -> None:
    """A blade begins at its foot, is as high as told, leans as told and is lighter at its tip."""
    stamps = cut_blades((8,), (-2, 0, 2))
    for kind, lean in enumerate((-2, 0, 2)):
        part = slice(stamps.first[kind], stamps.first[kind] + stamps.size[kind])
        assert stamps.dy[part].tolist() == list(range(0, -8, -1))
        assert np.sign(stamps.dx[part][-1]) == np.sign(lean)
        assert (np.diff(stamps.gain[part]) > 0).all()
