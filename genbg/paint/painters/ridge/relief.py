"""Single mountains and hills: an outline, a lit and a shaded face, spurs, or bands of light.

Words used here:
  window   the columns about one summit, x counted from the summit: -half .. half-1
  tone     0 deep shade, 1 shade, 2 between, 3 lit, 4 rim of light; -1 where the mountain is not
  lattice  places at the cell borders are multiples of a quantum, so that edges share tiles

A sharp mountain is drawn as pixel artists do: a ridge line zigzags down from the summit, one side
of it is lit and the other in shade, and spurs branch off it as wedges of another tone. A rounded
hill has no ridge line; its light lies in bands that follow the outline.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.edges import rim, shifted
from genbg.paint.craft.paths import draw_paths, snap
from genbg.paint.craft.scatter import pick_one, unit

DEEP, SHADE, BETWEEN, LIT, RIM = range(5)
SILHOUETTE = 0.1
"""With `faces` below this, terrain is one flat tone."""
AWAY = 8
"""Lines in 8 columns by which a hill may fall away from the light and still catch a rim of it."""
OVERHEAD = 0.2
"""Light nearer to overhead than this (its |x|) leaves no face in full shade."""


@dataclass(frozen=True)
class Lattice:
    """How the layer lies on the cells.

    rows: cell rows; phase: lines by which the first one begins above the layer; lines: N
    quantum: pixels; seed, variants, rag: of the shape table (`paths.py`)
    """

    rows: int
    phase: int
    lines: int
    quantum: int
    seed: int
    variants: int
    rag: int

    @property
    def shown(self) -> slice:
        return slice(self.phase, self.phase + self.lines)

    def draw(self, places: np.ndarray) -> np.ndarray:
        """Paths down the lines: (P, rows+1) places at the cell borders to (P, N) pixels."""
        return draw_paths(places, self.seed, self.variants, self.rag)[:, self.shown]


@dataclass(frozen=True)
class Summit:
    """One summit.

    x: its column; height: lines above the layer's bottom; seed: its own
    spurs: share of its spurs that are drawn, 0..1
    """

    x: int
    height: float
    seed: int
    spurs: float


def slopes(summit: Summit, sharp: float, rough: float, noise: np.ndarray) -> np.ndarray:
    """Heights (B+1,) above the bottom at the cell borders of the window, summit in the middle.

    sharp: 0 a dome, 1 straight slopes; noise: (C,) about -0.7 .. 0.7, one a cell of the plane
    """
    tall = summit.height
    steep = 0.55 + 0.6 * sharp
    half = min(int(tall / steep * 1.9) // 8 + 2, len(noise) // 2)
    at = np.arange(-half, half + 1)
    away = np.abs(at) * 8.0
    wide = 0.8 + 0.5 * unit(summit.seed, 1 + (at >= 0))
    t = away * steep / tall / wide
    straight = 1 - t * (1.2 - 0.25 * np.minimum(t, 2))
    dome = np.maximum(1 - t * t * 0.36, -1)
    broken = noise[(summit.x // 8 + at) % len(noise)] * rough * np.minimum(tall * 0.45, away)
    return tall * (sharp * straight + (1 - sharp) * dome) + broken


def ridge_line(summit: Summit, lattice: Lattice, first: int) -> np.ndarray:
    """Places (rows+1,) of the ridge line at the cell borders; it starts at cell row `first`.

    The line keeps near the middle, so that both faces show.
    """
    places = np.zeros(lattice.rows + 1, dtype=np.int64)
    turn = 1 if pick_one(summit.seed, 2, 4) else -1
    left = 1 + pick_one(summit.seed, 2, 3)
    for row in range(first, lattice.rows):
        if left == 0:
            turn, left = -turn, 1 + pick_one(summit.seed, 2, row, 5)
        left -= 1
        reach = 4 + 3 * (row - first + 1)
        step = turn * (4 + 4 * pick_one(summit.seed, 2, row, 6))
        step = int(snap(np.array(step), lattice.quantum))
        if abs(places[row] + step) > reach:
            step = 0
        places[row + 1] = places[row] + step
    return places


def spur_wedges(
    summit: Summit, lattice: Lattice, first: int, ridge: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Left and right places (P, rows+1) of wedges that branch off the ridge line."""
    wedges = []
    row = first + pick_one(summit.seed, 2, 12)
    side = 1 if pick_one(summit.seed, 2, 7) else -1
    while row < lattice.rows - 1:
        size = 2 + pick_one(summit.seed, 3, row, 8)
        if unit(summit.seed, row, 9)[0] < summit.spurs:
            wedges.append(_wedge(lattice, ridge, row, size, side))
        side = side if pick_one(summit.seed, 4, row, 10) == 0 else -side
        row += 1 + pick_one(summit.seed, 2, row, 11)
    if not wedges:
        empty = np.zeros((0, lattice.rows + 1), dtype=np.int64)
        return empty, empty
    return np.array([w[0] for w in wedges]), np.array([w[1] for w in wedges])


