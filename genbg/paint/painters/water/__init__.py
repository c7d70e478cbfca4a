"""The water painter: a sea or lake in perspective, with waves, a path of glitter and surf.

Waves are dashes that grow toward the viewer. Each line keeps to itself (`dashes.py`), so the
sea looks right however far its lines have moved past each other. The path of glitter is narrow
where lines move alike. Where they do not, it would tear away from the sun, so there its glints lie
scattered over the whole width, as from a light that is high and wide.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.hardware.sizes import CELL
from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.scatter import hash_words, pick, pick_one, unit
from genbg.paint.painters.water.dashes import (
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

TRAVEL = 5000.0
"""Camera pixels after which glitter should still look right: some fifteen screens."""
TORN_PARTS = 4
"""Parts into which the path is scattered where lines move past each other."""
TORN_SHARE = 0.3
"""How much of the glitter is left there: it covers more water."""


@dataclass(frozen=True)
class Keys:
    """What a preset says about water."""

    chop: float = key(0.5, "float", "0 a calm lake, 1 a choppy sea.", low=0.0, high=1.0)
    swell: float = key(0.4, "float", "How strong the bands of swell are.", low=0.0, high=1.0)
    sheen: float = key(
        0.35,
        "float",
        "Share of the lines, from the horizon on, that mirror the sky.",
        low=0.0,
        high=1.0,
    )
    glitter: float = key(
        0.0, "float", "How dense the path of light on the water is, 0 none.", low=0.0, high=1.0
    )
    glitter_x: float = key(
        0.5, "float", "Where the path lies, a share of the plane's width.", low=0.0, high=1.0
    )
    glitter_width: int = key(
        56, "int", "Width of the path at the horizon.", low=8, high=512, unit="pixels"
    )
    surf: int = key(0, "int", "Lines of foam at the last lines.", low=0, high=64, unit="lines")


RAMPS = (
    Ramp(
        "water",
        "From the depth to the sky that it mirrors.",
        ("#183878", "#2868b0", "#58a0d8", "#b0e8f0"),
        6,
    ),
    Ramp("glitter", "Light on the water.", ("#f09038", "#ffd868", "#fffce0"), 3, lit=True),
    Ramp("foam", "Surf.", ("#a0d0e8", "#ffffff"), 2),
)


def paint(keys: Keys, job: Job) -> Painting:
    """Return a sea, its horizon at the layer's first line."""

    near = nearness(job.ratio)
    surface = wave_surface(job, near)
    seed = hash_words(job.seed, "waves")
    count = ring_for(job.thrift)
    steps, glints = job.steps["water"], job.steps["glitter"]
    tones = np.clip(border_tones(surface, count, seed), 0, steps - 1)
    tones = add_foam(job, tones, near, steps + glints)
    waves = range(count)
    pairs = ring_pairs(waves)
    if keys.glitter > 0:
        tones = np.concatenate([tones, glint_tones(job, tones, surface, near)], axis=1)
        lit = range(count, count + 2)
        pairs += [*ring_pairs(lit), (0, lit[0]), (count - 1, lit[0]), (lit[1], 0), (lit[0], 0)]
    pairs = list(dict.fromkeys(pairs))
    links = make_links(tones, pairs, surface.group, seed)
    walk = np.stack(
        [walk_row(job, surface, near, row, count) for row in range(rows_of(job.lines, job.top))]
    )
    picture = lay_links(links, pairs, walk, job.top)
    return Painting((picture + 1).astype(np.uint16), job.uses(ramp.name for ramp in RAMPS))


def wave_surface(job: Job, near: np.ndarray) -> Surface:
    """Tones, shares and lengths of the waves, line by line."""
    params, lines = job.params, job.lines
    down = np.arange(lines) / lines
    top = job.steps["water"] - 1
    sky = np.clip(1.0 - down / max(params.sheen, 0.01), 0.0, 1.0)
    turn = 1.3 / near + 4.0 * down + pick_one(job.seed, 16, "swell") / 16.0
    band = np.abs(turn - np.floor(turn) - 0.5) * 2.0 - 0.5
    level = top * (0.22 + 0.6 * sky) + band * params.swell * 1.3
    share = 0.2 + 0.35 * params.chop
    return Surface(
        base=dither_lines(np.clip(level, 0, top), job.top),
        light=np.full(lines, share),
        dark=np.full(lines, share * 0.7),
        wave=11.0 + near * (34.0 - 14.0 * params.chop),
        group=group_lines(1.0 + near * (0.8 + params.chop)),
    )


