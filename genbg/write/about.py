"""What the driver reads of a backdrop: registers, places in video memory, where each table lies.

The same list of fields becomes a table of the assembler source, one of the C source, and bytes of
the cartridge image; the driver's A_ constants name their places. A field is a word or a long; its
value is a number, or the name of a table whose address stands there, or None for no address.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from genbg.errors import BytesError
from genbg.hardware.memory import MemoryPlan, plan_memory
from genbg.hardware.profile import SCROLLS
from genbg.hardware.sizes import SCROLL_MASK, TILE_NUMBER_MASK
from genbg.hardware.tile import TILE_BYTES
from genbg.hardware.words import words_to_bytes
from genbg.model import BACK, FRONT, Backdrop
from genbg.write.loaded import placed, tile_rows

LONG, WORD, ADDRESS = "long", "word", "address"

Field = tuple[str, str, int | str | None]
"""Kind, name, value; the value of an address is a table's name or None."""

NOWHERE = -1
"""Address of what a backdrop does not have."""

LAST_TILE = TILE_NUMBER_MASK
WINDOW_BELOW = 0x80
PAIRS = {"none": 0, "plane": 1, "column": 20}
SIDES = {32: 0, 64: 1, 128: 3}
BLOCK_BYTES = 1756 + 128
"""Bytes of a block before the words of rewrites, as the B_ constants of driver.s have it."""
ABOVE_THE_SCREEN = 96
"""A sprite whose vertical word is at most this ends above the screen, however tall it is."""


def memory(backdrop: Backdrop) -> MemoryPlan:
    """Return where everything lies in video memory."""
    return plan_memory(
        backdrop.machine,
        len(backdrop.tiles.pixels),
        backdrop.moves.window is not None,
        backdrop.has_sprites,
    )


def place(plan: MemoryPlan, name: str) -> int:
    """Return where an area begins, or NOWHERE."""
    return next((area.start for area in plan.areas if area.name == name), NOWHERE)


def registers(backdrop: Backdrop) -> np.ndarray:
    """Return the words (n,) that set the registers, 0 at the end; the one that lights the screen
    comes first.

    Common practice, no source: bits 15-13 100, 12-8 the register, 7-0 its value.
    """
    machine, plan = backdrop.machine, memory(backdrop)
    width, lines = machine.screen
    scroll = {"line": 3, "strip": 2, "plane": 0}[machine.scroll]
    columns, rows = machine.plane_cells
    values = {
        1: 0x74 | 8 * (lines == machine.tall_lines),
        0: 0x04 | 0x10 * bool(backdrop.colours.splits),
        2: place(plan, "front map") >> 10,
        3: max(0, place(plan, "window map")) >> 10,
        4: place(plan, "back map") >> 13,
        5: sprite_table(backdrop, plan) >> 9,
        7: backdrop.colours.backdrop_entry,
        10: 0,
        11: 4 * (machine.vertical == "column") | scroll,
        12: 0x81 if width == machine.mode.widths[-1].pixels else 0,
        13: place(plan, "scroll table") >> 10,
        15: 2,
        16: SIDES[rows] << 4 | SIDES[columns],
        17: 0,
        18: window_value(backdrop),
    }
    return np.array([0x8000 | number << 8 | value for number, value in values.items()] + [0])


