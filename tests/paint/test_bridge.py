"""The bridge painter: arches that close around the plane and show what lies behind."""

import numpy as np
import pytest
from built_checks import ramp_pixels
from painting_checks import LIGHT_RIGHT, count_tiles, paint, stray_share

from genbg.paint.painters.bridge import Keys as BridgeKeys
from genbg.paint.painters.bridge.spans import place_arches

SEEDS = range(1, 7)
VALLEY = {"top": 72, "bottom": 192}
LOOKS = {
    "viaduct": {"height": 0.8},
    "aqueduct": {"tiers": 2, "span": 64, "pier": 16, "height": 0.95},
    "low bridge": {"span": 112, "pier": 32, "deck": 8, "water": True, "height": 0.5},
    "pointed": {"pointed": True, "height": 0.9},
    "crowned": {"rail": "balusters", "crowns": 0.6, "gate": 0.4, "height": 0.5, "growth": 0.6},
    "fallen": {"tiers": 2, "span": 32, "deck": 8, "broken": 160, "water": True, "shine": 16},
    "gaps": {"tiers": 2, "span": 48, "pier": 16, "deck": 8, "gaps": 2, "height": 0.95},
}


@pytest.mark.parametrize("look", LOOKS)
@pytest.mark.parametrize("seed", SEEDS)
def test_a_bridge_is_clean_and_thrifty(seed, look):
    """Few tiles and few stray pixels."""
    painting = paint("bridge", seed=seed, **VALLEY, params=LOOKS[look])
    assert count_tiles(painting.ink, 72) <= 260
    assert stray_share(painting.ink) <= 0.005


@pytest.mark.parametrize("columns", [32, 64, 128])
@pytest.mark.parametrize("span", [16, 40, 72, 200])
def test_arches_and_piers_fill_the_plane(columns, span):
    """Openings do not touch, differ by even numbers of cells, and close around the plane."""
    for seed in range(60):
        for pier in (8, 24, 64):
            keys = BridgeKeys(span=span, pier=pier, variety=1.0)
            arches = place_arches(keys, columns, seed)
            taken = np.zeros(columns, dtype=int)
            for column, width in arches:
                taken[(column + np.arange(width)) % columns] += 1
                assert width >= 2
                assert width % 2 == 0
            assert taken.max() == 1
            starts = sum((taken == 1) & (np.roll(taken, 1) == 0))
            assert starts == len(arches)


def test_what_is_too_narrow_for_an_arch_is_a_broad_pier():
    """No arch is half as wide as usual or less; under a gatehouse one pier is broader instead."""
    for seed in range(20):
        for gate in (0.0, 0.4):
            keys = BridgeKeys(span=40, pier=16, variety=0.0, gate=gate)
            arches = place_arches(keys, 64, seed)
            assert {width for _, width in arches} == {4}
            ends = [(column + width) % 64 for column, width in arches]
            starts = [column for column, _ in arches[1:] + arches[:1]]
            piers = [(start - end) % 64 for end, start in zip(ends, starts, strict=True)]
            assert sorted(set(piers)) == [2, 6]
            broad = (ends[piers.index(6)] + 3) % 64
            assert broad == round(gate * 64)


@pytest.mark.parametrize("look", LOOKS)
def test_openings_show_what_lies_behind(look):
    """Under the deck there are holes as wide as asked, and the deck itself has none."""
    painting = paint("bridge", **VALLEY, params=LOOKS[look] | {"growth": 0.0, "broken": 0})
    solid = painting.ink > 0
    full = solid.all(axis=1)
    assert full.sum() >= 6
    assert 0.3 < (~solid[-12 - LOOKS[look].get("shine", 0)]).mean() < 0.95


def test_variety_makes_arches_differ():
    """At 0 all arches are about alike, at 1 there are several widths."""
    widths = [
        {width for _, width in place_arches(BridgeKeys(variety=v), 128, seed=4)} for v in (0.0, 1.0)
    ]
    assert len(widths[0]) <= 2 < len(widths[1])


PLAIN = {"growth": 0.0, "lamps": 0.0, "height": 0.6}


def plain_and(**keys):
    """A plain bridge, and one with these keys besides."""
    return (paint("bridge", **VALLEY, params=PLAIN | more) for more in ({}, keys))


def test_ivy_lamps_and_tiers_are_added_where_asked():
    """Nothing of them on a plain bridge; each where its key says so."""
    one, two = plain_and(tiers=2)
    assert (one.ink != two.ink).any()
    assert not ramp_pixels(one, "ivy", "lamp", "iron", "glow", "roof").any()
    _, grown = plain_and(growth=0.8)
    assert ramp_pixels(grown, "ivy").any()
    _, lamps = plain_and(lamps=1.0, halo=16)
    assert ramp_pixels(lamps, "lamp").any()
    assert ramp_pixels(lamps, "glow").any()
    assert (lamps.guard == ramp_pixels(lamps, "lamp")).all()


