"""Noise for painters: gradient noise, bit for bit that of a known library, wrapped and seeded.

The noise is K. Perlin's improved gradient noise ("Improving noise", SIGGRAPH 2002) as the `noise`
package computes it, bit for bit: `pnoise1`, `pnoise2` and `pnoise3` take whole arrays. `fractal`
and `profile` are what painters use: they wrap over the plane's width at every octave and take a
seed. Hashes and scatter stand in `scatter.py`.

Words used here:
  lattice cell   the unit square of the noise; `cells` says how many of them cross the plane
  octave         one pass of noise; each next one has twice the cells and `persistence` times the
                 height of the one before
  offset         where in the lattice a seed starts; every octave has its own

Only integers, tables and float + - * / decide a value, so it is the same on every machine.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from genbg.paint.craft.scatter import hash_words

PERLIN_ORDER = bytes.fromhex(
    "97a0895b5a0f830dc95f6035c2e907e18c24671e458e086325f0150a17be0694"
    "f778ea4b001ac53e5efcdbcb75230b2039b12158ed953857ae147d88aba844af"
    "4aa547868b301ba64d929ee7536fe57a3cd385e6dc695c29372ef528f4668f36"
    "41193fa101d85049d14c84bbd05912a9c8c4878274bc9f56a4646dc6adba0340"
    "34d9e2fa7c7b05ca2693767eff5255d4cfce3be32f103a11b6bd1c2adfb7aad5"
    "77f898022c9aa346dd99659ba72bac09811627fd13626c6e4f71e0e8b2b97068"
    "daf661e4fb22f2c1eed2900cbfb3a2f1513391ebf90eef6b31c0d61fb5c76a9d"
    "b854ccb07379322d7f0496fe8aeccd5dde72431d1848f38d80c34e42d73d9cb4"
)
_ORDER = np.array(list(PERLIN_ORDER * 2), dtype=np.intp)
"""Perlin's permutation of 0..255, twice, so that a sum of two entries needs no wrap."""

_GRADIENTS = np.array(
    [
        [1, 1, 0], [-1, 1, 0], [1, -1, 0], [-1, -1, 0],
        [1, 0, 1], [-1, 0, 1], [1, 0, -1], [-1, 0, -1],
        [0, 1, 1], [0, -1, 1], [0, 1, -1], [0, -1, -1],
        [1, 0, -1], [-1, 0, -1], [0, -1, 1], [0, 1, 1],
    ],
    dtype=np.float32,
)  # fmt: skip
_ALONG, _UP = np.ascontiguousarray(_GRADIENTS[:, 0]), np.ascontiguousarray(_GRADIENTS[:, 1])
_SLOPES = np.array([h + 1.0 if h < 8 else -1.0 for h in range(16)], dtype=np.float32)
"""What 1-D noise uses in place of gradients."""


def _fade(t: np.ndarray) -> np.ndarray:
    """Perlin's quintic 6t^5 - 15t^4 + 10t^3."""
    return t * t * t * (t * (t * np.float32(6) - np.float32(15)) + np.float32(10))


