"""The machine's bytes as source: GNU m68k assembler, C99 and the header that both share.

A *table* is a run of numbers under one name. Both languages are written from the same list of
tables, so they can't differ. Tile numbers have `tile_base` added here, unlike in the .bin files.
The texts around the numbers, the scroll routine among them, lie in `templates/`.

A *run* is a stretch of neighbouring screen lines on which a plane moves at one speed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from pathlib import Path
from string import Template

import numpy as np

from genbg.errors import BytesError
from genbg.model import BACK, FRONT, Backdrop, LineSpeeds
from genbg.records import record
from genbg.write.machine_bytes import split_words, wave_bytes
from genbg.write.source_constants import Constant, constants
from genbg.write.sprite_bytes import PLACED_BYTES, pack_placed

TEMPLATES = Path(__file__).with_name("templates")

NUMBER_BITS = 0x7FF
"""Bits 10-0 of a map word hold the tile number."""

PLACED_WORD = 3
"""Which of the eight words of a sprite is."""

SPRITE_WORD = 2
"""Which of the four words of a sprite table entry is laid out as a map word."""


@record(frozen=True, eq=False)
class Table:
    """Numbers under one name.

    name: without the prefix; kind: "u16", "s16", "u32", "s32" or "run"
    values: flat integers, of a run (lines, ratio, drift) (n, 3); columns: numbers a line of text
    about: one sentence for the assembler source (the header has its own)
    """

    name: str
    kind: str
    values: np.ndarray
    columns: int
    about: str


def files(backdrop: Backdrop) -> Iterator[tuple[str, bytes]]:
    """Yield (path relative to DIR, bytes) of backdrop.s, backdrop.c and backdrop.h.

    Raises BytesError where a tile number with tile_base added passes 2047.
    """
    data, known = tables(backdrop), constants(backdrop, front_and_back_runs(backdrop.moves.speeds))
    title = comment_text(backdrop.title)
    sway_call, sway = sway_parts(backdrop, "s")
    yield (
        "machine/backdrop.s",
        fill(
            "backdrop.s",
            title=title,
            constants=equates(known),
            data=assembler_data(data),
            sway_call=sway_call,
            sway=sway,
        ),
    )
    sway_call, sway = sway_parts(backdrop, "c")
    yield (
        "machine/backdrop.c",
        fill("backdrop.c", title=title, data=c_data(data), sway_call=sway_call, sway=sway),
    )
    yield (
        "machine/backdrop.h",
        fill("backdrop.h", title=title, constants=defines(known), optional=declarations(data)),
    )


def sway_parts(backdrop: Backdrop, language: str) -> tuple[str, str]:
    """Return the call and the code that add waves to the table; nothing where there are none."""
    if not backdrop.moves.waves:
        return "", ""
    call = {"s": "        bsr.w   backdrop_sway\n", "c": "    sway(table, frame);\n"}[language]
    return call, template(f"sway.{language}")


def tables(backdrop: Backdrop) -> list[Table]:
    """Return all tables of a backdrop in the order they are written."""
    front, back = front_and_back_runs(backdrop.moves.speeds)
    moods = np.concatenate([np.asarray(words) for words in backdrop.colours.palettes.values()])
    speeds = np.concatenate([backdrop.moves.speeds.ratio, backdrop.moves.speeds.drift], axis=1)
    found = [
        Table("tiles", "u32", tile_rows(backdrop.tiles.pixels), 8, "Patterns, a long a row."),
        Table(
            "front_map", "u16", placed(backdrop.maps[FRONT], backdrop.tiles.base), 16, "Map words."
        ),
        Table(
            "back_map", "u16", placed(backdrop.maps[BACK], backdrop.tiles.base), 16, "Map words."
        ),
        Table("palette", "u16", backdrop.palette, 16, "Colour memory."),
        Table("moods", "u16", moods, 16, "Colour memory of every mood."),
        Table("speeds", "s32", speeds, 4, "Front ratio, back ratio, front drift, back drift."),
        Table("front_runs", "run", front, 1, "Lines, ratio, drift; 0 lines end the list."),
        Table("back_runs", "run", back, 1, "Lines, ratio, drift; 0 lines end the list."),
    ]
    return found + list(optional_tables(backdrop))


def optional_tables(backdrop: Backdrop) -> Iterator[Table]:
    """Yield the tables that only some backdrops have."""
    if backdrop.sprites.table is not None and len(backdrop.sprites.table):
        words = np.ascontiguousarray(backdrop.sprites.table).view(">u2").astype(np.int64)
        words[:, SPRITE_WORD] = placed(words[:, SPRITE_WORD], backdrop.tiles.base)
        yield Table("sprites", "u16", words, 4, "Sprite table entries, four words each.")
    if backdrop.colours.splits:
        about = "Colour rewrites: line, first entry, count, then that many colour words."
        yield Table("splits", "u16", split_words(backdrop.colours.splits, backdrop.mood), 16, about)
        moods = [split_words(backdrop.colours.splits, mood) for mood in backdrop.colours.palettes]
        yield Table("mood_splits", "u16", np.concatenate(moods), 16, "The same in every mood.")
    if backdrop.moves.waves:
        data = b"".join(wave_bytes(wave) for wave in backdrop.moves.waves)
        about = "Waves: plane, first line, lines, frames, step, then 256 signed bytes."
        yield Table("waves", "u16", np.frombuffer(data, dtype=">u2"), 16, about)
    if backdrop.colours.scripts:
        scripts = [np.asarray(script) for script in backdrop.colours.scripts.values()]
        starts = np.cumsum([0, *(len(script) for script in scripts)])
        about = "Moving colours: period; then frame, count, and that often target and word."
        yield Table("motion", "u16", backdrop.colours.scripts[backdrop.mood], 16, about)
        yield Table("mood_motion", "u16", np.concatenate(scripts), 16, "The same in every mood.")
        yield Table("motion_starts", "u32", starts, 8, "Where each mood's begins; the end.")
    yield from sprite_tables(backdrop)


def sprite_tables(backdrop: Backdrop) -> Iterator[Table]:
    """Yield sprites as a game places them, and what vertical scroll needs."""
    if backdrop.sprites.placed is not None:
        words = np.frombuffer(pack_placed(backdrop.sprites.placed), dtype=">u2").astype(np.int64)
        words = words.reshape(-1, PLACED_BYTES // 2)
        words[:, PLACED_WORD] = placed(words[:, PLACED_WORD], backdrop.tiles.base)
        about = "Sprites: column, line, size, map word, ratio (two words), drift (two words)."
        yield Table("pieces", "u16", words, PLACED_BYTES // 2, about)
    if backdrop.moves.vertical is not None:
        speeds = backdrop.moves.vertical.speeds
        both = np.concatenate([speeds.ratio, speeds.drift], axis=1)
        about = "As backdrop_speeds, for all lines of the planes."
        yield Table("plane_speeds", "s32", both, 4, about)
        if backdrop.moves.vertical.offsets is not None:
            about = "Lines that columns add: frame after frame 20 pairs, front and back."
            yield Table("columns", "s16", backdrop.moves.vertical.offsets, 8, about)


def tile_rows(tiles: np.ndarray) -> np.ndarray:
    """Return tiles (T, 8, 8) as (T * 8,) numbers of 32 bits, the left pixel highest."""
    rows = np.zeros(tiles.shape[:2], dtype=np.int64)
    for column in range(8):
        rows = rows << 4 | tiles[:, :, column]
    return rows.reshape(-1)


def placed(words: np.ndarray, tile_base: int) -> np.ndarray:
    """Return map words (...) whose tile numbers count from tile_base.

    Raises BytesError where a number would pass 2047, the last that a map word can hold.
    """
    words = np.asarray(words, dtype=np.int64)
    numbers = (words & NUMBER_BITS) + tile_base
    if numbers.max(initial=0) > NUMBER_BITS:
        raise BytesError(
            f"source: pattern {int(numbers.max()) - tile_base}, loaded from {tile_base} on, is "
            f"number {int(numbers.max())}; a map word holds at most {NUMBER_BITS}"
        )
    return words & ~NUMBER_BITS | numbers


def front_and_back_runs(speeds: LineSpeeds) -> tuple[np.ndarray, np.ndarray]:
    """Return the runs of both planes, each (n + 1, 3) int64: lines, ratio, drift; the last is 0."""
    return plane_runs(speeds, FRONT), plane_runs(speeds, BACK)


def plane_runs(speeds: LineSpeeds, plane: int) -> np.ndarray:
    """Return (n + 1, 3) int64 lines, ratio, drift of a plane's runs; the last row is 0."""
    lines = np.stack([speeds.ratio[:, plane], speeds.drift[:, plane]], axis=1).astype(np.int64)
    starts = np.flatnonzero(np.r_[True, (lines[1:] != lines[:-1]).any(axis=1)])
    counts = np.diff(np.r_[starts, len(lines)])
    runs = np.concatenate([counts[:, None], lines[starts]], axis=1)
    return np.concatenate([runs, np.zeros((1, 3), dtype=np.int64)])


