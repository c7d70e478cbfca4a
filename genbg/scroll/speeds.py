"""How fast each screen line moves, from how far away its layer is.

  ratio   pixels a line moves for one pixel of the camera; a pinhole camera that moves sideways
          shifts the image of a point by focal length * move / depth, so at d times the play
          field's distance a layer moves 1/d as far (Hartley and Zisserman, "Multiple View
          Geometry", 2nd ed., ch. 6)
  drift   pixels a frame that a line moves by itself
  group   lines that share one pair of scroll words: 1, 8, or all of them, as `machine.scroll` says

Both are stored as signed 16.16 numbers. A plane has one speed a line, so layers that share a line
have to agree, unless a layer looks the same all along that line (`uniform`), which may move at any
speed.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genbg.errors import Fault, PresetError
from genbg.hardware.profile import Machine
from genbg.model import BACK, FRONT, LineSpeeds

ONE = 65536
"""1.0 as a 16.16 number."""

LARGEST = 32767
"""The largest whole speed that a signed 16.16 number holds."""

PLANE_NAMES = {FRONT: "front", BACK: "back"}

Distance = float | tuple[float, float] | None


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


def line_speeds(bands: Sequence[Band], machine: Machine) -> LineSpeeds:
    """Ratio and drift of every screen line and both planes.

    A line that several layers share takes the speed of those that are not uniform there; where all
    are, of the layer that stands last in the preset. A layer without a distance takes part only
    with its drift, where it has one. Lines that no layer covers take the speed of the nearest line
    above, else below.
    In "strip" and "plane" mode all lines of a group have the speed of the group's first line; a
    ground plane moves in such strips, but not in "plane" mode.

    Raises PresetError, naming both layers and the lines, where two layers ask for two speeds, and
    for a layer whose own lines differ in "plane" mode.
    """
    lines = machine.screen[1]
    ratio = np.zeros((lines, 2), dtype=np.int32)
    drift = np.zeros((lines, 2), dtype=np.int32)
    faults: list[Fault] = []
    for plane in (FRONT, BACK):
        members = [_Asked.of(band, machine) for band in bands if band.plane == plane]
        faults += _own_faults(members, machine) + _pair_faults(members, machine)
        speeds = _plane_speeds(members, machine)
        ratio[:, plane], drift[:, plane] = speeds.T
    if faults:
        raise PresetError(faults)
    return LineSpeeds(ratio, drift)


@dataclass(frozen=True, eq=False)
class _Asked:
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
    def of(cls, band: Band, machine: Machine) -> _Asked:
        lines, size = machine.screen[1], machine.group_lines
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


def _plane_speeds(members: list[_Asked], machine: Machine) -> np.ndarray:
    """(L, 2) ratio and drift of one plane's lines, on the ground that nothing contradicts."""
    lines, size = machine.screen[1], machine.group_lines
    groups = -(-lines // size)
    speed = np.zeros((groups, 2), dtype=np.int64)
    rank = np.zeros((groups, 2), dtype=np.int64)
    for asked in members:
        weight = np.where(asked.binds, 3, 2)
        _take(speed[:, 0], rank[:, 0], asked.ratio, asked, 1 if asked.goes_along else weight)
        quiet = asked.goes_along and not asked.band.drift
        _take(speed[:, 1], rank[:, 1], asked.drift, asked, 1 if quiet else weight)
    settled = _fill_gaps(speed, rank[:, 0] > 0)
    return settled[np.arange(lines) // size]


def _take(
    speed: np.ndarray,
    rank: np.ndarray,
    asked_speed: np.ndarray,
    asked: _Asked,
    weight: np.ndarray | int,
) -> None:
    """Write a layer's speed where it weighs at least as much as what is there (in place)."""
    wins = asked.covers & (weight >= rank)
    speed[wins] = asked_speed[wins]
    rank[wins] = np.broadcast_to(weight, rank.shape)[wins]


def _fill_gaps(speed: np.ndarray, known: np.ndarray) -> np.ndarray:
    """Speeds with those of unknown groups copied from the nearest above, else below."""
    if not known.any():
        return speed
    groups = np.arange(len(known))
    above = np.maximum.accumulate(np.where(known, groups, -1))
    return speed[np.where(above >= 0, above, int(known.argmax()))]


def _own_faults(members: list[_Asked], machine: Machine) -> list[Fault]:
    """Layers that would need several speeds while their plane has one."""
    if machine.scroll != "plane":
        return []
    return [
        _fault(
            band,
            f'{band.distance[0]:g} to {band.distance[1]:g}; with machine.scroll = "plane" every '
            f'line of a plane moves alike: give one distance, or set scroll to "line"',
        )
        for band in (asked.band for asked in members if asked.binds.any())
        if isinstance(band.distance, tuple | list) and band.distance[0] != band.distance[1]
    ]


def _pair_faults(members: list[_Asked], machine: Machine) -> list[Fault]:
    """Pairs of layers that ask for two speeds where both show that they move."""
    faults = []
    for place, second in enumerate(members):
        for first in members[:place]:
            wrong = first.binds & second.binds & _differ(first, second)
            if wrong.any():
                faults.append(_pair_fault(first, second, wrong, machine))
    return faults


def _differ(first: _Asked, second: _Asked) -> np.ndarray:
    """(G,) bool, groups for which two layers ask for different speeds."""
    along = first.goes_along or second.goes_along
    ratio = np.zeros_like(first.covers) if along else first.ratio != second.ratio
    quiet = any(asked.goes_along and not asked.band.drift for asked in (first, second))
    return ratio if quiet else ratio | (first.drift != second.drift)


def _pair_fault(first: _Asked, second: _Asked, wrong: np.ndarray, machine: Machine) -> Fault:
    group = int(wrong.argmax())
    size, lines = machine.group_lines, machine.screen[1]
    where = _line_ranges(np.repeat(wrong, size)[:lines])
    if size >= lines:
        where = f"lines {_lines_of(first.band)} and {_lines_of(second.band)}"
    plane = PLANE_NAMES[first.band.plane]
    text = (
        f'layers {first.band.number} "{first.band.name}" and {second.band.number} '
        f'"{second.band.name}" both move on {where} of the {plane} plane, at '
        f"{_speed(first, group)} and {_speed(second, group)}; "
        f"layers of one plane that share a line have to share its speed"
    )
    if size > 1:
        text += f' (with machine.scroll = "{machine.scroll}", {min(size, lines)} lines share one)'
    return _fault(second.band, text)


def _fault(band: Band, text: str) -> Fault:
    return Fault("", f"layer.{band.number}.distance", "", text)


def _speed(asked: _Asked, group: int) -> str:
    ratio = f"ratio {asked.ratio[group] / ONE:.6g}"
    return f"{ratio}, drift {asked.drift[group] / ONE:.6g}" if asked.band.drift else ratio


def _lines_of(band: Band) -> str:
    return f"{band.top} to {band.bottom - 1}"


def _line_ranges(wrong: np.ndarray) -> str:
    """Runs of True as "lines 8 to 15, 32 to 39", last lines included; the first three runs."""
    edges = np.flatnonzero(np.diff(np.concatenate([[0], wrong.astype(np.int8), [0]])))
    runs = [
        f"{first} to {end - 1}" if end - first > 1 else f"{first}"
        for first, end in zip(edges[::2], edges[1::2], strict=True)
    ]
    more = f" and {len(runs) - 3} more runs" if len(runs) > 3 else ""
    single = len(runs) == 1 and " to " not in runs[0]
    return f"{'line' if single else 'lines'} {', '.join(runs[:3])}{more}"
