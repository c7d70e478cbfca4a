"""Ground that one could walk on: crests of turf, stones with facets, ferns, roads, light on it all.

Ground is laid back to front on a `LeafSheet`, whose levels are tones of a grass ramp: first a
ridge's calm body, then its grasses in three passes, dark, middle and lit, thick and thin by turns.
Things near are large and few, things far are small and flat.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.exact import blur, cosine, fall, sine
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.leaves import TURNS, LeafSheet, Leaves, cut_blades
from genbg.paint.craft.scatter import bell, hash_words, pick, unit

HEIGHTS = (2, 3, 4, 5, 7, 9, 12, 16)
"""Heights of blades, pixels."""
LEANS = (-3, -2, -1, 0, 1, 2, 3)
"""Their leans, quarter pixels a line."""


@dataclass(frozen=True)
class Turf:
    """What grows on a ridge.

    level: tone of its body in the shade; lit: tones that full light adds
    blade: height of its grass, pixels; thick: tufts for each column; fans: tall tufts a 100 columns
    """

    level: float
    lit: float = 3.7
    blade: float = 3.0
    thick: float = 1.0
    fans: float = 7.0


def grass(sheet: LeafSheet, x: np.ndarray, y: np.ndarray, tall: np.ndarray, level: np.ndarray,
          seed: int, spread: int = 3) -> None:  # fmt: skip
    """Tufts (n,) of a few blades each at x, y, the farthest first.

    tall: height in pixels; level: tone; spread: leans that blades differ by, 0..3
    """
    stamps = cut_blades(HEIGHTS, LEANS)
    count = 2 + pick(seed, 4, np.arange(len(x)), 0)
    owner = np.repeat(np.arange(len(x)), count)
    number = np.arange(len(owner))
    within = number - np.repeat(np.add.accumulate(count) - count, count)
    off = within - count[owner] // 2
    lean = np.clip(off + np.floor(bell(seed, number) * 1.2 + 0.5), -spread, spread) + 3
    wish = tall[owner] * (0.65 + 0.5 * unit(seed, number, 5)) * (1.0 - 0.1 * np.abs(off))
    size = np.searchsorted(np.array(HEIGHTS), wish).clip(0, len(HEIGHTS) - 1)
    kind = (size * len(LEANS) + lean).astype(np.int64)
    shade = level[owner] - 0.5 * (off > 0) + 0.3 * bell(seed, number, 7)
    order = np.argsort(y[owner], kind="stable")
    leaves = Leaves(x[owner] + off, y[owner], kind, shade)
    sheet.lay(leaves.kept(order), stamps)


def lay_ridge(
    sheet: LeafSheet,
    edge: np.ndarray,
    turf: Turf,
    light: np.ndarray,
    seed: int,
    toward: float = -1.0,
) -> None:
    """One ridge of turf in front of what lies there.

    edge: (W,) its crest, lines; light: (N, W), 0..1, light that falls on it
    toward: the light's side, -1 left .. 1 right: slopes that face it are lighter
    """
    lines, width = sheet.level.shape
    y = np.arange(lines)[:, None]
    rough = fractal(width, lines, hash_words(seed, "tufts"), max(1, width // 16), 1 / 10, 2)
    slope = blur((np.roll(edge, -3) - np.roll(edge, 3))[None, :] / 6.0, 4, 0)[0]
    depth = y - edge[None, :]
    below = depth + rough * 9.0
    tone = turf.level - 0.55 * (below > 4) - 0.55 * (below > 9)
    tone = tone + np.clip(slope * -2.6 * -toward, -1.4, 1.4)[None, :] * (depth < 7)
    bright = np.where(light > 0.75, 1.0, np.where(light > 0.42, 0.72, 0.32 * (light > 0.2)))
    tone = np.maximum(tone + turf.lit * bright, 0.0)
    sheet.level = np.where(depth >= 0, np.floor(tone + 0.5), sheet.level)
    _sow(sheet, edge, turf, light, seed, slope * -toward)


def _sow(
    sheet: LeafSheet, edge: np.ndarray, turf: Turf, light: np.ndarray, seed: int, slope: np.ndarray
) -> None:
    """Grasses of a ridge in three passes: dark ones behind, middle ones, lit ones in the light."""
    lines, width = sheet.level.shape
    thin = profile(width, hash_words(seed, "thin"), max(1, width // 26), 2)
    for name, share, level, low in (
        ("dark", 0.5, -0.6, 0.0),
        ("middle", 0.6, 0.9, 1.0),
        ("lit", 0.3, 1.6, 1.5),
    ):
        own = hash_words(seed, name)
        number = np.arange(int(width * turf.thick * share))
        x = pick(own, width, number, 0)
        kept = thin[x] * 1.6 > unit(own, number, 1) * 0.9 - 0.55
        x, number = x[kept], number[kept]
        y = np.floor(edge[x] + low + np.abs(bell(own, number)) * 1.4 + 0.5).astype(np.int64)
        glow = light[np.clip(y, 0, lines - 1), x]
        wanted = glow > 0.35 if name == "lit" else y < lines + 4
        tone = turf.level + level + turf.lit * glow - 1.6 * slope[x]
        tall = turf.blade * (0.7 + 0.5 * unit(own, number, 2))
        grass(sheet, x[wanted], y[wanted], tall[wanted], tone[wanted], own)
    own = hash_words(seed, "fans")
    number = np.arange(int(width * turf.fans / 100))
    x = pick(own, width, number, 0)
    kept = np.roll(thin, width // 3)[x] > -0.05
    x, number = x[kept], number[kept]
    y = np.floor(edge[x] + 1 + 2 * turf.blade * unit(own, number, 1)).astype(np.int64)
    glow = light[np.clip(y, 0, lines - 1), x]
    tall = turf.blade * (1.3 + 0.8 * unit(own, number, 2))
    grass(sheet, x, y, tall, turf.level + 1.0 + turf.lit * glow, own)


@dataclass(frozen=True, eq=False)
class Stone:
    """A stone's pixels: columns and lines (n,) int64, tone 0..1, and whether moss grows there."""

    x: np.ndarray
    y: np.ndarray
    tone: np.ndarray
    moss: np.ndarray


