"""Second layer, what only some backdrops have: sprites as a game places them, vertical scroll."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from fractions import Fraction
from typing import Any

import numpy as np

from genbg.check.decode import Reader, line_speeds, sized
from genbg.hardware.profile import Machine
from genbg.hardware.sizes import COLUMN_PAIRS, ONE
from genbg.model import PlacedSprites, Vertical
from genbg.write.sprite_bytes import unpack_placed


def whole_numbers(values: Sequence[float]) -> np.ndarray:
    """Return numbers times 65536, as the machine's fixed-point numbers hold them, rounded."""
    return np.array([round(Fraction(value) * ONE) for value in values], dtype=np.int64)


def camera_of(reader: Reader, preview: Mapping[str, Any]) -> np.ndarray | None:
    """Return how far down the camera is in each frame; None where it never moves so."""
    heights = preview["camera_y"]
    if heights is None:
        return None
    if len(heights) != preview["frames"]:
        reader.faults.append(
            f"backdrop.json: preview.camera_y: {len(heights)} of {preview['frames']} frames"
        )
    return whole_numbers(heights)


def placed_of(reader: Reader, table: Mapping[str, Any]) -> PlacedSprites | None:
    """Return the sprites as a game places them; None where there are none."""
    path = "machine/pieces.bin"
    if (table["sprites"] is not None) != (path in reader.export.data):
        reader.faults.append(f"{path}: does not go with sprites in backdrop.json")
        return None
    placed = reader.read_if_there(path, unpack_placed)
    if placed is not None and len(placed.x) != table["sprites"]["pieces"]:
        counted = table["sprites"]["pieces"]
        reader.faults.append(f"{path}: has {len(placed.x)} sprites; backdrop.json says {counted}")
    return placed


def reserve_of(table: Mapping[str, Any]) -> tuple[int, int, int]:
    """Return what the game keeps of the sprites."""
    kept = table["sprites"] or {"reserve": 0, "reserve_line": 0, "reserve_pixels": 0}
    return kept["reserve"], kept["reserve_line"], kept["reserve_pixels"]


def vertical_of(reader: Reader, table: Mapping[str, Any], machine: Machine) -> Vertical | None:
    """Return how the planes move up and down; None where they never do."""
    rows = table["vertical"]
    if (rows is None) != (machine.vertical == "none"):
        reader.faults.append("backdrop.json: vertical: does not go with machine.vertical")
    if rows is None:
        return None
    speeds = reader.read(
        "machine/plane_speeds.bin", lambda data: line_speeds(data, machine.plane_px[1])
    )
    offsets = None
    if rows["column_frames"]:
        shape = rows["column_frames"], COLUMN_PAIRS, 2
        words = reader.read("machine/columns.bin", sized(shape))
        offsets = None if words is None else words.astype(np.int16).astype(np.int64)
    if speeds is None:
        return None
    front, back = (int(ratio) for ratio in whole_numbers(rows["ratio"]))
    return Vertical((front, back), speeds, offsets, rows["endless"])
