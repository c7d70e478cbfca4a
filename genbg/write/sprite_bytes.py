"""Bytes of what only some backdrops have: sprites as a game places them, and vertical scroll.

All numbers are big-endian, no file has a header. Files, relative to DIR:

  machine/pieces.bin        a sprite: column and line of its upper left corner at the start (words,
                            the line signed), a byte of size as in a table entry and a byte 0, the
                            third word of a table entry, ratio and drift (longs, 16.16): 16 bytes,
                            the nearest first
  machine/plane_speeds.bin  as speeds.bin, for all lines of the planes
  machine/columns.bin       frames x 20 x (front, back) signed words: lines that a column adds
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from genbg.errors import BytesError
from genbg.hardware.sprite_entry import SIZE_BYTE
from genbg.model import Backdrop, LineSpeeds, PlacedSprites, Vertical

PLACED_BYTES = 16
PLACED = np.dtype(
    [
        ("x", ">u2"),
        ("y", ">i2"),
        ("size", "u1"),
        ("none", "u1"),
        ("word", ">u2"),
        ("ratio", ">i4"),
        ("drift", ">i4"),
    ]
)


def files(backdrop: Backdrop) -> Iterator[tuple[str, bytes]]:
    """Yield (path relative to DIR, bytes); nothing for a backdrop that has none of these."""
    if backdrop.sprites.placed is not None:
        yield "machine/pieces.bin", pack_placed(backdrop.sprites.placed)
    if backdrop.moves.vertical is not None:
        yield "machine/plane_speeds.bin", pack_speeds(backdrop.moves.vertical.speeds)
        if backdrop.moves.vertical.offsets is not None:
            yield "machine/columns.bin", pack_columns(backdrop.moves.vertical)


def pack_placed(placed: PlacedSprites) -> bytes:
    """Return the sprites, 16 bytes each."""
    table = np.zeros(len(placed.x), dtype=PLACED)
    for name in ("x", "y", "word", "ratio", "drift"):
        table[name] = getattr(placed, name)
    table["size"] = SIZE_BYTE.pack({"width": placed.width - 1, "height": placed.height - 1})
    return table.tobytes()


def unpack_placed(data: bytes) -> PlacedSprites:
    """Return the sprites of 16 bytes each; BytesError where one is cut short or sets odd bits."""
    if len(data) % PLACED_BYTES:
        raise BytesError(f"{len(data)} bytes; sprites take {PLACED_BYTES} each")
    table = np.frombuffer(data, dtype=PLACED)
    if table["none"].any():
        raise BytesError(f"sprite {int(table['none'].argmax())}: byte 5 has to be 0")
    size = SIZE_BYTE.unpack(table["size"].astype(np.uint8))
    return PlacedSprites(
        x=table["x"].astype(np.int64),
        y=table["y"].astype(np.int64),
        width=size["width"].astype(np.int64) + 1,
        height=size["height"].astype(np.int64) + 1,
        word=table["word"].astype(np.uint16),
        ratio=table["ratio"].astype(np.int32),
        drift=table["drift"].astype(np.int32),
    )


def pack_speeds(speeds: LineSpeeds) -> bytes:
    """Return, line after line, front ratio, back ratio, front drift, back drift as 16.16."""
    return np.concatenate([speeds.ratio, speeds.drift], axis=1).astype(">i4").tobytes()


def pack_columns(vertical: Vertical) -> bytes:
    """Return the columns' offsets, frame after frame; nothing where all columns move alike."""
    return b"" if vertical.offsets is None else vertical.offsets.astype(">i2").tobytes()
