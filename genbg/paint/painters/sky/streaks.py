"""Streaks of far cloud: long torn lenses, many and thin at the horizon, few and large above."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.exact import smooth
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.painters.sky.disc import Disc
from genbg.paint.painters.sky.keys import Keys

MOST = 26
"""Streaks of a full sky 512 pixels wide."""
CLEAR = 0.3
"""Share of the disc's radius below its centre from which a streak may cross it."""
ALIGHT = 150.0
"""Pixels from the body by which a streak's light has halved."""


def draw_streaks(
    keys: Keys, job: Job, ink: np.ndarray, disc: Disc | None, first: int, steps: int
) -> tuple[np.ndarray, np.ndarray]:
    """The sky (N, W) with streaks in inks from `first`, and where they are (N, W) bool."""
    light = _light_at(job, disc)
    tone, cloud = streak_tones(job, keys.streaks, light, disc, keys.torn)
    for n in range(keys.drifts):
        _lay_drift(job, (tone, cloud), (n, keys.drifts), light, disc)
    level = np.clip(np.floor(tone * (steps - 1) + 0.5), 0, steps - 1).astype(np.int64)
    return np.where(cloud, first + level, ink), cloud


def _light_at(job: Job, disc: Disc | None) -> tuple[float, float]:
    if disc is not None:
        return float(disc.x), float(disc.y)
    return (0.5 + 0.5 * job.light[0]) * job.width, job.lines * (1.0 - job.light[1])


def streak_tones(
    job: Job,
    amount: float,
    light: tuple[float, float],
    disc: Disc | None = None,
    torn: float = 0.0,
) -> tuple[np.ndarray, np.ndarray]:
    """Tones (N, W) float64 0..1 of streaks of cloud, and where they are (N, W) bool.

    amount: 0..1 of `MOST`; light: column and row of the layer that lights them from below or above
    disc: what no streak may cross above `CLEAR`
    torn: 0 smooth lenses .. 1 fields of wisps with flat undersides
    """
    seed, size = hash_words(job.seed, "streaks"), (job.lines, job.width)
    tone, cloud = np.zeros(size), np.zeros(size, dtype=bool)
    tear = fractal(job.width, job.lines, seed, 24, 1 / 5.0, octaves=3).astype(np.float64)
    for n in range(round(MOST * amount * job.width / 512)):
        up, at, length, thick = (float(unit(seed, n, k)[0]) for k in range(4))
        up = up * up * 0.92
        y = job.lines * (1.0 - up) - 3.0
        half = (26.0 + 34.0 * length) * (0.5 + 1.1 * up)
        high = (1.6 + 3.2 * thick) * (0.45 + 1.5 * up)
        spread = 1.6 if torn > 0 else 1.0
        if disc is not None and _crosses(disc, at * job.width, y, spread * half, spread * high):
            continue
        if torn > 0:
            _lay_field(job, (tone, cloud), torn, (at * job.width, y, 1.5 * half, 1.5 * high, n))
        else:
            _lay(job, (tone, cloud), tear, (at * job.width, y, half, high, n), light)
    return tone, cloud


