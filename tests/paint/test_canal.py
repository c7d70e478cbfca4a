"""A canal by night: two lights, and water that shows what it must."""

import numpy as np
import pytest
from built_checks import ramp_pixels
from painting_checks import count_tiles, paint

from genbg.paint.contract import Body
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.solids import Frame, Stage
from genbg.paint.painters.canal.build import STUFF
from genbg.paint.painters.canal.keys import PLANS, RAMPS
from genbg.paint.painters.canal.ropes import PAPER, hang_ropes

TOP, BOTTOM = 0, 172
FIRST = dict(zip([r.name for r in RAMPS], np.cumsum([1, *(r.steps for r in RAMPS)]), strict=False))
MOON, WIDE = 100.0, 256


def drawn(seed=1, **given):
    given = {"width": WIDE, **given}
    body = Body(MOON, 34.0, 12.0)
    given = {"top": TOP, "bottom": BOTTOM, **given}
    return paint("canal", seed=seed, body=body, ratio=0.4, **given).ink


def holds(ink, name, least=0):
    steps = next(ramp.steps for ramp in RAMPS if ramp.name == name)
    return (ink >= FIRST[name] + least) & (ink < FIRST[name] + steps)


def away():
    return np.abs((np.arange(WIDE) - MOON + WIDE / 2) % WIDE - WIDE / 2)


@pytest.mark.parametrize("plan", PLANS[1:])
def test_the_moons_path_shows_through_open_water(plan):
    """The lower water under the moon is see-through: its path lies in the plane behind."""
    ink = drawn(params={"plan": plan})
    under = ink[150:172][:, away() < 16]
    assert (under == 0).mean() > 0.7


def test_lamplight_stays_near_lamps():
    ink = drawn(params={"trees": 0.0, "boats": 0})
    warm = holds(ink, "gold") | holds(ink, "ember") | holds(ink, "amber")
    assert warm.sum() > 300
    lamps = np.nonzero(holds(ink, "glow", 3))[1]
    reach = [np.abs((x - lamps + WIDE / 2) % WIDE - WIDE / 2).min() for x in np.nonzero(warm)[1]]
    # A house may hide a lamp, so not all of them are seen.
    assert np.percentile(reach, 90) < 64


def test_without_lamps_nothing_is_warm():
    ink = drawn(params={"lamps": 0.0, "plan": "basin", "glow": 0.0, "tower": "none"})
    for name in ("gold", "ember", "amber", "warmth", "glow"):
        assert not holds(ink, name).any(), name


def test_each_lamp_has_its_column_in_the_water():
    """A column of light lies under the lamp (a mirror's equal angles: same column)."""
    ink = drawn(params={"glow": 0.0, "tower": "none", "plan": "basin"})
    lamps = np.unique(np.nonzero(holds(ink, "glow", 3)[:120])[1])
    water = holds(ink, "warmth", 4)[124:]
    for x in lamps:
        columns = np.arange(x - 3, x + 4) % WIDE
        assert water[:, columns].any(), x


def test_roofs_are_brighter_near_the_moon():
    """Full moonlight lies on more of the slates near the moon's column than far from it (counted
    above the water, whose mirror is darker)."""
    near, far = [], []
    for seed in range(1, 3):
        ink = drawn(seed, width=512, bottom=116, params={"mirror": 0})
        off = np.abs((np.arange(512) - MOON + 256) % 512 - 256)
        for found, columns in ((near, off < 70), (far, off > 150)):
            roof, bright = holds(ink, "slate")[:, columns], holds(ink, "slate", 4)[:, columns]
            found.append((bright.sum(), roof.sum()))
    shares = [sum(b for b, _ in rows) / sum(r for _, r in rows) for rows in (near, far)]
    assert shares[0] > 1.3 * shares[1]


def test_far_houses_stand_in_the_air():
    """What stands behind the row takes the air's material, whose darkest tone is lighter than the
    near gaps: distance lightens the dark (aerial perspective: common practice, no source)."""
    ink = drawn(bottom=116, params={"mirror": 0, "tower": "none"})
    haze, near = holds(ink, "haze"), holds(ink, "blue") | holds(ink, "rose") | holds(ink, "jade")
    assert haze.sum() > 300
    rows = [np.nonzero(one)[0].mean() for one in (haze, near)]
    assert rows[0] < rows[1]


@pytest.mark.parametrize("plan", ["bridge", "narrow"])
def test_a_front_has_few_tones(plan):
    """The value plan: three tones take four fifths of a plaster, so that its planes are calm."""
    ink = drawn(bottom=116, params={"plan": plan, "mirror": 0})
    for name in ("blue", "rose"):
        tones = np.bincount(ink[holds(ink, name)].astype(int) - FIRST[name])
        assert np.sort(tones)[-3:].sum() > 0.8 * tones.sum(), name


def test_thrift_takes_fewer_tiles():
    counts = [count_tiles(drawn(thrift=thrift), TOP) for thrift in (0.0, 1.0)]
    assert counts[1] < 0.92 * counts[0]


def test_an_arch_is_open_and_framed_by_a_light_ring():
    """In the middle of the span's opening there is neither stone nor a house, and above the water
    the stones next to it are as light as any of the bridge (common practice: the ring tells it)."""
    for seed in range(1, 4):
        ink = drawn(seed, params={"plan": "bridge", "tower": "none", "boats": 0, "trees": 0.0})[
            :124
        ]
        stone, light = holds(ink, "stone"), holds(ink, "stone", 4)
        near = away() < 12
        rows = np.nonzero(stone[100:118][:, near].mean(axis=1) < 0.1)[0]
        assert len(rows) > 6
        edge = [int(np.nonzero(stone[:, x])[0].max(initial=0)) for x in np.nonzero(near)[0]]
        lit = [
            light[y - 3 : y + 1, x].any() for y, x in zip(edge, np.nonzero(near)[0], strict=True)
        ]
        assert np.mean(lit) > 0.6, seed


@pytest.mark.parametrize("bottom", [42, 104, 115])
def test_a_layer_above_the_water_has_no_mirror(bottom):
    """Whether it ends over the horizon, a few lines below it or far above, it is painted."""
    painting = paint("canal", top=bottom - 12, bottom=bottom, params={"horizon": 110})
    assert not ramp_pixels(painting, "mirror").any()


def test_ropes_hang_through_between_masts():
    """Lanterns lie on a curve that bends up everywhere and evenly: a parabola, which a chain drawn
    tight is nearly (textbook mechanics, from memory)."""
    masts = [Frame(x, 8.0, 402.0) for x in (0.0, 120.0)]
    lamps = hang_ropes(Stage(), Dice(3), masts, STUFF)
    high = np.array([lamp.place[1] for lamp in sorted(lamps, key=lambda lamp: lamp.place[0])])
    assert len(high) >= 5
    assert high.argmin() not in (0, len(high) - 1)
    # A lamp lies half its lantern's height below the rope; a second difference weighs 1, -2, 1.
    heights = [tall for _, tall in PAPER]
    bends = np.diff(high, 2)
    assert bends.mean() > 0
    assert np.ptp(bends) <= 4 * (max(heights) - min(heights))


def test_ropes_light_what_stands_behind_them():
    dark = {"lamps": 0.0, "plan": "basin", "glow": 0.0, "tower": "none", "mirror": 0, "trees": 0.0}
    with_ropes, without = (drawn(bottom=116, params={**dark, "ropes": n}) for n in (3, 0))
    for names in (("glow",), ("gold", "ember", "amber")):
        assert sum(holds(with_ropes, name).sum() for name in names) > 40
        assert not any(holds(without, name).any() for name in names)
