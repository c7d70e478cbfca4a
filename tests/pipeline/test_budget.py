"""A quality instead of a count, what merging minds, and the bound, from the preset on."""

from __future__ import annotations

import re

import numpy as np
import pytest
from scenery import MIRROR, NIGHT, POSTS, SHORE, SPLITS, SUN

from genbg.errors import PresetError
from genbg.pipeline import Way, build
from genbg.reading import parse_preset

SEA = SHORE + SUN + POSTS + NIGHT
LAKE = (SHORE + MIRROR + SPLITS).replace('name = "strait"', 'name = "strait"\nplane = "front"')


def made(*settings, text=SEA, **way):
    return build(parse_preset(text, settings=settings), way=Way(**way))


def test_the_smallest_budget_that_holds_a_quality():
    """It holds, and one tile less does not; the moods share the tiles."""
    quality = 0.9
    backdrop = made(f"machine.quality={quality}")
    assert backdrop.proof.error.ssim >= quality
    stored = len(backdrop.tiles.pixels)
    assert stored < backdrop.tiles.before
    assert made(f"machine.tile_budget={stored - 1}").proof.error.ssim < quality
    night = made(f"machine.quality={quality}", "mood=night")
    assert np.array_equal(night.tiles.pixels, backdrop.tiles.pixels)


def test_a_quality_beyond_the_budget_names_the_key_and_what_is_reached():
    with pytest.raises(PresetError, match=r"machine\.quality = 0\.9999.*the 20 patterns.*0\.\d+"):
        made("machine.quality=0.9999", "machine.tile_budget=20")


@pytest.mark.slow
def test_contours_keep_the_joins_better_than_haste():
    """Measured by the seam of the contract: mean wrong lightness step across cell borders."""
    budget = "machine.tile_budget=60"
    outlines = made(budget, "machine.merge=contours").proof.error
    assert outlines.seam < made(budget).proof.error.seam


def test_the_bound_is_below_what_is_stored_and_told_only_when_asked():
    backdrop = made("machine.tile_budget=80", bound=True)
    assert 0 < backdrop.proof.figures.bound_mse <= backdrop.proof.error.oklab_mse
    assert made("machine.tile_budget=80").proof.figures.bound_mse is None


@pytest.mark.parametrize("budget", [1, 37, 2048])
@pytest.mark.parametrize("text", [SEA, LAKE], ids=["sea", "lake"])
def test_every_budget_has_a_result(text, budget):
    """From a single tile to as many as a map word can name, with and without splits."""
    backdrop = made(f"machine.tile_budget={budget}", text=text)
    assert 1 <= len(backdrop.tiles.pixels) <= budget


def test_sprites_that_a_budget_has_no_room_for_are_told():
    """Those that stay take half of the budget at most, and the warning counts the others."""
    crowd = "".join(
        POSTS.replace('name = "posts"', f'name = "posts-{n}"').replace("168", f"{140 - 2 * n}")
        for n in range(6)
    )
    whole = made(text=SHORE + crowd)
    few = made("machine.tile_budget=40", text=SHORE + crowd)
    told = [text for text in few.warnings if "left out" in text]
    gone, of = map(int, re.search(r"so (\d+) of (\d+) are left out", told[0]).groups())
    assert of == len(whole.sprites.placed.x)
    assert of - gone == len(few.sprites.placed.x)
    assert 0 < int((few.sprites.placed.width * few.sprites.placed.height).max()) <= 20
    assert not [text for text in whole.warnings if "left out" in text]
