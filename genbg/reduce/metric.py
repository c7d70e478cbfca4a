"""Visible error as one quadratic form over a whole plane.

Words used here:
  coarse steps   OKLab times `SCALE`, whole numbers: a quarter of the project's lab steps
  channel        L, a, b and, where a plane has see-through pixels, opacity
  error          (n, ch, 8, 8) coarse steps of every cell: shown minus painted
  own cost       what a cell's error costs while its neighbours have none
  pull           what the neighbours' errors add: a cell of error e costs own(e) + 2 e . pull

The form counts three things: the squared error of each pixel; the squared error after a blur of
about one pixel, which leaves a dither alone and punishes a shifted tone, also across cells; and
the squared change of every lightness step that straddles a cell border, which is what makes the
grid of cells visible. All of it is counted in whole numbers.

The own cost is the squared length of a vector of *features*, so that costs of all cells against
all tiles are products of matrices. Features come in four groups, even or odd along each axis;
a flip only changes the sign of whole groups, so one product serves all four flips. They are whole
numbers small enough for float32 to hold every sum, whichever way a processor adds.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

import numpy as np

from genbg.colour import LAB_SCALE
from genbg.reduce.product import across, through

SCALE = 256
"""Coarse steps to one OKLab unit: 256 features of at most 256 keep every sum below 2**24."""

OPACITY = 48
"""Coarse steps between see-through and opaque, beside the difference to the backdrop colour: an
outline is what an eye follows first, and other planes show through. With 20, a tree's tip before
snow was stored as a checkered square, because the backdrop colour behind all was as dark as it."""

TAPS = (18, 14, 7, 2)
"""Centre and one half of the blur's autocorrelation times 64: the binomial 1 4 6 4 1 against
itself, cut where a tap would fall below one sixty-fourth. The binomial's variance is one pixel."""

FURTHEST = 96
"""Most that a further column of an ink counts, either way: more, and sums would leave float32."""

FURTHER = 0.5
"""What a further column of an ink counts beside the others: a quarter of its square."""

UNIT = 4096
"""Sum of TAPS in 2-D."""

WHOLE = 16 * UNIT
"""What a pixel's squared coarse step weighs in the form's whole numbers."""

AROUND = ((0, -1), (0, 1), (-1, 0), (1, 0), (-1, -1), (-1, 1), (1, -1), (1, 1))
"""(y, x) of a cell's neighbours: left, right, above, below, then the corners."""

_ALL = slice(None)
_SIDES = (
    (0, (_ALL, _ALL, 0), (_ALL, _ALL, 7)),
    (1, (_ALL, _ALL, 7), (_ALL, _ALL, 0)),
    (2, (_ALL, 0), (_ALL, 7)),
    (3, (_ALL, 7), (_ALL, 0)),
)
"""Neighbour, the cell's own pixels on that side, the neighbour's pixels that touch them."""

SIGNS = np.array([[1, 1, 1, 1], [1, -1, 1, -1], [1, 1, -1, -1], [1, -1, -1, 1]])
"""SIGNS[flip, group] of groups (even, even), (even, odd), (odd, even), (odd, odd) in (y, x)."""


@dataclass(frozen=True)
class Weights:
    """How the form weighs, in sixteenths of a pixel's own squared error.

    blur: of the blurred error; seam: of a lightness step's change across a cell border
    """

    blur: int
    seam: int


@dataclass(frozen=True, eq=False)
class Form:
    """The quadratic form inside one cell.

    inner: (2, 64, 64) int64, of the lightness and of every other channel, in 1/WHOLE
    blur_inner: (64, 64) int64 the blurred share of it, without its weight, in 1/UNIT
    root: (2, 4, 16, 16) float64 even and odd parts, twice as long, to features of the same group,
        multiples of 2**-12
    """

    weights: Weights
    inner: np.ndarray
    blur_inner: np.ndarray
    root: np.ndarray


def _chain() -> np.ndarray:
    """The blur's autocorrelation within 8 pixels, (8, 8) int64."""
    far = np.abs(np.arange(8)[:, None] - np.arange(8))
    taps = np.array([*TAPS, 0, 0, 0, 0])
    return taps[far]


def _parity() -> np.ndarray:
    """Orthonormal (64, 64): pixels to their even and odd parts, group after group."""
    half = np.eye(4)
    even, odd = np.hstack([half, half[::-1]]), np.hstack([half, -half[::-1]])
    parts = [np.kron(y, x) for y in (even, odd) for x in (even, odd)]
    return np.vstack(parts) / 2


