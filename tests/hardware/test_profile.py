"""The machine's profile: facts of the trade, working figures, and every limit exceeded by one."""

import dataclasses
import subprocess
import sys
from fractions import Fraction
from types import SimpleNamespace

import pytest

from genbg.errors import LimitError, PresetError
from genbg.hardware.profile import LADDERS, ONE_PLANE, TWO_PLANES, Machine, machine_from


def test_facts_of_the_trade():
    """Common practice, no source: what the machine is known for."""
    machine = Machine()
    assert machine.screen == (320, 224)
    assert max(width.pixels for width in TWO_PLANES.widths) == 320
    assert TWO_PLANES.colours == 512
    assert TWO_PLANES.channel_bits == 3
    assert TWO_PLANES.palette_rows * TWO_PLANES.row_colours == 64
    assert TWO_PLANES.palette_rows == 4
    assert TWO_PLANES.planes == 2
    assert TWO_PLANES.tiles_max == 2048
    assert (machine.sprites_screen, machine.sprites_line, machine.sprite_pixels_line) == (
        80,
        20,
        320,
    )
    assert machine.plane_px[0] > machine.screen[0]
    assert TWO_PLANES.video_bytes == 64 * 1024
    assert machine.splits_warn == 4
    assert 7.5e6 < machine.cpu_hz < 7.7e6


def test_the_clock_agrees_with_itself():
    """Cycles a line, lines and frames a second make the processor's clock, within 2 %.

    Arithmetic on the common-practice figures, no source: 0.1 % apart for the board of 262 lines,
    1.03 % for that of 313, whose clock is a little slower in truth.
    """
    for machine in (Machine(), machine_from(SimpleNamespace(screen=(320, 240)))):
        cycles = machine.cycles_per_line * machine.frame_lines * machine.fps
        assert abs(cycles / machine.cpu_hz - 1) < 0.02


def test_the_transfer_budget_fits_the_blank():
    """The working budget is below what all blanked lines could carry."""
    machine = Machine()
    assert machine.transfer_bytes < machine.blank_lines * machine.blank_bytes_per_line
    assert machine.colours_per_line * 2 <= machine.drawn_bytes_per_line


def test_screen_levels_are_the_rounded_line():
    """round(level * 255 / 7). Common practice, no source."""
    assert LADDERS["linear"] == tuple(round(level * 255 / 7) for level in range(8))
    assert LADDERS["measured"] == (0, 52, 87, 116, 144, 172, 206, 255)


def test_a_preset_may_leave_everything_out():
    """Without keys the usual machine comes out, whatever else the object holds."""
    assert machine_from(SimpleNamespace(tile_budget=640, fps=None)) == Machine()


def test_the_narrow_screen_brings_its_sprite_limits():
    """64, 16 and 256 on the 256-wide screen, unless the preset says otherwise."""
    narrow = machine_from(SimpleNamespace(screen=[256, 224]))
    assert (narrow.sprites_screen, narrow.sprites_line, narrow.sprite_pixels_line) == (64, 16, 256)
    assert narrow.width.window_align == 2048
    own = machine_from(SimpleNamespace(screen=[256, 224], sprites_line=12))
    assert (own.sprites_screen, own.sprites_line) == (64, 12)


def test_the_tall_screen_brings_its_board():
    """240 lines come with 313 lines and 49.70 frames a second."""
    tall = machine_from(SimpleNamespace(screen=(320, 240)))
    assert (tall.fps, tall.frame_lines, tall.blank_lines) == (Fraction(497, 10), 313, 73)
    assert machine_from(SimpleNamespace(screen=(320, 240), fps=50.0)).fps == 50
    assert machine_from(SimpleNamespace(screen=(320, 232), tall_lines=232)).frame_lines == 313


CHANGES = {
    "screen": (256, 224),
    "plane_cells": (128, 32),
    "scroll": "strip",
    "vertical": "column",
    "levels": LADDERS["measured"],
    "tall_lines": 232,
    "fps": Fraction(60),
    "frame_lines": 263,
    "cycles_per_line": 487,
    "cpu_hz": 7_600_000,
    "blank_bytes_per_line": 198,
    "transfer_bytes": 7000,
    "drawn_bytes_per_line": 16,
    "gap_cycles": 300,
    "colours_per_line": 8,
    "sprites_screen": 70,
    "sprites_line": 18,
    "sprite_pixels_line": 300,
    "splits_warn": 3,
}


@pytest.mark.parametrize("name", [f.name for f in dataclasses.fields(Machine) if f.name != "mode"])
def test_every_field_can_be_set_by_a_key(name):
    """No figure is buried: each field of the profile takes what a preset gives."""
    machine = machine_from(SimpleNamespace(**{name: CHANGES[name]}))
    assert getattr(machine, name) == CHANGES[name]
    assert getattr(machine, name) != getattr(Machine(), name)
    assert hash(machine) == hash(dataclasses.replace(machine))


def test_the_measured_ladder_by_name():
    """A preset may name the levels."""
    assert machine_from(SimpleNamespace(levels="measured")).levels == LADDERS["measured"]
    with pytest.raises(PresetError, match=r'machine.levels = "mesured": .*mean "measured"\?'):
        machine_from(SimpleNamespace(levels="mesured"))


