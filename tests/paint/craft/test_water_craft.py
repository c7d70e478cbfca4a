"""Water craft against geometry worked by hand."""

import numpy as np

from genbg.paint.craft.water import (
    CALM,
    Lenses,
    broken_off,
    light_path,
    ripple_rows,
    rippled,
    row_places,
    shore_line,
    stamped,
    wavelets,
)


def test_rows_grow_toward_us():
    steps = np.diff(row_places(120, 0.9, 0.02))
    assert (np.diff(steps) > 0).all()
    assert steps[0] < 1.0


def test_a_lens_covers_its_ellipse():
    """(x/a)^2 + (y/b)^2 <= 1, by the equation of the ellipse."""
    one = [np.array([value]) for value in (40.0, 20.0, 15.0, 6.0, 3.0)]
    field = stamped(Lenses(*one), 40, 80)
    y, x = np.mgrid[0:40, 0:80] + 0.5
    inside = ((x - 40) / 15) ** 2 + ((y - 20) / 6) ** 2
    assert (field[inside < 0.8] == 3.0).all()
    assert (field[inside > 1.3] == -1.0).all()


def test_lenses_wrap_and_the_hotter_one_wins():
    row = [np.array(values) for values in ((0.0, 2.0), (5.0, 5.0), (4.0, 4.0), (1.0, 1.0), (1, 4))]
    field = stamped(Lenses(*row), 10, 64)
    assert field[5, 62] == 1.0
    assert field[5, 2] == 4.0


def test_the_path_stays_under_its_body():
    heat = light_path(130, 512, 128.0, 7)
    for first in (5, 40, 90):
        lines = heat[first : first + 20]
        columns = np.nonzero(lines >= 2.0)[1]
        assert abs(columns.mean() - 128) < 8
        assert columns.min() > 128 - 60
        assert columns.max() < 128 + 60


def test_the_path_moves_with_its_body_round_the_plane():
    assert np.array_equal(
        np.roll(light_path(130, 512, 128.0, 7), 384, axis=1), light_path(130, 512, 512.0, 7)
    )


def _runs(lit):
    """Mean length of unbroken runs along the lines."""
    starts = lit & ~np.roll(lit, 1, axis=1)
    return lit.sum() / starts.sum()


def test_glints_spread_and_grow_toward_us():
    """A flat lens looks larger near than far (perspective)."""
    heat = light_path(130, 512, 256.0, 3) >= 0
    near, far = heat[100:125], heat[3:28]
    assert np.ptp(np.nonzero(near)[1]) > np.ptp(np.nonzero(far)[1])
    edge = slice(256 + 12, 512)
    assert _runs(near[:, edge]) > _runs(far[:, edge])


def test_ripple_rows_are_one_then_two_then_three_lines_high():
    below = np.arange(60)
    rows = ripple_rows(60, below, CALM)
    heights = np.unique(np.unique(rows, return_counts=True)[1][:-1])
    assert heights.tolist() == [1, 2, 3]
    assert (rows <= below).all()


def test_ripples_shove_more_toward_us():
    line, column = rippled(100, 512, 20, 5)
    shove = np.abs((column - np.arange(512) + 256) % 512 - 256)
    assert shove[20:26].max() <= 2
    assert shove[70:90].mean() > 2 * shove[20:30].mean()
    assert line.min() >= 0


def test_a_mirror_breaks_off_and_ends():
    below = np.arange(60)[:, None]
    shown = broken_off(60, 512, np.broadcast_to(below, (60, 512)), 40.0, 3)
    share = shown.mean(axis=1)
    assert share[:8].min() > 0.95
    assert 0.1 < share[20:30].mean() < 0.9
    assert share[50:].max() < 0.05


def test_wavelets_repeat_after_their_period():
    field = wavelets(80, 512, 4, 1.0, 128)
    assert np.array_equal(field[:, :128], field[:, 128:256])
    assert set(np.unique(field)) == {-1.0, 0.0, 1.0}


def test_the_shore_line_lies_right_below_what_stands_in_the_water():
    has = np.zeros((20, 512), dtype=bool)
    has[5:12, 10:500] = True
    dark, thread = shore_line(has, 1)
    both = dark | thread
    assert both[12, 10:500].all()
    assert both.sum() == 490
    assert thread.any()
    assert dark.any()
