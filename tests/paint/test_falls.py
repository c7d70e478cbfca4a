"""Falls under a wall whose edge is known; lanterns and their light on a calm surface."""

import numpy as np
import pytest
from painting_checks import paint

from genbg.model import Painting, RampUse
from genbg.paint.contract import Seen
from genbg.paint.painters.falls import LEAST, TUFT

FALLS = {"top": 0, "bottom": 172}
FOOT, EDGE = 160, 40
WALL = slice(64, 192)


def inks_of(painting, ramp):
    """First and last local ink of a ramp."""
    names = [use.name for use in painting.ramps]
    first = 1 + sum(use.steps for use in painting.ramps[: names.index(ramp)])
    return first, first + painting.ramps[names.index(ramp)].steps - 1


def shown(painting, ramp):
    """Pixels (N, W) bool of a ramp."""
    first, last = inks_of(painting, ramp)
    return (painting.ink >= first) & (painting.ink <= last)


def wall(edge):
    """What a fall sees: a wall of one ink between two columns, from its edge down to the foot."""
    ink = np.zeros((FOOT, 256), dtype=np.uint16)
    ink[edge:, WALL] = 1
    return {"wall": Seen(0, Painting(ink, (RampUse("rock", 1),), None, None))}


def falls(edge=EDGE, **asked):
    keys = {"foot": FOOT, **asked}
    return paint("falls", width=256, seed=3, seen=wall(edge), **FALLS, params=keys)


def test_water_falls_from_the_edge_of_the_rock_to_the_foot() -> None:
    """No water stands over the edge, or beside the rock; its first line is the edge's, its last
    the foot's (by hand)."""
    water = shown(falls(turf=0.0, mist=0.0, count=1), "fall")
    lines = np.flatnonzero(water.any(axis=1))
    assert EDGE <= lines[0] <= EDGE + 1
    assert lines[-1] == FOOT - 1
    columns = np.flatnonzero(water.any(axis=0))
    assert WALL.start <= columns[0]
    assert columns[-1] < WALL.stop


def test_low_ground_bears_no_falls() -> None:
    """What rises less than `LEAST` lines over the foot is ground: nothing falls, nothing grows."""
    assert not falls(edge=FOOT - LEAST + 4, count=3).ink.any()


def test_growth_hangs_on_the_brink() -> None:
    """Growth touches the edge and hangs no longer than twice the longest tuft."""
    green = shown(falls(count=0, turf=1.0), "turf")
    lines = np.flatnonzero(green.any(axis=1))
    assert lines[0] <= EDGE
    assert lines[-1] <= EDGE + 2 * TUFT


@pytest.mark.parametrize("seed", [1, 2])
def test_light_of_a_lantern_lies_below_it(seed: int) -> None:
    """A calm surface mirrors about its line (the mirror's equal angles): light on the water lies
    below the lowest paper of its columns, never above the far shore."""
    keys = {"air": 0, "water": 3, "shore": 120}
    painting = paint("floats", width=256, top=96, bottom=172, seed=seed, params=keys)
    glint, paper = shown(painting, "glint"), shown(painting, "paper")
    assert glint.any()
    assert paper.any()
    assert np.flatnonzero(glint.any(axis=1))[0] + 96 > 120
    assert painting.guard is not None
    assert (painting.guard == paper).all()


def test_lanterns_grow_overhead() -> None:
    """The stream rises toward us: paper is larger in its upper half than near its start."""
    keys = {"air": 40, "water": 0, "from_line": 110}
    paper = shown(paint("floats", top=0, bottom=128, seed=4, params=keys), "paper")
    assert paper[:48].sum() > 2 * paper[70:118].sum() > 0
