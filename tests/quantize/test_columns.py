"""The order of entries, against scipy's assignment and cases worked by hand."""

import numpy as np
import pytest
from scipy.optimize import linear_sum_assignment

from genbg.quantize.columns import (
    best_assignment,
    order_columns,
    shape_fillings,
    shape_votes,
    tonal_columns,
)
from genbg.quantize.shapes import cell_shapes

SOLID = np.full((1, 64), -1)


def lists(*rows):
    """Lists of inks, filled up to 15 with empty slots."""
    return np.array([[*row, *[-1] * (15 - len(row))] for row in rows])


def light_of(ink, table):
    return np.array([[table.get(int(k), 0) for k in row] for row in ink])


@pytest.mark.parametrize("seed", range(30))
def test_assignment_costs_what_scipy_finds(seed):
    """The assignment is as cheap as scipy.optimize.linear_sum_assignment's, with many ties too."""
    rng = np.random.default_rng(seed)
    size = int(rng.integers(1, 16))
    cost = rng.integers(-40, 100 if seed % 2 else -36, (size, size))
    column = best_assignment(cost)
    rows, columns = linear_sum_assignment(cost)
    assert sorted(column) == list(range(size))
    assert cost[np.arange(size), column].sum() == cost[rows, columns].sum()


def test_a_single_list_runs_from_dark_to_light():
    """Where nothing else is asked, entries rise in lightness and empty ones come last."""
    ink = lists([4, 7, 9])
    column = order_columns(ink, light_of(ink, {4: 500, 7: 100, 9: 300}), SOLID)
    assert column[0, :3].tolist() == [3, 1, 2]
    assert sorted(column[0]) == list(range(1, 16))


def test_tonal_columns_run_from_dark_to_light_in_every_list():
    """Each list on its own, empty slots last, whatever inks they share."""
    light = {4: 500, 7: 100, 9: 300, 11: 50}
    ink = lists([4, 7, 9], [11, 4, 9])
    column = tonal_columns(ink, light_of(ink, light))
    assert column[0, :3].tolist() == [3, 1, 2]
    assert column[1, :3].tolist() == [1, 3, 2]
    assert all(sorted(one) == list(range(1, 16)) for one in column.tolist())


def test_an_ink_of_two_lists_has_one_entry():
    """An ink that stands in two rows gets the same entry in both, whatever its place by light."""
    light = {k: 40 * k for k in range(1, 30)}
    ink = lists([1, 2, 3, 4, 5], [20, 3, 21, 5, 22])
    column = order_columns(ink, light_of(ink, light), SOLID)
    assert column[0, 2] == column[1, 1]
    assert column[0, 4] == column[1, 3]


def test_like_light_meets_like_light():
    """A short row meets a long one where their lightness is alike."""
    light = {k: 60 * k for k in range(1, 16)} | {40: 485, 41: 605}
    ink = lists(range(1, 16), [40, 41])
    column = order_columns(ink, light_of(ink, light), SOLID)
    assert column[1, :2].tolist() == [8, 10]


def test_cells_of_one_shape_come_to_share_a_tile():
    """Two corners of the same shape under two rows end with the same entries: one tile."""
    corner = np.zeros((8, 8), int)
    corner[:3, :2] = 1
    corner = corner.ravel()
    ink = lists([1, 2, 3, 4], [11, 12, 13, 14])
    light = light_of(ink, {1: 100, 2: 200, 3: 300, 4: 400, 11: 900, 12: 400, 13: 100, 14: 600})
    first = np.where(corner, 0, 2)
    second = np.where(corner, 15 + 1, 15 + 0)
    entry = order_columns(ink, light, np.stack([first, second])).ravel()
    assert entry[first].tolist() == entry[second].tolist()


def test_shapes_know_flips_and_see_through():
    """A flipped cell has the same shape, one with a see-through part in its stead has not."""
    corner = np.zeros((8, 8), int)
    corner[:3, :2] = 1
    mirrored = np.where(corner, 16, 20)[:, ::-1]
    holed = np.where(corner, -1, 5)
    three = corner.copy()
    three[7, 7] = 2
    five = np.arange(64).reshape(8, 8) % 5
    cells = np.stack([cell.ravel() for cell in (corner, mirrored, holed, three, five)])
    first, second, third, fourth, fifth = cell_shapes(cells)
    assert first[0] == second[0]
    assert dict(zip(first[1], second[1], strict=True)) == {0: 20, 1: 16}
    assert third == (third[0], (5,))
    assert set(fourth[1]) == {0, 1, 2}
    assert len({first[0], third[0], fourth[0]}) == 3
    assert fifth is None


def test_only_cells_of_different_lists_vote():
    """Two fillings of one shape under the same row could never share a tile: no vote."""
    half = np.repeat([0, 1], 32)
    same_list = np.stack([half, half + 2])
    other_list = np.stack([half, half + 15])
    assert not shape_votes(shape_fillings(same_list), 60).any()
    votes = shape_votes(shape_fillings(other_list), 60)
    assert votes[0, 15] == votes[15, 0] == votes[1, 16] == 1
    assert votes.sum() == 4


def test_columns_are_permutations_for_any_input():
    """Random lists and tiles: each list's columns are the entries 1 to 15, once each."""
    rng = np.random.default_rng(1)
    for count in (1, 2, 4, 8):
        ink = lists(*[rng.choice(40, rng.integers(0, 16), replace=False) for _ in range(count)])
        slots = rng.integers(-1, 15 * count, (50, 3))
        cells = slots[np.arange(50)[:, None], rng.integers(0, 3, (50, 64))]
        column = order_columns(ink, rng.integers(0, 1024, ink.shape), cells)
        assert (np.sort(column, axis=1) == np.arange(1, 16)).all()
