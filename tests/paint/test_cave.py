"""The cave painter: openings that show what lies behind, stones, one light, few tiles."""

import numpy as np
import pytest
from painting_checks import (
    LIGHT_LEFT,
    LIGHT_RIGHT,
    count_tiles,
    paint,
    stray_share,
)

from genbg.paint.painters.cave.facets import lay_stones, lay_strata, stone_patch

SEEDS = range(1, 5)
LOOKS = {
    "openings": {},
    "hall": {"open": 1.0},
    "windows": {"open": 0.4, "spacing": 128},
    "thrifty": {},
}
THRIFT = {"thrifty": {"thrift": 0.8}}
BARE = {"hanging": 0.0, "standing": 0.0}


def cave(look="openings", seed=1, **given):
    params = LOOKS[look] | given.pop("params", {})
    return paint(
        "cave", top=0, bottom=160, seed=seed, params=params, **THRIFT.get(look, {}) | given
    )


@pytest.mark.parametrize(
    ("look", "most"), [("openings", 520), ("hall", 400), ("windows", 640), ("thrifty", 300)]
)
def test_few_tiles(look, most):
    """160 lines of rock, 1280 cells, cost less than half of them, thrifty ones a quarter."""
    counts = [count_tiles(cave(look, seed).ink, 0) for seed in SEEDS]
    assert max(counts) <= most, counts


@pytest.mark.parametrize("look", LOOKS)
def test_few_stray_pixels(look):
    """At most 0.5 % of pixels have no neighbour of their ink."""
    for seed in SEEDS:
        assert stray_share(cave(look, seed).ink) <= 0.005


def test_seeds_differ_in_shape():
    """Two seeds differ in their openings even when one is moved along the other."""
    first, other = (cave(seed=seed).ink for seed in (1, 2))
    a, b = (first > 0).sum(axis=0), (other > 0).sum(axis=0)
    assert min(np.abs(a - np.roll(b, by)).mean() for by in range(512)) > 2.0


def test_light_from_the_other_side_mirrors_the_cave():
    """All turns with the light."""
    left = cave(light=LIGHT_LEFT).ink
    assert np.array_equal(left, cave(light=LIGHT_RIGHT).ink[:, ::-1])


def test_openings_go_from_none_to_a_hall():
    """0 leaves no hole; the more, the wider; 1 opens every column."""
    shares = []
    for share in (0.0, 0.3, 0.6, 0.9, 1.0):
        ink = np.stack([cave(seed=s, params=BARE | {"open": share}).ink for s in SEEDS])
        shares.append((ink == 0).mean())
    assert shares[0] == 0
    assert (np.diff(shares) > 0).all()
    assert (cave(params=BARE | {"open": 1.0}).ink == 0).any(axis=0).all()


def test_a_column_has_one_opening():
    """Without stones every column is rock, then perhaps open, then rock: no crumbs in the air."""
    for seed in SEEDS:
        rock = cave(seed=seed, params=BARE).ink > 0
        assert rock[0].all()
        assert rock[-1].all()
        assert (np.abs(np.diff(rock.astype(int), axis=0)).sum(axis=0) <= 2).all()


def test_rock_is_light_at_openings_and_dark_inside():
    """The mean ink falls with the distance from the opening."""
    ink = cave(params=BARE | {"glow": 0.4}).ink.astype(float)
    near = ink == 0
    means = []
    for _ in range(4):
        grown = near.copy()
        for _ in range(8):
            for axis, by in ((0, 1), (0, -1), (1, 1), (1, -1)):
                grown |= np.roll(grown, by, axis=axis)
        means.append(ink[grown & ~near].mean())
        near = grown
    assert (np.diff(means) < 0).all(), means
    assert means[0] > 2.5
    assert means[-1] < 1.5


def test_stones_hang_and_stand():
    """Stones only add rock: hanging ones in the upper half, standing ones in the lower."""
    params = {"open": 1.0, "ceiling": 0.2, "floor": 0.2, "rough": 0.0, "stone": 32}
    bare = cave(params=params | BARE).ink > 0
    hanging = cave(params=params | {"hanging": 1.0, "standing": 0.0}).ink > 0
    standing = cave(params=params | {"hanging": 0.0, "standing": 1.0}).ink > 0
    for more, half in ((hanging, slice(0, 80)), (standing, slice(80, 160))):
        added = more & ~bare
        assert not (bare & ~more).any()
        assert added[half].sum() == added.sum() > 300


