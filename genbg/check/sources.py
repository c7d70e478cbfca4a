"""The exported source, its numbers read out of the text and put side by side with the bytes."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator

import numpy as np

from genbg.check.listing import Export
from genbg.errors import BytesError
from genbg.hardware.words import words_to_bytes
from genbg.model import BACK, FRONT, Backdrop
from genbg.write.about import registers
from genbg.write.cycles import front_and_back_runs
from genbg.write.source_constants import constants

DIRECTIVES = {".short": (2,), ".long": (4,)}
C_TYPES = {
    "uint16_t": (2,),
    "int16_t": (2,),
    "uint32_t": (4,),
    "int32_t": (4,),
    "struct backdrop_run": (2, 4, 4),
}
"""Bytes of the numbers that follow one another in a table of each kind."""

C_TABLE = re.compile(r"const (\w+(?: \w+)?) backdrop_(\w+)\[\] = \{")
C_TABLE_END = "};"
NUMBER = re.compile(r"-?(?:0x[0-9A-F]+|0|[1-9][0-9]*)")


def check(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield tables and constants of the source that differ from the machine's bytes."""
    expected = expected_tables(export, backdrop)
    prefix = backdrop.label.prefix
    stated = {
        neutral(name, prefix): value
        for name, value, _ in constants(backdrop, front_and_back_runs(backdrop))
    }
    for name, tables_of in (("backdrop.s", assembler_tables), ("backdrop.c", c_tables)):
        path = f"machine/{name}"
        try:
            yield from table_faults(path, tables_of(text_of(export, path, prefix)), expected)
        except BytesError as error:
            yield f"{path}: {error}"
    for name, form in (
        ("backdrop.h", r"^#define (BACKDROP_\w+) (-?\d+)"),
        ("backdrop.s", r"^ *\.equ +(BACKDROP_\w+), (-?\d+)"),
    ):
        path = f"machine/{name}"
        text = text_of(export, path, prefix)
        found = {key: int(value) for key, value in re.findall(form, text, re.M)}
        for key in sorted(found.items() ^ stated.items()):
            yield f"{path}: {key[0]}: {found.get(key[0])}; the export says {stated.get(key[0])}"


def neutral(text: str, prefix: str) -> str:
    """Return a text whose names begin with "backdrop", whatever prefix the export has."""
    small = re.sub(rf"\b{prefix}_", "backdrop_", text)
    return re.sub(rf"\b{prefix.upper()}_", "BACKDROP_", small)


def text_of(export: Export, path: str, prefix: str) -> str:
    """Return a file as text with neutral names; BytesError where it is not UTF-8."""
    try:
        return neutral(export.data[path].decode("utf-8"), prefix)
    except UnicodeDecodeError as error:
        raise BytesError(f"{path}: is not UTF-8 text: {error.reason}") from None


