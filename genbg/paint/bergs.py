"""Bergs: outlines of floating ice, and the flat faces it breaks into.

Ice breaks along planes, so a berg is made of few faces with straight edges between places on the
cells (`paths.py` without any raggedness). Tones are those of `relief.py`.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.cover import add_marks
from genbg.paint.craft import CELL
from genbg.paint.marks import tone_changes
from genbg.paint.paths import draw_paths, snap
from genbg.paint.scatter import hash_words, pick, pick_one
from genbg.records import record

DEEP, SHADE, BETWEEN, LIT, RIM = range(5)
CLEFTS = (
    tone_changes("......-. .....--. ....--.. ....-... ...--... ..--.... ..-..... ........"),
    tone_changes("........ ....++.. ...++... ..++.... ........ ........ ........ ........"),
)
"""Of a face: a cleft, and light that ice throws back."""
REACH = 3 * CELL
"""Pixels by which an edge may run aside on its way down."""


@record(frozen=True)
class Berg:
    """One berg.

    x: its first column, a multiple of 8; tops: (n+1,) heights in pixels at the cell borders
    seed: its own; ring: it goes all round the plane, so that its ends meet
    """

    x: int
    tops: np.ndarray
    seed: int
    ring: bool = False


def pointed_tops(seed: int, tall: float, quantum: int, most: int) -> np.ndarray:
    """Heights at the borders of a berg with one main point and a lower one beside it.

    tall: pixels; quantum: of which heights are multiples; most: cells that it may be wide
    """
    up = max(2, round(tall / CELL / (1.2 + 0.3 * pick_one(seed, 3, "steep"))))
    down = max(2, round(tall / CELL / (0.7 + 0.2 * pick_one(seed, 3, "slow"))))
    up, down = min(up, most // 3), min(down, most // 2)
    if pick_one(seed, 2, "side"):
        up, down = down, up
    rise = np.concatenate([np.arange(up) / up, 1 - np.arange(down + 1) / down])
    rough = (pick(seed, 5, np.arange(len(rise)) // 2, 7) - 2) * 0.05
    second = np.maximum(0, 0.5 - np.abs(np.arange(len(rise)) - up - down * 0.55) * 0.16)
    tops = tall * np.maximum(rise + rough * (rise > 0) * (rise < 1), second)
    tops[0], tops[-1] = 0, 0
    return snap(tops, quantum)


def table_tops(seed: int, tall: float, quantum: int, most: int) -> np.ndarray:
    """The same of a berg with a flat top that leans a little and has one step."""
    wide = max(4, round(tall / CELL * (2.0 + 0.4 * pick_one(seed, 4, "wide"))))
    wide = min(wide, most)
    at = np.arange(wide + 1)
    step = pick_one(seed, wide, "step")
    lean = (pick_one(seed, 5, "lean") - 2) * 0.02
    tops = tall * (0.8 + lean * (at - wide / 2) + 0.2 * ((at > step) ^ bool(seed & 1)))
    tops = np.where((at == 1) | (at == wide - 1), tops * 0.9, tops)
    tops = np.where((at == 0) | (at == wide), 0, tops)
    return snap(np.clip(tops, 0, tall), quantum)


def cliff_tops(seed: int, tall: float, columns: int, rise: np.ndarray) -> np.ndarray:
    """Heights (columns+1,) of a glacier's front, block by block; rise: (columns,), -0.7 .. 0.7."""
    block = np.cumsum(pick(seed, 3, np.arange(columns), 1) == 0)
    block %= max(1, int(block[-1]))
    drop = pick(seed, 4, block, 2) * 0.04
    tops = snap(tall * np.clip(0.82 + 0.4 * rise - drop, 0.2, 1.0), 4)
    return np.concatenate([tops, tops[:1]])


def face_tones(
    berg: Berg, top: np.ndarray, foot: int, lines: int, facets: float, left_lit: bool
) -> np.ndarray:
    """Tones (lines, w) of a berg's faces, whatever its outline: wedges that hang from its top.

    top: (w,) first line of the berg; foot: line of the water; facets: how far it is cut, 0..1
    The main point parts light from shade; an edge between two faces shines.
    """
    y, x = np.arange(lines)[:, None], np.arange(len(top))[None, :]
    tones = np.full((lines, len(top)), LIT if left_lit else SHADE)
    starts = _edge_starts(berg, facets)
    first = max(0, int(foot - berg.tops.max())) // CELL
    for n, start in enumerate(starts):
        edge = _edge_path(berg, start, first, lines, 1 if n % 2 else -1)
        tone = _tone_after(berg, start, left_lit)
        if berg.ring and n + 1 == len(starts):
            tone = int(tones[0, 0])  # the last face goes on where the first one began
        tones = np.where(x >= edge[:, None], tone, tones)
    edges = (tones != np.roll(tones, 1, axis=1)) & (x > 0)
    tones = np.where(edges, RIM, tones)
    wet = (foot - y) < (foot - top) // 4
    tones = np.where(wet & (tones < RIM), tones - 1, tones)
    share = round(3 * facets)
    return add_marks(tones, CLEFTS, share, not left_lit, 0, hash_words(berg.seed, "clefts"))


def _edge_starts(berg: Berg, facets: float) -> list[int]:
    """Cell borders, from left to right, at which edges between faces begin."""
    cells = len(berg.tops) - 1
    count = 1 + round(facets * (cells + 1) / 2)
    cuts = 1 + pick(berg.seed, max(1, cells - 1), np.arange(count), 3)
    starts = sorted({int(np.argmax(berg.tops)), *cuts.tolist()})
    if berg.ring:
        return [start for start in starts if 4 <= start <= cells - 5]
    return starts


def _edge_path(berg: Berg, start: int, first: int, lines: int, way: int) -> np.ndarray:
    """Columns (lines,) of an edge that leans one way, and from a kink on another."""
    row = np.arange((lines + CELL - 1) // CELL + 1)
    lean = (-4, 0, 4, 4)[pick_one(berg.seed, 4, start, "lean")]
    kink = first + 1 + pick_one(berg.seed, 4, start, "kink")
    run = np.where(row < kink, 0, row - kink) * lean + (row - first) * 4 * way
    places = start * CELL + np.clip(run, -REACH, REACH)
    return draw_paths(places[None], 0, 1, 0)[0][:lines]


def _tone_after(berg: Berg, start: int, left_lit: bool) -> int:
    """Tone of the face right of an edge: never brighter on the far side of the main point."""
    summit = int(np.argmax(berg.tops))
    if start == summit:
        return SHADE if left_lit else LIT
    tone = (BETWEEN, LIT, SHADE, BETWEEN)[pick_one(berg.seed, 4, start, "tone")]
    away = (start > summit) == left_lit
    return min(tone, BETWEEN) if away else max(tone, BETWEEN)


def snow_depth(berg: Berg, thick: float) -> np.ndarray:
    """Lines (w,) float64 of snow under the outline: deep where it is level, little where steep."""
    steep = np.abs(np.diff(berg.tops))
    level = np.where(steep <= 4, 7, np.where(steep <= 8, 4, 2))
    drip = np.array([0, 1, 2, 2, 1, 0, -1, -1])
    return np.repeat(level, CELL) * thick * 1.6 + np.tile(drip, len(steep)) * (thick > 0)
