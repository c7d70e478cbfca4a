"""Ordered dither: Bayer's matrix, the cell grid, tones as asked."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.paint.craft.dither import (
    dither,
    dither_levels,
    gradient,
    threshold_matrix,
    threshold_plane,
)


def bayer(x: int, y: int, size: int) -> int:
    """Entry of Bayer's matrix by its recursive definition (B. E. Bayer, ICC 1973).

    D(2n) = [[4 D(n), 4 D(n) + 2], [4 D(n) + 3, 4 D(n) + 1]]
    """
    if size == 1:
        return 0
    half = size // 2
    corner = {(0, 0): 0, (1, 0): 2, (0, 1): 3, (1, 1): 1}[(x // half, y // half)]
    return 4 * bayer(x % half, y % half, half) + corner


@pytest.mark.parametrize("size", [1, 2, 4, 8])
def test_the_matrix_is_bayers(size):
    """Every entry follows the recursive definition, and every number stands once."""
    matrix = threshold_matrix(size)
    assert matrix.tolist() == [[bayer(x, y, size) for x in range(size)] for y in range(size)]
    assert sorted(matrix.ravel()) == list(range(size * size))


def test_the_four_by_four_matrix_as_printed():
    """The 4x4 matrix, as it is usually printed (from memory)."""
    assert threshold_matrix(4).tolist() == [
        [0, 8, 2, 10], [12, 4, 14, 6], [3, 11, 1, 9], [15, 7, 13, 5],
    ]  # fmt: skip


def test_other_sizes_are_refused():
    """A size that does not fit a cell is named."""
    with pytest.raises(ValueError, match="3, allowed are 1, 2, 4 and 8"):
        threshold_matrix(3)


@pytest.mark.parametrize("size", [2, 4, 8])
def test_a_flat_tone_covers_the_share_it_asks_for(size):
    """Between two inks the darker one's share of a cell is the tone, within half a threshold."""
    for level in np.linspace(0, 1, 23):
        ink = dither_levels(np.full((8, 8), 1 + level), 3, size=size)
        assert set(np.unique(ink)) <= {1, 2}
        assert (ink == 2).mean() == pytest.approx(level, abs=0.51 / size**2)


def test_values_outside_are_held_to_the_ends():
    """Below 0 the first ink, above 1 the last."""
    assert (dither(np.full((8, 8), -3.0), 5) == 0).all()
    assert (dither(np.full((8, 8), 9.0), 5) == 4).all()


@pytest.mark.parametrize("top", [0, 3, 13])
@pytest.mark.parametrize("size", [2, 4, 8])
def test_a_gradient_costs_one_tile_a_cell_row(top, size):
    """All cells of a cell row are alike, wherever the layer begins."""
    ink = gradient(96, 256, 6, top, size)
    first = -top % 8
    cells = ink[first : first + 80].reshape(10, 8, 32, 8)
    assert (cells == cells[:, :, :1]).all()


def test_a_gradient_runs_through_all_inks_evenly():
    """Every ink covers about the same area, and darker rows come first."""
    ink = gradient(160, 64, 5, size=4)
    area = np.bincount(ink.ravel(), minlength=5) / ink.size
    assert area == pytest.approx([0.2] * 5, abs=0.03)
    assert (np.diff(ink.mean(axis=1)) > -0.3).all()
    assert (ink[0] == 0).all()
    assert (ink[-1] == 4).all()


def test_bend_moves_the_bands():
    """Above 0 the bands crowd toward the last line, below 0 toward the first."""
    upper = [(gradient(160, 8, 5, bend=bend)[:80] >= 2).mean() for bend in (-0.8, 0.0, 0.8)]
    assert upper[0] > upper[1] > upper[2]


def test_plain_bands_leave_less_dither():
    """`flat` gathers the dither at the borders: more whole lines of one ink."""

    def whole_lines(flat: float) -> int:
        ink = gradient(160, 16, 5, flat=flat)
        return int((ink == ink[:, :1]).all(axis=1).sum())

    assert whole_lines(0.0) < whole_lines(0.4) < whole_lines(0.9)


def test_the_plane_is_locked_to_screen_lines():
    """Row 0 of a layer that begins at line 5 has the thresholds of line 5."""
    assert np.array_equal(threshold_plane(16, 16, 5), threshold_plane(21, 16)[5:])
