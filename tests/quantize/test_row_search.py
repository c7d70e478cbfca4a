"""The joint fit of rows and cells: its prices against plain recounts, its result against others."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genbg.quantize.climb import climb_best, climb_rows, forecast_moves, shown_worst
from genbg.quantize.rows import (
    FAR,
    Fit,
    cell_costs,
    fill_row,
    nearest_gap,
    place_cells,
    pool_rows,
    settle_rows,
    swap_changes,
)
from genbg.quantize.start import (
    cell_means,
    join_order,
    spread_means,
    start_by_join,
    start_by_mean,
)


def random_fit(seed, cells=60, points=40, zones=1, families=0):
    """A fit of random cells; with families, each cell draws from one family of colours."""
    rng = np.random.default_rng(seed)
    home = rng.integers(0, 900, (points, 3)).astype(float)
    first, kind, weight = [], [], []
    for c in range(cells):
        size = int(rng.integers(1, 9))
        if families:
            family = np.arange(points) % families == c % families
            chosen = rng.choice(np.flatnonzero(family), size, replace=False)
        else:
            chosen = rng.choice(points, size, replace=False)
        first.append(len(kind))
        kind.extend(sorted(chosen))
        weight.extend(rng.integers(1, 30, size))
    gap = ((home[:, None] - home[None]) ** 2).sum(axis=2) * 8
    gap = np.concatenate([gap, np.full((points, 1), FAR)], axis=1)
    zone = np.arange(points) * zones // points
    members = tuple(np.flatnonzero(zone == z) for z in range(zones))
    weights = np.array(weight, float)
    return Fit(np.array(first), np.array(kind), weights, gap, home, members)


def entries_of(fit, seed=0):
    """Some entries that hold candidates."""
    shape = fit.empty_rows.shape
    return np.random.default_rng(seed).integers(0, fit.nothing, shape)


def cost_slowly(fit, entries):
    """Each cell's error in each row, point by point."""
    zone_of = {int(p): z for z, points in enumerate(fit.members) for p in points}
    ends = [*fit.first[1:], len(fit.kind)]
    table = []
    for begin, end in zip(fit.first, ends, strict=True):
        table.append(
            [
                sum(
                    int(w) * min(int(fit.gap[p, c]) for c in entries[r, zone_of[int(p)]])
                    for p, w in zip(fit.kind[begin:end], fit.weight[begin:end], strict=True)
                )
                for r in range(4)
            ]
        )
    return table


@pytest.mark.parametrize("zones", [1, 3])
def test_costs_and_pools_equal_plain_counts(zones):
    """The costs and pools that the search goes by are what counting point by point gives."""
    fit = random_fit(1, zones=zones)
    entries = entries_of(fit)
    assert cell_costs(fit, nearest_gap(fit, entries)).tolist() == cost_slowly(fit, entries)
    state = place_cells(fit, entries)
    assert state.total == sum(min(row) for row in cost_slowly(fit, entries))
    pool = np.zeros((4, len(fit.gap)))
    for cell, begin in enumerate(fit.first):
        end = fit.first[cell + 1] if cell + 1 < len(fit.first) else len(fit.kind)
        for p, w in zip(fit.kind[begin:end], fit.weight[begin:end], strict=True):
            pool[state.row[cell], p] += w
    assert (pool_rows(fit, state.row) == pool).all()


@given(st.integers(0, 10**6))
@settings(max_examples=20, deadline=None)
def test_an_exchange_costs_what_it_is_priced_at(seed):
    """The price of each exchange equals the row's cost recounted after it."""
    fit = random_fit(seed, points=25)
    rng = np.random.default_rng(seed)
    gap, pool = fit.gap, rng.integers(0, 90, 25).astype(float)
    held = rng.integers(0, 25, 15)
    before = (pool * gap[:, held].min(axis=1)).sum()
    change = swap_changes(gap, held, pool)
    for place in range(15):
        for taken in range(25):
            after = held.copy()
            after[place] = taken
            assert change[place, taken] == (pool * gap[:, after].min(axis=1)).sum() - before


def test_fill_row_takes_what_helps_most():
    """The first entry of an empty row is the best single candidate, found by trying all."""
    fit = random_fit(3)
    pool = np.arange(40.0)
    held = fill_row(fit.gap, np.full(15, fit.nothing), pool)
    assert (pool @ fit.gap[:, held[0]]) == (pool @ fit.gap[:, :-1]).min()
    assert len(set(held.tolist())) == 15


