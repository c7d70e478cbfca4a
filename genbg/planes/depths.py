"""How many depths the eye is shown.

Counted are groups of layers that differ in at least one of: the plane (or sprites), the speed (one
for a floor, whose lines move at different ones), the order (drawn with the priority bit or not).
Layers that share all three count once, as nothing tells them apart once the camera moves. A layer
without a distance moves along with others, so it counts only by lines that it has to itself. A
layer of which no pixel is seen on its plane does not count, nor does a reflection.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from genbg.hardware.sizes import ONE
from genbg.model import BACK, FRONT, LineSpeeds, PaintedLayer
from genbg.planes.compose import owners

PLANES = {"front": FRONT, "back": BACK}

Speed = tuple[float, ...]
"""Ratio of the first and of the last line, and drift."""


def count_depths(
    layers: Sequence[PaintedLayer],
    own: Mapping[int, Speed | None],
    speeds: LineSpeeds,
    size: tuple[int, int],
) -> dict[str, int]:
    """How many depths there are in all, on each plane and among sprites.

    own: the speed of each layer by its number; None for one that goes along with others
    speeds: of all lines; size: (H, W) of the planes
    """
    counts = dict.fromkeys(("back", "front", "sprites"), 0)
    for name in counts:
        members = [layer for layer in layers if layer.plane == name and not layer.mirrored]
        groups: set[tuple[bool, Speed]] = set()
        owner = owners(members, *size) if name in PLANES else None
        for place, layer in enumerate(members):
            seen = layer.ink > 0
            if owner is not None:
                seen = owner[layer.top : layer.bottom] == place
            speed = own[layer.number]
            if speed is None:
                seen = seen & alone(layer, members, own)[:, None]
            for priority in (False, True):
                part = seen & (layer.priority_pixels == priority)
                if part.any():
                    line = layer.top + int(part.any(axis=1).argmax())
                    groups.add(
                        (priority, line_speed(speeds, name, line) if speed is None else speed)
                    )
        counts[name] = len(groups)
    return {"all": sum(counts.values()), **counts}


def alone(
    layer: PaintedLayer, members: Sequence[PaintedLayer], own: Mapping[int, Speed | None]
) -> np.ndarray:
    """Lines (N,) of a layer that no layer with a speed of its own has too."""
    free = np.ones(layer.bottom - layer.top, dtype=bool)
    for other in members:
        if own[other.number] is not None:
            first, last = other.top - layer.top, other.bottom - layer.top
            free[max(first, 0) : max(last, 0)] = False
    return free


def line_speed(speeds: LineSpeeds, name: str, line: int) -> Speed:
    """The speed of one line of a plane."""
    plane = PLANES.get(name, FRONT)
    if line >= len(speeds.ratio):
        return (0.0, 0.0, 0.0)
    ratio, drift = int(speeds.ratio[line, plane]), int(speeds.drift[line, plane])
    return (ratio / ONE, ratio / ONE, drift / ONE)
