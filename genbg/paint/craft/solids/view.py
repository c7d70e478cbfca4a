"""Views of a stage: through an eye, and along the light.

Both share one law that makes the depth buffer small: seen through a view, the nearness of a plane
is a straight function of column and line. For an eye (a pinhole camera: Hartley and Zisserman,
"Multiple View Geometry", ch. 6) nearness is 1 / depth; along parallel light it is the way toward
the light.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, NamedTuple, Protocol

import numpy as np

Point = tuple[float, float, float]
Planes = tuple[np.ndarray, np.ndarray, np.ndarray]
"""The three axes of vectors, each an array."""


class Slopes(NamedTuple):
    """Nearness of planes as across * column + down * line + there, each (n,) float64.

    front: planes that turn their front this way; told: planes that are not seen from their edge
    """

    across: np.ndarray
    down: np.ndarray
    there: np.ndarray
    front: np.ndarray
    told: np.ndarray


class View(Protocol):
    """What a stage is drawn through."""

    def place(self, point: Any) -> Any:
        """Column and line of a point, or of arrays of points."""

    def slopes(self, normal: Planes, distance: np.ndarray) -> Slopes:
        """How planes n.p = distance lie before the view."""

    def points(
        self, x: np.ndarray, y: np.ndarray, near: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Places (x, y, z) in the world of columns, lines and nearness (...)."""


EDGE_ON = 1e-6
"""Below this share of its size a plane counts as seen from its edge."""

OBLIQUE_FAR = 4000.0
"""Depth at which an oblique view ends."""
FARTHEST = 1e-9
"""Least nearness that counts, so that nothing is divided by 0."""


