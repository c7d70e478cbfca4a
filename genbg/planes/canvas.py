"""The planes stage's door: painted layers -> both planes with their reflections, and sprites."""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

from genbg.model import Canvas, PaintedLayer, PlanePicture
from genbg.planes.compose import compose_planes
from genbg.planes.mirror import mirror_pictures
from genbg.planes.sprites import cut_sprites
from genbg.request import Request


def compose_canvas(request: Request, layers: Sequence[PaintedLayer]) -> Canvas:
    """Put the layers onto the planes, and cut sprites from those of plane "sprites"."""
    front, back = compose_planes(layers, request.machine)
    if request.machine.vertical == "none":
        front = clear_window(front, request.window)
    sprites = cut_sprites(layers, request.zones, request.preset.sprites.largest)
    return Canvas(mirror_pictures(front, back, request.zones), sprites)


def clear_window(front: PlanePicture, window: tuple[int, int] | None) -> PlanePicture:
    """The front plane without what the window hides, which then needs no tile."""
    if window is None:
        return front
    ink = front.ink.copy()
    ink[slice(*window)] = 0
    return dataclasses.replace(front, ink=ink)
