"""Painter of near ground in a wood: ridges of turf, boulders with moss, ferns, pools of light.

Each ridge lies lower and darker than the one behind it, with larger blades, so that the ground
comes toward us. A road may run along it.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.air import pool
from genbg.paint.craft.edges import remove_strays
from genbg.paint.craft.exact import smooth
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.ground import Turf, cut_stone, fern, grass, lay_ridge, road, torn
from genbg.paint.craft.leaves import LeafSheet
from genbg.paint.craft.repeat import Repeat, repeat_texture
from genbg.paint.craft.scatter import bell, between, hash_words, pick, unit
from genbg.paint.craft.tonal import TonalPicture


@dataclass(frozen=True)
class Keys:
    """Keys of the bank painter."""

    crest: float = key(0.2, "float", "Where it begins, a share of the lines.", low=0, high=0.9)
    stones: float = key(0.5, "float", "How many boulders lie there.", low=0, high=1)
    ferns: float = key(0.5, "float", "How many ferns grow.", low=0, high=1)
    pools: float = key(0.6, "float", "How much light falls through the leaves.", low=0, high=1)
    flowers: float = key(0.0, "float", "How many flowers or petals lie there.", low=0, high=1)
    blades: float = key(1.0, "float", "How tall the grass is.", low=0.3, high=3)
    dusk: float = key(
        0.0, "float", "How far the ground darkens toward the foot of the screen.", low=0, high=1
    )
    road: float = key(
        0.0, "float", "How broad a road runs along, a share of the lines.", low=0, high=0.8
    )


RAMPS = (
    Ramp(
        "grass",
        "Turf, ferns and moss.",
        ("#000024", "#002449", "#004949", "#246d49", "#499249", "#6db649", "#b6db49", "#dbff6d"),
        8,
        hazed=False,
    ),
    Ramp("stone", "Boulders.", ("#242449", "#49496d", "#6d6d92", "#9292b6"), 4, hazed=False),
    Ramp(
        "soil",
        "Road and bare earth.",
        ("#240049", "#492449", "#6d4949", "#926d49", "#db926d"),
        5,
        hazed=False,
    ),
    Ramp("flower", "Flowers and petals, in shade and in light.", ("#b66d92", "#ffdbdb"), 2,
         hazed=False),
)  # fmt: skip

REPEATS = (Repeat("grass", 4, 1.6),)
"""Turf looks the same wherever it is as light."""


def paint(keys: Keys, job: Job) -> Painting:
    """Ground over the layer's lines from its crest down."""
    lines, width, seed = job.lines, job.width, job.seed
    picture = TonalPicture(job, RAMPS)
    light = _light(keys, job)
    side = 1.0 if job.light[0] > 0 else -1.0
    roll = 4.5 * profile(width, hash_words(seed, "crest"), 3, 3)
    first = keys.crest * lines + roll
    step = (lines - keys.crest * lines) / 3.0
    lush = 1.0 - 0.6 * job.thrift
    for n in range(3):
        own = hash_words(seed, "ridge", n)
        edge = first + n * step + (4.0 + n) * profile(width, own, 4 + 2 * n, 3)
        turf = Turf(
            2.2 - 0.6 * n,
            4.3 - 0.5 * n,
            (2.6 + 1.0 * n) * keys.blades,
            lush * (1.0 - 0.22 * n),
            lush * (8.0 - n),
        )
        sheet = LeafSheet(lines, width)
        lay_ridge(sheet, edge, turf, light * (1.0, 0.9, 0.5)[n], own, side)
        picture.lay(sheet.covered, "grass", np.clip(np.floor(sheet.level + 0.5), 0, 7))
        if n == 0 and keys.road > 0:
            _lay_road(keys, job, picture, edge + 2.0, light)
        if n < 2:
            _lay_boulders(keys, job, picture, edge, light, n)
        _grow_ferns(keys, job, picture, edge, light, n)
    if keys.flowers > 0:
        _strew(keys, job, picture, first, light)
    dark = np.zeros(picture.tone.shape, dtype=bool)
    if keys.dusk > 0:
        dark = _darken(keys, job, picture)
        _frame(keys, job, picture)
    painting = picture.painting()
    painting = replace(painting, ink=remove_strays(painting.ink))
    painting = repeat_texture(painting, job.top, REPEATS)
    return replace(painting, ink=np.where(dark, DARKEST, painting.ink))


