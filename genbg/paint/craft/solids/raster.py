"""The depth buffer that a view makes of a stage."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from genbg.paint.craft.solids.stage import Part, Plane, Stage
from genbg.paint.craft.solids.view import Slopes, View

Bend = tuple[np.ndarray, np.ndarray]
"""(N, W) pixels by which columns and lines of bent solids are off."""
REACH = 3
"""Pixels by which the box around a bent solid is larger."""


class Buffer(NamedTuple):
    """near (N, W) float64, larger is nearer; face (N, W), -1 none; turn: rounds of the wrap."""

    near: np.ndarray
    face: np.ndarray
    turn: np.ndarray


class Box(NamedTuple):
    """Columns and lines that hold a part, the last not included; turn: its round of the wrap."""

    left: int
    right: int
    first: int
    last: int
    turn: int = 0


class Sight(NamedTuple):
    """How a view sees a stage: slopes of all faces; columns and lines of all corners."""

    slopes: Slopes
    columns: np.ndarray
    lines: np.ndarray


def draw(
    stage: Stage,
    view: View,
    lines: tuple[int, int],
    width: int,
    wraps: bool = True,
    bend: Bend | None = None,
    shadows: bool = False,
    sea: bool = False,
) -> Buffer:
    """The depth buffer (N, W) of a view, screen lines `lines`.

    shadows: only what casts them; sea: only what an eye below the water sees above it
    """
    size = lines[1] - lines[0], width
    near = np.full(size, -np.inf if shadows else 0.0)
    buffer = Buffer(near, np.full(size, -1, np.int32), np.zeros(size, np.int8))
    if not stage.parts:
        return buffer
    table = stage.table()
    sight = Sight(view.slopes(table.vectors[0], table.distance), *view.place(table.corners))
    above = _water(view) if sea else None
    for part, start, box in zip(
        stage.parts, table.starts.tolist(), _boxes(stage, sight, lines), strict=True
    ):
        if box.first >= box.last or (shadows and not part.casts):
            continue
        for one in _rounds(box, width, wraps):
            _draw_part(buffer, view, (part, start, one), sight, lines[0], bend, above)
    return buffer


def _water(view: View) -> tuple[float, float, float]:
    """Slope of the water's nearness."""
    flat = np.zeros(1), np.ones(1), np.zeros(1)
    water = view.slopes(flat, np.zeros(1))
    return float(water.across[0]), float(water.down[0]), float(water.there[0])


def _boxes(stage: Stage, sight: Sight, lines: tuple[int, int]) -> list[Box]:
    """The box of each part."""
    starts = stage.table().starts
    reach = np.array([REACH * part.bent for part in stage.parts])
    left = np.floor(np.minimum.reduceat(sight.columns, starts)) - reach
    right = np.ceil(np.maximum.reduceat(sight.columns, starts)) + 1 + reach
    first = np.floor(np.minimum.reduceat(sight.lines, starts)) - reach
    last = np.ceil(np.maximum.reduceat(sight.lines, starts)) + 1 + reach
    first, last = np.maximum(first, lines[0]), np.minimum(last, lines[1])
    rows = np.stack([left, right, first, last], axis=1).astype(np.int64).tolist()
    return [Box(*row) for row in rows]


def _rounds(box: Box, width: int, wraps: bool) -> list[Box]:
    """A box cut at the wrap, or at the picture's sides."""
    if not wraps:
        cut = box._replace(left=max(0, box.left), right=min(width, box.right))
        return [cut] if cut.left < cut.right else []
    return [
        box._replace(
            left=max(box.left - turn * width, 0),
            right=min(box.right - turn * width, width),
            turn=turn,
        )
        for turn in range(box.left // width, (box.right - 1) // width + 1)
    ]


def _draw_part(
    buffer: Buffer,
    view: View,
    what: tuple[Part, int, Box],
    sight: Sight,
    top: int,
    bend: Bend | None,
    above: tuple[float, float, float] | None,
) -> None:
    part, start, box = what
    here = slice(box.first - top, box.last - top), slice(box.left, box.right)
    x = np.arange(box.left, box.right)[None, :] + 0.5 + box.turn * buffer.near.shape[1]
    y = np.arange(box.first, box.last)[:, None] + 0.5
    if part.bent and bend is not None:
        x, y = x + bend[0][here], y + bend[1][here]
    if part.sheet:
        found = _sheet(view, part, start, sight, x, y)
    else:
        found = _solid(part, sight.slopes, x, y)
    if found is None:
        return
    near, face, hit = found
    hit &= near > buffer.near[here]
    if above is not None:
        hit &= near <= above[0] * x + (above[1] * y + above[2])
    buffer.near[here][hit] = near[hit]
    buffer.face[here][hit] = np.broadcast_to(face, hit.shape)[hit]
    buffer.turn[here][hit] = box.turn


def _nearness(slopes: Slopes, which: np.ndarray, x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Nearness (k, h, w) of some faces."""
    a, b, c = (one[which][:, None, None] for one in slopes[:3])
    near: np.ndarray = a * x + (b * y + c)
    return near


def _solid(
    part: Part, slopes: Slopes, x: np.ndarray, y: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray] | None:
    """Nearness, face and whether it is hit: a ray enters by the last of the planes that face it,
    and leaves by the first of the others (Cyrus and Beck, Computers & Graphics 3(1), 1978)."""
    own = slice(part.first, part.first + len(part.planes))
    told, front = slopes.told[own], slopes.front[own]
    enters = np.flatnonzero(told & front) + part.first
    leaves = np.flatnonzero(told & ~front) + part.first
    if not len(enters):
        return None
    entries = _nearness(slopes, enters, x, y)
    near, face = entries.min(axis=0), enters[entries.argmin(axis=0)]
    if not len(leaves):
        return near, face, np.ones(near.shape, dtype=bool)
    return near, face, near > _nearness(slopes, leaves, x, y).max(axis=0)


def _sheet(
    view: View, part: Part, start: int, sight: Sight, x: np.ndarray, y: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray] | None:
    """Nearness, face and whether the polygon is hit."""
    if not sight.slopes.told[part.first]:
        return None
    own = slice(start, start + len(part.corners))
    ax, ay = sight.columns[own], sight.lines[own]
    bx, by = np.roll(ax, -1), np.roll(ay, -1)
    area = 0.0
    for piece in (ax * by - bx * ay).tolist():
        area += piece
    a, b, c = ay - by, bx - ax, (by - ay) * ax - (bx - ax) * ay
    sides = a[:, None, None] * x + (b[:, None, None] * y + c[:, None, None])
    hit = (sides if area > 0 else -sides).min(axis=0) >= 0
    face = np.array([part.first])
    near = np.broadcast_to(_nearness(sight.slopes, face, x, y)[0], hit.shape)
    if part.cut is not None and hit.any():
        hit &= part.cut(*_own_places(view, part.planes[0], x, y, near))
    return near, face, hit


def _own_places(
    view: View, plane: Plane, x: np.ndarray, y: np.ndarray, near: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Face coordinates u, v of what a view sees of a plane."""
    there = view.points(x, y, near)
    off = [axis - start for axis, start in zip(there, plane.origin, strict=True)]
    u = off[0] * plane.across[0] + off[1] * plane.across[1] + off[2] * plane.across[2]
    v = off[0] * plane.up[0] + off[1] * plane.up[1] + off[2] * plane.up[2]
    return u, v
