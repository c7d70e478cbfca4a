"""The preview's path: loops are exact, and the shortest is taken."""

from fractions import Fraction

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genbg.hardware.profile import Machine
from genbg.model import LineSpeeds
from genbg.scroll.preview import loop_frames, plan_preview
from genbg.scroll.words import film_words

FPS = Fraction(1498, 25)


def speeds(ratio, drift=0):
    ratio = np.array(ratio, dtype=np.int32)
    return LineSpeeds(ratio, np.broadcast_to(np.array(drift, dtype=np.int32), ratio.shape))


def plan(lines, speed, frames=256, width=512):
    return plan_preview(lines, Machine(), Fraction(speed), FPS, frames, width)


def test_a_loop_by_hand():
    """Ratios 1 and 1/4 at 8 pixels a frame: the slow one needs 512 / 2 = 256 frames."""
    preview = plan(speeds([[65536, 16384]]), 8)
    assert preview.frames == 256
    assert not preview.returns
    assert preview.camera_step == 8
    assert preview.fps == FPS
    assert preview.scroll[1].tolist() == [[1024 - 8, 1024 - 2]]


def test_a_loop_past_the_limit_turns_back():
    """One frame less and the animation plays there and back."""
    preview = plan(speeds([[65536, 16384]]), 8, frames=255)
    assert preview.frames == 255
    assert preview.returns


def test_nothing_moves():
    """A still backdrop is one frame that follows itself."""
    preview = plan(speeds([[0, 0]]), 2)
    assert preview.frames == 1
    assert not preview.returns


def test_drift_takes_part():
    """A drift of 1 pixel a frame needs the plane's width in frames, whatever the camera.

    Drift and camera together: 1.5 pixels a frame come round after 1024 frames, three widths on.
    """
    assert loop_frames(speeds([[0, 0]], [[65536, 0]]), Fraction(7), 512) == 512
    assert loop_frames(speeds([[65536, 0]], [[-65536, 0]]), Fraction(1), 512) == 1
    assert loop_frames(speeds([[65536, 0]], [[65536, 0]]), Fraction(1, 2), 512) == 1024


def test_slow_motion_is_not_taken_for_a_loop():
    """A line that has moved by less than a pixel has not come round."""
    preview = plan(speeds([[1, 1]]), Fraction(1, 65536))
    assert preview.returns


@pytest.mark.parametrize("speed", [Fraction(1, 3), Fraction(-1, 3), Fraction(5, 2)])
def test_the_camera_step_is_a_16_16_number(speed):
    """Rounded to the nearest multiple of 1/65536."""
    step = plan(speeds([[65536, 0]]), speed, frames=4).camera_step
    assert (step * 65536).denominator == 1
    assert abs(step - speed) <= Fraction(1, 131072)


@settings(deadline=None, max_examples=60)
@given(
    st.lists(st.sampled_from([0, 4096, 8192, 16384, 24576, 65536]), min_size=1, max_size=3),
    st.sampled_from([0, 16384, -65536]),
    st.sampled_from([1, 2, 4, Fraction(1, 2)]),
    st.sampled_from([256, 512, 1024]),
)
def test_the_loop_is_the_first_frame_where_all_lines_come_round(ratios, drift, speed, width):
    """Against counting: the first frame at which every line is whole plane widths away."""
    lines = speeds([[ratio, ratio] for ratio in ratios], [[drift, drift]] * len(ratios))
    found = loop_frames(lines, Fraction(speed), width)

    def round_at(frame):
        moves = [
            Fraction(r, 65536) * speed * frame + Fraction(drift, 65536) * frame for r in ratios
        ]
        return all(move % width == 0 for move in moves)

    limit = min(found, 2000)
    first = next((frame for frame in range(1, limit + 1) if round_at(frame)), None)
    assert first == (found if found <= 2000 else None)


@pytest.mark.parametrize("width", [256, 512, 1024])
def test_a_loop_closes_in_pixels(width):
    """The frame after the last shows what frame 0 shows, and so does every later one."""
    lines = speeds([[65536, 8192], [32768, 8192]], [[0, 65536], [0, 65536]])
    loop = loop_frames(lines, Fraction(2), width)
    for frame in (0, 1, 17, loop - 1):
        now, later = film_words(lines, Fraction(2), [frame, frame + loop])
        assert np.array_equal(now % width, later % width)


def test_other_periods_take_part():
    """A wave of 96 frames beside lines that close after 64: both are as at the start after 192."""
    lines = speeds([[65536, 65536]])
    preview = plan_preview(lines, Machine(), Fraction(8), FPS, 192, 512, periods=(96,))
    assert (preview.frames, preview.returns) == (192, False)
    assert plan_preview(lines, Machine(), Fraction(8), FPS, 191, 512, periods=(96,)).returns
