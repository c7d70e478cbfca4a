"""PNG files: chunks put around zlib's bytes.

Why not a picture library: the animated preview needs every frame to be in the file (a library
leaves out a frame that equals the one before it, so frame n is no longer frame n), compresses each
frame once although most previews play it twice, and the same bytes on every run whatever version
of a library is installed. (The compressed bytes are those of the zlib that Python is built with; a
system with another zlib may pack the same pixels otherwise.) The chunks are the ones of the W3C PNG
Specification, Third Edition.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Sequence

import numpy as np

SIGNATURE = b"\x89PNG\r\n\x1a\n"
INDEXED, TRUECOLOUR, TRUECOLOUR_ALPHA = 3, 2, 6
"""Colour types of the header chunk."""
STILL_LEVEL = 6
"""zlib's level for single pictures: level 9 takes twice its time for 1 % less."""


def chunk(kind: bytes, body: bytes) -> bytes:
    """Return a chunk: length, type, body and their CRC."""
    check = zlib.crc32(body, zlib.crc32(kind))
    return b"".join([struct.pack(">I", len(body)), kind, body, struct.pack(">I", check)])


def header(width: int, height: int, colour_type: int, depth: int = 8) -> bytes:
    """Return the IHDR chunk; no interlace."""
    return chunk(b"IHDR", struct.pack(">IIBBBBB", width, height, depth, colour_type, 0, 0, 0))


def palette_chunks(palette: np.ndarray, alpha: Sequence[int] = ()) -> bytes:
    """Return PLTE of sRGB colours (P, 3) uint8, 1 <= P <= 256, and tRNS of their first alphas."""
    if not 1 <= len(palette) <= 256:
        raise ValueError(f"a palette holds 1 to 256 colours, got {len(palette)}")
    body = chunk(b"PLTE", np.ascontiguousarray(palette, dtype=np.uint8).tobytes())
    return body + (chunk(b"tRNS", bytes(alpha)) if len(alpha) else b"")


def scan_lines(pixels: np.ndarray) -> bytes:
    """Return pixels (H, W) or (H, W, n) uint8 as lines that each begin with filter type 0."""
    flat = pixels.reshape(len(pixels), -1)
    lines = np.zeros((flat.shape[0], flat.shape[1] + 1), dtype=np.uint8)
    lines[:, 1:] = flat
    return lines.tobytes()


def indexed_png(pixels: np.ndarray, palette: np.ndarray, alpha: Sequence[int] = ()) -> bytes:
    """Return an indexed PNG, 8 bits a pixel.

    pixels: (H, W) uint8; palette: (P, 3) uint8; alpha: of the first palette entries, 0..255
    """
    height, width = pixels.shape
    body = chunk(b"IDAT", zlib.compress(scan_lines(pixels), STILL_LEVEL))
    head = header(width, height, INDEXED) + palette_chunks(palette, alpha)
    return SIGNATURE + head + body + chunk(b"IEND", b"")


def truecolour_png(pixels: np.ndarray) -> bytes:
    """Return a PNG of sRGB pixels (H, W, 3) or, with alpha, (H, W, 4) uint8."""
    height, width, samples = pixels.shape
    kind = {3: TRUECOLOUR, 4: TRUECOLOUR_ALPHA}[samples]
    body = chunk(b"IDAT", zlib.compress(scan_lines(pixels), STILL_LEVEL))
    return SIGNATURE + header(width, height, kind) + body + chunk(b"IEND", b"")