def test_entries_stay_empty_once_all_is_exact():
    """A pool of three points takes those three (beside the best single one) and nothing more."""
    fit = random_fit(4)
    pool = np.zeros(40)
    pool[[3, 9, 30]] = 5
    held = fill_row(fit.gap, np.full(15, fit.nothing), pool)
    assert {3, 9, 30} <= set(held[:4].tolist())
    assert (held[4:] == fit.nothing).all()


@pytest.mark.parametrize("zones", [1, 2])
@pytest.mark.parametrize("seed", range(4))
def test_no_step_makes_it_worse(seed, zones):
    """Settling and climbing never end above where they began."""
    fit = random_fit(seed, cells=150, points=90, zones=zones)
    begin = place_cells(fit, start_by_mean(fit))
    settled = settle_rows(fit, begin.entries)
    climbed = climb_rows(fit, settled, 12)
    assert climbed.total <= settled.total <= begin.total
    assert climbed.total == sum(min(row) for row in cost_slowly(fit, climbed.entries))


def test_climbing_finds_hidden_families():
    """Cells drawn from four families of 15 colours are shown without error once rows are found."""
    fit = random_fit(7, cells=200, points=60, families=4)
    assert climb_best(fit, [settle_rows(fit, start_by_mean(fit))]).total == 0


def test_moves_are_forecast_cheapest_first():
    """An empty row costs nothing to dissolve, so giving it to the costliest row comes first."""
    fit = random_fit(8, cells=80)
    entries = entries_of(fit)
    entries[2] = fit.nothing
    state = place_cells(fit, entries)
    assert not (state.row == 2).any()
    spent = [state.cost[state.row == r, r].sum() for r in range(4)]
    assert forecast_moves(state)[0] == (2, int(np.argmax(spent)), True)
    assert len(set(forecast_moves(state))) == 24


def test_the_worst_cells_are_those_with_most_error_a_pixel():
    """A third of a row's cells is split off, and none left behind is shown worse a pixel."""
    fit = random_fit(13, cells=90)
    state = place_cells(fit, entries_of(fit))
    cells = np.flatnonzero(state.row == 1)
    off = shown_worst(fit, state, cells)
    pixels = np.add.reduceat(fit.weight, fit.first)
    error = state.cost[:, 1] / pixels
    assert len(off) == len(cells) // 3
    assert error[off].min() >= error[np.setdiff1d(cells, off)].max()


def test_settling_is_cut_short_only_above_its_bound():
    """A bound that can't be met ends the turns early; one that is met changes nothing."""
    fit = random_fit(14, cells=150, points=90)
    begin = start_by_mean(fit)
    free = settle_rows(fit, begin)
    assert settle_rows(fit, begin, free.total).total == free.total
    assert settle_rows(fit, begin, 0).total >= free.total


def test_means_part_what_is_apart():
    """Four clouds of colours far from each other become the four groups."""
    rng = np.random.default_rng(9)
    centres = np.array([[100, 0, 0], [800, 0, 0], [400, 200, 0], [400, -200, 100]])
    means = np.floor(centres[np.arange(80) % 4] + rng.integers(-20, 20, (80, 3)))
    group = spread_means(means, 4)
    assert len({(int(g), k % 4) for k, g in enumerate(group)}) == 4


def test_cell_means_are_rounded_means():
    """A cell's mean colour is the mean over its pixels to the nearest whole step."""
    fit = random_fit(10, cells=5)
    for cell, begin in enumerate(fit.first):
        end = fit.first[cell + 1] if cell + 1 < len(fit.first) else len(fit.kind)
        mean = np.average(fit.home[fit.kind[begin:end]], axis=0, weights=fit.weight[begin:end])
        assert np.abs(cell_means(fit)[cell] - mean).max() <= 0.5


def test_joins_take_the_cheapest_pair_first():
    """The first join is the pair of least pixels times gap, the rarer into the commoner one."""
    fit = random_fit(11)
    pixels = np.bincount(fit.kind, fit.weight, minlength=40)
    joins = join_order(fit, np.arange(40))
    price = {(a, b): min(pixels[a], pixels[b]) * fit.gap[a, b] for a in range(40) for b in range(a)}
    gone, kept = joins[0]
    assert min(price.values()) == price[max(gone, kept), min(gone, kept)]
    assert pixels[gone] <= pixels[kept]
    assert len({a for a, _ in joins}) == 39


def test_a_start_by_joins_is_exact_where_packing_is():
    """Where no join is needed, the start is the packing itself and costs nothing."""
    fit = random_fit(12, cells=100, points=60, families=4)
    assert place_cells(fit, start_by_join(fit, np.arange(60))).total == 0
