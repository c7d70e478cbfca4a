"""How far stored planes are from painted ones: the figures of the manifest's `error`.

Squared OKLab error and seams are counted in integers (OKLab times `FINE`), pair by pair of
colour numbers, so they are exact in any order of summing; SSIM is computed elementwise and summed
as integers. All figures are rounded to six significant digits.
"""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence

import numpy as np

from genbg.colour import LINEAR_LEVELS, oklab_table, screen_table
from genbg.hardware.sizes import CELL
from genbg.model import AskedFigures, ErrorFigures

FINE = 1 << 20
"""Integer steps to one OKLab unit: fine enough for seven right digits, and 2**22 pixels of the
largest squared distance still fit 63 bits."""

JUST_NOTICEABLE = 0.02
"""OKLab distance that an eye just tells apart: the JND of W3C CSS Color Module Level 4, 13.2."""

DIGITS = 6
"""Significant digits of a figure."""

GAUSS_11 = (
    0.2660117248617943,
    0.21300553771125366,
    0.1093606895097,
    0.03600077212843082,
    0.007598758135239184,
    0.0010283800844791,
)
"""Centre and one half of the normalised 11-tap Gaussian window of sigma 1.5; Wang, Bovik, Sheikh,
Simoncelli, IEEE TIP 13(4), 2004. Literals, because `exp` differs between processors."""

GAUSS_9 = (9, 290, 3538, 15858, 26146, 15858, 3538, 290, 9)
"""The normalised Gaussian of one pixel over nine taps, times 2**16, rounded."""

FULL = 1 << 40
"""What a similarity of 1 counts as a whole number, so that sums are the same in any order."""

SSIM_C1, SSIM_C2 = 0.01 * 0.01, 0.03 * 0.03
"""The stabilising constants of the same paper for values between 0 and 1."""


def error_figures(
    painted: np.ndarray, stored: np.ndarray, levels: Sequence[int] = LINEAR_LEVELS
) -> ErrorFigures:
    """All four figures of `stored` against `painted`, each (2, H, W) colour numbers."""
    levels = tuple(levels)
    if np.array_equal(painted, stored):
        return ErrorFigures(oklab_mse=0.0, psnr=math.inf, ssim=1.0, seam=0.0)
    return ErrorFigures(
        oklab_mse=round_digits(oklab_mse(painted, stored, levels)),
        psnr=round_digits(psnr(painted, stored, levels)),
        ssim=round_digits(ssim(painted, stored, levels)),
        seam=round_digits(seam(painted, stored, levels)),
    )


def present(numbers: np.ndarray) -> np.ndarray:
    """Which small whole numbers from 0 occur, in order (n,) intp.

    `numpy.unique` finds the same, but loads masked arrays first, which costs a start 8 ms.
    """
    return np.flatnonzero(np.bincount(numbers.ravel()))


def runs_of(there: np.ndarray) -> list[tuple[int, int]]:
    """Runs of True (n,): the first place of each and the one after its last."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], there.astype(np.int8), [0]]))).tolist()
    return list(zip(edges[::2], edges[1::2], strict=True))


def round_digits(value: float, digits: int = DIGITS) -> float:
    """`value` to so many significant digits; infinities stay."""
    return float(f"{value:.{digits}g}")


@functools.cache
def fine_table(levels: tuple[int, ...]) -> np.ndarray:
    """OKLab of the 512 colours times FINE, (512, 3) int64."""
    return np.rint(oklab_table(levels) * FINE).astype(np.int64)


def asked_figures(
    asked: Sequence[np.ndarray], shown: Sequence[np.ndarray], levels: Sequence[int] = LINEAR_LEVELS
) -> AskedFigures:
    """What is shown against what was asked for, over pictures (h, w) of colour numbers in cells."""
    levels = tuple(levels)
    ask = np.concatenate([picture.ravel() for picture in asked])
    show = np.concatenate([picture.ravel() for picture in shown])
    a, b, count = pair_counts(ask, show)
    gap = fine_table(levels)[a] - fine_table(levels)[b]
    square = (gap * gap).sum(axis=1)
    plain = square > (FINE * JUST_NOTICEABLE) ** 2
    worst = max(_worst_cell(*pair, levels) for pair in zip(asked, shown, strict=True))
    colours = present(ask)
    return AskedFigures(
        pixels=round_digits(int(count[plain].sum()) / ask.size),
        oklab_mse=round_digits(int((square * count).sum()) / (FINE * FINE * ask.size)),
        worst_cell=round_digits(worst),
        asked=len(colours),
        held=int(np.isin(colours, present(show)).sum()),
    )


def _worst_cell(asked: np.ndarray, shown: np.ndarray, levels: tuple[int, ...]) -> float:
    """The largest mean OKLab distance of a cell of pictures (h, w)."""
    wrong = np.zeros(asked.shape, dtype=np.int64)
    differ = asked != shown
    gap = fine_table(levels)[asked[differ]] - fine_table(levels)[shown[differ]]
    wrong[differ] = np.rint(np.sqrt((gap * gap).sum(axis=1)))
    height, width = asked.shape
    cells = wrong.reshape(height // CELL, CELL, width // CELL, CELL).sum(axis=(1, 3))
    return int(cells.max()) / (FINE * CELL * CELL)


def pair_counts(
    painted: np.ndarray, stored: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Distinct pairs of unequal colour numbers and how often each occurs: (n,), (n,), (n,)."""
    differ = painted != stored
    pairs = painted[differ].astype(np.int64) << 9 | stored[differ]
    count = np.bincount(pairs, minlength=1 << 18)
    found = np.flatnonzero(count)
    return found >> 9, found & 511, count[found]


