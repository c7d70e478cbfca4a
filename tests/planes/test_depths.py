"""How many depths the eye is shown, counted by hand."""

from __future__ import annotations

import dataclasses

import numpy as np

from genbg.model import LineSpeeds, PaintedLayer
from genbg.planes.depths import count_depths

SIZE = (64, 256)
STILL = LineSpeeds(np.zeros((64, 2), np.int32), np.zeros((64, 2), np.int32))


def layer(number, plane, top=0, bottom=64, priority=False, columns=256) -> PaintedLayer:
    ink = np.zeros((bottom - top, 256), dtype=np.uint16)
    ink[:, :columns] = number + 1
    guard = np.zeros(ink.shape, dtype=bool)
    return PaintedLayer(f"layer-{number}", number, plane, top, bottom, priority, ink, guard)


def count(*layers, **own):
    speeds = {int(name[1:]): speed for name, speed in own.items()}
    return count_depths(layers, speeds, STILL, SIZE)


NEAR, FAR, FLOOR = (1.0, 1.0, 0.0), (0.125, 0.125, 0.0), (0.125, 1.0, 0.0)


def test_plane_speed_and_order_tell_depths_apart():
    """Two speeds on the back plane, one on the front, its high part, and sprites: five."""
    layers = [
        layer(0, "back", 0, 32),
        layer(1, "back", 32, 64),
        layer(2, "front", columns=80),
        layer(3, "front", columns=40, priority=True),
        layer(4, "sprites", columns=8),
    ]
    found = count(*layers, n0=FAR, n1=FLOOR, n2=NEAR, n3=NEAR, n4=(1.25, 1.25, 0.0))
    assert found == {"all": 5, "back": 2, "front": 2, "sprites": 1}


def test_what_moves_alike_counts_once():
    """Two layers of one plane at one speed are one depth; a drift makes them two."""
    layers = [layer(0, "back", 0, 32), layer(1, "back", 32, 64)]
    assert count(*layers, n0=FAR, n1=FAR)["all"] == 1
    assert count(*layers, n0=FAR, n1=(0.125, 0.125, 0.5))["all"] == 2


def test_a_hidden_layer_does_not_count():
    """What later layers cover whole is no depth; nor is an empty one."""
    covered = [layer(0, "back"), layer(1, "back")]
    assert count(*covered, n0=FAR, n1=NEAR)["all"] == 1
    assert count(layer(0, "sprites", columns=0), n0=NEAR)["all"] == 0


def test_a_layer_that_goes_along_counts_by_lines_of_its_own():
    """A sky without a distance: none where a ridge shares all its lines, one where it has some."""
    sky, ridge = layer(0, "back"), layer(1, "back", columns=100)
    assert count(sky, ridge, n0=None, n1=FAR)["all"] == 1
    short = layer(1, "back", 32, 64, columns=100)
    assert count(sky, short, n0=None, n1=FAR)["all"] == 2


def test_parts_of_a_layer_that_trade_places_are_two():
    """High below line 32, low above: two depths at one speed. Its reflection adds none."""
    part = dataclasses.replace(layer(0, "back"), priority_lines=(32, 64))
    mirrored = dataclasses.replace(layer(0, "back"), mirrored=True, priority=True)
    assert count(part, mirrored, n0=FAR) == {"all": 2, "back": 2, "front": 0, "sprites": 0}
