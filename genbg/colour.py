"""Colours: sRGB, OKLab, the 512 colours of the machine, and the one colour distance.

Words used here:
  colour number   0..511, `blue << 6 | green << 3 | red` with 3 bits each: one of the 512 colours
  levels          the 8 screen values (0..255, sRGB) that the 3-bit levels are shown as
  OKLab           (L, a, b); B. Ottosson, "A perceptual color space for image processing", 2020
  lab steps       OKLab times `LAB_SCALE`, rounded to integers

Whatever decides a pixel compares lab steps, which are integers: sums of them are exact in any
order, so a result does not depend on the processor, on the numpy version or on the number of
threads. Roots are found by Newton's method with + - * / alone, which IEEE 754 rounds the same way
everywhere; `pow` and `exp` are not.
"""

from __future__ import annotations

import functools

import numpy as np

LINEAR_LEVELS = (0, 36, 73, 109, 146, 182, 219, 255)
"""Screen levels `round(level * 255 / 7)`. Common practice, no source."""

LAB_SCALE = 1024
"""Lab steps to one OKLab unit: the two nearest of the 512 colours are 3.6 steps apart, and the
median colour's nearest neighbour 24 steps; rounding to a step is far below what an eye can tell."""

RGB_TO_LMS = np.array(
    [
        [0.4122214708, 0.5363325363, 0.0514459929],
        [0.2119034982, 0.6806995451, 0.1073969566],
        [0.0883024619, 0.2817188376, 0.6299787005],
    ]
)
LMS_TO_LAB = np.array(
    [
        [0.2104542553, 0.7936177850, -0.0040720468],
        [1.9779984951, -2.4285922050, 0.4505937099],
        [0.0259040371, 0.7827717662, -0.8086757660],
    ]
)


def nearest_root(x: np.ndarray, n: int) -> np.ndarray:
    """n-th root of x >= 0, n 3 or 5, by Newton's method; exact arithmetic steps only.

    The exponent is split off first, so the rest lies in 0.5 .. 2**(n-1), where the tangent at 1
    is above the root and nine steps from there reach the last bit.
    """
    mantissa, exponent = np.frexp(x)
    whole, rest = np.divmod(exponent, n)
    z = np.ldexp(mantissa, rest)
    y = (z + (n - 1)) / n
    for _ in range(9):
        power = y * y
        if n == 5:
            power = power * power
        y = ((n - 1) * y + z / power) / n
    return np.where(x > 0, np.ldexp(y, whole), 0.0)


def decode_srgb(values: np.ndarray) -> np.ndarray:
    """Linear light 0..1 of sRGB values 0..1 (any shape). Source: IEC 61966-2-1."""
    values = np.asarray(values, dtype=np.float64)
    base = (np.maximum(values, 0.0) + 0.055) / 1.055
    curve = base * base * nearest_root(base * base, 5)
    return np.where(values <= 0.04045, values / 12.92, curve)


def linear_to_oklab(linear: np.ndarray) -> np.ndarray:
    """OKLab (..., 3) float64 of linear-light RGB (..., 3)."""
    r, g, b = (linear[..., i] for i in range(3))
    sums = np.stack([m[0] * r + m[1] * g + m[2] * b for m in RGB_TO_LMS])
    lms = nearest_root(np.maximum(sums, 0.0), 3)
    return np.stack([m[0] * lms[0] + m[1] * lms[1] + m[2] * lms[2] for m in LMS_TO_LAB], axis=-1)


def srgb_to_oklab(rgb: np.ndarray) -> np.ndarray:
    """OKLab (..., 3) float64 of sRGB bytes (..., 3), 0..255."""
    table = decode_srgb(np.arange(256) / 255.0)
    return linear_to_oklab(table[np.asarray(rgb, dtype=np.intp)])


def number_to_levels(number: np.ndarray) -> np.ndarray:
    """Red, green, blue levels 0..7 as (..., 3) uint8 of colour numbers (...)."""
    number = np.asarray(number)
    return np.stack([number & 7, number >> 3 & 7, number >> 6 & 7], axis=-1).astype(np.uint8)


