"""Inks: haze, tint, moods, and one ink for equal colours."""

from __future__ import annotations

import numpy as np
import pytest
from plain_scene import Below, Scene

from genbg.colour import decode_srgb, oklab_table, screen_table, snap_srgb
from genbg.model import HOME, Painting, RampUse
from genbg.paint.colour.inks import InkRequest
from genbg.paint.colour.views import resolve_inks as resolve_views
from genbg.paint.contract import Ramp

ROCK = Ramp("rock", "", ("#240000", "#924924", "#ffdb92"), 3)
LAMP = Ramp("lamp", "", ("#ff9200", "#ffff92"), 2, lit=True)
SKY = Ramp("sky", "", ("#0049b6", "#92dbff"), 2, hazed=False)
ALL = (ROCK, LAMP, SKY)


def request(name: str = "hill", distance: float | None = None, colours=None, used=7) -> InkRequest:
    ink = np.arange(8, dtype=np.uint16).reshape(1, 8) * (np.arange(8) <= used)
    uses = tuple(RampUse(ramp.name, ramp.steps) for ramp in ALL)
    return InkRequest(name, Painting(ink.astype(np.uint16), uses), ALL, colours or {}, distance)


def resolve_inks(requests, scene, moods):
    """The inks of the backdrop and the layers' pictures, on a screen of one view."""
    runs = [[(0, len(one.painting.ink), ((),))] for one in requests]
    inks, pictures = resolve_views(requests, runs, scene, moods, {}, [((),)])
    return inks.for_fit(), pictures


def rgb(inks, mood: int = 0) -> np.ndarray:
    return screen_table()[inks.colours[mood]]


def test_local_inks_keep_their_order_and_see_through_stays():
    """Ink 0 stays 0; the others are numbered in order of first appearance."""
    inks, (picture,) = resolve_inks([request()], Scene(), {})
    assert picture.tolist() == [[0, 1, 2, 3, 4, 5, 6, 7]]
    assert inks.moods == (HOME,)
    assert inks.colours.shape == (1, 8)
    assert rgb(inks)[0].tolist() == [0, 0, 0]


def test_inks_that_no_pixel_uses_are_left_out():
    """A ramp that is not painted with costs no ink."""
    inks, (picture,) = resolve_inks([request(used=3)], Scene(), {})
    assert inks.colours.shape == (1, 4)
    assert picture.max() == 3


def test_equal_inks_become_one_only_if_equal_in_all_moods():
    """Two layers with the same ramps share inks until a mood tells them apart."""
    pair = [request("hill"), request("dale")]
    inks, (hill, dale) = resolve_inks(pair, Scene(), {})
    assert np.array_equal(hill, dale)
    assert inks.colours.shape[1] == 8
    apart = Below(colours={"dale": {"rock": ("#000024", "#002449", "#00496d")}})
    inks, (hill, dale) = resolve_inks(pair, Scene(), {"night": apart})
    assert inks.moods == (HOME, "night")
    assert dale[0, 1:4].tolist() == [8, 9, 10]
    assert np.array_equal(hill[0, 4:], dale[0, 4:])
    assert rgb(inks, 1)[8:11].tolist() == [[0, 0, 36], [0, 36, 73], [0, 73, 109]]


def linear(colours) -> np.ndarray:
    return decode_srgb(np.asarray(colours) / 255.0)


@pytest.mark.parametrize("distance", [0.0, 5.0, 10.0, 30.0])
def test_haze_leaves_the_stated_share_of_contrast(distance):
    """After d of distance 2 ** -(d / half) of the difference from the haze is left.

    Exponential extinction (Bouguer-Beer-Lambert). Given colours are snapped one by one, so the
    expected colour is computed with `pow` in linear light and snapped.
    """
    own = ("#240000", "#924924", "#ffdb92")
    asked = request(distance=distance, colours={"rock": own})
    inks, (picture,) = resolve_inks([asked], Scene(), {})
    base = linear([[0x24, 0, 0], [0x92, 0x49, 0x24], [0xFF, 0xDB, 0x92]])
    mixed = 1.0 + 2.0 ** (-distance / 10.0) * (base - 1.0)
    curve = np.where(mixed <= 0.0031308, mixed * 12.92, 1.055 * mixed ** (1 / 2.4) - 0.055)
    expected = screen_table()[snap_srgb(np.rint(curve * 255))]
    off = np.abs(rgb(inks)[picture[0, 1:4]].astype(int) - expected)
    assert off.max() <= 37  # at most one level of one channel


