"""Painter of the sky: a gradient in few bands, a sun or moon with halo, stars, a horizon's glow.

A sky is the same along every line, so a whole cell row costs one pattern. Only the disc, the rim of
its halo and the stars cost more: the disc is centred on a corner of four cells and its right half
mirrors its left one, and stars keep to few places within their cells.
"""

from __future__ import annotations

import math

import numpy as np

from genbg.keys import key
from genbg.model import Painting, RampUse
from genbg.paint.contract import Body, Job, Painter, Ramp
from genbg.paint.craft.dither import between_corners, dither_levels
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words, pick, scatter
from genbg.records import record

GRAINS = {"bold": 2, "fine": 4, "soft": 8}
"""Size of the threshold matrix for each word."""


@record(frozen=True)
class SkyKeys:
    """Keys of the sky painter."""

    bend: float = key(
        0.35, "float", "How the bands crowd: above 0 toward the horizon.", low=-1, high=1
    )
    grain: str = key("fine", "choice", "Dither between the bands.", choices=tuple(GRAINS))
    plain: float = key(
        0.3, "float", "Share of each band that is left without dither.", low=0, high=0.95
    )
    body: str = key("sun", "choice", "What stands in the sky.", choices=("none", "sun", "moon"))
    body_x: float = key(
        0.3, "float", "Where its centre is.", low=0, high=1, unit="share of the plane's width"
    )
    body_y: float = key(
        0.45, "float", "Where its centre is.", low=0, high=1.2, unit="share of the layer's lines"
    )
    body_size: int = key(48, "int", "Its diameter.", low=8, high=160, unit="pixels")
    phase: float = key(1.0, "float", "How full the moon is.", low=0.1, high=1)
    halo: float = key(0.5, "float", "Light around the body.", low=0, high=1)
    glow: float = key(0.0, "float", "Light along the horizon.", low=0, high=1)
    stars: float = key(0.0, "float", "How many stars: 1 is a clear night.", low=0, high=1)
    nebula: float = key(0.0, "float", "A band of light among the stars.", low=0, high=1)


RAMPS = (
    Ramp(
        "sky",
        "The gradient, from the top of the sky down.",
        ("#0049b6", "#2492db", "#6dc8f4", "#dbf2ff"),
        8,
        hazed=False,
    ),
    Ramp("halo", "Light at the horizon and around the body.", ("#ffffdb", "#fffff4"), 2, True),
    Ramp("body", "The disc, from its rim inward.", ("#ffdb92", "#ffffff"), 3, True),
    Ramp("stars", "Stars, from dim to bright.", ("#6d6db6", "#ffffff"), 3, True),
    Ramp(
        "nebula", "Clouds of light, from faint to bright.", ("#24246d", "#924992"), 3, hazed=False
    ),
)


@record(frozen=True, eq=False)
class _Body:
    """Where the disc is: centre on a cell corner, in pixels of the layer; radius.

    distance: (N, W) float64 pixels from the centre, wrapping
    """

    x: int
    y: int
    radius: float
    distance: np.ndarray


def paint(keys: SkyKeys, job: Job) -> Painting:
    """Sky over all lines of the layer; every pixel is painted."""
    steps = [job.steps[ramp.name] for ramp in RAMPS]
    first = np.cumsum([1, *steps])
    body = _place_body(job, keys)
    levels = _sky_levels(job, keys, steps[0], steps[1])
    if body is not None:
        levels = levels + _halo(job, keys, body, steps[0])
    size = GRAINS[keys.grain]
    ink = 1 + dither_levels(levels, steps[0] + steps[1], job.top, size, keys.plain, job.width)
    if keys.nebula > 0:
        ink = _paint_nebula(job, keys, ink, int(first[4]), steps[4])
    guard = np.zeros(ink.shape, dtype=bool)
    whole: tuple[tuple[str, int, int], ...] = ()
    shape: np.ndarray | None = None
    if keys.stars > 0:
        ink, guard = _paint_stars(job, keys, ink, body, int(first[3]), steps[3])
    if body is not None:
        ink = _paint_body(job, keys, ink, body, int(first[2]), steps[2])
        guard &= body.distance > body.radius
        shape = body.distance < body.radius
        edge = math.ceil(body.radius)
        whole = ((keys.body, max(0, body.y - edge), min(job.lines, body.y + edge)),)
    uses = tuple(RampUse(ramp.name, n) for ramp, n in zip(RAMPS, steps, strict=True))
    return Painting(ink.astype(np.uint16), uses, guard, shape, whole)