def assembler_data(data: Iterable[Table]) -> str:
    """Return the tables as GNU assembler directives."""
    parts = []
    for table in data:
        head = f"| {table.about}\n        .balign 2\n        .globl  backdrop_{table.name}\n"
        rows = [f"        {line}" for line in assembler_lines(table)]
        parts.append(f"{head}backdrop_{table.name}:\n" + "\n".join(rows))
    return "\n\n".join(parts)


def assembler_lines(table: Table) -> Iterator[str]:
    """Yield a table's directives, `columns` numbers each."""
    if table.kind == "run":
        for lines, ratio, drift in table.values.tolist():
            yield f".short  {lines}"
            yield f".long   {ratio}, {drift}"
        return
    directive = ".short " if table.kind in ("u16", "s16") else ".long  "
    for row in rows_of(table):
        yield f"{directive} {', '.join(row)}"


def c_data(data: Iterable[Table]) -> str:
    """Return the tables as C99 definitions."""
    types = {
        "u16": "uint16_t",
        "s16": "int16_t",
        "u32": "uint32_t",
        "s32": "int32_t",
        "run": "struct backdrop_run",
    }
    parts = []
    for table in data:
        if table.kind == "run":
            rows = [f"    {{ {', '.join(map(str, row))} }}" for row in table.values.tolist()]
        else:
            rows = [f"    {', '.join(row)}" for row in rows_of(table)]
        head = f"const {types[table.kind]} backdrop_{table.name}[] = {{\n"
        parts.append(head + ",\n".join(rows) + "\n};")
    return "\n\n".join(parts)


