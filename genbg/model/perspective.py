"""How far a layer moves for one pixel of the camera, from how far away it is.

A pinhole camera that moves sideways shifts the image of a point by focal length * move / depth, so
at d times the play field's distance a layer moves 1/d as far (Hartley and Zisserman, "Multiple View
Geometry", 2nd ed., ch. 6).
"""

from __future__ import annotations

import numpy as np

from genbg.errors import PresetError
from genbg.hardware.sizes import ONE

LARGEST = 32767
"""The largest whole speed that a signed 16.16 number holds."""

Distance = float | tuple[float, float] | None


def layer_ratio(distance: Distance, lines: int) -> np.ndarray:
    """Ratio of each line of a layer, (N,) float64, pixels a camera pixel.

    distance: one number: 1/distance on all lines. (far, near): 1/far on the first line to 1/near
        on the last, even steps between, as a pinhole camera sees a level ground (its depth is
        focal length * height / (line - horizon), so the ratio is linear in the line); with a
        single line, 1/near. None: zeros.

    Raises PresetError for a distance that is not above 0 or too near for a 16.16 number.
    """
    if distance is None:
        return np.zeros(lines)
    far, near = distance if isinstance(distance, tuple | list) else (distance, distance)
    for value in (far, near):
        if not 1 / LARGEST <= value < float("inf"):
            raise PresetError(
                f"distance {value:g}: it has to be a finite number of at least 1/{LARGEST}"
            )
    if far == near:
        return np.full(lines, 1.0 / far)
    last = max(lines - 1, 1)
    step = np.arange(lines) if lines > 1 else np.ones(lines)
    return 1.0 / far + (1.0 / near - 1.0 / far) * step / last


def to_fixed(values: np.ndarray | float) -> np.ndarray:
    """Signed 16.16 numbers int64 nearest to `values`; halves round up."""
    return np.floor(np.asarray(values, dtype=np.float64) * ONE + 0.5).astype(np.int64)
