"""A hash of what a PNG shows, which does not depend on the library that packed it.

Deflate leaves the packer free: two zlibs may pack the same pixels into different bytes. So the
manifest holds, beside a PNG's own hash, the hash of its chunks with their data unpacked: SHA-256 of
type and body of every chunk in order, where the data chunks of a picture (IDAT) or of a frame
(fdAT, without their numbers) count as one chunk that holds the unpacked scan lines.
Source: W3C PNG Specification, Third Edition.
"""

from __future__ import annotations

import hashlib
import struct
import zlib
from collections.abc import Iterator

from genbg.errors import BytesError
from genbg.write.png import SIGNATURE

NUMBER_BYTES = 4
"""What a frame's data chunk begins with."""


PART_BYTES = 1 << 20
MOST_BYTES = 1 << 30
"""More unpacked bytes than the largest preview has; nobody may let a check unpack without end."""


def unpacked_sha256(data: bytes) -> str | None:
    """Return the hash, 64 hex digits, of a PNG's bytes; None where the bytes are no PNG.

    Raises BytesError where the chunks are damaged.
    """
    if not data.startswith(SIGNATURE):
        return None
    digest = hashlib.sha256()
    unpack, left = None, MOST_BYTES
    for kind, body in chunks(data):
        packed = {b"IDAT": body, b"fdAT": body[NUMBER_BYTES:]}.get(kind)
        if packed is None:
            unpack = None
            digest.update(kind + bytes(body))
            continue
        if unpack is None:
            unpack = zlib.decompressobj()
            digest.update(kind)
        for lines in unpacked(unpack, packed):
            left -= len(lines)
            if left < 0:
                raise BytesError("it holds more pixels than any export")
            digest.update(lines)
    return digest.hexdigest()


def unpacked(unpack: zlib._Decompress, packed: memoryview) -> Iterator[bytes]:
    """Yield what some packed bytes hold, in small parts. Raises BytesError."""
    rest: bytes | memoryview = packed
    try:
        while rest:
            yield unpack.decompress(rest, PART_BYTES)
            rest = unpack.unconsumed_tail
    except zlib.error as error:
        raise BytesError(f"its picture data is damaged: {error}") from error


def chunks(data: bytes) -> Iterator[tuple[bytes, memoryview]]:
    """Yield type and body of a PNG's chunks. Raises BytesError where one is cut short."""
    whole = memoryview(data)
    at = len(SIGNATURE)
    while at < len(data):
        if at + 12 > len(data):
            raise BytesError("a chunk is cut short")
        size, kind = struct.unpack_from(">I4s", data, at)
        if at + 12 + size > len(data):
            raise BytesError("a chunk is cut short")
        yield kind, whole[at + 8 : at + 8 + size]
        at += 12 + size
