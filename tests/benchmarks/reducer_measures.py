"""Measures of the reducer's benchmark, worked out with scipy and scikit-image, not with genbg."""

from __future__ import annotations

import numpy as np
from scipy.ndimage import gaussian_filter
from skimage.metrics import structural_similarity

MEASURES = ("mse", "seam", "bmse", "ssim", "s/i")


def measure(painted: np.ndarray, stored: np.ndarray) -> dict[str, float]:
    """How far stored planes are from painted ones, both (planes, H, W, 3) OKLab.

    mse: squared distance a pixel; seam: |change of the lightness step| over pixel pairs that
    straddle a cell border; bmse: mse after a Gaussian of one pixel; ssim: of the lightness, in a
    Gaussian window of 1.5 pixels; s/i: seam over the same measure taken in the middle of cells
    """
    off = stored - painted
    seam, middle = _steps(off[..., 0])
    soft = gaussian_filter(off, (0, 1, 1, 0), mode=("constant", "reflect", "wrap", "constant"))
    alike = [
        structural_similarity(
            a[..., 0],
            b[..., 0],
            data_range=1,
            gaussian_weights=True,
            sigma=1.5,
            use_sample_covariance=False,
        )
        for a, b in zip(painted, stored, strict=True)
    ]
    return {
        "mse": float((off**2).sum(axis=-1).mean()),
        "seam": seam,
        "bmse": float((soft**2).sum(axis=-1).mean()),
        "ssim": float(np.mean(alike)),
        "s/i": seam / max(middle, 1e-12),
    }


def _steps(light: np.ndarray) -> tuple[float, float]:
    """Mean |change of a lightness step| across cell borders, and half-way between them."""
    across = np.abs(np.roll(light, -1, axis=2) - light)
    down = np.abs(np.diff(light, axis=1))
    parts = [(across[:, :, start::8], down[:, start::8]) for start in (7, 3)]
    border, inside = (float((a.sum() + b.sum()) / (a.size + b.size)) for a, b in parts)
    return border, inside


def cell_errors(painted: np.ndarray, stored: np.ndarray) -> tuple[float, float]:
    """Mean squared OKLab distance of the worst cell, and its 99.9th percentile."""
    planes, height, width, _ = painted.shape
    square = ((stored - painted) ** 2).sum(axis=-1)
    cells = square.reshape(planes, height // 8, 8, width // 8, 8).mean(axis=(2, 4))
    return float(cells.max()), float(np.quantile(cells, 0.999))
