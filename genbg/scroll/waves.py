"""Waves: what a line is moved by beside its scrolling, line by line and frame by frame.

A *wave* covers neighbouring lines of one plane. Its phase has 65536 parts; line `y` in frame `n`
has the phase

    (n mod frames) * 65536 // frames + y * step,  modulo 65536

and the upper 8 bits of it say which of 256 offsets in whole pixels holds. The offset is added to
what the line has moved to the left. Everything is in whole numbers, and after `frames` frames it
is as before. Heat, swell and wind over grass are such waves; so is the ripple of a reflection.
"""

from __future__ import annotations

import functools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from genbg.errors import Fault, PresetError
from genbg.hardware.profile import Machine
from genbg.hardware.scroll_table import pack_scroll
from genbg.hardware.sizes import SCROLL_MASK
from genbg.model import BACK, FRONT, Wave

TURN = 65536
"""Parts of a phase."""
OFFSETS = 256
SINE_ONE = 1 << 15
PLANE_NAMES = {FRONT: "front", BACK: "back"}


@dataclass(frozen=True)
class Sway:
    """How far, from crest to crest in lines, and with what period in frames."""

    pixels: float
    lines: float
    frames: int

    @property
    def words(self) -> str:
        return f"{self.pixels:g} pixels, {self.lines:g} lines, {self.frames} frames"


STILL = Sway(0.0, 2.0, 2)


@dataclass(frozen=True, eq=False)
class WaveBand:
    """A layer of one plane that may sway.

    uniform: (N,) lines that look the same all along, so that nobody can tell whether they sway
    """

    number: int
    name: str
    plane: int
    top: int
    bottom: int
    sway: Sway
    uniform: np.ndarray


def line_waves(
    bands: Sequence[WaveBand], machine: Machine, lines: int | None = None
) -> tuple[Wave, ...]:
    """The waves of both planes, FRONT first, from the top down.

    lines: that can sway; those of the screen if None, more where planes move up and down

    A plane has one offset a line, so whatever shares a line with a layer that sways sways too: the
    sky behind hot hills as well. Where several layers sway, the last that is not uniform counts.
    Lines that no layer sways are still.

    Raises PresetError, naming both layers and the lines, where two ask for two sways, and for a
    sway on a machine that does not scroll line by line.
    """
    lines = lines or machine.screen[1]
    faults = [*_mode_faults(bands, machine), *_pair_faults(bands, lines)]
    if faults:
        raise PresetError(faults)
    waves: list[Wave] = []
    for plane in (FRONT, BACK):
        sways = [STILL] * lines
        for wanted in (False, True):
            for band in bands:
                if band.plane == plane and band.sway.pixels:
                    for line in np.flatnonzero(_covers(band, wanted)) + band.top:
                        sways[line] = band.sway
        waves += runs_of(sways, plane)
    return tuple(waves)


def _covers(band: WaveBand, binding: bool) -> np.ndarray:
    """Lines (N,) of a layer that show its sway, or all of them."""
    return ~band.uniform if binding else np.ones(len(band.uniform), dtype=bool)


def _mode_faults(bands: Sequence[WaveBand], machine: Machine) -> Iterator[Fault]:
    for band in bands:
        if band.sway.pixels and machine.scroll != "line":
            says = (
                f'needs machine.scroll = "line"; it is "{machine.scroll}", so lines move together'
            )
            yield Fault("", f"layer.{band.number}.wave", "", says)


def _pair_faults(bands: Sequence[WaveBand], lines: int) -> Iterator[Fault]:
    for place, second in enumerate(bands):
        for first in bands[:place]:
            same = second.plane == first.plane and second.sway != first.sway
            both = _binding(first, lines) & _binding(second, lines)
            if same and both.any():
                at = np.flatnonzero(both)
                yield Fault(
                    "",
                    f"layer.{second.number}.wave",
                    "",
                    f'layers {first.number} "{first.name}" and {second.number} "{second.name}" '
                    f"share lines {at[0]} to {at[-1]} of the {PLANE_NAMES[first.plane]} plane and "
                    f"sway by {first.sway.words} and by {second.sway.words}; layers of one plane "
                    "that share a line have to share its wave, wave_lines and wave_frames",
                )


