"""Noise: the bits of a known library, its wrap, its seeds, its roughness."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.paint.craft.fields import (
    PERLIN_ORDER,
    fractal,
    pnoise1,
    pnoise2,
    profile,
    seed_offsets,
    warped,
)

SETTINGS = [
    {},
    {"octaves": 5, "persistence": 0.6},
    {"octaves": 4, "persistence": 0.7, "lacunarity": 3.0},
    {"octaves": 3, "lacunarity": 2.5},
]


@pytest.fixture(scope="module")
def noise(need):
    return need.module("noise")


def places(count: int, columns: int) -> list[np.ndarray]:
    """Points on both sides of 0 and past the 256 cells of the table."""
    rng = np.random.Generator(np.random.PCG64(7))
    return list(((rng.random((columns, count)) - 0.3) * 500).astype(np.float32))


@pytest.mark.parametrize("settings", SETTINGS)
@pytest.mark.parametrize("repeat", [1024, 7, 300])
def test_line_noise_has_the_bits_of_the_noise_package(noise, settings, repeat):
    """pnoise1 equals the `noise` package (1.2.2) sample by sample."""
    (x,) = places(1500, 1)
    theirs = [noise.pnoise1(float(v), repeat=repeat, **settings) for v in x]
    assert np.array_equal(pnoise1(x, repeat=repeat, **settings), np.float32(theirs))


@pytest.mark.parametrize("settings", SETTINGS)
@pytest.mark.parametrize("repeat", [(1024, 1024), (7, 5), (16, 1 << 20)])
def test_plane_noise_has_the_bits_of_the_noise_package(noise, settings, repeat):
    """pnoise2 equals the `noise` package (1.2.2) sample by sample."""
    x, y = places(1500, 2)
    ends = {"repeatx": repeat[0], "repeaty": repeat[1]}
    theirs = [
        noise.pnoise2(float(a), float(b), **ends, **settings) for a, b in zip(x, y, strict=True)
    ]
    assert np.array_equal(pnoise2(x, y, **ends, **settings), np.float32(theirs))


def test_a_grid_is_the_same_as_its_points():
    """The fast way for x (1, W) and y (H, 1) gives the bits of the plain way."""
    x = (np.arange(200) / np.float32(13)).astype(np.float32)[None, :]
    y = (np.arange(90) / np.float32(9) - 4).astype(np.float32)[:, None]
    grid = pnoise2(x, y, 4, repeatx=16, repeaty=6)
    points = pnoise2(*np.broadcast_arrays(x, y), 4, repeatx=16, repeaty=6)
    assert np.array_equal(grid, points)


def test_the_table_is_a_permutation():
    """Every number 0..255 stands once in the table (K. Perlin, SIGGRAPH 2002)."""
    assert sorted(PERLIN_ORDER) == list(range(256))


def test_noise_is_zero_at_lattice_points():
    """Gradient noise vanishes on the lattice (K. Perlin, "Improving noise", SIGGRAPH 2002)."""
    whole = np.arange(-20, 300)
    assert not pnoise1(whole).any()
    assert not pnoise2(whole[None, :], whole[:80, None]).any()


def test_offsets_move_the_lattice():
    """An offset equals noise sampled that many cells farther on, where nothing repeats."""
    x, y = places(800, 2)
    x, y = np.abs(x) / 8, np.abs(y) / 8
    x, y = np.floor(x * 64) / 64, np.floor(y * 64) / 64  # so that adding the offset is exact
    moved = pnoise2(x, y, repeatx=1 << 20, repeaty=1 << 20, offsets=[(37, 90)])
    assert np.array_equal(moved, pnoise2(x + 37, y + 90, repeatx=1 << 20, repeaty=1 << 20))


@pytest.mark.parametrize("width", [256, 512, 768, 1024])
@pytest.mark.parametrize("seed", [0, 1, 2**63 - 1])
def test_fractals_and_profiles_wrap(width, seed):
    """The step across the seam is no larger than the largest step inside."""
    field = fractal(width, 64, seed, 6, octaves=5).astype(np.float64)
    line = profile(width, seed, 6).astype(np.float64)[None, :]
    for picture in (field, line):
        inside = np.abs(np.diff(picture, axis=1)).max()
        assert np.abs(picture[:, 0] - picture[:, -1]).max() <= inside


def test_one_period_on_is_the_same_noise():
    """Sampling a whole number of periods farther on gives the same bits at every octave."""
    x = (np.arange(512) / np.float32(64)).astype(np.float32)[None, :]
    y = (np.arange(64) / np.float32(16)).astype(np.float32)[:, None]
    near = warped(x, y, 5, 8, octaves=4)
    assert np.array_equal(near, warped(x + 8, y, 5, 8, octaves=4))


def test_seeds_differ_in_shape():
    """No two of 1000 seeds give the same lines, not even moved along."""
    lines = np.stack([profile(64, seed, 4, octaves=3) for seed in range(1000)])
    spectra = np.round(np.abs(np.fft.rfft(lines, axis=1)), 4)
    assert len(np.unique(spectra, axis=0)) == 1000
    assert len({tuple(seed_offsets(seed, 2)) for seed in range(2000)}) > 1990


@pytest.mark.parametrize("persistence", [0.5, 0.59, 0.71])
def test_ridges_are_as_rough_as_asked(persistence):
    """The power spectrum falls with slope 2H + 1, persistence = 2**-H.

    Mandelbrot and Van Ness, SIAM Review 10(4), 1968; Saupe in "The Science of Fractal Images",
    1988. Power is taken in octave bands (mean over each), since noise of octaves is not a pure
    power law within one; mean of 40 seeds.
    """
    width, cells, octaves = 4096, 4, 8
    power = np.zeros(width // 2 + 1)
    for seed in range(40):
        line = profile(width, seed, cells, octaves, persistence).astype(np.float64)
        power += np.abs(np.fft.rfft(line)) ** 2
    bands = [power[cells * 2**n : cells * 2 ** (n + 1)].mean() for n in range(octaves - 1)]
    slope = np.polyfit(np.arange(octaves - 1), np.log2(bands), 1)[0]
    beta = 2 * -np.log2(persistence) + 1
    assert -slope == pytest.approx(beta, abs=0.25)
