"""Shapes: boxes, roofs, prisms and beams, put on a stage as solids with face coordinates."""

from __future__ import annotations

import functools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from genbg.paint.craft.exact import cosine, sine
from genbg.paint.craft.solids.stage import Kind, Plane, Stage
from genbg.paint.craft.solids.view import Point, cross, dot, plus, unit_vector

UP = (0.0, 1.0, 0.0)
SLAB = 0.9
"""Thickness of a roof, in units."""


@functools.lru_cache(maxsize=4096)
def _turned(turns: float) -> tuple[Point, Point]:
    """Axes of a frame turned by whole turns."""
    c, s = float(cosine(turns)), float(sine(turns))
    return (c, 0.0, s), (-s, 0.0, c)


@dataclass(frozen=True)
class Frame:
    """A place on the ground and how it is turned.

    turns: whole turns by which its front (-z) is turned; 0.1 shows its left side to the eye too
    """

    x: float
    y: float
    z: float
    turns: float = 0.0

    def axes(self) -> tuple[Point, Point]:
        """Unit vectors to its right and to its back."""
        return _turned(self.turns)

    def at(self, right: float, up: float, back: float) -> Point:
        """The world place of own coordinates."""
        across, away = self.axes()
        x = self.x + across[0] * right + away[0] * back
        return x, self.y + up, self.z + across[2] * right + away[2] * back

    def moved(self, right: float, up: float, back: float, turns: float = 0.0) -> Frame:
        """A frame at own coordinates, turned on."""
        x, y, z = self.at(right, up, back)
        return Frame(x, y, z, self.turns + turns)


def negative(a: Point) -> Point:
    return -a[0], -a[1], -a[2]


def walls(frame: Frame, width: float, height: float, depth: float, material: int) -> list[Plane]:
    """Front, left, right, back and floor of a box whose front left foot is the frame's place."""
    right, back = frame.axes()
    left, front = negative(right), negative(back)
    foot, far = frame.at(0, 0, 0), frame.at(width, 0, depth)
    sides = (
        (front, foot, right, width, Kind.FRONT),
        (left, frame.at(0, 0, depth), front, depth, Kind.SIDE),
        (right, frame.at(width, 0, 0), back, depth, Kind.SIDE),
        (back, far, left, width, Kind.FRONT),
    )
    planes = [
        Plane(normal, dot(normal, start), material, kind, start, across, UP, wide, height)
        for normal, start, across, wide, kind in sides
    ]
    return [*planes, Plane((0.0, -1.0, 0.0), -frame.y, material)]


def box_corners(frame: Frame, width: float, height: float, depth: float) -> list[Point]:
    return [frame.at(a, y, b) for a in (0, width) for y in (0, height) for b in (0, depth)]


def box(
    stage: Stage,
    frame: Frame,
    width: float,
    height: float,
    depth: float,
    material: int,
    kind: Kind = Kind.PLAIN,
    top: int | None = None,
    top_kind: Kind = Kind.PLAIN,
    casts: bool = True,
) -> None:
    """A box whose front left foot is the frame's place."""
    right, back = frame.axes()
    planes = [plane._replace(kind=kind) for plane in walls(frame, width, height, depth, material)]
    lid = frame.at(0, height, 0)
    cover = material if top is None else top
    planes.append(Plane(UP, lid[1], cover, top_kind, lid, right, back, width, depth))
    stage.solid(planes, box_corners(frame, width, height, depth), casts)


def slab(
    stage: Stage, points: Sequence[Point], material: int, kind: Kind, thick: float = SLAB
) -> None:
    """A thin plate below a flat polygon; u runs along its first edge, v away from it."""
    normal = unit_vector(cross(plus(points[1], points[0], -1), plus(points[-1], points[0], -1)))
    if normal[1] < 0:
        normal = negative(normal)
    across = unit_vector(plus(points[1], points[0], -1))
    up = unit_vector(cross(normal, across))
    middle = points[0]
    for point in points[1:]:
        middle = plus(middle, point)
    middle = tuple(axis / len(points) for axis in middle)  # type: ignore[assignment]
    if dot(up, plus(middle, points[0], -1)) < 0:
        up = negative(up)
    long = dot(across, plus(points[1], points[0], -1))
    high = max(dot(up, plus(point, points[0], -1)) for point in points)
    level = dot(normal, points[0])
    planes = [
        Plane(normal, level, material, kind, points[0], across, up, long, high),
        Plane(negative(normal), thick - level, material),
    ]
    for here, there in zip(points, [*points[1:], points[0]], strict=True):
        if here == there:
            continue
        side = unit_vector(cross(plus(there, here, -1), normal))
        if dot(side, plus(middle, here, -1)) > 0:
            side = negative(side)
        planes.append(Plane(side, dot(side, here), material))
    low = [plus(point, normal, -thick) for point in points]
    stage.solid(planes, [*points, *low])


def gable_roof(
    stage: Stage,
    frame: Frame,
    size: tuple[float, float, float],
    rise: float,
    wall: int,
    roof: int,
    along: bool = True,
    eaves: float = 1.3,
) -> None:
    """Walls under a saddle roof. size: (width, height, depth); along: the ridge runs left-right."""
    width, height, depth = size
    right, back = frame.axes()
    run, span = (back, depth) if along else (right, width)
    slope = rise / (span / 2)
    planes = walls(frame, width, height, depth, wall)
    ridge = frame.at(width / 2, height + rise, depth / 2)
    for side in (1.0, -1.0):
        normal = unit_vector((run[0] * side * slope, 1.0, run[2] * side * slope))
        planes.append(Plane(normal, dot(normal, ridge), wall))
    tops = [frame.at(a, height + rise, b) for a in (0, width) for b in (0, depth)]
    stage.solid(planes, box_corners(frame, width, height, depth) + tops)
    low, up = height - eaves * slope + 0.5, height + rise + 0.5

    def place(along_at: float, across_at: float, y: float) -> Point:
        return frame.at(along_at, y, across_at) if along else frame.at(across_at, y, along_at)

    long = width if along else depth
    for near, middle in ((-eaves, span / 2), (span + eaves, span / 2)):
        quad = [
            place(-eaves, near, low),
            place(long + eaves, near, low),
            place(long + eaves, middle, up),
            place(-eaves, middle, up),
        ]
        slab(stage, quad, roof, Kind.ROOF)


