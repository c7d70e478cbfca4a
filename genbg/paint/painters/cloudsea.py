"""Painter of a sea of cloud seen from above: banks in rows, far and flat to near and tall.

Each row is a sheet with a wavy edge and heads of cloud that stand in it; the next, nearer sheet
covers their feet, so crowns are found and feet are lost. The body's path lies on it as warmth.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.cloudforms import CloudLight
from genbg.paint.craft.clouds import CloudPicture, Head, draw_head
from genbg.paint.craft.edges import clean_mask
from genbg.paint.craft.exact import fall, power, smooth
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.tonal import TonalPicture

ROWS = (0.0, 0.035, 0.085, 0.16, 0.28, 0.44, 0.64, 0.88)
"""Where rows of banks stand, as shares of the lines."""
SMALL, GROW = 2.6, 0.19
"""Radius in pixels of a head at the horizon, and what it gains a line."""
WARM = (0.16, 0.55)
"""Warmth from which cloud takes the middle and the warm ramp."""


@dataclass(frozen=True)
class Keys:
    """Keys of the cloudsea painter."""

    cover: float = key(0.6, "float", "How closely banks stand.", low=0, high=1)
    size: float = key(1.0, "float", "Size of the banks.", low=0.4, high=2)
    first: float = key(
        0.0, "float", "Row nearer than which banks stand, a share of the lines.", low=0, high=0.9
    )
    path: float = key(0.8, "float", "The body's light on the clouds.", low=0, high=1)
    floor: bool = key(True, "bool", "Sheets between the banks; else they are see-through.")


_ANCHORS = {
    "cool": ("#244992", "#496db6", "#6d92db", "#92b6db", "#dbb6b6", "#ffdbb6"),
    "between": ("#244992", "#6d6db6", "#9292b6", "#dbb6b6", "#ffdbb6", "#ffffdb"),
    "warm": ("#496db6", "#926db6", "#dbb6b6", "#ffb6b6", "#ffdbb6", "#ffffdb"),
}
RAMPS = (
    Ramp("cool", "Cloud away from the light.", _ANCHORS["cool"], 10, hazed=False),
    Ramp("between", "Cloud at the edge of the light's path.", _ANCHORS["between"], 10, hazed=False),
    Ramp("warm", "Cloud in the light's path.", _ANCHORS["warm"], 10, hazed=False),
)


def paint(keys: Keys, job: Job) -> Painting:
    """A sea of cloud over the layer's lines."""
    picture = TonalPicture(job, RAMPS)
    x = job.body.x if job.body is not None else (0.5 + 0.5 * job.light[0]) * job.width
    y = job.body.y - job.top if job.body is not None else -30.0
    light = CloudLight(x, y, 380.0, job.width)
    warm = _warmth(keys, job, light)
    for number, share in enumerate(ROWS):
        if share >= keys.first:
            _row(keys, job, picture, light, warm, number)
    return picture.painting(tidy=True)


def _warmth(keys: Keys, job: Job, light: CloudLight) -> np.ndarray:
    """How much (N, W) float64, 0..1, of the path's light lies on each place, its edge torn."""
    off = np.abs(
        (np.arange(job.width)[None, :] - light.x + job.width / 2) % job.width - job.width / 2
    )
    down = np.arange(job.lines)[:, None]
    near = fall(power(np.minimum(off / (46.0 + 1.1 * down) / 4.0, 1.0), 1.7) * 10.556)
    seed, cells = hash_words(job.seed, "torn"), 9 * job.width // 512
    torn = fractal(job.width, job.lines, seed, cells, 1 / 8.0, octaves=3).astype(np.float64)
    return keys.path * np.clip(near + 0.6 * torn * np.clip(5.0 * near * (1.2 - near), 0, 1), 0, 1.2)


def _row(
    keys: Keys,
    job: Job,
    picture: TonalPicture,
    light: CloudLight,
    warm: np.ndarray,
    number: int,
) -> None:
    """One sheet and the banks that stand in it."""
    line = ROWS[number] * job.lines
    size, air = keys.size * (SMALL + GROW * line), 1.0 - ROWS[number]
    seed = hash_words(job.seed, "row", number)
    sway = profile(job.width, seed, max(3, int(job.width / (9 * size))), octaves=3)
    edge = line + 0.9 * size * sway.astype(np.float64) if number else np.zeros(job.width)
    rows = np.arange(job.lines)[:, None]
    ground = 0.3 + 0.16 * air + 0.14 * warm
    clouds = CloudPicture(job.lines, job.width, seed, bend=min(2.6, 0.5 * size))
    if keys.floor:
        lip = (rows < edge[None, :] + max(1.0, 0.12 * size)) & (sway[None, :] > -0.05)
        clouds.cover |= rows >= edge[None, :]
        clouds.tone = np.where(clouds.cover, ground + np.where(lip, 0.16, 0.0), 0.0)
    banks = CloudPicture(job.lines, job.width, seed, bend=min(2.6, 0.5 * size))
    for head in _heads(keys, job, light, (line, size, air), seed):
        toward, _ = light.at(head.x, head.y, 26.0)
        draw_head(banks, head, toward)
    foot = smooth(rows - line, -0.35 * size, 0.75 * size)
    tone = banks.tone + (ground - banks.tone) * foot
    shown = banks.cover & (rows < line + 0.9 * size)
    clouds.tone = np.where(shown, tone, clouds.tone)
    clouds.cover |= shown
    _lay(picture, clouds, warm)


def _heads(
    keys: Keys,
    job: Job,
    light: CloudLight,
    row: tuple[float, float, float],
    seed: int,
) -> list[Head]:
    """Banks of two to five heads, the middle one the largest, with gaps between the banks."""
    line, size, air = row
    found, x, bank = [], size * float(unit(seed, 0)[0]), 0
    while x < job.width - size:
        draws = unit(seed, bank, np.arange(4)).tolist()
        count = 2 + int(4 * draws[0])
        for n in range(count):
            middle = 1.0 - abs(2.0 * n / (count - 1) - 1.0)
            radius = size * (0.5 + 0.7 * middle) * (0.75 + 0.5 * float(unit(seed, bank, n, 7)[0]))
            near = max(0.0, 1.0 - abs(light.off(x)) / 300.0)
            found.append(
                Head(
                    x,
                    line - 0.12 * radius,
                    radius,
                    wide=1.4 + 1.6 * air,
                    high=0.8,
                    gain=(0.62 + 0.4 * near) * (1.0 - 0.3 * air),
                    shade=0.1 + 0.3 * air * air,
                    seed=hash_words(seed, bank, n) % 2**31,
                )
            )
            x += radius * (1.2 + 1.2 * air)
        x += size * (1.0 + 7.0 * draws[1]) * (1.25 - keys.cover)
        bank += 1
    return found


def _lay(picture: TonalPicture, clouds: CloudPicture, warm: np.ndarray) -> None:
    cover = clean_mask(clouds.cover) & clouds.cover
    tone = np.clip(clouds.tone + 0.1 * warm * (clouds.tone > 0.45), 0.0, 1.0)
    middle, hot = warm > WARM[0], warm > WARM[1]
    picture.lay_share(cover & ~middle, "cool", tone)
    picture.lay_share(cover & middle & ~hot, "between", tone)
    picture.lay_share(cover & hot, "warm", tone)


PAINTER = Painter(
    name="cloudsea",
    about="A sea of cloud from above: banks in rows, with the body's light on them.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.4,
)
