"""Layers onto planes, against pixel-by-pixel loops and small cases worked by hand."""

import dataclasses
from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genbg.errors import LimitError
from genbg.model import PaintedLayer
from genbg.planes.compose import compose_planes, order_notes

MACHINE = SimpleNamespace(plane_cells=(4, 3))
"""A plane of 32 x 24 pixels: the stage only asks a machine for its plane's size."""


def layer(number, ink, top=0, plane="back", priority=False, guard=None):
    ink = np.asarray(ink, np.uint16)
    guard = np.zeros(ink.shape, bool) if guard is None else guard
    return PaintedLayer(
        f"part{number}", number, plane, top, top + len(ink), priority, ink, np.asarray(guard, bool)
    )


def compose_slowly(layers, columns, rows):
    """The rule of the trade, pixel by pixel: later covers earlier; a high pixel lifts its cell."""
    ink = [[0] * columns * 8 for _ in range(rows * 8)]
    guard = [[False] * columns * 8 for _ in range(rows * 8)]
    lifted = [[False] * columns * 8 for _ in range(rows * 8)]
    for one in layers:
        for y in range(one.top, one.bottom):
            for x in range(columns * 8):
                value = int(one.ink[y - one.top, x])
                if value:
                    ink[y][x] = value
                    guard[y][x] = bool(one.guard[y - one.top, x])
                    lifted[y][x] = one.priority
    priority = [
        [
            any(lifted[8 * r + y][8 * c + x] for y in range(8) for x in range(8))
            for c in range(columns)
        ]
        for r in range(rows)
    ]
    return ink, guard, priority


@given(st.integers(0, 10**6), st.integers(1, 5))
@settings(max_examples=25, deadline=None)
def test_planes_equal_a_pixel_loop(seed, count):
    """Ink, guard and priority are what drawing layer after layer, pixel by pixel, gives."""
    rng = np.random.default_rng(seed)
    layers = []
    for number in range(count):
        top = int(rng.integers(0, 23))
        lines = int(rng.integers(1, 25 - top))
        ink = rng.integers(1, 9, (lines, 32)) * (rng.random((lines, 32)) < 0.4)
        layers.append(
            layer(
                number,
                ink,
                top,
                plane=("front", "back", "sprites")[rng.integers(3)],
                priority=bool(rng.integers(2)),
                guard=rng.random((lines, 32)) < 0.3,
            )
        )
    pictures = compose_planes(layers, MACHINE)
    for plane, got in zip(("front", "back"), pictures, strict=True):
        ink, guard, priority = compose_slowly([one for one in layers if one.plane == plane], 4, 3)
        assert got.ink.tolist() == ink
        assert got.guard.tolist() == guard
        assert got.priority.tolist() == priority


def test_unpainted_lines_are_see_through():
    """Where no layer reaches, a plane holds ink 0 and no guard, and its cells are low."""
    front, back = compose_planes([layer(0, np.full((8, 32), 3), top=8, priority=True)], MACHINE)
    assert not front.ink.any()
    assert not front.priority.any()
    assert back.ink[8:16].all()
    assert not back.ink[:8].any()
    assert not back.ink[16:].any()
    assert back.priority.tolist() == [[False] * 4, [True] * 4, [False] * 4]


def test_a_covered_high_layer_lifts_nothing():
    """Only pixels that are seen count: a high layer under a low one leaves the cell low."""
    stack = [layer(0, np.full((8, 32), 1), priority=True), layer(1, np.full((8, 32), 2))]
    _, back = compose_planes(stack, MACHINE)
    assert not back.priority.any()
    assert order_notes(stack, MACHINE) == (
        'layer 0 "part0" is not seen: later layers of the back plane cover all of it',
    )


def test_a_shared_cell_is_high_and_noted():
    """A cell with pixels of a high and a low layer is high, and a note says how many there are."""
    low = np.full((8, 32), 1)
    priority = np.zeros((8, 32), int)
    priority[:, 6:10] = 2
    stack = [layer(0, low), layer(1, priority, priority=True)]
    _, back = compose_planes(stack, MACHINE)
    assert back.priority[0].tolist() == [True, True, False, False]
    (note,) = order_notes(stack, MACHINE)
    assert note.startswith('2 cells of the back plane show both layer 1 "part1" (high) and layer 0')


def test_layers_of_different_planes_share_no_cell():
    """Priority is a plane's own: a high front layer over a low back layer needs no note."""
    stack = [
        layer(0, np.full((8, 32), 1)),
        layer(1, np.full((8, 32), 2), plane="front", priority=True),
    ]
    assert order_notes(stack, MACHINE) == ()


def test_input_layers_stay_as_they_are():
    """Composing changes none of its arguments."""
    ink = np.arange(256).reshape(8, 32) % 5
    one = layer(0, ink)
    compose_planes([one, layer(1, np.full((8, 32), 4))], MACHINE)
    assert (one.ink == ink).all()


@pytest.mark.parametrize(
    ("top", "shape", "text"),
    [
        (20, (8, 32), r'layer 0 "part0": line reached by lines 20 to 28.*28 asked, 24 allowed'),
        (-1, (8, 32), r"lines -1 to 7.*-1 asked, 0 allowed"),
        (0, (8, 24), r"width of the painted layer: 24 pixels asked, 32 pixels allowed"),
    ],
)
def test_a_layer_that_leaves_the_plane_is_refused(top, shape, text):
    """A layer outside the plane, or of another width, is an error that names it."""
    with pytest.raises(LimitError, match=text):
        compose_planes([layer(0, np.ones(shape), top=top)], MACHINE)


def test_a_layer_may_be_high_on_some_lines_and_columns():
    """Lines 8 to 16, columns 8 to 24: only cells 1 and 2 of row 1 get the bit."""
    ink = np.ones((24, 32))
    part = dataclasses.replace(layer(0, ink), priority_lines=(8, 16), priority_columns=(8, 24))
    _, back = compose_planes([part], MACHINE)
    assert np.argwhere(back.priority).tolist() == [[1, 1], [1, 2]]
    lines = dataclasses.replace(layer(0, ink[:16], top=8), priority_lines=(16, 24))
    assert np.argwhere(compose_planes([lines], MACHINE)[1].priority)[:, 0].tolist() == [2] * 4
    columns = dataclasses.replace(layer(0, ink), priority_columns=(0, 8))
    assert np.argwhere(compose_planes([columns], MACHINE)[1].priority)[:, 1].tolist() == [0] * 3


def test_notes_speak_of_parts_that_are_high():
    """A cell that shows a layer where it is high and another that is low is told."""
    upper = np.zeros((24, 32))
    upper[8:12] = 1
    part = dataclasses.replace(layer(1, upper), priority_lines=(8, 16))
    notes = order_notes([layer(0, np.ones((24, 32)) * 2), part], MACHINE)
    assert notes == (
        '4 cells of the back plane show both layer 1 "part1" (high) and layer 0 "part0" (low): '
        "the whole cell is drawn high, because the machine keeps one priority bit a cell",
    )
