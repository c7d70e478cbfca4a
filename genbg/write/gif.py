"""preview.gif: the preview's frames at 50 a second or slower, for places that show no other.

A GIF counts time in hundredths of a second, and browsers show frames below two of them at ten a
second, so frames are never shorter than that. Frames of more than 256 colours, which only
backdrops with many splits have, lose their rarest ones here; preview.png has them all.
Source: GIF89a specification; the looping extension is common practice, no source.
"""

from __future__ import annotations

import struct
from collections.abc import Iterator, Sequence

import numpy as np

from genbg.colour import distance_steps, lab_steps, screen_table
from genbg.images import gif_head, gif_image_data
from genbg.model import Backdrop
from genbg.screen.film import MOST_INDEXED, Film
from genbg.write.play import changed_lines, delays, played_frames

CENTISECONDS = 100
SHORTEST_CS = 2
KEEP = 1 << 2
"""Disposal of a frame: leave it in place; the next one covers what changes."""


def files(backdrop: Backdrop, film: Film) -> Iterator[tuple[str, bytes]]:
    """Yield preview.gif."""
    order = played_frames(backdrop.preview)
    times = delays(len(order), backdrop.preview.fps, CENTISECONDS, SHORTEST_CS)
    yield "preview.gif", animated_gif(film, order, times)


def animated_gif(film: Film, order: Sequence[int], delays_cs: Sequence[int]) -> bytes:
    """Return an animated GIF that loops for ever.

    order: frame numbers of the film as they are played; delays_cs: how long each is shown
    """
    count, height, width = film.pixels.shape
    bands = [(0, height)] * count
    if film.palette is not None:
        bands = changed_lines(film.pixels, order)
    images = [frame_image(film, frame, band) for frame, band in enumerate(bands)]
    unused = np.zeros((2, 3), dtype=np.uint8)
    parts = [gif_head((width, height), unused if film.palette is None else film.palette)]
    for frame, delay in zip(order, delays_cs, strict=True):
        parts.append(struct.pack("<BBBBHBB", 0x21, 0xF9, 4, KEEP, delay, 0, 0))
        parts.append(images[frame])
    return b"".join([*parts, b"\x3b"])


def frame_image(film: Film, frame: int, band: tuple[int, int]) -> bytes:
    """Return a frame's image descriptor, its own colour table if it has one, and its data.

    band: first and last-plus-one line that the image holds
    """
    pixels, table, flags = film.pixels[frame, slice(*band)], b"", 0
    if film.palette is None:
        colours, pixels = fit_frame(pixels, film.levels)
        size = max(1, (len(colours) - 1).bit_length())
        flags = 0x80 | size - 1
        table = screen_table(film.levels)[colours].tobytes().ljust(3 << size, b"\x00")
    height, width = pixels.shape
    descriptor = struct.pack("<BHHHHB", 0x2C, 0, band[0], width, height, flags)
    return descriptor + table + gif_image_data(pixels)


def fit_frame(number: np.ndarray, levels: tuple[int, ...]) -> tuple[np.ndarray, np.ndarray]:
    """Return (at most 256 colour numbers, pixels (H, W) uint8 that count them).

    Past 256 colours the most frequent stay and the others become the nearest of them in OKLab. As
    frequent, or as near: the lower colour number wins.
    """
    count = np.bincount(number.ravel(), minlength=512)
    often = np.argsort(-count, kind="stable")[:MOST_INDEXED]
    kept = np.sort(often[count[often] > 0])
    steps = lab_steps(levels)
    place = np.array([distance_steps(steps[kept], colour).argmin() for colour in steps])
    place[kept] = np.arange(len(kept))
    return kept, place[number].astype(np.uint8)
