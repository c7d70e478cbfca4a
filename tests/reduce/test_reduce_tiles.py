"""The reducer as the pipeline calls it: budgets, invariants, the exact optimum, determinism."""

from __future__ import annotations

import dataclasses
import itertools

import numpy as np
import pytest
from exact_optimum import exact_medians, pair_errors
from hypothesis import given, settings
from hypothesis import strategies as st
from reduce_samples import (
    hilly_planes,
    no_guard,
    painted_inks,
    ramp_palette,
    shown_inks,
    square_error,
)

from genbg.errors import LimitError, PresetError
from genbg.reduce.exact import find_cells
from genbg.reduce.judge import Judged
from genbg.reduce.metric import Weights
from genbg.reduce.search import MODES
from genbg.reduce.tiles import Merged, reduce_tiles


def check_invariants(judged: Judged, merged: Merged, budget: int) -> None:
    """What holds for every result, whatever the input."""
    cells = find_cells(judged.index, judged.row)
    assert merged.before == len(cells.tiles)
    assert len(merged.cells.tiles) <= min(budget, merged.before)
    assert merged.cells.number.max() < len(merged.cells.tiles)
    assert len(np.unique(merged.cells.number)) == len(merged.cells.tiles), "every pattern is used"
    assert merged.cells.tiles.max(initial=0) < 16
    assert merged.cells.number.shape == merged.cells.row.shape == judged.row.shape
    assert merged.cells.number.dtype == np.uint16
    assert merged.cells.row.max(initial=0) < 4
    inks = shown_inks(judged, merged)
    tiles = merged.cells.tiles[merged.cells.number.reshape(-1)].reshape(-1, 64)
    palette = judged.reordered(merged.entry_order).palette
    entries = palette[merged.cells.row.reshape(-1, 1), tiles]
    assert ((tiles == 0) | (entries > 0)).all(), "no entry without a colour is shown"
    if budget >= merged.before:
        assert (inks == painted_inks(judged)).all()
    if not (judged.index == 0).any():
        assert (tiles > 0).all(), "no holes where there were none"


@st.composite
def planes(draw: st.DrawFn) -> tuple[Judged, np.ndarray]:
    """Any small planes: few or many entries and rows, with or without holes, guards anywhere."""
    count, rows, columns = (draw(st.integers(1, most)) for most in (2, 4, 6))
    used = draw(st.integers(1, 4))
    entries = draw(st.sampled_from([2, 3, 8, 15]))
    random = np.random.Generator(np.random.PCG64(draw(st.integers(0, 10**6))))
    low = draw(st.integers(0, 1))
    blocks = random.integers(low, entries + 1, (draw(st.integers(1, 30)), 8, 8)).astype(np.uint8)
    pick = random.integers(0, len(blocks), (count, rows, columns))
    index = blocks[pick].transpose(0, 1, 3, 2, 4).reshape(count, rows * 8, columns * 8)
    palette, lab = ramp_palette(used)
    row = random.integers(0, used, (count, rows, columns)).astype(np.uint8)
    guard = random.integers(0, 50, index.shape) == 0
    return Judged(palette, index, row, lab), guard


FREE = st.lists(st.booleans(), min_size=4, max_size=4)


@settings(max_examples=40, deadline=None)
@given(planes(), st.integers(1, 2048), st.sampled_from(sorted(MODES)), FREE)
def test_any_input_and_any_budget_gives_a_result(given_planes, budget, mode, free):
    """The budget holds, maps point at tiles, and what needs no merging is not touched."""
    judged, guard = given_planes
    merged = reduce_tiles(judged, budget, guard, mode, free=np.array(free))
    check_invariants(judged, merged, budget)


@pytest.mark.slow
@settings(max_examples=25, deadline=None)
@given(planes(), st.integers(1, 12), FREE)
def test_small_budgets_give_a_result(given_planes, budget, free):
    """Budgets that bite, down to a single tile for everything."""
    judged, guard = given_planes
    merged = reduce_tiles(judged, budget, guard, free=np.array(free))
    check_invariants(judged, merged, budget)


