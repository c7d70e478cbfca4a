"""In what order the preview's frames are played, how long each is shown, and what changes.

Delays are whole units of the file format. Each is what is left of the exact time so far, rounded
up, so the error never adds up: 60 frames a second are 17, 17, 16 milliseconds, over and over.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from itertools import pairwise

import numpy as np

from genbg.model import Preview


def played_frames(preview: Preview) -> list[int]:
    """Return the frame numbers as they are played: 0..F-1, then back to 1 where it returns."""
    there = list(range(preview.frames))
    return there + there[-2:0:-1] if preview.returns else there


def delays(count: int, fps: Fraction, units: int, least: int = 1) -> list[int]:
    """Return how long each of `count` frames is shown, in 1/units of a second.

    least: no delay is below it; where the frame rate asks for less, every delay is `least`
    """
    step = max(Fraction(units) / fps, Fraction(least))
    ends = [-(-(number * step.numerator) // step.denominator) for number in range(count + 1)]
    return [end - start for start, end in pairwise(ends)]


def changed_lines(pixels: np.ndarray, order: Sequence[int]) -> list[tuple[int, int]]:
    """Return the lines of each frame that a file has to hold: the first, and the last plus one.

    pixels: (F, L, width); order: frame numbers as they are played
    A frame holds all lines between those that differ from a frame played just before it, be it on
    the way there or back, so that one piece serves both. The frame that is played first is whole,
    and one in which nothing changes holds one line.
    """
    height = pixels.shape[1]
    changed = np.zeros((len(pixels), height), dtype=bool)
    for before, frame in sorted(set(pairwise(order))):
        changed[frame] |= (pixels[before] != pixels[frame]).any(axis=1)
    changed[order[0]] = True
    first = changed.argmax(axis=1)
    last = height - changed[:, ::-1].argmax(axis=1)
    last[~changed.any(axis=1)] = 1
    return list(zip(first.tolist(), last.tolist(), strict=True))
