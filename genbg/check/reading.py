"""Second layer: the machine's numbers, decoded from the files' bytes."""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from fractions import Fraction
from typing import Any

import numpy as np

from genbg.check.decode import Reader, check_size, line_speeds, sized
from genbg.check.listing import Export
from genbg.check.reading_sprites import camera_of, placed_of, reserve_of, vertical_of
from genbg.errors import BytesError, GenbgError
from genbg.hardware.profile import ONE_PLANE, TWO_PLANES, Machine
from genbg.hardware.sizes import COLUMN_PAIRS, ENTRIES, TABLE_SPRITES
from genbg.hardware.sprite_entry import ENTRY_BYTES, bytes_to_entries
from genbg.hardware.tile import TILE_BYTES, unpack_tiles
from genbg.hardware.words import bytes_to_words
from genbg.model import (
    AskedFigures,
    Backdrop,
    Border,
    ColourMotion,
    Depths,
    ErrorFigures,
    Fading,
    Figures,
    Flashes,
    Label,
    Moves,
    Preview,
    Proof,
    Reflected,
    ScreenColours,
    Split,
    SpriteSet,
    Tiles,
    Wave,
)

WAVE_BYTES = 5 * 2 + 256
NOTHING = np.zeros((2, 0, 0), dtype=np.uint16)


def read_backdrop(export: Export) -> tuple[Backdrop | None, list[str]]:
    """Return the backdrop that an export holds, and what could not be decoded.

    Its `painted`, `stored` and `layers` are empty: they are not in the machine's bytes. `layers.py`
    reads the layers, where they are asked for.
    """
    table, reader = export.table, Reader(export)
    try:
        machine = machine_of(table["machine"])
    except GenbgError as error:
        return None, [f"backdrop.json: {error}"]
    if table["mood"] not in table["moods"]:
        return None, [f'backdrop.json: mood: "{table["mood"]}" is not one of moods']
    decoded = read_numbers(reader, machine)
    preview = read_preview(reader, machine.screen[1])
    splits = splits_of(reader, table)
    waves = waves_of(reader, table)
    motion = motion_of(reader, table)
    placed, vertical = placed_of(reader, table), vertical_of(reader, table, machine)
    if reader.faults or preview is None:
        return None, reader.faults
    read = {"splits": splits, "waves": waves, "motion": motion, "preview": preview}
    read |= {"placed": placed, "vertical": vertical}
    return backdrop_of(table, machine=machine, **read, **decoded), []


def read_numbers(reader: Reader, machine: Machine) -> dict[str, Any]:
    """Return what a console loads, by the names that `Backdrop` gives it; None where damaged."""
    table, home = reader.export.table, "machine/"
    columns, rows = machine.plane_cells
    moods = {
        mood: reader.read(f"{home}moods/{mood}.bin", sized((ENTRIES,))) for mood in table["moods"]
    }
    return {
        "pixels": reader.read(home + "tiles.bin", lambda data: tiles(data, table)),
        "front_map": reader.read(home + "front.map", sized((rows, columns))),
        "back_map": reader.read(home + "back.map", sized((rows, columns))),
        "palette": reader.read(home + "palette.bin", sized((ENTRIES,))),
        "palettes": moods,
        "speeds": reader.read(
            home + "speeds.bin", lambda data: line_speeds(data, machine.screen[1])
        ),
        "sprites": reader.read_if_there(home + "sprites.bin", bytes_to_entries),
    }


def read_preview(reader: Reader, lines: int) -> Preview | None:
    """Return the preview's dumps; its step is the exact number that the manifest holds."""
    table, home = reader.export.table["preview"], "machine/preview/"
    frames = table["frames"]
    rewritten = sum(3 + split["count"] for split in reader.export.table["splits"])
    scroll = reader.read(home + "scroll.bin", sized((frames, lines, 2)))
    if scroll is None:
        return None
    return Preview(
        fps=decimal(table["fps"]),
        camera_step=Fraction(table["camera_step"]),
        returns=table["returns"],
        scroll=scroll,
        vscroll=reader.read_if_there(home + "vscroll.bin", sized((frames, COLUMN_PAIRS, 2))),
        palette=reader.read_if_there(home + "palette.bin", sized((frames, ENTRIES))),
        sprites=reader.read_if_there(home + "sprites.bin", lambda data: dump(data, frames)),
        splits=reader.read_if_there(home + "splits.bin", sized((frames, rewritten))),
        camera_y=camera_of(reader, table),
    )


