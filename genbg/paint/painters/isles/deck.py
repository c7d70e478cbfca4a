"""What lies and stands on an isle: turf with ridges, trees, a rope bridge, falling water."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.clouds import CloudPicture, Head, draw_head
from genbg.paint.craft.edges import shifted
from genbg.paint.craft.exact import power, smooth
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.isles.rock import Isle

FLAT = 0.16
"""Height of a deck's ellipse, as a share of its half width."""
FRINGE = 3.5
"""Lines that turf hangs over the edge."""


def off(job: Job, x: float) -> np.ndarray:
    """Pixels (1, W) from a column, the shorter way round."""
    return (np.arange(job.width)[None, :] + 0.5 - x + job.width / 2) % job.width - job.width / 2


def deck_rows(job: Job, isle: Isle) -> tuple[np.ndarray, np.ndarray]:
    """First and last row (W,) float64 of the turf; the first is below the last where none is."""
    across = np.abs(off(job, isle.x)[0]) / isle.half
    round_off = power(1.0 - power(np.minimum(across, 1.0), 3.0), 0.5)
    bays = profile(job.width, hash_words(isle.seed, "bays"), job.width // 26, octaves=3)
    hills = profile(job.width, hash_words(isle.seed, "hills"), job.width // 60, octaves=3)
    high = FLAT * isle.half
    top = isle.row - high * round_off * (0.7 + 1.1 * hills.astype(np.float64))
    low = isle.row + 0.45 * high * round_off + 2.0 * bays.astype(np.float64)
    inside = across < 1.0
    return np.where(inside, top, 1e6), np.where(inside, low, -1e6)


def lay_turf(job: Job, picture: TonalPicture, isle: Isle, sun: float) -> np.ndarray:
    """Turf over the deck and over its edge; returns where it is, (N, W) bool. sun: its column."""
    top, low = deck_rows(job, isle)
    rows = np.arange(job.lines)[:, None]
    seed = hash_words(isle.seed, "turf")
    hang = fractal(job.width, 1, seed, job.width // 3, octaves=2)[0].astype(np.float64)
    edge = low + FRINGE * np.clip(0.5 + 2.0 * hang, 0.0, 1.0)
    turf = (rows >= top[None, :]) & (rows <= edge[None, :])
    cells = max(6, int(job.width / (0.34 * isle.half + 6.0)))
    land = fractal(job.width, job.lines, seed + 1, cells, 1 / (3.0 + 0.05 * isle.half), octaves=2)
    land = land.astype(np.float64)
    blade = fractal(job.width, job.lines, seed + 2, job.width // 3, 1 / 4.0, octaves=1)
    side = 1.0 if (sun - isle.x + job.width / 2) % job.width > job.width / 2 else -1.0
    slope = side * (shifted(land, -1, 0) - shifted(land, 1, 0)) * (2.0 + 0.06 * isle.half)
    deep = np.clip((rows - top[None, :]) / np.maximum(low - top, 3.0)[None, :], 0.0, 1.4)
    tone = 3.0 + 2.6 * slope - 1.5 * deep + 2.4 * land
    tufts = (blade > 0.2) & (land > 0.05)
    tone = np.where(tufts, tone + 0.9, tone)
    crest = (rows < top[None, :] + 1.0) & (land > -0.15)
    tone = np.where(crest, tone + 1.6, tone)
    tone = np.where(rows > low[None, :] - 1.0, tone - 1.8, tone)
    picture.lay(turf, "turf", np.clip(tone, 0.0, float(picture.last("turf"))))
    return turf


def plant(job: Job, picture: TonalPicture, isle: Isle, sun: float, share: float) -> None:
    """Trees with round crowns, lit from the sun, their shadow on the turf away from it."""
    top, _ = deck_rows(job, isle)
    for n in range(round(share * isle.half / 9.0)):
        draws = unit(isle.seed, 400 + n, np.arange(5)).tolist()
        at = isle.x + (2.0 * draws[0] - 1.0) * 0.82 * isle.half
        column = int(at) % job.width
        tall = (9.0 + 12.0 * draws[1] * draws[1]) * min(1.0, isle.half / 50.0 + 0.2)
        row = float(top[column]) + 2.0 + 3.0 * draws[2]
        _tree(job, picture, (at, row, tall), sun, (isle.seed + 31 * n) % 2**31)


def _tree(
    job: Job, picture: TonalPicture, place: tuple[float, float, float], sun: float, seed: int
) -> None:
    x, row, tall = place
    side = 1.0 if (sun - x + job.width / 2) % job.width > job.width / 2 else -1.0
    across, rows = off(job, x), np.arange(job.lines)[:, None]
    shade = picture.holds("turf") & (np.abs(rows - row - 0.5) < 1.2)
    picture.shift(shade & (-across * side > 0) & (-across * side < 1.1 * tall), -1.4)
    trunk = (np.abs(across) < max(0.8, 0.06 * tall)) & (rows <= row) & (rows > row - 0.6 * tall)
    picture.lay(trunk, "wood", np.where(across * side > 0, 2.0, 0.0))
    crown = CloudPicture(job.lines, job.width, seed, bend=1.2)
    for n in range(3):
        dx, dy, size = unit(seed, n, np.arange(3)).tolist()
        radius = tall * (0.26 + 0.14 * size) if n else tall * 0.42
        at = x + (dx - 0.5) * 0.7 * tall if n else x
        line = row - tall * (0.62 + 0.3 * dy) if n else row - 0.7 * tall
        draw_head(
            crown, Head(at, line, radius, 1.15, 0.85, shade=0.08, seed=seed + n), (side * 0.8, -0.6)
        )
    picture.lay_share(crown.cover, "turf", np.clip(1.25 * crown.tone, 0.0, 1.0))


def bridge(job: Job, picture: TonalPicture, one: Isle, two: Isle, lamps: bool) -> None:
    """A rope bridge with planks from the edge of one isle to that of the next, right of it."""
    first, last = one.x + 0.93 * one.half, two.x - 0.93 * two.half
    span = (last - first) % job.width
    if span < 16 or span > 220:
        return
    along = (np.arange(job.width)[None, :] - first) % job.width
    share = along / span
    sag = 0.14 * span * 4.0 * share * (1.0 - share)
    line = one.row + (two.row - one.row) * share + sag
    rows, here = np.arange(job.lines)[:, None], along <= span
    planks = here & (np.abs(rows - line) < 1.1) & (along.astype(np.int64) % 4 != 0)
    picture.lay(planks, "wood", np.where(rows < line, 2.0, 1.0))
    rope = here & (np.abs(rows - line + 7.0 - 2.0 * np.abs(2 * share - 1)) < 0.6)
    posts = here & (along.astype(np.int64) % 12 == 0) & (rows < line) & (rows > line - 7.0)
    picture.lay(rope, "wood", 1.0)
    picture.lay(posts, "wood", 0.0)
    if lamps:
        for part in (0.02, 0.98):
            spot = (np.abs(along - part * span) < 1.0) & (np.abs(rows - line + 9.0) < 1.5)
            picture.lay(spot & here, "lamp", 1.0)
            picture.guard |= spot & here


def fall_over(job: Job, picture: TonalPicture, isle: Isle, sun: float) -> None:
    """Water that falls from the deck's edge and frays before it is lost."""
    draws = unit(isle.seed, np.arange(60, 63)).tolist()
    x = isle.x + (2.0 * draws[0] - 1.0) * 0.5 * isle.half
    _, low = deck_rows(job, isle)
    start, long = float(low[int(x) % job.width]) - 2.0, 0.8 * isle.half
    rows, across = np.arange(job.lines)[:, None], off(job, x)
    down = (rows - start) / long
    streak = fractal(
        job.width, job.lines, hash_words(isle.seed, "fall"), job.width // 2, 1 / 24.0, 2
    )
    streak = streak.astype(np.float64)
    wide = 2.4 + 1.8 * down
    body = (np.abs(across) < wide) & (down >= 0) & (down < 1.0)
    body &= streak > 0.95 * smooth(down, 0.1, 1.0) - 0.5
    picture.lay(body, "water", np.clip(1.3 + 2.6 * streak - 1.2 * down, 0.0, 2.0))
