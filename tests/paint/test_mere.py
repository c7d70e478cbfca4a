"""The mere and its wood: shafts that repeat, water that mirrors, eaves open to the light."""

from __future__ import annotations

import functools

import numpy as np
import pytest
from painting_checks import count_tiles, job_of, paint

from genbg.model import Painting, RampUse
from genbg.paint.contract import Body, Seen
from genbg.paint.craft.air import away
from genbg.paint.painters.glade.keys import Keys, stage
from genbg.paint.painters.glade.shafts import lit_air
from genbg.paint.table import painter

SIZE = {"top": 0, "bottom": 152}
WATER = {"top": 120, "bottom": 200}
EAVES = {"top": 0, "bottom": 224}
BODY = Body(200.0, 80.0, 40.0)


@pytest.mark.parametrize(("side", "light"), [(-1.0, (-0.8, 0.6)), (1.0, (0.8, 0.6))])
def test_shafts_come_again_every_sixteen_lines(side: float, light: tuple[float, float]) -> None:
    """One column across for two down: sixteen lines lower the light is the same, a cell further.

    The slope is two to one, so that cells repeat: arithmetic of the 8x8 grid.
    """
    job = job_of("glade", seed=3, light=light, **SIZE)
    tone, _ = lit_air(152, 512, stage(Keys(), job), side, 3)
    upper, lower = tone[48:72], tone[64:88]
    assert (np.roll(upper, -8 * int(side), axis=1) == lower).mean() > 0.995
    assert (upper != lower).mean() > 0.02


def test_air_in_shafts_takes_few_tiles() -> None:
    """The light's own field, without a tree in it, has under a quarter of its cells distinct."""
    tone, _ = lit_air(152, 512, stage(Keys(), job_of("glade", **SIZE)), -1.0, 1)
    bare = (2.0 * tone[40:96]).astype(np.uint16)
    assert count_tiles(bare, 40) < 0.25 * 7 * 64


def test_a_glade_in_shafts_is_whole_and_darker_at_its_sides() -> None:
    """No see-through pixel above the bank; far from its light the air is at least a tone darker."""
    params = {"shafts": True}
    job = job_of("glade", seed=5, params=params, **SIZE)
    body = painter("glade").body
    assert body is not None
    x = body(job.params, job).x
    ink = painter("glade").draw(job).ink
    assert (ink[:110] > 0).all()
    off = np.abs(away(np.arange(512), x, 512))
    light = ink[40:90].astype(float)
    assert light[:, off < 16].mean() > light[:, (off > 110) & (off < 146)].mean() + 1.0


def banded(lines: int, bright: slice) -> dict[str, Seen]:
    """A dark layer with one bright stretch of columns."""
    ink = np.full((lines, 512), 3, dtype=np.uint16)
    ink[:, bright] = 8
    return {"far": Seen(0, Painting(ink, (RampUse("air", 8),)))}


def test_the_mere_mirrors_below_what_it_shows() -> None:
    """Equal angles (Hero of Alexandria): light lies below what is light, column by column, and no
    water above the foot of what stands there."""
    painting = paint("mere", seen=banded(130, slice(200, 300)), params={"pads": 0.0}, **WATER)
    assert not painting.ink[:10].any()
    water = painting.ink[12:40].astype(float)
    assert water[:, 230:270].mean() > water[:, 20:120].mean() + 0.8
    assert water[:, 230:270].mean() > water[:, 400:480].mean() + 0.8


def test_the_mirror_fades_without_it() -> None:
    """With no mirror, light above makes no light below, a few lines from the shore."""
    seen = banded(130, slice(200, 300))
    ink = paint("mere", seen=seen, params={"pads": 0.0, "mirror": 0.0}, **WATER).ink[40:]
    assert abs(ink[:, 230:270].mean() - ink[:, 20:120].mean()) < 0.25


def test_a_lamp_lays_its_path_below_itself() -> None:
    """A lamp's colour lies in the water under the lamp and nowhere else, and is guarded."""
    ink = np.ones((130, 512), dtype=np.uint16)
    ink[100:108, 250:256] = 12
    seen = {"far": Seen(0, Painting(ink, (RampUse("air", 8), RampUse("lamp", 4))))}
    painting = paint("mere", seen=seen, params={"pads": 0.0}, **WATER)
    before = sum(use.steps for use in painting.ramps[:-1])
    lines, columns = np.nonzero(painting.ink > before)
    assert len(columns) > 20
    assert np.abs(columns - 253).max() < 16
    assert painting.guard is not None
    assert painting.guard[lines, columns].all()


@functools.cache
def eaves(seed: int, canopy: float = 0.2) -> Painting:
    """Near trees about a light at column 200, painted once for all tests."""
    return paint("eaves", seed=seed, body=BODY, params={"canopy": canopy}, **EAVES)


@pytest.mark.parametrize("seed", range(1, 4))
def test_eaves_leave_both_openings_free(seed: int) -> None:
    """At half height no wood stands before the light, nor opposite it, and some wood stands."""
    ink = eaves(seed, 0.0).ink[118:126]
    columns = np.nonzero((ink > 0).any(axis=0))[0]
    assert len(columns) > 20
    for middle in (200.0, 456.0):
        assert np.abs(away(columns, middle, 512)).min() > 24


def test_the_bank_is_never_black() -> None:
    """In the last thirty lines turf and leaves are lighter than their darkest ink, and many."""
    painting = paint("eaves", seed=2, body=BODY, params={"girth": 3.0, "stones": 0.0}, **EAVES)
    first = 1 + painting.ramps[0].steps
    low = painting.ink[-20:]
    assert not (low == first).any()
    assert len(np.unique(low[-12:])) >= 4


def test_leaves_are_few_before_the_light() -> None:
    """Over the light hang fewer leaves than beside it."""
    covered = np.concatenate([eaves(seed).ink[8:60] > 0 for seed in (1, 2)])
    off = np.abs(away(np.arange(512), 200.0, 512))
    assert covered[:, off < 30].mean() < 0.7 * covered[:, (off > 80) & (off < 130)].mean()


def test_thrift_spends_fewer_tiles_on_near_trees() -> None:
    """With thrift turned up, the same wood takes a tenth fewer cells at least."""
    thrifty = paint("eaves", seed=1, body=BODY, thrift=1.0, **EAVES)
    assert count_tiles(thrifty.ink, 0) < 0.9 * count_tiles(eaves(1).ink, 0)
