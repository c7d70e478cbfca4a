"""Processor cycles of the exported routines, from the times of their instructions.

Summed from the processor's instruction timings, written from memory: multiplying 70 (38 and 2 for
each bit set), dividing 140, long sums of registers 8, branches 10 taken and 8 not, counting
branches 10, moves 4 to 20. Every figure takes a part at its slowest. The tests sum the instructions
that really run, by a table of their own, and hold these figures within 5 %.
"""

from __future__ import annotations

import itertools

import numpy as np

from genbg.model import BACK, FRONT, Backdrop, LineSpeeds

LINE = 26
RUN = 416
RUN_HIGH = 184
RUN_NEGATIVE = 18
RUN_DRIFT = 252
"""A line of a run; a run; more for a run whose ratio does not lie in 0..1, for one below 0, for one
that drifts."""

WAVES = 88
WAVE = 784
WAVE_LINE = 102
"""Once where there are waves; a wave; a line of it."""

TALL = 884
PASSED = 42
"""Planes that move up and down: once; a run above the screen's top."""

ROUTINE = 506
"""The scroll routine, once."""

FRAME = 902
COLUMN_PAIRS = 494
COLUMN_OFFSETS = 1082
PIECES = 80
PIECE_SEEN = 534
PIECE_BESIDE = 368
PIECE_SPEED = 792
MOTION = 600
CHANGE = 70
REWRITE = 130
"""The driver's frame: once; column scroll; columns that move by themselves; sprites, once; one that
is seen, one that is not; another speed than that of the one before; moving colours, once; a colour
that changes; a colour of the list of gaps, made again."""

BLANK = 930
BLANK_COLOURS = 506
BLANK_COLUMNS = 456
BLANK_SPRITES = 480
"""The driver's blank: once; colour memory; vertical scroll; sprites. Without the halts while
transfers run."""

SET_UP = 220
STRETCH = 330
"""The line routine: an interrupt that only sets up others; a stretch of gaps, without its waits."""


def plane_runs(speeds: LineSpeeds, plane: int) -> np.ndarray:
    """Return (n + 1, 3) int64 lines, ratio, drift of a plane's runs; the last row is 0."""
    lines = np.stack([speeds.ratio[:, plane], speeds.drift[:, plane]], axis=1).astype(np.int64)
    starts = np.flatnonzero(np.r_[True, (lines[1:] != lines[:-1]).any(axis=1)])
    counts = np.diff(np.r_[starts, len(lines)])
    runs = np.concatenate([counts[:, None], lines[starts]], axis=1)
    return np.concatenate([runs, np.zeros((1, 3), dtype=np.int64)])


def front_and_back_runs(backdrop: Backdrop) -> tuple[np.ndarray, np.ndarray]:
    """Return the runs of both planes, each (n + 1, 3) int64: lines, ratio, drift; the last is 0.

    They are those of the screen's lines, or of all plane lines where planes move up and down.
    """
    speeds = backdrop.moves.all_speeds
    return plane_runs(speeds, FRONT), plane_runs(speeds, BACK)


def scroll_cycles(backdrop: Backdrop) -> int:
    """Return an upper bound of the cycles that the scroll routine takes."""
    return ROUTINE + table_cycles(backdrop)


def table_cycles(backdrop: Backdrop) -> int:
    """Return what the lines of the scroll table take, the waves included."""
    lines, total = backdrop.machine.screen[1], 0
    for runs in front_and_back_runs(backdrop):
        _, ratio, drift = runs[:-1].T
        high = (ratio < 0) | (ratio > 0xFFFF)
        each = RUN + RUN_HIGH * high + RUN_NEGATIVE * (ratio < 0) + RUN_DRIFT * (drift != 0)
        total += int(each.sum()) + LINE * lines
        if backdrop.moves.vertical is not None:
            total += int(each.max()) + PASSED * len(ratio)
    if backdrop.moves.vertical is not None:
        total += TALL
    waves = backdrop.moves.waves
    rows = sum(min(wave.bottom - wave.top, lines) for wave in waves)
    return total + WAVES * bool(waves) + WAVE * len(waves) + WAVE_LINE * rows


def frame_cycles(backdrop: Backdrop, seen: int, changes: int) -> int:
    """Return what the driver's frame takes at most.

    seen: sprites of the fullest frame; changes: colours that change from one frame to the next
    """
    vertical, pieces = backdrop.moves.vertical, backdrop.sprites.placed
    total = FRAME + table_cycles(backdrop)
    if vertical is not None and backdrop.machine.vertical == "column":
        total += COLUMN_PAIRS + COLUMN_OFFSETS * (vertical.offsets is not None)
    if pieces is not None:
        speeds = list(zip(pieces.ratio.tolist(), pieces.drift.tolist(), strict=True))
        groups = 1 + sum(a != b for a, b in itertools.pairwise(speeds))
        total += PIECES + PIECE_SPEED * groups + PIECE_SEEN * seen
        total += PIECE_BESIDE * max(0, len(speeds) - seen)
    if backdrop.colours.scripts:
        total += MOTION + CHANGE * changes + REWRITE * rewritten(backdrop)
    return total


def blank_cycles(backdrop: Backdrop) -> int:
    """Return what the driver takes of the blank, transfers not counted."""
    fresh = bool(backdrop.colours.splits or backdrop.colours.scripts)
    return (
        BLANK
        + BLANK_COLOURS * fresh
        + BLANK_COLUMNS * (backdrop.machine.vertical != "none")
        + BLANK_SPRITES * backdrop.has_sprites
    )


def line_cycles(backdrop: Backdrop) -> int:
    """Return what the line interrupts of a frame take, their waits included."""
    gaps = sorted({split.line for split in backdrop.colours.splits})
    if not gaps:
        return 0
    stretches = 1 + sum(after != before + 1 for before, after in itertools.pairwise(gaps))
    waits = (len(gaps) + stretches) * backdrop.machine.cycles_per_line
    return 2 * SET_UP + STRETCH * stretches + waits


def rewritten(backdrop: Backdrop) -> int:
    """Return how many colours are rewritten down the screen."""
    return sum(len(split.words[backdrop.mood]) for split in backdrop.colours.splits)