@dataclass(frozen=True)
class Eye:
    """An eye that looks level into the stage.

    x: column at which world x = 0 lies; horizon: line of the eye's own height
    height: of the eye over the water; below 0 it is the eye that a mirror shows
    focal: pixels; at this depth one unit is one pixel
    """

    x: float
    horizon: float
    height: float
    focal: float = 400.0

    def place(self, point: Any) -> Any:
        scale = self.focal / point[2]
        return self.x + point[0] * scale, self.horizon + (self.height - point[1]) * scale

    def slopes(self, normal: Planes, distance: np.ndarray) -> Slopes:
        offset = distance - normal[1] * self.height
        told = np.abs(offset) >= EDGE_ON
        offset = np.where(told, offset, 1.0)
        across, down = normal[0] / self.focal / offset, -normal[1] / self.focal / offset
        there = normal[2] / offset - across * self.x - down * self.horizon
        return Slopes(across, down, there, normal[1] * self.height > distance, told)

    def points(
        self, x: np.ndarray, y: np.ndarray, near: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        depth = 1.0 / np.maximum(near, FARTHEST)
        scale = depth / self.focal
        return (x - self.x) * scale, self.height + (self.horizon - y) * scale, depth

    def facing(self, normal: Planes, place: Planes) -> np.ndarray:
        x, y, z = place
        return normal[1] * (self.height - y) - normal[0] * x - normal[2] * z

    def round(self, width: int, z: np.ndarray) -> np.ndarray:
        return width / self.focal * z

    def depth_at(self, line: float) -> float:
        """Depth at which a line below the horizon meets the water."""
        return self.focal * self.height / (line - self.horizon)

    def mirrored(self) -> Eye:
        """The eye as far below the water: a mirror shows what it would see, upside down."""
        return Eye(self.x, self.horizon, -self.height, self.focal)


@dataclass(frozen=True)
class Oblique:
    """A stage without vanishing point, seen from a little above: what is nearer lies lower.

    It suits near ground that scrolls as one band, since every column looks alike.
    x: column of world x = 0; waterline: line of the water at depth `at`; slope: lines a unit deep
    """

    x: float
    waterline: float
    slope: float
    at: float = 400.0
    focal: float = 400.0

    @property
    def _base(self) -> float:
        return self.waterline + self.slope * self.at

    def place(self, point: Any) -> Any:
        return self.x + point[0], self._base - point[1] - self.slope * point[2]

    def slopes(self, normal: Planes, distance: np.ndarray) -> Slopes:
        facing = self.slope * normal[1] - normal[2]
        told = np.abs(facing) >= EDGE_ON
        safe = np.where(told, facing, 1.0)
        there = distance + normal[0] * self.x - normal[1] * self._base
        there = there / safe + OBLIQUE_FAR
        return Slopes(-normal[0] / safe, normal[1] / safe, there, facing > 0, told)

    def points(
        self, x: np.ndarray, y: np.ndarray, near: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        z = OBLIQUE_FAR - near
        return x - self.x + 0.0 * z, self._base - y - self.slope * z, z

    def facing(self, normal: Planes, place: Planes) -> np.ndarray:
        return self.slope * normal[1] - normal[2]

    def round(self, width: int, z: np.ndarray) -> np.ndarray:
        return np.full(np.shape(z), float(width))

    def depth_at(self, line: float, height: float = 0.0) -> float:
        """Depth at which a level floor is seen on a line."""
        return (self._base - height - line) / self.slope


@dataclass(frozen=True)
class Sunward:
    """The stage as parallel light sees it.

    toward: unit vector to the light; right, up: the picture's axes; scale: pixels a unit
    left, top: what lies at column 0 and line 0, in units along the axes
    """

    toward: Point
    right: Point
    up: Point
    scale: float
    left: float
    top: float

    @staticmethod
    def of(toward: Point, points: Sequence[Point], scale: float) -> tuple[Sunward, int, int]:
        """The view that holds all points, and its lines and columns."""
        x, y, z = toward
        level = math.sqrt(x * x + z * z)
        right = (z / level, 0.0, -x / level)
        up = (y * right[2], z * right[0] - x * right[2], -y * right[0])
        if up[1] < 0:
            up = (-up[0], -up[1], -up[2])
        across = [dot(right, point) for point in points]
        high = [dot(up, point) for point in points]
        view = Sunward(toward, right, up, scale, min(across) - 1, max(high) + 1)
        lines = int((max(high) - min(high) + 2) * scale) + 1
        return view, lines, int((max(across) - min(across) + 2) * scale) + 1

    def place(self, point: Any) -> Any:
        across, high = dot(self.right, point), dot(self.up, point)
        return (across - self.left) * self.scale, (self.top - high) * self.scale

    def slopes(self, normal: Planes, distance: np.ndarray) -> Slopes:
        facing, right, up = (
            normal[0] * axis[0] + normal[1] * axis[1] + normal[2] * axis[2]
            for axis in (self.toward, self.right, self.up)
        )
        told = np.abs(facing) >= EDGE_ON
        safe = np.where(told, facing, 1.0)
        there = (distance - right * self.left - up * self.top) / safe
        return Slopes(-right / safe / self.scale, up / safe / self.scale, there, facing > 0, told)

    def points(
        self, x: np.ndarray, y: np.ndarray, near: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        across, high = x / self.scale + self.left, self.top - y / self.scale
        one, two, three = (
            across * self.right[n] + high * self.up[n] + near * self.toward[n] for n in range(3)
        )
        return one, two, three

    def near(
        self, x: np.ndarray, y: np.ndarray, z: np.ndarray
    ) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
        """Columns, lines (float64) and nearness of places (...)."""
        column = (x * self.right[0] + z * self.right[2] - self.left) * self.scale
        high = x * self.up[0] + y * self.up[1] + z * self.up[2]
        near = x * self.toward[0] + y * self.toward[1] + z * self.toward[2]
        return column, (self.top - high) * self.scale, near


def dot(a: Point, b: Point) -> float:
    """Scalar product."""
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def cross(a: Point, b: Point) -> Point:
    """Vector product."""
    return a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]


def plus(a: Point, b: Point, times: float = 1.0) -> Point:
    """a + times * b."""
    return a[0] + b[0] * times, a[1] + b[1] * times, a[2] + b[2] * times


def unit_vector(a: Point) -> Point:
    """The vector at length 1; a vector of no length stays."""
    length = math.sqrt(dot(a, a))
    return (a[0] / length, a[1] / length, a[2] / length) if length > 0 else a
