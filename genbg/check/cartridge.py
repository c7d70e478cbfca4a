"""The bootable image, read back: header, checksum, size, and data equal to the .bin files.

The driver's table is followed as the program on the machine follows it: from the end of the program
on, field by field, each address to its data.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator

import numpy as np

from genbg.check.listing import Export
from genbg.check.sources import expected_tables
from genbg.model import Backdrop
from genbg.write.about import ADDRESS, LONG, Field, fields
from genbg.write.cartridge import NAME, PROGRAM, plain_title, preview_fields

HEADER = 0x100
SMALLEST = 128 * 1024
LARGEST = 4 * 1024 * 1024


def check(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield what does not hold of the image; nothing where there is none."""
    image = export.data.get(NAME)
    if image is None:
        return
    size = len(image)
    if size & size - 1 or not SMALLEST <= size <= LARGEST:
        yield f"{NAME}: {size} bytes; a power of two from 131072 to 4194304 is needed"
        return
    for fault in (*header_faults(image, backdrop), *data_faults(image, export, backdrop)):
        yield f"{NAME}: {fault}"


def header_faults(image: bytes, backdrop: Backdrop) -> Iterator[str]:
    """Yield what the header says wrongly."""
    label, title = backdrop.label, plain_title(backdrop.title)
    for name, start, size, right in (
        ("maker", 0x00, 16, label.maker),
        ("title", 0x20, 48, title),
        ("title abroad", 0x50, 48, title),
        ("serial", 0x80, 14, label.serial),
        ("region", 0xF0, 16, label.region),
    ):
        found = image[HEADER + start : HEADER + start + size]
        if found != right[:size].ljust(size).encode():
            yield f"{name} in the header: {found!r}; the export says {right!r}"
    first, last = struct.unpack_from(">II", image, HEADER + 0xA0)
    if (first, last) != (0, len(image) - 1):
        yield f"addresses in the header: {first} to {last}; it has {len(image)} bytes"
    stated = struct.unpack_from(">H", image, HEADER + 0x8E)[0]
    total = int(np.frombuffer(image[0x200:], ">u2").sum(dtype=np.uint64)) & 0xFFFF
    if stated != total:
        yield f"checksum in the header: {stated:#06x}; its words make {total:#06x}"


def data_faults(image: bytes, export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield what is not the program, a field that is wrong, data that is not that of the files."""
    program = PROGRAM.read_bytes()
    if image[:HEADER] + image[0x200 : len(program)] != program[:HEADER] + program[0x200:]:
        yield "its program is not the one that this version of genbg writes"
        return
    right, at = expected_tables(export, backdrop), len(program)
    if backdrop.preview.camera_y is not None:
        right["heights"] = np.asarray(backdrop.preview.camera_y).astype(">i4").tobytes()
    for field in (*fields(backdrop), *preview_fields(backdrop)):
        kind, name, _ = field
        wide = kind in (ADDRESS, LONG)
        found = struct.unpack_from(">i" if wide else ">H", image, at)[0]
        at += 4 if wide else 2
        if says := field_fault(image, field, found, right):
            yield f"{name} in the driver's table{says}"


def field_fault(image: bytes, field: Field, found: int, right: dict[str, bytes]) -> str:
    """Return what is wrong with a field, and with the data that it points at; or nothing."""
    kind, _, value = field
    if kind != ADDRESS or value is None:
        return "" if found == int(value or 0) else f": {found}; the export says {value}"
    data = right[str(value)]
    if found % 2 or not 0 <= found <= len(image) - len(data):
        return f": no address of {len(data)} bytes of data"
    return "" if image[found : found + len(data)] == data else ": its data is not the export's"