def test_a_stone_tapers_and_its_sides_mirror_each_other():
    """Line by line a hanging stone gets no wider, and lies about one middle."""
    params = {"open": 1.0, "ceiling": 0.2, "floor": 0.1, "rough": 0.0, "stone": 64}
    bare = cave(params=params | BARE).ink > 0
    lone = cave(params=params | {"hanging": 0.05, "standing": 0.0}).ink > 0
    added = lone & ~bare
    columns = np.flatnonzero(added.any(axis=0))
    groups = np.split(columns, np.flatnonzero(np.diff(columns) > 1) + 1)
    whole = [g for g in groups if g[0] > 0 and g[-1] < 511 and len(g) > 4]
    assert whole
    for group in whole:
        stone = added[:, group]
        assert np.array_equal(stone, stone[:, ::-1])
        wide = stone.sum(axis=1)
        assert (np.diff(wide[wide.argmax() :]) <= 0).all()


def test_stones_of_a_patch_fill_it_and_wrap():
    """Every pixel has a stone, and each stone is one piece across the patch's edges."""
    stone, change, middles = stone_patch(6, 4, 9)
    assert stone.shape == (32, 48)
    assert sorted(np.unique(stone)) == list(range(len(middles)))
    tiled = np.tile(stone, (3, 3))
    for number in range(len(middles)):
        x, y = middles[number]
        reached = np.zeros(tiled.shape, dtype=bool)
        reached[32 + y, 48 + x] = True
        for _ in range(60):
            grown = reached.copy()
            for axis, by in ((0, 1), (0, -1), (1, 1), (1, -1)):
                grown |= np.roll(reached, by, axis=axis)
            reached = grown & (tiled == number)
        assert reached.sum() == (stone == number).sum()
    assert set(np.unique(change)) == {-1, 0, 1}


def test_dark_rock_shows_no_stones_but_may_have_level_streaks():
    """Rock of the deepest level is plain; streaks lie along the lines and ask for their share."""
    level = np.ones((6, 12), dtype=np.int64)
    assert (lay_stones(level, 4) == 1).all()
    assert len(np.unique(lay_stones(level + 2, 4))) > 1
    none, some, all_rows = (lay_strata(30, 40, 4, share) for share in (0.0, 0.5, 1.0))
    assert not none.any()
    assert 0 < some.mean() < all_rows.mean()
    ends = np.abs(np.diff(all_rows.astype(int), axis=1)).sum()
    steps = np.abs(np.diff(all_rows.astype(int), axis=0)).sum()
    assert ends < steps / 4


@pytest.mark.parametrize("steps", [2, 3, 6, 9])
def test_a_ramp_may_have_any_number_of_steps(steps):
    """Tones spread over however many inks a preset asks for."""
    ink = cave(steps={"rock": steps}).ink
    assert ink.max() == steps
    assert ink[ink > 0].min() == 1


@pytest.mark.parametrize("lines", [(0, 1), (3, 11), (100, 224), (37, 90)])
@pytest.mark.parametrize("width", [256, 1024])
def test_any_band_can_be_painted(lines, width):
    """One line, a few, many, off the cell grid, narrow and wide: no failure."""
    for params in LOOKS.values():
        paint("cave", top=lines[0], bottom=lines[1], width=width, params=params)


@pytest.mark.parametrize("seed", SEEDS)
def test_fewer_seams_leave_fewer_edges(seed):
    """Edges of tones in the rock grow with the share of stones that show theirs."""
    level = np.full((10, 64), 4)
    edges = []
    for share in (0.0, 0.3, 0.6, 1.0):
        tone = lay_stones(level, seed, seams=share)
        edges.append(int((np.diff(tone, axis=0) != 0).sum() + (np.diff(tone, axis=1) != 0).sum()))
    assert edges == sorted(edges)
    assert edges[0] * 2 < edges[-1]
    assert set(np.unique(lay_stones(level, seed, seams=0.0))) <= {3, 4}
    few, many = (cave("hall", seed, params={"seams": share}).ink for share in (0.0, 1.0))
    assert ((few > 0) != (many > 0)).mean() < 0.001
    assert (few != many).any()


@pytest.mark.parametrize("seed", SEEDS)
def test_rock_where_an_edge_crosses_is_as_light_as_the_rock_behind_it(seed):
    """With light that reaches deep, thrifty rock has no darker patch along the opening."""
    keys = BARE | {"open": 1.0, "floor": 0.0, "seams": 0.0, "glow": 1.0}
    ink = cave("hall", seed, thrift=0.75, params=keys).ink
    cells = ink.reshape(len(ink) // 8, 8, -1, 8).swapaxes(1, 2)
    rock = (cells > 0).mean(axis=(2, 3))
    crossed = cells[(rock > 0) & (rock < 1)]
    whole = cells[rock == 1]
    assert len(crossed) > 20
    shown = np.unique(crossed[crossed > 0])
    assert len(shown) == 1
    assert shown[0] == whole.max()
