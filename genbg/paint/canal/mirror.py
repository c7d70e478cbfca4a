"""What a canal's water shows: the town in level strokes, and a column of light for each lamp."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.solids import Eye, Kind, Seen
from genbg.paint.craft.solids.glow import Lamp
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.craft.water import lamp_path


def lay_strokes(
    picture: TonalPicture, shown: np.ndarray, value: np.ndarray, far: np.ndarray, seed: int
) -> np.ndarray:
    """Lay the mirror of what stands, in level strokes; their pixels (N, W) bool.

    Fronts have one tone, what the moon lights another, and shade is told by a few dark strokes.

    shown: (N, W) bool; value: tones (N, W); far: (N, W) share of the mirror's length, at which
    more and more of the strokes are left out
    """
    lines, width = shown.shape
    stroke = fractal(width, lines, seed, STROKES, 0.9, octaves=2)
    bright = value >= 3
    least = np.where(bright, LEFT_OUT, SHADE_OUT)
    drawn = shown & (stroke > least + SPARSER * np.clip(far, 0.0, 1.0))
    picture.lay(drawn, "mirror", np.where(bright, np.minimum(value, 4.0), 1.0))
    return drawn


LEFT_OUT, SHADE_OUT = -0.2, 0.02
"""Noise from which strokes of light and of shade are drawn at the water's edge."""
SPARSER = 0.4
"""How much more noise a stroke takes at the end of the mirror."""
STROKES = 26
"""Strokes round 512 columns, or so many cells of their noise."""


def arched(seen: Seen) -> np.ndarray:
    """Pixels (N, W) bool that lie under a bridge's arch, in what is seen straight on."""
    ring = seen.has & (seen.kind == Kind.RING)
    return np.logical_or.accumulate(ring, axis=0) & ~ring


def lamp_columns(lamps: Sequence[Lamp], eye: Eye, edge: int, job: Job, seed: int) -> np.ndarray:
    """Heat (N, W) of all lamps' light on the water, no two alike."""
    heat = np.full((job.lines, job.width), -1.0)
    if edge >= job.lines:
        return heat
    for number, lamp in enumerate(lamps):
        column, _ = eye.place(lamp.place)
        scale = eye.focal / lamp.place[2]
        line = eye.horizon + (eye.height + lamp.place[1]) * scale - job.top - edge
        one = unit(seed, number, 5)[0]
        path = lamp_path(
            (job.lines - edge, job.width),
            (column, line),
            hash_words(seed, number),
            3.6 + 1.4 * one,
            17.0 + 16.0 * one,
        )
        shown = path[max(0, -edge) :]
        heat[max(0, edge) :] = np.maximum(heat[max(0, edge) :], shown)
    return heat