DUSK = 22
"""Lines at the foot over which ground darkens."""
FLAT = 0.5
"""Share of it from which no blade is told."""
DARKEST = np.uint16(1)
"""The first ink of the first ramp: turf at its darkest."""


def _darken(keys: Keys, job: Job, picture: TonalPicture) -> np.ndarray:
    """Let the ground go dark toward the foot, in humps: near leaves shade what lies under us.

    Returns pixels (N, W) bool that are to be dark and nothing else.
    """
    edge = job.lines - DUSK + DUSK * profile(job.width, hash_words(job.seed, "dusk"), 6, 4)
    deep = smooth(np.arange(job.lines)[:, None] - edge[None, :], 0.0, DUSK * 0.9)
    most = np.floor(7.0 - 6.0 * keys.dusk * deep)
    grass = picture.holds("grass")
    picture.tone = np.where(grass, np.minimum(picture.tone, most), picture.tone)
    return (deep > FLAT) & (keys.dusk > FLAT)


TUFTS = 9
"""Stands of near grass on a plane of 512 columns."""


def _frame(keys: Keys, job: Job, picture: TonalPicture) -> None:
    """Stands of tall grass close before us, dark against the lit turf, in groups with gaps."""
    lines, width, seed = job.lines, job.width, hash_words(job.seed, "frame")
    sheet = LeafSheet(lines, width)
    for n in range(round(TUFTS * keys.dusk * (1.0 - 0.6 * job.thrift) * width / 512)):
        own = hash_words(seed, n)
        number = np.arange(10 + own % 14)
        middle, half = between(own, 0, width, 0), between(own, 5, 13, 1)
        off = bell(own, number)
        x = np.floor(middle + half * off).astype(np.int64)
        y = np.full(len(number), lines - 8) - own % 6
        tall = between(own, 11, 19, 2) * (1.0 - 0.35 * np.minimum(np.abs(off), 1.6))
        grass(sheet, x, y, tall, 0.6 * unit(own, number, 3), hash_words(own, "blades"), 1)
    picture.lay(sheet.covered, "grass", np.clip(np.floor(sheet.level + 0.5), 0, 1))


