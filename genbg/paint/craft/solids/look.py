"""What a view sees of a stage: for every pixel its place, normal, material and face coordinates."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.solids.raster import draw
from genbg.paint.craft.solids.stage import Stage
from genbg.paint.craft.solids.view import Eye, Oblique


@dataclass(frozen=True, eq=False)
class Seen:
    """What is seen at each pixel; all arrays are (N, W), and mean nothing where `has` is False.

    top: the first screen line; depth: along z; x, y, z: places; nx, ny, nz: unit normals
    face: number of the face; thing: of the thing; material, kind: of the face
    u, v: face coordinates; width, height: how large the face is in them
    """

    top: int
    has: np.ndarray
    face: np.ndarray
    depth: np.ndarray
    x: np.ndarray
    y: np.ndarray
    z: np.ndarray
    nx: np.ndarray
    ny: np.ndarray
    nz: np.ndarray
    material: np.ndarray
    kind: np.ndarray
    thing: np.ndarray
    u: np.ndarray
    v: np.ndarray
    width: np.ndarray
    height: np.ndarray


def look(
    stage: Stage,
    eye: Eye | Oblique,
    lines: tuple[int, int],
    width: int,
    bend: tuple[np.ndarray, np.ndarray] | None = None,
) -> Seen:
    """What an eye sees of a stage on screen lines `lines`; the columns wrap."""
    return _seen(stage, eye, lines, width, bend, sea=False)


def look_in_water(
    stage: Stage,
    eye: Eye,
    lines: tuple[int, int],
    width: int,
    bend: tuple[np.ndarray, np.ndarray] | None = None,
) -> Seen:
    """What still water at y = 0 shows on screen lines `lines`, below the horizon.

    A mirror shows what an eye as far behind it would see (equal angles), upside down; so the
    undersides of arches and boats are where they must be. y is the height of the thing itself.
    """
    low = eye.mirrored()
    turned = round(2 * eye.horizon) - lines[1], round(2 * eye.horizon) - lines[0]
    if bend is not None:
        bend = bend[0][::-1], -bend[1][::-1]
    seen = _seen(stage, low, turned, width, bend, sea=True)
    parts = {name: getattr(seen, name)[::-1] for name in Seen.__annotations__ if name != "top"}
    return Seen(top=lines[0], **parts)


def _seen(
    stage: Stage,
    eye: Eye | Oblique,
    lines: tuple[int, int],
    width: int,
    bend: tuple[np.ndarray, np.ndarray] | None,
    sea: bool,
) -> Seen:
    buffer = draw(stage, eye, lines, width, bend=bend, sea=sea)
    face = buffer.face
    column = np.arange(width)[None, :] + 0.5 + buffer.turn * float(width)
    line = np.arange(*lines)[:, None] + 0.5
    x, y, z = eye.points(column, np.broadcast_to(line, face.shape), buffer.near)
    has = (face >= 0) & (y > -0.25)
    table = stage.table()
    normal, origin, across, up = ([axis[face] for axis in vector] for vector in table.vectors)
    material, kind, thing, wide, high = (number[face] for number in table.numbers)
    away = [x - origin[0], y - origin[1], z - origin[2]]
    flip = np.where(eye.facing((normal[0], normal[1], normal[2]), (x, y, z)) < 0, -1.0, 1.0)
    return Seen(
        top=lines[0],
        has=has,
        face=face,
        depth=np.where(has, z, np.inf),
        x=x,
        y=y,
        z=z,
        nx=normal[0] * flip,
        ny=normal[1] * flip,
        nz=normal[2] * flip,
        material=material,
        kind=kind,
        thing=thing,
        u=away[0] * across[0] + away[1] * across[1] + away[2] * across[2],
        v=away[0] * up[0] + away[1] * up[1] + away[2] * up[2],
        width=wide,
        height=high,
    )
