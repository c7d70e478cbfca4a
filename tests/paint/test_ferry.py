"""The ferry: lamps warm what is near them, a deck that ends where it should, parts by key."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Body, Job
from genbg.paint.painters.ferry import PAINTER
from genbg.paint.painters.ferry.build import REACH

STEPS = {ramp.name: ramp.steps for ramp in PAINTER.ramps}
FIRST = dict(zip(STEPS, np.cumsum([1, *STEPS.values()]).tolist(), strict=False))


def draw(seed=1, **keys):
    params, body, light = PAINTER.params(**keys), Body(180.0, 30.0, 20.0), (0.0, 0.5)
    job = Job(512, 8, 216, seed, params, light, None, np.zeros(208), 0.0, STEPS, body=body)
    return PAINTER.draw(job).ink


def holds(ink, ramp):
    return (ink >= FIRST[ramp]) & (ink < FIRST[ramp] + STEPS[ramp])


def test_lamplight_lies_about_lamps():
    """Light falls off with the square of the distance, so what is warm lies within a few
    of the lengths at which a lamp is half as strong: at four it gives 1/17."""
    ink = draw(lamps=3, house=False)
    lamps, warm = np.argwhere(holds(ink, "lamp")), np.argwhere(holds(ink, "warm"))
    assert len(warm) > 100
    away = np.abs(warm[:, None, 1] - lamps[None, :, 1]).min(axis=1)
    assert np.percentile(away, 90) < 4 * REACH


def test_without_lamps_nothing_is_warm():
    ink = draw(lamps=0, mast=False, house=False)
    assert not holds(ink, "warm").any()
    assert not holds(ink, "lamp").any()


def test_the_deck_goes_round_and_the_hull_reaches_the_last_line():
    """Below its near edge the ferry covers every column, so no column shows sea under it."""
    ink = draw()
    edge = int(PAINTER.params().deck * 208)
    assert (ink[edge + 2 :] > 0).all()


def test_the_mast_is_the_highest():
    """With a mast something stands above the deckhouse, without none does."""
    with_mast, bare = (draw(mast=mast) > 0 for mast in (True, False))
    assert with_mast[:40].any()
    assert not bare[:40].any()
