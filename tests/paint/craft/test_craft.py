"""Rims, clean edges and patches."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.paint.craft.edges import (
    clean_mask,
    light_step,
    lit_share,
    mirrored,
    outline,
    paste,
    remove_strays,
    rim,
    shifted,
    stray_pixels,
)


def drawn(*rows: str) -> np.ndarray:
    return np.array([[int(c) if c.isdigit() else 0 for c in row] for row in rows])


def test_shifted_wraps_across_and_holds_up_and_down():
    """Columns wrap; beyond the last line the last line goes on."""
    a = drawn("123", "456")
    assert shifted(a, 1, 0).tolist() == [[2, 3, 1], [5, 6, 4]]
    assert shifted(a, 0, 1).tolist() == [[4, 5, 6], [4, 5, 6]]
    assert shifted(a, -1, -1).tolist() == [[3, 1, 2], [3, 1, 2]]


@pytest.mark.parametrize(
    ("light", "step"),
    [((-0.6, 0.7), (-1, -1)), ((0.6, 0.7), (1, -1)), ((0.1, 0.9), (0, -1)), ((0.9, 0.1), (1, 0))],
)
def test_the_rim_lies_toward_the_light(light, step):
    """A rim is the mask's pixels whose neighbour toward the light is outside: worked by hand."""
    assert light_step(light) == step
    mask = np.zeros((9, 9), dtype=bool)
    mask[3:6, 3:6] = True
    dx, dy = step
    hand = {
        (y, x)
        for y in range(3, 6)
        for x in range(3, 6)
        if not (3 <= y + dy < 6 and 3 <= x + dx < 6)
    }
    assert {tuple(p) for p in np.argwhere(rim(mask, light)).tolist()} == hand


def test_outline_of_a_square():
    """The outline of a 4x4 square is its 12 border pixels."""
    mask = np.zeros((8, 8), dtype=bool)
    mask[2:6, 2:6] = True
    edge = outline(mask)
    assert edge.sum() == 12
    assert not edge[3:5, 3:5].any()


def test_clean_mask_removes_specks_and_fills_pinholes():
    """A single pixel goes, a one-pixel hole is filled, a 4x4 block stays."""
    mask = drawn("00000000", "01000000", "00001111", "00001111", "00001011", "00001111") > 0
    clean = clean_mask(mask)
    assert not clean[1, 1]
    assert clean[4, 5]
    assert clean[2:6, 4:8].all()


def test_stray_pixels_are_those_without_a_like_neighbour():
    """Found by the plain definition, one pixel after the other, columns wrapping."""
    ink = np.random.Generator(np.random.PCG64(2)).integers(0, 5, (20, 16))
    found = stray_pixels(ink)
    for y in range(20):
        for x in range(16):
            around = [
                ink[y + dy, (x + dx) % 16]
                for dy in (-1, 0, 1)
                for dx in (-1, 0, 1)
                if (dx or dy) and 0 <= y + dy < 20
            ]
            assert found[y, x] == (ink[y, x] not in around)


def test_remove_strays_paints_them_over_and_keeps_what_is_marked():
    """A lone pixel takes its neighbours' ink unless it is to be kept."""
    ink = np.full((8, 8), 3)
    ink[4, 4] = 1
    assert (remove_strays(ink) == 3).all()
    keep = ink == 1
    assert np.array_equal(remove_strays(ink, keep), ink)


def test_mirrored_halves():
    """The right half is the left one, flipped."""
    half = drawn("12", "34")
    assert mirrored(half).tolist() == [[1, 2, 2, 1], [3, 4, 4, 3]]


@pytest.mark.parametrize("side", [-1.0, 1.0])
def test_slopes_toward_the_light_are_bright(side):
    """On a ball lit from one side and above, that side's upper part is the brightest."""
    y, x = np.mgrid[0:33, 0:33] - 16
    ball = np.sqrt(np.maximum(15.0**2 - x * x - y * y, 0.0))
    lit = lit_share(ball, (side * 0.6, 0.7))
    assert lit[10, 16 + int(side * 6)] > lit[16, 16] > lit[22, 16 - int(side * 6)]
    assert lit[10, 16] > 0 > lit[22, 16]


def test_paste_wraps_and_is_cut_at_the_ends():
    """Ink 0 of a stamp is see-through, columns wrap, lines outside are left out."""
    picture = np.zeros((3, 4), dtype=np.int64)
    paste(picture, drawn("12", "03"), 3, -1)
    assert picture.tolist() == [[3, 0, 0, 0], [0, 0, 0, 0], [0, 0, 0, 0]]
    paste(picture, drawn("12", "03"), 3, 2)
    assert picture.tolist() == [[3, 0, 0, 0], [0, 0, 0, 0], [2, 0, 0, 1]]
    paste(picture, drawn("9"), 0, 7)
    assert picture.max() == 3