def test_fps_is_the_decimal_that_was_written():
    """59.92 is 1498/25, not its nearest binary fraction."""
    assert machine_from(SimpleNamespace(fps=59.92)).fps == Fraction(1498, 25)


def test_group_lines():
    """1, 8 or all lines share a speed."""
    sizes = [
        machine_from(SimpleNamespace(scroll=s)).group_lines for s in ("line", "strip", "plane")
    ]
    assert sizes == [1, 8, 224]


LIMITS = [
    ({"screen": (321, 224)}, "machine.screen width: 321 pixels asked, 320 pixels allowed"),
    ({"screen": (320, 225)}, "machine.screen height: 225 lines asked, 224 lines allowed"),
    ({"screen": (320, 240)}, "machine.screen height: 240 lines asked.*board of 313 lines"),
    ({"tall_lines": 241}, "machine.tall_lines: 241 lines asked, 240 lines allowed; use 232 or 240"),
    ({"plane_cells": (65, 32)}, "machine.plane_cells width: 65 cells asked.*use 32, 64 or 128"),
    ({"plane_cells": (64, 33)}, "machine.plane_cells height: 33 cells asked, 32 cells allowed"),
    ({"plane_cells": (128, 64)}, "plane_cells 128 x 64: 8192 cells asked, 4096 cells allowed"),
    ({"levels": (0, 1, 2)}, "machine.levels: 3 values asked, 8 values allowed"),
    ({"levels": (0, 1, 2, 3, 4, 5, 6, 256)}, r"machine.levels\[7\]: 256 asked, 255 allowed"),
    ({"levels": (0, 1, 2, 3, 3, 5, 6, 7)}, r"machine.levels\[4\]: 3 asked, 4 allowed; each level"),
    ({"fps": Fraction(121)}, "machine.fps: 121 frames a second asked, 120 frames a second"),
    ({"frame_lines": 224}, "machine.frame_lines: 224 lines asked, 225 lines allowed"),
    ({"cycles_per_line": 0}, "machine.cycles_per_line: 0 cycles asked, 1 cycles allowed"),
    ({"cpu_hz": 0}, "machine.cpu_hz: 0 Hz asked, 1 Hz allowed"),
    ({"blank_bytes_per_line": -1}, "machine.blank_bytes_per_line: -1 bytes asked"),
    ({"transfer_bytes": 65537}, "machine.transfer_bytes: 65537 bytes asked, 65536 bytes"),
    ({"drawn_bytes_per_line": -1}, "machine.drawn_bytes_per_line: -1 bytes asked"),
    ({"colours_per_line": 65}, "machine.colours_per_line: 65 colours asked, 64 colours allowed"),
    ({"sprites_screen": 81}, "machine.sprites_screen: 81 sprites asked, 80 sprites allowed"),
    ({"sprites_line": 21}, "machine.sprites_line: 21 sprites asked, 20 sprites allowed"),
    ({"sprite_pixels_line": 321}, "machine.sprite_pixels_line: 321 pixels asked, 320 pixels"),
    ({"splits_warn": 0}, "machine.splits_warn: 0 rewrites asked, 1 rewrites allowed"),
]


@pytest.mark.parametrize(("change", "text"), LIMITS)
def test_each_limit_exceeded(change, text):
    """A value past a limit is refused: which field, what was asked, what is allowed."""
    with pytest.raises(LimitError, match=text):
        Machine(**change)


def test_an_unknown_way_to_scroll():
    """The message lists the ways and the nearest."""
    with pytest.raises(
        PresetError,
        match=r'machine.scroll = "lines": allowed are "line", "strip", .*; did you mean "line"\?',
    ):
        Machine(scroll="lines")


@pytest.mark.parametrize(
    ("change", "text"),
    [
        ({"screen": (320.0, 224)}, r"machine.screen: \(320.0, 224\); whole numbers"),
        ({"sprites_line": True}, "machine.sprites_line: True; whole numbers are needed"),
        ({"levels": (0, 1, 2, 3, 4, 5, 6, 7.5)}, "machine.levels: .*whole numbers are needed"),
    ],
)
def test_what_is_not_whole(change, text):
    """A float or a truth value is no count."""
    with pytest.raises(TypeError, match=text):
        Machine(**change)


def test_the_older_mode_has_room():
    """One plane of 32x28 cells, two rows of 16 out of 64 colours, 9-bit tile numbers.

    Common practice, no source; screen, memory and sprite figures from memory.
    """
    older = Machine(
        mode=ONE_PLANE,
        screen=(256, 192),
        plane_cells=(32, 28),
        scroll="plane",
        levels=(0, 85, 170, 255),
        sprites_screen=64,
        sprites_line=8,
        sprite_pixels_line=64,
    )
    assert older.mode.colours == 64
    assert older.mode.tiles_max == 512
    assert older.mode.palette_rows * older.mode.row_colours == 32
    assert older.mode.bit_planes
    assert older.plane_px == (256, 224)
    with pytest.raises(LimitError, match=r"machine.plane_cells height: 32 cells asked, 28"):
        dataclasses.replace(older, plane_cells=(32, 32))
    with pytest.raises(LimitError, match=r"machine.screen height: 240 lines asked, 192"):
        dataclasses.replace(older, screen=(256, 240))


def test_the_profile_loads_nothing_heavy():
    """Reading a preset needs the profile but not numpy."""
    code = "import genbg.hardware.profile, sys; sys.exit('numpy' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
