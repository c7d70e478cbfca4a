"""The manifest, backdrop.json: what an export is, where it came from, and every file's hash.

The same backdrop gives the same bytes: no clock, no path of the machine it was made on, keys in a
stated order. (Another deflate library packs PNGs otherwise; then their sizes and hashes differ, and
`pixels_sha256` does not.) Measured figures are rounded to 6 significant digits, so that the last
bits of a floating-point sum never show. Numbers that decide a pixel are exact.
`backdrop.schema.json`, which lies in the package, says the same in JSON Schema.
"""

from __future__ import annotations

import dataclasses
import hashlib
import json
import math
import re
from collections.abc import Mapping, Sequence
from fractions import Fraction
from pathlib import Path
from typing import Any

import numpy as np

from genbg import __version__
from genbg.errors import BytesError
from genbg.hardware.memory import plan_memory
from genbg.hardware.scroll_table import PAIR_BYTES
from genbg.hardware.sizes import ONE, PLANE_NAMES
from genbg.model import Backdrop, EngineLayer, Wave
from genbg.write.costs import all_costs
from genbg.write.cycles import scroll_cycles
from genbg.write.unpacked import unpacked_sha256

NAME = "backdrop.json"
FORMAT = 1
"""Rises when a key of the manifest changes its meaning."""

FIGURE_DIGITS = 6
"""Significant digits of a measured figure."""

NO_SEAL = "0" * 64
SEAL = re.compile(rb'"[0-9a-f]{64}"\n}\n')
SEAL_END = 64 + 5
"""The last bytes of a manifest: its own hash in quotes, a line feed, a brace, a line feed."""

FileRow = tuple[str, int, str] | tuple[str, int, str, str]
"""Path relative to DIR, bytes, SHA-256 in hex, and of a PNG `unpacked_sha256`."""


def file_row(path: str, data: bytes) -> FileRow:
    """Return the row of a file."""
    row = path, len(data), hashlib.sha256(data).hexdigest()
    pixels = unpacked_sha256(data)
    return row if pixels is None else (*row, pixels)


def manifest_bytes(backdrop: Backdrop, files: Sequence[FileRow]) -> bytes:
    """Return backdrop.json: UTF-8, two blanks a level, a line feed at the end.

    files: (path, length in bytes, SHA-256 in hex) of every other file of the export
    Raises BytesError where `facts` hold something that JSON can't say.
    """
    table = manifest_table(backdrop, files)
    table["manifest_sha256"] = NO_SEAL
    text = (json.dumps(table, indent=2, ensure_ascii=False, allow_nan=False) + "\n").encode()
    return reseal(text, hashlib.sha256(text).hexdigest())


def reseal(data: bytes, digits: str) -> bytes:
    """Return a manifest's bytes with the 64 digits of its own hash, its last key, replaced.

    The hash is that of the bytes with 64 zeros in their place, so that it can lie in the file.
    Raises BytesError where the bytes do not end in such a hash.
    """
    head, digest = data[:-SEAL_END], data[-SEAL_END:]
    if not SEAL.fullmatch(digest):
        raise BytesError(f"{NAME}: does not end in its own hash, manifest_sha256")
    return head + digest[:1] + digits.encode() + digest[-4:]


