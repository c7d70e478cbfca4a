"""Entries that merging brought into another order: every part of a backdrop follows, and rows on
which sprites or rewrites count stay as the fit left them."""

from __future__ import annotations

import functools

import numpy as np
import pytest
from genbg.joints.assemble import fitted_index, stored_index
from genbg.joints.sprites import free_rows, store_patterns

from genbg.hardware.colour_word import number_to_word
from genbg.model import Backdrop, FittedPlanes, StoredPlanes, reorder
from genbg.pipeline import Way, build
from genbg.preset import load_preset
from genbg.reduce import search

TIGHT = "machine.tile_budget=24"


@pytest.fixture(autouse=True)
def short_search(monkeypatch):
    """Where entries go counts here, not how good the patterns are."""
    for name, most in (("MOST_SHAKES", 0), ("MOST_TRIALS", 1), ("MOST_TRIES", 40)):
        monkeypatch.setattr(search, name, most)


@functools.cache
def made(name: str, *settings: str) -> tuple[Backdrop, FittedPlanes, StoredPlanes, np.ndarray]:
    """A backdrop, the planes that were merged, what came of it, and which rows were free."""
    seen: list = []

    def watch(function, *arguments):
        result = function(*arguments)
        if function is store_patterns:
            fitted, sprites, *_, fixed = arguments
            seen[:] = fitted, result[0], free_rows(fitted, sprites, fixed)
        return result

    return build(load_preset(name, settings), way=Way(call=watch)), *seen


def test_the_picture_as_painted_is_the_same_at_every_budget():
    """Colours change places between entries, not on the screen; each row keeps its colours."""
    whole, tight = made("sun-road")[0], made("sun-road", TIGHT)[0]
    assert np.array_equal(whole.proof.painted, tight.proof.painted)
    for mood, before in whole.colours.palettes.items():
        one, two = before.reshape(4, 16), tight.colours.palettes[mood].reshape(4, 16)
        assert np.array_equal(np.sort(one[:, 1:]), np.sort(two[:, 1:]))
        assert np.array_equal(one[:, 0], two[:, 0])
        assert not np.array_equal(one, two)


def test_stored_planes_show_what_the_manifest_measures():
    """Entry for entry through the palette that is exported, not the one that was fitted."""
    backdrop, fitted, stored, _ = made("sun-road", TIGHT)
    assert stored.order is not None
    row = stored.row.repeat(8, axis=1).repeat(8, axis=2)
    inks = reorder(fitted, stored.order).palette[row, stored_index(stored)]
    assert np.array_equal(inks, fitted.palette[row, fitted_index(stored)])
    words = backdrop.palette.reshape(4, 16)[row, stored_index(stored)]
    some = stored_index(stored) > 0
    assert some.any()
    assert np.array_equal(words[some], number_to_word(backdrop.proof.stored)[some])


@pytest.mark.parametrize("name", ["mirror-lake", "tilting-ferry"])
def test_rows_that_others_count_on_keep_their_order(name):
    """Rewrites down the frame name entries by number, and so do the pixels of sprites."""
    whole, *_ = made(name)
    tight, _, stored, free = made(name, TIGHT)
    one, two = (backdrop.palette.reshape(4, 16) for backdrop in (whole, tight))
    assert not free.all()
    assert free.any() == (name != "mirror-lake")
    assert np.array_equal(one[~free], two[~free])
    assert (stored.order is None) == (name == "mirror-lake")
    assert len(tight.sprites.pieces.x) > 0


def test_cycles_follow_their_colours():
    """The script of moving colours names the entries in which they are now."""
    starts = []
    for backdrop in (made("harbour-dusk")[0], made("harbour-dusk", TIGHT)[0]):
        targets = script_targets(backdrop.colours.scripts[backdrop.mood])
        starts.append(sorted(backdrop.palette[targets].tolist()))
    whole, tight = (made("harbour-dusk", *more)[0].palette for more in ((), (TIGHT,)))
    assert starts[0] == starts[1]
    assert len(starts[0]) > 1
    assert not np.array_equal(whole, tight)


def script_targets(words: np.ndarray) -> np.ndarray:
    """Entries that a script changes, read as its format says: the period, then for each frame that
    changes any the frame, how many, and so often entry and word."""
    found, place = set(), 1
    while place < len(words):
        count = int(words[place + 1])
        found |= set(words[place + 2 : place + 2 + 2 * count : 2].tolist())
        place += 2 + 2 * count
    return np.array(sorted(found))
