"""Line speeds: the pinhole camera, layers that share a line, and the three ways to scroll."""

from types import SimpleNamespace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genbg.errors import PresetError
from genbg.hardware.profile import machine_from
from genbg.model import BACK, FRONT
from genbg.model.perspective import layer_ratio, to_fixed
from genbg.scroll.bands import Band
from genbg.scroll.speeds import line_speeds


def machine(scroll="line"):
    return machine_from(SimpleNamespace(scroll=scroll))


def band(number, top, bottom, distance, drift=0.0, plane=BACK, uniform=None):
    quiet = np.zeros(bottom - top, dtype=bool)
    if uniform is not None:
        quiet[uniform[0] - top : uniform[1] - top] = True
    return Band(number, f"lamp-{number}", plane, top, bottom, distance, drift, quiet)


def shift(point, move, focal):
    """Image shift in pixels of a point (X, Y, Z) when the camera moves right by `move`.

    The camera matrix P = K [R | -R C] with R = 1, written out; the point is projected through the
    camera at C = (0, 0, 0) and at C = (move, 0, 0). Hartley and Zisserman, "Multiple View
    Geometry", 2nd ed., ch. 6, equations 6.6 to 6.8.
    """
    calibration = np.array([[focal, 0, 160], [0, focal, 112], [0, 0, 1]], dtype=float)
    seen = []
    for centre in (np.zeros(3), np.array([move, 0, 0])):
        camera = calibration @ np.hstack([np.eye(3), -centre[:, None]])
        x = camera @ np.append(point, 1.0)
        seen.append(x[:2] / x[2])
    return seen[0] - seen[1]


@pytest.mark.parametrize("distance", [0.5, 1.0, 2.0, 3.7, 8.0, 40.0])
def test_a_layer_moves_as_a_pinhole_camera_sees_it(distance):
    """Shift of a far point over shift of a play-field point equals the ratio, for any point.

    Source: Hartley and Zisserman, "Multiple View Geometry", 2nd ed., ch. 6.
    """
    depth, focal, move = 5.0, 256.0, 0.75
    for x, y in [(0.0, 0.0), (-3.0, 1.5), (12.0, -7.0)]:
        near = shift(np.array([x, y, depth]), move, focal)
        far = shift(np.array([x, y, depth * distance]), move, focal)
        assert far[1] == pytest.approx(0, abs=1e-9)
        assert layer_ratio(distance, 3)[1] == pytest.approx(far[0] / near[0], rel=1e-12)


def test_a_ground_moves_line_by_line_as_a_pinhole_camera_sees_it():
    """Every line of a level ground against the projection of the ground point that it shows.

    Depth of a line is focal length * height / (line - horizon). Source: Hartley and Zisserman,
    "Multiple View Geometry", 2nd ed., ch. 6.
    """
    focal, height, top, bottom = 256.0, 2.0, 140, 224
    depths = focal * height / (np.arange(top, bottom) - 112.0)
    play = depths[-1]
    ratio = layer_ratio((depths[0] / play, 1.0), bottom - top)
    for line, depth, got in zip(range(top, bottom), depths, ratio, strict=True):
        calibrated = np.array([1.0, height, depth])
        assert focal * calibrated[1] / calibrated[2] + 112 == pytest.approx(line)
        seen = shift(calibrated, 0.5, focal)[0] / shift(np.array([1.0, 0, play]), 0.5, focal)[0]
        assert got == pytest.approx(seen, rel=1e-12)


def test_ratios_by_hand():
    """1/distance; even steps from far to near; the near one for a single line; None is still."""
    assert layer_ratio(8.0, 2).tolist() == [0.125, 0.125]
    assert layer_ratio((4.0, 1.0), 4).tolist() == [0.25, 0.5, 0.75, 1.0]
    assert layer_ratio((1.0, 4.0), 4).tolist() == [1.0, 0.75, 0.5, 0.25]
    assert layer_ratio((4.0, 1.0), 1).tolist() == [1.0]
    assert layer_ratio(None, 3).tolist() == [0, 0, 0]
    assert layer_ratio(5.0, 0).shape == (0,)


@pytest.mark.parametrize("distance", [0.0, -1.0, 1e-9, float("inf"), float("nan"), (8.0, 0.0)])
def test_distances_that_no_speed_fits(distance):
    """A distance of zero, below, or not finite is refused."""
    with pytest.raises(PresetError, match=r"distance .*: it has to be a finite number of at least"):
        layer_ratio(distance, 4)


def test_fixed_point_rounds_to_the_nearest():
    """16.16 numbers by hand: 1/3 is 21845.33, halves go up."""
    assert to_fixed(1 / 3) == 21845
    assert to_fixed(-0.25) == -16384
    assert to_fixed(0.5 / 65536) == 1
    assert to_fixed(-0.5 / 65536) == 0


