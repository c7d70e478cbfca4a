"""Bands of scenery: how fast a layer's lines move, from how far away it is.

  ratio   pixels a line moves for one pixel of the camera; a pinhole camera that moves sideways
          shifts the image of a point by focal length * move / depth, so at d times the play
          field's distance a layer moves 1/d as far (Hartley and Zisserman, "Multiple View
          Geometry", 2nd ed., ch. 6)
  drift   pixels a frame that a line moves by itself
  group   lines that share one pair of scroll words: 1, 8, or all of them, as `machine.scroll` says

Ratio and drift are stored as signed 16.16 numbers.
"""

from __future__ import annotations

import numpy as np

from genbg.errors import PresetError
from genbg.hardware.profile import Machine
from genbg.records import record

ONE = 65536
"""1.0 as a 16.16 number."""

LARGEST = 32767
"""The largest whole speed that a signed 16.16 number holds."""

Distance = float | tuple[float, float] | None


@record(frozen=True, eq=False)
class Band:
    """What `line_speeds` has to know of a layer.

    number: place in the preset; name: as messages call it; plane: FRONT or BACK
    top, bottom: screen lines, the second not included
    distance: in units of the play field's distance; (far, near) for a ground plane; None goes
        along with the layers that share its lines
    drift: pixels a frame
    uniform: (N,) bool, lines where the layer is the same all along
    """

    number: int
    name: str
    plane: int
    top: int
    bottom: int
    distance: Distance
    drift: float
    uniform: np.ndarray


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


@record(frozen=True, eq=False)
class Asked:
    """What a layer asks of each group of lines: (G,) arrays.

    covers: it lies there; binds: it shows there that it moves
    ratio, drift: 16.16, of the first line that it has in the group
    """

    band: Band
    covers: np.ndarray
    binds: np.ndarray
    ratio: np.ndarray
    drift: np.ndarray

    @classmethod
    def of(cls, band: Band, machine: Machine, lines: int) -> Asked:
        """What a layer asks of each group of `lines` lines."""
        size = lines if machine.scroll == "plane" else machine.group_lines
        groups = -(-lines // size)
        top, bottom = max(band.top, 0), min(band.bottom, lines)
        own = np.arange(top, bottom)
        covers, binds = np.zeros(groups, dtype=bool), np.zeros(groups, dtype=bool)
        covers[own // size] = True
        binds[own[~np.asarray(band.uniform, dtype=bool)[own - band.top]] // size] = True
        first = np.clip(np.arange(groups) * size, top, max(bottom - 1, top)) - band.top
        ratio = to_fixed(layer_ratio(band.distance, band.bottom - band.top))
        if not abs(band.drift) <= LARGEST:
            raise PresetError(f'layer "{band.name}": drift {band.drift:g}; at most {LARGEST}')
        drift = np.full(groups, to_fixed(band.drift))
        return cls(band, covers, binds, ratio[first], drift)

    @property
    def goes_along(self) -> bool:
        return self.band.distance is None
