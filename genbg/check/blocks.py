"""A GIF file taken apart strictly, so that two files can be held against each other.

The packed pixels are left to those who look at pictures; everything else has to be the same byte
for byte. Source: GIF89a specification, 15 to 27 and Appendix A.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import zip_longest

from genbg.errors import BytesError

SIGNATURE = b"GIF89a"
HEAD_BYTES, DESCRIPTOR_BYTES = 13, 10
EXTENSION, IMAGE, TRAILER = 0x21, 0x2C, 0x3B
HAS_TABLE, TABLE_BITS = 0x80, 7


def difference(found: bytes, made: bytes) -> str | None:
    """Return what sets a GIF file apart from a right one, packed pixels left aside; or None.

    made: the right file. Raises BytesError where `found` is no whole GIF.
    """
    if found == made:
        return None
    for number, (one, other) in enumerate(zip_longest(blocks_of(found), blocks_of(made))):
        if one != other:
            return f"block {number} does not say what genbg writes there"
    return None


def blocks_of(data: bytes) -> Iterator[bytes]:
    """Yield the head, each extension, each image's descriptor and colours, and the trailer."""
    if not data.startswith(SIGNATURE) or len(data) < HEAD_BYTES:
        raise BytesError("is not a PNG or GIF, or is damaged")
    at = HEAD_BYTES + table_bytes(data[10])
    yield data[:at]
    while at < len(data) and data[at] != TRAILER:
        start = at
        if data[at] == EXTENSION:
            at = after_blocks(data, at + 2)
            yield data[start:at]
        elif data[at] == IMAGE and at + DESCRIPTOR_BYTES <= len(data):
            at += DESCRIPTOR_BYTES + table_bytes(data[at + DESCRIPTOR_BYTES - 1]) + 1
            yield data[start:at]
            at = after_blocks(data, at)
        else:
            raise BytesError(f"is damaged: byte {at} begins no block")
    if at >= len(data):
        raise BytesError("is damaged: it ends before its last block")
    if at + 1 != len(data):
        raise BytesError(f"holds {len(data) - at - 1} bytes past its end")
    yield data[at:]


def table_bytes(flags: int) -> int:
    """Return how many bytes of colours follow, by the flags before them."""
    return 3 << (flags & TABLE_BITS) + 1 if flags & HAS_TABLE else 0


def after_blocks(data: bytes, at: int) -> int:
    """Return where a run of blocks of up to 255 bytes ends, the empty one included."""
    while at < len(data) and data[at]:
        at += 1 + data[at]
    return at + 1
