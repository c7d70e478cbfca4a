"""How fast each screen line of both planes moves.

A plane has one speed a line, so layers that share a line have to agree, unless a layer looks the
same all along that line (`uniform`), which may move at any speed. Where speeds come from: see
`bands.py`.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from genbg.errors import Fault, PresetError
from genbg.hardware.profile import Machine
from genbg.model import BACK, FRONT, LineSpeeds
from genbg.scroll.bands import Asked, Band
from genbg.scroll.conflicts import find_faults


def line_speeds(bands: Sequence[Band], machine: Machine, lines: int | None = None) -> LineSpeeds:
    """Ratio and drift of every line and both planes.

    lines: how many; those of the screen if None, more where planes move up and down

    A line that several layers share takes the speed of those that are not uniform there; where all
    are, of the layer that stands last in the preset. A layer without a distance takes part only
    with its drift, where it has one. Lines that no layer covers take the speed of the nearest line
    above, else below.
    In "strip" and "plane" mode all lines of a group have the speed of the group's first line; a
    ground plane moves in such strips, but not in "plane" mode.

    Raises PresetError, naming both layers and the lines, where two layers ask for two speeds, and
    for a layer whose own lines differ in "plane" mode.
    """
    lines = lines or machine.screen[1]
    ratio = np.zeros((lines, 2), dtype=np.int32)
    drift = np.zeros((lines, 2), dtype=np.int32)
    faults: list[Fault] = []
    for plane in (FRONT, BACK):
        members = [Asked.of(band, machine, lines) for band in bands if band.plane == plane]
        faults += find_faults(members, machine)
        speeds = _plane_speeds(members, machine, lines)
        ratio[:, plane], drift[:, plane] = speeds.T
    if faults:
        raise PresetError(faults)
    return LineSpeeds(ratio, drift)


def _plane_speeds(members: list[Asked], machine: Machine, lines: int) -> np.ndarray:
    """(L, 2) ratio and drift of one plane's lines, on the ground that nothing contradicts."""
    size = lines if machine.scroll == "plane" else machine.group_lines
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
    asked: Asked,
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


def mirror_speeds(
    speeds: LineSpeeds, mirror: int | None, mirrored: tuple[bool, bool]
) -> LineSpeeds:
    """The speeds where line `mirror + i` of the mirrored planes moves as line `mirror - 1 - i`."""
    if mirror is None:
        return speeds
    source = np.arange(len(speeds.ratio))
    below = source >= mirror
    source[below] = 2 * mirror - 1 - source[below]
    ratio, drift = speeds.ratio.copy(), speeds.drift.copy()
    for plane in (FRONT, BACK):
        if mirrored[plane]:
            ratio[:, plane] = speeds.ratio[source, plane]
            drift[:, plane] = speeds.drift[source, plane]
    return LineSpeeds(ratio, drift)
