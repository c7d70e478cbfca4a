"""Painter of heaped clouds: towers, a ceiling of dark folds, banks along the horizon, rain.

They leave a gap round the sun or moon, are lit from it, and turn cooler away from it.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.cloudforms import CloudLight, bank, ceiling, rain, tower
from genbg.paint.craft.clouds import CloudPicture
from genbg.paint.craft.dither import threshold_plane
from genbg.paint.craft.edges import clean_mask, shifted
from genbg.paint.craft.exact import smooth
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.tonal import TonalPicture

WARM_SHARE = 0.42
"""Nearness to the light from which clouds take the warm ramp."""
FLEET = ((0.07, 0.03), (0.15, 0.045), (0.28, 0.075), (0.46, 0.115), (0.7, 0.16))
"""Rows of small heaps: how far up their bellies lie and their radius, as shares of the lines."""
RAIN_SOFT = 0.14
"""Thickness over which rain passes from one ink to the next in a pattern of both."""
RAIN_STEPS = (0.22, 0.42, 0.62)
"""Thickness from which rain takes its next ink."""


@dataclass(frozen=True)
class Keys:
    """Keys of the heaps painter."""

    towers: int = key(2, "int", "Towers of cloud.", low=0, high=5)
    size: float = key(
        0.8, "float", "Height of the great tower, a share of the lines.", low=0.1, high=1.2
    )
    belly: float = key(
        0.84, "float", "Row of their flat bellies, a share of the lines.", low=0.1, high=1
    )
    gap: int = key(64, "int", "Sky left free beside the light.", low=0, high=200, unit="pixels")
    ceiling: float = key(
        0.0,
        "float",
        "Dark folds overhead, a share of the lines away from the light.",
        low=0,
        high=1,
    )
    banks: float = key(0.5, "float", "Low banks along the horizon.", low=0, high=1)
    fleet: float = key(
        0.0, "float", "Small flat-bellied heaps, large overhead and many far away.", low=0, high=1
    )
    rain: float = key(0.0, "float", "Rain under the clouds away from the light.", low=0, high=1)
    slant: float = key(-0.5, "float", "Which way the rain is blown.", low=-1, high=1)
    reach: int = key(
        260, "int", "How far the light reaches among them.", low=60, high=600, unit="pixels"
    )


RAMPS = (
    Ramp(
        "cloud",
        "Clouds near the light, from their shade to their lit edge.",
        ("#242449", "#494992", "#926d92", "#db9292", "#ffdbb6", "#ffffdb"),
        10,
        hazed=False,
    ),
    Ramp(
        "cool",
        "Clouds away from it.",
        ("#242449", "#49496d", "#6d6d92", "#9292b6", "#dbb6b6", "#ffdbb6"),
        10,
        hazed=False,
    ),
    Ramp("rain", "Rain, from thin to thick.", ("#49496d", "#24246d", "#242449"), 3, hazed=False),
)


def paint(keys: Keys, job: Job) -> Painting:
    """Clouds over the sky; between them the layer is see-through."""
    light = _light(keys, job)
    picture = TonalPicture(job, RAMPS)
    warm = _warmth(job, light)
    for number, draw in enumerate((_banks, _fleet, _ceiling, _towers)):
        clouds = CloudPicture(job.lines, job.width, hash_words(job.seed, number))
        draw(keys, job, clouds, light)
        if draw is _ceiling:
            _fold(job, clouds)
        _lay(picture, clouds, warm)
        if draw is _banks and keys.rain > 0:
            _rain(keys, job, picture, light)
    return picture.painting(tidy=True)


def _light(keys: Keys, job: Job) -> CloudLight:
    if job.body is not None:
        return CloudLight(job.body.x, job.body.y - job.top, keys.reach, job.width)
    x = (0.5 + 0.5 * job.light[0]) * job.width
    return CloudLight(x, job.lines * (1.0 - job.light[1]), keys.reach, job.width)


def _warmth(job: Job, light: CloudLight) -> np.ndarray:
    """Nearness (N, W) float64 to the light, its edge moved by noise."""
    half = job.width / 2
    across = (np.arange(job.width)[None, :] - light.x + half) % job.width - half
    down = np.arange(job.lines)[:, None] - light.y
    near = 1.0 - np.sqrt(0.64 * across * across + down * down) / light.reach
    seed, cells = hash_words(job.seed, "warm"), 20 * job.width // 512
    return near + 0.22 * fractal(job.width, job.lines, seed, cells, octaves=2).astype(np.float64)


def _lay(picture: TonalPicture, clouds: CloudPicture, warm: np.ndarray) -> None:
    cover = clean_mask(clouds.cover)
    sides = [shifted(clouds.tone, dx, dy) for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1))]
    filled = np.maximum(np.maximum(sides[0], sides[1]), np.maximum(sides[2], sides[3]))
    tone = np.clip(np.where(clouds.cover, clouds.tone, filled), 0.0, 1.0)
    near = warm > WARM_SHARE
    picture.lay_share(cover & near, "cloud", tone)
    picture.lay_share(cover & ~near, "cool", tone)


def _banks(keys: Keys, job: Job, clouds: CloudPicture, light: CloudLight) -> None:
    """Low banks along the horizon, with gaps."""
    x, n = 0.0, 0
    while keys.banks > 0 and x < job.width - 24:
        wide, size, gap = (float(unit(job.seed, n, k)[0]) for k in (11, 12, 13))
        last = min(job.width - 8.0, x + 40.0 + 70.0 * wide)
        bank(clouds, light, (x + 8.0, last, job.lines + 1.0), 4.0 + 5.0 * size, job.seed + n)
        x, n = last + 50.0 * gap * (1.5 - keys.banks), n + 1


FLEET_LINES = 64
"""Lower layers have no more heaps than one of so many lines, else they would be thousands."""


def _fleet(keys: Keys, job: Job, clouds: CloudPicture, light: CloudLight) -> None:
    """Rows of small heaps, far ones first; none before the body's face."""
    for row, (up, size) in enumerate(FLEET):
        count = round(keys.fleet * job.width / (size * max(job.lines, FLEET_LINES) * 6.5))
        for n in range(count):
            at, wide, high, line = (float(unit(job.seed, row, n, k)[0]) for k in (41, 42, 43, 44))
            radius = size * job.lines * (0.6 + 0.6 * high)
            half = radius * (1.6 + 2.2 * wide)
            x = job.width * (n + 0.2 + 0.6 * at) / count
            belly = job.lines * (1.0 - up) + 0.5 * radius * (line - 0.5)
            if abs(light.off(x)) > half + 34.0 or belly < light.y - 44.0:
                seed = hash_words(job.seed, "fleet", row, n)
                bank(clouds, light, (x - half, x + half, belly), radius, seed)


