"""Painter of floes: slabs of ice that drift on dark water, seen from above its edge.

A floe is cut from the plane by straight lines, lies flat in perspective, and shows us the side of
its slab: snow on top with drifts lit from the body's side, blue ice below, its dark mirror broken
into dashes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.edges import shifted
from genbg.paint.craft.exact import cosine, sine
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words, scatter, unit
from genbg.paint.craft.tonal import TonalPicture

FLAT = 0.3
"""Height of a floe's outline for its width: how flat the water is seen."""
CORNER = 1.3
"""How far a floe's corners may reach, in its half widths."""
SCREEN = 224
"""Line at which the frame may cut a floe; at any other border it is left out."""
CUTS = 7
"""Straight lines that cut a floe."""


@dataclass(frozen=True)
class Keys:
    """Keys of the floes painter."""

    cover: float = key(0.6, "float", "How closely floes lie.", low=0, high=1)
    size: float = key(
        46.0, "float", "Half the width of the nearest.", low=4, high=120, unit="pixels"
    )
    far: float = key(
        0.25, "float", "Size of the farthest, a share of the nearest's.", low=0.05, high=1
    )
    slab: float = key(0.16, "float", "How thick they are for their width.", low=0, high=0.5)


RAMPS = (
    Ramp(
        "snow",
        "Snow on top, from shade to light.",
        ("#496db6", "#92b6db", "#dbdbff", "#ffffdb"),
        4,
        hazed=False,
    ),
    Ramp(
        "ice",
        "The side of the slab, dark to lit.",
        ("#00246d", "#2492b6", "#92dbdb"),
        4,
        hazed=False,
    ),
    Ramp("mirror", "Its mirror in the water.", ("#002449", "#24496d"), 2, hazed=False),
)


def paint(keys: Keys, job: Job) -> Painting:
    """Floes, far ones first; the rest is see-through."""
    picture = TonalPicture(job, RAMPS)
    spacing = max(6, int(keys.size * FLAT * 2.0 * (1.9 - keys.cover)))
    spots = scatter(job.width, job.lines * 3, spacing * 2, hash_words(job.seed, "floes"))
    order = np.argsort(spots[:, 1], kind="stable")
    for n in order.tolist():
        share = float(spots[n, 1]) / (job.lines * 3)
        keep = float(unit(job.seed, n, 1)[0])
        if keep < 0.35 + 0.65 * keys.cover:
            half = keys.size * (keys.far + (1.0 - keys.far) * share * share)
            half *= 0.55 + 0.6 * float(unit(job.seed, n, 2)[0])
            reach = CORNER * half * FLAT + 1.0
            row = reach + (job.lines - reach) * share * share
            cut = row + reach + 2.0 * keys.slab * half + 2.0 > job.lines
            if cut and job.bottom < SCREEN:
                continue
            _floe(keys, job, picture, (float(spots[n, 0]), row, half), n)
    return picture.painting(tidy=True)


def _floe(
    keys: Keys,
    job: Job,
    picture: TonalPicture,
    place: tuple[float, float, float],
    number: int,
) -> None:
    x, row, half = place
    seed = hash_words(job.seed, "floe", number)
    thick = max(1, round(keys.slab * half))
    reach = CORNER * half * FLAT + 1.0
    first = max(0, int(row - reach))
    last = min(job.lines, int(row + reach) + 3 * thick + 3)
    if first >= last:
        return
    picture = picture.strip(first, last)
    across = (np.arange(job.width)[None, :] + 0.5 - x + job.width / 2) % job.width - job.width / 2
    down = np.arange(first, last)[:, None] + 0.5 - row
    top = _outline(across / half, down / (half * FLAT), seed)
    body = top.copy()
    for step in range(1, thick + 1):
        body |= shifted(top, 0, -step)
    mirror = body.copy()
    for step in range(1, 2 * thick + 2):
        mirror |= shifted(body, 0, -step)
    seed_of_dash = hash_words(seed, "dash")
    size = job.width, last - first
    dash = fractal(*size, seed_of_dash, job.width // 8, 1 / 1.6, 2, top=job.top + first)
    picture.lay(mirror & ~body & (dash > -0.12), "mirror", np.where(dash > 0.2, 1.0, 0.0))
    _paint_slab(job, picture, (top, body, first), seed, half)


def _outline(u: np.ndarray, v: np.ndarray, seed: int) -> np.ndarray:
    """What straight cuts leave (N, W) bool of the plane, in shares of the floe's size."""
    inside = (np.abs(u) < CORNER) & (np.abs(v) < CORNER)
    turn = float(unit(seed, 0)[0])
    for n in range(CUTS):
        jitter, reach = unit(seed, n, np.arange(2)).tolist()
        angle = turn + (n + 0.7 * jitter) / CUTS
        inside = inside & (u * float(cosine(angle)) + v * float(sine(angle)) < 0.72 + 0.3 * reach)
    return inside


def _paint_slab(
    job: Job,
    picture: TonalPicture,
    slab: tuple[np.ndarray, np.ndarray, int],
    seed: int,
    half: float,
) -> None:
    """Snow with drifts, the slab's side with cracks, a lit rim toward the light.

    slab: its top and all of it (N, W) bool, and the layer's line that is their first
    """
    top, body, first = slab
    size = job.width, len(top)
    light = job.body.x if job.body is not None else (0.5 + 0.5 * job.light[0]) * job.width
    cells = max(6, int(job.width / max(6.0, 0.8 * half)))
    drift = fractal(*size, hash_words(seed, "drift"), cells, 1 / 4.0, octaves=2, top=first)
    column = np.arange(job.width)[None, :]
    toward = np.where((light - column + job.width / 2) % job.width > job.width / 2, 1.0, -1.0)
    slope = toward * (shifted(drift, -1, 0) - shifted(drift, 1, 0)) * 0.25 * half
    tone = 1.9 + slope.astype(np.float64) + 0.9 * drift
    rim = top & ~shifted(top, 0, -1)
    tone = np.where(rim, 3.0, tone)
    picture.lay(top, "snow", np.clip(tone, 0.6, float(picture.last("snow"))))
    side = body & ~top
    crack = fractal(*size, hash_words(seed, "crack"), job.width // 5, 1 / 30.0, 1, top=first)
    edge = side & shifted(top, 0, -1)
    picture.lay(side, "ice", np.where(crack > 0.1, 2.0, np.where(crack < -0.25, 0.0, 1.0)))
    picture.lay(edge, "ice", float(picture.last("ice")))


PAINTER = Painter(
    name="floes",
    about="Floes: slabs of ice on dark water, with snow, blue sides and broken mirrors.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.3,
)
