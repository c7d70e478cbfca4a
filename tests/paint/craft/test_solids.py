"""Solids against geometry worked by hand."""

import numpy as np
import pytest

from genbg.paint.craft.solids import (
    Eye,
    Frame,
    Kind,
    Light,
    Shadows,
    Stage,
    boulder,
    box,
    drum,
    lighten,
    look,
    look_in_water,
    tones,
)
from genbg.paint.craft.solids.view import dot

EYE = Eye(256.0, 88.0, 46.0)
LINES = (0, 172)
WIDTH = 512


def _seen(stage, eye=EYE):
    return look(stage, eye, LINES, WIDTH)


def test_a_box_stands_where_a_pinhole_camera_shows_it():
    """Column x + f X / Z, line h + f (e - Y) / Z (Hartley and Zisserman, ch. 6)."""
    stage = Stage()
    box(stage, Frame(30, 0, 400), 40, 50, 20, 0)
    seen = _seen(stage)
    front = seen.has & (seen.nz < -0.5)
    lines, columns = np.nonzero(front)
    assert columns.min() == 256 + 30
    assert columns.max() == 256 + 70 - 1
    assert lines.max() == 88 + 46 - 1
    assert np.allclose(seen.depth[front], 400.0)
    # Its lid lies over the eye, so its highest line is the front's upper edge.
    assert lines.min() == 88 + 46 - 50


def test_face_coordinates_run_over_the_face():
    stage = Stage()
    box(stage, Frame(-20, 0, 400), 40, 30, 20, 0, Kind.FRONT)
    seen = _seen(stage)
    front = seen.has & (seen.nz < -0.5)
    assert seen.u[front].min() == pytest.approx(0.5, abs=0.01)
    assert seen.u[front].max() == pytest.approx(39.5, abs=0.01)
    assert seen.v[front].max() == pytest.approx(29.5, abs=0.01)


def test_water_shows_things_as_far_below_as_they_stand_above():
    """Equal angles: what stands y high at depth z is mirrored at line h + f (e + y) / z."""
    stage = Stage()
    box(stage, Frame(-10, 20, 400), 20, 10, 10, 0)
    still = look_in_water(stage, EYE, (88, 188), WIDTH)
    front = still.has & (still.nz < -0.5)
    lines = np.nonzero(front)[0] + 88
    assert lines.min() == 88 + 46 + 20
    assert lines.max() == 88 + 46 + 30 - 1
    # The mirror shows the box from below, which the eye itself cannot see.
    assert (still.has & (still.ny < -0.9)).any()
    assert not (_seen(stage).ny[_seen(stage).has] < -0.9).any()


def test_what_stands_nearer_hides_what_is_behind():
    stage = Stage()
    box(stage, Frame(-50, 0, 450), 100, 60, 10, 1)
    box(stage, Frame(-10, 0, 400), 20, 20, 10, 2)
    seen = _seen(stage)
    assert seen.material[130, 256] == 2
    assert seen.material[80, 256] == 1


def test_the_plane_wraps_without_a_seam():
    def build(stage):
        boulder(stage, (0, 10, 400), (40, 30, 20), 5, 0)
        box(stage, Frame(20, 0, 390, 0.1), 30, 40, 20, 1)

    stage = Stage()
    build(stage)
    inside, across = _seen(stage), _seen(stage, Eye(512.0, 88.0, 46.0))
    assert inside.has.any()
    for name in ("has", "face", "u", "nx"):
        moved = np.roll(getattr(across, name), -256, axis=1)
        unlike = ~np.isclose(moved, getattr(inside, name)) & inside.has
        # Two nearly equal planes may change places by a float's last bit.
        assert unlike.sum() <= 0.002 * inside.has.sum(), name


def test_turned_stages_are_mirror_images():
    pictures = []
    for turned in (False, True):
        stage = Stage(turned)
        box(stage, Frame(10, 0, 400, 0.1), 30, 40, 20, 1)
        pictures.append(_seen(stage).material * _seen(stage).has)
    assert np.array_equal(pictures[0], pictures[1][:, ::-1])


