"""Colours in motion: what colour memory and the rewrites hold in each frame.

  cycle   colours of a few inks change places every so many frames, round and round or to and fro
  fade    the mood shown, its way to another mood, that mood, and the way back
  state   the 64 words of colour memory at the top of a frame, then the words of splits.bin

A *script* is a list of what changes from one state to the next, for one period; see `write_script`.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from genbg.errors import LimitError

MOST_FRAMES = 8192
"""Frames of a script: more than two minutes; a period beyond it is a slip of the pen."""

Path = Mapping[tuple[int, int], Sequence[int]]
"""Colour numbers from one colour to another, both included."""


@dataclass(frozen=True)
class Cycle:
    """A colour cycle of `phases` phases, `frames` frames each; direction as the preset has it."""

    phases: int
    frames: int
    direction: str

    @property
    def order(self) -> tuple[int, ...]:
        """The phases as they follow one another."""
        there = tuple(range(self.phases))
        if self.direction == "forward":
            return there
        if self.direction == "backward":
            return (0, *there[:0:-1])
        return there + there[-2:0:-1]

    @property
    def period(self) -> int:
        return len(self.order) * self.frames

    def phase(self, frame: int) -> int:
        """The phase shown in a frame."""
        return self.order[frame // self.frames % len(self.order)]


@dataclass(frozen=True)
class Fade:
    """A fade of `frames` frames each way, each end held for `hold` frames."""

    frames: int
    hold: int

    @property
    def period(self) -> int:
        return 2 * (self.frames + self.hold)

    def place(self, frame: int) -> int:
        """How far the fade has come in a frame, 0 to `frames`."""
        at = frame % self.period
        if at >= self.hold + self.frames:
            return self.frames - min(max(at - 2 * self.hold - self.frames, 0), self.frames)
        return max(at - self.hold, 0)


def period_of(cycles: Sequence[Cycle], fade: Fade | None) -> int:
    """Frames after which all colours are as at the start; 1 where none moves.

    Raises LimitError where that is more than `MOST_FRAMES`.
    """
    period = math.lcm(*(cycle.period for cycle in cycles), fade.period if fade else 1)
    if period > MOST_FRAMES:
        cure = "give cycles and fade frames that have more divisors in common"
        raise LimitError(
            "frames after which all colours are as at the start", period, MOST_FRAMES, cure=cure
        )
    return period


def fade_stages(numbers: np.ndarray, target: np.ndarray, frames: int, path: Path) -> np.ndarray:
    """Colour numbers (frames + 1, ...) that have gone so many parts of their ways to `target`."""
    pairs = list(zip(numbers.ravel().tolist(), target.ravel().tolist(), strict=True))
    stages = {}
    for pair in set(pairs):
        way = path[pair]
        steps = [2 * place * (len(way) - 1) + frames for place in range(frames + 1)]
        stages[pair] = [way[step // (2 * frames)] for step in steps]
    table = np.array([stages[pair] for pair in pairs], dtype=numbers.dtype)
    return table.T.reshape(frames + 1, *numbers.shape)


def states(
    period: int, cycles: Sequence[Cycle], fade: Fade | None, show: Callable[..., np.ndarray]
) -> np.ndarray:
    """The states (period, n) uint16 of one period.

    show: the state for (phases, place of the fade); asked once for each such pair
    """
    known: dict[tuple[tuple[int, ...], int], np.ndarray] = {}
    rows = []
    for frame in range(period):
        key = tuple(cycle.phase(frame) for cycle in cycles), fade.place(frame) if fade else 0
        if key not in known:
            known[key] = show(*key)
        rows.append(known[key])
    return np.stack(rows).astype(np.uint16)


def write_script(rows: np.ndarray) -> np.ndarray:
    """The script (n,) uint16 of states (P, n): P; for each frame that changes any, frame, count,
    and so often target and word. Frame 0 is told as a change from the last frame.
    """
    words = [len(rows)]
    for frame in range(len(rows)):
        changed = np.flatnonzero(rows[frame] != rows[frame - 1])
        if len(changed):
            pairs = np.stack([changed, rows[frame, changed]], axis=1)
            words += [frame, len(changed), *pairs.ravel().tolist()]
    return np.array(words, dtype=np.uint16)
