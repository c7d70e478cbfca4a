"""Sprite table entry, 8 bytes. Common practice, no source.

word 0   vertical position + 128
byte 2   width and height in cells, each less 1
byte 3   number of the entry that is drawn after this one; 0 ends the list
word 2   as a map word; the sprite's cells use tile numbers in column order
word 3   horizontal position + 128; 0 masks the rest of the line and is refused when packing
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from genbg.errors import BytesError
from genbg.hardware.map_word import pack_map, unpack_map
from genbg.hardware.sizes import CELL
from genbg.hardware.words import Field, Layout, check_length, check_range

ENTRY_BYTES = 8
ORIGIN = 128
"""Position words count from 128 pixels above and left of the screen."""

POSITION_WORD = Layout("sprite position", 16, (Field("position", 8, 0, "pixels + 128"),))
SIZE_BYTE = Layout(
    "sprite size",
    8,
    (
        Field("width", 3, 2, "cells across, less 1"),
        Field("height", 1, 0, "cells down, less 1"),
    ),
)
LINK_BYTE = Layout("sprite link", 8, (Field("link", 6, 0, "next entry, 0 ends the list"),))


class Sprites(NamedTuple):
    """Sprites, arrays (..., n): x, y in screen pixels; width, height in cells; the rest as words.

    x, y: -128..383 (x -128 masks the rest of its lines); width, height: 1..4; link: 0..127;
    number: first tile; row: palette row; hflip, vflip, priority: bool
    """

    x: np.ndarray
    y: np.ndarray
    width: np.ndarray
    height: np.ndarray
    link: np.ndarray
    number: np.ndarray
    row: np.ndarray
    hflip: np.ndarray
    vflip: np.ndarray
    priority: np.ndarray


def pack_sprites(sprites: Sprites) -> np.ndarray:
    """Table entries (..., n, 8) uint8 of sprites.

    Raises BytesError that names the field for a value out of range, for x = -128 too.
    """
    x = check_range("sprite x", np.asarray(sprites.x), 1 - ORIGIN, 511 - ORIGIN)
    y = check_range("sprite y", np.asarray(sprites.y), -ORIGIN, 511 - ORIGIN)
    width = check_range("sprite width", np.asarray(sprites.width), 1, 4)
    height = check_range("sprite height", np.asarray(sprites.height), 1, 4)
    size = SIZE_BYTE.pack({"width": width - 1, "height": height - 1}).astype(np.uint16)
    link = LINK_BYTE.pack({"link": sprites.link})
    words = np.broadcast_arrays(
        POSITION_WORD.pack({"position": y + ORIGIN}),
        size << 8 | link,
        pack_map(sprites.number, sprites.row, sprites.hflip, sprites.vflip, sprites.priority),
        POSITION_WORD.pack({"position": x + ORIGIN}),
    )
    entries = np.ascontiguousarray(np.stack(words, axis=-1).astype(">u2"))
    return entries.view(np.uint8).reshape(*entries.shape[:-1], ENTRY_BYTES)


def unpack_sprites(entries: np.ndarray) -> Sprites:
    """Sprites of table entries (..., n, 8) uint8.

    Raises BytesError for another shape or a bit that has to be zero.
    """
    entries = np.asarray(entries)
    if entries.ndim < 1 or entries.shape[-1] != ENTRY_BYTES or entries.dtype != np.uint8:
        raise BytesError(
            f"sprite table: {entries.dtype} of shape {entries.shape}; bytes (..., 8) are needed"
        )
    part = entries.astype(np.uint16)
    y, third, x = (part[..., i] << 8 | part[..., i + 1] for i in (0, 4, 6))
    size = SIZE_BYTE.unpack(part[..., 2])
    cells = unpack_map(third)
    return Sprites(
        POSITION_WORD.unpack(x)["position"].astype(np.int16) - ORIGIN,
        POSITION_WORD.unpack(y)["position"].astype(np.int16) - ORIGIN,
        size["width"] + 1,
        size["height"] + 1,
        LINK_BYTE.unpack(part[..., 3])["link"],
        *cells,
    )


def bytes_to_entries(data: bytes) -> np.ndarray:
    """Entries (n, 8) uint8 of the bytes of a sprite table; BytesError where one is cut short."""
    count = check_length("sprite table", data, ENTRY_BYTES)
    return np.frombuffer(data, dtype=np.uint8).reshape(count, ENTRY_BYTES)


def cell_order(width: int, height: int) -> np.ndarray:
    """What to add to a sprite's tile number in each of its cells, (height, width) int64.

    Cells count down each column, then column by column from the left.
    """
    return np.arange(width * height).reshape(width, height).T


def line_loads(
    frame: np.ndarray, y: np.ndarray, height: np.ndarray, load: np.ndarray, shape: tuple[int, int]
) -> np.ndarray:
    """What sprites (n,) in their frames ask of every line: (frames, lines) int64 of that shape.

    frame: which one each stands in; y: its top line; height: in cells; load: what it asks of each
    line that it stands on
    """
    frames, lines = shape
    loads = np.zeros((frames, lines + 1), dtype=np.int64)
    top = np.asarray(y, dtype=np.int64)
    np.add.at(loads, (frame, np.clip(top, 0, lines)), load)
    np.subtract.at(loads, (frame, np.clip(top + height * CELL, 0, lines)), load)
    return loads.cumsum(axis=1)[:, :-1]


def linked_order(link: np.ndarray) -> list[int]:
    """Entries in the order in which the machine reads them, from entry 0 until a link is 0.

    link: (n,) links of one table. An earlier entry is drawn in front of a later one.

    Raises BytesError where a link leaves the table or comes back to an entry it has passed.
    """
    if not len(link):
        return []
    order = [0]
    while following := int(link[order[-1]]):
        if following >= len(link):
            raise BytesError(
                f"sprite link [{order[-1]}]: {following}; allowed is 0 to {len(link) - 1}"
            )
        if following in order:
            raise BytesError(f"sprite link [{order[-1]}]: {following} comes round again")
        order.append(following)
    return order
