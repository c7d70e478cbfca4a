"""Covering pixels by few squares: by hand, and against the exact optimum of an integer program."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.planes.cover import (
    SIDE,
    TURNS,
    cover_pixels,
    least_squares,
    rows_of,
    without,
)


def exact_count(mask: np.ndarray, side: int, need) -> int:
    """The fewest squares, by the set-cover integer program that HiGHS solves.

    A square may be moved right and down until its left column and its top line hold a pixel that
    it covers, so only such places need be looked at. HiGHS through scipy.optimize.milp.
    """
    optimize = need.module("scipy.optimize")
    pixels = np.argwhere(mask)
    places = {
        frozenset(
            np.flatnonzero(
                (pixels[:, 0] >= y)
                & (pixels[:, 0] < y + side)
                & (pixels[:, 1] >= x)
                & (pixels[:, 1] < x + side)
            ).tolist()
        )
        for y in np.unique(pixels[:, 0])
        for x in np.unique(pixels[:, 1])
    }
    covers = sorted(sorted(place) for place in places if place)
    table = np.zeros((len(pixels), len(covers)))
    for column, cover in enumerate(covers):
        table[cover, column] = 1
    solved = optimize.milp(
        np.ones(len(covers)),
        constraints=optimize.LinearConstraint(table, 1),
        integrality=np.ones(len(covers)),
        bounds=optimize.Bounds(0, 1),
    )
    assert solved.success
    return round(solved.fun)


def is_covered(mask: np.ndarray, squares, side: int) -> bool:
    rows = rows_of(mask)
    for square in squares:
        rows = without(rows, side, square)
    return not any(rows)


@pytest.mark.parametrize("side", [8, 16, 24, 32])
@pytest.mark.parametrize("seed", range(8))
def test_small_cases_are_exact(seed, side, need):
    """As few squares as HiGHS finds, on scattered pixels and short strokes."""
    dice = np.random.Generator(np.random.PCG64(seed * 97 + side))
    height, width = dice.integers(6, 4 * side, 2)
    mask = np.zeros((height, width), dtype=bool)
    for _ in range(dice.integers(1, 22)):
        y, x = dice.integers(0, height), dice.integers(0, width)
        long = dice.integers(1, 12)
        if dice.integers(2):
            mask[y, x : x + long] = True
        else:
            mask[y : y + long, x] = True
    cover = cover_pixels(mask, side)
    assert is_covered(mask, cover.squares, side)
    assert cover.exact
    assert len(cover.squares) == exact_count(mask, side, need)


@pytest.mark.parametrize(
    ("height", "width", "count"),
    [(1, 1, 1), (32, 32, 1), (33, 32, 2), (32, 33, 2), (33, 33, 4), (100, 4, 4), (64, 96, 6)],
)
def test_blocks_by_hand(height, width, count):
    """A full block takes as many squares as its sides ask for, rounded up."""
    mask = np.ones((height, width), dtype=bool)
    cover = cover_pixels(mask)
    assert (len(cover.squares), cover.exact) == (count, True)
    assert is_covered(mask, cover.squares, SIDE)


def test_a_ring_by_hand():
    """Four posts at the corners of a square of 40 pixels: two fit no square, so four are needed.

    Moved to 32 pixels apart from edge to edge, all four are within one.
    """
    mask = np.zeros((40, 40), dtype=bool)
    mask[[0, 0, 39, 39], [0, 39, 0, 39]] = True
    assert len(cover_pixels(mask).squares) == 4
    near = np.zeros((40, 40), dtype=bool)
    near[[3, 3, 34, 34], [5, 36, 5, 36]] = True
    assert len(cover_pixels(near).squares) == 1


def test_squares_off_the_grid_save_one():
    """Two posts 20 pixels apart and a third below them: a grid of 32 cuts them, free places do not.

    On the grid of cells that begins at column 0 the posts at columns 20 and 40 fall into two
    squares; a square that begins at column 20 holds both.
    """
    mask = np.zeros((32, 64), dtype=bool)
    mask[:, [20, 40]] = True
    assert cover_pixels(mask).squares == ((0, 20),)


def test_large_pictures_stay_near_the_bound():
    """Past what can be searched, the cover is whole, and no smaller than the bound from below."""
    dice = np.random.Generator(np.random.PCG64(5))
    mask = np.zeros((120, 360), dtype=bool)
    mask[dice.integers(0, 120, 220), dice.integers(0, 360, 220)] = True
    cover = cover_pixels(mask, nodes=50)
    least = max(least_squares(rows_of(turn.there(mask)), SIDE) for turn in TURNS)
    assert is_covered(mask, cover.squares, SIDE)
    assert least <= len(cover.squares) <= 1.3 * least


def test_a_wall_of_sprites_is_covered_in_strips():
    """Far more squares than a screen has sprites: no search, but the right number all the same."""
    mask = np.ones((224, 512), dtype=bool)
    cover = cover_pixels(mask, 8)
    assert (len(cover.squares), cover.exact) == (28 * 64, False)
    assert is_covered(mask, cover.squares, 8)
    assert cover.alike == ()


def test_more_steps_never_cover_worse():
    """With ever more steps there are never more squares."""
    dice = np.random.Generator(np.random.PCG64(9))
    mask = np.zeros((90, 200), dtype=bool)
    mask[dice.integers(0, 90, 70), dice.integers(0, 200, 70)] = True
    counts = [len(cover_pixels(mask, nodes=nodes).squares) for nodes in (1, 30, 900)]
    assert counts == sorted(counts, reverse=True)


def test_other_covers_are_as_small():
    """What is offered beside the best cover covers as well, by the same number of squares."""
    mask = np.zeros((70, 90), dtype=bool)
    mask[::7, ::11] = True
    cover = cover_pixels(mask)
    assert cover.alike
    for squares in cover.alike:
        assert len(squares) == len(cover.squares)
        assert is_covered(mask, squares, SIDE)


def test_turns_come_back():
    """A square found in any turned picture covers the same pixels in the picture itself."""
    mask = np.zeros((50, 70), dtype=bool)
    mask[10:20, 30:60] = True
    for turn in TURNS:
        turned = rows_of(turn.there(mask))
        line = next(n for n, row in enumerate(turned) if row)
        left = (turned[line] & -turned[line]).bit_length() - 1
        ((top, column),) = turn.back([(line, left)], mask.shape, SIDE)
        seen = np.zeros_like(mask)
        seen[max(top, 0) : top + SIDE, max(column, 0) : column + SIDE] = True
        there = without(turned, SIDE, (line, left))
        assert sum(row.bit_count() for row in there) == int((mask & ~seen).sum())
