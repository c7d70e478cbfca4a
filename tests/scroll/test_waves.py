"""Waves: an exact sine, whole pixels, a period that closes, and layers that contradict."""

from __future__ import annotations

import math

import numpy as np
import pytest

from genbg.errors import PresetError
from genbg.hardware.profile import Machine
from genbg.model import BACK, FRONT
from genbg.scroll.waves import (
    Sway,
    WaveBand,
    add_waves,
    line_waves,
    make_wave,
    sine_table,
    wave_offsets,
)

WINDY = Sway(3.0, 24.0, 90)


def band(number: int, top: int, bottom: int, sway: Sway = WINDY, plane: int = BACK, flat=()):
    uniform = np.zeros(bottom - top, dtype=bool)
    uniform[list(flat)] = True
    return WaveBand(number, f"layer-{number}", plane, top, bottom, sway, uniform)


def test_the_sine_is_the_sine():
    """All 256 values are those of the C library, to the nearest 32768th."""
    for k, value in enumerate(sine_table()):
        assert abs(value - 32768 * math.sin(2 * math.pi * k / 256)) <= 0.5 + 1e-6


@pytest.mark.parametrize("pixels", [0.4, 1.0, 1.5, 2.3, 8.0, 32.0])
def test_offsets_are_the_sine_in_whole_pixels(pixels):
    """Each offset is the nearest pixel; both sides are alike."""
    offsets = make_wave(BACK, 0, 8, Sway(pixels, 10.0, 50)).offsets.astype(int)
    for k, offset in enumerate(offsets):
        assert abs(offset - pixels * math.sin(2 * math.pi * k / 256)) <= 0.5 + 1e-3
    assert np.array_equal(offsets[1:128], -offsets[129:])


@pytest.mark.parametrize(("lines", "frames"), [(8.0, 64), (24.0, 90), (12.5, 7), (300.0, 1000)])
def test_a_wave_travels_and_closes(lines, frames):
    """It follows sin(2 pi (line / lines + frame / frames)) within a step of its phase, and after
    `frames` frames it is as before.
    """
    wave = make_wave(FRONT, 0, 224, Sway(20.0, lines, frames))
    at = np.arange(0, 3 * frames, max(1, frames // 7))
    offsets = wave_offsets([wave], at, 224)
    assert (offsets[:, :, BACK] == 0).all()
    for row, frame in zip(offsets[:, :, FRONT], at, strict=True):
        turns = np.arange(224) / lines + frame / frames
        slack = 20 * 2 * math.pi * (1 / 256 + 224 * 0.5 / 65536 + 1 / 65536)
        assert np.abs(row - 20 * np.sin(2 * np.pi * turns)).max() <= 0.5 + slack
    later = wave_offsets([wave], at + frames, 224)
    assert np.array_equal(offsets, later)


def test_words_are_moved_left_by_the_offset():
    """A word is the scroll's own less the offset, modulo 1024; a larger word moves right."""
    wave = make_wave(BACK, 10, 20, Sway(5.0, 16.0, 32))
    scroll = np.zeros((40, 224, 2), dtype=np.uint16)
    moved = add_waves(scroll, [wave])
    offsets = wave_offsets([wave], np.arange(40), 224)
    assert np.array_equal(moved, (-offsets) & 0x3FF)
    assert (moved[:, :10] == 0).all()
    assert (moved[:, 20:] == 0).all()
    assert moved.max() > 1000
    assert add_waves(scroll, []) is scroll


def test_lines_take_the_sway_of_what_lies_there():
    """A still layer sways along; of several that sway the last counts, if it is not uniform."""
    still, strong = Sway(0.0, 24.0, 90), Sway(5.0, 24.0, 90)
    bands = [band(0, 0, 100, still), band(1, 40, 80), band(2, 60, 80, strong, flat=range(10))]
    with pytest.raises(PresetError):
        line_waves(bands, Machine())
    bands[2] = band(2, 60, 80, strong, flat=range(20))
    (wave,) = line_waves(bands, Machine())
    assert (wave.plane, wave.top, wave.bottom, wave.frames) == (BACK, 40, 80, 90)
    assert wave.offsets.max() == 3


def test_planes_sway_apart():
    """The front plane's waves come first, and neither plane asks the other."""
    bands = [band(0, 0, 50), band(1, 20, 90, Sway(1.0, 8.0, 30), FRONT)]
    waves = line_waves(bands, Machine())
    assert [(w.plane, w.top, w.bottom) for w in waves] == [(FRONT, 20, 90), (BACK, 0, 50)]


def test_two_sways_on_one_line():
    """The error names both layers, the lines, the plane, both sways and what to do."""
    with pytest.raises(PresetError) as caught:
        line_waves([band(0, 0, 50), band(4, 40, 90, Sway(1.0, 8.0, 30))], Machine())
    (fault,) = caught.value.faults
    assert fault.key == "layer.4.wave"
    assert fault.says == (
        'layers 0 "layer-0" and 4 "layer-4" share lines 40 to 49 of the back plane and sway by '
        "3 pixels, 24 lines, 90 frames and by 1 pixels, 8 lines, 30 frames; layers of one plane "
        "that share a line have to share its wave, wave_lines and wave_frames"
    )


@pytest.mark.parametrize("scroll", ["strip", "plane"])
def test_lines_that_move_together_can_t_sway(scroll):
    """A wave needs an offset a line."""
    with pytest.raises(PresetError, match=r'needs machine.scroll = "line"; it is'):
        line_waves([band(0, 0, 50)], Machine(scroll=scroll))