def _crosses(disc: Disc, x: float, y: float, half: float, high: float) -> bool:
    """Whether a streak lies before the disc's face."""
    width = disc.across.shape[1]
    off = abs((x - disc.x + width // 2) % width - width // 2)
    low = y - disc.y > CLEAR * disc.radius + 2.2 * high
    return off < half + disc.radius and abs(y - disc.y) < disc.radius + 2.0 * high and not low


DRIFT_HALF, DRIFT_HIGH = (40.0, 96.0), (6.5, 13.0)
"""Least and most of half a drift's length, and of its height over its middle, pixels."""
FAR_LIGHT = 420.0
"""Pixels from the body by which a drift's light has halved."""


def _lay_drift(
    job: Job,
    onto: tuple[np.ndarray, np.ndarray],
    which: tuple[int, int],
    light: tuple[float, float],
    disc: Disc | None,
) -> None:
    """One large drift: heaps above, a torn flat belly, lit on the light's side.

    which: its number, and how many there are; light: column and row of what lights it
    """
    seed, (number, count) = hash_words(job.seed, "drift", which[0]), which
    at, up, long, thick = (float(unit(seed, k)[0]) for k in range(4))
    x, y = (number + 0.1 + 0.8 * at) * job.width / count, job.lines * (0.16 + 0.36 * up)
    near_us = 1.25 - 1.1 * y / job.lines
    half = (DRIFT_HALF[0] + (DRIFT_HALF[1] - DRIFT_HALF[0]) * long) * near_us
    high = (DRIFT_HIGH[0] + (DRIFT_HIGH[1] - DRIFT_HIGH[0]) * thick) * near_us
    if disc is not None and _crosses(disc, x, y, half, high):
        return
    wide = job.width // 2
    across = (np.arange(job.width) + 0.5 - x + wide) % job.width - wide
    tear = fractal(job.width, job.lines, seed, 20, 1 / 6.0, octaves=4).astype(np.float64)
    lump = fractal(job.width, job.lines, seed + 1, 34, 1 / 7.0, octaves=3).astype(np.float64)
    along = (across / half)[None, :]
    rise = (np.arange(job.lines)[:, None] + 0.5 - y) / high
    rise = np.where(rise > 0, rise * 2.2, rise)
    inside = along * along + rise * rise < 0.62 + 1.5 * tear
    inside &= np.abs(along) < 1.2
    lit = np.where(light[1] > y, rise, -rise) + 1.5 * lump
    toward = (light[0] - x + wide) % job.width - wide
    near = 1.0 / (1.0 + np.abs(across - toward) / FAR_LIGHT)
    shade = 0.1 + near[None, :] * (0.25 + 0.75 * smooth(lit, -0.5, 1.0))
    onto[0][inside] = shade[inside]
    onto[1][inside] = True


def _lay(
    job: Job,
    onto: tuple[np.ndarray, np.ndarray],
    tear: np.ndarray,
    streak: tuple[float, float, float, float, int],
    light: tuple[float, float],
) -> None:
    """One streak (x, y, half its length, half its height, number), lit on the light's side."""
    x, y, half, high, number = streak
    top, bottom = max(0, int(y - 3 * high)), min(job.lines, int(y + 3 * high) + 1)
    if top >= bottom:
        return
    wide = job.width // 2
    across = (np.arange(job.width) + 0.5 - x + wide) % job.width - wide
    columns = np.flatnonzero(np.abs(across) < half)
    along = across[columns] / half
    sway = profile(job.width, hash_words(job.seed, number, "sway"), 8, octaves=4)[columns]
    middle = y + sway.astype(np.float64) * high * 1.2
    body = high * (1.0 - along * along) * (0.55 + 0.9 * np.abs(sway.astype(np.float64)) + 0.25)
    rows = np.arange(top, bottom)[:, None] + 0.5
    place = (rows - middle) / np.maximum(body, 0.4)
    part = np.ix_(np.arange(top, bottom), columns)
    inside = np.abs(place) + 1.5 * tear[part] < 1.0
    below = light[1] > y
    lit = place if below else -place
    toward = (light[0] - x + wide) % job.width - wide
    near = 1.0 / (1.0 + np.abs(across[columns] + x - (x + toward)) / ALIGHT)
    shade = 0.12 + 0.5 * near * smooth(lit, -0.7, 0.4) + 0.5 * near * smooth(lit, 0.0, 0.9)
    onto[0][part] = np.where(inside, shade, onto[0][part])
    onto[1][part] |= inside


def _lay_field(
    job: Job,
    onto: tuple[np.ndarray, np.ndarray],
    torn: float,
    streak: tuple[float, float, float, float, int],
) -> None:
    """A field of wisps: flat below and lit there, torn into tongues above and at its ends."""
    x, y, half, high, number = streak
    top, bottom = max(0, int(y - 3 * high)), min(job.lines, int(y + high) + 1)
    if top >= bottom:
        return
    wide = job.width // 2
    across = (np.arange(job.width) + 0.5 - x + wide) % job.width - wide
    columns = np.flatnonzero(np.abs(across) < half)
    along = across[columns] / half
    seed = hash_words(job.seed, number, "tongues")
    big = fractal(job.width, job.lines, seed, max(2, job.width // 40), 1 / 9.0, octaves=2)
    fine = fractal(job.width, job.lines, seed + 1, max(2, job.width // 13), 1 / 2.6, octaves=2)
    part = np.ix_(np.arange(top, bottom), columns)
    up = (y - np.arange(top, bottom)[:, None]) / high
    room = (1.0 - along * along)[None, :] * (1.0 - 0.3 * np.maximum(up, 0.0))
    room = room + 0.9 * big[part] + 0.6 * torn * fine[part]
    floor = np.where(up < 0, 2.4, 0.25)
    inside = room - floor * np.abs(up) > 0.42
    light = 1.0 - 0.42 * np.clip(up + 0.5 * fine[part], 0.0, 1.6)
    onto[0][part] = np.where(inside, np.clip(light, 0.0, 1.0), onto[0][part])
    onto[1][part] |= inside
