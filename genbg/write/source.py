"""The machine's bytes as source: GNU m68k assembler, C99 and the header that both share.

A *table* is a run of numbers under one name. Both languages are written from the same list of
tables, so they can't differ. Tile numbers have `tile_base` added here, unlike in the .bin files.
The texts around the numbers, the scroll routine among them, lie in `templates/`.

A *run* is a stretch of neighbouring screen lines on which a plane moves at one speed.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path
from string import Template

import numpy as np

from genbg.model import BACK, FRONT, Backdrop
from genbg.write.about import WORD, fields, registers
from genbg.write.cycles import front_and_back_runs
from genbg.write.loaded import placed, tile_rows
from genbg.write.machine_bytes import split_words, wave_bytes
from genbg.write.source_constants import Constant, constants
from genbg.write.sprite_bytes import PLACED_BYTES, pack_placed

TEMPLATES = Path(__file__).with_name("templates")

PLACED_WORD = 3
"""Which of the eight words of a sprite is."""

SPRITE_WORD = 2
"""Which of the four words of a sprite table entry is laid out as a map word."""


@dataclass(frozen=True, eq=False)
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
    """Yield (path relative to DIR, bytes) of the source of data and driver.

    Raises BytesError where a tile number with tile_base added passes 2047.
    """
    data, known = tables(backdrop), constants(backdrop, front_and_back_runs(backdrop))
    texts = {
        "backdrop.s": {
            "constants": equates(known),
            "data": assembler_data(data, backdrop.label.prefix),
            "motion": routine_text(backdrop),
        },
        "backdrop.c": {"data": c_data(data, backdrop.label.prefix)},
        "backdrop.h": {"constants": defines(known), "optional": declarations(backdrop, data)},
        "driver.s": {
            "motion": template("move.s") + template("sway.s"),
            "about": assembler_about(backdrop),
        },
        "driver.h": {},
    }
    for path, parts in texts.items():
        language = path[-1]
        yield f"machine/{path}", fill(path, backdrop, **parts, **ways(backdrop, language))


def routine_text(backdrop: Backdrop) -> str:
    """Return the code that backdrop.s shares with the driver, as far as it needs it."""
    return template("move.s") + (template("sway.s") if backdrop.moves.waves else "")


def ways(backdrop: Backdrop, language: str) -> dict[str, str]:
    """Return what a template says of vertical scroll and waves; empty where there are none.

    language: the last letter of the file's name
    """
    parts = {"sway": "", "sway_call": "", "rise": "", "more": "", "about_y": "", "runs_of": ""}
    parts |= {"top_front": "0", "top_back": "0"}
    tall, waves = backdrop.moves.vertical is not None, bool(backdrop.moves.waves)
    if tall:
        parts |= TALL[language]
        parts["more"] = ", int32_t camera_y"
    if waves:
        parts |= {"sway_call": WAVED[language]}
        parts["sway"] = template("sway.c") if language == "c" else ""
    if language == "c" and tall | waves:
        parts |= {"top_front": "top[0]", "top_back": "top[1]"}
        parts["rise"] = parts["rise"] or FLAT_C
    return parts


FLAT_C = "    static const uint16_t top[2] = { 0, 0 };\n"
TALL = {
    "s": {
        "about_y": "|   camera_y  as camera_x\n",
        "rise": """        move.l  60(%sp),%d6             | camera_y
        move.l  %d6,%d5
        swap    %d5
        lea     .Lratio_y(%pc),%a0
        bsr     .Lscale
        swap    %d2
        andi.w  #${NAME}_PLANE_ROWS*8-1,%d2
        move.w  %d2,(%sp)
        bsr     .Lscale
        swap    %d2
        andi.w  #${NAME}_PLANE_ROWS*8-1,%d2
        move.w  %d2,2(%sp)
        bra.s   .Lrisen
.Lratio_y:
        .long   ${NAME}_RATIO_Y_FRONT, ${NAME}_RATIO_Y_BACK
.Lrisen:
""",
    },
    "c": {
        "rise": """    uint16_t top[2], last = ${NAME}_PLANE_ROWS * 8 - 1;
    top[0] = (uint16_t)(scale(${NAME}_RATIO_Y_FRONT, camera_y) >> 16) & last;
    top[1] = (uint16_t)(scale(${NAME}_RATIO_Y_BACK, camera_y) >> 16) & last;
