"""What merging tiles changed: changes.png, pixel by pixel, and curve.png, what budgets cost.

changes.png is as large as the planes, the front plane above the back one. Pixels that are stored as
painted are dim and grey; the others go from yellow, hardly seen, to violet, plain to see.
curve.png is there where tiles had to be merged. Both are drawn from figures as the manifest has
them and from the machine's bytes, so that `genbg check` can draw them again.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from genbg.colour import LAB_SCALE, lab_steps
from genbg.measure import round_digits
from genbg.model import Backdrop
from genbg.screen.display import plane_colours
from genbg.write.labels import (
    INK,
    OF_BACK,
    OF_FRONT,
    QUIET,
    RULE,
    blank,
    fill,
    film_of,
    write,
    write_right,
)
from genbg.write.once import once
from genbg.write.png import indexed_png
from genbg.write.stills import frame_png

CHANGE_STEP = 20
"""Lab steps (1024 to an OKLab unit) from one level of change to the next: 0.02, about what an eye
tells apart in neighbouring pixels (the just noticeable difference of CSS Color Module Level 4)."""

CHANGE_LEVELS = 15
"""Levels of change above 0; the last is everything from there on."""
GREYS = 16
DARKEST, LIGHTEST = 18, 108
"""Bytes of the greys that unchanged pixels are drawn in."""
HEAT = ((255, 224, 130), (255, 138, 60), (240, 40, 110), (190, 0, 190))
"""Colours that the levels of change pass through."""

WIDTH, HEIGHT = 480, 270
LEFT, RIGHT, TOP, BOTTOM = 48, 20, 40, 34
CURVE, MARK = OF_BACK, OF_FRONT
TICKS = 5
LOW_END = 0.05
"""Share of all tiles below which the curve may leave the plot: the last few cost so much that
the rest would lie flat."""


def files(backdrop: Backdrop) -> Iterator[tuple[str, bytes]]:
    """Yield changes.png, and curve.png where there is a curve."""
    yield "changes.png", indexed_png(change_pixels(backdrop), change_colours())
    if len(backdrop.tiles.curve) > 1:
        yield "curve.png", frame_png(film_of([plot(backdrop)], backdrop.machine.levels), 0)


@once
def change_levels(backdrop: Backdrop) -> np.ndarray:
    """Return (2, H, W) uint8: how much merging changed each plane pixel, 0 not to 15 most.

    A level is `CHANGE_STEP` lab steps of OKLab distance between painted and stored colour; level 1
    is any change below that.
    """
    levels = np.zeros(backdrop.proof.painted.shape, dtype=np.uint8)
    changed = backdrop.proof.painted != backdrop.proof.stored
    lab = lab_steps(tuple(backdrop.machine.levels)).astype(np.int64)
    apart = lab[backdrop.proof.painted[changed]] - lab[backdrop.proof.stored[changed]]
    bounds = (np.arange(1, CHANGE_LEVELS) * CHANGE_STEP) ** 2
    levels[changed] = 1 + np.searchsorted(bounds, (apart * apart).sum(axis=-1), side="right")
    levels.setflags(write=False)
    return levels


def change_pixels(backdrop: Backdrop) -> np.ndarray:
    """Return both planes, front above back, as numbers into `change_colours`."""
    levels = change_levels(backdrop)
    light = lab_steps(tuple(backdrop.machine.levels)).astype(np.int64)[:, 0]
    grey = (np.clip(light, 0, LAB_SCALE) * (GREYS - 1) // LAB_SCALE).astype(np.uint8)
    shown = grey[plane_colours(backdrop)]
    pixels = np.where(levels > 0, levels + np.uint8(GREYS - 1), shown)
    return pixels.reshape(-1, pixels.shape[2])


def change_colours() -> np.ndarray:
    """Return the palette (31, 3) uint8: greys, then the levels of change from 1 on."""
    greys = DARKEST + np.arange(GREYS) * (LIGHTEST - DARKEST) // (GREYS - 1)
    place = np.arange(CHANGE_LEVELS) * (len(HEAT) - 1) / (CHANGE_LEVELS - 1)
    stops = np.arange(len(HEAT))
    heat = np.stack([np.interp(place, stops, channel) for channel in np.array(HEAT).T], axis=1)
    return np.concatenate([np.stack([greys] * 3, axis=1), np.rint(heat)]).astype(np.uint8)


def plot(backdrop: Backdrop) -> np.ndarray:
    """Return the curve as a picture (H, W) uint16 in colour numbers."""
    picture = blank(WIDTH, HEIGHT)
    tiles = backdrop.tiles.curve[:, 0]
    error = np.sqrt([round_digits(mse) for mse in backdrop.tiles.curve[:, 1].tolist()])
    most = float(tiles.max())
    worst = nice_above(float(np.interp(most * LOW_END, tiles[::-1], error[::-1])))
    wide, high = WIDTH - LEFT - RIGHT, HEIGHT - TOP - BOTTOM

    def x_of(count: float) -> int:
        return LEFT + round((count - 1) / max(1.0, most - 1) * (wide - 1))

    def y_of(value: float) -> int:
        return TOP + high - 1 - round(min(1.0, value / worst) * (high - 1))

    write(picture, LEFT, 10, "Visible error at other budgets")
    write(picture, LEFT, 22, "root mean square OKLab distance a pixel, by patterns", QUIET)
    for tick in range(TICKS):
        value = worst * tick / (TICKS - 1)
        fill(picture, LEFT, y_of(value), wide, 1, RULE)
        write_right(picture, LEFT - 5, y_of(value) - 3, f"{value:.3f}", QUIET)
        count = 1 + (most - 1) * tick / (TICKS - 1)
        fill(picture, x_of(count), TOP, 1, high, RULE)
        text = f"{count:.0f}"
        write(picture, x_of(count) - 3 * len(text), TOP + high + 6, text, QUIET)
    columns = np.arange(x_of(float(tiles.min())), x_of(most) + 1)
    counts = 1 + (columns - LEFT) / (wide - 1) * (most - 1)
    lines = [y_of(value) for value in np.interp(counts, tiles[::-1], error[::-1])]
    for column, line, before in zip(columns.tolist(), lines, [lines[0], *lines], strict=False):
        fill(picture, column, min(line, before), 2, abs(line - before) + 2, CURVE)
    mark(picture, backdrop, x_of(len(backdrop.tiles.pixels)), y_of(rms(backdrop)))
    return picture


def mark(picture: np.ndarray, backdrop: Backdrop, x: int, y: int) -> None:
    """Mark what is stored, and say what it costs."""
    stored, error = len(backdrop.tiles.pixels), rms(backdrop)
    fill(picture, x, TOP, 1, HEIGHT - TOP - BOTTOM, MARK)
    fill(picture, x - 2, y - 2, 5, 5, INK)
    text = f"{stored} stored: {error:.4f}"
    if x > WIDTH // 2:
        write_right(picture, x - 6, TOP + 6, text, MARK)
    else:
        write(picture, x + 6, TOP + 6, text, MARK)


def rms(backdrop: Backdrop) -> float:
    """Return the root mean square OKLab distance a pixel of stored and painted planes."""
    return math.sqrt(round_digits(backdrop.proof.error.oklab_mse))


def nice_above(value: float) -> float:
    """Return the first of 0.004, 0.008, 0.016, ... that is not below."""
    step = 0.004
    while step < value:
        step *= 2
    return step
