"""Entries that merging brought into another order: every part of a backdrop follows, and rows on
which sprites or rewrites count stay as the fit left them."""

from __future__ import annotations

import functools

import numpy as np
import pytest
from scenery import CYCLE, MIRROR, POSTS, SHORE

from genbg.hardware.colour_word import number_to_word
from genbg.model import Backdrop
from genbg.pipeline import Way, build
from genbg.reading import parse_preset
from genbg.reduce import search
from genbg.reduce.store import Task, store_task
from genbg.reduce.tiles import Merged

TIGHT = "machine.tile_budget=40"
LAKE = (
    SHORE.replace('merge = "fast"', 'merge = "balanced"')
    + """
[[layer]]
paint = "scenery"
name = "isle"
size = 40
lines = [24, 112]
distance = 12
colours.stone = ["#240049", "#924924", "#dbb649"]
colours.lamp = ["#004900", "#92db49"]
[mood.night]
tint = "#4949b6"
amount = 0.8
"""
)
SCENES = {
    "moving": (LAKE + CYCLE,),
    "sprites": (LAKE + CYCLE + POSTS,),
    "mirror": (LAKE + MIRROR + POSTS, "layer.2.plane=front"),
}


@pytest.fixture(autouse=True)
def short_search(monkeypatch):
    """Where entries go counts here, not how good the tiles are."""
    for name, most in (("MOST_RESTARTS", 0), ("MOST_TRIALS", 1), ("MOST_TRIES", 40)):
        monkeypatch.setattr(search, name, most)


@functools.cache
def made(name: str, *settings: str) -> tuple[Backdrop, Task, Merged]:
    """A backdrop, what was to be merged for it, and what came of it."""
    seen: list = []

    def watch(function, *arguments):
        result = function(*arguments)
        if function is store_task:
            seen[:] = arguments[0], result.merged
        return result

    text, *own = SCENES[name]
    return build(parse_preset(text, settings=[*own, *settings]), way=Way(call=watch)), *seen


def test_the_picture_as_painted_is_the_same_at_every_budget():
    """Colours change places between entries, not on the screen; each row keeps its colours."""
    whole, tight = made("moving")[0], made("moving", TIGHT)[0]
    assert np.array_equal(whole.proof.painted, tight.proof.painted)
    for mood, before in whole.colours.palettes.items():
        one, two = before.reshape(4, 16), tight.colours.palettes[mood].reshape(4, 16)
        assert np.array_equal(np.sort(one[:, 1:]), np.sort(two[:, 1:]))
        assert np.array_equal(one[:, 0], two[:, 0])
        assert not np.array_equal(one, two)


def test_stored_planes_show_what_the_manifest_measures():
    """Entry for entry through the palette that is exported, not the one that was fitted."""
    backdrop, task, merged = made("moving", TIGHT)
    order, shown = merged.entry_order, merged.cells.index
    assert order is not None
    row = merged.cells.row.repeat(8, axis=1).repeat(8, axis=2)
    inks = task.judged.reordered(order).palette[row, shown]
    assert np.array_equal(inks, task.judged.palette[row, order[row, shown]])
    words = backdrop.palette.reshape(4, 16)[row, shown]
    assert (shown > 0).any()
    assert np.array_equal(words[shown > 0], number_to_word(backdrop.proof.stored)[shown > 0])


@pytest.mark.parametrize("name", ["mirror", "sprites"])
def test_rows_that_others_count_on_keep_their_order(name):
    """Rewrites down the frame name entries by number, and so do the pixels of sprites."""
    whole, *_ = made(name)
    tight, task, merged = made(name, TIGHT)
    free = task.free[:4]
    one, two = (backdrop.palette.reshape(4, 16) for backdrop in (whole, tight))
    assert not free.all()
    assert free.any() == (name != "mirror")
    assert np.array_equal(one[~free], two[~free])
    assert (merged.entry_order is None) == (name == "mirror")
    assert len(tight.sprites.placed.x) > 0


def test_cycles_follow_their_colours():
    """The script of moving colours names the entries in which they are now."""
    starts = []
    for backdrop in (made("moving")[0], made("moving", TIGHT)[0]):
        targets = script_targets(backdrop.colours.scripts[backdrop.mood])
        starts.append(sorted(backdrop.palette[targets].tolist()))
    whole, tight = (made("moving", *more)[0].palette for more in ((), (TIGHT,)))
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