def hip_roof(
    stage: Stage,
    frame: Frame,
    size: tuple[float, float, float],
    rise: float,
    wall: int,
    roof: int,
    ridge: float = 0.4,
    eaves: float = 1.2,
) -> None:
    """Walls under a roof that slopes on four sides; ridge: its share of the width, 0 a pyramid."""
    width, height, depth = size
    stage.solid(
        [
            *walls(frame, width, height, depth, wall),
            Plane(UP, frame.y + height, wall),
        ],
        box_corners(frame, width, height, depth),
    )
    a, b = width * (1 - ridge) / 2, width * (1 + ridge) / 2
    corners = [(-eaves, -eaves), (width + eaves, -eaves)]
    corners += [(width + eaves, depth + eaves), (-eaves, depth + eaves)]
    low = [frame.at(x, height - 0.4, z) for x, z in corners]
    left, right = (frame.at(x, height + rise, depth / 2) for x in (a, b))
    for quad in (
        [low[0], low[1], right, left],
        [low[1], low[2], right],
        [low[2], low[3], left, right],
        [low[3], low[0], left],
    ):
        slab(stage, quad, roof, Kind.ROOF, 0.6)


@dataclass(frozen=True)
class _Ring:
    """Corners of a regular polygon, at y = 0 and radius 1."""

    points: tuple[tuple[float, float], ...]

    @staticmethod
    @functools.lru_cache(maxsize=256)
    def of(sides: int, turns: float) -> _Ring:
        at = [n / sides + turns for n in range(sides)]
        return _Ring(tuple((float(cosine(t)), float(sine(t))) for t in at))


def prism(
    stage: Stage,
    centre: Point,
    radii: tuple[float, float],
    height: float,
    sides: int,
    material: int,
    kind: Kind = Kind.PLAIN,
    turns: float = 0.06,
    top: int | None = None,
    casts: bool = True,
) -> None:
    """A prism or, where the radii (foot, head) differ, a cut cone of flat sides."""
    x, y, z = centre
    foot, head = radii
    ring = _Ring.of(sides, turns).points
    low = [(x + a * foot, y, z + b * foot) for a, b in ring]
    high = [(x + a * head, y + height, z + b * head) for a, b in ring]
    planes = []
    for n, ((a, b), (c, d)) in enumerate(zip(ring, [*ring[1:], ring[0]], strict=True)):
        out = unit_vector((a + c, 0.0, b + d))
        apothem = (a * out[0] + b * out[2]) * foot
        tilt = (a * out[0] + b * out[2]) * (foot - head) / height
        normal = unit_vector((out[0], tilt, out[2]))
        across = unit_vector((a - c, 0.0, b - d))
        wide = math.sqrt((a - c) * (a - c) + (b - d) * (b - d)) * foot
        start = low[(n + 1) % sides]
        del apothem
        up = unit_vector(cross(normal, across))
        up = up if up[1] > 0 else negative(up)
        planes.append(
            Plane(normal, dot(normal, start), material, kind, start, across, up, wide, height)
        )
    planes.append(Plane(UP, y + height, material if top is None else top))
    planes.append(Plane((0.0, -1.0, 0.0), -y, material))
    stage.solid(planes, low + high, casts)


def pyramid(
    stage: Stage,
    centre: Point,
    radius: float,
    height: float,
    sides: int,
    material: int,
    kind: Kind = Kind.PLAIN,
    turns: float = 0.06,
) -> None:
    """A spire or a tent roof."""
    prism(stage, centre, (radius, 0.02), height, sides, material, kind, turns)


def drum(
    stage: Stage,
    centre: Point,
    radius: float,
    height: float,
    material: int,
    kind: Kind = Kind.PLAIN,
    taper: float = 0.0,
    sides: int = 14,
) -> None:
    """A round tower, narrower by the share `taper` at its head."""
    prism(stage, centre, (radius, radius * (1 - taper)), height, sides, material, kind)


def beam(
    stage: Stage,
    start: Point,
    end: Point,
    thick: float,
    material: int,
    kind: Kind = Kind.PLAIN,
    casts: bool = True,
) -> None:
    """A square bar from one place to another: masts, yards, posts, rails."""
    along = unit_vector(plus(end, start, -1))
    side = unit_vector(cross(along, (0.0, 0.0, 1.0) if abs(along[2]) < 0.9 else UP))
    other = cross(along, side)
    half = thick / 2
    planes = [
        Plane(along, dot(along, end), material),
        Plane(negative(along), -dot(along, start), material),
    ]
    long = dot(along, plus(end, start, -1))
    for axis in (side, negative(side), other, negative(other)):
        planes.append(
            Plane(
                axis,
                dot(axis, start) + half,
                material,
                kind,
                start,
                unit_vector(cross(axis, along)),
                along,
                thick,
                long,
            )
        )
    corners = [
        plus(plus(point, side, a * half), other, b * half)
        for point in (start, end)
        for a in (-1, 1)
        for b in (-1, 1)
    ]
    stage.solid(planes, corners, casts)
