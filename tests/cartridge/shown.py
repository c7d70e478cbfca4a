"""Frames of a recording as colour words, and what they have to be."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from genbg.model import Backdrop
from genbg.screen.display import draw_frame, line_palettes, load_screen

LEVEL = 34
"""The reference shows the eight levels of a channel as 0, 34, 68 .. 238."""
REWRITE_SHOWS = 1
"""Lines after which the reference shows a colour that is rewritten in a gap: it draws a line as
soon as the one above is counted, 16 pixels before the gap begins. Measured with writes of one
colour at every column of a line: one at column 0xA4 shows in the line that follows, one at 0xAA, in
the gap, a line later. On the machine it shows at once."""


def recorded_words(frame: np.ndarray, width: int) -> np.ndarray:
    """Return a recorded frame (448, 1280, 3) as colour words (224, width)."""
    pixels = frame[::2, :: frame.shape[1] // width].astype(np.int64)
    assert not (pixels % LEVEL).any(), "a level that the reference does not show"
    level = pixels // LEVEL
    return level[..., 0] << 1 | level[..., 1] << 5 | level[..., 2] << 9


def play_order(backdrop: Backdrop) -> list[int]:
    """Return the preview's frames as they are played once, there and back where it does."""
    frames = list(range(backdrop.preview.frames))
    return frames + (frames[-2:0:-1] if backdrop.preview.returns else [])


def expected_words(backdrop: Backdrop, order: list[int]) -> Iterator[np.ndarray]:
    """Yield the colour words (L, width) of preview frames, as the reference shows them."""
    screen = load_screen(backdrop)
    for frame in order:
        entries = draw_frame(screen, frame)
        starts, words = line_palettes(backdrop, frame)
        starts = np.where(starts > 0, starts + REWRITE_SHOWS, 0)
        zone = np.searchsorted(starts, np.arange(len(entries)), side="right") - 1
        yield words[zone[:, None], entries].astype(np.int64)


def is_dark(frame: np.ndarray) -> bool:
    """Return whether a recorded frame has one colour all along, as before the screen is lit."""
    return bool((frame == frame[:1, :1]).all())


def lit_frames(film: np.ndarray) -> np.ndarray:
    """Return the frames from the first lit one on."""
    dark = 0
    while is_dark(film[dark]):
        dark += 1
    return film[dark:]