def cut_stone(
    x: float, y: float, across: float, down: float, seed: int,
    light: tuple[float, float], moss: float = 0.6,
) -> Stone:  # fmt: skip
    """A stone as the hull of ten random planes: facets come by themselves, flat at its foot.

    across, down: half sizes; light: toward it, y up; moss: how much of what looks up is green
    """
    number = np.arange(10)
    turn = (number + 0.6 * unit(seed, number, 0)) / 9.0
    rise = 0.024 + 0.135 * unit(seed, number, 1)
    a, b, c = cosine(turn) * cosine(rise), sine(turn) * cosine(rise), sine(rise)
    off = 0.78 + 0.22 * unit(seed, number, 2)
    a[9], b[9], c[9], off[9] = -0.15 + 0.3 * unit(seed, 9, 3)[0], -0.55, 0.8, 0.86
    row = np.arange(-int(down) - 1, int(down) + 2)
    column = np.arange(-int(across) - 1, int(across) + 2)
    u, w = (column / across)[None, :, None], (row / down)[:, None, None]
    height = (off - a * u - b * w) / c
    face = height.argmin(axis=2)
    inside = (height.min(axis=2) > 0) & (w[:, :, 0] < 0.72)
    line, at = np.nonzero(inside)
    plane = face[line, at]
    tone = 0.42 + 0.42 * (a[plane] * light[0] - b[plane] * light[1]) + 0.12 * c[plane]
    tone = tone - 0.22 * np.clip(row[line] / down, 0.0, 1.0)
    jitter = 0.14 * bell(seed, line, at)
    green = -b[plane] + jitter - 0.5 * row[line] / down > 1.0 - moss
    return Stone(column[at] + int(x), row[line] + int(y), tone, green)


def ground_shadows(
    lines: int, feet: np.ndarray, slope: float, wide: float = 1.05, spread: float = 0.1
) -> np.ndarray:
    """Pixels (N, W) bool under the cast shadows of trunks on level ground.

    feet: (n, 4): x, first line, radius, width of the plane; slope: columns a line, away from light
    """
    width = int(feet[0, 3]) if len(feet) else 0
    y, x = np.arange(lines)[:, None], np.arange(width)[None, :]
    dark = np.zeros((lines, width), dtype=bool)
    for foot, first, radius, _ in feet.tolist():
        down = y - first
        off = (x - foot - slope * down + width / 2) % width - width / 2
        dark |= (np.abs(off) < radius * wide + down * spread) & (down > 0)
    return dark


