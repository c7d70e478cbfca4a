"""The pictures, pixel for pixel, against frames drawn from the machine's bytes."""

from __future__ import annotations

from collections.abc import Iterator
from fractions import Fraction

import numpy as np

from genbg.check.listing import Export
from genbg.colour import screen_table
from genbg.errors import BytesError
from genbg.hardware.colour_word import word_to_number
from genbg.images import NotAPictureError, read_animation, read_indexed
from genbg.model import Backdrop
from genbg.write.display import Screen, draw_frame, line_palettes, load_screen
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
    """Yield what each picture shows that the machine would not."""
    screen = load_screen(backdrop)
    yield from guarded("still.png", check_still(export, screen))
    yield from guarded("sheet.png", check_sheet(export, backdrop))
    for path in MOVING:
        if path in export.data:
            yield from guarded(path, check_moving(path, export, screen))


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
    yield from pixel_faults(frames[0][0], frame_rgb(screen, 0), "")


def check_moving(path: str, export: Export, screen: Screen) -> Iterator[str]:
    """Yield the first played frame whose pixels or time are not right, and a wrong count."""
    order = play_order(screen.backdrop)
    units, least = MOVING[path]
    step = max(Fraction(units) / screen.backdrop.preview.fps, Fraction(least))
    shown, exact, place = Fraction(0), Fraction(0), 0
    for place, (rgb, seconds) in enumerate(
        read_animation(export.data[path], screen_size(screen), len(order)), start=1
    ):
        frame = order[place - 1]
        where = f"played frame {place - 1}, which is frame {frame}: "
        expected = frame_rgb(screen, frame)
        if path.endswith(".gif"):
            rgb = with_rare_colours(rgb, expected)
        yield from (faults := list(pixel_faults(rgb, expected, where)))
        shown, exact = shown + seconds * units, exact + step
        if not faults and abs(shown - exact) > 1:
            faults = [
                f"{where}ends after {float(shown / units):g} s; {float(exact / units):g} s is right"
            ]
            yield from faults
        if faults:
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


def frame_rgb(screen: Screen, frame: int) -> np.ndarray:
    """Return a frame as (L, width, 3) uint8 sRGB."""
    entries = draw_frame(screen, frame)
    starts, words = line_palettes(screen.backdrop, frame)
    zone = np.searchsorted(starts, np.arange(screen.lines), side="right") - 1
    numbers = word_to_number(words)[zone[:, None], entries]
    return screen_table(tuple(screen.backdrop.machine.levels))[numbers]


def with_rare_colours(rgb: np.ndarray, expected: np.ndarray) -> np.ndarray:
    """Return a GIF frame with the pixels right whose colours a GIF of 256 colours had to give up.

    Where a frame has more, those that the picture shows nowhere count as given up.
    """
    wanted = packed(expected)
    colours = np.unique(wanted)
    if len(colours) <= MOST_COLOURS:
        return rgb
    kept = np.unique(packed(rgb))
    lost = ~np.isin(wanted, kept)
    return np.where(lost[..., None], expected, rgb) if len(kept) >= MOST_COLOURS else rgb


def packed(rgb: np.ndarray) -> np.ndarray:
    """Return sRGB pixels (..., 3) as one number each."""
    part = rgb.astype(np.int64)
    return part[..., 0] << 16 | part[..., 1] << 8 | part[..., 2]


def pixel_faults(rgb: np.ndarray, expected: np.ndarray, where: str) -> Iterator[str]:
    """Yield the first pixel that differs and how many do."""
    wrong = (rgb != expected).any(axis=-1)
    if wrong.any():
        y, x = np.argwhere(wrong)[0].tolist()
        yield (
            f"{where}line {y}, column {x} is {tuple(rgb[y, x].tolist())}; the machine shows "
            f"{tuple(expected[y, x].tolist())} ({int(np.count_nonzero(wrong))} such pixels)"
        )


def check_sheet(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield where sheet.png does not show the patterns of tiles.bin, each under one palette row."""
    stored = len(backdrop.patterns)
    rows = max(1, -(-stored // ACROSS))
    pixels, palette = read_indexed(export.data["sheet.png"], (ACROSS * 8, rows * 8))
    cells = pixels.reshape(rows, 8, ACROSS, 8).transpose(0, 2, 1, 3).reshape(-1, 8, 8)
    wrong = (cells[:stored] & 15 != backdrop.patterns).any(axis=(1, 2))
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