def test_each_line_has_the_speed_of_its_layer():
    """Two planes, a ground plane, a drift; uncovered lines as the nearest above, else below."""
    speeds = line_speeds(
        [
            band(0, 20, 60, 8.0, drift=0.25),
            band(1, 100, 104, (4.0, 1.0)),
            band(2, 180, 224, 2.0, plane=FRONT),
        ],
        machine(),
    )
    ratio, drift = speeds.ratio / 65536, speeds.drift / 65536
    assert ratio[[0, 20, 59, 60, 99, 100, 101, 102, 103, 223], BACK].tolist() == (
        [0.125] * 5 + [0.25, 0.5, 0.75, 1.0, 1.0]
    )
    assert drift[[0, 99, 100, 223], BACK].tolist() == [0.25, 0.25, 0, 0]
    assert (ratio[:, FRONT] == 0.5).all()
    assert speeds.ratio.dtype == speeds.drift.dtype == np.int32


def test_a_plane_without_layers_stands_still():
    """No layer, no speed."""
    speeds = line_speeds([], machine())
    assert not speeds.ratio.any()
    assert speeds.ratio.shape == (224, 2)


def test_layers_that_share_lines_must_agree():
    """The message names both layers, the lines, the plane and both speeds."""
    with pytest.raises(
        PresetError,
        match=r'layer.1.distance: layers 0 "lamp-0" and 1 "lamp-1" both move on lines 80 to 99 of '
        r"the back plane, at ratio 0.125 and ratio 0.25; layers of one plane that share a line",
    ):
        line_speeds([band(0, 0, 100, 8.0), band(1, 80, 120, 4.0)], machine())


def test_a_drift_is_a_speed_too():
    """Equal distances with two drifts contradict each other."""
    with pytest.raises(PresetError, match=r"on line 99 .*ratio 0.125 and ratio 0.125, drift 0.5;"):
        line_speeds([band(0, 0, 100, 8.0), band(1, 99, 120, 8.0, drift=0.5)], machine())


def test_every_contradiction_is_told():
    """Three layers in conflict make one fault a pair; only those of one plane count."""
    layers = [band(n, 0, 50, float(n + 1)) for n in range(3)] + [band(3, 0, 50, 9.0, plane=FRONT)]
    with pytest.raises(PresetError) as caught:
        line_speeds(layers, machine())
    assert len(caught.value.faults) == 3


def test_long_lists_of_lines_are_cut():
    """Many runs of lines are counted, not listed."""
    uniform = np.arange(100) % 4 == 0
    second = band(1, 0, 100, 4.0)
    quiet = Band(1, "lamp-1", BACK, 0, 100, 4.0, 0.0, uniform)
    assert second.distance == quiet.distance
    with pytest.raises(PresetError, match="lines 1 to 3, 5 to 7, 9 to 11 and 22 runs more of"):
        line_speeds([band(0, 0, 100, 8.0), quiet], machine())


def test_equal_speeds_share_lines():
    """Layers that agree may overlap."""
    speeds = line_speeds([band(0, 0, 100, 8.0), band(1, 80, 224, 8.0)], machine())
    assert (speeds.ratio[:, BACK] == 8192).all()


def test_a_uniform_layer_goes_with_the_other():
    """Lines on which a layer is the same all along take the other layer's speed, in any order."""
    for number in (0, 2):
        speeds = line_speeds(
            [band(number, 0, 100, 8.0, uniform=(60, 100)), band(1, 60, 120, 4.0)], machine()
        )
        assert speeds.ratio[[59, 60, 99, 119], BACK].tolist() == [8192, 16384, 16384, 16384]


def test_where_all_are_uniform_the_last_layer_decides():
    """A tie has a stated winner."""
    speeds = line_speeds(
        [band(0, 0, 50, 8.0, uniform=(0, 50)), band(1, 0, 50, 4.0, uniform=(0, 50))], machine()
    )
    assert (speeds.ratio[:50, BACK] == 16384).all()


def test_a_layer_without_distance_goes_along():
    """It takes the speed of whoever shares its lines, and stands still where nobody does."""
    speeds = line_speeds([band(0, 0, 224, None), band(1, 50, 100, 4.0, drift=1.0)], machine())
    assert speeds.ratio[[0, 49, 50, 99, 100], BACK].tolist() == [0, 0, 16384, 16384, 0]
    assert speeds.drift[[49, 50, 100], BACK].tolist() == [0, 65536, 0]