def levels_to_number(rgb: np.ndarray) -> np.ndarray:
    """Colour numbers (...) uint16 of levels (..., 3), each 0..7."""
    rgb = np.asarray(rgb, dtype=np.uint16)
    return rgb[..., 2] << 6 | rgb[..., 1] << 3 | rgb[..., 0]


@functools.cache
def screen_table(levels: tuple[int, ...] = LINEAR_LEVELS) -> np.ndarray:
    """sRGB bytes (512, 3) uint8 of every colour number, at the given screen levels."""
    table = np.array(levels, dtype=np.uint8)[number_to_levels(np.arange(512))]
    table.setflags(write=False)
    return table


@functools.cache
def oklab_table(levels: tuple[int, ...] = LINEAR_LEVELS) -> np.ndarray:
    """OKLab (512, 3) float64 of every colour number."""
    table = srgb_to_oklab(screen_table(levels))
    table.setflags(write=False)
    return table


@functools.cache
def lab_steps(levels: tuple[int, ...] = LINEAR_LEVELS) -> np.ndarray:
    """Lab steps (512, 3) int32 of every colour number: OKLab * LAB_SCALE, rounded."""
    table = np.rint(oklab_table(levels) * LAB_SCALE).astype(np.int32)
    table.setflags(write=False)
    return table


def distance_steps(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Squared OKLab distance (...) int64 in lab steps of two arrays of lab steps (..., 3).

    The one colour distance of the project; divide by LAB_SCALE**2 for OKLab units.
    """
    d = np.asarray(a, dtype=np.int64) - np.asarray(b, dtype=np.int64)
    return d[..., 0] * d[..., 0] + d[..., 1] * d[..., 1] + d[..., 2] * d[..., 2]


def snap_oklab(lab: np.ndarray, levels: tuple[int, ...] = LINEAR_LEVELS) -> np.ndarray:
    """Colour numbers (...) uint16 nearest to OKLab colours (..., 3). Ties: lowest number."""
    steps = np.rint(np.asarray(lab, dtype=np.float64) * LAB_SCALE).astype(np.int64)
    flat = steps.reshape(-1, 1, 3)
    nearest = [
        distance_steps(part, lab_steps(levels)[None]).argmin(axis=1)
        for part in np.array_split(flat, max(1, len(flat) // 4096))
    ]
    return np.concatenate(nearest).reshape(steps.shape[:-1]).astype(np.uint16)


def snap_srgb(rgb: np.ndarray, levels: tuple[int, ...] = LINEAR_LEVELS) -> np.ndarray:
    """Colour numbers (...) uint16 nearest in OKLab to sRGB bytes (..., 3).

    Each distinct colour is looked up once, so a large picture costs little.
    """
    rgb = np.asarray(rgb, dtype=np.uint32)
    packed = rgb[..., 0] << 16 | rgb[..., 1] << 8 | rgb[..., 2]
    distinct, back = np.unique(packed, return_inverse=True)
    parts = np.stack([distinct >> 16, distinct >> 8 & 255, distinct & 255], axis=-1)
    return snap_oklab(srgb_to_oklab(parts), levels)[back].reshape(packed.shape)


def hex_to_rgb(text: str) -> tuple[int, int, int]:
    """Red, green, blue 0..255 of "#rrggbb"."""
    return int(text[1:3], 16), int(text[3:5], 16), int(text[5:7], 16)


def half_power(x: float) -> float:
    """2 ** -x for x >= 0 by multiplication alone, the same bits on every machine.

    x is rounded down to a multiple of 2**-20.
    """
    whole, rest = divmod(int(x * 1048576), 1048576)
    result = 1.0
    for bit, factor in enumerate(_HALF_POWERS):
        if rest >> (19 - bit) & 1:
            result *= factor
    for _ in range(min(whole, 64)):
        result *= 0.5
    return result


def _half_powers() -> tuple[float, ...]:
    """2 ** -(1/2), 2 ** -(1/4) ... twenty of them, each the square root of the one before."""
    powers, value = [], 0.5
    for _ in range(20):
        value = float(np.sqrt(value))
        powers.append(value)
    return tuple(powers)


_HALF_POWERS = _half_powers()