def window_value(backdrop: Backdrop) -> int:
    """Return which rows of cells the window covers: those above a row, or those from it on."""
    if backdrop.moves.window is None:
        return 0
    top, bottom = (line // 8 for line in backdrop.moves.window)
    return bottom if top == 0 else WINDOW_BELOW | top


def sprite_table(backdrop: Backdrop, plan: MemoryPlan) -> int:
    """Return the address of the sprite table; without sprites, of bytes that show none.

    Raises BytesError where video memory is so full that there are no such bytes.
    """
    if backdrop.has_sprites:
        return place(plan, "sprite table")
    video = picture_of_memory(backdrop, plan)
    for start in range(0, len(video), backdrop.machine.width.sprite_align):
        word, link = int.from_bytes(video[start : start + 2]) & SCROLL_MASK, video[start + 3] & 0x7F
        if word <= ABOVE_THE_SCREEN and not link:
            return start
    raise BytesError(
        "registers: no place in video memory for an empty sprite table; lower machine.tile_budget"
    )


def picture_of_memory(backdrop: Backdrop, plan: MemoryPlan) -> bytes:
    """Return video memory as the driver loads it, scroll words as ones."""
    base = backdrop.tiles.base
    video = bytearray(backdrop.machine.mode.video_bytes)
    parts = {
        "patterns": tile_rows(backdrop.tiles.pixels).astype(">u4").tobytes(),
        "front map": words_to_bytes(placed(backdrop.maps[FRONT], base)),
        "back map": words_to_bytes(placed(backdrop.maps[BACK], base)),
    }
    for area in plan.areas:
        data = parts.get(area.name, b"\xff" * area.size)
        video[area.start : area.start + len(data)] = data
    return bytes(video)


def blank_pattern(backdrop: Backdrop) -> tuple[int, int]:
    """Return the number of a pattern that shows nothing, and the address to clear for it, or
    NOWHERE where such a pattern is stored.

    Raises BytesError where there is none and no room for one.
    """
    patterns, plan = backdrop.tiles.pixels, memory(backdrop)
    blank = np.flatnonzero(~patterns.reshape(len(patterns), -1).any(axis=1))
    if len(blank):
        return backdrop.tiles.base + int(blank[0]), NOWHERE
    taken = [(area.start, area.end) for area in plan.areas]
    taken.append((sprite_table(backdrop, plan), sprite_table(backdrop, plan) + 8))
    for number in range(min(LAST_TILE + 1, backdrop.machine.mode.video_bytes // TILE_BYTES)):
        start = number * TILE_BYTES
        if all(start + TILE_BYTES <= a or start >= b for a, b in taken):
            return number, start
    raise BytesError(
        "window: no room in video memory for a blank pattern; lower machine.tile_budget by 1"
    )


def blank_word(backdrop: Backdrop) -> int:
    """Return the map word of the blank pattern, 0 where no window asks for one."""
    return blank_pattern(backdrop)[0] if backdrop.moves.window else 0


def fields(backdrop: Backdrop) -> Iterator[Field]:
    """Yield what the driver reads, field by field, as the A_ constants of driver.s have it."""
    yield from memory_fields(backdrop)
    yield from table_fields(backdrop)
    yield from number_fields(backdrop)


def memory_fields(backdrop: Backdrop) -> Iterator[Field]:
    """Yield what is loaded once, and where it goes."""
    plan, (columns, rows) = memory(backdrop), backdrop.machine.plane_cells
    number, cleared = blank_pattern(backdrop) if backdrop.moves.window else (0, NOWHERE)
    yield ADDRESS, "registers", "registers"
    yield ADDRESS, "tiles", "tiles"
    yield LONG, "tile_words", len(backdrop.tiles.pixels) * TILE_BYTES // 2
    yield LONG, "tiles_at", backdrop.tiles.base * TILE_BYTES
    yield ADDRESS, "front_map", "front_map"
    yield LONG, "front_at", place(plan, "front map")
    yield ADDRESS, "back_map", "back_map"
    yield LONG, "back_at", place(plan, "back map")
    yield LONG, "map_words", columns * rows
    yield LONG, "window_at", place(plan, "window map")
    yield WORD, "window_words", backdrop.machine.width.window_bytes // 2
    yield WORD, "blank_word", number
    yield LONG, "blank_at", cleared
    yield LONG, "sprites_at", place(plan, "sprite table")
    yield LONG, "scroll_at", place(plan, "scroll table")


def table_fields(backdrop: Backdrop) -> Iterator[Field]:
    """Yield the tables that frames are worked out from."""
    colours, moves, pieces = backdrop.colours, backdrop.moves, backdrop.sprites.placed
    offsets = None if moves.vertical is None else moves.vertical.offsets
    words = sum(3 + len(split.words[backdrop.mood]) for split in colours.splits)
    yield ADDRESS, "moods", "moods"
    yield ADDRESS, "splits", "mood_splits" if colours.splits else None
    yield WORD, "split_words", words
    yield WORD, "split_count", len(colours.splits)
    yield ADDRESS, "motion", "mood_motion" if colours.scripts else None
    yield ADDRESS, "motion_starts", "motion_starts" if colours.scripts else None
    yield ADDRESS, "front_runs", "front_runs"
    yield ADDRESS, "back_runs", "back_runs"
    yield ADDRESS, "waves", "waves" if moves.waves else None
    yield WORD, "wave_count", len(moves.waves)
    yield WORD, "piece_count", 0 if pieces is None else len(pieces.x)
    yield ADDRESS, "pieces", None if pieces is None else "pieces"
    yield ADDRESS, "columns", None if offsets is None else "columns"
    yield WORD, "column_frames", 0 if offsets is None else len(offsets)


def number_fields(backdrop: Backdrop) -> Iterator[Field]:
    """Yield sizes and ways of scrolling."""
    machine, vertical = backdrop.machine, backdrop.moves.vertical
    ratio = (0, 0) if vertical is None else vertical.ratio
    width, height = machine.plane_px
    yield WORD, "sprite_room", machine.sprites_screen - backdrop.sprites.reserve[0]
    yield LONG, "ratio_y_front", int(ratio[FRONT])
    yield LONG, "ratio_y_back", int(ratio[BACK])
    yield WORD, "lines", machine.screen[1]
    yield WORD, "width", machine.screen[0]
    yield WORD, "plane_lines", height
    yield WORD, "plane_width", width
    yield WORD, "scroll_step", SCROLLS[machine.scroll]
    yield WORD, "vertical", PAIRS[machine.vertical]
    yield WORD, "endless", int(vertical is not None and vertical.endless)
    yield WORD, "home", list(backdrop.colours.palettes).index(backdrop.mood)
    yield WORD, "mood_count", len(backdrop.colours.palettes)
    yield WORD, "gap_bytes", gap_bytes(backdrop)


def gap_bytes(backdrop: Backdrop) -> int:
    """Return the bytes of a list of gaps: two that set up the others, the gaps, an end."""
    splits = backdrop.colours.splits
    colours = sum(len(split.words[backdrop.mood]) for split in splits)
    return 8 + 8 * len({split.line for split in splits}) + 6 * colours + 2


def block_bytes(backdrop: Backdrop) -> int:
    """Return the bytes of main memory that the driver needs."""
    words = sum(3 + len(split.words[backdrop.mood]) for split in backdrop.colours.splits)
    return BLOCK_BYTES + 2 * words + 2 * gap_bytes(backdrop)
