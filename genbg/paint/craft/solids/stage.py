"""The stage: solids and sheets in the world, and the depth buffer that a view makes of them."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from enum import IntEnum
from typing import NamedTuple

import numpy as np

from genbg.paint.craft.solids.view import Point, View, cross, dot, plus, unit_vector

Cut = Callable[[np.ndarray, np.ndarray], np.ndarray]
"""Which places of a sheet are there: (u, v) arrays -> bool array."""


class Kind(IntEnum):
    """What a face is, by which details are drawn on it."""

    PLAIN = 0
    FRONT = 1
    SIDE = 2
    ROOF = 3
    STONE = 4
    PLANK = 5
    ROCK = 6
    TOWER = 7
    LAMP = 8
    LEAF = 9
    FLOOR = 10
    CLOTH = 11
    DORMER = 12


class Plane(NamedTuple):
    """A face of a solid: the solid lies where n.p <= distance.

    origin, across, up: the face's own coordinates (u along across, v along up, from origin)
    width, height: how large the face is in them
    """

    normal: Point
    distance: float
    material: int
    kind: Kind = Kind.PLAIN
    origin: Point = (0.0, 0.0, 0.0)
    across: Point = (1.0, 0.0, 0.0)
    up: Point = (0.0, 1.0, 0.0)
    width: float = 0.0
    height: float = 0.0


ZERO = (0.0, 0.0, 0.0)


class _Part(NamedTuple):
    """A solid or sheet: its first face's number, its faces, its corners."""

    first: int
    planes: tuple[Plane, ...]
    corners: tuple[Point, ...]
    casts: bool
    bent: bool
    sheet: bool
    cut: Cut | None


class Buffer(NamedTuple):
    """near (N, W) float64, larger is nearer; face (N, W), -1 none; turn: rounds of the wrap."""

    near: np.ndarray
    face: np.ndarray
    turn: np.ndarray


class Table(NamedTuple):
    """What each face is, as arrays with a last entry of zeros for `no face`.

    vectors: normal, origin, across, up, each as three arrays; numbers: material, kind, thing,
    width, height
    """

    vectors: tuple[tuple[np.ndarray, np.ndarray, np.ndarray], ...]
    numbers: tuple[np.ndarray, ...]


def flipped(point: Point) -> Point:
    """The point or vector with left and right exchanged."""
    return -point[0], point[1], point[2]


class Stage:
    """Solids and sheets.

    turned: build it left-right exchanged
    """

    def __init__(self, turned: bool = False):
        self.turned = turned
        self.parts: list[_Part] = []
        self.planes: list[Plane] = []
        self.things: list[int] = []
        self._thing = 0
        self._table: Table | None = None

    def thing(self) -> int:
        """From here on, faces belong to a new thing; its number."""
        self._thing += 1
        return self._thing

    def table(self) -> Table:
        """All faces as arrays; made once the stage is full."""
        if self._table is None or len(self._table.numbers[0]) != len(self.planes) + 1:
            empty = Plane((0.0, 0.0, 0.0), 0.0, 0)._replace(across=ZERO, up=ZERO)
            columns = list(zip(*self.planes, empty, strict=True))
            vectors = [np.array(columns[n]).T for n in (0, 4, 5, 6)]
            numbers = [np.array(columns[n]) for n in (2, 3)]
            numbers += [np.array([*self.things, 0]), np.array(columns[7]), np.array(columns[8])]
            self._table = Table(tuple((v[0], v[1], v[2]) for v in vectors), tuple(numbers))
        return self._table

    def _add(self, planes: Sequence[Plane], corners: Sequence[Point], **what: object) -> None:
        if self.turned:
            planes = [
                plane._replace(
                    normal=flipped(plane.normal),
                    origin=flipped(plane.origin),
                    across=flipped(plane.across),
                    up=flipped(plane.up),
                )
                for plane in planes
            ]
            corners = [flipped(corner) for corner in corners]
        first = len(self.planes)
        self.parts.append(_Part(first, tuple(planes), tuple(corners), **what))  # type: ignore[arg-type]
        self.planes += planes
        self.things += [self._thing] * len(planes)

    def solid(
        self,
        planes: Sequence[Plane],
        corners: Sequence[Point],
        casts: bool = True,
        bent: bool = False,
    ) -> None:
        """Put a solid; corners: points around it; casts: throws shadows; bent: ragged outlines."""
        self._add(planes, corners, casts=casts, bent=bent, sheet=False, cut=None)

    def sheet(
        self,
        points: Sequence[Point],
        material: int,
        kind: Kind = Kind.PLAIN,
        origin: Point | None = None,
        across: Point | None = None,
        up: Point | None = None,
        size: tuple[float, float] = (0.0, 0.0),
        cut: Cut | None = None,
        casts: bool = True,
    ) -> None:
        """Put a flat convex polygon, seen from both sides."""
        normal = (0.0, 0.0, 0.0)
        for here, there in zip(points, [*points[1:], points[0]], strict=True):
            normal = plus(normal, cross(here, there))
        normal = unit_vector(normal)
        plane = Plane(
            normal,
            dot(normal, points[0]),
            material,
            kind,
            origin or points[0],
            across or (1.0, 0.0, 0.0),
            up or (0.0, 1.0, 0.0),
            *size,
        )
        self._add([plane], points, casts=casts, bent=False, sheet=True, cut=cut)

    def draw(
        self,
        view: View,
        lines: tuple[int, int],
        width: int,
        wraps: bool = True,
        bend: tuple[np.ndarray, np.ndarray] | None = None,
        shadows: bool = False,
        sea: bool = False,
    ) -> Buffer:
        """The depth buffer (N, W) of a view, screen lines `lines`.

        bend: (N, W) pixels by which columns and lines of bent solids are off
        shadows: only what casts them; sea: only what an eye below the water sees above it
        """
        size = lines[1] - lines[0], width
        near = np.full(size, -np.inf if shadows else 0.0)
        buffer = Buffer(near, np.full(size, -1, np.int32), np.zeros(size, np.int8))
        above = view.nearness((0.0, 1.0, 0.0), 0.0) if sea else None
        for part in self.parts:
            if shadows and not part.casts:
                continue
            box = _bounds(view, part, lines, width, wraps)
            if box is not None:
                for turn, columns in _rounds(box, width, wraps):
                    _draw_part(buffer, view, part, (columns, box[1], turn), lines[0], bend, above)
        return buffer


