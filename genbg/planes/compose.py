"""Layers onto the front and the back plane.

Layers come in the preset's order, back to front. Within a plane a later layer covers an earlier
one wherever it has ink. The machine keeps one priority bit a cell, not a pixel: a cell that shows
at least one pixel of a high layer is high as a whole, and takes the low layers' pixels in it along.
A layer may be high on some lines or columns only, so that the planes trade places down the screen.
`order_notes` says where low pixels are taken along.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

import numpy as np

from genbg.errors import LimitError
from genbg.hardware.sizes import CELL, PLANE_NAMES
from genbg.model import PaintedLayer, PlanePicture

if TYPE_CHECKING:
    from genbg.hardware.profile import Machine


NOBODY = -1
"""Owner of a pixel where the plane is see-through."""


def compose_planes(
    layers: Sequence[PaintedLayer], machine: Machine
) -> tuple[PlanePicture, PlanePicture]:
    """Front plane and back plane, as painted.

    layers: back to front; those of plane "sprites" are passed over
    machine: its `plane_cells` (C, R) are the size of both planes

    Lines that no layer paints stay see-through (ink 0). A pixel's guard is that of the layer that
    is seen there.

    Raises LimitError where a layer leaves the plane or is not as wide as the plane.
    """
    columns, rows = machine.plane_cells
    for layer in layers:
        check_layer(layer, columns * CELL, rows * CELL)
    front, back = (compose_plane(_of_plane(layers, plane), columns, rows) for plane in PLANE_NAMES)
    return front, back


def compose_plane(layers: Sequence[PaintedLayer], columns: int, rows: int) -> PlanePicture:
    """One plane of `columns` x `rows` cells from its layers, back to front."""
    shape = rows * CELL, columns * CELL
    owner = owners(layers, *shape)
    ink = np.zeros(shape, np.uint16)
    guard = np.zeros(shape, np.uint8)
    priority = np.zeros(shape, bool)
    for place, layer in enumerate(layers):
        lines = slice(layer.top, layer.bottom)
        seen = owner[lines] == place
        ink[lines][seen] = layer.ink[seen]
        guard[lines][seen] = layer.guard[seen]
        priority[lines][seen] = layer.priority_pixels[seen]
    return PlanePicture(ink, guard, cells_with(priority))


def owners(layers: Sequence[PaintedLayer], height: int, width: int) -> np.ndarray:
    """Which layer of `layers` is seen at each pixel, (H, W) int16; NOBODY where none is."""
    owner = np.full((height, width), NOBODY, np.int16)
    for place, layer in enumerate(layers):
        owner[layer.top : layer.bottom][layer.ink > 0] = place
    return owner


def cells_with(pixels: np.ndarray) -> np.ndarray:
    """Cells (R, C) bool that hold at least one True of (H, W) pixels."""
    height, width = pixels.shape
    blocks = pixels.reshape(height // CELL, CELL, width // CELL, CELL)
    return np.asarray(blocks.any(axis=(1, 3)))


def check_layer(layer: PaintedLayer, width: int, height: int) -> None:
    """Raise LimitError where a layer does not fit a plane of `width` x `height` pixels."""
    name = f'layer {layer.number} "{layer.name}"'
    if layer.top < 0 or layer.bottom > height:
        reach = layer.bottom if layer.bottom > height else layer.top
        raise LimitError(
            f"{name}: line reached by lines {layer.top} to {layer.bottom} of a plane",
            reach,
            height if reach > 0 else 0,
            cure="move the layer into the plane or ask for a taller plane (plane_cells)",
        )
    if layer.ink.shape != (layer.bottom - layer.top, width):
        raise LimitError(
            f"{name}: width of the painted layer",
            layer.ink.shape[1],
            width,
            "pixels",
            "a layer is painted exactly as wide as its plane",
        )


def order_notes(layers: Sequence[PaintedLayer], machine: Machine) -> tuple[str, ...]:
    """Sentences for people about what the planes can't show as the layers ask.

    One for each pair of a high and a low layer that share cells of one plane (the high one wins:
    those cells are high as a whole, low pixels included), and one for each layer none of whose
    pixels is seen because later layers of its plane cover it.
    """
    columns, rows = machine.plane_cells
    notes: list[str] = []
    for plane in PLANE_NAMES:
        members = _of_plane(layers, plane)
        owner = owners(members, rows * CELL, columns * CELL)
        notes.extend(_hidden_notes(members, owner, plane))
        notes.extend(_shared_notes(members, owner, plane))
    return tuple(notes)


def _of_plane(layers: Sequence[PaintedLayer], plane: str) -> list[PaintedLayer]:
    return [layer for layer in layers if layer.plane == plane]


def _hidden_notes(layers: Sequence[PaintedLayer], owner: np.ndarray, plane: str) -> Iterator[str]:
    for place, layer in enumerate(layers):
        if layer.ink.any() and not (owner == place).any():
            yield (
                f'layer {layer.number} "{layer.name}" is not seen: later layers of the {plane} '
                "plane cover all of it"
            )


def _shared_notes(layers: Sequence[PaintedLayer], owner: np.ndarray, plane: str) -> Iterator[str]:
    where = [np.zeros(owner.shape, bool) for _ in layers]
    for pixels, layer in zip(where, layers, strict=True):
        pixels[layer.top : layer.bottom] = layer.priority_pixels
    seen = [owner == place for place in range(len(layers))]
    raised = [cells_with(own & pixels) for own, pixels in zip(seen, where, strict=True)]
    sunk = [cells_with(own & ~pixels) for own, pixels in zip(seen, where, strict=True)]
    for place, upper in enumerate(layers):
        for other, low in enumerate(layers):
            shared = int((raised[place] & sunk[other]).sum()) if place != other else 0
            if shared:
                yield (
                    f"{shared} cell{'s' if shared > 1 else ''} of the {plane} plane "
                    f'{"show" if shared > 1 else "shows"} both layer {upper.number} "{upper.name}" '
                    f'(high) and layer {low.number} "{low.name}" (low): the whole cell is drawn '
                    "high, because the machine keeps one priority bit a cell"
                )
