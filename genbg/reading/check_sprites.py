"""Keys of vertical scroll, order and sprites that only the machine or another table can judge."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from genbg.hardware.sizes import CELL
from genbg.preset.machine import MachineKeys
from genbg.preset.tables import Layer
from genbg.reading.findings import Findings
from genbg.reading.places import Path

Says = tuple[Path, str]


def check_sprites(
    tables: Mapping[str, Any],
    effects: Mapping[str, Any],
    layers: Iterable[Layer | None],
    found: Findings,
) -> None:
    """Look at what depends on [machine]: called where that table is right.

    tables, effects: by their names in the preset
    """
    machine: MachineKeys = tables["machine"]
    known = [layer for layer in layers if layer is not None]
    for layer in known:
        for path, says in _layer_faults(layer, machine):
            found.add(("layer", layer.number, *path), says)
    for path, says in (*_vertical_faults(tables, effects), *_reserve_faults(tables)):
        found.add(path, says)


def plane_lines(machine: MachineKeys) -> int:
    """Lines that a layer may reach: those of the screen, or of the plane where it moves."""
    return machine.screen[1] if machine.vertical == "none" else machine.plane_cells[1] * CELL


def _layer_faults(layer: Layer, machine: MachineKeys) -> Iterator[Says]:
    """What is wrong with one layer's place, order and speed."""
    lines = plane_lines(machine)
    if layer.lines[1] > lines:
        what = "screen" if machine.vertical == "none" else "plane"
        yield ("lines",), f"must lie within 0 to {lines}, the lines of the {what}"
    sprites = layer.plane == "sprites"
    if layer.high_lines is not None:
        first, last = layer.high_lines
        if first < layer.lines[0] or last > layer.lines[1]:
            says = f"must lie within the layer's own lines, {layer.lines[0]} to {layer.lines[1]}"
            yield ("high_lines",), says
        elif not sprites and (first % CELL or last % CELL):
            yield ("high_lines",), f"must be multiples of {CELL}: the priority bit is a cell's"
    if layer.high_columns is not None:
        yield from _column_faults(layer.high_columns, sprites, machine.plane_cells[0] * CELL)
    if sprites and not isinstance(layer.distance, float):
        says = (
            "must be one number in a layer of sprites, which moves as one body"
            if layer.distance is not None
            else "is required in a layer of sprites, which has no line to go along with"
        )
        yield ("distance",), says


def _column_faults(columns: tuple[int, int], sprites: bool, width: int) -> Iterator[Says]:
    if sprites:
        yield ("high_columns",), "is for the planes; a layer of sprites has high and high_lines"
    elif columns[1] > width:
        yield ("high_columns",), f"must lie within 0 to {width}, the columns of the plane"
    elif columns[0] % CELL or columns[1] % CELL:
        yield ("high_columns",), f"must be multiples of {CELL}: the priority bit is a cell's"


def _vertical_faults(tables: Mapping[str, Any], effects: Mapping[str, Any]) -> Iterator[Says]:
    """Keys that ask for vertical scroll where there is none, or for what it does not go with."""
    vertical = tables["machine"].vertical
    if vertical == "none":
        for name in ("speed_y", "dip"):
            if getattr(tables["camera"], name):
                says = 'machine.vertical is "none"; set it to "plane" or "column"'
                yield ("camera", name), says
    else:
        for path, field in (
            (("split", 0, "line"), "splits"),
            (("reflection", "line"), "reflection"),
        ):
            if effects[field]:
                says = (
                    "stands at a line of the screen, and the scenery moves up and down past it: "
                    'machine.vertical has to be "none"'
                )
                yield path, says
    if effects["columns"] is not None and vertical != "column":
        says = f'machine.vertical is "{vertical}"; columns need "column"'
        yield ("columns",), says


def _reserve_faults(tables: Mapping[str, Any]) -> Iterator[Says]:
    """Reserves that leave nothing of what the machine has."""
    machine, sprites = tables["machine"], tables["sprites"]
    narrow = machine.screen[0] == 256
    for name, field, usual in (
        ("reserve", "sprites_screen", 64 if narrow else 80),
        ("reserve_line", "sprites_line", 16 if narrow else 20),
        ("reserve_pixels", "sprite_pixels_line", 256 if narrow else 320),
    ):
        limit = getattr(machine, field)
        limit = usual if limit is None else limit
        if getattr(sprites, name) > limit:
            says = f"must be at most {limit}, which is all that there are (machine.{field})"
            yield ("sprites", name), says
