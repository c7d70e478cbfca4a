"""The stairs painter: terrace walls that close around the plane, and flights up to their edge."""

import numpy as np
import pytest
from built_checks import ramp_pixels
from painting_checks import LIGHT_RIGHT, count_tiles, paint, stray_share

from genbg.paint.painters.stairs import STEP, place_flights
from genbg.paint.painters.stairs import Keys as StairKeys

SEEDS = range(1, 7)
TOWN = {"top": 88, "bottom": 184}
BARE = {"height": 0.6, "niches": 0.0, "lamps": 0.0, "growth": 0.0, "wear": 1.0}


@pytest.mark.parametrize("seed", SEEDS)
def test_a_terrace_is_clean_and_thrifty(seed):
    """Few tiles and few stray pixels."""
    painting = paint("stairs", seed=seed, **TOWN, params={"height": 0.6})
    assert count_tiles(painting.ink, 88) <= 100
    assert stray_share(painting.ink) <= 0.005


@pytest.mark.parametrize("seed", SEEDS)
def test_a_flight_climbs_from_foot_to_edge(seed):
    """Alone, each flight's outline goes up by whole steps, one way, from the foot to the top."""
    keys = BARE | {"wall": False, "flights": 3}
    ink = paint("stairs", seed=seed, **TOWN, params=keys).ink
    stone = ink > 0
    surface = np.where(stone.any(axis=0), stone.argmax(axis=0), len(ink))
    rise = int(0.6 * 96) // 8
    flights = place_flights(StairKeys(flights=3), ink.shape[1] // 8, rise, seed)
    assert flights
    for column, up in flights:
        x = (column * 8 + np.arange(rise * 8)) % ink.shape[1]
        line = surface[x] if up else surface[x][::-1]
        assert line[0] == len(ink) - STEP
        assert line[-1] == len(ink) - rise * 8
        assert set(np.diff(line).tolist()) == {0, -STEP}
    assert stone.any(axis=0).sum() == len(flights) * rise * 8


def test_the_wall_is_level_and_closed():
    """Its edge runs level all around, and below it nothing is see-through."""
    ink = paint("stairs", **TOWN, params=BARE | {"flights": 0}).ink
    stone = ink > 0
    top = int(stone.any(axis=1).argmax())
    assert not stone[:top].any()
    assert stone[top:].all()


def test_keys_matter():
    """Flights, niches, lamps, lights and ivy each add what they say."""
    bare = paint("stairs", **TOWN, params=BARE | {"flights": 0})
    assert not ramp_pixels(bare, "ivy", "iron", "lamp").any()
    assert ramp_pixels(paint("stairs", **TOWN, params=BARE | {"growth": 0.8}), "ivy").any()
    assert ramp_pixels(paint("stairs", **TOWN, params=BARE | {"lamps": 1.0}), "iron").any()
    dark, lit = (
        paint("stairs", **TOWN, params=BARE | {"flights": 0, "niches": 1.0, "lit": n})
        for n in (0.0, 1.0)
    )
    assert (dark.ink != bare.ink).any()
    assert not ramp_pixels(dark, "lamp").any()
    assert ramp_pixels(lit, "lamp").any()
    assert (lit.guard == ramp_pixels(lit, "lamp")).all()


def test_light_from_the_right_is_the_mirror_image():
    """The whole terrace turns over."""
    left, right = (paint("stairs", **TOWN, **light) for light in ({}, {"light": LIGHT_RIGHT}))
    assert (left.ink[:, ::-1] == right.ink).all()


@pytest.mark.parametrize("lines", [8, 24, 40, 63])
def test_a_layer_of_few_lines(lines):
    """Where there is hardly room there is a wall, and nothing fails."""
    assert paint("stairs", top=101, bottom=101 + lines).ink.any()
