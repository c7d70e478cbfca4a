"""A village on cliffs: what one light, one mirror and the lie of the land promise."""

import numpy as np
import pytest
from painting_checks import count_tiles, paint, step_at_wrap

from genbg.paint.contract import Body
from genbg.paint.craft.dice import Dice
from genbg.paint.painters import cliffs
from genbg.paint.painters.cliffs import drawn_out
from genbg.paint.painters.cliffs.keys import PLANS, RAMPS
from genbg.paint.painters.cliffs.smoke import plume

TOP, BOTTOM = 0, 172
FIRST = dict(zip([r.name for r in RAMPS], np.cumsum([1, *(r.steps for r in RAMPS)]), strict=False))
SUN = 96.0


def drawn(seed=1, sun=SUN, **given):
    body = Body(sun, 70.0, 11.0)
    return paint("cliffs", top=TOP, bottom=BOTTOM, seed=seed, body=body, ratio=0.4, **given).ink


def tones_of(ink, *names):
    """Tone of each pixel of some ramps; -1 elsewhere."""
    steps = {ramp.name: ramp.steps for ramp in RAMPS}
    tone = np.full(ink.shape, -1)
    for name in names:
        here = (ink >= FIRST[name]) & (ink < FIRST[name] + steps[name])
        tone[here] = ink[here] - FIRST[name]
    return tone


WALLS = "white", "ochre", "rose", "rock"


@pytest.mark.parametrize("plan", PLANS[1:])
def test_outlines_toward_the_sun_are_lit_and_those_away_are_not(plan):
    """One light: the first walls and rocks from the sun's side take it, the last do not."""
    ink = drawn(params={"plan": plan, "mole": False})
    tone = np.roll(tones_of(ink, *WALLS)[20:120], -int(SUN), axis=1)
    side = 1 if (tone[:, :256] >= 0).sum() > (tone[:, 256:] >= 0).sum() else -1
    tone = tone[:, ::side]
    rows = tone[(tone >= 0).sum(axis=1) > 24]
    first = [row[row >= 0][:3].mean() for row in rows]
    last = [row[row >= 0][-3:].mean() for row in rows]
    assert np.mean(first) > np.mean(last) + 0.8


@pytest.mark.parametrize("seed", range(1, 4))
def test_the_land_keeps_clear_of_the_sun_and_the_post_stands_beside_its_path(seed):
    ink = drawn(seed)
    away = (np.arange(512) - SUN + 256) % 512 - 256
    land = (tones_of(ink, "white", "ochre", "rose", "tile") >= 0)[:, np.abs(away) < 20]
    assert land.sum() < 20
    post = np.nonzero(tones_of(ink, "post") >= 0)[1]
    assert 4 < np.abs(away[post].mean()) < 46


def test_seeds_set_the_post_elsewhere_before_the_light():
    away = (np.arange(512) - SUN + 256) % 512 - 256
    posts = [away[np.nonzero(tones_of(drawn(s), "post") >= 0)[1]].mean() for s in range(1, 5)]
    assert max(posts) - min(posts) > 12


def test_a_mirror_is_drawn_out_into_strokes():
    """Stripes a column wide, as of windows, run together; a wide lit wall stays lit."""
    stripes = np.where(np.arange(66) % 3 == 0, 4.0, 1.0)[None, :]
    drawn_stripes = drawn_out(stripes, np.ones(stripes.shape, dtype=bool))
    assert (drawn_stripes == drawn_stripes[0, 0]).all()
    wall = np.where(np.arange(64) < 32, 4.0, 0.0)[None, :]
    drawn_wall = drawn_out(wall, np.ones(wall.shape, dtype=bool))
    assert (drawn_wall[0, 10:28] == 4).all()
    assert (drawn_wall[0, 38:54] == 0).all()


@pytest.mark.parametrize("seed", range(1, 5))
def test_nothing_tears_at_the_wrap(seed):
    """Moved so that the wrap runs through the village."""
    ink = drawn(seed, sun=SUN)
    at_wrap, others = step_at_wrap(ink)
    assert at_wrap <= others.max()


def test_the_mirror_lies_below_what_it_mirrors():
    ink = drawn()
    mirror = tones_of(ink, "mirror") >= 0
    assert mirror.sum() > 1000
    assert np.nonzero(mirror)[0].min() > 88 + 30
    solid = (ink > 0) & ~mirror
    above = np.maximum.accumulate(solid, axis=0)
    shoved = above | np.roll(above, 14, axis=1) | np.roll(above, -14, axis=1)
    # Lines of shadow along the feet of boats and the mole have nothing above them but air.
    assert (mirror & ~shoved).sum() < 0.02 * mirror.sum()