def test_a_skyline_rises_over_the_deck():
    """Crowned piers, a gatehouse and a rail stand where a plain bridge has nothing but air."""
    for keys, least in (
        ({"crowns": 1.0}, 500),
        ({"gate": 0.5}, 1500),
        ({"rail": "balusters"}, 900),
    ):
        plain, crowned = plain_and(**keys)
        air = (plain.ink == 0) & (np.arange(len(plain.ink)) < 48)[:, None]
        assert (crowned.ink[air] > 0).sum() > least


@pytest.mark.parametrize("seed", SEEDS)
def test_a_stretch_falls_and_nothing_else(seed):
    """Stone is missing over one stretch no wider than asked; beside it the bridge is as it was."""
    keys = PLAIN | {"tiers": 2, "height": 0.9}
    whole = paint("bridge", seed=seed, **VALLEY, params=keys)
    fallen = paint("bridge", seed=seed, **VALLEY, params=keys | {"broken": 160})
    gone = ((whole.ink > 0) & (fallen.ink == 0)).any(axis=0)
    changed = (whole.ink != fallen.ink).any(axis=0)
    assert 80 <= gone.sum() <= 160
    assert changed.sum() <= 160
    middle = len(whole.ink) // 2
    assert ((fallen.ink > 0).sum(axis=0) < 24).sum() >= 16, "the water shows between the stubs"
    assert (fallen.ink[middle:] > 0).any()


@pytest.mark.parametrize("seed", SEEDS)
def test_only_the_upper_tier_falls_in_a_gap(seed):
    """Each gap opens two bays of sky, with stumps of piers in it; the lower arches all stand."""
    keys = PLAIN | {"tiers": 2, "span": 48, "pier": 16, "variety": 0.0, "deck": 8, "height": 0.9}
    whole = paint("bridge", seed=seed, **VALLEY, params=keys).ink
    lost = []
    for gaps in (1, 2):
        broken = paint("bridge", seed=seed, **VALLEY, params=keys | {"gaps": gaps}).ink
        lowest = np.nonzero((whole != broken).any(axis=1))[0].max()
        assert (whole[lowest + 1 :] > 0).all(axis=1).sum() >= 4, "stone over the lower arches"
        gone = ((whole > 0) & (broken == 0)).any(axis=0)
        assert 96 * gaps <= gone.sum() <= 208 * gaps
        assert ((broken > 0).any(axis=0)).all(), "no column is without stone"
        lost.append(gone.sum())
    assert lost[1] > lost[0]


def test_lanterns_hang_in_air_from_arches():
    """They and their glow take the place of air alone, and merging keeps them."""
    plain, hung = plain_and(hung=0.5, halo=24)
    lit = ramp_pixels(hung, "lamp", "glow")
    assert ramp_pixels(hung, "lamp").sum() > 100
    assert not (lit & (plain.ink > 0)).any()
    assert (hung.guard == ramp_pixels(hung, "lamp")).all()


@pytest.mark.parametrize("seed", SEEDS)
def test_no_two_piers_look_alike(seed):
    """Courses tell eight piers apart in any three rows; worn smooth, they are all the same."""
    keys = PLAIN | {"tiers": 2, "span": 48, "pier": 16, "variety": 0.0, "deck": 8, "height": 0.9}
    for wear, kinds in ((0.4, 8), (1.0, 1)):
        stone = paint("bridge", seed=seed, **VALLEY, params=keys | {"wear": wear}).ink
        arches = place_arches(BridgeKeys(span=48, pier=16, variety=0.0), 64, seed)
        piers = {
            stone[64:88, (8 * (column + width) + np.arange(2, 13)) % 512].tobytes()
            for column, width in arches
        }
        assert len(arches) == 8
        assert len(piers) == kinds


def test_water_wets_and_shows_the_bridge():
    """Stone at the foot is darker in water; below its line piers are seen again, and no arch."""
    dry, wet = plain_and(water=True)
    assert wet.ink[-2][wet.ink[-2] > 0].mean() < dry.ink[-2][dry.ink[-2] > 0].mean()
    _, mirror = plain_and(water=True, shine=24)
    above, below = mirror.ink[-28] > 0, mirror.ink[-20] > 0
    assert below.any()
    assert (below & ~np.roll(above, 3) & ~np.roll(above, -3) & ~above).mean() < 0.05


def test_light_from_the_right_is_the_mirror_image():
    """The whole bridge turns over, so the lit side of each pier does too."""
    left = paint("bridge", **VALLEY)
    right = paint("bridge", **VALLEY, light=LIGHT_RIGHT)
    assert (left.ink[:, ::-1] == right.ink).all()


@pytest.mark.parametrize("lines", [8, 24, 40, 63])
def test_a_layer_of_few_lines(lines):
    """Where there is hardly room, arches are cut off and nothing fails."""
    for look in LOOKS.values():
        assert paint("bridge", top=101, bottom=101 + lines, params=look).ink.any()


def test_one_line_has_no_room_for_a_reflection():
    """A bridge that ends where its reflection would begin is painted all the same."""
    assert paint("bridge", top=100, bottom=101, params={"shine": 16}).ink.any()
