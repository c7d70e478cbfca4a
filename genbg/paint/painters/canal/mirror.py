"""What a canal's water shows: the town in level strokes, and a column of light for each lamp."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.solids import Eye, Kind, Seen
from genbg.paint.craft.solids.glow import Lamp
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.craft.water import lamp_path


def lay_mirror(
    picture: TonalPicture,
    shown: np.ndarray,
    material: np.ndarray,
    tone: np.ndarray,
    at: tuple[np.ndarray, np.ndarray],
) -> None:
    """Lay the mirror of what stands in its own colours, darker, since water swallows part.

    shown: (N, W) bool; material, tone: (N, W) of the still mirror; at: where each pixel looks in it
    """
    here, value = material[at], tone[at]
    dark = np.where(
        value >= 3, np.where(value >= 4, DIMMED[1], DIMMED[0]), np.maximum(value - 1, 0)
    )
    picture.material[shown] = here[shown]
    picture.tone[shown] = dark[shown]
    picture.soft[shown] = 0.0


DIMMED = 2.0, 3.0
"""Tones that the mirror shows of what is lit, and of what is brightly lit."""


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