def test_light_falls_by_the_cosine_of_its_angle():
    """Lambert, Photometria, 1760; the angle worked out from the frame's turn."""
    light = Light(side=0.8, high=0.6, front=0.0, turn=511.0)
    stage = Stage()
    box(stage, Frame(0, 0, 400, 0.1), 30, 40, 20, 1)
    seen = _seen(stage)
    lit = lighten(Shadows(stage, light), seen)
    turn = 2 * np.pi * 0.1
    left = seen.has & (seen.nx < -0.5)
    # The left side's normal is (-cos t, 0, -sin t); light comes from (-.8, .6, 0).
    assert np.allclose(lit.facing[left], 0.8 * np.cos(turn), atol=1e-5)


def test_a_post_throws_a_shadow_as_long_as_the_light_is_low():
    """A shadow is height x cotangent of the light's elevation long."""
    light = Light(side=0.8, high=0.6, front=0.0, turn=511.0)
    stage = Stage()
    box(stage, Frame(-100, -2, 380), 200, 2, 60, 1)
    box(stage, Frame(0, 0, 392), 4, 30, 20, 2)
    seen = _seen(stage)
    lit = lighten(Shadows(stage, light), seen)
    row = seen.has & (seen.ny > 0.9) & (np.abs(seen.z - 402) < 8) & (seen.material == 1)
    dark = seen.x[row & ~lit.open]
    assert dark.max() == pytest.approx(4 + 30 * 0.8 / 0.6, abs=1.5)
    assert (seen.x[row & lit.open] < 0).any()


def test_light_comes_from_the_bodys_own_side():
    """A drum right of the sun is lit at its left, one left of it at its right."""
    light = Light(column=256.0)
    stage = Stage()
    drum(stage, (-100, 0, 400), 12, 40, 1)
    drum(stage, (100, 0, 400), 12, 40, 1)
    seen = _seen(stage)
    lit = lighten(Shadows(stage, light), seen)
    tone = tones(seen, lit, 1)
    for middle, side in ((156, 1), (356, -1)):
        assert tone[120, middle + side * 9] >= 3
        assert tone[120, middle - side * 9] < 3


def test_a_boulder_keeps_behind_all_its_planes():
    stage = Stage()
    boulder(stage, (0, 12, 400), (30, 24, 20), 9, 0)
    seen = _seen(stage)
    assert seen.has.sum() > 500
    for plane in stage.planes:
        away = (
            plane.normal[0] * seen.x + plane.normal[1] * seen.y + plane.normal[2] * seen.z
        ) - plane.distance
        assert away[seen.has].max() < 1e-6


def test_a_drum_is_as_wide_as_its_radius():
    stage = Stage()
    drum(stage, (0, 0, 400), 20, 60, 1, sides=32)
    columns = np.nonzero(_seen(stage).has[120])[0]
    assert columns.max() - columns.min() + 1 == pytest.approx(40, abs=2)


def test_sheets_can_be_cut():
    stage = Stage()
    points = [(-20.0, 0.0, 400.0), (20.0, 0.0, 400.0), (20.0, 30.0, 400.0), (-20.0, 30.0, 400.0)]
    stage.sheet(points, 1, cut=lambda u, v: (u - 20) * (u - 20) + v * v > 100)
    seen = _seen(stage)
    assert not seen.has[133, 256]
    assert seen.has[133, 256 + 15]
    assert seen.has[110, 256]


def test_normals_of_solids_are_of_length_one():
    stage = Stage()
    boulder(stage, (0, 12, 400), (30, 24, 20), 9, 0)
    box(stage, Frame(20, 0, 390, 0.1), 30, 40, 20, 1)
    for plane in stage.planes:
        assert dot(plane.normal, plane.normal) == pytest.approx(1.0, abs=1e-5)
