"""The error figures, against scikit-image, scipy and loops that follow the definitions."""

import math

import numpy as np
import pytest
from skimage.metrics import peak_signal_noise_ratio, structural_similarity

from genbg import measure
from genbg.colour import LINEAR_LEVELS, oklab_table, screen_table

LADDER = (0, 52, 87, 116, 144, 172, 206, 255)
"""Measured screen levels; common practice, no source."""


def pair(seed, share=0.2, size=(64, 96)):
    """Two pictures of both planes in which a share of the pixels differs."""
    rng = np.random.default_rng(seed)
    painted = rng.integers(0, 512, (2, *size)).astype(np.uint16)
    other = rng.integers(0, 512, painted.shape).astype(np.uint16)
    return painted, np.where(rng.random(painted.shape) < share, other, painted)


@pytest.mark.parametrize("levels", [LINEAR_LEVELS, LADDER])
@pytest.mark.parametrize("share", [0.0, 0.01, 0.5, 1.0])
def test_ssim_equals_scikit_image(levels, share):
    """SSIM of lightness agrees to 1e-9 with scikit-image under the settings of the paper.

    Wang, Bovik, Sheikh, Simoncelli, IEEE TIP 13(4), 2004.
    """
    painted, stored = pair(1, share)
    light = oklab_table(levels)[:, 0]
    expected = np.mean(
        [
            structural_similarity(
                light[a],
                light[b],
                gaussian_weights=True,
                sigma=1.5,
                use_sample_covariance=False,
                data_range=1,
            )
            for a, b in zip(painted, stored, strict=True)
        ]
    )
    assert measure.ssim(painted, stored, levels) == pytest.approx(expected, abs=1e-9)


def test_the_ssim_window_is_the_papers():
    """The literal weights are the normalised Gaussian of sigma 1.5 over 11 taps."""
    taps = [math.exp(-(k * k) / (2 * 1.5 * 1.5)) for k in range(6)]
    total = taps[0] + 2 * sum(taps[1:])
    assert list(measure.GAUSS_11) == pytest.approx([tap / total for tap in taps], rel=1e-14)


@pytest.mark.parametrize("levels", [LINEAR_LEVELS, LADDER])
def test_psnr_equals_scikit_image(levels):
    """PSNR agrees with scikit-image over the sRGB bytes of both planes, peak 255."""
    painted, stored = pair(2)
    table = screen_table(levels)
    expected = peak_signal_noise_ratio(table[painted], table[stored], data_range=255)
    assert measure.psnr(painted, stored, levels) == pytest.approx(expected, rel=1e-12)


def test_mse_equals_float_arithmetic():
    """The integer mean squared OKLab distance agrees with plain float64 to 1e-6 of its value."""
    painted, stored = pair(3)
    lab = oklab_table()
    expected = ((lab[painted] - lab[stored]) ** 2).sum(axis=-1).mean()
    assert measure.oklab_mse(painted, stored, LINEAR_LEVELS) == pytest.approx(expected, rel=1e-6)


def seam_slowly(painted, stored):
    """The contract's words as loops over pairs across cell borders."""
    light = oklab_table()[:, 0].tolist()
    planes, height, width = painted.shape
    total, pairs = 0.0, 0
    for p in range(planes):
        a, b = painted[p].tolist(), stored[p].tolist()
        for y in range(height):
            for x in range(0, width, 8):
                step = light[b[y][x]] - light[b[y][x - 1]] - light[a[y][x]] + light[a[y][x - 1]]
                total, pairs = total + abs(step), pairs + 1
        for y in range(8, height, 8):
            for x in range(width):
                step = light[b[y][x]] - light[b[y - 1][x]] - light[a[y][x]] + light[a[y - 1][x]]
                total, pairs = total + abs(step), pairs + 1
    return total / pairs


def test_seam_equals_a_loop_over_pairs():
    """Seam is the mean over each pair of neighbours once."""
    painted, stored = pair(4)
    assert measure.seam(painted, stored, LINEAR_LEVELS) == pytest.approx(
        seam_slowly(painted, stored), rel=1e-5
    )


def test_seam_wraps_sideways_only():
    """The left and right edges are neighbours, the top and bottom edges are not."""
    painted = np.zeros((2, 16, 16), np.uint16)
    right, bottom = painted.copy(), painted.copy()
    right[0, 3, 15] = 511
    bottom[0, 15, 3] = 511
    white = oklab_table()[511, 0]
    pairs = 2 * (2 * 16 + 16)
    assert measure.seam(painted, right, LINEAR_LEVELS) == pytest.approx(white / pairs, rel=1e-5)
    assert measure.seam(painted, bottom, LINEAR_LEVELS) == 0


def test_a_uniform_shift_makes_no_seam():
    """Seam compares steps, so planes that are lighter all over by the same amount have none."""
    painted = np.zeros((2, 16, 16), np.uint16)
    assert measure.seam(painted, painted + 511, LINEAR_LEVELS) == 0


def test_equal_planes_have_no_error():
    """Equal planes: no squared error, no seam, SSIM 1, and a PSNR without limit."""
    painted, _ = pair(7)
    figures = measure.error_figures(painted, painted)
    assert (figures.oklab_mse, figures.psnr, figures.ssim, figures.seam) == (0, math.inf, 1, 0)


def test_figures_have_six_digits():
    """Every figure of the manifest is rounded to six significant digits."""
    figures = measure.error_figures(*pair(8))
    for value in (figures.oklab_mse, figures.psnr, figures.ssim, figures.seam):
        assert value == float(f"{value:.6g}")
    assert measure.round_digits(0.0123456789) == 0.0123457
    assert measure.round_digits(123456.7) == 123457


def test_count_tiles_counts_flips_once():
    """Cells that equal each other after a flip are one tile; a turned one is another."""
    cell = np.zeros((8, 8), np.uint8)
    cell[0, 0:3] = 5
    views = [cell, cell[::-1], cell[:, ::-1], cell[::-1, ::-1], cell.T]
    assert measure.count_tiles(np.stack(views[:4])) == 1
    assert measure.count_tiles(np.stack(views)) == 2


@pytest.mark.parametrize("lines", [(), (0,), (63,), (20, 33), (5, 30, 31, 58), tuple(range(64))])
def test_lines_without_a_difference_are_wholly_alike(lines):
    """The short way, near differences only, gives the mean over every window, bit for bit."""
    random = np.random.Generator(np.random.PCG64(5))
    painted = random.integers(0, 512, (2, 64, 72))
    stored = painted.copy()
    for line in lines:
        stored[line % 2, line, 10:30] = random.integers(0, 512, 20)
    light = oklab_table(LINEAR_LEVELS)[:, 0]
    total = sum(
        int(np.rint(measure.ssim_map(light[a], light[b]) * (1 << 40)).astype(np.int64).sum())
        for a, b in zip(painted, stored, strict=True)
    )
    assert measure.ssim(painted, stored, LINEAR_LEVELS) == total / ((1 << 40) * 2 * 54 * 62)
