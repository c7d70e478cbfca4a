"""Surf: lace of foam round a foot, and spray that bursts where a wave meets stone.

Both give thickness, 0 .. 1, over the layer's pixels; columns wrap.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.exact import fall, smooth
from genbg.paint.craft.fields import fractal, warped
from genbg.paint.craft.scatter import hash_words, unit

FLAT = 2.4
"""How much nearer a line is than a column: water is seen at a flat angle."""


def _off(width: int, x: float) -> np.ndarray:
    """Pixels (1, W) from a column, the shorter way round."""
    return (np.arange(width)[None, :] + 0.5 - x + width / 2) % width - width / 2


def collar(
    size: tuple[int, int], foot: tuple[float, float, float], reach: float, seed: int
) -> np.ndarray:
    """Thickness (N, W) of the foam round a foot, found and lost along it.

    foot: first and last column, and row; reach: pixels to the sides by which it thins out
    """
    lines, width = size
    first, last, row = foot
    side = np.maximum(np.abs(_off(width, (first + last) / 2)) - (last - first) / 2, 0.0)
    below = FLAT * (np.arange(lines)[:, None] + 0.5 - row)
    near = np.where(below >= -1.5 * FLAT, 1.0, 0.0)
    away = np.sqrt(side * side + below * below)
    lace = fractal(width, lines, hash_words(seed, "lace"), width // 9, 1 / 3.2, octaves=2)
    found = fractal(width, lines, hash_words(seed, "found"), width // 24, 1 / 9.0, octaves=2)
    net = 0.38 - 2.6 * np.abs(lace.astype(np.float64))
    share = np.clip(0.8 + 1.6 * found.astype(np.float64), 0.0, 1.25)
    thick = fall(away / reach) + 0.7 * net * fall(away / (2.8 * reach))
    return near * share * np.clip(thick, 0.0, 1.2)


@dataclass(frozen=True)
class Burst:
    """Spray thrown up at column x from row y: its height and width in pixels; lean: -1..1."""

    x: float
    y: float
    high: float
    wide: float
    lean: float = 0.0
    seed: int = 0


def burst(size: tuple[int, int], spray: Burst) -> tuple[np.ndarray, np.ndarray]:
    """Thickness and brightness (N, W) float64 of a burst: fingers, streaks along the flight, holes.

    Brightness, 0 .. 1, is what the drops show of the sky; 0 thickness is air.
    """
    lines, width = size
    up = spray.y + 5.0 - (np.arange(lines)[:, None] + 0.5)
    high = np.clip(up, 0.0, None)
    across = _off(width, spray.x) - spray.lean * 0.012 * high * high
    across = across * (2.0 * spray.high / spray.wide)
    near = (np.abs(across) < 1.8 * spray.high) & (up > 0) & (up < 1.7 * spray.high)
    rows, columns = np.nonzero(near)
    dx, dy = across[rows, columns], up[rows, 0]
    away = np.sqrt(dx * dx + dy * dy)
    angle = 1.0 + dx / (np.abs(dx) + dy)
    flight = away / spray.high
    fingers = _ridges(angle * 3.2, flight, spray.seed)
    fingers = 0.6 * fingers + 0.4 * _ridges(angle * 8.0, 1.5 * flight, spray.seed + 1)
    streak = 1.3 * warped_noise(angle * 11.0, away / 22.0, spray.seed + 2)
    streak = streak + 0.7 * warped_noise(angle * 24.0, away / 12.0, spray.seed + 3)
    clump = 1.6 * warped_noise(dx / 8.0 + 64.0, dy / 6.0, spray.seed + 4)
    tall = smooth(np.abs(angle - 1.0), 1.1, 0.1)
    reach = spray.high * (0.62 + 0.42 * fingers) * (0.3 + 0.7 * tall) + 4.0
    far = away / np.maximum(reach, 3.0)
    thick = 1.1 - far * far + 0.55 * clump * np.clip(1.6 * far - 0.25, 0, 1)
    thick = thick + 0.4 * streak * np.clip(1.5 * far, 0, 1)
    bright = 0.78 + 0.28 * streak - 0.42 * smooth(far, 0.1, 1.0) + 0.2 * clump
    bright = bright - 0.3 * smooth(dy, 7.0, 0.0)
    shown, light = np.zeros(size), np.zeros(size)
    shown[rows, columns], light[rows, columns] = np.clip(thick, 0, 1.2), np.clip(bright, 0, 1)
    return shown, light


def _ridges(x: np.ndarray, y: np.ndarray, seed: int) -> np.ndarray:
    return 1.0 - 2.7 * np.abs(warped_noise(x, y, seed))


def warped_noise(x: np.ndarray, y: np.ndarray, seed: int) -> np.ndarray:
    """Plain noise (...) float64 at lattice places that are not to wrap."""
    return warped(x.astype(np.float32), y.astype(np.float32), seed, 1 << 12, 1).astype(np.float64)


def drops(size: tuple[int, int], spray: Burst, share: float = 0.9) -> np.ndarray:
    """Single drops (N, W) bool flung out of a burst."""
    lines, width = size
    count = int(share * spray.high)
    n = np.arange(count)
    way, out, two = (unit(hash_words(spray.seed, "drops"), n, k) for k in range(3))
    side = 2.0 * way - 1.0
    far = (0.75 + 0.6 * out) * spray.high * (1.0 - 0.45 * side * side)
    lean = spray.lean * 0.012 * far * far
    x = np.floor(spray.x + side * far * spray.wide / (2.0 * spray.high) + lean).astype(np.int64)
    y = np.floor(spray.y - far * (1.0 - 0.6 * side * side)).astype(np.int64)
    found = np.zeros(size, dtype=bool)
    keep = (y >= 0) & (y < lines)
    found[y[keep], x[keep] % width] = True
    wide = keep & (two < 0.35)
    found[y[wide], (x[wide] + 1) % width] = True
    return found
