"""The foliage painter and its plants."""

import numpy as np
import pytest
from painting_checks import paint

from genbg.paint.painters.foliage import RANKS, WIDTHS
from genbg.paint.painters.foliage.blades import HEAD, empty, fern, reeds, stroke, tuft, vine

KINDS = tuple(WIDTHS)


def ink_of(kind, **params):
    return paint("foliage", top=0, bottom=64, params={"kind": kind, **params}).ink


@pytest.mark.parametrize("kind", KINDS)
def test_plants_grow_from_the_ground_or_hang(kind):
    """More is covered at the foot than at the top; of vines it is the other way round."""
    there = (ink_of(kind, height=1.0) > 0).mean(axis=1)
    low, high = there[-16:].mean(), there[:16].mean()
    assert (high > low) if kind == "vines" else (low > high)


@pytest.mark.parametrize("kind", KINDS)
def test_density_covers_more_of_the_width(kind):
    """The share of columns under plants grows with `density`; gaps are left where it is low."""
    thin = (ink_of(kind, density=0.2) > 0).any(axis=0).mean()
    thick = (ink_of(kind, density=0.9) > 0).any(axis=0).mean()
    assert thin < 0.6 < thick


@pytest.mark.parametrize("kind", KINDS)
def test_height_bounds_the_plants(kind):
    """No plant stands or hangs farther than asked, rounded up to whole cells."""
    there = (ink_of(kind, height=0.5) > 0).any(axis=1)
    free = there[32:] if kind == "vines" else there[:-32]
    assert not free.any()


def test_ground_is_solid():
    """`ground` fills its share of the lines all along; plants stand on it."""
    ink = ink_of("grass", ground=0.25)
    assert (ink[-16:] > 0).all()
    assert (ink[:-16] > 0).any()
    assert (ink_of("vines", ground=0.25)[:16] > 0).all()


def test_heads_and_flowers_have_their_own_ramp():
    """Reeds and plumes bear heads, ferns and vines never; grass flowers when asked to."""
    leaves = 5
    assert (ink_of("reeds") > leaves).any()
    assert (ink_of("plumes") > leaves).any()
    assert not (ink_of("ferns", flowers=1.0) > leaves).any()
    assert not (ink_of("vines", flowers=1.0) > leaves).any()
    assert not (ink_of("grass", flowers=0.0) > leaves).any()
    assert (ink_of("grass", flowers=1.0) > leaves).any()


def test_ranks_get_lower_toward_the_eye():
    """Every next rank is lower and reaches farther out of its group than the one behind."""
    heights, edges = zip(*RANKS, strict=True)
    assert list(heights) == sorted(heights, reverse=True)
    assert list(edges) == sorted(edges, reverse=True)


def test_a_stroke_leans_and_tapers():
    """A blade ends at the lean it was given and is no wider at its tip than at its foot."""
    for lean in (-9, 0, 9):
        piece = empty(4, 4)
        tip = stroke(piece, 16, 28, lean, 3, 2)
        rows = [np.flatnonzero(line >= 0) for line in piece]
        assert tip[1] == 4
        assert abs(tip[0] - 16 - lean) <= 1
        assert abs(rows[tip[1]].mean() - 16 - lean) <= 1.5
        assert len(rows[tip[1]]) <= len(rows[-1])


def test_plants_fill_their_stamps_only():
    """Every kind of plant has the shape of its cells, whatever its size."""
    for columns, rows in ((2, 1), (4, 4), (7, 12)):
        for plant in (
            tuft(columns, rows, 3, columns * 4),
            reeds(columns, rows, 3, "reeds"),
            fern(columns, rows, 3),
            vine(columns, rows, 3),
        ):
            assert plant.shape == (rows * 8, columns * 8)
            assert plant.min() >= -1
            assert plant.max() < HEAD + 5


@pytest.mark.parametrize("kind", ["reeds", "grass"])
def test_plants_stand_in_water_that_mirrors_them(kind):
    """Plants stand as high above the water as else above the foot; below them lines are broken and
    of one ink; open water stays open, and fewer lines reach far from the foot."""
    keys = {"kind": kind, "density": 0.4}
    dry = paint("foliage", seed=3, top=120, bottom=152, params=keys).ink
    wet = paint("foliage", seed=3, top=120, bottom=160, params=keys | {"shine": 8}).ink
    assert (wet[:32] == dry).all()
    image = wet[32:] > 0
    stands = (dry[-1].reshape(-1, 8) > 0).any(axis=1)
    assert not image.reshape(8, -1, 8).any(axis=(0, 2))[~stands].any()
    assert 0.15 < image[:, np.repeat(stands, 8)].mean() < 0.7
    assert image[:4].sum() > image[4:].sum() > 0
    assert len(np.unique(wet[32:])) == 2


def test_vines_mirror_nothing():
    """What hangs from above stands in no water."""
    plain, wet = (
        paint("foliage", top=0, bottom=64, params={"kind": "vines", "shine": n}).ink for n in (0, 8)
    )
    assert (plain == wet).all()
