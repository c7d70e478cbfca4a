"""Reflections: whole cells, flipped, without a tile."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.model import PaintedLayer, PlanePicture, Reflected
from genbg.model.zones import plan_zones
from genbg.planes.mirror import measure_mirror, mirror_layers, mirror_pictures

HEIGHT, WIDTH, MIRROR = 256, 64, 144


def dice(seed: int) -> np.random.Generator:
    return np.random.Generator(np.random.PCG64(seed))


def picture(seed: int, lines: int = HEIGHT) -> PlanePicture:
    """A plane of random inks, guards and priorities, see-through from `lines` on."""
    ink = dice(seed).integers(1, 40, (HEIGHT, WIDTH)).astype(np.uint16)
    guard = dice(seed + 1).integers(0, 2, ink.shape).astype(bool)
    priority = dice(seed + 2).integers(0, 2, (HEIGHT // 8, WIDTH // 8)).astype(bool)
    ink[lines:], guard[lines:], priority[lines // 8 :] = 0, False, False
    return PlanePicture(ink, guard, priority)


def planes_of(plane: str) -> tuple[PlanePicture, PlanePicture]:
    """FRONT and BACK; what mirrors itself has nothing of its own from the mirror on."""
    front, back = (MIRROR if plane in ("both", name) else 2 * MIRROR for name in ("front", "back"))
    return picture(1, min(front, HEIGHT)), picture(11, min(back, HEIGHT))


@pytest.mark.parametrize("plane", ["both", "front", "back"])
def test_a_line_shows_the_one_that_lies_as_far_above(plane):
    """Line 144 + i of a mirrored plane is line 143 - i, ink, guard and priority alike."""
    plan = plan_zones(224, (), MIRROR, plane)
    planes = planes_of(plane)
    for number, (before, after) in enumerate(
        zip(planes, mirror_pictures(*planes, plan), strict=True)
    ):
        for line in range(HEIGHT - MIRROR if plan.mirrored[number] else 0):
            assert (after.ink[MIRROR + line] == before.ink[MIRROR - 1 - line]).all()
            assert (after.guard[MIRROR + line] == before.guard[MIRROR - 1 - line]).all()
            priority = (
                after.priority[(MIRROR + line) // 8],
                before.priority[(MIRROR - 1 - line) // 8],
            )
            assert (priority[0] == priority[1]).all()
        if not plan.mirrored[number]:
            assert after is before


def test_nothing_happens_without_a_mirror():
    """Planes stay the very same objects, and there is no reflection to tell of."""
    plan, planes = plan_zones(224, (100,)), planes_of("both")
    assert mirror_pictures(*planes, plan) == planes
    assert mirror_layers([], plan) == []
    assert measure_mirror(np.zeros((2, 32, 64)), plan) is None


def layer(plane: str, top: int, bottom: int) -> PaintedLayer:
    ink = np.arange(top, bottom, dtype=np.uint16)[:, None].repeat(WIDTH, axis=1)
    return PaintedLayer("shore", 3, plane, top, bottom, False, ink, ink > 0)


@pytest.mark.parametrize(
    ("top", "bottom", "lines"),
    [(100, 144, (144, 188)), (40, 80, (208, 224)), (0, 64, None), (64, 144, (144, 224))],
)
def test_layers_for_engines_are_mirrored_as_far_as_the_screen_goes(top, bottom, lines):
    """A layer's reflection lies as far below the mirror as the layer above it."""
    plan = plan_zones(224, (), MIRROR, "back")
    assert mirror_layers([layer("front", top, bottom), layer("sprites", top, bottom)], plan) == []
    found = mirror_layers([layer("back", top, bottom)], plan)
    if lines is None:
        assert found == []
        return
    (mirrored,) = found
    assert (mirrored.top, mirrored.bottom) == lines
    assert mirrored.mirrored
    assert mirrored.name == "shore-mirrored"
    assert mirrored.ink[:, 0].tolist() == [2 * MIRROR - 1 - line for line in range(*lines)]


def test_tiles_that_only_a_reflection_shows_are_counted():
    """A cell below the mirror with a tile of its own costs one; equal ones cost none."""
    number = np.zeros((2, 32, 64), np.uint16)
    plan = plan_zones(224, (), MIRROR, "both")
    assert measure_mirror(number, plan) == Reflected(144, lines=80, cells=2 * 10 * 64, patterns=0)
    number[1, 20, 5] = 7
    assert measure_mirror(number, plan).patterns == 1
