"""Layers that contradict each other: two speeds where the machine has one."""

from __future__ import annotations

import numpy as np

from genbg.errors import Fault
from genbg.hardware.profile import Machine
from genbg.hardware.sizes import ONE
from genbg.model import BACK, FRONT
from genbg.scroll.bands import Asked, Band
from genbg.scroll.runs import on_lines

PLANE_NAMES = {FRONT: "front", BACK: "back"}


def find_faults(members: list[Asked], machine: Machine) -> list[Fault]:
    """Every contradiction among the layers of one plane, in the order of the preset."""
    return _own_faults(members, machine) + _pair_faults(members, machine)


def _own_faults(members: list[Asked], machine: Machine) -> list[Fault]:
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


def _pair_faults(members: list[Asked], machine: Machine) -> list[Fault]:
    """Pairs of layers that ask for two speeds where both show that they move."""
    faults = []
    for place, second in enumerate(members):
        for first in members[:place]:
            wrong = first.binds & second.binds & _differ(first, second)
            if wrong.any():
                faults.append(_pair_fault(first, second, wrong, machine))
    return faults


def _differ(first: Asked, second: Asked) -> np.ndarray:
    """(G,) bool, groups for which two layers ask for different speeds."""
    along = first.goes_along or second.goes_along
    ratio = np.zeros_like(first.covers) if along else first.ratio != second.ratio
    quiet = any(asked.goes_along and not asked.band.drift for asked in (first, second))
    return ratio if quiet else ratio | (first.drift != second.drift)


def _pair_fault(first: Asked, second: Asked, wrong: np.ndarray, machine: Machine) -> Fault:
    group = int(wrong.argmax())
    size, lines = machine.group_lines, machine.screen[1]
    where = on_lines(np.repeat(wrong, size))
    if machine.scroll == "plane":
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


def _speed(asked: Asked, group: int) -> str:
    ratio = f"ratio {asked.ratio[group] / ONE:.6g}"
    return f"{ratio}, drift {asked.drift[group] / ONE:.6g}" if asked.band.drift else ratio


def _lines_of(band: Band) -> str:
    return f"{band.top} to {band.bottom - 1}"
