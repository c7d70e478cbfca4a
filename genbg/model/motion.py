"""What scrolling hands on: how everything moves, and what memory holds in each frame."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from fractions import Fraction

import numpy as np


@dataclass(frozen=True, eq=False)
class LineSpeeds:
    """How fast each screen line moves.

    ratio: (L, 2) int32, signed 16.16 pixels a camera pixel, columns FRONT, BACK
    drift: (L, 2) int32, signed 16.16 pixels a frame
    """

    ratio: np.ndarray
    drift: np.ndarray


@dataclass(frozen=True, eq=False)
class Wave:
    """An offset of lines `top` to `bottom` (the second not included) of one plane.

    frames: after which it is as before; step: what a line adds to the phase, 0..65535
    offsets: (256,) int8 pixels, by the upper 8 bits of the phase
    """

    plane: int
    top: int
    bottom: int
    frames: int
    step: int
    offsets: np.ndarray


@dataclass(frozen=True, eq=False)
class Split:
    """A rewrite of colours part-way down the frame.

    line: screen line from which it holds; first: first colour entry 0..63
    words: {mood: (n,) uint16 colour words}
    """

    line: int
    first: int
    words: Mapping[str, np.ndarray]


@dataclass(frozen=True, eq=False)
class PlacedSprites:
    """Sprites as a game places them, the nearest first; a screen's table is made from these.

    x, y: (n,) column 0..W-1 of the left edge and screen line of the upper one, at the start
    width, height: (n,) cells; word: (n,) uint16, the third word of a table entry
    ratio: (n,) int32, 16.16 pixels that a sprite moves for one of the camera, sideways and down
    drift: (n,) int32, 16.16 pixels a frame sideways
    """

    x: np.ndarray
    y: np.ndarray
    width: np.ndarray
    height: np.ndarray
    word: np.ndarray
    ratio: np.ndarray
    drift: np.ndarray


@dataclass(frozen=True, eq=False)
class Vertical:
    """How the planes move up and down.

    ratio: of FRONT and BACK, 16.16 lines up for one pixel that the camera moves down
    speeds: of all H plane lines; screen line i shows plane line i + lines up, and moves as it does
    offsets: (P, 20, 2) whole pixels that each column adds, positive up, again after P frames; None
        where all columns move alike
    endless: True where the camera goes on and on, so that sprites come again after H lines
    """

    ratio: tuple[int, int]
    speeds: LineSpeeds
    offsets: np.ndarray | None = None
    endless: bool = False


@dataclass(frozen=True, eq=False)
class Preview:
    """What the console's memory holds in each preview frame.

    camera_step: pixels the camera moves a frame, a multiple of 1/65536
    returns: True where the animation plays the frames back again to where it began
    scroll: (F, L, 2) uint16; vscroll: (F, 20, 2) uint16 or None
    palette: (F, 64) uint16 or None; sprites: (F, 80, 8) uint8 or None
    splits: (F, n) uint16 words of the rewrites as splits.bin has them, where they change; or None
    camera_y: (F,) int64 1/65536 pixels that the camera has moved down, or None where it never does
    """

    fps: Fraction
    camera_step: Fraction
    returns: bool
    scroll: np.ndarray
    vscroll: np.ndarray | None = None
    palette: np.ndarray | None = None
    sprites: np.ndarray | None = None
    splits: np.ndarray | None = None
    camera_y: np.ndarray | None = None

    @property
    def frames(self) -> int:
        return len(self.scroll)


@dataclass(frozen=True, eq=False)
class Motion:
    """All that moves, and what memory holds while it does (scroll -> write).

    speeds: of all lines that layers may lie on: the screen's, or those of moving planes
    waves: from the top down, FRONT first; vertical: how planes move up and down, or None
    placed: sprites as a game places them, or None; asked: the most sprites of a frame
    first: (n, 8) table entries of the first frame, or None
    cuts: sentences on shapes that speeds cut apart; warnings: on all else
    """

    speeds: LineSpeeds
    waves: tuple[Wave, ...]
    vertical: Vertical | None
    placed: PlacedSprites | None
    preview: Preview
    first: np.ndarray | None = None
    asked: int | None = None
    cuts: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