def backdrop_of(table: Mapping[str, Any], **decoded: Any) -> Backdrop:
    """Return a backdrop of the manifest's plain numbers and of decoded files."""
    asked = table["error"]["asked"]
    plain = {name: value for name, value in table["error"].items() if name != "asked"}
    error = {name: float("inf") if value is None else value for name, value in plain.items()}
    window, counts, one = table["machine"]["window"], table["tiles"], decoded
    palettes = {**one["palettes"], table["mood"]: one["palette"]}
    return Backdrop(
        title=table["title"],
        name=table["name"],
        seed=table["seed"],
        mood=table["mood"],
        machine=one["machine"],
        tiles=Tiles(
            one["pixels"], table["tile_base"], counts["budget"], counts["before"], curve_of(table)
        ),
        maps=np.stack([one["front_map"], one["back_map"]]),
        colours=ScreenColours(
            palettes, one["splits"], one["motion"], table["machine"]["backdrop_entry"]
        ),
        moves=Moves(
            one["speeds"],
            one["waves"],
            one["vertical"],
            None if window is None else (window[0], window[1]),
        ),
        sprites=SpriteSet(one["sprites"], one["placed"], reserve_of(table)),
        layers=(),
        preview=one["preview"],
        proof=Proof(
            NOTHING,
            NOTHING,
            ErrorFigures(**error),
            figures_of(table["facts"]),
            {mood: AskedFigures(**figures) for mood, figures in asked.items()},
        ),
        warnings=tuple(table["warnings"]),
        label=Label(**table["label"]),
    )


def curve_of(table: Mapping[str, Any]) -> np.ndarray:
    """Return the curve (n, 2) of tiles and error that the manifest states."""
    return np.array(table["curve"], dtype=np.float64).reshape(-1, 2)


def figures_of(facts: Mapping[str, Any]) -> Figures:
    """Return the figures that the manifest states."""
    parts = {
        "depths": Depths,
        "reflection": Reflected,
        "colour_motion": ColourMotion,
        "flashes": Flashes,
        "fade": Fading,
    }
    found: dict[str, Any] = {
        name: kind(**facts[name]) for name, kind in parts.items() if name in facts
    }
    borders = tuple(Border(**border) for border in facts.get("splits", ()))
    plain = {name: facts.get(name) for name in ("sprites_asked", "bound_mse")}
    return Figures(**found, **plain, splits=borders or None)


def machine_of(table: Mapping[str, Any]) -> Machine:
    """Return the machine of a manifest.

    Raises LimitError for a value that it does not have, BytesError for a key or mode unknown.
    """
    modes = {mode.name: mode for mode in (TWO_PLANES, ONE_PLANE)}
    if table["mode"] not in modes:
        raise BytesError(f'machine.mode: "{table["mode"]}"; allowed are {", ".join(modes)}')
    names = {field.name for field in dataclasses.fields(Machine)}
    given = {k: v for k, v in table.items() if k not in ("window", "backdrop_entry", "mode")}
    unknown = sorted(set(given) - names)
    if unknown:
        raise BytesError(f'machine: the key "{unknown[0]}" is unknown')
    given = {k: tuple(v) if isinstance(v, list) else v for k, v in given.items()}
    if "fps" in given:
        given["fps"] = decimal(given["fps"])
    return Machine(**given, mode=modes[table["mode"]])


def decimal(value: float) -> Fraction:
    """Return the plain fraction that a JSON number was written for: 59.92 is 1498/25."""
    return Fraction(str(value)).limit_denominator(1000)


def tiles(data: bytes, table: Mapping[str, Any]) -> np.ndarray:
    """Return the tiles (T, 8, 8) of tiles.bin, as many as the manifest says."""
    check_size(data, table["tiles"]["stored"] * TILE_BYTES)
    return unpack_tiles(data)