def test_farther_layers_are_nearer_the_haze_and_flatter():
    """With distance, every ink approaches the haze colour and a ramp's range shrinks."""
    haze = oklab_table()[511]
    gaps, ranges = [], []
    for distance in (1.0, 4.0, 12.0, 40.0):
        inks, (picture,) = resolve_inks([request(distance=distance, used=3)], Scene(), {})
        lab = oklab_table()[inks.colours[0, picture[0, 1:4]]]
        gaps.append(np.sqrt(((lab - haze) ** 2).sum(axis=1)).mean())
        ranges.append(lab[-1, 0] - lab[0, 0])
    assert (np.diff(gaps) < 0).all()
    assert (np.diff(ranges) < 0).all()


def test_lamps_and_skies_know_no_haze():
    """A lit ramp and a ramp behind the haze keep their colours at any distance."""
    near, _ = resolve_inks([request(distance=None)], Scene(), {})
    far, (picture,) = resolve_inks([request(distance=500.0)], Scene(), {})
    assert np.array_equal(far.colours[0, picture[0, 4:]], near.colours[0, 4:8])
    assert not np.array_equal(far.colours[0, picture[0, 1:4]], near.colours[0, 1:4])


def test_tint_multiplies_linear_light_and_spares_lamps():
    """A full red tint takes green and blue from everything but the lamps."""
    mood = Below(tint="#ff0000", amount=1.0)
    inks, _ = resolve_inks([request(distance=5.0)], Scene(backdrop="#ffffff"), {"red": mood})
    red = rgb(inks, 1)
    assert (red[[0, 1, 2, 3, 6, 7], 1:] == 0).all()
    assert np.array_equal(red[4:6], rgb(inks)[4:6])
    assert red[0].tolist() == [255, 0, 0]


def test_a_mood_may_have_its_own_haze_and_backdrop():
    """They are taken as they are, without the tint."""
    mood = Below(tint="#ff0000", amount=1.0, haze="#0000ff", backdrop="#00ff00")
    inks, (picture,) = resolve_inks([request(distance=400.0)], Scene(), {"odd": mood})
    odd = rgb(inks, 1)
    assert odd[0].tolist() == [0, 255, 0]
    assert (odd[picture[0, 1:4]] == [0, 0, 255]).all()


def test_as_many_colours_as_steps_are_taken_one_for_one():
    """An artist's own three colours for three steps are not spread anew."""
    own = ("#000000", "#242424", "#ffffff")
    inks, _ = resolve_inks([request(colours={"rock": own})], Scene(), {})
    assert rgb(inks)[1:4].tolist() == [[0, 0, 0], [36, 36, 36], [255, 255, 255]]


def test_fixed_colours_are_tinted_and_hazed_too():
    """The user's own art stands in the same air as the painted layers."""
    art = Painting(np.array([[0, 1, 2]], dtype=np.uint16), (RampUse("art", 2, (7, 511)),))
    tint = Below(tint="#000000", amount=1.0)
    inks, (picture,) = resolve_inks([InkRequest("art", art, (), {}, None)], Scene(), {"dark": tint})
    assert inks.colours[0, picture[0]].tolist() == [0, 7, 511]
    assert (rgb(inks, 1)[picture[0]] == 0).all()


def test_a_ramp_that_nobody_knows_is_an_error():
    """A painter that uses a ramp it did not declare is told so."""
    bad = Painting(np.ones((1, 8), dtype=np.uint16), (RampUse("moss", 1),))
    with pytest.raises(KeyError, match="unknown ramp"):
        resolve_inks([InkRequest("hill", bad, ALL, {}, None)], Scene(), {})
