"""Draws preview frames as the machine draws them, from its words and bytes alone.

Order of drawing, back to front (common practice, no source): backdrop colour; back plane low;
front plane low; sprites low; back plane high; front plane high; sprites high. Low and high are the
priority bit of the map word or of the sprite. Entry 0 of every palette row is see-through.

A *code* is one byte a plane pixel: its colour entry 0..63 and, above it, its rank

    bits 7-6 rank: 0 back low, 1 front low, 2 back high, 3 front high    bits 5-0 colour entry

A see-through pixel is code 0, which no other pixel has, as entry 0 of a row is see-through. So the
greater code is the one that is seen, and a frame costs two row gathers and one maximum. Vertical
scrolling and sprites cost more, and only where a backdrop has them.

Where the machine leaves open what is seen:
  - columns of 16 pixels begin where the plane's first whole column stands, `scroll word & 15`
    pixels from the left edge; the part of a column left of it moves with the first whole column
  - on the lines of the window the front plane is absent; what a game writes there is not ours
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from genbg.hardware.colour_word import word_to_number
from genbg.hardware.map_word import unpack_map
from genbg.hardware.scroll_table import COLUMN_PX, lines_in_force
from genbg.model import BACK, FRONT, Backdrop, Split
from genbg.screen.sprite_lines import SpriteLimits, draw_sprites, sprite_layer

FRAMES_AT_ONCE = 8
"""Frames drawn in one numpy call: few enough that both planes' lines stay in the cache."""

RANK_LOW = (1 << 6, 0)
RANK_PRIORITY = (3 << 6, 2 << 6)
"""Rank bits of a plane's pixels, FRONT, BACK."""
ENTRY_BITS = 63
SPLIT_HEAD = 3
"""Words of a rewrite before its colours: line, first entry, count."""


@dataclass(frozen=True, eq=False)
class Screen:
    """What stays the same in all frames of a backdrop.

    codes: per plane FRONT, BACK (H, W + screen width) uint8, the left part repeated at the right so
        that every line of the screen is one run of bytes
    width, lines: the screen in pixels
    offsets: (F, L, 2) intp horizontal offsets in force on each line
    window: (L,) bool, lines on which the window hides the front plane, or None
    """

    codes: tuple[np.ndarray, np.ndarray]
    width: int
    lines: int
    offsets: np.ndarray
    window: np.ndarray | None
    limits: SpriteLimits
    backdrop: Backdrop


def load_screen(backdrop: Backdrop) -> Screen:
    """Return a backdrop's planes laid out for drawing; costs as much as drawing a few frames."""
    machine = backdrop.machine
    width, lines = machine.screen
    tiles = backdrop.tiles.pixels
    window = None
    if backdrop.moves.window is not None:
        window = np.zeros(lines, dtype=bool)
        window[slice(*backdrop.moves.window)] = True
    return Screen(
        codes=(
            plane_codes(tiles, backdrop.maps[FRONT], FRONT, width),
            plane_codes(tiles, backdrop.maps[BACK], BACK, width),
        ),
        width=width,
        lines=lines,
        offsets=lines_in_force(backdrop.preview.scroll, machine.scroll).astype(np.intp),
        window=window,
        limits=SpriteLimits.of(machine),
        backdrop=backdrop,
    )


def plane_codes(tiles: np.ndarray, words: np.ndarray, plane: int, extra: int) -> np.ndarray:
    """Return the codes (H, W + extra) uint8 of a plane whose map words are (R, C)."""
    cell = unpack_map(words)
    flips = np.stack([tiles, tiles[:, :, ::-1], tiles[:, ::-1], tiles[:, ::-1, ::-1]])
    flip = cell.vflip.astype(np.intp) * 2 + cell.hflip
    pixels = flips[flip, cell.number]
    rank = np.where(cell.priority, RANK_PRIORITY[plane], RANK_LOW[plane])
    upper = (rank | cell.row.astype(np.intp) << 4).astype(np.uint8)
    code = np.where(pixels > 0, pixels | upper[:, :, None, None], 0).astype(np.uint8)
    R, C = words.shape
    plain = code.transpose(0, 2, 1, 3).reshape(R * 8, C * 8)
    return np.ascontiguousarray(np.take(plain, np.arange(C * 8 + extra) % (C * 8), axis=1))


def draw_frames(screen: Screen, first: int, last: int) -> np.ndarray:
    """Return frames first..last-1 as colour entries (F, L, width) uint8, 0..63."""
    preview = screen.backdrop.preview
    offsets = screen.offsets[first:last]
    vertical = None if preview.vscroll is None else preview.vscroll[first:last].astype(np.intp)
    front = plane_lines(screen, FRONT, offsets[..., FRONT], vertical)
    if screen.window is not None:
        front[:, screen.window] = 0
    code = plane_lines(screen, BACK, offsets[..., BACK], vertical)
    np.maximum(code, front, out=code)
    for frame, layer in enumerate(sprite_layers(screen, first, last)):
        draw_sprites(code[frame], layer)
    code &= ENTRY_BITS
    if screen.backdrop.colours.backdrop_entry:
        code[code == 0] = screen.backdrop.colours.backdrop_entry
    return code


def draw_frame(screen: Screen, frame: int) -> np.ndarray:
    """Return one frame as colour entries (L, width) uint8, 0..63."""
    return draw_frames(screen, frame, frame + 1)[0]


def iter_frames(screen: Screen, frames: int | None = None) -> Iterator[np.ndarray]:
    """Yield the first `frames` preview frames, or all of them, as entries (n, L, width) uint8."""
    count = screen.backdrop.preview.frames if frames is None else frames
    for first in range(0, count, FRAMES_AT_ONCE):
        yield draw_frames(screen, first, min(first + FRAMES_AT_ONCE, count))


