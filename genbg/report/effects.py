"""Lines of the report on what the screen does beside scrolling: one for each thing it does."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from genbg.hardware.memory import plan_memory
from genbg.hardware.sizes import PLANE_NAMES
from genbg.model import Backdrop, Wave


def effect_rows(backdrop: Backdrop) -> Iterator[tuple[str, str]]:
    """Yield (label, text) of splits, reflection, window, waves and moving colours, if any."""
    if backdrop.colours.splits:
        yield "splits", split_words(backdrop)
    mirror = backdrop.proof.figures.reflection
    if mirror:
        yield (
            "reflection",
            f"{mirror.lines} lines from line {mirror.line} on: {mirror.cells} cells, "
            f"{mirror.patterns} patterns of their own",
        )
    if backdrop.moves.window is not None:
        yield "window", window_words(backdrop)
    if backdrop.moves.waves:
        yield "waves", "; ".join(wave_words(wave) for wave in backdrop.moves.waves)
    if backdrop.colours.scripts:
        yield "moving colours", motion_words(backdrop)


def split_words(backdrop: Backdrop) -> str:
    """How many colours change at each border, over how many lines, and how many pixels late."""
    borders = backdrop.proof.figures.splits or ()
    told = []
    for border in borders:
        lines = border.last - border.first + 1
        late = f", {border.late_pixels} pixels late" if border.late_pixels else ""
        over = f"{lines} lines" if lines > 1 else "1 line"
        told.append(f"{border.colours} colours at line {border.line} over {over}{late}")
    return f"{len(borders)}: {'; '.join(told)}"


def window_words(backdrop: Backdrop) -> str:
    """Which lines the window takes, and the bytes of its map."""
    assert backdrop.moves.window is not None
    top, bottom = backdrop.moves.window
    plan = plan_memory(backdrop.machine, len(backdrop.tiles.pixels), True, backdrop.has_sprites)
    size = plan.area("window map").size
    return f"lines {top} to {bottom - 1}, kept for the game; its map takes {size} bytes"


def wave_words(wave: Wave) -> str:
    """Where a wave is and how far it sways."""
    plane = PLANE_NAMES[wave.plane]
    pixels = int(np.abs(wave.offsets.astype(int)).max())
    far = f"{pixels} pixel" + "s" * (pixels != 1)
    return f"{plane} lines {wave.top} to {wave.bottom - 1} by {far} every {wave.frames} frames"


def motion_words(backdrop: Backdrop) -> str:
    """How long a period is, what its table takes, and the most words that one frame changes."""
    script = backdrop.colours.scripts[backdrop.mood].tolist()
    at, most, frames = 1, 0, 0
    while at < len(script):
        most, frames = max(most, script[at + 1]), frames + 1
        at += 2 + 2 * script[at + 1]
    return (
        f"{script[0]} frames, {frames} of them change colours, at most {most} at once; "
        f"table of {2 * len(script)} bytes"
    )