@pytest.mark.parametrize("mode", sorted(MODES))
@pytest.mark.parametrize("budget", [1, 2, 30, 100])
def test_planes_of_a_picture_hold_the_invariants(budget, mode):
    """The same on planes that look like something, with see-through parts."""
    judged = hilly_planes(8, 16, 4, planes=2, see_through=True)
    free = np.ones(4, dtype=bool)
    merged = reduce_tiles(judged, budget, no_guard(judged), mode, free=free)
    check_invariants(judged, merged, budget)


def test_a_budget_that_is_enough_changes_nothing():
    """No merge where there is room: the planes come back pixel for pixel, without a curve."""
    judged = hilly_planes(8, 16, 4)
    merged = reduce_tiles(judged, 2048, no_guard(judged))
    assert (shown_inks(judged, merged) == painted_inks(judged)).all()
    assert len(merged.curve) == 0


@pytest.mark.parametrize("budget", [0, 2049, -5])
def test_a_budget_out_of_range_is_an_error(budget):
    """The message names the limit and the key."""
    judged = hilly_planes(2, 2, 1)
    with pytest.raises(LimitError, match=r"patterns: -?\d+ asked, 2048 allowed; set tile_budget"):
        reduce_tiles(judged, budget, no_guard(judged))


def test_an_unknown_mode_is_an_error():
    """The message lists what is allowed."""
    judged = hilly_planes(2, 2, 1)
    with pytest.raises(PresetError, match='mode "best": allowed are balanced, contours, fast'):
        reduce_tiles(judged, 1, no_guard(judged), "best")


@pytest.mark.parametrize("seed", [1, 2, 3])
def test_free_tiles_beat_the_exact_optimum_among_existing_ones(seed):
    """No choice among existing tiles is as good: at least 6 % less squared error."""
    judged = hilly_planes(8, 12, seed)
    error, uses = pair_errors(judged)
    optimum = exact_medians(error, uses, 30)
    merged = reduce_tiles(judged, 30, no_guard(judged))
    assert square_error(judged, merged) <= 0.94 * optimum


def dropped_one_by_one(error: np.ndarray, uses: np.ndarray, budget: int) -> float:
    """Error after dropping, again and again, the tile that is missed least."""
    kept = list(range(len(error)))
    while len(kept) > budget:
        costs = []
        for one in kept:
            left = [other for other in kept if other != one]
            costs.append(float((error[:, left].min(axis=1) * uses).sum()))
        kept.pop(int(np.argmin(costs)))
    return float((error[:, kept].min(axis=1) * uses).sum())


@pytest.mark.parametrize("budget", [1, 3, 12, 40, 70])
@pytest.mark.parametrize("mode", ["balanced", "fast"])
def test_never_worse_than_merging_to_the_nearest_existing_tile(budget, mode):
    """At any budget the plain way gives more squared error."""
    judged = hilly_planes(6, 14, 9)
    error, uses = pair_errors(judged)
    merged = reduce_tiles(judged, budget, no_guard(judged), mode)
    assert square_error(judged, merged) <= dropped_one_by_one(error, uses, budget)


def test_more_budget_never_costs_more_than_a_little():
    """Error falls with the budget; no step up of more than 2 %."""
    judged = hilly_planes(8, 16, 6)
    budgets = [5, 20, 60, 100]
    found = [
        square_error(judged, reduce_tiles(judged, budget, no_guard(judged))) for budget in budgets
    ]
    assert all(b <= 1.02 * a for a, b in itertools.pairwise(found))
    assert found[-1] < found[0] / 4


@pytest.mark.slow
def test_contours_close_seams(monkeypatch):
    """The mode for outlines changes lightness steps across cell borders less than the default,
    and a fifth less than a search to which these steps are nothing."""
    plain = dataclasses.replace(MODES["balanced"], weights=Weights(14, 0))
    monkeypatch.setitem(MODES, "plain", plain)
    judged = hilly_planes(12, 24, 8)
    lab = judged.steps
    light = lab[painted_inks(judged)][..., 0].astype(np.int64)

    def seam(mode: str) -> int:
        merged = reduce_tiles(judged, 60, no_guard(judged), mode)
        off = lab[shown_inks(judged, merged)][..., 0] - light
        across = np.abs(np.roll(off, -1, axis=2) - off)[:, :, 7::8].sum()
        return int(across + np.abs(np.diff(off, axis=1))[:, 7::8].sum())

    outlines = seam("contours")
    assert outlines < 0.95 * seam("balanced")
    assert outlines < 0.8 * seam("plain")
