"""Water: mirrors with ripples, light paths that stay under their body, wavelets, shore lines.

All of it is made of lenses: flat, pointed at both ends, longer and thicker toward us, as a ripple
looks under a level eye. Rows below the horizon grow by the same rule.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.exact import sine
from genbg.paint.craft.fields import fractal, warped
from genbg.paint.craft.scatter import unit


def row_places(lines: int, first: float, grow: float) -> np.ndarray:
    """Places (n,) float64 of rows below a horizon, first apart at it and `grow` more a line."""
    places, at = [], first / 2
    while at < lines:
        places.append(at)
        at += first + grow * at
    return np.array(places)


@dataclass(frozen=True, eq=False)
class Lenses:
    """Flat lenses: x, y centres (columns, lines), half lengths, half heights, values (n,)."""

    x: np.ndarray
    y: np.ndarray
    half: np.ndarray
    thick: np.ndarray
    value: np.ndarray


def stamped(lenses: Lenses, lines: int, width: int, empty: float = -1.0) -> np.ndarray:
    """A field (lines, width) float64: at each pixel the highest value of the lenses on it.

    A lens of less than a line's height still covers its line; columns wrap.
    """
    field = np.full(lines * width, empty)
    reach = int(np.ceil(lenses.thick.max())) if len(lenses.x) else 0
    middle = np.floor(lenses.y).astype(np.int64)
    for row in range(-reach, reach + 1):
        line = middle + row
        part = (line + 0.5 - lenses.y) / np.maximum(lenses.thick, 0.5)
        there = (np.abs(part) <= 1.0) | (row == 0)
        there &= (line >= 0) & (line < lines)
        inner = np.sqrt(np.maximum(0.0, 1.0 - part * part))
        half = np.where(row == 0, np.maximum(lenses.half * inner, 0.5), lenses.half * inner)
        left = np.floor(lenses.x - half + 0.5).astype(np.int64)
        count = np.floor(lenses.x + half + 0.5).astype(np.int64) - left
        count = np.where(there, np.clip(count, 0, width), 0)
        which = np.repeat(np.arange(len(count)), count)
        step = np.arange(len(which)) - np.repeat(np.cumsum(count) - count, count)
        place = line[which] * width + (left[which] + step) % width
        np.maximum.at(field, place, lenses.value[which])
    return field.reshape(lines, width)


@dataclass(frozen=True)
class Path:
    """How a light lies on water.

    spread: half width at the horizon and its growth a line, pixels; half: half length of glints
    there and its growth; reach: lines over which it fades; heat: of the middle at the horizon
    sway: pixels by which its axis swings; core: half width of the solid light at the horizon
    """

    spread: tuple[float, float] = (6.3, 0.115)
    half: tuple[float, float] = (1.3, 0.085)
    reach: float = 130.0
    heat: float = 4.9
    sway: float = 2.2
    core: float = 17.0


SUN_PATH = Path()
CLIPPED = 2.1
"""Spreads from the axis at which glints end."""


def light_path(
    lines: int, width: int, column: float, seed: int, path: Path = SUN_PATH, calm: float = 0.5
) -> np.ndarray:
    """Heat (lines, width) float64 of a light's path below the horizon (row 0): -1 none, 0 ..
    about 5 its hottest. calm: 0 a breeze scatters the glints, 1 they lie close.

    Glints are many and small far off, few and long near, and fewer off the axis: the slope that a
    wave needs to send the light to the eye grows with the distance from the axis (M. Minnaert,
    "Light and Color in the Outdoors", paths of light on water).
    """
    rows = row_places(lines, 0.9, 0.016)
    half = path.half[0] + rows * path.half[1]
    wide = path.spread[0] + rows * path.spread[1]
    wide = wide + (1.2 + rows * 0.02) * sine(rows * 0.021 + unit(seed, 1)[0])
    axis = column + path.sway * sine(rows * 0.033 + unit(seed, 11)[0])
    share = np.maximum(0.2, 1.0 - 0.45 * rows / path.reach)
    count = np.clip(wide * 5.2 / half, 4, 60) * share * (0.7 + 0.5 * calm)
    row, off, draw = _scattered(seed, count)
    away = np.abs(off)
    glints = Lenses(
        x=axis[row] + off * wide[row],
        y=rows[row] + draw[0] * 1.2 - 0.6,
        half=np.maximum(half[row] * (0.5 + 1.1 * draw[1]) * (1.15 - 0.22 * away), 0.6),
        thick=0.4 + rows[row] * 0.009,
        value=np.maximum(path.heat - 1.9 * away - rows[row] * 0.006 + draw[2] * 1.4 - 0.8, 0.0),
    )
    heat = stamped(glints, lines, width)
    row, off, draw = _scattered(seed + 1, count * TROUGHS)
    troughs = Lenses(
        x=axis[row] + off * wide[row] * 1.2,
        y=rows[row] + draw[0] - 0.5,
        half=np.maximum(half[row] * (0.4 + draw[1]), 0.6),
        thick=0.4 + rows[row] * 0.004,
        value=np.ones(len(row)),
    )
    heat = np.where(stamped(troughs, lines, width) > 0, np.minimum(heat, _dulled(heat)), heat)
    return np.maximum(heat, _core(lines, width, column, path))


TROUGHS = 0.42
"""Dark fronts of waves for each glint."""


def _dulled(heat: np.ndarray) -> np.ndarray:
    """What the dark front of a wave leaves of the light: nothing, or a duller glint at its core."""
    return np.where(heat > 4.2, 1.0, -1.0)


def _scattered(seed: int, count: np.ndarray) -> tuple[np.ndarray, np.ndarray, list[np.ndarray]]:
    """Things scattered over rows: row (n,), place across in spreads (bell shaped), draws 0..1."""
    row = np.repeat(np.arange(len(count)), count.astype(np.int64))
    number = np.arange(len(row))
    one, two, three, four, *draws = (unit(seed, number, n) for n in range(2, 10))
    off = np.clip((one + two + three + four - 2.0) * 1.73, -CLIPPED, CLIPPED)
    return row, off, draws


def _core(lines: int, width: int, column: float, path: Path) -> np.ndarray:
    """Solid light on the two lines below the body, which ties the path to it."""
    heat = np.full((lines, width), -1.0)
    away = np.abs((np.arange(width) + 0.5 - column + width / 2) % width - width / 2)
    for line in range(min(2, lines)):
        heat[line, away < path.core - 4 * line] = path.heat + 1.0
    return heat


def wavelets(
    lines: int, width: int, seed: int, amount: float = 1.0, period: int | None = None
) -> np.ndarray:
    """Tone changes (lines, width) of single ripples: 1 a lit back, -1 its dark front, 0 none.

    They lie in drifts, long and few toward us. period: columns after which they repeat
    """
    round_at = period or width
    rows = row_places(lines, 2.0, 0.055)
    half = 1.6 + rows * 0.16
    count = np.maximum(1, amount * round_at / (half * 4.2)).astype(np.int64)
    row = np.repeat(np.arange(len(rows)), count)
    number = np.arange(len(row))
    draw = [unit(seed, number, n) for n in range(5)]
    x = draw[0] * round_at
    y = rows[row] + (draw[1] * 2 - 1) * (1 + rows[row] * 0.03)
    drift = warped(
        (x / round_at * 3).astype(np.float32),
        (np.sqrt(rows[row]) * 1.3).astype(np.float32),
        seed,
        3,
    )
    keep = drift > draw[2] * 0.7 - 0.35
    long = np.minimum(half[row] * (0.5 + draw[3]), 30.0)[keep]
    x, y, thick = x[keep], y[keep], (0.45 + rows[row] * 0.011)[keep]
    ones = np.ones(len(x))
    dark = stamped(Lenses(x + long * 0.25, y + thick + 0.6, long, thick, ones), lines, round_at)
    lit = stamped(Lenses(x, y, long * 0.8, thick * 0.6, ones), lines, round_at)
    field = np.where(lit > 0, 1.0, np.where(dark > 0, -1.0, 0.0))
    return np.tile(field, (1, -(-width // round_at)))[:, :width]


@dataclass(frozen=True)
class Ripples:
    """How water bends what it mirrors.

    across, down: pixels of shove at the waterline and their growth a line
    rows: lines below the waterline from which a row is two, then three lines high
    """

    across: tuple[float, float] = (0.8, 0.13)
    down: tuple[float, float] = (0.5, 0.14)
    rows: tuple[int, int] = (14, 34)


CALM = Ripples()


def ripple_rows(lines: int, below: np.ndarray, ripples: Ripples) -> np.ndarray:
    """For each line (N,) the first line of its ripple row: rows are one line high at the water's
    edge, then two, then three. below: (N,) lines below the waterline."""
    line = np.arange(lines)
    two, three = ripples.rows
    by_two, by_three = line - np.maximum(below, 0) % 2, line - np.maximum(below, 0) % 3
    return np.where(below < two, line, np.where(below < three, by_two, by_three))


def rippled(
    lines: int, width: int, waterline: int, seed: int, ripples: Ripples = CALM
) -> tuple[np.ndarray, np.ndarray]:
    """Where each pixel of a mirror looks: (line, column) int64 (N, W) of the still mirror.

    The shove grows toward us, is the same along a ripple row's height, and wraps.
    waterline: line at which it begins
    """
    below = np.maximum(np.arange(lines) - waterline, 0)
    rows = ripple_rows(lines, below, ripples)
    wave = fractal(width, lines, seed, 30, 0.42, octaves=2)[np.clip(rows, 0, lines - 1)]
    slide = fractal(width, lines, seed + 1, 21, 0.55, octaves=1)[np.clip(rows, 0, lines - 1)]
    down = wave * 2 * (ripples.down[0] + below * ripples.down[1])[:, None]
    across = slide * 2 * (ripples.across[0] + below * ripples.across[1])[:, None]
    line = np.clip(np.floor(rows[:, None] + down + 0.5), 0, lines - 1).astype(np.int64)
    column = np.floor(np.arange(width)[None, :] + across + 0.5).astype(np.int64) % width
    return line, column


def broken_off(lines: int, width: int, below: np.ndarray, length: float, seed: int) -> np.ndarray:
    """Pixels (N, W) bool where a mirror still shows: whole at the waterline, broken into rows of
    dashes, gone `length` lines below. below: (N, W) or (N, 1) lines below the foot of the thing."""
    noise = fractal(width, lines, seed, 32, 0.7, octaves=2)
    return noise + 0.5 > np.maximum(0.0, below - 0.3 * length) / (0.7 * length)


def shore_line(
    seen_has: np.ndarray, seed: int, share: float = 0.55
) -> tuple[np.ndarray, np.ndarray]:
    """Where things meet the water: (dark contact, light thread), both (N, W) bool.

    seen_has: (N, W) bool, what stands in the water; the line just below its feet is dark, broken
    by threads of light.
    """
    width = seen_has.shape[1]
    above = np.zeros_like(seen_has)
    above[1:] = seen_has[:-1]
    foot = above & ~seen_has
    noise = fractal(width, 1, seed, 64, octaves=2)[0]
    thread = foot & (noise > 0.5 - share)[None, :]
    return foot & ~thread, thread


def lamp_path(
    size: tuple[int, int],
    at: tuple[float, float],
    seed: int,
    heat: float = 4.6,
    long: float = 26.0,
    wide: float = 1.5,
) -> np.ndarray:
    """Heat (lines, width) of a lamp's light on water: a column of short lenses, -1 none, to `heat`.

    It is hottest where the lamp's mirror image lies, and is drawn out toward us more than away.
    size: (lines, width), line 0 the water's edge; at: (column, line) of the mirror image
    long: lines toward us in which it dies; wide: half length of its lenses at the image
    """
    column, line = at
    rows = row_places(size[0], 1.0, 0.02)
    off = rows - line
    strong = heat - np.where(off > 0, off / long, -off / (0.35 * long)) * heat
    keep = strong > -0.4
    rows, strong, off = rows[keep], strong[keep], off[keep]
    number = np.arange(len(rows) * 2)
    row = np.concatenate([np.arange(len(rows))] * 2)
    draw = [unit(seed, number, n) for n in range(4)]
    swing = (1.0 + np.maximum(off[row], 0.0) * 0.05) * (draw[0] * 2 - 1)
    lenses = Lenses(
        x=column + swing,
        y=rows[row] + draw[1] * 0.6 - 0.3,
        half=(wide + np.maximum(off[row], 0) * 0.05) * (0.4 + draw[2]),
        thick=0.4 + rows[row] * 0.006,
        value=np.maximum(strong[row] + draw[3] * 1.6 - 1.1, 0.0),
    )
    keep = strong[row] + draw[3] * 1.6 - 1.1 > -0.3
    chosen = Lenses(*(part[keep] for _, part in parts_of(lenses)))
    return stamped(chosen, *size)


def parts_of(lenses: Lenses) -> list[tuple[str, np.ndarray]]:
    """Names and arrays of lenses, in order."""
    return [(name, getattr(lenses, name)) for name in ("x", "y", "half", "thick", "value")]