def oklab_mse(painted: np.ndarray, stored: np.ndarray, levels: tuple[int, ...]) -> float:
    """Mean squared OKLab distance a pixel."""
    a, b, count = pair_counts(painted, stored)
    gap = fine_table(levels)[a] - fine_table(levels)[b]
    total = int(((gap * gap).sum(axis=1) * count).sum())
    return total / (FINE * FINE * painted.size)


def psnr(painted: np.ndarray, stored: np.ndarray, levels: tuple[int, ...]) -> float:
    """Peak signal to noise ratio in dB over sRGB bytes, peak 255; infinite where all is equal."""
    a, b, count = pair_counts(painted, stored)
    table = screen_table(levels).astype(np.int64)
    gap = table[a] - table[b]
    total = int(((gap * gap).sum(axis=1) * count).sum())
    return 10 * math.log10(255 * 255 * 3 * painted.size / total) if total else math.inf


def seam(painted: np.ndarray, stored: np.ndarray, levels: tuple[int, ...]) -> float:
    """Mean |lightness step stored - lightness step painted| over all pairs across cell borders.

    Columns W-1 and 0 are neighbours; the last line and the first are not.
    """
    light = fine_table(levels)[:, 0]
    wrong = light[stored] - light[painted]
    across = wrong[:, :, ::CELL] - np.roll(wrong, 1, axis=2)[:, :, ::CELL]
    down = wrong[:, CELL::CELL] - wrong[:, CELL - 1 : -1 : CELL]
    total = int(np.abs(across).sum()) + int(np.abs(down).sum())
    return total / (FINE * (across.size + down.size))


def ssim(painted: np.ndarray, stored: np.ndarray, levels: tuple[int, ...]) -> float:
    """Mean structural similarity of OKLab lightness, over both planes, windows wholly inside.

    A window that holds the same twice has exactly 1, so only lines near a difference are looked at.
    """
    light = oklab_table(levels)[:, 0]
    loss = 0
    for a, b in zip(painted, stored, strict=True):
        centres = np.convolve((a != b).any(axis=1), np.ones(11), mode="valid") > 0
        for first, last in runs_of(centres):
            last += 10
            found = ssim_map(light[a[first:last]], light[b[first:last]])
            loss += found.size * FULL - int(np.rint(found * FULL).astype(np.int64).sum())
    inside = (painted.shape[1] - 10) * (painted.shape[2] - 10) * len(painted)
    return (inside * FULL - loss) / (inside * FULL)


def ssim_map(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """SSIM of two (H, W) pictures of values 0..1 at every centre, (H-10, W-10)."""
    mean_a, mean_b = blur_11(a), blur_11(b)
    squares = blur_11(a * a + b * b)
    product = blur_11(a * b)
    both = mean_a * mean_b
    powers = mean_a * mean_a + mean_b * mean_b
    return ((2 * both + SSIM_C1) * (2 * (product - both) + SSIM_C2)) / (
        (powers + SSIM_C1) * (squares - powers + SSIM_C2)
    )


def blur_11(values: np.ndarray) -> np.ndarray:
    """Gaussian mean of (H, W) over 11 x 11 pixels, where it lies wholly inside: (H-10, W-10)."""
    for _ in range(2):
        reach = len(values) - 10
        out = values[5 : 5 + reach] * GAUSS_11[0]
        for k in range(1, 6):
            out += (values[5 - k : 5 - k + reach] + values[5 + k : 5 + k + reach]) * GAUSS_11[k]
        values = out.T
    return values


def count_tiles(cells: np.ndarray) -> int:
    """How many of the cells (n, 8, 8) of entries differ when flips count as equal."""
    flips = (cells, cells[:, :, ::-1], cells[:, ::-1], cells[:, ::-1, ::-1])
    views = (np.ascontiguousarray(flip, np.uint8) for flip in flips)
    return len({min(part.tobytes() for part in four) for four in zip(*views, strict=True)})
