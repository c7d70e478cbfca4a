"""Ripples: lines of sand or snow that the wind combs, drawn as a few patterns.

Ripples run across a face and follow its outline. They are known by their phase at the cell borders;
between two borders a ripple runs straight, so a cell's content depends on its phase at the left, on
the step it makes and on how wide its dark part is, and on nothing else. Where the dark part grows
from cell to cell down a face, ripples do the work of dither: the face turns from one tone to the
next along lines that look combed.

Words used here:
  period  lines from one ripple to the next: 4 or 8, so that ripples meet at cell borders
  phase   lines by which the ripples lie higher than at a multiple of the period
  dark    lines of a period, 0..period, that have the darker tone
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft import CELL
from genbg.paint.paths import snap
from genbg.paint.scatter import unit

STEEPEST = {4: 2, 8: 4}
"""Lines by which the phase may change over a cell, for each period."""
SWAY = 3.0
"""Lines by which ripples leave the course of their outline, on the average."""
PARTS = 3
"""Widths of ripples with which a face goes from one tone to the next."""


def comb_phases(heights: np.ndarray, period: int, quantum: int, seed: int) -> np.ndarray:
    """Phases (B,) int64 at cell borders of ripples below an outline.

    heights: (B,) of the outline at the borders, in pixels; quantum: of the phases, 1 or 2 lines
    """
    at = np.arange(len(heights))
    sway = np.cumsum((unit(seed, at) - 0.5) * 2.0 * SWAY)
    wanted = snap(0.5 * heights + sway, quantum)
    most = STEEPEST[period] // quantum * quantum
    steps = np.clip(np.diff(wanted, prepend=wanted[:1]), -most, most)
    return np.cumsum(steps)


def phase_lines(phases: np.ndarray) -> np.ndarray:
    """Phases (8*(B-1),) int64 at every pixel between borders (B,); mirror images stay so."""
    steps = np.diff(phases)[:, None]
    part = (np.abs(steps) * (2 * np.arange(CELL)[None, :] + 1) + CELL) // (2 * CELL)
    mirrored = np.abs(steps) - part[:, ::-1]
    run = np.where(np.arange(CELL)[None, :] < CELL // 2, part, mirrored)
    return (phases[:-1, None] + np.sign(steps) * run).ravel()


def rippled(lines: int, phase: np.ndarray, dark: np.ndarray, period: int) -> np.ndarray:
    """Pixels (lines, w) bool of the dark parts of ripples.

    phase: (w,) at every pixel, as from `phase_lines`; dark: (lines/8, w/8) of every cell
    """
    place = (np.arange(lines)[:, None] + phase[None, :]) % period
    return place < np.repeat(np.repeat(dark, CELL, axis=0), CELL, axis=1)


def comb_tones(level: np.ndarray, brightest: int, phase: np.ndarray, period: int) -> np.ndarray:
    """Tones (8R, 8C) int8 of a face: ripples of the tone below on the tone above.

    level: (R, C) float64 light of every cell, `brightest` where no ripple shows
    """
    dark = np.floor((brightest - level) * PARTS + 0.5)
    below = np.floor(np.maximum(dark - 1.0, 0.0) / PARTS)
    wide = np.ceil((dark - below * PARTS) * period / (PARTS + 1.0))
    base = np.repeat(np.repeat(brightest - below, CELL, axis=0), CELL, axis=1)
    return (base - rippled(len(base), phase, wide, period)).astype(np.int8)