def dump(data: bytes, frames: int) -> np.ndarray:
    """Return the sprite tables (F, 80, 8) of the preview."""
    check_size(data, frames * TABLE_SPRITES * ENTRY_BYTES)
    return bytes_to_entries(data).reshape(frames, TABLE_SPRITES, ENTRY_BYTES)


def splits_of(reader: Reader, table: Mapping[str, Any]) -> tuple[Split, ...]:
    """Return the colour rewrites with their words in every mood."""
    shown = reader.read_if_there("machine/splits.bin", read_splits)
    if shown is None:
        if table["splits"]:
            reader.faults.append("machine/splits.bin: is missing")
        return ()
    heads = [(split["line"], split["first"], split["count"]) for split in table["splits"]]
    found: dict[str, list[tuple[int, int, np.ndarray]]] = {}
    for mood in table["moods"]:
        path = f"machine/moods/{mood}.splits.bin"
        rows = reader.read(path, read_splits) or []
        if [(line, first, len(words)) for line, first, words in rows] != heads:
            reader.faults.append(f"{path}: does not rewrite what backdrop.json says under splits")
            return ()
        found[mood] = rows
    if not same_splits(shown, found.get(table["mood"], [])):
        reader.faults.append(f"machine/splits.bin: is not that of the mood {table['mood']}")
    return tuple(
        Split(line, first, {mood: rows[at][2] for mood, rows in found.items()})
        for at, (line, first, _) in enumerate(heads)
    )


def read_splits(data: bytes) -> list[tuple[int, int, np.ndarray]]:
    """Return (line, first entry, colour words) of each rewrite; BytesError for one cut short."""
    words, at = bytes_to_words(data), 0
    found: list[tuple[int, int, np.ndarray]] = []
    while at < len(words):
        line, first, count = (int(word) for word in [*words[at : at + 3], 0, 0][:3])
        colours = words[at + 3 : at + 3 + count]
        if len(colours) != count or not 1 <= count <= ENTRIES - first:
            raise BytesError(
                f"rewrite {len(found)} asks for {count} colours from entry {first} on and "
                f"{len(colours)} follow; allowed are 1 to 64 entries, none past entry 63"
            )
        found.append((line, first, colours))
        at += 3 + count
    return found


def same_splits(one: list[Any], other: list[Any]) -> bool:
    """Return whether two lists of rewrites are equal."""
    plain = [
        [(line, first, words.tolist()) for line, first, words in rows] for rows in (one, other)
    ]
    return plain[0] == plain[1]


def waves_of(reader: Reader, table: Mapping[str, Any]) -> tuple[Wave, ...]:
    """Return the waves, as many as the manifest says."""
    stated = table["waves"]
    if not stated and "machine/waves.bin" not in reader.export.data:
        return ()
    waves = reader.read("machine/waves.bin", lambda data: read_waves(data, len(stated)))
    return waves or ()


def read_waves(data: bytes, count: int) -> tuple[Wave, ...]:
    """Return the waves of waves.bin: plane, first line, lines, frames, step, 256 signed bytes."""
    check_size(data, count * WAVE_BYTES)
    waves = []
    for at in range(0, len(data), WAVE_BYTES):
        plane, top, lines, frames, step = (int(w) for w in bytes_to_words(data[at : at + 10]))
        offsets = np.frombuffer(data[at + 10 : at + WAVE_BYTES], dtype=np.int8)
        waves.append(Wave(plane, top, top + lines, frames, step, offsets))
    return tuple(waves)


def motion_of(reader: Reader, table: Mapping[str, Any]) -> dict[str, np.ndarray]:
    """Return the script of moving colours in every mood."""
    if table["motion"] is None and "machine/motion.bin" not in reader.export.data:
        return {}
    scripts = {
        mood: reader.read(f"machine/moods/{mood}.motion.bin", bytes_to_words)
        for mood in table["moods"]
    }
    shown = reader.read("machine/motion.bin", bytes_to_words)
    own = scripts[table["mood"]]
    if shown is not None and own is not None and not np.array_equal(shown, own):
        reader.faults.append(f"machine/motion.bin: is not that of the mood {table['mood']}")
    return {mood: script for mood, script in scripts.items() if script is not None}
