"""What is kept about a backdrop."""

from __future__ import annotations

import gc
import weakref

from sample import make_backdrop

from genbg.write.once import once


def test_looks_once_a_backdrop():
    asked = []

    @once
    def size(backdrop):
        asked.append(backdrop)
        return len(backdrop.tiles.pixels)

    one, other = make_backdrop(1), make_backdrop(2)
    assert [size(one), size(other), size(one)] == [len(b.tiles.pixels) for b in (one, other, one)]
    assert len(asked) == 2
    assert asked[0] is one
    assert asked[1] is other


def test_backdrop_is_let_go():
    @once
    def size(backdrop):
        return len(backdrop.tiles.pixels)

    backdrop = make_backdrop(1)
    size(backdrop)
    left = weakref.ref(backdrop)
    del backdrop
    gc.collect()
    assert left() is None