Columns = tuple[int, int]


def _bounds(
    view: View, part: _Part, lines: tuple[int, int], width: int, wraps: bool
) -> tuple[Columns, Columns] | None:
    """Columns and lines, the last not included, that hold a part."""
    places = [view.place(corner) for corner in part.corners]
    reach = 3 if part.bent else 0
    left = math.floor(min(place[0] for place in places)) - reach
    right = math.ceil(max(place[0] for place in places)) + 1 + reach
    top = max(lines[0], math.floor(min(place[1] for place in places)) - reach)
    bottom = min(lines[1], math.ceil(max(place[1] for place in places)) + 1 + reach)
    if not wraps:
        left, right = max(0, left), min(width, right)
    return ((left, right), (top, bottom)) if left < right and top < bottom else None


def _rounds(box: tuple[Columns, Columns], width: int, wraps: bool) -> list[tuple[int, Columns]]:
    """The columns of a box cut at the wrap: (round, columns within the picture)."""
    left, right = box[0]
    if not wraps:
        return [(0, (left, right))]
    return [
        (turn, (max(left - turn * width, 0), min(right - turn * width, width)))
        for turn in range(left // width, (right - 1) // width + 1)
    ]


def _draw_part(
    buffer: Buffer,
    view: View,
    part: _Part,
    box: tuple[Columns, Columns, int],
    top: int,
    bend: tuple[np.ndarray, np.ndarray] | None,
    above: tuple[float, float, float] | None,
) -> None:
    (left, right), (first, last), turn = box
    here = slice(first - top, last - top), slice(left, right)
    x = np.arange(left, right)[None, :] + 0.5 + turn * buffer.near.shape[1]
    y = np.arange(first, last)[:, None] + 0.5
    if part.bent and bend is not None:
        x, y = x + bend[0][here], y + bend[1][here]
    found = (_sheet if part.sheet else _solid)(view, part, x, y)
    if found is None:
        return
    near, face, hit = found
    hit &= near > buffer.near[here]
    if above is not None:
        hit &= near <= above[0] * x + (above[1] * y + above[2])
    buffer.near[here][hit] = near[hit]
    buffer.face[here][hit] = np.broadcast_to(face, hit.shape)[hit] + part.first
    buffer.turn[here][hit] = turn


def _slopes(slopes: list[tuple[float, float, float]], x: np.ndarray, y: np.ndarray) -> np.ndarray:
    """Nearness (k, h, w) of planes."""
    a, b, c = (np.array(one)[:, None, None] for one in zip(*slopes, strict=True))
    near: np.ndarray = a * x + (b * y + c)
    return near


def _solid(
    view: View, part: _Part, x: np.ndarray, y: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray] | None:
    """Nearness, face and whether it is hit: a ray enters by the last of the planes that face it,
    and leaves by the first of the others (Cyrus and Beck, Computers & Graphics 3(1), 1978)."""
    front, back, faces = [], [], []
    for number, plane in enumerate(part.planes):
        slope = view.nearness(plane.normal, plane.distance)
        if slope is None:
            continue
        if view.faces(plane.normal, plane.distance):
            front.append(slope)
            faces.append(number)
        else:
            back.append(slope)
    if not front:
        return None
    entries = _slopes(front, x, y)
    face = np.array(faces, np.int32)[entries.argmin(axis=0)]
    near = entries.min(axis=0)
    if not back:
        return near, face, np.ones(near.shape, dtype=bool)
    return near, face, near > _slopes(back, x, y).max(axis=0)


def _sheet(
    view: View, part: _Part, x: np.ndarray, y: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray] | None:
    """Nearness, face 0 and whether the polygon is hit."""
    plane = part.planes[0]
    slope = view.nearness(plane.normal, plane.distance)
    if slope is None:
        return None
    places = [view.place(corner) for corner in part.corners]
    area, edges = 0.0, []
    for (ax, ay), (bx, by) in zip(places, [*places[1:], places[0]], strict=True):
        area += ax * by - bx * ay
        edges.append((ay - by, bx - ax, (by - ay) * ax - (bx - ax) * ay))
    sides = _slopes(edges, x, y)
    hit = (sides if area > 0 else -sides).min(axis=0) >= 0
    near = np.broadcast_to(slope[0] * x + (slope[1] * y + slope[2]), hit.shape)
    if part.cut is not None and hit.any():
        hit &= part.cut(*_own_places(view, plane, x, y, near))
    return near, np.zeros(1, np.int32), hit


def _own_places(
    view: View, plane: Plane, x: np.ndarray, y: np.ndarray, near: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Face coordinates u, v of what a view sees of a plane."""
    there = view.points(x, y, near)
    off = [axis - start for axis, start in zip(there, plane.origin, strict=True)]
    u = off[0] * plane.across[0] + off[1] * plane.across[1] + off[2] * plane.across[2]
    v = off[0] * plane.up[0] + off[1] * plane.up[1] + off[2] * plane.up[2]
    return u, v
