"""Painter of level ground that runs away from us: turf in tufts, a path to the light, flowers.

Far lines are flat and pale, near ones large and dark, but for the pools where light falls. A path
winds from the near edge to where the light stands; it may be paved, as an old road is.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.air import away, pool
from genbg.paint.craft.exact import fall, sine, smooth
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.ground import fern, grass, torn
from genbg.paint.craft.leaves import LeafSheet
from genbg.paint.craft.repeat import Repeat, repeat_texture
from genbg.paint.craft.scatter import bell, between, hash_array, hash_words, pick, unit
from genbg.paint.craft.tonal import TonalPicture


@dataclass(frozen=True)
class Keys:
    """Keys of the meadow painter."""

    path: float = key(0.5, "float", "How broad the path is; 0: none.", low=0, high=1)
    paved: float = key(0.0, "float", "How much of its paving is left; 0: trodden.", low=0, high=1)
    tufts: float = key(0.6, "float", "How thick the grass stands.", low=0, high=1)
    ferns: float = key(0.4, "float", "How many ferns there are.", low=0, high=1)
    shadows: float = key(
        0.6, "float", "How many trees beyond it throw their shadows.", low=0, high=1
    )
    flowers: float = key(0.3, "float", "How many flowers there are.", low=0, high=1)
    pools: float = key(0.7, "float", "How much light falls on it.", low=0, high=1)


RAMPS = (
    Ramp(
        "grass",
        "Turf.",
        ("#000024", "#002449", "#004949", "#246d49", "#499249", "#6db649", "#b6db49", "#dbff6d"),
        8,
        hazed=False,
    ),
    Ramp(
        "soil",
        "Path.",
        ("#240049", "#492449", "#6d4949", "#926d49", "#dbb66d", "#ffdb92"),
        6,
        hazed=False,
    ),
    Ramp("flower", "Flowers, in shade and in light.", ("#b66d92", "#ffdbdb"), 2, hazed=False),
)


@dataclass(frozen=True, eq=False)
class Lie:
    """How the ground lies: near (N, 1), 0 at its far edge .. 1 at our feet; light (N, W) on it.

    shade: (N, W), 0..1, shadows of trees beyond
    middle, half: (N,) the path's column and half its breadth
    """

    near: np.ndarray
    light: np.ndarray
    shade: np.ndarray
    middle: np.ndarray
    half: np.ndarray


def lie_of(keys: Keys, job: Job) -> Lie:
    """The ground of a seed, its light, and where the path runs."""
    lines, width, seed = job.lines, job.width, hash_words(job.seed, "lie")
    near = (np.arange(lines) / max(1, lines - 1))[:, None]
    far = job.body.x if job.body else between(seed, 0, width, "far")
    light = np.zeros((lines, width))
    for n in range(round(keys.pools * 9 * width / 512)):
        own = hash_words(seed, "pool", n)
        x = far + (76, -70, 30)[n] if n < 3 else between(own, 0, width, 0)
        down = between(own, 0.05, 0.75, 1) * lines
        across = (14 + 34 * down / lines) * between(own, 0.7, 1.3, 2)
        light = np.maximum(light, pool(lines, width, x + down * 0.5, down, across, across * 0.16))
    light = torn(np.clip(light, 0.0, 1.0), seed)
    off = away(np.arange(width)[None, :], far, width) / 92.0
    glow = fall(off * off) * smooth(near, 0.75, 0.0)
    t = near[:, 0]
    side = 1.0 if seed % 2 else -1.0
    foot = side * between(seed, 30.0, 120.0, "foot")
    bend = between(seed, -26.0, 26.0, "bend") * sine(t * 0.9)
    middle = far + foot * t * np.sqrt(t) + bend * (1.0 - t) * smooth(t, 0.1, 0.5)
    half = keys.path * (3.0 + 46.0 * t * np.sqrt(t))
    tear = fractal(width, lines, hash_words(seed, "tear"), width // 20, 1 / 5, 2)
    shade = _shadows(keys, job, near, far, hash_words(seed, "shade"))
    light = np.clip(np.maximum(light, 0.85 * glow + 0.5 * tear * (glow > 0.05)), 0.0, 1.0)
    return Lie(near, light * (1.0 - 0.8 * shade), shade, middle, half)


def _shadows(keys: Keys, job: Job, near: np.ndarray, far: float, seed: int) -> np.ndarray:
    """Shadows (N, W), 0 or 1, that trees beyond throw toward us, away from the light."""
    lines, width = job.lines, job.width
    tear = fractal(width, lines, hash_words(seed, "edge"), width // 12, 1 / 4, 2)
    shade = np.zeros((lines, width))
    for n in range(round(keys.shadows * 14 * width / 512)):
        own = hash_words(seed, n)
        off = between(own, -0.27, 0.27, 0) * width  # farther ones would meet those from beyond
        if abs(off) < 26:
            continue
        spread = 1.0 + 0.75 * near
        x = away(np.arange(width)[None, :] - off * spread, far, width)
        half = between(own, 1.5, 4.5, 1) * (1.0 + 3.2 * near) + 6.0 * near * tear
        ends = near < between(own, 0.35, 1.0, 2) + 0.3 * tear
        shade = np.maximum(shade, (np.abs(x) < half) & ends)
    return shade


REPEATS = Repeat("grass", 2, 1.2, 1.0, calm=True), Repeat("soil", 8, 1.0)
"""Turf and trodden earth look the same wherever they are as light."""


def paint(keys: Keys, job: Job) -> Painting:
    """Ground over all lines of the layer."""
    picture = TonalPicture(job, RAMPS)
    lie = lie_of(keys, job)
    picture.lay(np.ones(picture.tone.shape, dtype=bool), "grass", _turf(job, lie))
    path = _lay_path(keys, job, picture, lie) if keys.path > 0 else None
    _sow(keys, job, picture, lie, path)
    _grow_ferns(keys, job, picture, lie, path)
    if keys.flowers > 0:
        _bloom(keys, job, picture, lie, path)
    return repeat_texture(picture.painting(), job.top, REPEATS)


def _turf(job: Job, lie: Lie) -> np.ndarray:
    """Tones (N, W) of the bare turf: flat swathes, pale and close far away, dark and broad near."""
    lines, width, seed = job.lines, job.width, hash_words(job.seed, "turf")
    fine = fractal(width, lines, hash_words(seed, "fine"), width // 24, 1 / 3, 2)
    broad = fractal(width, lines, hash_words(seed, "broad"), width // 64, 1 / 11, 2)
    swathe = fine * (1.0 - lie.near) + broad * lie.near
    tone = 3.7 - 1.9 * lie.near + 2.4 * swathe
    lit = np.where(lie.light > 0.7, 2.0, np.where(lie.light > 0.4, 1.3, 0.7 * (lie.light > 0.2)))
    return np.clip(np.floor(tone + lit - 1.2 * lie.shade + 0.5), 1, 6)


def _lay_path(keys: Keys, job: Job, picture: TonalPicture, lie: Lie) -> np.ndarray:
    """The path's pixels (N, W) bool, laid: worn crown, darker edges, paving stones if any."""
    lines, width, seed = job.lines, job.width, hash_words(job.seed, "path")
    x = away(np.arange(width)[None, :] - lie.middle[:, None], 0.0, width)
    ragged = fractal(width, lines, seed, width // 16, 1 / 5, 2) * (1.0 + 7.0 * lie.near)
    part = (np.abs(x) + ragged) / np.maximum(lie.half[:, None], 0.5)
    there = part < 1.0
    grain = fractal(width, lines, hash_words(seed, "grain"), width // 14, 1 / 3, 2)
    ruts = fall((part - 0.45) * (part - 0.45) * 60.0)
    tone = 2.9 - 0.7 * lie.near + 1.9 * lie.light - 1.0 * smooth(part, 0.7, 1.0)
    tone = tone - 0.9 * ruts + 1.5 * grain - 1.0 * lie.shade
    if keys.paved > 0:
        tone = _pave(keys, lie, x, tone, seed)
    picture.lay(there, "soil", np.clip(np.floor(tone + 0.5), 0, 5))
    return there


def _pave(keys: Keys, lie: Lie, x: np.ndarray, tone: np.ndarray, seed: int) -> np.ndarray:
    """Tones with paving: rows of stones in perspective, dark joints, some stones gone."""
    near = lie.near[:, 0]
    reach = np.add.accumulate(1.0 / (1.6 + 9.0 * near))  # rows passed, from the far edge
    row = np.floor(reach)
    first = np.concatenate([[True], row[1:] != row[:-1]])[:, None]
    size = np.maximum(lie.half, 1.0)[:, None] / 2.2
    place = x / size + 0.5 * (row % 2)[:, None] + 50.0
    stone = np.floor(place)
    own = hash_array(seed, row.astype(np.int64)[:, None] + 0 * stone.astype(np.int64),
                     stone.astype(np.int64))  # fmt: skip
    kept = (own % np.uint64(100)) < np.uint64(round(100 * keys.paved))
    shade = ((own >> np.uint64(9)) % np.uint64(3)).astype(np.float64) - 1.0
    edge = (place - stone) * size
    joint = (edge < 1.0) | first
    lit = (np.roll(first, 1, axis=0) | (edge < 2.0)) & ~joint
    flag = 3.0 - 0.6 * lie.near + 1.8 * lie.light + 0.55 * shade + 0.8 * lit - lie.shade
    return np.where(kept, np.where(joint & (lie.half[:, None] > 5), 1.0, flag), tone - 0.8)


def _sow(keys: Keys, job: Job, picture: TonalPicture, lie: Lie, path: np.ndarray | None) -> None:
    """Tufts, thick and thin, small far away; fewest on the path, but some over its edges."""
    lines, width, seed = job.lines, job.width, hash_words(job.seed, "sow")
    thick = fractal(width, lines, hash_words(seed, "thick"), width // 40, 1 / 12, 2)
    number = np.arange(round(keys.tufts * 1500 * width / 512 * (1.0 - 0.6 * job.thrift)))
    x = pick(seed, width, number, 0)
    y = np.floor(lines * np.sqrt(unit(seed, number, 1)) * 0.999).astype(np.int64)
    kept = thick[y, x] > 0.34 * unit(seed, number, 2) - 0.12
    if path is not None:
        kept &= ~path[y, x]
    x, y, number = x[kept], y[kept], number[kept]
    near = y / lines
    tone = 3.6 - 1.5 * near + 2.6 * lie.light[y, x] + 0.9 * bell(seed, number, 5)
    tone = tone - 1.0 * lie.shade[y, x]
    sheet = LeafSheet(lines, width)
    grass(sheet, x, y, 1.6 + 5.5 * near * near, tone, hash_words(seed, "blades"))
    picture.lay(sheet.covered, "grass", np.clip(np.floor(sheet.level + 0.5), 0, 7))


def _grow_ferns(
    keys: Keys, job: Job, picture: TonalPicture, lie: Lie, path: np.ndarray | None
) -> None:
    """Ferns in families off the path, the farthest first."""
    lines, width, seed = job.lines, job.width, hash_words(job.seed, "ferns")
    plants = []
    for n in range(round(keys.ferns * 16 * width / 512)):
        group = hash_words(seed, n)
        down, x = between(group, 0.1, 0.95, 0), between(group, 0, width, 1)
        for k in range(2 + group % 3):
            own = hash_words(group, k)
            plants.append((min(0.98, down + between(own, -0.05, 0.05, 0)),
                           x + between(own, -16, 16, 1) * (0.4 + down), own))  # fmt: skip
    sheet = LeafSheet(lines, width)
    for down, x, own in sorted(plants):
        y = int(down * (lines - 1))
        if path is None or not path[y, int(x) % width]:
            size = (3.5 + 10.0 * down) * between(own, 0.8, 1.25, 2)
            glow = float(lie.light[y, int(x) % width])
            fern(sheet, x, y, size, 2.7 - 0.8 * down + 1.7 * glow, own)
    picture.lay(sheet.covered, "grass", np.clip(np.floor(sheet.level + 0.5), 0, 7))


def _bloom(keys: Keys, job: Job, picture: TonalPicture, lie: Lie, path: np.ndarray | None) -> None:
    """Flowers in drifts: two pixels far away, four and more near."""
    lines, width, seed = job.lines, job.width, hash_words(job.seed, "bloom")
    drift = profile(width, seed, width // 30, 2)
    number = np.arange(round(keys.flowers * 260 * width / 512))
    x = pick(seed, width, number, 0)
    y = np.floor(lines * (0.06 + 0.9 * unit(seed, number, 1))).astype(np.int64)
    kept = drift[(x + 3 * y) % width] > 0.12
    if path is not None:
        kept &= ~path[np.clip(y, 0, lines - 1), x]
    for dx, dy, least in ((0, 0, 0.0), (1, 0, 0.0), (0, -1, 0.45), (1, -1, 0.45)):
        big = kept & (y / lines >= least)
        line, column = np.clip(y[big] + dy, 0, lines - 1), (x[big] + dx) % width
        mask = np.zeros(picture.tone.shape, dtype=bool)
        mask[line, column] = True
        picture.lay(mask, "flower", 1.0 * (lie.light > 0.35))


PAINTER = Painter(
    name="meadow",
    about="Level ground that runs away from us: turf, a path to the light, flowers.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
