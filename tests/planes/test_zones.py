"""Zones: which palette rows and which colours hold on which line, against a plain walk down."""

from __future__ import annotations

import itertools

import numpy as np
import pytest

from genbg.model import BACK, FRONT
from genbg.model.zones import MIRROR, plan_zones

CASES = [
    ((), None, "both"),
    ((100, 180), None, "both"),
    ((), 144, "both"),
    ((200,), 144, "back"),
    ((96,), 144, "both"),
    ((96, 200), 144, "front"),
    ((144, 208), 144, "both"),
    ((40, 120, 150, 199), 136, "back"),
]


@pytest.fixture(params=CASES, ids=str)
def plan(request):
    splits, mirror, plane = request.param
    return plan_zones(224, splits, mirror, plane)


def test_segments_cover_the_screen_once(plan):
    """Segments follow one another from line 0 to the last, and neighbours differ in something."""
    segments = plan.segments()
    assert (segments[0].top, segments[-1].bottom) == (0, plan.lines)
    for above, below in itertools.pairwise(segments):
        assert above.bottom == below.top


def test_no_colour_changes_inside_a_segment(plan):
    """On all lines of a segment zone and view number stay, and so does every plane's view."""
    for segment in plan.segments():
        for line in range(segment.top, segment.bottom):
            assert plan.zone_of(line) == segment.zone
            assert plan.view_number_of(line) == segment.view_number


def plain_view(plan, line, plane):
    """What lies before a pixel of a line, told from the words of the preset alone."""
    last = max((n for n, split in enumerate(plan.splits) if split <= line), default=None)
    if plan.mirror is None or line < plan.mirror or not plan.mirrored[plane]:
        return () if last is None else (last,)
    source = 2 * plan.mirror - 1 - line
    above = max((n for n, split in enumerate(plan.splits) if split <= source), default=None)
    view = () if above is None else (above,)
    below = last is not None and plan.splits[last] >= plan.mirror
    return (*view, MIRROR, last) if below else (*view, MIRROR)


def test_every_line_shows_the_view_that_the_preset_describes(plan):
    """The view of a pixel, by its line's view number, is just what the preset says of that line.

    A mirrored line's ink is the one of the line that it mirrors.
    """
    for line, plane in itertools.product(range(plan.lines), (FRONT, BACK)):
        source = plan.source(line) if plan.mirrored[plane] else line
        views = plan.views(source, plane)
        assert views[plan.view_number_of(line)] == plain_view(plan, line, plane), (line, plane)


def test_recipes_have_one_length(plan):
    """One view more than begin below the mirror, so that every ink has as many colours."""
    lengths = {len(plan.views(line, plane)) for line in range(224) for plane in (FRONT, BACK)}
    assert lengths | {len(views) for views in plan.behind_views()} == {len(plan.view_splits) + 1}


def test_runs_cut_a_layer_where_its_recipe_changes(plan):
    """A layer's rows fall into runs of the same views, in order and without a gap."""
    for plane in (FRONT, BACK, None):
        runs = plan.runs(20, 210, plane)
        assert runs[0][0] == 0
        assert runs[-1][1] == 190
        for first, last, views in runs:
            assert {plan.views(20 + row, plane) for row in range(first, last)} == {views}
        for one, other in itertools.pairwise(runs):
            assert one[1] == other[0]


def test_zones_of_a_split_screen_without_a_mirror():
    """Every split begins a zone; the last one reaches to the end of the plane."""
    plan = plan_zones(224, (100, 180))
    assert plan.zone_tops == (0, 100, 180)
    assert plan.fit_zones(np.zeros((256, 8))) == ((0, 100), (100, 180), (180, 256))
    assert plan_zones(224, ()).fit_zones(np.zeros((256, 8))) == ()


def test_a_mirrored_border_is_a_border_again():
    """A split at 96 above a mirror at 144 holds upside down from line 192 on."""
    edges = [(s.top, s.zone, s.view_number) for s in plan_zones(224, (96,), 144).segments()]
    assert edges == [(0, 0, 0), (96, 1, 0), (144, 1, 1), (192, 0, 1)]