def rows_of(table: Table) -> Iterator[list[str]]:
    """Yield a table's numbers as text, hexadecimal where they are unsigned."""
    form = {"u16": "0x%04X", "s16": "%d", "u32": "0x%08X", "s32": "%d"}[table.kind]
    texts = [form % value for value in np.asarray(table.values).reshape(-1).tolist()]
    for at in range(0, len(texts), table.columns):
        yield texts[at : at + table.columns]


def declarations(data: Iterable[Table]) -> str:
    """Return the header's lines for the tables that only some backdrops have.

    The template holds them one after the other, each headed by "@" and the table's name.
    """
    parts = template("optional.h").split("@")[1:]
    text = dict(part.split("\n", 1) for part in parts)
    return "".join(text.get(table.name, "") for table in data)


def equates(known: Iterable[Constant]) -> str:
    """Return the constants for the assembler, seen by other files too."""
    lines = []
    for name, value, about in known:
        lines += [f"        .globl  {name}", f"        .equ    {name}, {value:<15d} | {about}"]
    return "\n".join(lines)


def defines(known: Iterable[Constant]) -> str:
    """Return the constants for C."""
    return "\n".join(f"#define {name} {value} /* {about} */" for name, value, about in known)


def comment_text(title: str) -> str:
    """Return a title that can't end a comment, start another one or break a line."""
    kept = re.sub(r"[^\w ,.'()!&:-]", "_", title)
    return re.sub(r"\s+", " ", kept).strip() or "untitled"


def fill(name: str, **parts: str) -> bytes:
    """Return a template of `templates/` with its places filled, as UTF-8."""
    return Template(template(name)).substitute(parts).encode()


def template(name: str) -> str:
    """Return the text of a template of `templates/`."""
    return (TEMPLATES / name).read_text("utf-8")
