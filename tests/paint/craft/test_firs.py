"""Firs, crests of mountains and boulders."""

from __future__ import annotations

import math

import numpy as np
import pytest

from genbg.paint.craft.boulders import draw_boulder
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.firs import GOLDEN, NEEDLES, SNOW, draw_fir
from genbg.paint.craft.massif import crests
from genbg.paint.craft.scatter import hash_words


def test_boughs_wind_by_the_golden_angle() -> None:
    """A full turn over the square of the golden number (Vogel 1979): 137.5 degrees."""
    assert pytest.approx(360 / ((1 + math.sqrt(5)) / 2) ** 2) == GOLDEN * 360


def test_a_laden_fir_carries_snow_and_a_bare_one_none() -> None:
    """Snow lies on laden boughs, most of it above the needles it hides."""
    laden, bare = draw_fir(Dice(3), 50, 1.0), draw_fir(Dice(3), 50, 1.0, 0.0)
    assert (laden.material == SNOW).sum() > 0.3 * (laden.material > 0).sum()
    assert (bare.material == NEEDLES).sum() > 0.95 * (bare.material > 0).sum()


@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_a_fir_is_lighter_toward_the_light(side: float) -> None:
    """Mean tone of snow on the lit half lies above that of the other, over ten trees."""
    gap = 0.0
    for seed in range(10):
        fir = draw_fir(Dice(seed), 60, side)
        columns = np.arange(fir.material.shape[1])[None, :] - fir.x
        snow = fir.material == SNOW
        gap += fir.tone[snow & (columns * side > 2)].mean()
        gap -= fir.tone[snow & (columns * side < -2)].mean()
    assert gap / 10 > 0.8


def test_a_fir_grows_narrower_to_its_tip() -> None:
    """Each third of it is narrower than the one below."""
    fir = draw_fir(Dice(5), 60, 1.0)
    wide = (fir.material > 0).sum(axis=1)[: fir.y]
    thirds = [part.max() for part in np.array_split(wide, 3)]
    assert thirds[0] < thirds[1] < thirds[2]


def test_crests_start_at_the_summit_and_only_fall() -> None:
    """No point lies above the summit; most crest points lie below half its height."""
    points = crests(Dice(1), 100.0, 50.0, 60.0, 0.74)
    assert points[:, 2].max() == 60.0
    assert (points[:, 2] < 30).mean() > 0.5


def test_a_boulder_stands_on_its_foot_with_facets_that_face_many_ways() -> None:
    """Unit normals, at least four facets seen, the foot broad."""
    rock = draw_boulder(Dice(2), 40, 24)
    assert np.abs((rock.normal**2).sum(axis=-1) - 1).max() < 1e-9
    assert len(np.unique(rock.facet[rock.solid])) >= 4
    assert rock.solid[rock.y - 2].sum() > 0.5 * rock.solid.sum(axis=1).max()


def test_dice_in_blocks_are_the_hashes_one_by_one() -> None:
    """The row of draws is the hash of the place of each draw."""
    dice = Dice(9, "row")
    drawn = [dice.unit() for _ in range(150)]
    assert drawn == [(hash_words(dice.seed, n + 1) >> 40) * 2.0**-24 for n in range(150)]
