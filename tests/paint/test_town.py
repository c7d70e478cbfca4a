"""The town painter: houses on the cell grid, one light, windows by share, no house seen twice."""

import numpy as np
import pytest
from built_checks import likeness, outline_of, ramp_pixels, same_outline
from painting_checks import LIGHT_RIGHT, count_tiles, paint, stray_share

from genbg.paint.craft.edges import CELL
from genbg.paint.painters.town import STYLES, TOWERS
from genbg.paint.parts.roofs import ROOFS, roof_rows

SEEDS = range(1, 7)
STREET = {"top": 96, "bottom": 192}


@pytest.mark.parametrize("roofs", STYLES)
@pytest.mark.parametrize("seed", SEEDS)
def test_a_town_is_clean_and_thrifty(seed, roofs):
    """Few tiles and few stray pixels."""
    painting = paint("town", seed=seed, **STREET, params={"roofs": roofs})
    assert count_tiles(painting.ink, 96) <= 340
    assert stray_share(painting.ink) <= 0.005


@pytest.mark.parametrize("seed", SEEDS)
def test_no_house_is_seen_twice_on_a_screen(seed):
    """No stretch of 64 pixels of the skyline comes back within 320 pixels."""
    assert same_outline(paint("town", seed=seed, **STREET)) == 0


def test_seeds_differ_in_shape():
    """However two towns are shifted, most of their skylines differ."""
    towns = [paint("town", seed=seed, **STREET) for seed in SEEDS]
    assert max(likeness(a, b) for n, a in enumerate(towns) for b in towns[:n]) < 0.4


def test_walls_stand_on_the_cell_grid():
    """Sides of walls fall on cell borders: lit edges of a one-rank town stand in the first column
    of a cell, and many do."""
    painting = paint("town", **STREET, params={"ranks": 1, "windows": 0.0, "towers": 0.0})
    air = np.roll(painting.ink, 1, axis=1)[-12] == 0
    edge = ((painting.ink[-12] > 0) & air).nonzero()[0]
    assert (edge % CELL == 0).all()


def test_light_falls_from_its_side():
    """Columns at the lit side of walls are brighter than those at the other side; it turns over."""
    for light, side in (((-0.6, 0.7), 1), (LIGHT_RIGHT, -1)):
        painting = paint("town", **STREET, light=light, params={"ranks": 1, "density": 0.2})
        wall = ramp_pixels(painting, "wall")
        tone = np.where(wall, painting.ink, 0)
        start = wall & (np.roll(painting.ink, side, axis=1) == 0)
        end = wall & (np.roll(painting.ink, -side, axis=1) == 0)
        assert start.sum() > 40
        assert end.sum() > 40
        assert tone[start].mean() > tone[end].mean() + 0.5


def test_windows_shine_by_their_share():
    """None at 0, all at 1, and more the larger the share; each lit pixel is guarded."""
    lit = []
    for share in (0.0, 0.3, 0.7, 1.0):
        painting = paint("town", **STREET, params={"lit": share, "roofs": "flat"})
        shining = ramp_pixels(painting, "window")
        assert (painting.guard == shining).all()
        lit.append(int(shining.sum()))
    assert lit[0] == 0
    assert lit == sorted(lit)
    assert lit[1] * 2 < lit[3]


def test_keys_matter():
    """Height raises the skyline, density closes gaps, storeys and timber change the walls."""
    low, high = (paint("town", **STREET, params={"height": h}) for h in (0.4, 1.0))
    assert outline_of(low).mean() > outline_of(high).mean() + 15
    thin, dense = (paint("town", **STREET, params={"density": d, "ranks": 1}) for d in (0.1, 1.0))
    assert (outline_of(thin) == 96).mean() > 0.1 > (outline_of(dense) == 96).mean()
    plain = paint("town", **STREET, params={"timber": 0.0})
    framed = paint("town", **STREET, params={"timber": 1.0})
    assert (plain.ink != framed.ink).any()
    far = paint("town", **STREET, params={"storey": 8})
    assert (far.ink != plain.ink).any()
    assert ramp_pixels(paint("town", **STREET, params={"ranks": 2}), "behind").any()
    assert not ramp_pixels(paint("town", **STREET, params={"ranks": 1}), "behind", "ridges").any()


def test_the_tallest_house_uses_the_height_it_is_given():
    """Over seeds, the skyline comes within three cells of the share asked and never above it."""
    tops = [
        outline_of(paint("town", seed=seed, **STREET, params={"height": 0.8})).min()
        for seed in SEEDS
    ]
    assert min(tops) >= 96 * 0.2 - CELL
    assert np.median(tops) <= 96 * 0.2 + 3 * CELL


def test_every_roof_of_every_style_is_known():
    """The tables of styles name roofs that exist and whose height in cells is known."""
    named = {roof for style in STYLES.values() for roof in style}
    named |= {roof for style in TOWERS.values() for roof in style}
    assert named == set(ROOFS)
    assert all(roof_rows(roof, columns) >= 1 for roof in ROOFS for columns in range(2, 9))


@pytest.mark.parametrize("top", [96, 99])
@pytest.mark.parametrize("width", [256, 512, 1024])
def test_any_plane_and_place(width, top):
    """Narrow and wide planes and layers that begin inside a cell are painted whole."""
    for storey in (8, 11, 16):
        painting = paint("town", width=width, top=top, bottom=top + 64, params={"storey": storey})
        assert (outline_of(painting) < 64).mean() > 0.9


@pytest.mark.parametrize("lines", [8, 16, 24])
def test_a_layer_of_few_lines(lines):
    """Where there is hardly room, houses are cut off and nothing fails."""
    for roofs in STYLES:
        painting = paint("town", top=96, bottom=96 + lines, params={"roofs": roofs, "ranks": 3})
        assert painting.ink.any()


def test_houses_gather_in_clusters():
    """In clusters of four there are fewer and wider streets than between single houses."""
    streets = {}
    for cluster in (0, 4):
        keys = {"ranks": 1, "density": 0.3, "cluster": cluster}
        free = [~(paint("town", seed=seed, params=keys).ink > 0).any(axis=0) for seed in range(6)]
        starts = [np.flatnonzero(one & ~np.roll(one, 1)) for one in free]
        streets[cluster] = (
            sum(map(len, starts)),
            sum(one.sum() for one in free) / sum(map(len, starts)),
        )
    assert 0 < streets[4][0] < streets[0][0]
    assert streets[4][1] > streets[0][1]


@pytest.mark.parametrize("seed", SEEDS)
def test_a_shore_lies_below_houses_and_mirrors_them(seed):
    """Houses stand as high above the shore as they did above the foot; stones run along the whole
    width; below them water is open where no house stands and broken where one does."""
    keys = {"ranks": 1, "density": 0.2, "cluster": 4}
    plain = paint("town", seed=seed, top=96, bottom=176, params=keys)
    shore = paint("town", seed=seed, **STREET, params=keys | {"shore": 16})
    assert (shore.ink[:80] == plain.ink).all()
    assert ramp_pixels(shore, "wall")[80:83].all()
    house, water = plain.ink[-1] > 0, shore.ink[88:] > 0
    assert not water[:, ~house].any()
    assert 0.2 < water[:, house].mean() < 0.8