@functools.cache
def make_form(weights: Weights) -> Form:
    """The form of given weights."""
    blurred = np.kron(_chain(), _chain()).astype(np.int64)
    other = WHOLE * np.eye(64) + weights.blur * blurred
    lightness = other + weights.seam * UNIT * np.diag(_sides())
    inner = np.rint(np.stack([lightness, other])).astype(np.int64)
    return Form(weights, inner, blurred, np.stack([_root(part) for part in inner]))


def _root(inner: np.ndarray) -> np.ndarray:
    """Parts to features (4, 16, 16): the form's square root seen in even and odd parts, which the
    form keeps apart.

    Rounded to 2**-12, far coarser than any difference between libraries of linear algebra.
    """
    parity = _parity()
    values, vectors = np.linalg.eigh(parity @ inner @ parity.T / WHOLE)
    root = (vectors * np.sqrt(values)) @ vectors.T
    groups = root.reshape(4, 16, 4, 16)[np.arange(4), :, np.arange(4)]
    return np.rint(groups / 2 * 4096) / 4096


def features(pixels: np.ndarray, form: Form) -> np.ndarray:
    """Features (4, n, 16 ch) float32 of whole numbers of cells (n, ch, 8, 8), centred on 0."""
    count, channels = pixels.shape[:2]
    flat = pixels.reshape(-1, 64).astype(np.float32)
    parts = through(flat, _folding()).reshape(-1, 4, 16)
    result = np.empty((4, count, channels * 16), dtype=np.float32)
    for group in range(4):
        part = parts[:, group].astype(np.float64)
        feature = through(part, form.root[1, group])
        feature[::channels] = through(part[::channels], form.root[0, group])
        np.rint(feature, out=feature)
        result[group] = feature.reshape(count, -1)
    return result


@functools.cache
def _folding() -> np.ndarray:
    """Pixels to even and odd parts, twice as long, (64, 64) float32 of 1 and -1 and 0."""
    return np.ascontiguousarray(2 * _parity().T.astype(np.float32))


def turn_features(feature: np.ndarray, flip: np.ndarray) -> np.ndarray:
    """Features (4, n, f), each cell's turned by its own flip (n,)."""
    return feature * SIGNS[flip].T[:, :, None].astype(np.float32)


def lengths(feature: np.ndarray) -> np.ndarray:
    """Squared lengths (n,) float32 of features (4, n, f)."""
    return np.einsum("gnf,gnf->n", feature, feature)


def likeness(a: np.ndarray, b: np.ndarray) -> np.ndarray:
    """Largest product (n, m) of features (4, n, f) with those of (4, m, f) under any flip."""
    b = np.ascontiguousarray(b)
    even, cross, other, odd = (across(a[group], b[group]) for group in range(4))
    even += cross
    cross *= -2
    cross += even
    other += odd
    odd *= -2
    odd += other
    np.abs(other, out=other)
    np.abs(odd, out=odd)
    even += other
    cross += odd
    return np.maximum(even, cross, out=even)


