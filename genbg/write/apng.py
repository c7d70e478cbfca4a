"""preview.png: the preview as an animated PNG that loops for ever.

Every frame is compressed once; the way back of a preview that returns uses the same bytes again.
Lines that stay as they are at the top and the bottom of the screen are left out of a frame.
Source: W3C PNG Specification, Third Edition (acTL, fcTL, fdAT).
"""

from __future__ import annotations

import os
import struct
import zlib
from collections.abc import Iterator, Sequence

from genbg.model import Backdrop
from genbg.screen.film import Film
from genbg.write.play import changed_lines, delays, played_frames
from genbg.write.png import (
    INDEXED,
    SIGNATURE,
    TRUECOLOUR,
    chunk,
    header,
    palette_chunks,
    scan_lines,
)

FRAME_LEVEL = 6
"""zlib's level for frames: level 4 takes half the time for 15 % more bytes, level 9 takes seven
times the time for 5 % less."""
MILLISECONDS = 1000


def files(backdrop: Backdrop, film: Film, level: int = FRAME_LEVEL) -> Iterator[tuple[str, bytes]]:
    """Yield preview.png; level: zlib's level."""
    order = played_frames(backdrop.preview)
    times = delays(len(order), backdrop.preview.fps, MILLISECONDS)
    yield "preview.png", animated_png(film, order, times, level)


def animated_png(
    film: Film, order: Sequence[int], delays_ms: Sequence[int], level: int = FRAME_LEVEL
) -> bytes:
    """Return an animated PNG.

    order: frame numbers of the film as they are played; delays_ms: how long each is shown
    level: zlib's level
    """
    bands = changed_lines(film.pixels, order)
    frames = compress_frames(film, bands, level)
    _, height, width = film.pixels.shape
    indexed = film.palette is not None
    parts = [SIGNATURE, header(width, height, INDEXED if indexed else TRUECOLOUR)]
    parts.append(chunk(b"acTL", struct.pack(">II", len(order), 0)))
    if film.palette is not None:
        parts.append(palette_chunks(film.palette))
    number = 0
    for place, (frame, delay) in enumerate(zip(order, delays_ms, strict=True)):
        top, bottom = bands[frame]
        size = struct.pack(">IIIII", number, width, bottom - top, 0, top)
        parts.append(chunk(b"fcTL", size + struct.pack(">HHBB", delay, MILLISECONDS, 0, 0)))
        number += 1
        if place == 0:
            parts.append(chunk(b"IDAT", frames[frame]))
        else:
            parts.append(chunk(b"fdAT", struct.pack(">I", number) + frames[frame]))
            number += 1
    return b"".join([*parts, chunk(b"IEND", b"")])


def compress_frames(film: Film, bands: Sequence[tuple[int, int]], level: int) -> list[bytes]:
    """Return the compressed scan lines of each frame's band, first and last-plus-one line.

    Threads only share the work: the bytes are the same however many there are.
    """
    from concurrent.futures import ThreadPoolExecutor  # slow to load, and for previews alone

    def compress(frame: int) -> bytes:
        pixels = film.rgb(frame) if film.palette is None else film.pixels[frame]
        return zlib.compress(scan_lines(pixels[slice(*bands[frame])]), level)

    with ThreadPoolExecutor(min(os.cpu_count() or 1, 8)) as pool:
        return list(pool.map(compress, range(len(film.pixels))))