def _mix(t: np.ndarray, a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """a + t * (b - a), the second term made in place of b."""
    b -= a
    b *= t
    b += a
    return b


class _Axis:
    """Where samples lie along one axis of the lattice.

    low, high: lattice indices 0..255 of the corners; near, far: offsets from them; fade: weight
    """

    def __init__(self, at: np.ndarray, repeat: float, offset: int):
        floor = np.floor(np.fmod(at, np.float32(repeat))).astype(np.int64)
        after = np.fmod(floor + 1, np.float32(repeat)).astype(np.int64)
        self.low = (floor & 255) + offset & 255
        self.high = (after & 255) + offset & 255
        self.near = at - np.floor(at)
        self.far = self.near - np.float32(1)
        self.fade = _fade(self.near)


def _octave1(x: np.ndarray, repeat: int, offset: int) -> np.ndarray:
    floor = np.fmod(np.floor(x).astype(np.int64), repeat)
    low = (floor & 255) + offset & 255
    high = (np.fmod(floor + 1, repeat) & 255) + offset & 255
    near = x - np.floor(x)
    a = _SLOPES[_ORDER[low] & 15] * near
    b = _SLOPES[_ORDER[high] & 15] * (near - np.float32(1))
    return _mix(_fade(near), a, b) * np.float32(0.4)


def _octave2(x: _Axis, y: _Axis) -> np.ndarray:
    rows = []
    for j, dy in ((y.low, y.near), (y.high, y.far)):
        corners = []
        for i, dx in ((x.low, x.near), (x.high, x.far)):
            gradient = _GRADIENTS[_ORDER[_ORDER[_ORDER[i] + j]] & 15]
            corners.append(dx * gradient[..., 0] + dy * gradient[..., 1])
        rows.append(_mix(x.fade, *corners))
    return _mix(y.fade, *rows)


def _grid_octave2(x: _Axis, y: _Axis) -> np.ndarray:
    """The same as `_octave2` for x (1, W) and y (H, 1): hashes are made once a lattice row."""
    first = np.flatnonzero(np.diff(y.low[:, 0], prepend=-1))
    row_of = np.repeat(np.arange(len(first)), np.diff(first, append=len(y.low)))
    rows = []
    for j, dy in ((y.low[first], y.near), (y.high[first], y.far)):
        corners = []
        for i, dx in ((x.low, x.near), (x.high, x.far)):
            turn = _ORDER[_ORDER[_ORDER[i] + j]] & 15
            corner = _UP[turn].take(row_of, axis=0)
            corner *= dy
            corner += (dx * _ALONG[turn]).take(row_of, axis=0)
            corners.append(corner)
        rows.append(_mix(x.fade, *corners))
    return _mix(y.fade, *rows)


def _octaves(count: int, persistence: float, lacunarity: float) -> Iterator[tuple]:
    """(frequency, height) of every octave in float32, as the library steps them."""
    frequency, height = np.float32(1), np.float32(1)
    for _ in range(count):
        yield frequency, height
        frequency *= np.float32(lacunarity)
        height *= np.float32(persistence)


def _mean_octaves(parts: Iterator[tuple[np.ndarray, np.float32]]) -> np.ndarray:
    """Sum of noise * height over the octaves, divided by the sum of heights."""
    total: np.ndarray = np.zeros((), dtype=np.float32)
    full = np.float32(0)
    for part, height in parts:
        part *= height
        total = part + total
        full += height
    return np.asarray(total / full)


def pnoise1(
    x: np.ndarray,
    octaves: int = 1,
    persistence: float = 0.5,
    lacunarity: float = 2.0,
    repeat: int = 1024,
    offsets: Sequence[int] = (0,),
) -> np.ndarray:
    """Noise (...) float32 at x (...), the bits of `noise.pnoise1`.

    repeat: whole lattice cells after which the first octave repeats
    offsets: added to the lattice index of each octave, modulo 256; the last one goes on
    """
    x = np.asarray(x, dtype=np.float32)

    def parts() -> Iterator[tuple]:
        for n, (frequency, height) in enumerate(_octaves(octaves, persistence, lacunarity)):
            offset = offsets[min(n, len(offsets) - 1)]
            yield _octave1(x * frequency, int(repeat * frequency), offset), height

    return _mean_octaves(parts())


def pnoise2(
    x: np.ndarray,
    y: np.ndarray,
    octaves: int = 1,
    persistence: float = 0.5,
    lacunarity: float = 2.0,
    repeatx: float = 1024,
    repeaty: float = 1024,
    offsets: Sequence[tuple[int, int]] = ((0, 0),),
) -> np.ndarray:
    """Noise float32 at x and y, broadcast together; the bits of `noise.pnoise2`.

    x of shape (1, W) with y of shape (H, 1) is the fast way to a whole picture.
    repeatx, repeaty: lattice cells after which the first octave repeats
    offsets: (x, y) added to the lattice indices of each octave, modulo 256; the last one goes on
    """
    x, y = np.asarray(x, dtype=np.float32), np.asarray(y, dtype=np.float32)
    grid = x.ndim == y.ndim == 2 and x.shape[0] == 1 and y.shape[1] == 1
    octave = _grid_octave2 if grid else _octave2

    def parts() -> Iterator[tuple]:
        for n, (frequency, height) in enumerate(_octaves(octaves, persistence, lacunarity)):
            ox, oy = offsets[min(n, len(offsets) - 1)]
            at_x = _Axis(x * frequency, repeatx * frequency, ox)
            at_y = _Axis(y * frequency, repeaty * frequency, oy)
            yield octave(at_x, at_y), height

    return _mean_octaves(parts())


def seed_offsets(seed: int, octaves: int) -> list[tuple[int, int]]:
    """Lattice offsets (x, y), each 0..255, of every octave for a seed."""
    return [(word & 255, word >> 8 & 255) for word in (hash_words(seed, n) for n in range(octaves))]


def fractal(
    width: int,
    lines: int,
    seed: int,
    cells: int,
    line_cells: float | None = None,
    octaves: int = 4,
    persistence: float = 0.5,
    top: int = 0,
) -> np.ndarray:
    """Fractal noise (lines, width) float32, about -0.7 .. 0.7, that wraps over the width.

    cells: whole lattice cells across the width in the first octave
    line_cells: lattice cells per line; None: as wide as high. Fewer make streaks lie flat.
    top: line number of the first row
    """
    per_line = cells / width if line_cells is None else line_cells
    x = (np.arange(width) * (cells / width)).astype(np.float32)[None, :]
    y = (np.arange(top, top + lines) * per_line).astype(np.float32)[:, None]
    offsets = seed_offsets(seed, octaves)
    return pnoise2(x, y, octaves, persistence, repeatx=cells, repeaty=1 << 20, offsets=offsets)


def warped(
    x: np.ndarray,
    y: np.ndarray,
    seed: int,
    repeatx: int,
    octaves: int = 3,
    persistence: float = 0.5,
) -> np.ndarray:
    """Fractal noise float32 at any lattice points x, y (broadcast), repeating after `repeatx`."""
    offsets = seed_offsets(seed, octaves)
    return pnoise2(x, y, octaves, persistence, repeatx=repeatx, repeaty=1 << 20, offsets=offsets)


def profile(
    width: int, seed: int, cells: int, octaves: int = 6, persistence: float = 0.5
) -> np.ndarray:
    """A ridge line (width,) float32, about -0.7 .. 0.7, that wraps.

    Heights of octaves fall by `persistence` = 2**-H, so the power spectrum falls with the slope
    2H + 1 (Mandelbrot and Van Ness, SIAM Review 10(4), 1968; Saupe in "The Science of Fractal
    Images", 1988): 0.5 is a rolling line, 0.7 a jagged one.
    """
    offsets = seed_offsets(seed, octaves)
    x = (np.arange(width) * (cells / width)).astype(np.float32)[None, :]
    y = np.full((1, 1), 0.5, dtype=np.float32)
    total, full = np.zeros((1, width), dtype=np.float32), np.float32(0)
    for n, (frequency, height) in enumerate(_octaves(octaves, persistence, 2.0)):
        at_x = _Axis(x * frequency, cells * frequency, offsets[n][0])
        total += _octave2(at_x, _Axis(y, 256.0, offsets[n][1])) * height
        full += height
    return (total / full)[0]
