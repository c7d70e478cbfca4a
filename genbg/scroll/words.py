"""Scroll words: what the line-scroll table holds for a camera position and a frame.

A line's picture lies `ratio * camera_x + drift * frame` pixels further left than at the start; a
larger word moves it right, hence the sign. All sums are whole numbers, so they are exact.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction

import numpy as np

from genbg.hardware.scroll_table import pack_scroll
from genbg.hardware.sizes import ONE, SCROLL_MASK
from genbg.model import LineSpeeds

_SAFE = 1 << 62
"""Products below this stay exact in int64; above it Python's own whole numbers take over."""


def film_words(
    speeds: LineSpeeds, camera_step: Fraction, frames: int | Sequence[int]
) -> np.ndarray:
    """Words (F, L, 2) uint16 of frames 0..F-1 (or of those listed), camera at n * camera_step."""
    numbers = np.asarray(range(frames) if isinstance(frames, int) else frames, dtype=np.int64)
    step = Fraction(camera_step)
    last = int(np.abs(numbers).max(initial=0))
    ratio, drift = _whole(speeds, abs(step.numerator) * last, step.denominator * last)
    a_frame = ratio * step.numerator + drift * step.denominator
    moved = numbers.astype(a_frame.dtype)[:, None, None] * a_frame
    return _words(moved, ONE * step.denominator)


def _whole(speeds: LineSpeeds, camera: int, frames: int) -> tuple[np.ndarray, np.ndarray]:
    """Ratio and drift in a type in which ratio*camera + drift*frames is exact."""
    largest = int(np.abs(speeds.ratio.astype(np.int64)).max(initial=0)) * camera
    largest += int(np.abs(speeds.drift.astype(np.int64)).max(initial=0)) * frames
    kind = np.int64 if max(largest, camera, frames) < _SAFE else object
    return speeds.ratio.astype(kind), speeds.drift.astype(kind)


def _words(moved: np.ndarray, unit: int) -> np.ndarray:
    if unit >= _SAFE:
        moved = moved.astype(object)
    return pack_scroll((-(moved // unit) & SCROLL_MASK).astype(np.int64))
