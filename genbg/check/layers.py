"""The engine's layers read back: pictures, places and speeds, as the backdrop had them."""

from __future__ import annotations

from typing import Any

import numpy as np

from genbg.check.engine import read_table
from genbg.check.listing import Export
from genbg.colour import screen_table
from genbg.errors import BytesError
from genbg.hardware.sizes import ONE
from genbg.images import NotAPictureError, read_animation
from genbg.model import BACK, FRONT, Backdrop, EngineLayer
from genbg.write.engine import drawing_order

PLANES = {"front": FRONT, "back": BACK}


def read_layers(export: Export, backdrop: Backdrop) -> tuple[EngineLayer, ...]:
    """Return the layers in the order of the manifest.

    Raises BytesError, naming the file, where layers.json and the manifest list others, or where a
    picture holds what no layer of this machine does.
    """
    rows = export.table["layers"]
    bare = [bare_layer(row) for row in rows]
    said = read_table(export)["layers"]
    place = {id(layer): at for at, layer in enumerate(drawing_order(tuple(bare)))}
    found = []
    for layer, row in zip(bare, rows, strict=True):
        entry = said[place[id(layer)]]
        if entry["name"] != layer.name or entry["lines"] != row["lines"]:
            raise BytesError(f"engine/layers.json: layer {layer.name[:40]} stands elsewhere")
        found.append(whole_layer(layer, row, entry, export, backdrop))
    return tuple(found)


def bare_layer(row: dict[str, Any]) -> EngineLayer:
    """Return a layer of the manifest that has no picture and no speeds yet."""
    nothing, still = np.zeros((0, 0), dtype=np.uint16), np.zeros(0)
    top, period = row["lines"][0], row["period"]
    return EngineLayer(
        row["name"], row["plane"], top, nothing, nothing > 0, still, still, period, row["high"]
    )


def whole_layer(
    layer: EngineLayer,
    row: dict[str, Any],
    entry: dict[str, Any],
    export: Export,
    backdrop: Backdrop,
) -> EngineLayer:
    """Return a layer with its picture, and with the speeds of its lines."""
    top, bottom = row["lines"]
    path = f"engine/{entry['file']}"
    number, alpha = read_picture(path, export, (layer.period, bottom - top), backdrop)
    vertical = backdrop.moves.vertical
    if layer.plane in PLANES:
        plane, lines = PLANES[layer.plane], slice(top, bottom)
        speeds = backdrop.moves.all_speeds
        ratio, drift = speeds.ratio[lines, plane] / ONE, speeds.drift[lines, plane] / ONE
        ratio_y = vertical.ratio[plane] / ONE if vertical else 0.0
    else:
        ratio = fixed_numbers(entry["ratio"], bottom - top)
        drift = fixed_numbers(entry["drift"], bottom - top)
        ratio_y = float(ratio[0]) if vertical else 0.0
    return EngineLayer(
        layer.name,
        layer.plane,
        top,
        number,
        alpha,
        ratio,
        drift,
        layer.period,
        layer.priority,
        ratio_y,
    )


def fixed_numbers(values: list[float], lines: int) -> np.ndarray:
    """Return the speeds of a layer of sprites, one a line, as 16.16 numbers hold them."""
    numbers = np.array(values, dtype=np.float64)
    if numbers.shape != (lines,) or (np.abs(numbers) > ONE).any():
        raise BytesError(f"engine/layers.json: a layer has not one speed for each of {lines} lines")
    if (numbers * ONE % 1).any():
        raise BytesError("engine/layers.json: a speed is not a multiple of 1/65536")
    return numbers


def read_picture(
    path: str, export: Export, size: tuple[int, int], backdrop: Backdrop
) -> tuple[np.ndarray, np.ndarray]:
    """Return colour numbers (N, W) uint16 and alpha (N, W) bool of a layer's picture."""
    try:
        [(pixels, _)] = read_animation(export.data[path], size, 1)
    except KeyError:
        raise BytesError(f"{path}: is missing") from None
    except NotAPictureError as error:
        raise BytesError(f"{path}: {error}") from error
    table = packed(screen_table(tuple(backdrop.machine.levels)))
    order = np.argsort(table, kind="stable")
    asked = packed(pixels[..., :3])
    at = np.minimum(np.searchsorted(table[order], asked), len(table) - 1)
    number, alpha = order[at].astype(np.uint16), pixels[..., 3] > 0
    if (table[number] != asked)[alpha].any():
        raise BytesError(f"{path}: holds a colour that the machine does not have")
    return number, alpha


def packed(rgb: np.ndarray) -> np.ndarray:
    """Return colours (..., 3) uint8 as one number each."""
    one = rgb.astype(np.int64)
    return one[..., 0] << 16 | one[..., 1] << 8 | one[..., 2]
