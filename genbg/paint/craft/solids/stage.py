"""The stage: solids and sheets in the world, each of planes that are faces."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from enum import IntEnum
from typing import NamedTuple

import numpy as np

from genbg.paint.craft.solids.view import Planes, Point, cross, dot, plus, unit_vector

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
    RING = 13


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


class Part(NamedTuple):
    """A solid or sheet: its first face's number, its faces, its corners."""

    first: int
    planes: tuple[Plane, ...]
    corners: tuple[Point, ...]
    casts: bool
    bent: bool
    sheet: bool
    cut: Cut | None


class Table(NamedTuple):
    """What each face is, as arrays with a last entry of zeros for `no face`.

    vectors: normal, origin, across, up, each as three arrays; numbers: material, kind, thing,
    width, height; distance: of each face's plane
    corners: of all parts, three arrays; starts: the first corner of each part
    """

    vectors: tuple[Planes, ...]
    numbers: tuple[np.ndarray, ...]
    distance: np.ndarray
    corners: Planes
    starts: np.ndarray


def flipped(point: Point) -> Point:
    """The point or vector with left and right exchanged."""
    return -point[0], point[1], point[2]


class Stage:
    """Solids and sheets.

    turned: build it left-right exchanged
    """

    def __init__(self, turned: bool = False):
        self.turned = turned
        self.parts: list[Part] = []
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
            places = [corner for part in self.parts for corner in part.corners]
            corners = np.array(places, dtype=np.float64).reshape(-1, 3).T
            counts = np.cumsum([0, *(len(part.corners) for part in self.parts)])
            self._table = Table(
                tuple((v[0], v[1], v[2]) for v in vectors),
                tuple(numbers),
                np.array(columns[1]),
                (corners[0], corners[1], corners[2]),
                counts[:-1],
            )
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
        self.parts.append(Part(first, tuple(planes), tuple(corners), **what))  # type: ignore[arg-type]
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
