"""The preview's path: how far the camera goes each frame and how the animation closes.

loop     after so many frames every line has moved by a whole number of plane widths, and whatever
         else moves is as at the start, so the first frame follows the last without a jump
returns  no such number within the limit: the animation plays its frames to the end and back
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction

from genbg.hardware.profile import Machine
from genbg.hardware.sizes import ONE
from genbg.model import LineSpeeds, Preview
from genbg.scroll.words import film_words


def plan_preview(
    speeds: LineSpeeds,
    machine: Machine,
    camera_speed: Fraction,
    fps: Fraction,
    frames: int,
    plane_width: int,
    periods: Sequence[int] = (),
) -> Preview:
    """Preview of at most `frames` frames.

    camera_speed: pixels a frame at the play field, rounded to a multiple of 1/65536
    fps: frames a second that the animation is shown at; plane_width: pixels
    periods: frames after which whatever else moves is as at the start

    The shortest loop wins; where none has `frames` frames or fewer, `frames` are made and
    `returns` is True.
    """
    step = Fraction(math.floor(Fraction(camera_speed) * ONE + Fraction(1, 2)), ONE)
    loop = math.lcm(loop_frames(speeds, step, plane_width), *periods)
    returns = loop > frames
    return Preview(
        fps=Fraction(fps),
        camera_step=step,
        returns=returns,
        scroll=film_words(speeds, step, frames if returns else loop),
    )


def loop_frames(speeds: LineSpeeds, camera_step: Fraction, plane_width: int) -> int:
    """Frames after which every line has moved by a whole number of plane widths, exactly."""
    step = Fraction(camera_step)
    unit = ONE * step.denominator * plane_width
    pairs = set(zip(speeds.ratio.ravel().tolist(), speeds.drift.ravel().tolist(), strict=True))
    periods = (
        unit // math.gcd(ratio * step.numerator + drift * step.denominator, unit)
        for ratio, drift in pairs
    )
    return math.lcm(*periods)
