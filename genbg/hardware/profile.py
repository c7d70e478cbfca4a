"""The machine as a profile: what is fixed for its kind, and what a board or a program may change.

  mode     a way the hardware can work, with everything that no preset can change (`mode.py`)
  machine  a mode plus the choices and working figures of one preset

Where a value comes from: all of them are common practice of the trade, no source, written from
memory. Those that differ between boards and programs are fields of `Machine`, which a preset can
set under `[machine]`; nothing else in the package repeats one of these numbers.
"""

from __future__ import annotations

import dataclasses
import difflib
from collections.abc import Iterable
from dataclasses import dataclass
from fractions import Fraction
from typing import Any

from genbg.errors import Fault, LimitError, PresetError
from genbg.hardware.mode import ONE_PLANE, TWO_PLANES, Mode, Width
from genbg.hardware.sizes import MOST_SENT

__all__ = ["LADDERS", "ONE_PLANE", "SCROLLS", "TWO_PLANES", "VERTICALS", "Machine", "machine_from"]

VERTICALS = ("none", "plane", "column")
"""What moves up and down by itself: nothing, each plane, or every column of 16 pixels."""

SCROLLS = {"line": 1, "strip": 8, "plane": 0}
"""How many lines share one pair of scroll words; 0: all lines of the screen."""

LADDERS = {
    "linear": (0, 36, 73, 109, 146, 182, 219, 255),
    "measured": (0, 52, 87, 116, 144, 172, 206, 255),
}
"""Screen values of the 3-bit levels by name: evenly spaced, and as measured on a board."""


GAP_WAIT = 38
GAP_COLOUR = 42
GAP_LAST = 32
"""Processor cycles of the driver's line routine in a gap: until it has seen that the gap has begun,
at the most (a turn of its loop, a test of a bit 16 and a branch 10, and 12 on its way out); for
each colour (its control write 20, the colour 12, a counting branch 10); for the last colour, which
no branch follows. From the processor's instruction timings, written from memory. Neighbouring
entries cost no less than others, as each colour has a control write of its own."""


_WHOLE = ("int", "tuple[int, int]", "tuple[int, ...]")


@dataclass(frozen=True)
class Machine:
    """One console as a preset asks for it. Hashable; every field is checked when it is made.

    screen: (width, height) in pixels; plane_cells: (C, R), the size of both planes in cells
    scroll: "line", "strip" (8 lines) or "plane"
    vertical: "none", "plane" or "column" (16 pixels)
    levels: screen values 0..255 that the channel levels are shown as, rising
    tall_lines: height of the taller screen that boards of 313 lines offer
    fps: frames a second; frame_lines: lines of a frame, those of the blank included
    cycles_per_line: processor cycles a line; cpu_hz: processor clock
    blank_bytes_per_line: bytes that can be sent to video memory in a blanked line
    transfer_bytes: working budget of such bytes a frame
    drawn_bytes_per_line: bytes that can be sent in a line while the screen is drawn
    gap_cycles: processor cycles between the last pixel of a line and the first of the next
    colours_per_line: colours that are rewritten in one gap; by default all that its cycles allow
    sprites_screen, sprites_line, sprite_pixels_line: limits of the sprites
    splits_warn: colour rewrites a frame from which frame rate starts to suffer

    Raises, naming the field: LimitError for a value that the mode does not have, PresetError for an
    unknown way to scroll, TypeError for what is not a whole number where it has to be.
    """

    screen: tuple[int, int] = (320, 224)
    plane_cells: tuple[int, int] = (64, 32)
    scroll: str = "line"
    vertical: str = "none"
    levels: tuple[int, ...] = LADDERS["linear"]
    tall_lines: int = 240
    fps: Fraction = Fraction(1498, 25)
    frame_lines: int = 262
    cycles_per_line: int = 488
    cpu_hz: int = 7_670_000
    blank_bytes_per_line: int = 205
    transfer_bytes: int = 7200
    drawn_bytes_per_line: int = 18
    gap_cycles: int = 122
    colours_per_line: int = 2
    sprites_screen: int = 80
    sprites_line: int = 20
    sprite_pixels_line: int = 320
    splits_warn: int = 4
    mode: Mode = TWO_PLANES

    def __post_init__(self) -> None:
        for field in dataclasses.fields(self):
            value = getattr(self, field.name)
            numbers = value if isinstance(value, tuple) else (value,)
            if field.type in _WHOLE and any(type(number) is not int for number in numbers):
                raise TypeError(f"machine.{field.name}: {value!r}; whole numbers are needed")
        _check_sizes(self)
        _check_levels(self)
        _check_time(self)
        _check_sprites(self)

    @property
    def width(self) -> Width:
        """What depends on the width of this screen."""
        return next(width for width in self.mode.widths if width.pixels == self.screen[0])

    @property
    def plane_px(self) -> tuple[int, int]:
        """Width and height of a plane in pixels."""
        return self.plane_cells[0] * 8, self.plane_cells[1] * 8

    @property
    def group_lines(self) -> int:
        """How many screen lines share one speed."""
        return SCROLLS[self.scroll] or self.screen[1]

    @property
    def gap_colours(self) -> int:
        """Colours that the cycles of a gap allow, so that none shows as a dot; at least 1."""
        return gap_colours(self.gap_cycles)

    @property
    def blank_lines(self) -> int:
        """Lines of a frame that are not drawn."""
        return self.frame_lines - self.screen[1]


