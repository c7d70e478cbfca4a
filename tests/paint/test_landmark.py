"""The landmark painter: lighthouse, hut, hut on piles, crag."""

import numpy as np
import pytest
from painting_checks import LIGHT_LEFT, LIGHT_RIGHT, paint

from genbg.paint.painters.landmark import KINDS, RAMPS
from genbg.paint.painters.landmark.towers import TOWERS

kinds = pytest.mark.parametrize("kind", KINDS)


def drawn(kind, seed=1, light=LIGHT_LEFT, **params):
    given = {"kind": kind, "rock": 0.4, "halo": 0, **params}
    return paint("landmark", top=0, bottom=160, seed=seed, params=given, light=light)


def inks_of(painting, name):
    """First ink of a ramp and the one after its last."""
    first = 1
    for use in painting.ramps:
        if use.name == name:
            return first, first + use.steps
        first += use.steps
    raise AssertionError(name)


def where(painting, name):
    first, end = inks_of(painting, name)
    return (painting.ink >= first) & (painting.ink < end)


@kinds
@pytest.mark.parametrize("seed", range(3))
def test_one_stands_on_the_plane(kind, seed):
    """What is painted lies together: a run of more than 40 % of the plane is see-through."""
    columns = np.flatnonzero((drawn(kind, seed).ink > 0).any(axis=0))
    gaps = np.diff(columns, append=columns[0] + 512)
    assert len(columns) > 32
    assert gaps.max() > 0.4 * 512


@kinds
def test_it_stands_where_it_is_put(kind):
    """Its middle lies within 8 cells of `place`, on a plane that wraps."""
    for place in (0.25, 0.5, 0.9):
        ink = drawn(kind, place=place, rock=0).ink
        x = np.flatnonzero((ink > 0).any(axis=0))
        off = (x - place * 512 + 256) % 512 - 256
        assert abs(off.mean()) < 64


def test_lamps_are_guarded():
    """Every pixel that shines is one that merging has to keep; a crag has none."""
    for kind in KINDS:
        painting = drawn(kind)
        assert (painting.guard == where(painting, "window")).all()
        assert painting.guard.any() == (kind != "crag")


def test_beams_reach_as_far_as_asked():
    """Light lies to both sides of the lamp, no farther than `beam`, and thins out."""
    assert not where(drawn("lighthouse"), "glow").any()
    glow = where(drawn("lighthouse", beam=128), "glow").any(axis=0)
    x = np.flatnonzero(glow)
    assert 200 <= x[-1] - x[0] <= 256
    inner = where(drawn("lighthouse", beam=128), "glow").sum(axis=0)[x[0] : x[-1] + 1]
    lines = 2 * (2 + np.arange(128) // 8)
    share = inner[:128][::-1] / lines
    assert share[20:60].mean() > share[100:].mean()


def test_the_rock_bears_what_stands_on_it():
    """With `rock`, stone reaches the foot under all of the tower."""
    painting = drawn("lighthouse", rock=0.5)
    wall = np.flatnonzero(where(painting, "wall")[60:90].any(axis=0))
    stone = where(painting, "rock") | where(painting, "green")
    assert stone[-20:-12][:, wall].all(axis=0).mean() > 0.9
    assert not where(drawn("lighthouse", rock=0), "rock").any()


@pytest.mark.parametrize("seed", range(3))
def test_a_knoll_bears_a_hut_and_catches_its_light(seed):
    """Ground lies under all of the hut's walls, falls to both sides, and warm light lies on it."""
    painting = drawn("hut", seed, ground="knoll", rock=0.5, halo=16)
    ground, glow = where(painting, "knoll"), where(painting, "glow")
    wall = where(painting, "wall")
    walls = np.flatnonzero(wall.any(axis=0))
    foot = int(np.flatnonzero(wall.any(axis=1))[-1]) + 1
    assert (ground | glow)[foot:, walls].all()
    high = ground.sum(axis=0)
    assert high[walls].min() > 1.5 * high[high > 0].min()
    assert glow[foot:].any()
    assert not where(drawn("hut", seed, ground="knoll", rock=0), "knoll").any()


def test_conifers_stand_on_a_knoll_where_asked():
    """Without `trees` nothing is green; with more there is more of it, and none in the air."""
    bare, few, many = (
        where(drawn("hut", ground="knoll", rock=0.5, trees=share), "green") for share in (0, 0.3, 1)
    )
    assert not bare.any()
    assert few.sum() < many.sum()
    ground = where(drawn("hut", ground="knoll", rock=0.5), "knoll")
    assert ground.any(axis=0)[many.any(axis=0)].all()


@kinds
def test_light_from_the_right_turns_it(kind):
    """With light from the right, its right half is the brighter one in tones of its ramps."""
    means = []
    for light in (LIGHT_LEFT, LIGHT_RIGHT):
        painting = drawn(kind, light=light, rock=0.5)
        first, end = inks_of(painting, "rock")
        rows, x = np.nonzero((painting.ink >= first) & (painting.ink < end))
        bright = painting.ink[rows, x] >= end - 2
        means.append(float(x[bright].mean() - x[~bright].mean()))
    assert means[0] < means[1]


def test_light_has_no_haze():
    """Lamps and windows keep their colours at any distance, walls do not."""
    assert {ramp.name for ramp in RAMPS if ramp.lit} == {"glow", "window"}


def test_towers_differ_in_silhouette():
    """A stepped tower is wider at each cornice than under it; a round one only ever widens."""
    wide = {
        name: (drawn("lighthouse", tower=name, rock=0, height=1.0).ink[21:, :] > 0).sum(axis=1)
        for name in TOWERS
    }
    # Above the keeper's house, which stands in the last five cell rows.
    round_steps, stepped = np.diff(wide["round"][:-48]), np.diff(wide["stepped"][:-48])
    assert (round_steps >= 0).all()
    assert stepped.min() <= -4


@pytest.mark.parametrize("tower", TOWERS)
@pytest.mark.parametrize("height", [0.2, 0.5, 1.0])
def test_every_tower_has_its_lamp(tower, height):
    """However low it is, its lamp shines within the first three cell rows of the tower."""
    painting = drawn("lighthouse", tower=tower, rock=0, height=height)
    top = int((painting.ink > 0).any(axis=1).argmax())
    assert where(painting, "window")[top : top + 24].sum() > 30


@pytest.mark.parametrize("lines", [12, 24])
def test_a_knoll_on_few_lines(lines):
    """A hut on its knoll finds room on a layer lower than both, cut at the top."""
    keys = {"kind": "hut", "ground": "knoll"}
    painting = paint("landmark", top=64, bottom=64 + lines, params=keys)
    assert painting.ink.any()