def _ceiling(keys: Keys, job: Job, clouds: CloudPicture, light: CloudLight) -> None:
    """Dark folds overhead, lowest far from the light."""
    if keys.ceiling > 0:
        half = job.width / 2
        away = np.abs((np.arange(job.width) - light.x + half) % job.width - half)
        bend = 2.0 * profile(job.width, hash_words(job.seed, "ends"), 5, octaves=3)
        ends = keys.ceiling * job.lines * smooth(away, 0.3 * keys.gap, 3.0 * keys.gap)
        ends = ends * (1.0 + 0.35 * bend.astype(np.float64))
        ceiling(clouds, light, ends, hash_words(job.seed, "folds"), (6.0, 0.26 * job.lines))


def _fold(job: Job, clouds: CloudPicture) -> None:
    """Long folds in the ceiling, flatter toward the horizon: the wind's way through it."""
    seed, cells = hash_words(job.seed, "wind"), max(2, 15 * job.width // 512)
    wide = fractal(job.width, job.lines, seed, cells, 1 / 9.0, octaves=3).astype(np.float64)
    clouds.tone += FOLD * wide - 0.03


FOLD = 0.34
"""Share of the ramp by which folds of the ceiling are lighter or darker, at most."""


def _towers(keys: Keys, job: Job, clouds: CloudPicture, light: CloudLight) -> None:
    """The great tower on one side of the light, the next on the other, the rest between."""
    great = -1.0 if unit(job.seed, 21)[0] < 0.5 else 1.0
    belly = keys.belly * job.lines
    gap = keys.gap * (0.6 + 0.9 * float(unit(job.seed, 25)[0]))
    spots = []
    for n in range(keys.towers):
        high, wide, room = (float(unit(job.seed, n, k)[0]) for k in (22, 23, 24))
        share = (1.0, 0.62, 0.42, 0.5, 0.3)[n] * (0.75 + 0.45 * high)
        tall = keys.size * job.lines * share
        half = tall * (0.55 + 0.5 * wide)
        side = great if n % 2 == 0 else -great
        step = (n // 2) * 1.7 * half
        spots.append((side * (gap + half + step + 26.0 * room), tall, half, n))
    for off, tall, half, n in sorted(spots, key=lambda spot: spot[1]):
        place = (light.x + off, belly - tall, belly, half)
        tower(clouds, light, place, hash_words(job.seed, "tower", n))


def _rain(keys: Keys, job: Job, picture: TonalPicture, light: CloudLight) -> None:
    """Curtains away from the light; what hangs over them is laid later."""
    thick = np.zeros((job.lines, job.width))
    for n in range(3):
        at, wide, start = (float(unit(job.seed, n, k)[0]) for k in (31, 32, 33))
        x = light.x + job.width * (0.26 + 0.2 * n + 0.1 * at)
        half = (30.0 + 50.0 * wide) * (0.5 + keys.rain)
        place = (x - half, x + half, job.lines * (0.25 + 0.3 * start), float(job.lines + 8))
        one = rain((job.lines, job.width), place, keys.slant, hash_words(job.seed, "rain", n))
        thick = np.maximum(thick, one * (0.5 + 0.5 * keys.rain))
    soft = RAIN_SOFT * ((threshold_plane(*thick.shape, job.top, 4) + 0.5) / 16 - 0.5)
    for step, least in enumerate(RAIN_STEPS):
        tone = min(step, picture.last("rain"))
        picture.lay(thick + soft > least, "rain", float(tone))


PAINTER = Painter(
    name="heaps",
    about="Heaped clouds: towers, a ceiling of dark folds, banks along the horizon, rain.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.4,
)
