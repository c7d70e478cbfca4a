"""Grass on near ground: tufts of bent blades in patches, dark at the foot, light at the tip."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.exact import smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.drifts.field import Field

BLADES = 5
"""Blades of a tuft."""
STEP_FAR, STEP_NEAR = 3.0, 9.0
"""Columns from tuft to tuft, far off and near."""


def grow_grass(picture: TonalPicture, job: Job, share: float, field: Field) -> None:
    """Grow tufts on the lit and the shaded ground, the far ones first."""
    patch = fractal(
        job.width,
        job.lines,
        hash_words(job.seed, "turf"),
        max(1, job.width // 70),
        1 / 12,
        octaves=3,
    )
    ground, line, number = picture.holds("lit", "shade"), 3.0, 0
    bright = picture.holds("lit")
    while line < job.lines + 4:
        near = line / job.lines
        step = STEP_FAR + (STEP_NEAR - STEP_FAR) * near
        count = int(job.width / step)
        n = np.arange(count)
        draw = [unit(job.seed, n, number, k) for k in range(5)]
        x = ((n + draw[0]) * step).astype(np.int64) % job.width
        y = np.clip((line + 3.0 * (draw[1] - 0.5) * (1 + near)).astype(np.int64), 0, job.lines - 1)
        keep = ground[y, x] & (patch[y, x] + 0.5 * (share - 1.0) + 0.2 * draw[2] > 0.0)
        tall = (2.0 + 6.0 * near) * (0.6 + 0.7 * draw[3])
        tuft = x[keep], y[keep], tall[keep], draw[4][keep], bright[y, x][keep]
        _draw_tufts(picture, field, *tuft)
        line += 1.6 + 3.4 * near
        number += 1


def _draw_tufts(
    picture: TonalPicture,
    field: Field,
    x: np.ndarray,
    y: np.ndarray,
    tall: np.ndarray,
    lean: np.ndarray,
    bright: np.ndarray,
) -> None:
    """Blades of tufts (n,) at x, y: they fan out and bend, lighter toward the light and the tip."""
    lines, width = picture.tone.shape
    last_lit, last_shade = picture.last("lit"), picture.last("shade")
    for blade in range(BLADES):
        fan = (blade - (BLADES - 1) / 2) * 0.5 + (lean - 0.5)
        high = tall * (1.0 - 0.14 * abs(blade - 2))
        for up in range(int(np.ceil(high.max(initial=0.0)))):
            share = up / np.maximum(high, 1.0)
            column = np.floor(x + blade - 2 + fan * share * share * high + 0.5).astype(np.int64)
            column, row = column % width, y - up
            there = (share < 1.0) & (row >= 0) & (row < lines)
            toward = field.side[column] * (blade - 2) * 0.25
            light = smooth(share, 0.1, 1.0) + 0.4 * toward
            lit = there & bright & (light > 0.3)
            dim = there & ~lit
            at = row[lit], column[lit]
            picture.material[at] = picture.number("lit")
            picture.tone[at] = (0.2 + 0.3 * light[lit]) * last_lit
            picture.soft[at] = 0.0
            at = row[dim], column[dim]
            picture.material[at] = picture.number("shade")
            picture.tone[at] = (
                0.35 + 0.65 * share[dim] * bright[dim] + 0.2 * share[dim]
            ) * last_shade
            picture.soft[at] = 0.0