def _strew(
    keys: Keys, job: Job, picture: TonalPicture, edge: np.ndarray, light: np.ndarray
) -> None:
    """Petals in drifts, each two pixels wide, lighter where light falls."""
    lines, width, seed = job.lines, job.width, hash_words(job.seed, "petals")
    drift = fractal(width, lines, seed, width // 32, 1 / 8, 2)
    number = np.arange(round(keys.flowers * 900 * width / 512))
    x = pick(seed, width, number, 0)
    y = np.floor(edge[x] + (lines - edge[x]) * unit(seed, number, 1)).astype(np.int64)
    y = np.clip(y, 0, lines - 1)
    kept = drift[y, x] > 0.10
    mask = np.zeros(picture.tone.shape, dtype=bool)
    for step in (0, 1):
        mask[y[kept], (x[kept] + step) % width] = True
    picture.lay(mask & picture.holds("grass"), "flower", 1.0 * (light > 0.3))


def _light(keys: Keys, job: Job) -> np.ndarray:
    """Pools of light (N, W), 0..1, most of them before the scene's light, torn by leaves."""
    lines, width, seed = job.lines, job.width, hash_words(job.seed, "pools")
    light = np.zeros((lines, width))
    if keys.pools <= 0:
        return light
    middle = job.body.x if job.body else between(seed, 0, width, "middle")
    for n in range(round((2 + 8 * keys.pools) * width / 512)):
        own = hash_words(seed, n)
        x = middle + between(own, -90, 90, 0) if n % 2 == 0 else between(own, 0, width, 1)
        y = lines * (keys.crest + between(own, 0.08, 0.6, 2))
        across = between(own, 12, 36, 3)
        light = np.maximum(light, pool(lines, width, x, y, across, max(3.0, across * 0.18)))
    return torn(np.clip(light, 0.0, 1.0), seed)


def _lay_road(
    keys: Keys, job: Job, picture: TonalPicture, edge: np.ndarray, light: np.ndarray
) -> None:
    """A trodden road behind the nearer ridges, lighter where light falls."""
    wide = keys.road * job.lines
    there, tone = road(job.lines, job.width, edge, hash_words(job.seed, "road"), wide)
    last = picture.last("soil")
    step = np.floor(tone * last * 0.7 + 1.6 * np.minimum(light, 0.8) + 0.3)
    picture.lay(there, "soil", np.clip(step, 0, last))


def _lay_boulders(
    keys: Keys, job: Job, picture: TonalPicture, edge: np.ndarray, light: np.ndarray, row: int
) -> None:
    """Boulders in families on a ridge, with a shadow on the side away from the light."""
    lines, width = job.lines, job.width
    seed = hash_words(job.seed, "boulders", row)
    away_side = -1 if job.light[0] > 0 else 1
    for n in range(round(keys.stones * 5 * width / 512)):
        own = hash_words(seed, n)
        middle = between(own, 0, width, 0)
        for k in range(1 + own % 3):
            x = middle + (0, 14, -11)[k] * between(own, 0.8, 1.2, k, 1)
            size = between(own, 6, 11, k, 2) * (1 + 0.25 * row) / (1 + 0.55 * k)
            y = float(edge[int(x) % width]) + size * 0.2 + between(own, 0, 3, k, 3)
            mask = np.zeros(picture.tone.shape, dtype=bool)
            for line in range(3):
                at = int(y + size * 0.44) + line
                if 0 <= at < lines:
                    column = np.arange(int(x - size), int(x + size * 1.4)) + away_side * (2 + line)
                    mask[at, column % width] = True
            picture.lay(mask, "grass", 0.0)
            _lay_stone(job, picture, (x, y, size), light, hash_words(own, k))


def _lay_stone(
    job: Job, picture: TonalPicture, at: tuple[float, float, float], light: np.ndarray, seed: int
) -> None:
    """One boulder with moss on what looks up."""
    x, y, size = at
    stone = cut_stone(x, y, size, size * 0.72, seed, job.light, 0.55)
    inside = (stone.y >= 0) & (stone.y < job.lines)
    place = stone.y[inside], stone.x[inside] % job.width
    glow = float(light[min(job.lines - 1, int(y)), int(x) % job.width])
    mask = np.zeros(picture.tone.shape, dtype=bool)
    tone = np.zeros(picture.tone.shape)
    mask[place], tone[place] = True, stone.tone[inside] * (0.85 + 0.5 * glow)
    picture.lay(mask, "stone", np.clip(np.floor(tone * 4.4), 0, 3))
    green = np.zeros_like(mask)
    green[place] = stone.moss[inside]
    picture.lay(green, "grass", np.clip(np.floor(tone * 6.5 + 1.2), 2, 7))


def _grow_ferns(
    keys: Keys, job: Job, picture: TonalPicture, edge: np.ndarray, light: np.ndarray, row: int
) -> None:
    """Ferns on a ridge, larger on nearer ones."""
    lines, width = job.lines, job.width
    sheet = LeafSheet(lines, width)
    for n in range(round(keys.ferns * 3 * width / 512)):
        group = hash_words(job.seed, "fern", row, n)
        middle = between(group, 0, width, 0)
        for k in range(1 + group % 3):
            own = hash_words(group, k)
            x = middle + (0, 15, -13)[k] * between(own, 0.8, 1.2, 0)
            y = min(lines - 1.0, float(edge[int(x) % width]) + between(own, 4, 9, 1))
            size = between(own, 12, 17, 2) * (1.0 + 0.2 * row) / (1 + 0.4 * k)
            glow = float(light[int(y), int(x) % width])
            fern(sheet, x, y, size, 2.8 - 0.4 * row + 1.9 * glow, own)
    picture.lay(sheet.covered, "grass", np.clip(np.floor(sheet.level + 0.5), 0, 7))


PAINTER = Painter(
    name="bank",
    about="Near ground in a wood: turf in ridges, boulders, ferns, pools of light, a road.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
