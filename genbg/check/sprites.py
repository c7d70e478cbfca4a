"""Sprites and vertical scroll of every preview frame against the formulas, from the bytes alone."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from genbg.check.listing import Export
from genbg.hardware.sizes import CELL, COLUMN_PAIRS, ONE, PLANE_NAMES, SCROLL_MASK
from genbg.model import Backdrop

ORIGIN = 128

Entry = tuple[int, int, int, int, int]
"""Vertical position + 128, size byte, link, map word, horizontal position + 128."""


def check(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield the first frame whose sprites or columns do not stand where they should."""
    yield from column_faults(backdrop)
    yield from sprite_faults(backdrop)


# --- vertical scroll ------------------------------------------------------------------------------


def column_faults(backdrop: Backdrop) -> Iterator[str]:
    """Yield where vscroll.bin is not floor(ratio * camera_y) plus the column's offset."""
    preview, vertical = backdrop.preview, backdrop.moves.vertical
    if (vertical is None) != (preview.vscroll is None) or (preview.camera_y is None) != (
        vertical is None
    ):
        yield "machine/preview/vscroll.bin: does not go with vertical and camera_y in backdrop.json"
        return
    if vertical is None or preview.vscroll is None or preview.camera_y is None:
        return
    if vertical.offsets is not None and backdrop.machine.vertical != "column":
        yield "machine/columns.bin: columns do not move by themselves on this machine"
    for frame in range(preview.frames):
        for plane, name in enumerate(PLANE_NAMES):
            for column in range(COLUMN_PAIRS):
                right = column_word(backdrop, frame, plane, column)
                word = int(preview.vscroll[frame, column, plane])
                if word != right:
                    yield (
                        f"machine/preview/vscroll.bin: frame {frame}, column {column}, {name} "
                        f"plane: {word}; camera and columns.bin put it at {right}"
                    )
                    return


def column_word(backdrop: Backdrop, frame: int, plane: int, column: int) -> int:
    """The vertical offset of a column of a plane."""
    up = lines_up(backdrop, frame, plane)
    offsets = backdrop.moves.vertical.offsets if backdrop.moves.vertical else None
    if offsets is not None:
        up += int(offsets[frame % len(offsets), column, plane])
    return up & SCROLL_MASK


def lines_up(backdrop: Backdrop, frame: int, plane: int) -> int:
    """Lines that a plane has moved up, columns left aside; 0 where nothing moves so."""
    vertical, camera_y = backdrop.moves.vertical, backdrop.preview.camera_y
    if vertical is None or camera_y is None:
        return 0
    return vertical.ratio[plane] * int(camera_y[frame]) // (ONE * ONE)


def seen_lines(backdrop: Backdrop, frames: range) -> np.ndarray:
    """Which line of its plane each screen line shows, columns left aside: (F, L, 2)."""
    lines, H = backdrop.machine.screen[1], len(backdrop.moves.all_speeds.ratio)
    up = [[lines_up(backdrop, frame, plane) for plane in (0, 1)] for frame in frames]
    return (np.arange(lines)[None, :, None] + np.array(up)[:, None, :]) % H


# --- sprites --------------------------------------------------------------------------------------


def sprite_faults(backdrop: Backdrop) -> Iterator[str]:
    """Yield where a frame's table is not what pieces.bin and the camera make of it."""
    preview, placed = backdrop.preview, backdrop.sprites.placed
    if (placed is None) != (preview.sprites is None):
        # a table without pieces.bin is a game's own, which stands still
        if placed is not None:
            yield "machine/preview/sprites.bin: is missing"
        return
    if placed is None or preview.sprites is None:
        return
    if (placed.x >= backdrop.machine.plane_px[0]).any():
        yield f"machine/pieces.bin: columns past {backdrop.machine.plane_px[0] - 1}"
    if (preview.camera_step * ONE).denominator != 1:
        return
    room = backdrop.machine.sprites_screen - backdrop.sprites.reserve[0]
    for frame in range(preview.frames):
        right = frame_entries(backdrop, frame)[:room]
        if right != table_entries(preview.sprites[frame], len(right)):
            yield (
                f"machine/preview/sprites.bin: frame {frame}: is not what pieces.bin and the "
                f"camera make of it ({len(right)} entries)"
            )
            return
    first = table_entries(preview.sprites[0], len(frame_entries(backdrop, 0)[:room]))
    stored = backdrop.sprites.table
    if first != ([] if stored is None else table_entries(stored, len(stored))):
        yield "machine/sprites.bin: is not the table of frame 0"


def frame_entries(backdrop: Backdrop, frame: int) -> list[Entry]:
    """The table of a frame, worked out sprite by sprite."""
    placed, preview = backdrop.sprites.placed, backdrop.preview
    assert placed is not None
    step = int(preview.camera_step * ONE)
    camera_y = 0 if preview.camera_y is None else int(preview.camera_y[frame])
    width, lines = backdrop.machine.screen
    W, H = backdrop.machine.plane_px
    endless = backdrop.moves.vertical is not None and backdrop.moves.vertical.endless
    found: list[list[int]] = []
    for number in range(len(placed.x)):
        ratio, drift = int(placed.ratio[number]), int(placed.drift[number])
        wide, tall = int(placed.width[number]), int(placed.height[number])
        x = int(placed.x[number]) - (ratio * step * frame + drift * frame * ONE) // (ONE * ONE)
        y = int(placed.y[number]) - ratio * camera_y // (ONE * ONE)
        if endless:
            y = (y + tall * CELL) % H - tall * CELL
        if not -tall * CELL < y < lines:
            continue
        first = (x + wide * CELL - 1) % W - wide * CELL + 1
        for at in range(first, width, W):
            size = (wide - 1) << 2 | (tall - 1)
            found.append([y + ORIGIN, size, len(found) + 1, int(placed.word[number]), at + ORIGIN])
    if found:
        kept = backdrop.machine.sprites_screen - backdrop.sprites.reserve[0]
        found = found[:kept]
        if found:
            found[-1][2] = 0
    return [(y, size, link, word, x) for y, size, link, word, x in found]


def table_entries(table: np.ndarray, count: int) -> list[Entry]:
    """The first entries of a table (n, 8) as numbers; what follows them has to be 0."""
    rows = [bytes(entry) for entry in table]
    found = [
        (
            int.from_bytes(row[0:2], "big"),
            row[2],
            row[3],
            int.from_bytes(row[4:6], "big"),
            int.from_bytes(row[6:8], "big"),
        )
        for row in rows[:count]
    ]
    return found if not any(any(row) for row in rows[count:]) else [*found, (0, 0, 0, 0, 0)]