def test_a_drift_without_distance():
    """Its drift holds where it is alone; beside another layer the drifts have to agree."""
    speeds = line_speeds([band(0, 0, 100, None, drift=0.5)], machine())
    assert speeds.drift[0, BACK] == 32768
    assert speeds.ratio[0, BACK] == 0
    with pytest.raises(PresetError, match=r"layers 0 .* and 1 .* both move on lines 50 to 99"):
        line_speeds([band(0, 0, 100, None, drift=0.5), band(1, 50, 120, 4.0)], machine())


def test_strips_have_one_speed_each():
    """Lines 0, 8, 16 and so on decide: a ground plane becomes steps of 8 lines."""
    ground = band(0, 0, 224, (8.0, 1.0))
    every = line_speeds([ground], machine()).ratio[:, BACK]
    strips = line_speeds([ground], machine("strip")).ratio[:, BACK]
    assert len(set(every.tolist())) == 224
    for line in range(224):
        assert strips[line] == every[line - line % 8]


def test_a_strip_takes_its_first_covered_line():
    """A layer that begins inside a strip gives the strip the speed of its own first line."""
    speeds = line_speeds([band(0, 100, 104, (4.0, 1.0))], machine("strip"))
    assert (speeds.ratio[96:104, BACK] == 16384).all()


def test_two_layers_that_meet_inside_a_strip():
    """They do not overlap, but share a strip; moved to a multiple of 8 they are fine."""
    with pytest.raises(
        PresetError, match=r'lines 96 to 103 .*\(with machine.scroll = "strip", 8 lines share one\)'
    ):
        line_speeds([band(0, 0, 100, 8.0), band(1, 100, 200, 4.0)], machine("strip"))
    speeds = line_speeds([band(0, 0, 96, 8.0), band(1, 96, 200, 4.0)], machine("strip"))
    assert speeds.ratio[[95, 96], BACK].tolist() == [8192, 16384]
    assert line_speeds([band(0, 0, 100, 8.0), band(1, 100, 200, 4.0)], machine()).ratio.any()


def test_a_plane_has_one_speed():
    """In "plane" mode two distances on one plane, or one ground plane, are refused."""
    with pytest.raises(
        PresetError, match=r"both move on lines 0 to 49 and 60 to 99 of the back .*224 lines share"
    ):
        line_speeds([band(0, 0, 50, 8.0), band(1, 60, 100, 4.0)], machine("plane"))
    with pytest.raises(
        PresetError, match=r'layer.0.distance: 8 to 1; with machine.scroll = "plane" every line'
    ):
        line_speeds([band(0, 0, 50, (8.0, 1.0))], machine("plane"))
    speeds = line_speeds([band(0, 0, 50, 8.0), band(1, 60, 99, 8.0, plane=FRONT)], machine("plane"))
    assert (speeds.ratio == 8192).all()


def test_too_fast_a_drift_is_refused():
    """A drift past what 16.16 holds, or no number, is an error that names the layer."""
    for drift in (40000.0, float("nan")):
        with pytest.raises(PresetError, match=r'layer "lamp-0": drift .*at most 32767'):
            line_speeds([band(0, 0, 50, 8.0, drift=drift)], machine())


def reference(layers, line):
    """Speed of one covered line by the rule in words: those that show motion, else the last."""
    here = [layer for layer in layers if layer.top <= line < layer.bottom]
    with_distance = [layer for layer in here if layer.distance is not None]
    bound = [layer for layer in with_distance if not layer.uniform[line - layer.top]]
    if len({layer.distance for layer in bound}) > 1:
        return "conflict"
    if bound:
        return bound[0].distance
    return with_distance[-1].distance if with_distance else None


@settings(deadline=None, max_examples=60)
@given(st.data())
def test_any_layers_against_the_rule_read_line_by_line(data):
    """Random layers: refused exactly where a line has two speeds, else each line as the rule says.

    The rule is written a second time, one line after the other, without groups or arrays.
    """
    layers = []
    for number in range(data.draw(st.integers(1, 5))):
        top = data.draw(st.integers(0, 200))
        bottom = data.draw(st.integers(top + 1, 224))
        distance = data.draw(st.sampled_from([None, 2.0, 4.0]))
        quiet = np.array(data.draw(st.lists(st.booleans(), min_size=4, max_size=4)))
        uniform = np.resize(quiet, bottom - top)
        layers.append(Band(number, f"l{number}", BACK, top, bottom, distance, 0.0, uniform))
    wanted = [reference(layers, line) for line in range(224)]
    if "conflict" in wanted:
        with pytest.raises(PresetError):
            line_speeds(layers, machine())
        return
    got = line_speeds(layers, machine()).ratio[:, BACK] / 65536
    for line, distance in enumerate(wanted):
        if any(layer.top <= line < layer.bottom for layer in layers):
            assert got[line] == (0 if distance is None else 1 / distance), line