def glint_tones(job: Job, tones: np.ndarray, surface: Surface, near: np.ndarray) -> np.ndarray:
    """Tones (N, 2) at the borders of two profiles with glints: some, and many."""
    steps, glints = job.steps["water"], job.steps["glitter"]
    seed = hash_words(job.seed, "glints")
    share = np.array([0.35, 0.8])[None, :] * (0.4 + 0.6 * job.params.glitter)
    share = share * np.where(torn_lines(job, near), TORN_SHARE, 1.0)[:, None]
    line = np.arange(job.lines)[:, None]
    profile = np.arange(2)[None, :]
    shining = unit(seed, line, profile, 1) < share
    bright = (profile + pick(seed, 2, line, profile, 2)) * (glints - 1) // 2
    return np.where(shining, steps + bright, tones[:, :1])


def add_foam(job: Job, tones: np.ndarray, near: np.ndarray, first: int) -> np.ndarray:
    """Tones with surf on the last lines: more of it toward the shore."""
    surf = job.params.surf
    if not surf:
        return tones
    seed = hash_words(job.seed, "surf")
    lines, count = tones.shape
    close = np.clip((np.arange(lines) - (lines - surf) + 1) / surf, 0.0, 1.0)[:, None]
    chance = unit(seed, np.arange(lines)[:, None], np.arange(count)[None, :])
    white = first + np.where(chance < close * 0.6, job.steps["foam"] - 1, 0)
    return np.where((chance < close) & (close > 0), white, tones)


def walk_row(job: Job, surface: Surface, near: np.ndarray, row: int, count: int) -> np.ndarray:
    """Profiles (W/8,) at the borders of one cell row: waves, and glints where the path lies."""
    columns = job.width // CELL
    seed = hash_words(job.seed, "walk")
    wave = float(row_values(surface.wave, job.top)[row])
    stay = min(max(1.0 - 9.0 / wave, 0.25), 0.9)
    if job.params.glitter <= 0:
        return walk_ring(range(count), columns, stay, seed, row)
    walk = np.zeros(columns, dtype=np.int64)
    parts = path_parts(job, near, row)
    for n, (start, size) in enumerate(parts):
        after = parts[(n + 1) % len(parts)][0] + (columns if n + 1 == len(parts) else 0)
        shine = walk_ring(range(count, count + 2), size, 0.5, seed + n, row)
        gap = walk_ring(range(count), after - start - size, stay, seed + n, row)
        walk[(start + np.arange(after - start)) % columns] = np.concatenate([shine, gap])
    return walk


def path_width(job: Job, near: np.ndarray) -> np.ndarray:
    """Pixels (N,) that the path of glitter is wide."""
    return job.params.glitter_width * (0.6 + 1.6 * near)


def torn_lines(job: Job, near: np.ndarray) -> np.ndarray:
    """Lines (N,) bool that would leave the path behind while the camera travels."""
    away = (job.ratio - job.ratio.min()) * TRAVEL
    return row_values(away > path_width(job, near) / 2, job.top)[
        (np.arange(job.lines) + job.top % CELL) // CELL
    ]


def path_parts(job: Job, near: np.ndarray, row: int) -> list[tuple[int, int]]:
    """Where glints lie in a cell row: (first cell, cells) of each part, in order.

    One part under the sun where lines keep together; where they part, several over the width.
    """
    params, columns = job.params, job.width // CELL
    seed = hash_words(job.seed, "path")
    wide = float(row_values(path_width(job, near), job.top)[row]) / CELL
    pieces = TORN_PARTS if row_values(torn_lines(job, near), job.top)[row] else 1
    size = max(1, int(wide / min(pieces, 2) + unit(seed, row, 1)[0] * 2))
    if pieces == 1:
        middle = params.glitter_x * columns + pick_one(seed, 3, row, 2) - 1
        return [(int(middle - size / 2) % columns, min(size, columns - 4))]
    room = columns // pieces
    size = min(size, room - 3)
    first = pick_one(seed, room, row, 3)
    return [
        (first + n * room + pick_one(seed, room - size - 1, row, n, 4), size) for n in range(pieces)
    ]


PAINTER = Painter(
    name="water",
    about="Sea or lake in perspective, with waves, glitter under sun or moon, and surf.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.75,
)