""",
    },
    "h": {
        "about_y": " * camera_y: as camera_x; the runs are those of plane lines, and the screen's\n"
        " *   line 0 shows plane line floor(ratio_y * camera_y)\n",
        "runs_of": "/* Here the runs are those of all lines of the planes. */\n",
    },
}
WAVED = {
    "s": """        lea     ${name}_waves,%a0
        movea.l 48(%sp),%a1
        movea.l %sp,%a2
        move.l  56(%sp),%d5
        move.w  #${NAME}_WAVES-1,%d6
        bsr     .Lsway
""",
    "c": "    sway(table, frame, top);\n",
    "h": "",
}
"""Code for planes that move up and down, and for waves, by the last letter of a file's name."""


def tables(backdrop: Backdrop) -> list[Table]:
    """Return all tables of a backdrop in the order they are written."""
    front, back = front_and_back_runs(backdrop)
    moods = np.concatenate([np.asarray(words) for words in backdrop.colours.palettes.values()])
    speeds = np.concatenate([backdrop.moves.speeds.ratio, backdrop.moves.speeds.drift], axis=1)
    found = [
        Table("registers", "u16", registers(backdrop), 8, "Register words; 0 ends them."),
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


def assembler_data(data: Iterable[Table], prefix: str) -> str:
    """Return the tables as GNU assembler directives."""
    parts = []
    for table in data:
        name = f"{prefix}_{table.name}"
        head = f"| {table.about}\n        .balign 2\n        .globl  {name}\n"
        rows = [f"        {line}" for line in assembler_lines(table)]
        parts.append(f"{head}{name}:\n" + "\n".join(rows))
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


def c_data(data: Iterable[Table], prefix: str) -> str:
    """Return the tables as C99 definitions."""
    types = {
        "u16": "uint16_t",
        "s16": "int16_t",
        "u32": "uint32_t",
        "s32": "int32_t",
        "run": f"struct {prefix}_run",
    }
    parts = []
    for table in data:
        if table.kind == "run":
            rows = [f"    {{ {', '.join(map(str, row))} }}" for row in table.values.tolist()]
        else:
            rows = [f"    {', '.join(row)}" for row in rows_of(table)]
        head = f"const {types[table.kind]} {prefix}_{table.name}[] = {{\n"
        parts.append(head + ",\n".join(rows) + "\n};")
    return "\n\n".join(parts)


def rows_of(table: Table) -> Iterator[list[str]]:
    """Yield a table's numbers as text, hexadecimal where they are unsigned."""
    form = {"u16": "0x%04X", "s16": "%d", "u32": "0x%08X", "s32": "%d"}[table.kind]
    texts = [form % value for value in np.asarray(table.values).reshape(-1).tolist()]
    for at in range(0, len(texts), table.columns):
        yield texts[at : at + table.columns]


def assembler_about(backdrop: Backdrop) -> str:
    """Return the table that the driver reads, for the assembler."""
    prefix = backdrop.label.prefix
    lines = ["        .section .rodata", "        .balign 2", f"{prefix}_about:"]
    for kind, name, value in fields(backdrop):
        shown = f"{prefix}_{value}" if isinstance(value, str) else int(value or 0)
        directive = ".short " if kind == WORD else ".long  "
        lines.append(f"        {directive} {shown!s:<20} | {name}")
    return "\n".join(lines) + "\n"


def declarations(backdrop: Backdrop, data: Iterable[Table]) -> str:
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


def fill(path: str, backdrop: Backdrop, **parts: str) -> bytes:
    """Return a template of `templates/` with its places filled, as UTF-8."""
    prefix = backdrop.label.prefix
    names = {"name": prefix, "NAME": prefix.upper()}
    named = {key: Template(part).substitute(names) for key, part in parts.items() if "$" in part}
    title = comment_text(backdrop.title)
    return Template(template(path)).substitute({**parts, **named, **names, "title": title}).encode()


def template(name: str) -> str:
    """Return the text of a template of `templates/`."""
    return (TEMPLATES / name).read_text("utf-8")