def _wedge(
    lattice: Lattice, ridge: np.ndarray, row: int, size: int, side: int
) -> tuple[np.ndarray, np.ndarray]:
    """One wedge: from the ridge at `row` outward at 45 degrees, back to a point after `size` rows.

    Its near edge follows the ridge for the first half, then runs out to the point.
    """
    grown = np.clip(np.arange(lattice.rows + 1) - row, 0, size)
    far = ridge[row] + side * 8 * grown
    half = max(1, size // 2)
    base = ridge[np.minimum(row + np.minimum(grown, half), lattice.rows)]
    out = (far[-1] - base) * np.clip(grown - half, 0, None) / (size - half)
    near = base + snap(out, lattice.quantum)
    return (near, far) if side > 0 else (far, near)


def draw_mountain(
    summit: Summit,
    lattice: Lattice,
    heights: np.ndarray,
    light: tuple[float, float],
    faces: float,
) -> tuple[np.ndarray, np.ndarray]:
    """Tones (N, 2*half) int64 of a sharp mountain's window, -1 outside; and its outline (2*half,).

    heights: at the cell borders, as from `slopes`
    """
    outline, top = _outline(lattice, heights)
    half = len(outline) // 2
    body = np.arange(lattice.lines)[:, None] >= outline
    first = max(0, int(top + lattice.phase) // 8)
    side = 1 if light[0] <= 0 else -1
    ridge = ridge_line(summit, lattice, first)
    x = np.arange(-half, half)
    right = x >= lattice.draw(ridge[None])[0][:, None]
    lit = right == (side < 0)
    shade = SHADE if abs(light[0]) >= OVERHEAD else BETWEEN
    tones = np.where(lit, LIT, shade)
    if summit.spurs > SILHOUETTE:
        left_ends, right_ends = spur_wedges(summit, lattice, first, ridge)
        lefts, rights = lattice.draw(left_ends), lattice.draw(right_ends)
        inside = (x >= lefts[:, :, None]) & (x < rights[:, :, None])
        tones = np.where(inside.any(axis=0), np.where(lit, BETWEEN, shade - 1), tones)
    tones = np.where(rim(body, light) & lit, RIM, tones)
    if faces < SILHOUETTE:
        tones[:] = SHADE
    return np.where(body, tones, -1), outline


def draw_hill(
    summit: Summit,
    lattice: Lattice,
    heights: np.ndarray,
    light: tuple[float, float],
    faces: float,
) -> tuple[np.ndarray, np.ndarray]:
    """The same of a rounded hill: bands of light along the side that the light comes from."""
    outline, _ = _outline(lattice, heights)
    y = np.arange(lattice.lines)[:, None]
    body = y >= outline
    tones = np.full(body.shape, LIT)
    across = 0 if abs(light[0]) < OVERHEAD else (1 if light[0] < 0 else -1)
    for tone, right, down in ((BETWEEN, 8, 8), (SHADE, 24, 24)):
        moved = np.roll(outline, across * right)
        inner = y >= np.maximum(moved, outline) + down
        tones = np.where(inner, tone, tones)
    edge = body & (rim(body, light) | ~shifted(body, 0, -1))
    falls = np.roll(outline, -4) - np.roll(outline, 4)
    edge &= across * falls <= AWAY
    tones = np.where(edge, RIM, tones)
    if faces < SILHOUETTE:
        tones[:] = SHADE
    return np.where(body, tones, -1), outline


def _outline(lattice: Lattice, heights: np.ndarray) -> tuple[np.ndarray, int]:
    """First line (2*half,) of the body in each column, and that of the summit."""
    bottom = lattice.phase + lattice.lines
    ends = snap(bottom - heights, lattice.quantum) - lattice.phase
    ends = np.minimum(ends, lattice.lines + 8)
    outline = draw_paths(ends[None], lattice.seed, lattice.variants, lattice.rag)[0]
    return outline, int(ends[len(ends) // 2])
