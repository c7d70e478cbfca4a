"""How plainly an eye sees an error: contrast of surroundings, thresholds, care."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.reduce.calm import (
    CALM,
    FULL_CARE,
    JUST_SEEN,
    MOST_CARE,
    care_of_cells,
    contrasts,
    thresholds,
    visibility,
)
from genbg.reduce.exact import cut_cells
from genbg.reduce.metric import SCALE, Weights, make_form

FORM = make_form(Weights(blur=14, seam=15))


def planes(seed: int, shape: tuple[int, int, int] = (2, 4, 5)) -> np.ndarray:
    """Coarse steps (ch, planes, H, W) of random planes, calmer to the left."""
    count, rows, columns = shape
    random = np.random.default_rng(seed)
    plane = random.integers(-90, 90, (4, count, rows * 8, columns * 8))
    return plane * np.arange(columns * 8) // (columns * 8)


def cells_of(plane: np.ndarray) -> np.ndarray:
    """The same as cells (n, ch, 64)."""
    return np.stack([cut_cells(channel).reshape(-1, 64) for channel in plane], axis=1)


@pytest.mark.parametrize("seed", range(3))
def test_contrast_is_the_spread_over_nine_cells(seed: int) -> None:
    """Contrast is the standard deviation that numpy finds in each cell and those around it."""
    plane = planes(seed)
    found = contrasts(cells_of(plane), (2, 4, 5)).reshape(2, 4, 5)
    for number in range(2):
        for row in range(4):
            for column in range(5):
                lines = np.clip(np.arange(row - 1, row + 2), 0, 3)
                lines = (lines[:, None] * 8 + np.arange(8)).reshape(-1)
                columns = np.arange(column * 8 - 8, column * 8 + 16) % 40
                around = plane[:3, number][:, lines][:, :, columns].reshape(3, -1)
                spread = np.sqrt(around.var(axis=1).sum()) / SCALE
                assert found[number, row, column] == pytest.approx(spread, rel=1e-12)


@pytest.mark.parametrize("contrast", [0.03, 0.08, 0.2])
def test_thresholds_rise_with_masking_contrast(contrast: float) -> None:
    """Twice the contrast raises the threshold 2**0.62 times (Legge and Foley, J. Opt. Soc. Am.
    70(12), 1980: a power law with an exponent near 0.6)."""
    low, high = thresholds(np.array([contrast, 2 * contrast]))
    assert high / low == pytest.approx(2**0.62, rel=0.01)


def test_calm_surroundings_mask_nothing() -> None:
    """Up to the contrast of a dither the threshold is that of a flat surrounding."""
    found = thresholds(np.array([0.0, CALM / 2, CALM]))
    assert found == pytest.approx(np.full(3, JUST_SEEN * SCALE), rel=0.01)


def test_care_falls_from_calm_to_busy() -> None:
    """The calmest cells count most, a busy one once, and none less than a busier one."""
    care = care_of_cells(np.linspace(0, 0.5, 400))
    assert care[0] == MOST_CARE
    assert (np.diff(care) <= 0).all()
    assert (care[np.linspace(0, 0.5, 400) > FULL_CARE] == 1).all()


def test_care_is_the_square_of_sensitivity() -> None:
    """Where a cell begins to count two and a half times, the threshold squared is that much lower
    than where all cells count once: a squared error counts by how soon it is seen."""
    contrast = np.linspace(0.02, 0.06, 4001)
    third = contrast[np.flatnonzero(care_of_cells(contrast) == 3)[-1]]
    full, low = thresholds(np.array([FULL_CARE, third]))
    assert (full / low) ** 2 == pytest.approx(2.5, rel=0.03)


def test_a_flat_error_is_seen_sooner_than_a_dither() -> None:
    """A tone that is off all over a cell is seen by its size; a dither as far off both ways about
    half as plainly, as the blur takes it away and a quarter of its square is left."""
    tone = np.zeros((1, 3, 64), dtype=np.int32)
    tone[0, 0] = 8
    checks = tone.copy()
    checks[0, 0] *= (-1) ** np.add.outer(np.arange(8), np.arange(8)).reshape(-1)
    just = np.array([8.0])
    plain, fine = visibility(tone, just, FORM)[0], visibility(checks, just, FORM)[0]
    assert 0.85 < plain <= 1.0
    assert 0.5 <= fine < 0.52
    assert visibility(2 * tone, just, FORM)[0] == pytest.approx(2 * plain)
