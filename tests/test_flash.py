"""The flash check, against the figures of WCAG 2.2, success criterion 2.3.1.

The definition "general flash and red flash thresholds" is quoted from memory: more than three
flashes in one second, steps of 10 % of relative luminance with the darker state below 0.80, a
quarter of a 10-degree field, saturated red from a share of 0.8 and steps of 0.2 in CIE 1976 u'v'.
"""

import numpy as np
import pytest
from coloraide import Color

from genbg.colour import LINEAR_LEVELS, levels_to_number, screen_table
from genbg.flash import colour_tables, flashes

FPS = 24


def colour(red, green, blue):
    """Colour number of three levels 0..7."""
    return int(levels_to_number(np.array([red, green, blue])))


BLACK, WHITE, RED, GREY = colour(0, 0, 0), colour(7, 7, 7), colour(7, 0, 0), colour(4, 4, 4)


def screen(number, size=(224, 320)):
    return np.full(size, number, np.uint16)


def blink(one, other, half, seconds=2):
    """Full screens that change between two colours every `half` frames."""
    return [screen((one, other)[n // half % 2], (30, 30)) for n in range(int(FPS * seconds))]


def test_four_flashes_a_second_fail_and_three_pass():
    """Black and white four times a second is one flash too many; three times is allowed."""
    four, three = (flashes(blink(BLACK, WHITE, half), FPS) for half in (3, 4))
    assert (four.general, four.passes) == (4, False)
    assert (three.general, three.passes, three.frame) == (3, True, None)


def test_the_first_failing_frame_is_named():
    """The limit is passed by the eighth change, which is the end of the fourth flash."""
    frames = [screen(BLACK, (30, 30))] * 30 + blink(WHITE, BLACK, 3)
    assert flashes(frames, FPS).frame == 30 + 7 * 3


def test_flashes_further_apart_than_a_second_do_not_add_up():
    """Four flashes within 1.2 seconds, never four in one, pass."""
    frames = [screen(BLACK, (30, 30))] * 9
    for _ in range(4):
        frames += [screen(WHITE, (30, 30))] * 4 + [screen(BLACK, (30, 30))] * 4
    assert flashes(frames, FPS).general == 3


@pytest.mark.parametrize(
    ("one", "other", "counts"),
    [
        (colour(2, 2, 2), colour(3, 3, 3), False),  # luminance 0.067 and 0.153: less than 0.1
        (colour(1, 1, 1), colour(3, 3, 3), True),  # 0.018 and 0.153
        (colour(5, 7, 7), WHITE, False),  # 0.89 and 1: the darker one is not below 0.8
        (colour(0, 7, 7), WHITE, True),  # 0.79 and 1
    ],
)
def test_only_large_steps_from_below_eight_tenths_count(one, other, counts):
    """A general flash needs a step of a tenth, and a darker state below 0.8."""
    assert flashes(blink(one, other, 3), FPS).general == (4 if counts else 0)


def test_the_steps_of_a_slow_fade_are_one_transition():
    """Two fades up and down in seven steps each are two flashes, not fourteen."""
    ramp = [colour(k, k, k) for k in [*range(8), *range(7, -1, -1)] * 2]
    assert flashes([screen(number, (30, 30)) for number in ramp], FPS).general == 2


def test_a_staircase_is_no_flash():
    """Luminance that only rises has no opposing change."""
    frames = [screen(colour(k, k, k), (30, 30)) for k in range(8) for _ in range(3)]
    assert flashes(frames, FPS).general == 0


@pytest.mark.parametrize(("side", "passes"), [(44, True), (45, False)])
@pytest.mark.parametrize("corner", [(0, 0), (100, 200), (224 - 45, 320 - 45)])
def test_a_quarter_of_a_field_is_the_limit(side, passes, corner):
    """A field of a 320x224 screen is 106x74 pixels, a quarter of it 44.3 pixels squared."""
    frames = []
    for n in range(2 * FPS):
        frame = screen(BLACK)
        frame[corner[0] :, corner[1] :][:side, :side] = WHITE if n // 3 % 2 else BLACK
        frames.append(frame)
    assert flashes(frames, FPS).passes == passes


def test_flashes_spread_over_the_screen_pass():
    """As many flashing pixels as fail in one field pass where no field has a quarter of them."""
    frames = []
    for n in range(2 * FPS):
        frame = screen(BLACK)
        frame[::8, ::2] = WHITE if n // 3 % 2 else BLACK
        frames.append(frame)
    assert flashes(frames, FPS).general == 0


def test_red_flashes_are_counted_apart():
    """Saturated red against a grey of like luminance makes red flashes and no general ones."""
    report = flashes(blink(RED, GREY, 3), FPS)
    assert (report.general, report.red, report.passes) == (0, 4, False)


@pytest.mark.parametrize("other", [colour(0, 5, 0), colour(3, 3, 7)])
def test_without_red_there_is_no_red_flash(other):
    """Colours that are no saturated red may change without a red flash."""
    assert flashes(blink(GREY, other, 3), FPS).red == 0


def test_near_reds_are_no_red_flash():
    """Two saturated reds lie closer than 0.2 in chromaticity."""
    assert flashes(blink(RED, colour(5, 0, 0), 3), FPS).red == 0


def test_a_fade_to_red_counts_once():
    """From grey to red by way of steps too small to count alone: still one transition each way."""
    up = [colour(4, 4, 4), colour(5, 4, 4), colour(6, 3, 3), colour(7, 2, 2), colour(7, 0, 0)]
    frames = [screen(number, (30, 30)) for number in [*up, *up[::-1]] * 2]
    assert flashes(frames, FPS).red == 2


def test_colour_tables_equal_coloraide():
    """Luminance and chromaticity of all 512 colours agree with coloraide's conversions."""
    light, share, u, v = colour_tables(LINEAR_LEVELS)
    for number in range(1, 512):
        rgb = screen_table()[number] / 255
        one = Color("srgb", rgb.tolist())
        assert light[number] == pytest.approx(one.luminance(), abs=2e-4)
        assert (u[number], v[number]) == pytest.approx(one.uv("1976"), abs=1e-3)
        linear = one.convert("srgb-linear").coords()
        assert share[number] == pytest.approx(linear[0] / sum(linear), abs=1e-6)


def test_an_empty_or_still_animation_has_no_flash():
    """No frames, one frame and a hundred equal ones pass with nothing counted."""
    for frames in ([], [screen(RED)], [screen(WHITE, (30, 30))] * 100):
        report = flashes(frames, FPS)
        assert (report.general, report.red, report.passes) == (0, 0, True)


def test_the_window_is_one_second_at_any_rate():
    """At 59.92 frames a second, the window holds 60 frames: less than a second from end to end."""
    frames = [screen((BLACK, WHITE)[n // 8 % 2], (30, 30)) for n in range(120)]
    assert flashes(frames, 59.92).general == 4
    frames = [screen((BLACK, WHITE)[n // 10 % 2], (30, 30)) for n in range(120)]
    assert flashes(frames, 59.92).general == 3