def torn(light: np.ndarray, seed: int, cells: int = 32, line_cells: float = 1 / 6) -> np.ndarray:
    """Pools of light (N, W) with the shadows of leaves in them."""
    lines, width = light.shape
    leaf = fractal(
        width, lines, hash_words(seed, "leafy"), max(1, width * cells // 512), line_cells, 2
    )
    return np.where(leaf > 0.15, 0.2 * light, light)


def fern(sheet: LeafSheet, x: float, y: float, size: float, level: float, seed: int) -> None:
    """A fern: a dark nest, then fronds that arch from one heart with leaflets in pairs."""
    number = np.arange(int(size * 2.2))
    turn, reach = 0.5 + 0.5 * unit(seed, number, 0), np.sqrt(unit(seed, number, 1))
    nest_x = np.floor(x + cosine(turn) * reach * size * 0.62).astype(np.int64)
    nest_y = np.floor(y + sine(turn) * reach * size * 0.42).astype(np.int64)
    dark = np.zeros(len(number))
    sheet.lay(Leaves(nest_x, nest_y, 2 * TURNS + number % TURNS, dark))
    count = 7 + int(hash_words(seed, "fronds") % 3)
    outer = np.argsort(-np.abs(np.arange(count) - (count - 1) / 2), kind="stable")
    for k in outer.tolist():
        _frond(sheet, x, y, size, level, (k / (count - 1) - 0.5) * 2.0, hash_words(seed, k))


def _frond(
    sheet: LeafSheet, x: float, y: float, size: float, level: float, side: float, seed: int
) -> None:
    """One frond; side: -1 left .. 1 right."""
    turn = -0.25 + side * 0.18 + 0.011 * float(bell(seed, 0)[0])
    long = size * (0.85 + 0.25 * float(unit(seed, 1)[0])) * (1.0 - 0.1 * abs(side))
    p = np.arange(0.0, long, 0.5)
    px = x + cosine(turn) * p * 1.1
    py = y + sine(turn) * p + p * p / long * (0.30 + 0.34 * abs(side))
    base = level + (1.5 if side < 0.1 else 0.0) - (1.0 if side > 0.5 else 0.0)
    sheet.put(np.floor(px + 0.5), np.floor(py + 0.5), max(base - 1.0, 0.0))
    joint = np.arange(4, len(p) - 1, 4)
    dx, dy = px[joint + 1] - px[joint - 1], py[joint + 1] - py[joint - 1]
    norm = np.sqrt(dx * dx + dy * dy) + 1e-9
    dx, dy = dx / norm, dy / norm
    wide = np.sqrt(np.maximum(1.0 - p[joint] / long, 0.0)) * size * 0.22 + 0.6
    for turned in (-1.0, 1.0):
        lx, ly = dx * 0.5 - turned * dy * 0.87, dy * 0.5 + turned * dx * 0.87
        lit = base + np.where(ly < 0, 0.9, -0.6) + (p[joint] / long - 0.4)
        for reach in np.arange(0.6, size * 0.22 + 0.6, 0.6).tolist():
            there = reach < wide
            sheet.put(
                np.floor(px[joint] + lx * reach + 0.5)[there],
                np.floor(py[joint] + ly * reach + 0.5)[there],
                np.clip(np.floor(lit + 0.5), 0.0, None)[there],
            )


def road(
    lines: int, width: int, edge: np.ndarray, seed: int, wide: float
) -> tuple[np.ndarray, np.ndarray]:
    """A road along the picture: pixels (N, W) bool, and tone 0..1 with ruts and a worn crown.

    edge: (W,) its far edge, lines; wide: its breadth, lines
    """
    y = np.arange(lines)[:, None]
    ragged = profile(width, hash_words(seed, "far"), width // 16, 2) * 2.5
    near = profile(width, hash_words(seed, "near"), width // 20, 2) * 4.0
    part = (y - edge - ragged) / np.maximum(wide + near - ragged, 1.0)
    there = (part >= 0) & (part < 1)
    grain = fractal(width, lines, hash_words(seed, "grain"), width // 12, 1 / 3, 2)
    ruts = fall(((part - 0.3) / 0.09) * ((part - 0.3) / 0.09))
    ruts = ruts + fall(((part - 0.72) / 0.11) * ((part - 0.72) / 0.11))
    return there, np.clip(0.62 - 0.34 * ruts + 0.3 * grain - 0.12 * part, 0.0, 1.0)
