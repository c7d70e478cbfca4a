"""Bergs: outlines of floating ice, and the flat faces it breaks into.

Ice breaks along planes, so a berg is made of few faces with straight edges between places on the
cells (`paths.py` without any raggedness). Tones are those of `relief.py`.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.cover import add_marks
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.paths import draw_paths, snap
from genbg.paint.craft.scatter import hash_words, pick, pick_one
from genbg.paint.parts.marks import tone_changes
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
    """Tones (lines, w) of a berg's faces, whatever its outline: planes that meet in straight edges.

    top: (w,) first line of the berg; foot: line of the water; facets: how far it is cut, 0..1
    The main point parts light from shade; the outermost face in shade catches light of the sky.
    """
    if berg.ring:
        return _cliff_tones(berg, top, foot, lines, facets, left_lit)
    x = np.arange(len(top))[None, :]
    level = np.flatnonzero(berg.tops >= berg.tops.max() - 4)
    summit = int(level[len(level) // 2])
    faces = _faces(berg, summit, facets, left_lit)
    tones = np.full((lines, len(top)), faces[0][1])
    for start, tone in faces[1:]:
        lean = 0 if start == summit else 1 if start < summit else -1
        edge = _edge_path(berg, start, foot, lines, lean, 1 if left_lit else -1)
        tones = np.where(x >= edge[:, None], tone, tones)
        if start == summit and facets > 0:
            tones = _cut_knees(berg, tones, edge, foot, left_lit)
    share = round(2 * facets)
    return add_marks(tones, CLEFTS, share, not left_lit, 0, hash_words(berg.seed, "clefts"))


def _faces(berg: Berg, summit: int, facets: float, left_lit: bool) -> list[tuple[int, int]]:
    """First border and tone of each face from left to right; the first begins at 0."""
    cells = len(berg.tops) - 1
    before, after = summit // 2, summit + (cells - summit + 1) // 2
    outer = RIM if left_lit else BETWEEN
    faces = [(0, LIT if left_lit else SHADE)]
    if facets > 0 and before > 1:
        inner = before + pick_one(berg.seed, 2, "before")
        faces = [(0, outer), (inner, LIT if left_lit else SHADE)]
    faces.append((summit, SHADE if left_lit else LIT))
    if facets > 0 and summit + 1 < after < cells:
        faces.append((after - pick_one(berg.seed, 2, "after"), BETWEEN if left_lit else RIM))
    return faces


def _edge_path(
    berg: Berg, start: int, foot: int, lines: int, way: int, shade: int = 1
) -> np.ndarray:
    """Columns (lines,) of an edge from the outline down.

    way: it leans left or right; 0: first to the side `shade`, from a kink on back
    """
    row = np.arange((lines + CELL - 1) // CELL + 1)
    first = max(0, foot - int(berg.tops[start])) // CELL
    down = np.maximum(row - first, 0)
    if way == 0:
        kink = 3 + pick_one(berg.seed, 3, "kink")
        run = shade * 4 * (np.minimum(down, kink) - np.maximum(down - kink, 0))
    else:
        run = way * 4 * down
    places = start * CELL + np.clip(run, -REACH, REACH)
    return draw_paths(places[None], 0, 1, 0)[0][:lines]


def _cut_knees(
    berg: Berg, tones: np.ndarray, edge: np.ndarray, foot: int, left_lit: bool
) -> np.ndarray:
    """Faces that open below the main edge, one to each side: tones with them."""
    x = np.arange(tones.shape[1])[None, :]
    high = int(berg.tops.max())
    for side in (-1, 1):
        up = high * (5 - pick_one(berg.seed, 3, side, "knee")) // 8
        open_ = np.maximum(np.arange(len(tones)) - (foot - up) // CELL * CELL, 0) // 2
        low, end = (edge - open_, edge) if side < 0 else (edge, edge + open_)
        inside = (x >= low[:, None]) & (x < end[:, None])
        lit = (side < 0) == left_lit
        inside &= tones == (LIT if lit else SHADE)
        tones = np.where(inside, BETWEEN if lit else DEEP, tones)
    return tones


def _cliff_tones(
    berg: Berg, top: np.ndarray, foot: int, lines: int, facets: float, left_lit: bool
) -> np.ndarray:
    """The same of a glacier's front: upright faces side by side, whose foot is a tone darker."""
    y, x = np.arange(lines)[:, None], np.arange(len(top))[None, :]
    cells = len(berg.tops) - 1
    count = 1 + round(facets * (cells + 1) / 2)
    cuts = {int(np.argmax(berg.tops)), *pick(berg.seed, cells - 1, np.arange(count), 3).tolist()}
    starts = sorted(cut for cut in cuts if 4 <= cut <= cells - 5)
    first = tone = LIT if left_lit else SHADE
    tones = np.full((lines, len(top)), first)
    for n, start in enumerate(starts):
        edge = _edge_path(berg, start, foot, lines, 1 if n % 2 else -1)
        others = [t for t in (SHADE, BETWEEN, LIT) if t != tone]
        tone = first if n + 1 == len(starts) else others[pick_one(berg.seed, 2, start, "tone")]
        tones = np.where(x >= edge[:, None], tone, tones)
    tones = np.where((foot - y) < (foot - top) // 4, tones - 1, tones)
    share = round(3 * facets)
    return add_marks(tones, CLEFTS, share, not left_lit, 0, hash_words(berg.seed, "clefts"))


def snow_depth(berg: Berg, thick: float) -> np.ndarray:
    """Lines (w,) float64 of snow under the outline: deep where it is level, little where steep."""
    steep = np.abs(np.diff(berg.tops))
    level = np.where(steep <= 4, 7, np.where(steep <= 8, 4, 2))
    drip = np.array([0, 1, 2, 2, 1, 0, -1, -1])
    return np.repeat(level, CELL) * thick * 1.6 + np.tile(drip, len(steep)) * (thick > 0)
