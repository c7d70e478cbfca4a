"""Hashed random numbers, and places for things without clumps.

Every number is a hash of a seed and of integers that name what it is for (a cell, a stone, an
octave), so that a picture does not change when something else is drawn before it.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

_MASK = (1 << 64) - 1
_STEP = 0x9E3779B97F4A7C15
_MIX_1 = 0xBF58476D1CE4E5B9
_MIX_2 = 0x94D049BB133111EB


def _mix_word(z: int) -> int:
    """Finaliser of the SplitMix64 generator (Steele, Lea and Flood, OOPSLA 2014)."""
    z = (z ^ z >> 30) * _MIX_1 & _MASK
    z = (z ^ z >> 27) * _MIX_2 & _MASK
    return z ^ z >> 31


def hash_words(seed: int, *words: int | str) -> int:
    """A 64-bit hash of a seed and of any integers or names."""
    state = _mix_word((seed + _STEP) & _MASK)
    for word in words:
        parts = [word] if isinstance(word, int) else list(word.encode())
        for part in parts:
            state = _mix_word((state ^ part & _MASK) + _STEP & _MASK)
    return state


def hash_array(seed: int, *words: np.ndarray | int) -> np.ndarray:
    """`hash_words` over arrays of integers, broadcast together: (...) uint64."""
    before = next((n for n, word in enumerate(words) if np.ndim(word)), len(words))
    first = hash_words(seed, *(int(word) for word in words[:before]))
    state = np.full(1, first, dtype=np.uint64)
    for word in words[before:]:
        z = state ^ np.asarray(word, dtype=np.int64).view(np.uint64)
        z += np.uint64(_STEP)
        for shift, factor in ((30, _MIX_1), (27, _MIX_2)):
            z ^= z >> np.uint64(shift)
            z *= np.uint64(factor)
        state = z ^ z >> np.uint64(31)
    return state


def pick(seed: int, count: int, *words: np.ndarray | int) -> np.ndarray:
    """Integers (...) int64 in 0..count-1, one for each combination of the words; count < 2**31."""
    high = hash_array(seed, *words) >> np.uint64(33)
    return (high * np.uint64(count) >> np.uint64(31)).astype(np.int64)


def pick_one(seed: int, count: int, *words: int | str) -> int:
    """One integer in 0..count-1."""
    return (hash_words(seed, *words) >> 33) * count >> 31


def pick_weighted(seed: int, weights: Sequence[int], *words: np.ndarray | int) -> np.ndarray:
    """Indices (...) int64 into `weights` (integers >= 0), drawn in proportion to them."""
    edges = np.cumsum(np.asarray(weights, dtype=np.int64))
    return np.searchsorted(edges, pick(seed, int(edges[-1]), *words), side="right")


def unit(seed: int, *words: np.ndarray | int) -> np.ndarray:
    """Numbers (...) float64 in [0, 1), multiples of 2**-24."""
    return (hash_array(seed, *words) >> np.uint64(40)).astype(np.float64) * 2.0**-24


def scatter(width: int, height: int, spacing: int, seed: int, tries: int = 8) -> np.ndarray:
    """Points (n, 2) int64 of x, y, no two nearer than `spacing` pixels, that wrap over the width.

    Darts are thrown in a hashed order and kept where they have room (Poisson disc sampling, R. L.
    Cook, "Stochastic sampling in computer graphics", ACM TOG 5(1), 1986), which scatters without
    clumps. tries: darts for each place; more of them fill closer. Order: as thrown.
    """
    count = max(1, tries * width * height // (spacing * spacing))
    numbers = np.arange(count)
    xs, ys = pick(seed, width, numbers, 0), pick(seed, height, numbers, 1)
    across = np.arange(min(2 * spacing - 1, width))
    across -= len(across) // 2
    down = np.arange(1 - spacing, spacing)[:, None]
    disc = across * across + down * down < spacing * spacing
    taken = np.zeros((height, width), dtype=bool)
    kept = []
    for x, y in zip(xs.tolist(), ys.tolist(), strict=True):
        if not taken[y, x]:
            kept.append((x, y))
            first, last = max(0, y - spacing + 1), min(height, y + spacing)
            part = disc[first - y + spacing - 1 : last - y + spacing - 1]
            taken[first:last, (across + x) % width] |= part
    return np.array(kept, dtype=np.int64).reshape(-1, 2)


def jittered(width: int, spacing: int, seed: int, jitter: float = 0.7) -> np.ndarray:
    """Places (n,) int64 along the width in order, about `spacing` apart, that wrap.

    jitter: share of the spacing by which a place may be off its even station, 0..1
    """
    count = max(1, width // spacing)
    number = np.arange(count)
    reach = max(1, int(jitter * width / count))
    places = number * width // count + pick(seed, reach, number)
    return np.sort(places % width, kind="stable")


def between(seed: int, low: float, high: float, *words: int | str) -> float:
    """One number in [low, high)."""
    return low + (high - low) * ((hash_words(seed, *words) >> 40) * 2.0**-24)


def bell(seed: int, *words: np.ndarray | int) -> np.ndarray:
    """Numbers (...) float64 about 0 with deviation 1, none beyond 3: three `unit`s added up."""
    total = unit(seed, *words, 1) + unit(seed, *words, 2) + unit(seed, *words, 3)
    return (total - 1.5) * 2.0
