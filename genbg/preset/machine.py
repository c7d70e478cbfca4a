"""The keys of [machine]: the console that a backdrop is made for, and what may be stored of it."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from genbg.hardware.sizes import MOST_SENT, TILE_NUMBERS
from genbg.keys import key

PLANE_SIDES = (32, 64, 128)
PLANE_SIZES = tuple((w, h) for w in PLANE_SIDES for h in PLANE_SIDES if w * h <= 4096)
SCREEN_SIZES = tuple((w, h) for w in (320, 256) for h in (224, 232, 240))
USUAL_LINES = 224
"""Screen lines that every board has; more need a board of `TALL_FRAME` lines a frame."""
TALL_FRAME = 313
LADDERS = ("linear", "measured")
MERGES = ("balanced", "contours", "fast")


@dataclass(frozen=True)
class MachineKeys:
    """[machine]: the console that the backdrop is made for."""

    screen: tuple[int, int] = key(
        (320, 224), "ints", "Pixels of the screen, width and height.", choices=SCREEN_SIZES
    )
    plane_cells: tuple[int, int] = key(
        (64, 32), "ints", "Cells of 8x8 pixels of each plane.", choices=PLANE_SIZES
    )
    tile_budget: int = key(
        640,
        "int",
        "Patterns that both planes and the sprites may store together.",
        low=1,
        high=TILE_NUMBERS,
        unit="patterns",
    )
    quality: float | None = key(
        None,
        "float",
        "Structural similarity (SSIM) that merging has to keep: the smallest budget that does is "
        "used, up to tile_budget.",
        low=0,
        high=1,
    )
    merge: str = key(
        "balanced",
        "choice",
        "What merging minds: texture and outlines alike, outlines before texture, or the time.",
        choices=MERGES,
    )
    scroll: str = key(
        "line",
        "choice",
        "What scrolls by itself: every line, every strip of 8 lines, or the plane as a whole.",
        choices=("line", "strip", "plane"),
    )
    vertical: str = key(
        "none",
        "choice",
        "What moves up and down: nothing, each plane as a whole, or every column of 16 pixels.",
        choices=("none", "plane", "column"),
    )
    levels: str = key(
        "linear",
        "choice",
        "How bright the 8 levels of a channel are shown: evenly spaced, or as measured on a board.",
        choices=LADDERS,
    )
    tall_lines: int = key(
        240, "int", "Lines of the taller screen of 50 Hz boards.", low=232, high=240, unit="lines"
    )
    fps: float | None = key(
        None,
        "float",
        "Frames a second of the console; 59.92, or 49.7 with the taller screen.",
        low=1,
        high=120,
        unit="frames a second",
    )
    frame_lines: int | None = key(
        None,
        "int",
        "Lines of a frame with its blank; 262, or 313 with the taller screen.",
        low=225,
        high=1024,
        unit="lines",
    )
    cycles_per_line: int = key(
        488, "int", "Processor cycles a line.", low=1, high=1_000_000, unit="cycles"
    )
    cpu_hz: int = key(
        7_670_000, "int", "Clock of the processor.", low=1, high=1_000_000_000, unit="Hz"
    )
    blank_bytes_per_line: int = key(
        205,
        "int",
        "Bytes that can be sent to video memory in a blanked line.",
        low=0,
        high=MOST_SENT,
        unit="bytes",
    )
    transfer_bytes: int = key(
        7200,
        "int",
        "Working budget of such bytes a frame.",
        low=0,
        high=MOST_SENT,
        unit="bytes",
    )
    drawn_bytes_per_line: int = key(
        18,
        "int",
        "Bytes that can be sent in a line being drawn.",
        low=0,
        high=MOST_SENT,
        unit="bytes",
    )
    gap_cycles: int = key(
        122,
        "int",
        "Processor cycles between the last pixel of a line and the first of the next.",
        low=1,
        high=1_000_000,
        unit="cycles",
    )
    colours_per_line: int | None = key(
        None,
        "int",
        "Colours that are rewritten in one such gap; as many as its cycles allow if absent, and "
        "more show as dots.",
        low=1,
        high=64,
        unit="colours",
    )
    sprites_screen: int | None = key(
        None,
        "int",
        "Sprites on a screen; 80, or 64 on the narrower screen.",
        low=0,
        high=80,
        unit="sprites",
    )
    sprites_line: int | None = key(
        None,
        "int",
        "Sprites on a line; 20, or 16 on the narrower screen.",
        low=0,
        high=20,
        unit="sprites",
    )
    sprite_pixels_line: int | None = key(
        None,
        "int",
        "Sprite pixels on a line; as many as the screen is wide if absent.",
        low=0,
        high=320,
        unit="pixels",
    )
    splits_warn: int = key(
        4,
        "int",
        "Colour rewrites a frame from which the frame rate starts to suffer.",
        low=1,
        high=224,
        unit="rewrites",
    )

    def faults(self) -> Iterator[tuple[str, str]]:
        height = self.screen[1]
        if height != USUAL_LINES and height != self.tall_lines:
            says = f"the height must be {USUAL_LINES}, or {self.tall_lines} as tall_lines says"
            yield "screen", says
        if self.frame_lines is not None and height > USUAL_LINES and self.frame_lines < TALL_FRAME:
            yield "frame_lines", f"a screen of {height} lines needs at least {TALL_FRAME}"
        if self.tall_lines not in (232, 240):
            yield "tall_lines", "must be 232 or 240"
