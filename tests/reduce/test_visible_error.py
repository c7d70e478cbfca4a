"""The quadratic form against a plain convolution, and its shortcuts against the form."""

from __future__ import annotations

import numpy as np
import pytest
from scipy.linalg import sqrtm
from scipy.ndimage import convolve1d

from genbg.colour import lab_steps
from genbg.reduce.exact import flip_tiles
from genbg.reduce.metric import (
    SCALE,
    TAPS,
    UNIT,
    WHOLE,
    Weights,
    entry_steps,
    features,
    full_cost,
    inner_product,
    lengths,
    likeness,
    make_form,
    neighbours,
    pull,
    turn_features,
)
from genbg.reduce.product import across, through
from genbg.reduce.search import MODES

FORMS = [mode.weights for mode in MODES.values()] + [Weights(0, 0), Weights(16, 0), Weights(0, 16)]


def random_errors(count: int, channels: int = 3, most: int = 60) -> np.ndarray:
    random = np.random.Generator(np.random.PCG64(count))
    return random.integers(-most, most + 1, (count, channels, 64)).astype(np.int32)


def padded(error: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Errors of all cells and of one beyond the edge, and where each cell's is."""
    return np.concatenate([error, np.zeros_like(error[:1])]), np.arange(len(error) + 1)


@pytest.mark.parametrize("weights", FORMS)
def test_form_equals_a_plain_convolution_over_the_plane(weights):
    """Squared error, blurred error by scipy, and lightness steps across cell borders, summed."""
    shape = (2, 3, 4)
    error = random_errors(24)
    plane = error.reshape(*shape, 3, 8, 8).transpose(0, 3, 1, 4, 2, 5).reshape(2, 3, 24, 32)
    plane = plane.astype(np.int64)
    taps = [*TAPS[:0:-1], *TAPS]
    soft = convolve1d(convolve1d(plane, taps, axis=2, mode="constant"), taps, axis=3, mode="wrap")
    light = plane[:, 0]
    border = np.concatenate([np.zeros((2, 1, 32), int), light, np.zeros((2, 1, 32), int)], axis=1)
    steps = ((np.roll(light, -1, axis=2) - light)[:, :, 7::8] ** 2).sum()
    steps += (np.diff(border, axis=1)[:, ::8] ** 2).sum()
    plain = WHOLE * (plane**2).sum() + weights.blur * (plane * soft).sum()
    plain += weights.seam * UNIT * steps
    value, place = padded(error)
    assert full_cost(value, place, neighbours(shape), make_form(weights)) == plain


def test_blur_spreads_as_a_binomial_against_itself_does():
    """The taps are the autocorrelation of 1 4 6 4 1, in 64ths, up to half a unit."""
    exact = np.convolve([1, 4, 6, 4, 1], [1, 4, 6, 4, 1])[4:] / 256 * 64
    assert np.abs(exact[:4] - np.array(TAPS)).max() <= 0.5
    assert TAPS[0] + 2 * sum(TAPS[1:]) == 64
    assert UNIT == 64 * 64


@pytest.mark.parametrize("weights", FORMS)
def test_features_have_the_length_of_the_form(weights):
    """Their squared length is the own cost, up to rounding each feature to a whole number."""
    form, error = make_form(weights), random_errors(40, most=100)
    exact = (error.astype(np.int64) * inner_product(error, form)).sum(axis=(1, 2)) / WHOLE
    found = lengths(features(error.reshape(40, 3, 8, 8), form))
    assert np.abs(found / exact - 1).max() < 0.01


@pytest.mark.parametrize("flip", range(4))
def test_flips_only_turn_signs_of_features(flip):
    """Features of a flipped tile are those of the tile with signs of groups turned, to the bit."""
    form, error = make_form(Weights(14, 9)), random_errors(10).reshape(10, 3, 8, 8)
    turned = features(np.ascontiguousarray(flip_tiles(error, flip)), form)
    assert (turn_features(features(error, form), np.full(10, flip)) == turned).all()


def test_likeness_is_the_best_of_four_flips():
    """One product serves all flips: the same as trying each."""
    form = make_form(Weights(14, 9))
    a = features(random_errors(30).reshape(30, 3, 8, 8), form)
    b = features(random_errors(50).reshape(50, 3, 8, 8), form)
    four = []
    for flip in range(4):
        turned = turn_features(b, np.full(50, flip))
        four.append(np.einsum("gnf,gmf->nm", a.astype(np.float64), turned.astype(np.float64)))
    assert (likeness(a, b) == np.max(four, axis=0)).all()


def test_pull_and_own_cost_make_the_whole():
    """Changing one cell changes the whole form by what own cost and pull say."""
    shape, form = (1, 3, 4), make_form(Weights(14, 9))
    around, error = neighbours(shape), random_errors(12)
    value, place = padded(error)
    before = full_cost(value, place, around, form)
    field = pull(value, place, around[5:6], form)[0].astype(np.int64)
    was, fresh = value[5].copy(), random_errors(1)[0]
    told = 0
    for sign, one in ((-1, was), (1, fresh)):
        own = int((one * inner_product(one[None], form)[0]).sum())
        told += sign * (own + 2 * int((one * field).sum()))
    value[5] = fresh
    assert full_cost(value, place, around, form) - before == told


@pytest.mark.parametrize("weights", FORMS)
def test_sums_stay_exact_in_float32(weights):
    """The farthest colours there are give features whose sums float32 holds: below 2**24."""
    lab = lab_steps()
    palette = np.arange(64).reshape(4, 16) % 61
    extremes = [lab[lab[:, c].argmin()] for c in range(3)] + [
        lab[lab[:, c].argmax()] for c in range(3)
    ]
    further = np.resize([-(10**4), 10**4, 0, 7], (66, 1))
    colours = np.concatenate([np.array(extremes * 11), further], axis=1)
    steps = entry_steps(palette, colours, True).reshape(-1, 5)
    assert np.abs(steps).max() < SCALE
    tiles = steps[:, :, None].repeat(64, axis=2).reshape(-1, 5, 8, 8)
    checks = np.where(np.indices((8, 8)).sum(axis=0) % 2, tiles[1:], tiles[:-1])
    form = make_form(weights)
    for shapes in (tiles, checks):
        longest = float(lengths(features(shapes, form)).max())
        assert 4 * longest < 2**24


@pytest.mark.parametrize("weights", FORMS)
def test_roots_do_not_hang_on_the_last_bits_of_linear_algebra(weights):
    """scipy's square root, worked out another way, rounds alike, and nothing is near a half."""
    form = make_form(weights)
    half = np.eye(4)
    even, odd = np.hstack([half, half[::-1]]), np.hstack([half, -half[::-1]])
    parity = np.vstack([np.kron(y, x) for y in (even, odd) for x in (even, odd)]) / 2
    for inner, root in zip(form.inner, form.root, strict=True):
        pixels = sqrtm(inner / WHOLE) @ parity.T * 4096
        exact = pixels.reshape(8, 8, 4, 16)[:4, :4].transpose(2, 0, 1, 3).reshape(4, 16, 16)
        assert (np.rint(exact) == root * 4096).all()
        assert np.abs(np.abs(exact - np.floor(exact)) - 0.5).min() > 1e-7


def test_products_in_pieces_are_products():
    """CutSprites for one thread give what one product gives, remainders and all."""
    random = np.random.Generator(np.random.PCG64(1))
    for lines, others, depth in ((1, 1, 48), (130, 257, 48), (700, 90, 64), (128, 84, 48)):
        a = random.integers(-99, 100, (lines, depth)).astype(np.float32)
        b = random.integers(-99, 100, (others, depth)).astype(np.float32)
        assert (across(a, b) == a.astype(np.int64) @ b.astype(np.int64).T).all()
        square = random.integers(-99, 100, (depth, 64)).astype(np.float64)
        assert (through(a.astype(np.float64), square) == a.astype(np.float64) @ square).all()