def best_flips(a: np.ndarray, b: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Flip (n,) uint8 that makes each of b most like its partner in a, and that product (n,).

    a, b: features (4, n, f). Ties: the lowest flip.
    """
    products = np.einsum("gnf,gnf->ng", a, b) @ SIGNS.T.astype(np.float32)
    flip = products.argmax(axis=-1).astype(np.uint8)
    return flip, np.take_along_axis(products, flip[:, None].astype(np.intp), axis=-1)[:, 0]


REACH = len(TAPS) - 1
"""Pixels that the blur's autocorrelation reaches, so as many of a neighbour's count."""


@functools.cache
def _across(axis_step: int) -> np.ndarray:
    """The blur's autocorrelation from the pixels of a neighbour that count to those they reach.

    axis_step: -1, 0 or 1, where the neighbour lies; element [source, target], (8, 8) or (3, 3)
    int64.
    """
    pixel = np.arange(8)
    far = np.abs(pixel[:, None] + 8 * axis_step - pixel)
    return np.array([*TAPS, *[0] * 12])[far][_SOURCE[axis_step]][:, _TARGET[axis_step]]


_SOURCE = {-1: slice(8 - REACH, 8), 0: slice(0, 8), 1: slice(0, REACH)}
_TARGET = {-1: slice(0, REACH), 0: slice(0, 8), 1: slice(8 - REACH, 8)}
"""Pixels along one axis, by where the neighbour lies: those of it that count, those it reaches."""


@functools.cache
def _influence(place: int) -> np.ndarray:
    """What the pixels of one of the eight neighbours add to a cell's, float32."""
    y, x = AROUND[place]
    return np.kron(_across(y), _across(x)).astype(np.float32)


def neighbours(shape: tuple[int, int, int]) -> np.ndarray:
    """Cells (n, 8) intp around each cell, in the order of AROUND; n where there is none.

    The left and right edge of a plane meet, the upper and lower do not.
    """
    planes, rows, columns = shape
    count = planes * rows * columns
    plane, y, x = np.unravel_index(np.arange(count), shape)
    around = np.full((count, 8), count)
    for place, (down, right) in enumerate(AROUND):
        inside = (y + down >= 0) & (y + down < rows)
        other = (plane * rows + y + down) * columns + (x + right) % columns
        around[inside, place] = other[inside]
    return around


def pull(error: np.ndarray, place: np.ndarray, around: np.ndarray, form: Form) -> np.ndarray:
    """What the neighbours' errors add to some cells, (m, ch, 64) int32 in 1/WHOLE.

    error: (k + 1, ch, 64) int32 of cells that have any, the last one 0; place: (n + 1,) which of
        them every cell's is; around: (m, 8) those cells' neighbours
    Products stay below 2**24: errors are below 2**8 and influences sum to UNIT.
    """
    count, channels = len(around), error.shape[1]
    result = np.zeros((count, channels, 64), dtype=np.int32)
    if form.weights.blur:
        total = np.zeros((count, channels, 8, 8), dtype=np.float32)
        shaped, near = error.reshape(-1, channels, 8, 8), place[around]
        for side, (y, x) in enumerate(AROUND):
            where = np.flatnonzero(near[:, side] < len(error) - 1)
            source = shaped[near[where, side], :, _SOURCE[y], _SOURCE[x]].astype(np.float32)
            influence = _influence(side)
            added = through(source.reshape(-1, len(influence)), influence)
            total[where, :, _TARGET[y], _TARGET[x]] += added.reshape(source.shape)
        total *= form.weights.blur
        result += total.reshape(result.shape).astype(np.int32)
    if form.weights.seam:
        light = error[:, 0].reshape(-1, 8, 8)
        edge = result[:, 0].reshape(-1, 8, 8)
        for side, mine, theirs in _SIDES:
            edge[mine] -= form.weights.seam * UNIT * light[theirs][place[around[:, side]]]
    return result


def full_cost(error: np.ndarray, place: np.ndarray, around: np.ndarray, form: Form) -> int:
    """The form of a whole plane's error, a Python int in 1/WHOLE.

    error, place: as in `pull`; around: (k, 8) neighbours of the cells that have an error
    """
    flat = error[:-1]
    field = inner_product(flat, form) + pull(error, place, around, form)
    return int(np.einsum("ncp,ncp->", flat.astype(np.int64), field))


def inner_product(flat: np.ndarray, form: Form) -> np.ndarray:
    """The form within each cell times its error: (n, ch, 64) int64 of whole numbers (n, ch, 64).

    The blur's part is a product in float32: errors are below 2**8 and a line of it sums to UNIT.
    All of it stays below 2**28.
    """
    result = flat * np.int32(WHOLE)
    if form.weights.blur:
        lines = flat.reshape(-1, 64).astype(np.float32)
        blurred = through(lines, form.blur_inner.astype(np.float32)) * form.weights.blur
        result += blurred.astype(np.int32).reshape(flat.shape)
    result[:, 0] += flat[:, 0] * (form.weights.seam * UNIT * _sides())
    return result.astype(np.int64)


@functools.cache
def _sides() -> np.ndarray:
    """How many borders of its cell each pixel (64,) lies at."""
    border = np.array([1, 0, 0, 0, 0, 0, 0, 1])
    return (border[:, None] + border).reshape(64).astype(np.int32)


def entry_steps(palette: np.ndarray, lab: np.ndarray, see_through: bool) -> np.ndarray:
    """Coarse steps (r, 16, ch) int32 of every palette entry, centred so that features stay small.

    palette: (r, 16) inks; lab: (K+1, 3 or more) lab steps, and what else of an ink is to be kept;
    see_through: whether to add the opacity
    """
    scaled = np.asarray(lab) * (SCALE / LAB_SCALE)
    scaled[:, 3:] *= FURTHER
    coarse = np.rint(scaled).astype(np.int32)
    np.clip(coarse[:, 3:], -FURTHEST, FURTHEST, out=coarse[:, 3:])
    steps = coarse[palette]
    steps = steps - np.array([SCALE // 2] + [0] * (steps.shape[2] - 1), dtype=np.int32)
    if not see_through:
        return steps
    opacity = np.full((*palette.shape, 1), OPACITY // 2, dtype=np.int32)
    opacity[:, 0] -= OPACITY
    return np.concatenate([steps, opacity], axis=2)
