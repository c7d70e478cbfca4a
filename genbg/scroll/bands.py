"""Bands of scenery: how fast a layer's lines move, from how far away it is.

  ratio   pixels a line moves for one pixel of the camera (`model/perspective.py`)
  drift   pixels a frame that a line moves by itself
  group   lines that share one pair of scroll words: 1, 8, or all of them, as `machine.scroll` says

Ratio and drift are stored as signed 16.16 numbers.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.errors import PresetError
from genbg.hardware.profile import Machine
from genbg.model.perspective import LARGEST, Distance, layer_ratio, to_fixed


@dataclass(frozen=True, eq=False)
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


@dataclass(frozen=True, eq=False)
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
