"""The arcade: bays that divide the plane, light on the right jambs, what has fallen stays down."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.paint.contract import Body, Job
from genbg.paint.craft.dice import Dice
from genbg.paint.painters.arcade import PAINTER
from genbg.paint.painters.arcade.build import form_tier, lay_tiers
from genbg.paint.painters.arcade.stone import reveal_tones

SUN, FOOT = 150.0, 110.0


def make_job(seed=1, **keys):
    steps = {ramp.name: ramp.steps for ramp in PAINTER.ramps}
    keys = {"foot": FOOT / 140, "mirror": 0.0, "growth": 0.0, "lamps": 0.0} | keys
    ratio, body = np.ones(140), Body(SUN, 30.0, 16.0)
    params = PAINTER.params(**keys)
    return Job(512, 0, 140, seed, params, (0.0, 0.5), 2.0, ratio, 0.0, steps, body=body)


@pytest.mark.parametrize("span", [40, 86, 200])
def test_bays_divide_the_plane(span):
    """A whole number of bays goes round, so no arch is cut by the wrap."""
    tier = lay_tiers(make_job(span=span).params, make_job(), Dice(1, "t"), FOOT)[0]
    count = 512 / tier.bay
    assert abs(count - round(count)) < 1e-9
    assert abs(tier.bay - span) <= span / 2


def test_an_arch_springs_from_its_pier_at_a_right_angle():
    """A round arch is a half circle: as wide at its springing as its pier leaves, and half that
    width high over it (geometry)."""
    job = make_job(span=86)
    tier = lay_tiers(job.params, job, Dice(1, "t"), FOOT)[0]
    form = form_tier(tier, job, FOOT, SUN)
    free = (form.opening | form.reveal) & (form.up > tier.spring)
    wide = free.sum(axis=1).max() / round(512 / tier.bay)
    lines = np.flatnonzero(free.any(axis=1))
    assert abs(wide - 2 * tier.half) <= 1.5
    assert abs(len(lines) - tier.half) <= 1.5


def test_jambs_are_lit_that_look_to_the_body():
    """What is seen of an arch's inside lies on the side away from the eye under the body, so it
    looks to the body and is lit: its lower part has tones of the light alone."""
    job = make_job(span=86)
    tier = lay_tiers(job.params, job, Dice(1, "t"), FOOT)[0]
    form = form_tier(tier, job, FOOT, SUN)
    off = (np.arange(512)[None, :] + 0.5 - SUN) % 512
    toward = np.where(off < 256, -1.0, 1.0)
    tone = reveal_tones(form, toward)
    low = form.reveal & (form.up < tier.spring - 5.0) & (np.minimum(off, 512 - off) > 90)
    low &= np.abs(off - 256) > 90
    assert low.sum() > 50
    assert (tone[low] >= 3).all()


def test_a_ruin_has_less_stone_and_none_falls_up():
    """Ruin takes stone away; it adds at most the rims of what is left."""
    whole, ruin = (PAINTER.draw(make_job(2, ruin=ruin)).ink > 0 for ruin in (0.0, 0.8))
    assert ruin.sum() < 0.9 * whole.sum()
    assert not (ruin & ~whole).any()


def test_lanterns_hang_where_an_arch_stands():
    """Lamp inks come with lamps and not without."""
    last = sum(ramp.steps for ramp in PAINTER.ramps)
    lit, dark = (PAINTER.draw(make_job(3, lamps=lamps)).ink for lamps in (1.0, 0.0))
    assert (lit == last).sum() > 10
    assert not (dark > last - 4).any()
