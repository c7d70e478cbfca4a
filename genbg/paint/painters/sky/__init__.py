"""Painter of the sky: a gradient, a sun or moon with its light, stars, and streaks of far cloud.

Away from the light a sky is the same along every line, so a whole cell row there costs one tile.
The light is a lens that lies along the horizon, torn by flat streaks, and one round the body whose
rims are bent, so that no ring shows. It changes from pixel to pixel and never by whole cells; both
sides are alike, so half of its cells are flips, and merging keeps them as it does the disc.
Streaks of far cloud are lit from where the body stands.

A ramp looks best where its hue travels one channel of the 512-colour grid a step, as the default
one does: more blue, then more green, then more red.
"""

from __future__ import annotations

import math

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Body, Job, Painter
from genbg.paint.craft.dither import dither_levels
from genbg.paint.painters.sky.disc import Disc, draw_disc, find_disc, mirror_cells
from genbg.paint.painters.sky.glow import light_share, sky_levels
from genbg.paint.painters.sky.keys import GRAINS, RAMPS, Keys
from genbg.paint.painters.sky.stars import draw_nebula, draw_stars
from genbg.paint.painters.sky.streaks import draw_streaks

LIT = 0.02
"""Light from which a merge should leave the air round the body as it is."""


def paint(keys: Keys, job: Job) -> Painting:
    """Sky over all lines of the layer; every pixel is painted."""
    steps = {ramp.name: job.steps[ramp.name] for ramp in RAMPS}
    ends = np.cumsum([1, *steps.values()]).tolist()
    first = dict(zip(steps, ends, strict=False))
    disc = find_disc(keys, job)
    ink, share = _air(keys, job, disc, steps)
    if keys.nebula > 0:
        ink = draw_nebula(keys, job, ink, first["nebula"], steps["nebula"])
    guard = np.zeros(ink.shape, dtype=bool)
    if keys.stars > 0:
        ink, stars = draw_stars(keys, job, ink, disc, first["stars"], steps["stars"])
        guard |= stars
    shape: np.ndarray | None = None
    whole: tuple[tuple[str, int, int], ...] = ()
    if disc is not None:
        ink = draw_disc(keys, job, ink, disc, first["body"], steps["body"])
        shape = (disc.distance < disc.radius) | (share > LIT)
        guard &= ~shape
        edge = math.ceil(disc.radius)
        first_line, last_line = max(0, disc.y - edge), min(job.lines, disc.y + edge)
        whole = ((keys.body, first_line, last_line),) if first_line < last_line else ()
    if keys.streaks > 0 or keys.drifts > 0:
        ink, cloud = draw_streaks(keys, job, ink, disc, first["streak"], steps["streak"])
        guard &= ~cloud
        shape = None if shape is None else shape & ~cloud
    return Painting(ink.astype(np.uint16), job.uses(steps), guard, shape, whole)


def _air(
    keys: Keys, job: Job, disc: Disc | None, steps: dict[str, int]
) -> tuple[np.ndarray, np.ndarray]:
    """Inks (N, W) of the gradient and of the light in it; how bright that light is, 0..1."""
    count = steps["sky"] + steps["halo"]
    levels = sky_levels(keys, job, steps["sky"], steps["halo"])
    share = np.zeros((job.lines, job.width))
    if disc is not None:
        share = light_share(keys, job, disc)
        levels = levels + (count - 1.0 - levels) * share
    ink = 1 + dither_levels(levels, count, job.top, GRAINS[keys.grain], keys.plain, job.width)
    if disc is not None:
        ink = mirror_cells(ink, disc, share > 0, job.top)
    return ink, share


def place_body(keys: Keys, job: Job) -> Body | None:
    """Where the disc stands."""
    disc = find_disc(keys, job)
    return None if disc is None else Body(float(disc.x), float(job.top + disc.y), disc.radius)


PAINTER = Painter(
    name="sky",
    about="A sky with a sun or moon and its light, stars, and streaks of far cloud.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.4,
    body=place_body,
)