def expected_tables(export: Export, backdrop: Backdrop) -> dict[str, bytes]:
    """Return {name: bytes} of what the source has to hold, tile_base added to tile numbers."""
    base = backdrop.tiles.base
    data, moods = export.data, export.table["moods"]
    expected = {name: data[f"machine/{name}.bin"] for name in ("tiles", "palette", "speeds")}
    expected["registers"] = words_to_bytes(registers(backdrop))
    expected["front_map"] = words_to_bytes(backdrop.maps[FRONT].astype(np.int64) + base)
    expected["back_map"] = words_to_bytes(backdrop.maps[BACK].astype(np.int64) + base)
    expected["moods"] = b"".join(data[f"machine/moods/{mood}.bin"] for mood in moods)
    for plane, name in ((FRONT, "front_runs"), (BACK, "back_runs")):
        expected[name] = run_bytes(backdrop, plane)
    if backdrop.sprites.table is not None:
        words = np.ascontiguousarray(backdrop.sprites.table).view(">u2").astype(np.int64)
        words[:, 2] += base
        expected["sprites"] = words_to_bytes(words)
    if backdrop.sprites.placed is not None:
        piece = np.frombuffer(data["machine/pieces.bin"], dtype=">u2").astype(np.int64)
        piece[3::8] += base
        expected["pieces"] = words_to_bytes(piece)
    for name in ("plane_speeds", "columns"):
        if f"machine/{name}.bin" in data:
            expected[name] = data[f"machine/{name}.bin"]
    if backdrop.colours.splits:
        expected["splits"] = data["machine/splits.bin"]
        splits = [data[f"machine/moods/{mood}.splits.bin"] for mood in moods]
        expected["mood_splits"] = b"".join(splits)
    if backdrop.moves.waves:
        expected["waves"] = data["machine/waves.bin"]
    if backdrop.colours.scripts:
        expected["motion"] = data["machine/motion.bin"]
        scripts = [data[f"machine/moods/{mood}.motion.bin"] for mood in moods]
        expected["mood_motion"] = b"".join(scripts)
        starts = [sum(len(script) for script in scripts[:n]) // 2 for n in range(len(moods) + 1)]
        expected["motion_starts"] = number_bytes(starts, C_TYPES["uint32_t"])
    return expected


def run_bytes(backdrop: Backdrop, plane: int) -> bytes:
    """Return the runs of equal neighbouring lines of a plane, found line by line."""
    speeds = backdrop.moves.all_speeds
    ratio, drift = speeds.ratio[:, plane], speeds.drift[:, plane]
    runs: list[list[int]] = []
    for line in zip(ratio.tolist(), drift.tolist(), strict=True):
        if runs and tuple(runs[-1][1:]) == line:
            runs[-1][0] += 1
        else:
            runs.append([1, *line])
    numbers = [number for run in [*runs, [0, 0, 0]] for number in run]
    return number_bytes(numbers, C_TYPES["struct backdrop_run"])


def number_bytes(numbers: Iterable[int], sizes: tuple[int, ...]) -> bytes:
    """Return numbers, signed or not, as big-endian bytes of `sizes` over and over.

    Raises BytesError for a number that does not fit.
    """
    parts = []
    for place, number in enumerate(numbers):
        size = sizes[place % len(sizes)]
        if not -(1 << 8 * size - 1) <= number < 1 << 8 * size:
            raise BytesError(f"the number {number} does not fit {size} bytes")
        parts.append((number % (1 << 8 * size)).to_bytes(size, "big"))
    return b"".join(parts)


def assembler_tables(text: str) -> dict[str, bytes]:
    """Return {name: bytes} of the tables of the assembler source, up to its code."""
    parts: dict[str, list[bytes]] = {}
    name = ""
    for line in text.partition("        .text\n")[0].splitlines():
        code = line.partition("|")[0].strip()
        if code.endswith(":"):
            name = code[:-1].removeprefix("backdrop_")
            parts[name] = []
        directive, _, numbers = code.partition(" ")
        if directive in DIRECTIVES and name:
            parts[name].append(number_bytes(whole_numbers(numbers), DIRECTIVES[directive]))
    return {name: b"".join(found) for name, found in parts.items()}


def c_tables(text: str) -> dict[str, bytes]:
    """Return {name: bytes} of the tables of the C source; a table without an end is none."""
    tables: dict[str, bytes] = {}
    head, body = None, list[str]()
    for line in text.splitlines():
        begun = C_TABLE.fullmatch(line)
        if begun:
            head, body = begun, []
        elif line != C_TABLE_END:
            body.append(line)
        elif head is not None:
            kind, name = head.groups()
            if kind not in C_TYPES:
                raise BytesError(f"backdrop_{name} is of the unknown type {kind}")
            tables[name] = number_bytes(whole_numbers("\n".join(body)), C_TYPES[kind])
            head = None
    return tables


def whole_numbers(text: str) -> list[int]:
    """Return the numbers of a list, decimal or hexadecimal, of at most 11 characters each.

    Raises BytesError for anything else between commas, braces and blanks.
    """
    words = re.sub(r"[\s,{}]+", " ", text).split()
    for word in words:
        if len(word) > 11 or not NUMBER.fullmatch(word):
            raise BytesError(f'"{word[:20]}" is not a number')
    return [int(word, 0) for word in words]


def table_faults(path: str, found: dict[str, bytes], expected: dict[str, bytes]) -> Iterator[str]:
    """Yield tables that are missing, unknown or differ."""
    for name in sorted(found.keys() | expected.keys()):
        if name not in found:
            yield f"{path}: backdrop_{name} is missing"
        elif name not in expected:
            yield f"{path}: backdrop_{name} is not a table of this export"
        elif found[name] != expected[name]:
            yield f"{path}: backdrop_{name} does not hold the same numbers as the bytes"
