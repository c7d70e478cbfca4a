"""In what order the preview's frames are played, and how long each is shown.

Delays are whole units of the file format. Each is what is left of the exact time so far, rounded
up, so the error never adds up: 60 frames a second are 17, 17, 16 milliseconds, over and over.
"""

from __future__ import annotations

from fractions import Fraction
from itertools import pairwise

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