def manifest_table(backdrop: Backdrop, files: Sequence[FileRow]) -> dict[str, Any]:
    """Return the manifest as plain JSON values, keys in the order they are written."""
    return {
        "format": FORMAT,
        "version": __version__,
        "title": backdrop.title,
        "name": backdrop.name,
        "seed": int(backdrop.seed),
        "mood": backdrop.mood,
        "moods": list(backdrop.colours.palettes),
        "label": dataclasses.asdict(backdrop.label),
        "machine": machine_table(backdrop),
        "tile_base": int(backdrop.tiles.base),
        "tiles": {
            "before": int(backdrop.tiles.before),
            "stored": len(backdrop.tiles.pixels),
            "budget": int(backdrop.tiles.budget),
        },
        "error": error_table(backdrop),
        "curve": [[int(tiles), figure(mse)] for tiles, mse in backdrop.tiles.curve.tolist()],
        "layers": [layer_table(layer) for layer in backdrop.layers],
        "splits": [split_table(backdrop, number) for number in range(len(backdrop.colours.splits))],
        "waves": [wave_table(wave) for wave in backdrop.moves.waves],
        "motion": motion_table(backdrop),
        "sprites": sprite_table(backdrop),
        "vertical": vertical_table(backdrop),
        "preview": preview_table(backdrop),
        "memory": memory_table(backdrop),
        "costs": cost_table(backdrop),
        "facts": figure_table(backdrop),
        "warnings": list(backdrop.warnings),
        "files": [
            dict(zip(("path", "bytes", "sha256", "pixels_sha256"), row, strict=False))
            for row in sorted(files)
        ],
    }


def error_table(backdrop: Backdrop) -> dict[str, Any]:
    """Return what merging cost, and in `asked` what fit and merging cost in each mood."""
    error = dataclasses.asdict(backdrop.proof.error)
    table: dict[str, Any] = {name: figure(value) for name, value in error.items()}
    asked = backdrop.proof.asked.items()
    return {**table, "asked": {mood: plain(one, "error.asked") for mood, one in asked}}


def figure_table(backdrop: Backdrop) -> dict[str, Any]:
    """Return the measured figures, those that there are."""
    figures = dataclasses.asdict(backdrop.proof.figures)
    return {name: plain(value, name) for name, value in figures.items() if value is not None}


def machine_table(backdrop: Backdrop) -> dict[str, Any]:
    """Return the machine profile field by field, with what this backdrop makes of it."""
    machine = backdrop.machine
    names = [field.name for field in dataclasses.fields(machine) if field.name != "mode"]
    table = {name: plain(getattr(machine, name), f"machine.{name}") for name in names}
    table["mode"] = machine.mode.name
    table["window"] = (
        None if backdrop.moves.window is None else [int(line) for line in backdrop.moves.window]
    )
    table["backdrop_entry"] = int(backdrop.colours.backdrop_entry)
    return table


def memory_table(backdrop: Backdrop) -> dict[str, Any]:
    """Return where everything lies in video memory, by address, and what is left for tiles."""
    window = backdrop.moves.window is not None
    plan = plan_memory(backdrop.machine, len(backdrop.tiles.pixels), window, backdrop.has_sprites)
    areas = [{"name": area.name, "start": area.start, "bytes": area.size} for area in plan.areas]
    return {
        "bytes": backdrop.machine.mode.video_bytes,
        "areas": areas,
        "patterns_fit": plan.capacity,
        "patterns_free": plan.tiles_free,
    }


def cost_table(backdrop: Backdrop) -> dict[str, Any]:
    """Return what the backdrop costs a game: cycles and bytes of scrolling, and the whole table."""
    return {
        "scroll_cycles": scroll_cycles(backdrop),
        "scroll_bytes": backdrop.machine.screen[1] * PAIR_BYTES,
        "table": [cost.plain for cost in all_costs(backdrop)],
    }


def layer_table(layer: EngineLayer) -> dict[str, Any]:
    """Return a layer's place and speed; ratio and drift at its first and last line."""
    return {
        "name": layer.name,
        "plane": layer.plane,
        "high": bool(layer.priority),
        "lines": [int(layer.top), int(layer.top) + len(layer.number)],
        "ratio": [figure(layer.ratio[0]), figure(layer.ratio[-1])],
        "drift": [figure(layer.drift[0]), figure(layer.drift[-1])],
        "period": int(layer.period),
        "ratio_y": figure(layer.ratio_y),
    }


def sprite_table(backdrop: Backdrop) -> dict[str, int] | None:
    """Return how many sprites there are and what the game keeps; None where there are none."""
    if backdrop.sprites.placed is None:
        return None
    screen, line, pixels = (int(kept) for kept in backdrop.sprites.reserve)
    return {
        "pieces": len(backdrop.sprites.placed.x),
        "reserve": screen,
        "reserve_line": line,
        "reserve_pixels": pixels,
    }


