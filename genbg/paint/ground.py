"""The ground painter: a floor in perspective, of grass, sand, stone or planks.

The floor is seen by a pinhole camera: line by line it comes nearer, as `job.ratio` says, and marks
and stripes grow with it. Stripes run along the lines, since only they survive lines that move past
each other; all else is dashes (`parts/dashes.py`).
"""

from __future__ import annotations

import numpy as np

from genbg.keys import key
from genbg.model import Painting, RampUse
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.scatter import hash_words, pick_one, unit
from genbg.paint.parts.dashes import (
    CELL,
    Surface,
    border_tones,
    dither_lines,
    group_lines,
    lay_links,
    make_links,
    nearness,
    ring_for,
    ring_pairs,
    row_values,
    rows_of,
    walk_ring,
)
from genbg.records import record


@record(frozen=True)
class Material:
    """How a floor looks.

    stripes: how many stripes lie between the viewer and the depth of one viewing distance
    seam: tones of the line between two stripes and of the line after it
    seam_marks: shares (light, dark) of dashes on the line after a seam and on the seam
    marks: shares (light, dark) of dashes elsewhere
    wave: pixels of a dash and a gap (far, near); tall: lines of a dash at the nearest
    shade: tones by which stripes differ
    """

    about: str
    stripes: float
    seam: tuple[int, int]
    seam_marks: tuple[float, float]
    marks: tuple[float, float]
    wave: tuple[float, float]
    tall: float
    shade: float


MATERIALS = {
    "grass": Material("meadow", 3.0, (0, 0), (0.3, 0.3), (0.3, 0.25), (9, 26), 1.6, 0.8),
    "sand": Material("rippled sand", 9.0, (0, 0), (0.6, 0.6), (0.12, 0.1), (14, 52), 1.0, 0.3),
    "stone": Material("courses of stone", 4.0, (-2, 1), (0.0, 0.0), (0.2, 0.2), (12, 30), 2.4, 0.9),
    "planks": Material("a deck", 4.5, (-2, 1), (0.0, 0.0), (0.0, 0.25), (26, 72), 1.0, 1.3),
}


@record(frozen=True)
class Params:
    """What a preset says about a floor."""

    material: str = key("grass", "choice", "What the floor is of.", choices=tuple(MATERIALS))
    marks: float = key(
        0.5, "float", "How many marks there are: tufts, ripples, grain.", low=0.0, high=1.0
    )
    stripes: float = key(0.5, "float", "How strong stripes along the lines are.", low=0.0, high=1.0)
    size: float = key(1.0, "float", "How large marks and stripes are.", low=0.25, high=4.0)


def paint(keys: Params, job: Job) -> Painting:
    """Return a floor, its far end at the layer's first line."""
    material = MATERIALS[job.params.material]
    near = nearness(job.ratio)
    surface = lay_floor(job, material, near)
    seed = hash_words(job.seed, "floor")
    ring = range(ring_for(job.thrift))
    steps = job.steps[job.params.material]
    tones = np.clip(border_tones(surface, len(ring), seed), 0, steps - 1)
    pairs = ring_pairs(ring)
    links = make_links(tones, pairs, surface.group, seed)
    stay = np.clip(1.0 - 9.0 / row_values(surface.wave, job.top), 0.25, 0.9)
    walk = np.stack(
        [
            walk_ring(ring, job.width // CELL, float(stay[row]), seed, row)
            for row in range(rows_of(job.lines, job.top))
        ]
    )
    picture = lay_links(links, pairs, walk, job.top)
    return Painting((picture + 1).astype(np.uint16), (RampUse(job.params.material, steps),))


def lay_floor(job: Job, material: Material, near: np.ndarray) -> Surface:
    """Tones, shares and lengths of the marks, line by line."""
    params, lines = job.params, job.lines
    steps = job.steps[params.material]
    stripe, seam, after = stripe_lines(job, material, near)
    down = (np.arange(lines) + 0.5) / lines
    level = (steps - 1) * (0.8 - 0.4 * down)
    jitter = unit(hash_words(job.seed, "stripes"), stripe) - 0.5
    level = level + jitter * 2.0 * material.shade * params.stripes
    level = np.clip(level, 0, steps - 1)
    if material.seam[0]:
        # Between seams a stripe is of one piece; only where stripes are too thin, lines mix tones.
        whole = stripe < stripe.max()
        tone = np.where(whole, np.floor(level + 0.5), dither_lines(level, job.top)).astype(np.int64)
    else:
        tone = dither_lines(level, job.top)
    strength = min(1.0, params.stripes * 2.0)
    tone = tone + seam * int(material.seam[0] * strength) + after * int(material.seam[1] * strength)
    density = params.marks * 2.0
    light = np.where(after, material.seam_marks[0], material.marks[0]) * density
    dark = np.where(seam, material.seam_marks[1], material.marks[1]) * density
    whole = (seam & (material.seam[0] != 0)) | (after & (material.seam[1] != 0))
    far, close = material.wave
    return Surface(
        base=np.clip(tone, 0, steps - 1),
        light=np.where(whole, 0.0, light),
        dark=np.where(whole, 0.0, dark),
        wave=(far + (close - far) * near) * params.size,
        group=group_lines(1.0 + (material.tall * params.size - 1.0) * near),
    )


def stripe_lines(
    job: Job, material: Material, near: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Stripe number (N,), and which lines (N,) bool are a seam or follow one.

    Stripes are equally wide on the floor; where one is thinner than three lines it is left out.
    """
    depth = material.stripes / (near * job.params.size) + pick_one(job.seed, 16, "stripe") / 16.0
    stripe = np.floor(depth).astype(np.int64)
    thin = np.abs(np.diff(depth, append=depth[-1:])) > 1.0 / 3.0
    stripe = np.where(thin, stripe.max() + 1, stripe)
    seam = np.concatenate([[False], stripe[1:] != stripe[:-1]]) & ~thin
    after = np.concatenate([[False], seam[:-1]])
    return stripe, seam, after & ~seam


PAINTER = Painter(
    name="ground",
    about="A floor in perspective that lines at their own speeds leave intact.",
    params=Params,
    ramps=(
        Ramp("grass", "Meadow.", ("#184028", "#387838", "#68a840", "#b0d060"), 6),
        Ramp("sand", "Sand.", ("#805040", "#b88858", "#e0b878", "#f8e8b0"), 6),
        Ramp("stone", "Stone.", ("#302840", "#605870", "#908898", "#c8c8c8"), 6),
        Ramp("planks", "Wood.", ("#301828", "#603830", "#986040", "#d0a070"), 6),
    ),
    paint=paint,
    thrift=0.75,
)