def sprite_layers(screen: Screen, first: int, last: int) -> Iterator[np.ndarray]:
    """Yield each frame's sprites (L, width) uint8; nothing where the backdrop has none.

    A table that equals the frame's before it is drawn once.
    """
    backdrop = screen.backdrop
    if backdrop.preview.sprites is not None:
        tables = list(backdrop.preview.sprites[first:last])
    elif backdrop.sprites.table is not None and len(backdrop.sprites.table):
        tables = [backdrop.sprites.table] * (last - first)
    else:
        return
    shape = (screen.lines, screen.width)
    for frame, entries in enumerate(tables):
        if frame == 0 or not np.array_equal(entries, tables[frame - 1]):
            layer = sprite_layer(entries, backdrop.tiles.pixels, screen.limits, shape)
        yield layer


def plane_lines(
    screen: Screen, plane: int, offsets: np.ndarray, vertical: np.ndarray | None
) -> np.ndarray:
    """Return one plane's codes (F, L, width).

    offsets: (F, L) horizontal offsets; vertical: (F, 20, 2) vertical offsets, or None
    """
    line = np.arange(screen.lines)
    if vertical is None:
        return gather_lines(screen, plane, offsets, np.broadcast_to(line, offsets.shape))
    down = vertical[:, : -(-screen.width // COLUMN_PX), plane]
    if (down == down[:, :1]).all():
        return gather_lines(screen, plane, offsets, line + down[:, :1])
    return gather_columns(screen, plane, offsets, down)


def gather_lines(screen: Screen, plane: int, offsets: np.ndarray, line: np.ndarray) -> np.ndarray:
    """Return codes (F, L, width) of the plane's lines (F, L), moved right by offsets (F, L)."""
    codes = screen.codes[plane]
    H, W = codes.shape[0], codes.shape[1] - screen.width
    runs = np.lib.stride_tricks.sliding_window_view(codes, screen.width, axis=1)
    return runs[line % H, -offsets % W]


def gather_columns(screen: Screen, plane: int, offsets: np.ndarray, down: np.ndarray) -> np.ndarray:
    """Return codes (F, L, width) where every column of 16 pixels has its own vertical offset.

    offsets: (F, L) horizontal offsets; down: (F, columns) vertical offset of each column

    A line is put together from whole columns, the partial one at the left first, and then cut where
    the screen begins.
    """
    codes = screen.codes[plane]
    H, W = codes.shape[0], codes.shape[1] - screen.width
    runs = np.ascontiguousarray(codes[:, :W]).view(f"V{COLUMN_PX}")
    down = np.concatenate([down[:, :1], down], axis=1)
    column = np.arange(down.shape[1]) - 1 - (offsets // COLUMN_PX)[..., None]
    line = np.arange(screen.lines)[:, None] + down[:, None]
    whole = runs[line % H, column % (W // COLUMN_PX)].view(np.uint8)
    starts = np.lib.stride_tricks.sliding_window_view(whole, screen.width, axis=2)
    frame = np.arange(len(offsets))[:, None]
    return starts[frame, np.arange(screen.lines), COLUMN_PX - offsets % COLUMN_PX]


def line_palettes(backdrop: Backdrop, frame: int) -> tuple[np.ndarray, np.ndarray]:
    """Return the colour memory of a frame's zones, as the splits rewrite it down the screen.

    Returns (first line of each zone (Z,) intp, colour words (Z, 64) uint16), Z >= 1. Splits of one
    line are rewritten in their order in the backdrop.
    """
    preview = backdrop.preview
    words = np.array(backdrop.palette if preview.palette is None else preview.palette[frame])
    starts, zones = [0], [words]
    rewrites = split_rewrites(backdrop, frame)
    for split, rewrite in sorted(rewrites, key=lambda pair: pair[0].line):
        if split.line >= backdrop.machine.screen[1]:
            continue
        if split.line > starts[-1]:
            starts.append(split.line)
            zones.append(zones[-1].copy())
        zones[-1][split.first : split.first + len(rewrite)] = rewrite
    return np.array(starts, dtype=np.intp), np.stack(zones).astype(np.uint16)


def plane_colours(backdrop: Backdrop) -> np.ndarray:
    """Return the colour numbers (2, H, W) uint16 of both planes, each line as the screen's line of
    that number shows it in the first frame; lines below the screen as the last one does."""
    tiles, (_, height) = backdrop.tiles.pixels, backdrop.machine.plane_px
    starts, words = line_palettes(backdrop, 0)
    zone = np.searchsorted(starts, np.arange(height), side="right") - 1
    numbers = word_to_number(words)
    shown = []
    for plane in (FRONT, BACK):
        code = plane_codes(tiles, backdrop.maps[plane], plane, 0)
        entry = np.where(code > 0, code & ENTRY_BITS, backdrop.colours.backdrop_entry)
        shown.append(numbers[zone[:, None], entry])
    return np.stack(shown).astype(np.uint16)


def split_rewrites(backdrop: Backdrop, frame: int) -> list[tuple[Split, np.ndarray]]:
    """Return each split and the words that it rewrites in a frame."""
    words = backdrop.preview.splits
    if words is None:
        return [(split, split.words[backdrop.mood]) for split in backdrop.colours.splits]
    found, at = [], 0
    for split in backdrop.colours.splits:
        at += SPLIT_HEAD
        count = len(split.words[backdrop.mood])
        found.append((split, words[frame, at : at + count]))
        at += count
    return found
