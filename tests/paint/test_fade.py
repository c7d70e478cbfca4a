"""Fades: near OKLab's straight line, even, and the same from any side they are asked."""

from __future__ import annotations

import itertools
import math

import numpy as np
import pytest
from coloraide import Color

from genbg.colour import LAB_SCALE, hex_to_rgb, lab_steps, screen_table, snap_srgb
from genbg.hardware.profile import LADDERS
from genbg.scroll.fade import MOST, choose_way, fade_path, fade_paths, ideal_points

PAIRS = np.random.Generator(np.random.PCG64(8)).integers(0, 512, (60, 2))
STRAY = 0.06
"""OKLab, in a and b: one and a half of the steps by which a fade goes on. A measured bound: 500
random fades strayed by 0.052 at most, the grid colours nearest to the line by up to 0.091."""


def number_of(text: str) -> int:
    return int(snap_srgb(np.array([hex_to_rgb(text)]))[0])


def colour_of(number: int) -> Color:
    red, green, blue = (value / 255 for value in screen_table()[number].tolist())
    return Color("srgb", [red, green, blue])


def chroma_gap(one: Color, other: Color) -> float:
    """Distance in a and b of two OKLab colours."""
    return math.dist(one.convert("oklab").coords()[1:], other.convert("oklab").coords()[1:])


def test_fades_keep_to_the_line_that_coloraide_draws():
    """Every colour on the way is near some point of coloraide's OKLab interpolation."""
    for first, last in PAIRS.tolist():
        line = Color.interpolate([colour_of(first), colour_of(last)], space="oklab")
        points = [line(part / 50) for part in range(51)]
        for number in fade_path(first, last):
            assert min(chroma_gap(colour_of(number), point) for point in points) <= STRAY


def test_no_step_jumps_hue():
    """Between two colours of a fade that have a hue, it turns at most 60 degrees further than the
    straight line does between the two points of it that are nearest to them.
    """
    for first, last in PAIRS.tolist():
        line = Color.interpolate([colour_of(first), colour_of(last)], space="oklab")
        points = [line(part / 50).convert("oklab") for part in range(51)]
        path = [colour_of(number).convert("oklab") for number in fade_path(first, last)]
        near = [
            min(points, key=lambda p, c=colour: math.dist(p.coords(), c.coords()))
            for colour in path
        ]
        for (a, b), (p, q) in zip(itertools.pairwise(path), itertools.pairwise(near), strict=True):
            colours = [colour.convert("oklch") for colour in (a, b, p, q)]
            if min(colour["chroma"] for colour in colours) >= 0.06:
                turns = [turn(colours[0], colours[1]), turn(colours[2], colours[3])]
                assert turns[0] <= turns[1] + 60, (first, last)


def turn(one: Color, other: Color) -> float:
    """Degrees between two hues."""
    gap = abs(one["hue"] - other["hue"]) % 360
    return min(gap, 360 - gap)


@pytest.mark.parametrize("ladder", LADDERS)
def test_ends_are_exact_and_steps_go_on(ladder):
    """A fade begins and ends with what is asked, never stands still, and goes back next to not."""
    levels = LADDERS[ladder]
    lab = lab_steps(levels).astype(float)
    for (first, last), path in fade_paths(PAIRS, levels).items():
        assert (path[0], path[-1]) == (first, last)
        assert len(path) <= MOST
        assert all(a != b for a, b in itertools.pairwise(path))
        way = lab[last] - lab[first]
        if way.any():
            along = (lab[list(path)] - lab[first]) @ way / (way @ way)
            assert np.diff(along).min() > -0.05


def test_greys_stay_grey():
    """From black to white through every grey of the grid; common practice, no source."""
    assert fade_path(0, 511) == tuple(level * 73 for level in range(8))


def test_yellow_becomes_lavender_without_green():
    """A sun that becomes a moon passes white or grey; the nearest grid colours would be mint."""
    lab = lab_steps()
    path = fade_path(number_of("#ffff92"), number_of("#dbdbff"))
    greens = [lab[number, 1] for number in path[1:-1]]
    assert min(greens) > -30


def test_a_colour_that_stays():
    """One colour alone."""
    assert fade_path(100, 100) == (100,)
    assert fade_paths(np.array([[3, 3], [3, 3]])) == {(3, 3): (3,)}


def test_the_choice_is_the_least_sum():
    """The dynamic programme finds what trying all ways finds, on small random cases."""
    dice = np.random.Generator(np.random.PCG64(9))
    weights = (1, 4, 4)
    for _ in range(30):
        ideal = dice.integers(0, 300, (5, 3))
        tried = dice.integers(0, 300, (5, 3, 3))
        gap = dice.integers(0, 90000, (5, 3))
        found = {}
        for way in itertools.product(range(3), repeat=5):
            colours = [tried[k][place] for k, place in enumerate(way)]
            total = sum(int(gap[k][place]) for k, place in enumerate(way))
            for k in range(1, 5):
                off = colours[k] - colours[k - 1] - (ideal[k] - ideal[k - 1])
                total += sum(w * int(d) ** 2 for w, d in zip(weights, off, strict=True))
            found[way] = total
        assert found[tuple(choose_way(ideal, tried, gap))] == min(found.values())


def test_ideal_points_are_even():
    """Points of the line at equal parts, rounded: coloraide's own, to the nearest lab step."""
    first, last = lab_steps()[7].astype(int), lab_steps()[448].astype(int)
    line = Color.interpolate([colour_of(7), colour_of(448)], space="oklab")
    for place, point in enumerate(ideal_points(first, last, 9)):
        exact = [value * LAB_SCALE for value in line(place / 8).coords()]
        assert np.abs(point - exact).max() <= 1.2