def gap_colours(cycles: int) -> int:
    """Colours that can be rewritten in a gap of so many cycles, at least 1."""
    return max(1, 1 + (cycles - GAP_WAIT - GAP_LAST) // GAP_COLOUR)


def machine_from(keys: Any) -> Machine:
    """Machine of the `[machine]` table of a preset.

    keys: any object with attributes named as the fields of `Machine`; an attribute that is missing
        or None is filled in: limits of the sprites by the width of the screen, `fps` and
        `frame_lines` by its height, `colours_per_line` by `gap_cycles`. Lists become tuples,
        `levels` may be a name of `LADDERS`, and `fps` may be a float, which is taken for the
        decimal fraction that it is written as.

    Raises what `Machine` raises, and PresetError for an unknown name of levels.
    """
    names = [field.name for field in dataclasses.fields(Machine) if field.name != "mode"]
    given = {name: getattr(keys, name, None) for name in names}
    given = {name: _plain(value) for name, value in given.items() if value is not None}
    ladder = given.get("levels")
    if isinstance(ladder, str):
        if ladder not in LADDERS:
            raise PresetError(_unknown("machine.levels", ladder, LADDERS))
        given["levels"] = LADDERS[ladder]
    if "fps" in given and not isinstance(given["fps"], Fraction):
        given["fps"] = Fraction(str(given["fps"]))
    return Machine(**{**_usual(given), **given})


def _plain(value: Any) -> Any:
    return tuple(value) if isinstance(value, list) else value


def _usual(given: dict[str, Any]) -> dict[str, Any]:
    """Fields that follow from the screen where a preset does not set them."""
    width, height = given.get("screen", Machine.screen)
    cycles = given.get("gap_cycles", Machine.gap_cycles)
    usual: dict[str, Any] = {"colours_per_line": gap_colours(cycles)}
    for known in TWO_PLANES.widths:
        if known.pixels == width:
            names = ("sprites_screen", "sprites_line", "sprite_pixels_line")
            usual.update(zip(names, known.sprites, strict=True))
    if height == given.get("tall_lines", Machine.tall_lines):
        usual.update(fps=Fraction(497, 10), frame_lines=313)
    return usual


def _nearest(value: float, allowed: tuple[int, ...]) -> int:
    """The allowed number next to `value`; of two as near, the smaller."""
    return min(allowed, key=lambda number: (abs(number - value), number))


def _listed(allowed: tuple[int, ...]) -> str:
    return " or ".join([", ".join(map(str, allowed[:-1])), str(allowed[-1])][len(allowed) == 1 :])


def _unknown(key: str, name: str, allowed: Iterable[str]) -> Fault:
    names = tuple(allowed)
    nearest = difflib.get_close_matches(name, names, 1)
    listed = ", ".join(f'"{each}"' for each in names)
    return Fault("", key, f'"{name}"', f"allowed are {listed}", next(iter(nearest), None))


def _check_one_of(what: str, value: int, allowed: tuple[int, ...], unit: str) -> None:
    if value not in allowed:
        raise LimitError(what, value, _nearest(value, allowed), unit, f"use {_listed(allowed)}")


def _check_range(what: str, value: Any, low: float, high: float, unit: str = "") -> None:
    if not low <= value <= high:
        limit = low if value < low else high
        raise LimitError(what, float(value), limit, unit, f"use {low:g} to {high:g}")


def _check_sizes(machine: Machine) -> None:
    mode, (width, height), (columns, rows) = machine.mode, machine.screen, machine.plane_cells
    _check_one_of("machine.screen width", width, tuple(w.pixels for w in mode.widths), "pixels")
    _check_one_of("machine.tall_lines", machine.tall_lines, (232, 240), "lines")
    heights = (*mode.heights, machine.tall_lines) if mode is TWO_PLANES else mode.heights
    _check_one_of("machine.screen height", height, heights, "lines")
    _check_one_of("machine.plane_cells width", columns, mode.plane_sides[0], "cells")
    _check_one_of("machine.plane_cells height", rows, mode.plane_sides[1], "cells")
    if columns * rows > mode.plane_cells_max:
        cure = "use a smaller width or height"
        raise LimitError(
            f"machine.plane_cells {columns} x {rows}",
            columns * rows,
            mode.plane_cells_max,
            "cells",
            cure,
        )
    if machine.scroll not in SCROLLS:
        raise PresetError(_unknown("machine.scroll", machine.scroll, SCROLLS))
    if machine.vertical not in VERTICALS:
        raise PresetError(_unknown("machine.vertical", machine.vertical, VERTICALS))


def _check_levels(machine: Machine) -> None:
    count = 1 << machine.mode.channel_bits
    if len(machine.levels) != count:
        raise LimitError("machine.levels", len(machine.levels), count, "values")
    for place, level in enumerate(machine.levels):
        _check_range(f"machine.levels[{place}]", level, 0, 255)
        if place and level <= machine.levels[place - 1]:
            cure = "each level has to be above the one before it"
            raise LimitError(
                f"machine.levels[{place}]", level, machine.levels[place - 1] + 1, "", cure
            )


def _check_time(machine: Machine) -> None:
    _check_range("machine.fps", machine.fps, 1, 120, "frames a second")
    _check_range("machine.frame_lines", machine.frame_lines, machine.screen[1] + 1, 1024, "lines")
    _check_range("machine.cycles_per_line", machine.cycles_per_line, 1, 1_000_000, "cycles")
    _check_range("machine.cpu_hz", machine.cpu_hz, 1, 1_000_000_000, "Hz")
    _check_range(
        "machine.blank_bytes_per_line", machine.blank_bytes_per_line, 0, MOST_SENT, "bytes"
    )
    _check_range("machine.transfer_bytes", machine.transfer_bytes, 0, MOST_SENT, "bytes")
    _check_range(
        "machine.drawn_bytes_per_line", machine.drawn_bytes_per_line, 0, MOST_SENT, "bytes"
    )
    _check_range("machine.gap_cycles", machine.gap_cycles, 1, machine.cycles_per_line, "cycles")
    _check_range("machine.colours_per_line", machine.colours_per_line, 1, 64, "colours")
    _check_range("machine.splits_warn", machine.splits_warn, 1, machine.screen[1], "rewrites")
    if machine.screen[1] == machine.tall_lines and machine.frame_lines < 313:
        cure = "the taller screen needs a board of 313 lines: set machine.frame_lines"
        raise LimitError("machine.screen height", machine.screen[1], 224, "lines", cure)


def _check_sprites(machine: Machine) -> None:
    screen, line, pixels = machine.mode.widths[-1].sprites
    _check_range("machine.sprites_screen", machine.sprites_screen, 0, screen, "sprites")
    _check_range("machine.sprites_line", machine.sprites_line, 0, line, "sprites")
    _check_range("machine.sprite_pixels_line", machine.sprite_pixels_line, 0, pixels, "pixels")
