"""What was measured, as the manifest tells it under `facts` and `error`."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class ErrorFigures:
    """Planes as stored against planes as painted (after the palette fit); contract of `error`."""

    oklab_mse: float
    psnr: float
    ssim: float
    seam: float


@dataclass(frozen=True)
class AskedFigures:
    """What the layers ask for against what the machine shows, in one mood.

    pixels: share that differ by more than is just noticeable; oklab_mse: mean squared OKLab
        distance a pixel; worst_cell: the largest mean OKLab distance of a cell's pixels
    asked, held: colours that the layers ask for, and how many of them are shown anywhere
    """

    pixels: float
    oklab_mse: float
    worst_cell: float
    asked: int = 0
    held: int = 0


@dataclass(frozen=True)
class Border:
    """What the rewrites at one border of a split cost.

    line: where the colours are to change; colours: entries that differ
    first, last: lines before which the first and the last of them is rewritten
    late_lines: lines with a late pixel; late_pixels: such pixels, both planes at full width
    """

    line: int
    colours: int
    first: int
    last: int
    late_lines: int
    late_pixels: int


@dataclass(frozen=True)
class Reflected:
    """What a reflection takes: its first line, lines and cells, and patterns of its own."""

    line: int
    lines: int
    cells: int
    patterns: int


@dataclass(frozen=True)
class Depths:
    """How many depths the eye is shown, in all and where."""

    all: int
    back: int
    front: int
    sprites: int


@dataclass(frozen=True)
class ColourMotion:
    """How many cycles turn colours, and after how many frames all are as at the start."""

    cycles: int
    frames: int


@dataclass(frozen=True)
class Fading:
    """A fade: the mood `to` that colours go to and come back from.

    frames: of the way to it; hold: frames that each of the two moods stays
    """

    to: str
    frames: int
    hold: int


@dataclass(frozen=True)
class Flashes:
    """Most flashes within one second, and most of saturated red."""

    general: int
    red: int


@dataclass(frozen=True)
class Figures:
    """Measured figures, in the order of the manifest's `facts`; None where there is nothing."""

    depths: Depths | None = None
    reflection: Reflected | None = None
    sprites_asked: int | None = None
    splits: tuple[Border, ...] | None = None
    colour_motion: ColourMotion | None = None
    bound_mse: float | None = None
    flashes: Flashes | None = None
    fade: Fading | None = None
