"""A PNG file taken apart strictly, so that two files can be held against each other.

Compressed data is compared unpacked: how small a library packs it is no part of what a file says.
Nothing is unpacked past the size that the other file has. Source: W3C PNG Specification, Third
Edition.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from itertools import zip_longest

from genbg.errors import BytesError
from genbg.write.png import SIGNATURE

HEAD_BYTES, CHECK_BYTES = 8, 4
NUMBER_BYTES = 4
"""Bytes of fdAT before its compressed data."""
PACKED = {b"IDAT": 0, b"fdAT": NUMBER_BYTES}
"""Chunks that hold compressed data, and the plain bytes before it."""
ROOM = 1 << 27
"""Bytes that a picture of ours takes at most, unpacked: layers of the largest plane take 4 MB."""

Chunk = tuple[bytes, bytes]


def chunks_of(data: bytes) -> Iterator[Chunk]:
    """Yield (kind, body) of each chunk; BytesError where the bytes are not a whole PNG."""
    if not data.startswith(SIGNATURE):
        raise BytesError("is not a PNG or GIF, or is damaged")
    at, kind = len(SIGNATURE), b""
    while kind != b"IEND":
        head = data[at : at + HEAD_BYTES]
        if len(head) < HEAD_BYTES:
            raise BytesError("is damaged: it ends before its last chunk")
        size, kind = struct.unpack(">I4s", head)
        end = at + HEAD_BYTES + size
        body, check = data[at + HEAD_BYTES : end], data[end : end + CHECK_BYTES]
        if len(check) < CHECK_BYTES:
            raise BytesError(f"is damaged: its chunk {shown(kind)} is cut short")
        if zlib.crc32(body, zlib.crc32(kind)) != int.from_bytes(check, "big"):
            raise BytesError(f"is damaged: the CRC of its chunk {shown(kind)} does not hold")
        yield kind, body
        at = end + CHECK_BYTES
    if at != len(data):
        raise BytesError(f"holds {len(data) - at} bytes past its end")


def unpacked(kind: bytes, body: bytes, most: int) -> bytes:
    """Return a chunk's body with its compressed data unpacked, at most `most` bytes of it.

    Raises BytesError where that is damaged, longer, or followed by anything.
    """
    plain = PACKED[kind]
    engine = zlib.decompressobj()
    try:
        data = engine.decompress(body[plain:], most + 1)
    except zlib.error as error:
        raise BytesError(f"is damaged: {error}") from None
    if len(data) > most or not engine.eof or engine.unused_data:
        raise BytesError(f"is damaged: its chunk {shown(kind)} does not hold one whole picture")
    return body[:plain] + data


def difference(found: bytes, made: bytes) -> str | None:
    """Return what sets a PNG file apart from a right one; None where both say the same.

    made: the right file. Raises BytesError where `found` is no whole PNG.
    """
    if found == made:
        return None
    pairs = zip_longest(chunks_of(found), chunks_of(made))
    for number, (one, other) in enumerate(pairs):
        if one is None or other is None or one[0] != other[0]:
            names = [shown(chunk[0]) if chunk else "nothing" for chunk in (one, other)]
            return f"chunk {number} is {names[0]}; {names[1]} is right"
        kind, body = one
        right = other[1]
        if body != right and kind in PACKED:
            right = unpacked(kind, right, ROOM)
            body = unpacked(kind, body, len(right))
        if body != right:
            return f"chunk {number}, {shown(kind)}, does not say what genbg writes there"
    return None


def shown(kind: bytes) -> str:
    """Return a chunk's kind as text."""
    return kind.decode("latin-1")
