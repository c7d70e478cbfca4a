"""A landing: quays that face us, water under the moon, lanterns and their light."""

import numpy as np
import pytest
from painting_checks import count_tiles, paint

from genbg.paint.contract import Body
from genbg.paint.painters.landing.keys import RAMPS

TOP, BOTTOM, MOON, WIDE = 168, 224, 100.0, 256
FIRST = dict(zip([r.name for r in RAMPS], np.cumsum([1, *(r.steps for r in RAMPS)]), strict=False))
BARE = {"lamps": 0, "boats": 0, "stairs": 0.0, "posts": 0, "goods": 0.0, "plants": 0.0}


def drawn(seed=1, **given):
    given = {"width": WIDE, **given}
    body = Body(MOON, 34.0, 12.0)
    return paint("landing", top=TOP, bottom=BOTTOM, seed=seed, body=body, ratio=1.0, **given).ink


def holds(ink, *names, least=0):
    steps = {ramp.name: ramp.steps for ramp in RAMPS}
    return np.any([(ink >= FIRST[n] + least) & (ink < FIRST[n] + steps[n]) for n in names], axis=0)


@pytest.mark.parametrize("seed", range(1, 5))
def test_the_moons_path_is_not_built_over(seed):
    """The first gap lies under the moon, whose path shows there (the plane behind)."""
    ink = drawn(seed, params=BARE)
    near = np.abs(np.arange(WIDE) - MOON) < 30
    assert (ink[:28, near] == 0).mean() > 0.4


def test_more_cover_is_more_quay():
    shares = [
        holds(drawn(params={**BARE, "cover": cover}), "stone", "wood").mean()
        for cover in (0.3, 0.6, 0.9)
    ]
    assert shares[0] < shares[1] < shares[2]


def test_walls_are_darker_than_their_floor():
    """What faces us is turned away from the moon behind it; the floor it shines on is lighter
    (Lambert, Photometria, 1760: a face turned from the light gets none)."""
    ink = drawn(2, params={**BARE, "cover": 0.9})
    stone = holds(ink, "stone")
    tone = ink.astype(int) - FIRST["stone"]
    first = np.where(stone.any(axis=0), stone.argmax(axis=0), -1)
    last = stone.shape[0] - 1 - stone[::-1].argmax(axis=0)
    long = (first >= 0) & (last - first > 20)
    columns = np.flatnonzero(long)
    line = np.arange(len(ink))[:, None]
    floor = stone[:, columns] & (line > first[columns] + 1) & (line < first[columns] + 7)
    wall = stone[:, columns] & (line > last[columns] - 9) & (line < last[columns] - 2)
    assert tone[:, columns][floor].mean() > tone[:, columns][wall].mean() + 0.8


def test_without_lamps_nothing_is_warm():
    ink = drawn(params=BARE)
    assert not holds(ink, "warm", "glow", "warmth").any()


def test_lamplight_lies_round_lamps():
    ink = drawn(params={**BARE, "lamps": 1})
    lamps = np.nonzero(holds(ink, "glow", least=2))[1]
    warm = np.nonzero(holds(ink, "warm"))[1]
    assert len(warm) > 60
    away = np.abs((warm[:, None] - lamps[None, :] + WIDE / 2) % WIDE - WIDE / 2).min(axis=1)
    assert away.max() < 60


def test_a_boat_carries_its_own_lamp():
    """Boats alone bring light: one of three is a work boat with a lamp."""
    assert holds(drawn(params={**BARE, "boats": 3}), "glow").any()


def test_thrift_takes_fewer_tiles():
    counts = [count_tiles(drawn(thrift=thrift), TOP) for thrift in (0.0, 1.0)]
    assert counts[1] < counts[0]


def test_the_landing_wraps():
    """The step across the wrap is no larger than the largest inside."""
    light = drawn(width=512).astype(float)
    steps = np.abs(np.roll(light, -1, axis=1) - light).mean(axis=0)
    assert steps[-1] <= steps[:-1].max()
