"""Curves whose bits are the same on every machine: tables of rounded values, and + - * / between.

A processor may compute a sine or a power one bit off another's, so painters never call them on
arrays. Each table here is made once from Python's own numbers, rounded to 2^-24, far coarser than
such a bit, and read with straight lines between its entries.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from functools import lru_cache

import numpy as np

FINE = 1 << 24
"""Parts of 1 that a table's entries are rounded to."""
ENTRIES = 4096
FALL_END = 16.0
"""Where `fall` is taken as 0: e^-16 is a ten-millionth."""


def _table(curve: Callable[[float], float], first: float, last: float) -> np.ndarray:
    """The curve at `ENTRIES` + 1 even places from first to last, rounded; float64."""
    step = (last - first) / ENTRIES
    return np.array([round(curve(first + n * step) * FINE) / FINE for n in range(ENTRIES + 1)])


def _read(table: np.ndarray, place: np.ndarray) -> np.ndarray:
    """Table entries at places 0..ENTRIES, with straight lines between them."""
    place = np.clip(place, 0.0, float(ENTRIES))
    low = np.minimum(place.astype(np.intp), ENTRIES - 1)
    part = place - low
    return table[low] + (table[low + 1] - table[low]) * part


@lru_cache(maxsize=1)
def _sines() -> np.ndarray:
    return _table(lambda turn: math.sin(2 * math.pi * turn), 0.0, 1.0)


def sine(turns: np.ndarray | float) -> np.ndarray:
    """Sine (...) float64 of an angle in whole turns, within 2e-6."""
    turns = np.asarray(turns, dtype=np.float64)
    return _read(_sines(), (turns - np.floor(turns)) * ENTRIES)


def cosine(turns: np.ndarray | float) -> np.ndarray:
    """Cosine (...) float64 of an angle in whole turns, within 2e-6."""
    return sine(np.asarray(turns, dtype=np.float64) + 0.25)


@lru_cache(maxsize=1)
def _falls() -> np.ndarray:
    return _table(lambda x: math.exp(-x), 0.0, FALL_END)


def fall(x: np.ndarray | float) -> np.ndarray:
    """e^-x (...) float64 for x >= 0, within 2e-6: how light fades with distance; 0 from 16 on."""
    x = np.asarray(x, dtype=np.float64)
    return np.where(x < FALL_END, _read(_falls(), x * (ENTRIES / FALL_END)), 0.0)


@lru_cache(maxsize=64)
def _powers(exponent: float) -> np.ndarray:
    return _table(lambda x: float(x**exponent), 0.0, 1.0)


def power(x: np.ndarray | float, exponent: float) -> np.ndarray:
    """x^exponent (...) float64 for x in 0..1 (clipped) and exponent > 0."""
    return _read(_powers(exponent), np.clip(np.asarray(x, dtype=np.float64), 0.0, 1.0) * ENTRIES)


def smooth(x: np.ndarray | float, low: float = 0.0, high: float = 1.0) -> np.ndarray:
    """0 below low, 1 above high, and a soft S between them (3t^2 - 2t^3); low may exceed high.

    Where both are the same: 0 below, 1 from there on.
    """
    x = np.asarray(x, dtype=np.float64)
    if low == high:
        return np.where(x < low, 0.0, 1.0)
    t = np.clip((x - low) / (high - low), 0.0, 1.0)
    return t * t * (3.0 - 2.0 * t)


def blur(field: np.ndarray, across: int, down: int | None = None, passes: int = 2) -> np.ndarray:
    """A field (N, W) float64 averaged over boxes, which wrap over the width.

    across, down: half sizes of the box in pixels, `down` as `across` if None; outermost lines go on
    passes: two look like a soft brush, one is a box
    """
    down = across if down is None else down
    field = np.asarray(field, dtype=np.float64)
    for _ in range(passes):
        if across:
            wide = np.concatenate([field[:, -across - 1 :], field, field[:, :across]], axis=1)
            total = np.add.accumulate(wide, axis=1)
            field = (total[:, 2 * across + 1 :] - total[:, : -2 * across - 1]) / (2 * across + 1)
        if down:
            tall = np.pad(field, ((down + 1, down), (0, 0)), mode="edge")
            total = np.add.accumulate(tall, axis=0)
            field = (total[2 * down + 1 :] - total[: -2 * down - 1]) / (2 * down + 1)
    return field


def sample(field: np.ndarray, x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """A field (N, W) read at places (...) between pixels; columns wrap, outermost lines go on."""
    lines, width = field.shape
    x, y = np.asarray(x, dtype=np.float64), np.clip(np.asarray(y, dtype=np.float64), 0, lines - 1)
    left, above = np.floor(x), np.floor(y)
    across, down = x - left, y - above
    first, last = above.astype(np.intp), np.minimum(above.astype(np.intp) + 1, lines - 1)
    here, beside = left.astype(np.intp) % width, (left.astype(np.intp) + 1) % width
    upper = field[first, here] + (field[first, beside] - field[first, here]) * across
    lower = field[last, here] + (field[last, beside] - field[last, here]) * across
    return upper + (lower - upper) * down


def between_points(x: np.ndarray | float, xs: np.ndarray, ys: np.ndarray) -> np.ndarray:
    """ys (n,) read at x (...) with straight lines between the rising places xs (n,); ends go on."""
    x = np.clip(np.asarray(x, dtype=np.float64), xs[0], xs[-1])
    low = np.clip(np.searchsorted(xs, x, side="right") - 1, 0, len(xs) - 2)
    part = (x - xs[low]) / (xs[low + 1] - xs[low])
    return np.asarray(ys[low] + (ys[low + 1] - ys[low]) * part)
