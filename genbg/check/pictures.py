"""The pictures, pixel for pixel, against frames drawn from the machine's bytes."""

from __future__ import annotations

import functools
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

import numpy as np

from genbg.check.listing import Export
from genbg.colour import screen_table
from genbg.errors import BytesError
from genbg.hardware.colour_word import word_to_number
from genbg.images import NotAPictureError, read_animation, read_indexed
from genbg.model import Backdrop
from genbg.screen.display import Screen, draw_frame, line_palettes, load_screen
from genbg.write.sheet import ACROSS

MOST_COLOURS = 256
"""Colours of a GIF frame."""
SHORTEST_CS = 2
MOVING = {
    "preview.png": (1000, 0),
    "preview.gif": (100, SHORTEST_CS),
}
"""Parts of a second that delays count in, and the fewest of them that a frame is shown."""


def check(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield what each still picture shows that the machine would not."""
    screen = load_screen(backdrop)
    yield from guarded("still.png", check_still(export, screen))
    yield from guarded("sheet.png", check_sheet(export, backdrop))


def moving_faults(path: str, export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield what a moving picture shows, frame by frame, that the machine would not."""
    yield from guarded(path, check_moving(path, export, load_screen(backdrop)))


def guarded(path: str, faults: Iterator[str]) -> Iterator[str]:
    """Yield faults with their file's name; a damaged picture is one of them."""
    try:
        for fault in faults:
            yield f"{path}: {fault}"
    except (NotAPictureError, BytesError) as error:
        yield f"{path}: {error}"


def check_still(export: Export, screen: Screen) -> Iterator[str]:
    """Yield where still.png is not frame 0."""
    frames = list(read_animation(export.data["still.png"], screen_size(screen), 1))
    if len(frames) != 1:
        yield "is an animation; one frame is needed"
    yield from pixel_faults(frames[0][0], frame_pixels(screen, 0), "")


def check_moving(path: str, export: Export, screen: Screen) -> Iterator[str]:
    """Yield the first played frame whose pixels or time are not right, and a wrong count."""
    order = play_order(screen.backdrop)
    units, least = MOVING[path]
    step = max(Fraction(units) / screen.backdrop.preview.fps, Fraction(least))
    shown, exact, place = Fraction(0), Fraction(0), 0
    frames = read_animation(export.data[path], screen_size(screen), len(order))
    for place, (pixels, seconds) in enumerate(frames, start=1):
        where = f"played frame {place - 1}, which is frame {order[place - 1]}: "
        expected = frame_pixels(screen, order[place - 1])
        faults = list(pixel_faults(pixels, expected, where))
        if faults and path.endswith(".gif"):
            faults = list(pixel_faults(with_rare_colours(pixels, expected), expected, where))
        shown, exact = shown + seconds * units, exact + step
        if abs(shown - exact) > 1:
            ends = f"{float(shown / units):g} s; {float(exact / units):g} s is right"
            faults.append(f"{where}ends after {ends}")
        if faults:
            yield from faults
            return
    if place != len(order):
        yield f"plays {place} frames; {len(order)} are needed"


def play_order(backdrop: Backdrop) -> list[int]:
    """Return frame numbers as played: 0 to the last, and back to 1 where the preview returns."""
    there = list(range(backdrop.preview.frames))
    return there + there[-2:0:-1] if backdrop.preview.returns else there


def screen_size(screen: Screen) -> tuple[int, int]:
    """Return width and height of the screen in pixels."""
    return screen.width, screen.lines


def frame_pixels(screen: Screen, frame: int) -> np.ndarray:
    """Return a frame as (L, width, 4) uint8 sRGB and alpha, all of it opaque."""
    entries = draw_frame(screen, frame)
    starts, words = line_palettes(screen.backdrop, frame)
    colours = rgba_table(tuple(screen.backdrop.machine.levels))[word_to_number(words)]
    pixels = np.empty(entries.shape, dtype=np.uint32)
    for zone, (start, end) in enumerate(pairwise([*starts.tolist(), screen.lines])):
        np.take(colours[zone], entries[start:end], out=pixels[start:end])
    return pixels.view(np.uint8).reshape(*entries.shape, 4)


@functools.cache
def rgba_table(levels: tuple[int, ...]) -> np.ndarray:
    """Return (512,) uint32, in memory the 4 bytes red, green, blue, 255 of each colour number."""
    rgb = screen_table(levels)
    rgba = np.concatenate([rgb, np.full((len(rgb), 1), 255, dtype=np.uint8)], axis=1)
    return np.ascontiguousarray(rgba).view(np.uint32)[:, 0]


def packed(pixels: np.ndarray) -> np.ndarray:
    """Return pixels (H, W, 4) uint8 as one number each, (H, W)."""
    return np.ascontiguousarray(pixels).view(np.uint32)[..., 0]


def with_rare_colours(pixels: np.ndarray, expected: np.ndarray) -> np.ndarray:
    """Return a GIF frame with the pixels right whose colours a GIF of 256 colours had to give up.

    Where a frame has more, those that the picture shows nowhere count as given up.
    """
    kept, wanted = np.unique(packed(pixels)), packed(expected)
    if len(np.unique(wanted)) <= MOST_COLOURS or len(kept) < MOST_COLOURS:
        return pixels
    lost = ~np.isin(wanted, kept)
    return np.where(lost[..., None], expected, pixels)


def pixel_faults(pixels: np.ndarray, expected: np.ndarray, where: str) -> Iterator[str]:
    """Yield the first pixel that differs and how many do."""
    wrong = packed(pixels) != packed(expected)
    if wrong.any():
        y, x = np.argwhere(wrong)[0].tolist()
        yield (
            f"{where}line {y}, column {x} is {colour_text(pixels[y, x])}; the machine shows "
            f"{colour_text(expected[y, x])} ({int(np.count_nonzero(wrong))} such pixels)"
        )


def colour_text(pixel: np.ndarray) -> str:
    """Return a pixel as "#rrggbb", its alpha after it where it is not opaque."""
    red, green, blue, alpha = pixel.tolist()
    return f"#{red:02x}{green:02x}{blue:02x}" + ("" if alpha == 255 else f" at {alpha}/255")


def check_sheet(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield where sheet.png does not show the tiles of tiles.bin, each under one palette row."""
    stored = len(backdrop.tiles.pixels)
    rows = max(1, -(-stored // ACROSS))
    pixels, palette = read_indexed(export.data["sheet.png"], (ACROSS * 8, rows * 8))
    cells = pixels.reshape(rows, 8, ACROSS, 8).transpose(0, 2, 1, 3).reshape(-1, 8, 8)
    wrong = (cells[:stored] & 15 != backdrop.tiles.pixels).any(axis=(1, 2))
    if wrong.any():
        yield f"pattern {int(wrong.argmax())} is not that of tiles.bin ({int(wrong.sum())} such)"
    row = cells[:stored] >> 4
    mixed = (row != row[:, :1, :1]).any(axis=(1, 2)) | (row > 3).any(axis=(1, 2))
    if mixed.any():
        yield f"pattern {int(mixed.argmax())} is not drawn in one palette row"
    if cells[stored:].any():
        yield f"something is drawn past the last pattern, {stored - 1}"
    numbers = word_to_number(backdrop.palette)
    colours = screen_table(tuple(backdrop.machine.levels))[numbers]
    if palette.shape != colours.shape or (palette != colours).any():
        yield "its palette is not that of palette.bin"