def _sky_levels(job: Job, keys: SkyKeys, steps: int, halo_steps: int) -> np.ndarray:
    """Levels (N, 1), counted in inks: 0 at the top, steps-1 at the horizon, glow beyond."""
    down = (np.arange(job.lines, dtype=np.float64) + 0.5)[:, None] / job.lines
    levels = (down + keys.bend * down * (down - 1.0)) * steps - 0.5
    levels = np.clip(levels, 0.0, steps - 1.0)
    near = np.maximum(0.0, (down - 1.0 + 0.45 * keys.glow) / 0.45)
    return levels + near * near * (halo_steps + 1.0)


def place_body(keys: SkyKeys, job: Job) -> Body | None:
    """Where the disc stands."""
    body = _place_body(job, keys)
    return None if body is None else Body(float(body.x), float(job.top + body.y), body.radius)


def _place_body(job: Job, keys: SkyKeys) -> _Body | None:
    if keys.body == "none":
        return None
    x = round(keys.body_x * job.width / CELL) * CELL
    y = round((keys.body_y * job.lines + job.top) / CELL) * CELL - job.top
    across = np.abs(np.arange(job.width) + 0.5 - x)
    across = np.minimum(across, job.width - across)[None, :]
    down = (np.arange(job.lines) + 0.5 - y)[:, None]
    return _Body(x, y, keys.body_size / 2, np.sqrt(across * across + down * down))


def _halo(job: Job, keys: SkyKeys, body: _Body, steps: int) -> np.ndarray:
    """Levels (N, W) that the halo adds: rings where the layer is thrifty, a smooth fall else."""
    reach = body.radius * (0.5 + 2.0 * keys.halo)
    rise = keys.halo * (steps * 0.35 + 1.0)
    fall = np.clip(1.0 - (body.distance - body.radius) / reach, 0.0, 1.0)
    added = rise * fall * fall
    rings = max(1, round(rise))
    ringed = np.floor(fall * fall * rings + 0.5) * (rise / rings)
    return ringed if job.thrift >= 0.9 else added


def _mirror_cells(ink: np.ndarray, body: _Body, touched: np.ndarray) -> np.ndarray:
    """The right half of the cells (bool (N, W)) that a disc and its halo touch mirrors the left."""
    width = ink.shape[1]
    opposite = (2 * body.x - 1 - np.arange(width)) % width
    right = (np.arange(width) - body.x) % width < width // 2
    return np.where(touched & right, ink[:, opposite], ink)


