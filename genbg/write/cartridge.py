"""machine/cartridge.bin: a bootable image that plays the preview from frame 0 at power-on.

The program (`templates/stage.bin`, assembled from stage.s and driver.s by the project) fills the
bytes from 0 on: the processor's vectors, the header, the code. Behind it come the table that the
driver reads (`about.py`), four fields of the preview, and the data. Big-endian throughout.

The header, common practice, no source: 256 bytes from 0x100 on, texts padded with blanks.
"""

from __future__ import annotations

import struct
import unicodedata
from collections.abc import Iterator
from pathlib import Path

import numpy as np

from genbg.errors import BytesError
from genbg.hardware.sizes import ONE
from genbg.model import Backdrop
from genbg.write.about import ADDRESS, LONG, Field, fields
from genbg.write.source import Table, tables

NAME = "machine/cartridge.bin"
PROGRAM = Path(__file__).with_name("templates") / "stage.bin"
HEADER = 0x100
SUMMED_FROM = 0x200
CHECKSUM = 0x18E
LEAST, MOST = 128 * 1024, 4 * 1024 * 1024
"""Bytes of an image: the smallest part there is, and all that the processor sees of one."""
FORMS = {"u16": ">u2", "s16": ">i2", "u32": ">u4", "s32": ">i4"}


def files(backdrop: Backdrop) -> Iterator[tuple[str, bytes]]:
    """Yield (path relative to DIR, bytes) of the image."""
    yield NAME, image(backdrop)


def image(backdrop: Backdrop) -> bytes:
    """Return the whole image.

    Raises BytesError where it would be larger than 4 MiB.
    """
    data = bytearray(PROGRAM.read_bytes())
    data += body(backdrop, len(data))
    size = LEAST
    while size < len(data):
        size *= 2
    if size > MOST:
        raise BytesError(
            f"{NAME}: {len(data)} bytes, and {MOST} are allowed; lower machine.tile_budget or "
            "preview.frames, or use fewer moods or shorter cycles and fades"
        )
    data += bytes(size - len(data))
    data[HEADER : HEADER + 256] = header(backdrop, size)
    words = np.frombuffer(bytes(data[SUMMED_FROM:]), dtype=">u2")
    struct.pack_into(">H", data, CHECKSUM, int(words.sum(dtype=np.uint64)) & 0xFFFF)
    return bytes(data)


def body(backdrop: Backdrop, start: int) -> bytes:
    """Return the driver's table, the preview's fields and the data, laid out from `start` on."""
    known = [*fields(backdrop), *preview_fields(backdrop)]
    wanted = {str(value) for kind, _, value in known if kind == ADDRESS and value is not None}
    at = start + sum(2 if kind == "word" else 4 for kind, _, _ in known)
    places, parts = {}, []
    for table in tables(backdrop):
        if table.name in wanted:
            places[table.name] = at
            parts.append(table_bytes(table))
            at += len(parts[-1])
    if backdrop.preview.camera_y is not None:
        places["heights"] = at
        parts.append(np.asarray(backdrop.preview.camera_y).astype(">i4").tobytes())
    return b"".join([field_bytes(field, places) for field in known] + parts)


def field_bytes(field: Field, places: dict[str, int]) -> bytes:
    """Return a field of the driver's table."""
    kind, name, value = field
    number = places.get(str(value), 0) if kind == ADDRESS else int(value or 0)
    if kind == ADDRESS and value is not None and not number:
        raise BytesError(f"{NAME}: no table {name}")
    return struct.pack(">i" if kind in (ADDRESS, LONG) else ">H", number)


def preview_fields(backdrop: Backdrop) -> Iterator[Field]:
    """Yield what the stage plays."""
    preview = backdrop.preview
    yield LONG, "step", int(preview.camera_step * ONE)
    yield ADDRESS, "heights", None if preview.camera_y is None else "heights"
    yield "word", "frames", preview.frames
    yield "word", "returns", int(preview.returns)


def table_bytes(table: Table) -> bytes:
    """Return a table's numbers as the assembler would lay them out, padded to a whole word."""
    if table.kind == "run":
        return b"".join(struct.pack(">Hii", *row) for row in table.values.tolist())
    return np.asarray(table.values).astype(FORMS[table.kind]).tobytes()


def header(backdrop: Backdrop, size: int) -> bytes:
    """Return the 256 bytes of the header, the checksum left 0."""
    title = plain_title(backdrop.title)
    parts = (
        text(backdrop.label.maker, 16),
        text("", 16),
        text(title, 48),
        text(title, 48),
        text(backdrop.label.serial, 14),
        bytes(2),
        text("J", 16),
        struct.pack(">IIII", 0, size - 1, 0xFF0000, 0xFFFFFF),
        text("", 12 + 12 + 40),
        text(backdrop.label.region, 16),
    )
    return b"".join(parts)


def plain_title(title: str) -> str:
    """Return a title in the letters that a header can hold."""
    bare = unicodedata.normalize("NFKD", title).encode("ascii", "ignore").decode()
    return "".join(letter for letter in bare if letter.isprintable())


def text(words: str, size: int) -> bytes:
    """Return words cut or padded to so many bytes."""
    return words.encode("ascii", "replace")[:size].ljust(size)