def vertical_table(backdrop: Backdrop) -> dict[str, Any] | None:
    """Return how the planes move up and down; None where they never do."""
    vertical = backdrop.moves.vertical
    if vertical is None:
        return None
    return {
        "ratio": [exact(Fraction(int(ratio), ONE)) for ratio in vertical.ratio],
        "column_frames": 0 if vertical.offsets is None else len(vertical.offsets),
        "endless": bool(vertical.endless),
    }


def split_table(backdrop: Backdrop, number: int) -> dict[str, int]:
    """Return where a colour rewrite stands and how many entries it changes."""
    split = backdrop.colours.splits[number]
    count = len(split.words[backdrop.mood])
    return {"line": int(split.line), "first": int(split.first), "count": count}


def wave_table(wave: Wave) -> dict[str, Any]:
    """Return where a wave is, how far it sways, its period and what a line adds to its phase."""
    return {
        "plane": PLANE_NAMES[wave.plane],
        "lines": [int(wave.top), int(wave.bottom)],
        "pixels": int(np.abs(wave.offsets.astype(int)).max()),
        "frames": int(wave.frames),
        "step": int(wave.step),
    }


def motion_table(backdrop: Backdrop) -> dict[str, int] | None:
    """Return after how many frames all colours are as before; None where none moves."""
    if not backdrop.colours.scripts:
        return None
    script = backdrop.colours.scripts[backdrop.mood]
    return {"frames": int(script[0]), "words": len(script)}


def preview_table(backdrop: Backdrop) -> dict[str, Any]:
    """Return how the preview is played; with `returns` it plays there and back again."""
    preview = backdrop.preview
    return {
        "frames": int(preview.frames),
        "fps": exact(preview.fps),
        "camera_step": exact(preview.camera_step),
        "returns": bool(preview.returns),
        "camera_y": None
        if preview.camera_y is None
        else [exact(Fraction(int(y), ONE)) for y in preview.camera_y],
    }


def figure(value: float, digits: int = FIGURE_DIGITS) -> float | int | None:
    """Return a measured figure rounded to 6 significant digits; None where it is not finite."""
    value = float(value)
    if not math.isfinite(value):
        return None
    return float(f"{value:.{digits - 1}e}") + 0.0


def exact(value: Fraction) -> float | int:
    """Return a fraction as the JSON number nearest to it; whole numbers stay whole."""
    value = Fraction(value)
    return int(value) if value.denominator == 1 else float(value)


def plain(value: Any, where: str) -> Any:
    """Return a value as plain JSON: figures rounded, arrays as lists, dataclasses as tables.

    Raises BytesError naming `where` for what JSON has no word for.
    """
    if value is None or isinstance(value, str | bool):
        return value
    if isinstance(value, np.generic | np.ndarray):
        return plain(value.tolist(), where)
    if isinstance(value, int):
        return value
    if isinstance(value, Fraction):
        return exact(value)
    if isinstance(value, float):
        return figure(value)
    if dataclasses.is_dataclass(value) and not isinstance(value, type):
        value = {f.name: getattr(value, f.name) for f in dataclasses.fields(value)}
    if isinstance(value, Mapping):
        return {str(key): plain(item, f"{where}.{key}") for key, item in value.items()}
    if isinstance(value, Sequence) and not isinstance(value, bytes):
        return [plain(item, f"{where}[{at}]") for at, item in enumerate(value)]
    raise BytesError(f"{NAME}: {where} is a {type(value).__name__}, which JSON can't hold")


def schema() -> dict[str, Any]:
    """Return the JSON Schema (Draft 2020-12) of the manifest, as it lies in the package."""
    text = (Path(__file__).parents[1] / "backdrop.schema.json").read_text("utf-8")
    return json.loads(text)