def _cells_of(mask: np.ndarray, top: int) -> np.ndarray:
    """The mask (N, W) grown to whole cells."""
    lines, width = mask.shape
    above, below = top % CELL, -(top + lines) % CELL
    padded = np.pad(mask, ((above, below), (0, 0)))
    cells = padded.reshape(-1, CELL, width // CELL, CELL).any(axis=(1, 3))
    return np.repeat(np.repeat(cells, CELL, axis=0), CELL, axis=1)[above : above + lines]


def _paint_body(
    job: Job, keys: SkyKeys, ink: np.ndarray, body: _Body, first: int, steps: int
) -> np.ndarray:
    inward = np.maximum(1.0 - body.distance / body.radius, 0.0)
    disc = body.distance < body.radius
    if keys.body == "sun":
        levels = np.sqrt(inward) * 1.35 * (steps - 1)
        shade = dither_levels(levels, steps, job.top, GRAINS[keys.grain], keys.plain)
    else:
        shade, disc = _moon(job, keys, body, steps, disc)
    ink = np.where(disc, first + shade, ink)
    if keys.body == "moon":
        return ink
    reach = body.radius * (1.5 + 2.0 * keys.halo)
    return _mirror_cells(ink, body, _cells_of(body.distance < reach, job.top))


def _moon(
    job: Job, keys: SkyKeys, body: _Body, steps: int, disc: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Shade (N, W) and lit part (N, W) bool of a moon, its bright side toward the light."""
    side = 1.0 if job.light[0] > 0 else -1.0
    across = (np.arange(job.width) + 0.5 - body.x + job.width // 2) % job.width - job.width // 2
    down = (np.arange(job.lines) + 0.5 - body.y)[:, None]
    inner = np.sqrt(np.maximum(body.radius * body.radius - down * down, 0.0))
    lit = disc & (across[None, :] * side > inner * (1.0 - 2.0 * keys.phase))
    size = keys.body_size
    face = fractal(256, size, hash_words(job.seed, "moon"), 768 // size + 1, octaves=2)[:, :size]
    inside = [np.clip(at + body.radius, 0, size - 1).astype(np.intp) for at in (down[:, 0], across)]
    seas = face[np.ix_(*inside)]
    rim = np.clip((body.radius - body.distance) / body.radius, 0.0, 1.0)
    levels = np.where(seas > 0.06, 0.45, 1.0) * (steps - 1) - np.where(rim < 0.1, 0.5, 0.0)
    return dither_levels(levels, steps, job.top, 2, 0.5), lit


def _paint_stars(
    job: Job, keys: SkyKeys, ink: np.ndarray, body: _Body | None, first: int, steps: int
) -> tuple[np.ndarray, np.ndarray]:
    """Sky with stars, and the guard of them: fewer toward the horizon, none in the halo."""
    spacing = round(44 - 26 * keys.stars)
    places = scatter(job.width, job.lines, spacing, hash_words(job.seed, "stars"))
    number = np.arange(len(places))
    depth = places[:, 1] * 1000 // job.lines
    keep = pick(job.seed, 1000, number, 1) > depth * depth // 900
    cells = (places + np.array([0, job.top])) // CELL
    corner = pick(job.seed, 4, number, 2)
    x = cells[:, 0] * CELL + np.where(corner & 1, 2, 5)
    y = cells[:, 1] * CELL + np.where(corner & 2, 2, 5) - job.top
    keep &= (y > 0) & (y < job.lines - 1)
    if body is not None:
        clear = body.radius * (1.3 + 1.2 * keys.halo)
        keep &= body.distance[np.clip(y, 0, job.lines - 1), x % job.width] > clear
    x, y, grade = x[keep] % job.width, y[keep], pick(job.seed, 16, number, 3)[keep]
    ink, guard = ink.copy(), np.zeros(ink.shape, dtype=bool)
    bright = grade == 0
    for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        ink[y[bright] + dy, (x[bright] + dx) % job.width] = first
        guard[y[bright] + dy, (x[bright] + dx) % job.width] = True
    tone = np.where(bright, steps - 1, np.where(grade < 6, (steps - 1) // 2, 0))
    ink[y, x] = first + np.where((grade >= 1) & (grade < 3), steps - 1, tone)
    guard[y, x] = True
    return ink, guard


def _paint_nebula(job: Job, keys: SkyKeys, ink: np.ndarray, first: int, steps: int) -> np.ndarray:
    """A slanting band of clouds of light; sky shows through where it is faint.

    Its strength is rounded at the corners of cells, so that its cells have few contents.
    """
    above = job.top % CELL
    rows, columns = -(-(job.lines + above) // CELL), job.width // CELL
    cloud = fractal(columns, rows + 1, hash_words(job.seed, "nebula"), 4, 0.16, octaves=3)
    sway = fractal(columns, 1, hash_words(job.seed, "sway"), 2, octaves=2)[0]
    middle = rows * (0.36 + 0.6 * sway)[None, :]
    off = np.abs(np.arange(rows + 1)[:, None] - middle) / (0.3 * rows)
    band = np.clip(1.0 - off * off, 0.0, 1.0)
    strength = band * (0.15 + 0.9 * keys.nebula + 1.1 * cloud) * (steps + 0.5)
    parts = 1 if job.thrift > 0.6 else 2
    corners = np.clip(np.floor(strength * parts + 0.5) / parts, 0.0, steps)
    levels = between_corners(corners)[above : above + job.lines]
    tone = dither_levels(levels, steps + 1, job.top, GRAINS[keys.grain], 0.1)
    return np.where(tone > 0, first + tone - 1, ink)


PAINTER = Painter(
    name="sky",
    about="A sky of few bands with a sun or moon, its halo, and stars.",
    params=SkyKeys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.7,
    body=place_body,
)