def _binding(band: WaveBand, lines: int) -> np.ndarray:
    """(L,) lines on which a layer shows how it sways."""
    whole = np.zeros(lines, dtype=bool)
    if band.sway.pixels:
        whole[band.top : band.bottom] = ~band.uniform
    return whole


def runs_of(sways: Sequence[Sway], plane: int) -> list[Wave]:
    """The waves of one plane from the sway of every screen line."""
    found, first = [], 0
    for line in range(1, len(sways) + 1):
        if line == len(sways) or sways[line] != sways[first]:
            if sways[first].pixels:
                found.append(make_wave(plane, first, line, sways[first]))
            first = line
    return found


def make_wave(plane: int, top: int, bottom: int, sway: Sway) -> Wave:
    """A wave on lines `top` to `bottom`, the second not included.

    Offsets are rounded to the nearest pixel, half a pixel toward none, so both sides are alike.
    """
    step = round(TURN / Fraction(sway.lines)) % TURN
    reach, unit = round(Fraction(sway.pixels) * TURN), SINE_ONE * TURN
    offsets = [
        (1 if sine > 0 else -1) * ((2 * reach * abs(sine) + unit - 1) // (2 * unit))
        for sine in sine_table()
    ]
    return Wave(plane, top, bottom, sway.frames, step, np.array(offsets, dtype=np.int8))


@functools.cache
def sine_table() -> tuple[int, ...]:
    """256 values of the sine over a turn, times 32768, to the nearest whole number.

    By its power series in whole numbers, so that no processor and no library can differ.
    """
    one = 1 << 80
    pi = _pi(80)
    values = []
    for k in range(OFFSETS // 4 + 1):
        angle = pi * 2 * k // OFFSETS
        term, total, n = angle, 0, 1
        while term:
            total += term if n % 4 == 1 else -term
            term = term * angle // one * angle // one // ((n + 1) * (n + 2))
            n += 2
        values.append((total * SINE_ONE * 2 + one) // (2 * one))
    rising = values[:-1]
    half = [*rising, *values[:0:-1]]
    return (*half, *(-value for value in half))


def _pi(bits: int) -> int:
    """pi times 2**bits: J. Machin's formula of 1706, 16 atan(1/5) - 4 atan(1/239)."""

    def atan(x: int) -> int:
        power, total, n = (1 << bits + 16) // x, 0, 1
        while power:
            total += power // n if n % 4 == 1 else -(power // n)
            power //= x * x
            n += 2
        return total

    return (16 * atan(5) - 4 * atan(239)) >> 16


def wave_offsets(waves: Sequence[Wave], frames: np.ndarray, lines: int) -> np.ndarray:
    """Offsets (F, L, 2) int64 of all lines in frames (F,), columns FRONT and BACK."""
    offsets = np.zeros((len(frames), lines, 2), dtype=np.int64)
    for wave in waves:
        time = (np.asarray(frames, dtype=np.int64) % wave.frames) * TURN // wave.frames
        line = np.arange(wave.top, wave.bottom)
        phase = (time[:, None] + line * wave.step) % TURN
        offsets[:, wave.top : wave.bottom, wave.plane] = wave.offsets[phase >> 8]
    return offsets


def add_waves(scroll: np.ndarray, waves: Sequence[Wave]) -> np.ndarray:
    """Scroll words (F, L, 2) of frames 0.. with the waves in them."""
    if not waves:
        return scroll
    moved = scroll.astype(np.int64) - wave_offsets(waves, np.arange(len(scroll)), scroll.shape[1])
    return pack_scroll(moved & SCROLL_MASK)
