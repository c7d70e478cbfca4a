"""The constants of the exported source: sizes, addresses in video memory, cost of the routine."""

from __future__ import annotations

import re

import numpy as np

from genbg.hardware.memory import plan_memory
from genbg.model import Backdrop
from genbg.write.about import blank_word, block_bytes
from genbg.write.cycles import scroll_cycles

Constant = tuple[str, int, str]
"""Name, value, what it is."""


def constants(backdrop: Backdrop, runs: tuple[np.ndarray, np.ndarray]) -> list[Constant]:
    """Return (name, value, about) of every constant, in the order they are written.

    runs: both planes' runs, each with its closing row
    """
    _, rows, columns = backdrop.maps.shape
    width, lines = backdrop.machine.screen
    found = [
        ("TILES", len(backdrop.tiles.pixels), "patterns of 32 bytes"),
        ("TILE_BASE", backdrop.tiles.base, "pattern number at which they are loaded"),
        ("TILES_ADDRESS", backdrop.tiles.base * 32, "the same in video memory"),
        ("PLANE_COLUMNS", columns, "cells of 8 pixels in a plane's row"),
        ("PLANE_ROWS", rows, "rows of cells in a plane"),
        ("SCREEN_WIDTH", width, "pixels"),
        ("LINES", lines, "screen lines"),
        ("ENTRY", backdrop.colours.backdrop_entry, "colour entry behind everything"),
        ("FRONT_RUNS", len(runs[0]) - 1, "runs of lines at one speed, front plane"),
        ("BACK_RUNS", len(runs[1]) - 1, "the same, back plane"),
        ("BLOCK_BYTES", block_bytes(backdrop), "bytes of main memory that the driver needs"),
        ("BLANK_WORD", blank_word(backdrop), "map word of a cell that shows nothing, in a window"),
        ("SCROLL_CYCLES", scroll_cycles(backdrop), "the scroll routine of the assembler at most"),
        *mood_constants(backdrop),
        *optional_constants(backdrop),
        *address_constants(backdrop),
    ]
    prefix = backdrop.label.prefix.upper()
    return [(f"{prefix}_{name}", int(value), about) for name, value, about in found]


def mood_constants(backdrop: Backdrop) -> list[Constant]:
    """Return the number of moods and each mood's place; equal names get their place added."""
    found: list[Constant] = [("MOODS", len(backdrop.colours.palettes), "moods")]
    taken: set[str] = set()
    for place, mood in enumerate(backdrop.colours.palettes):
        name = re.sub(r"[^A-Z0-9]", "_", mood.upper())
        name = f"{name}_{place}" if name in taken else name
        taken.add(name)
        found.append((f"MOOD_{name}", place, "its place among the moods"))
    return found


def optional_constants(backdrop: Backdrop) -> list[Constant]:
    """Return the constants of sprites, splits and the window, where there are any."""
    found: list[Constant] = []
    if backdrop.sprites.table is not None and len(backdrop.sprites.table):
        found.append(("SPRITES", len(backdrop.sprites.table), "sprite table entries"))
    if backdrop.sprites.placed is not None:
        found.append(("PIECES", len(backdrop.sprites.placed.x), "sprites as a game places them"))
    if backdrop.moves.vertical is not None:
        front, back = backdrop.moves.vertical.ratio
        offsets = backdrop.moves.vertical.offsets
        found.append(("PLANE_LINES", len(backdrop.moves.vertical.speeds.ratio), "lines of a plane"))
        found.append(("RATIO_Y_FRONT", front, "16.16 lines up for a camera pixel down"))
        found.append(("RATIO_Y_BACK", back, "the same, back plane"))
        if offsets is not None:
            found.append(("COLUMN_FRAMES", len(offsets), "frames until columns are as before"))
    if backdrop.colours.splits:
        words = sum(3 + len(split.words[backdrop.mood]) for split in backdrop.colours.splits)
        found.append(("SPLITS", len(backdrop.colours.splits), "colour rewrites a frame"))
        found.append(("SPLIT_WORDS", words, "words of them"))
    if backdrop.moves.waves:
        found.append(("WAVES", len(backdrop.moves.waves), "waves of 133 words"))
    if backdrop.colours.scripts:
        script = backdrop.colours.scripts[backdrop.mood]
        found.append(("MOTION_FRAMES", int(script[0]), "frames of a period of moving colours"))
        found.append(("MOTION_WORDS", len(script), "words of it"))
    if backdrop.moves.window is not None:
        found.append(("WINDOW_TOP", backdrop.moves.window[0], "first screen line of the window"))
        found.append(("WINDOW_BOTTOM", backdrop.moves.window[1], "the line after its last"))
    return found


def address_constants(backdrop: Backdrop) -> list[Constant]:
    """Return where each area of the memory plan begins in video memory."""
    window, sprites = backdrop.moves.window is not None, backdrop.has_sprites
    plan = plan_memory(backdrop.machine, len(backdrop.tiles.pixels), window, sprites)
    return [
        (f"{area.name.upper().replace(' ', '_')}_ADDRESS", area.start, f"{area.size} bytes")
        for area in plan.areas
        if area.name != "patterns"
    ]
