"""Vertical scroll: the camera's way down and up again, columns that sway, and what lines show then.

  camera_y   pixels that the camera has moved down, a multiple of 1/65536
  ratio      pixels a plane moves up for one pixel that the camera moves down, 16.16, one a plane
  offset     whole pixels that a column of 16 adds of its own, positive up, again after some frames

While a plane stands `up` lines higher, screen line i shows plane line i + up, and so moves sideways
at the speed of that plane line: speeds belong to the scenery, not to the glass.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from genbg.hardware.profile import Machine
from genbg.hardware.scroll_table import COLUMN_PX, pack_scroll
from genbg.hardware.sizes import COLUMN_PAIRS, ONE, SCROLL_MASK
from genbg.model import BACK, FRONT

NAMES = ((FRONT, "front"), (BACK, "back"))


@dataclass(frozen=True)
class CameraPath:
    """speed: pixels a frame downward; dip: pixels that it goes down and up again in `frames`."""

    speed: Fraction = Fraction(0)
    dip: Fraction = Fraction(0)
    frames: int = 128

    def heights(self, count: int) -> np.ndarray:
        """camera_y of frames 0..count-1, (count,) int64 in 1/65536 pixel, rounded down.

        Going down and up again speeds up and slows down evenly (two arcs of a parabola each way).
        """
        found = []
        for frame in range(count):
            place = Fraction(2 * (frame % self.frames), self.frames)
            way = place if place <= 1 else 2 - place
            eased = 2 * way * way if 2 * way < 1 else 1 - 2 * (1 - way) * (1 - way)
            found.append(math.floor((self.speed * frame + self.dip * eased) * ONE))
        return np.array(found, dtype=np.int64)

    def period(self, ratio: Sequence[int], height: int) -> int:
        """Frames after which the camera and planes of `height` lines are as at the start."""
        unit = height * ONE
        steps = [Fraction(unit) / (abs(self.speed) * r) for r in ratio if self.speed and r]
        periods = [step.numerator for step in steps]
        return math.lcm(self.frames if self.dip else 1, *periods)


def moved_up(ratio: Sequence[int], camera_y: np.ndarray) -> np.ndarray:
    """Lines (F, k) that each of k things has moved up: floor(ratio * camera_y), int64.

    ratio: (k,) 16.16; camera_y: (F,) in 1/65536 pixel
    """
    both = camera_y[:, None] * np.asarray(ratio, dtype=np.int64)[None, :]
    return both >> 32


# --- columns --------------------------------------------------------------------------------------


def sway_offsets(
    move: str, amplitude: Sequence[float], frames: int, length: float, columns: int
) -> np.ndarray:
    """Offsets (frames, 20, 2) int64 of columns that sway or tilt, FRONT and BACK.

    move: "sway": a wave of `length` columns runs along them; "tilt": all turn about the middle of
        the screen, as a deck does
    amplitude: pixels to both sides, one a plane; columns: of the screen
    """
    frame, column = np.arange(frames)[:, None], np.arange(COLUMN_PAIRS)[None, :]
    phase = frame * ONE // frames
    if move == "sway":
        phase = phase - np.floor(column * ONE / length).astype(np.int64)
        level, whole = swing(phase), 1
    else:
        level, whole = swing(phase) * (2 * column - (columns - 1)), columns - 1
    strength = np.floor(np.asarray(amplitude, dtype=np.float64) * ONE + 0.5).astype(np.int64)
    unit = ONE * ONE * whole
    return (level[..., None] * strength * 2 + unit) // (2 * unit)


def swing(phase: np.ndarray) -> np.ndarray:
    """A wave between -65536 and 65536 of a phase in 1/65536 turn: arcs of a parabola, like a sine.

    Whole numbers, so that it is the same on every processor; off a sine by 0.056 at most.
    """
    half = phase & 0x7FFF
    level = half * (0x8000 - half) >> 12
    return np.where(phase & 0x8000, -level, level)


# --- tables ---------------------------------------------------------------------------------------


def film_columns(up: np.ndarray, offsets: np.ndarray | None) -> np.ndarray:
    """Column-scroll words (F, 20, 2) uint16 of planes that have moved up (F, 2) lines.

    offsets: (P, 20, 2), taken over and over; None: none
    """
    words = np.repeat(up[:, None, :], COLUMN_PAIRS, axis=1)
    if offsets is not None:
        words = words + offsets[np.arange(len(up)) % len(offsets)]
    return pack_scroll(words & SCROLL_MASK)


def shown_lines(words: np.ndarray, up: np.ndarray, lines: int) -> np.ndarray:
    """Scroll words (F, lines, 2) of the screen from those (F, H, 2) of plane lines."""
    H = words.shape[1]
    line = (np.arange(lines)[None, :, None] + up[:, None, :]) % H
    return np.take_along_axis(words, line, axis=1)


# --- what a user has to know ----------------------------------------------------------------------


def wrap_warnings(
    vscroll: np.ndarray, reach: Sequence[Sequence[tuple[int, int]]], machine: Machine
) -> list[str]:
    """What is seen past the lines that a screen usually shows, one sentence each.

    vscroll: (F, 20, 2) words; reach: for FRONT and BACK the (top, bottom) of each layer
    """
    lines, H = machine.screen[1], machine.plane_px[1]
    columns = -(-machine.screen[0] // COLUMN_PX)
    told = []
    for plane, name in NAMES:
        offset = vscroll[:, :columns, plane].astype(np.int64)
        offset = np.where(offset >= 512, offset - 1024, offset)
        first, last = int(offset.min()), int(offset.max()) + lines
        covered = np.zeros(H, dtype=bool)
        for top, bottom in reach[plane]:
            covered[top:bottom] = True
        above, below = np.arange(min(first, 0), 0) % H, np.arange(H, max(last, H)) % H
        joined = len(above) and (covered[0] or covered[above].any())
        if joined or (len(below) and (covered[H - 1] or covered[below].any())):
            told.append(
                f"vertical scroll: the {name} plane of {H} lines shows its line 0 below its line "
                f"{H - 1} (it moves from {first} to {last - lines}, and {H - lines} lines are to "
                f"spare); move the camera less, or ask for a taller plane (machine.plane_cells)"
            )
        seen = np.arange(first, last) % H
        bare = seen[~covered[seen] & (seen >= lines)]
        if len(bare) and covered[lines - 1]:
            told.append(
                f"vertical scroll: the {name} plane shows lines {int(bare.min())} to "
                f"{int(bare.max())}, which no layer reaches; draw its lowest layer down to line "
                f"{int(bare.max()) + 1}"
            )
    return told
