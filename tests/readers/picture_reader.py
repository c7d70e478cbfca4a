"""Reads PNG, APNG and GIF files chunk by chunk in plain Python: a second decoder, no library.

Sources: W3C PNG Specification, Third Edition; GIF89a specification.
"""

from __future__ import annotations

import struct
import zlib
from collections.abc import Iterator
from dataclasses import dataclass, field

SAMPLES = {2: 3, 3: 1, 6: 4}


@dataclass
class Frame:
    """A frame of an APNG: its control chunk's fields and its compressed data."""

    width: int
    height: int
    x: int
    y: int
    delay: tuple[int, int]
    dispose: int
    blend: int
    data: bytes = b""


@dataclass
class Png:
    """A PNG file: header fields, palette, alpha, chunk kinds in order, frames of an APNG."""

    width: int = 0
    height: int = 0
    depth: int = 0
    colour_type: int = 0
    palette: list[tuple[int, int, int]] = field(default_factory=list)
    alpha: bytes = b""
    kinds: list[bytes] = field(default_factory=list)
    sequence: list[int] = field(default_factory=list)
    frame_count: int = 0
    plays: int = 0
    still: bytes = b""
    frames: list[Frame] = field(default_factory=list)


def chunks(data: bytes) -> list[tuple[bytes, bytes]]:
    """(type, body) of every chunk; each CRC is checked."""
    assert data[:8] == bytes([137, 80, 78, 71, 13, 10, 26, 10])
    at, found = 8, []
    while at < len(data):
        length, kind = struct.unpack_from(">I4s", data, at)
        body = data[at + 8 : at + 8 + length]
        (check,) = struct.unpack_from(">I", data, at + 8 + length)
        assert check == zlib.crc32(kind + body), f"CRC of {kind!r}"
        found.append((kind, body))
        at += 12 + length
    return found


def read_png(data: bytes) -> Png:
    """A PNG or APNG file taken apart."""
    png = Png()
    for kind, body in chunks(data):
        png.kinds.append(kind)
        if kind == b"IHDR":
            png.width, png.height, png.depth, png.colour_type, *rest = struct.unpack(
                ">IIBBBBB", body
            )
            assert rest == [0, 0, 0]
        elif kind == b"PLTE":
            png.palette = [tuple(body[i : i + 3]) for i in range(0, len(body), 3)]
        elif kind == b"tRNS":
            png.alpha = body
        elif kind == b"acTL":
            png.frame_count, png.plays = struct.unpack(">II", body)
        elif kind == b"fcTL":
            number, w, h, x, y, num, den, dispose, blend = struct.unpack(">IIIIIHHBB", body)
            png.sequence.append(number)
            png.frames.append(Frame(w, h, x, y, (num, den), dispose, blend))
        elif kind == b"IDAT":
            png.still += body
            if png.frames:
                png.frames[-1].data += body
        elif kind == b"fdAT":
            png.sequence.append(struct.unpack_from(">I", body)[0])
            png.frames[-1].data += body[4:]
    return png


def scan_lines(png: Png, packed: bytes, size: tuple[int, int] | None = None) -> list[bytes]:
    """Unfiltered lines of compressed image data of 8 bits a sample, as large as `size`.

    size: (width, height); if None, as the header says
    """
    assert png.depth == 8
    width, height = size or (png.width, png.height)
    step = SAMPLES[png.colour_type]
    length = width * step
    raw = zlib.decompress(packed)
    assert len(raw) == height * (length + 1)
    lines, above = [], bytes(length)
    for start in range(0, len(raw), length + 1):
        line = bytearray(raw[start + 1 : start + 1 + length])
        unfilter(raw[start], line, above, step)
        above = bytes(line)
        lines.append(above)
    return lines


def unfilter(kind: int, line: bytearray, above: bytes, step: int) -> None:
    """Undo a line's filter in place; clause 9.2 of the specification."""
    if kind == 0:
        return
    for i in range(len(line)):
        a = line[i - step] if i >= step else 0
        b = above[i]
        c = above[i - step] if i >= step else 0
        if kind == 4:
            p = a + b - c
            guess = min((abs(p - a), 0, a), (abs(p - b), 1, b), (abs(p - c), 2, c))[2]
        else:
            guess = {1: a, 2: b, 3: (a + b) // 2}[kind]
        line[i] = (line[i] + guess) & 255


def rgb_line(png: Png, line: bytes) -> list[tuple[int, int, int]]:
    """Pixels of an unfiltered line as (red, green, blue)."""
    step = SAMPLES[png.colour_type]
    if png.colour_type == 3:
        return [png.palette[number] for number in line]
    return [tuple(line[i : i + 3]) for i in range(0, len(line), step)]


def still_rgb(png: Png) -> list[list[tuple[int, int, int]]]:
    """The default image as rows of (red, green, blue)."""
    return [rgb_line(png, line) for line in scan_lines(png, png.still)]


def played_lines(png: Png) -> Iterator[list[bytes]]:
    """What each frame of an APNG leaves on the screen, as unfiltered lines.

    Only frames that overwrite their region and leave it (blend and dispose 0) are known here.
    """
    step = SAMPLES[png.colour_type]
    canvas = [bytes(png.width * step)] * png.height
    for frame in png.frames:
        assert (frame.dispose, frame.blend) == (0, 0)
        assert frame.x + frame.width <= png.width
        assert frame.y + frame.height <= png.height
        left, right = frame.x * step, (frame.x + frame.width) * step
        canvas = list(canvas)
        for y, line in enumerate(scan_lines(png, frame.data, (frame.width, frame.height)), frame.y):
            canvas[y] = canvas[y][:left] + line + canvas[y][right:]
        yield canvas


def gif_blocks(data: bytes) -> dict:
    """Size, loop count, delays (hundredths of a second) and number of images of a GIF89a file."""
    assert data[:6] == b"GIF89a"
    width, height, flags = struct.unpack_from("<HHB", data, 6)
    at = 13 + (3 * (2 << (flags & 7)) if flags & 0x80 else 0)
    found: dict = {"size": (width, height), "delays": [], "images": 0, "loop": None}
    while data[at] != 0x3B:
        if data[at] == 0x21 and data[at + 1] == 0xF9:
            found["delays"].append(struct.unpack_from("<H", data, at + 4)[0])
        if data[at] == 0x21 and data[at + 1] == 0xFF:
            found["loop"] = struct.unpack_from("<H", data, at + 16)[0]
        if data[at] == 0x21:
            at += 2
        else:
            assert data[at] == 0x2C
            found["images"] += 1
            local = data[at + 9]
            at += 10 + (3 * (2 << (local & 7)) if local & 0x80 else 0) + 1
        while data[at]:
            at += 1 + data[at]
        at += 1
    assert at == len(data) - 1, "nothing follows the trailer"
    return found
