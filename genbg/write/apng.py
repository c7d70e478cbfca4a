"""preview.png: the preview as an animated PNG that loops for ever.

Every frame is compressed once; the way back of a preview that returns uses the same bytes again.
Source: W3C PNG Specification, Third Edition (acTL, fcTL, fdAT).
"""

from __future__ import annotations

import os
import struct
import zlib
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor

from genbg.model import Backdrop
from genbg.write.film import Film
from genbg.write.play import delays, played_frames
from genbg.write.png import (
    INDEXED,
    SIGNATURE,
    TRUECOLOUR,
    chunk,
    header,
    palette_chunks,
    scan_lines,
)

FRAME_LEVEL = 4
"""zlib's level for frames: of level 6's gain over level 1, two thirds in a third of its time."""
MILLISECONDS = 1000


def files(backdrop: Backdrop, film: Film) -> Iterator[tuple[str, bytes]]:
    """Yield preview.png."""
    order = played_frames(backdrop.preview)
    times = delays(len(order), backdrop.preview.fps, MILLISECONDS)
    yield "preview.png", animated_png(film, order, times)


def animated_png(film: Film, order: Sequence[int], delays_ms: Sequence[int]) -> bytes:
    """Return an animated PNG.

    order: frame numbers of the film as they are played; delays_ms: how long each is shown
    """
    frames = compress_frames(film)
    _, height, width = film.pixels.shape
    indexed = film.palette is not None
    parts = [SIGNATURE, header(width, height, INDEXED if indexed else TRUECOLOUR)]
    parts.append(chunk(b"acTL", struct.pack(">II", len(order), 0)))
    if film.palette is not None:
        parts.append(palette_chunks(film.palette))
    number = 0
    for place, (frame, delay) in enumerate(zip(order, delays_ms, strict=True)):
        size = struct.pack(">IIIII", number, width, height, 0, 0)
        parts.append(chunk(b"fcTL", size + struct.pack(">HHBB", delay, MILLISECONDS, 0, 0)))
        number += 1
        if place == 0:
            parts.append(chunk(b"IDAT", frames[frame]))
        else:
            parts.append(chunk(b"fdAT", struct.pack(">I", number) + frames[frame]))
            number += 1
    return b"".join([*parts, chunk(b"IEND", b"")])


def compress_frames(film: Film) -> list[bytes]:
    """Return every frame's compressed scan lines. Threads only share the work: same bytes."""

    def compress(frame: int) -> bytes:
        pixels = film.rgb(frame) if film.palette is None else film.pixels[frame]
        return zlib.compress(scan_lines(pixels), FRAME_LEVEL)

    with ThreadPoolExecutor(min(os.cpu_count() or 1, 8)) as pool:
        return list(pool.map(compress, range(len(film.pixels))))