def test_seeds_are_other_places():
    shapes = [drawn(seed) > 0 for seed in range(1, 5)]
    for number, one in enumerate(shapes):
        for other in shapes[number + 1 :]:
            assert (one ^ other).sum() > 0.15 * one.sum()


def test_thrift_takes_fewer_tiles():
    counts = [count_tiles(drawn(thrift=thrift), TOP) for thrift in (0.0, 1.0)]
    assert counts[1] < 0.92 * counts[0]


def test_without_town_there_is_only_rock():
    bare = drawn(params={"town": 0.0, "tower": "none", "boats": 0})
    assert (tones_of(bare, "tile") >= 0).sum() == 0
    assert (tones_of(drawn(), "tile") >= 0).sum() > 400


def test_boats_in_the_offing_lie_beyond_the_lights_path():
    """What they add stands on the open side of the sun, the land and its mole on the other."""
    with_boats, without = (drawn(params={"offing": n, "plan": "peak"}) for n in (2, 0))
    away = (np.arange(512) - SUN + 256) % 512 - 256
    added = ((with_boats > 0) & (without == 0)).any(axis=0)
    land = away[(without[:88] > 0).any(axis=0)].mean()
    assert added.sum() > 20
    assert (np.sign(away[added]) == -np.sign(land)).mean() > 0.95


def test_people_build_otherwise_elsewhere():
    """Over six seeds some villages are those of the harbour kind, and some are not."""
    tiles = [(tones_of(drawn(s, params={"houses": "any"}), "tile") >= 0).sum() for s in range(6)]
    fixed = [
        (tones_of(drawn(s, params={"houses": "harbour"}), "tile") >= 0).sum() for s in range(6)
    ]
    same = [a == b for a, b in zip(tiles, fixed, strict=True)]
    assert any(same)
    assert not all(same)


def test_a_layer_above_the_water_has_no_mirror():
    """A layer that ends over the horizon is painted all the same."""
    painting = paint("cliffs", top=8, bottom=40, params={"horizon": 110})
    assert (tones_of(painting.ink, "mirror") < 0).all()


def works_of(seed=1, **more):
    keys = {"plan": "kilns", "mole": False, "boats": 0, "glow": 0.0, "mirror": 0, **more}
    return drawn(seed, params=keys)


def test_mouths_of_kilns_light_what_is_near_them(monkeypatch):
    """A fire adds light and takes none (inverse square: most of it near): beside the mouths brick
    and stone are lighter than without, nothing is darker, and far off nothing changes."""
    lit = works_of()
    monkeypatch.setattr(cliffs, "FIRELIT", 1e9)
    unlit = works_of()
    one, two = (tones_of(ink, "rose", "ochre", "stone") for ink in (lit, unlit))
    both = (one >= 0) & (two >= 0)
    assert (one[both] >= two[both]).all()
    columns = np.flatnonzero((tones_of(lit, "glow") == 2).any(axis=0))
    changed = np.flatnonzero((both & (one > two)).any(axis=0))
    assert len(changed) > 20
    assert all(np.abs(columns - column).min() < 40 for column in changed)


def test_smoke_widens_as_it_rises():
    """A plume takes in air and widens with height (Morton, Taylor and Turner, 1956)."""
    dice = Dice(3, "smoke")
    puffs = plume(dice, (0.0, 50.0, 400.0), 1.0)
    low, high = puffs[:5], puffs[-5:]
    assert np.mean([p.radius for p in high]) > 1.8 * np.mean([p.radius for p in low])
    assert min(p.place[1] for p in high) > max(p.place[1] for p in low[:3])
    assert np.mean([p.place[0] for p in high]) > 20


def test_a_stair_climbs_from_terrace_to_terrace():
    """Its white parapet is seen in every stretch of lines between the foot and the top."""
    body = Body(SUN, 40.0, 11.0)
    keys = {"plan": "stair", "town": 0.0, "mole": False, "boats": 0, "noon": 1.0, "mirror": 0}
    keys |= {"tower": "none", "horizon": 230, "eye": 130.0}
    ink = paint("cliffs", top=0, bottom=376, seed=2, body=body, ratio=0.4, params=keys).ink
    lines = (tones_of(ink, "white") >= 3).sum(axis=1)
    first = int(np.flatnonzero(lines)[0])
    assert first < 120
    assert all(lines[n : n + 24].sum() >= 12 for n in range(first, 320, 24))
