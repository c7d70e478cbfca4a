"""Far slices of a wood in one field of light, with rays between them."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.air import Ray, away, beams, lost_feet, mixed, with_companions
from genbg.paint.craft.leaves import BARE, LeafSheet, Pass, clusters, mass_leaves
from genbg.paint.craft.scatter import between, hash_words, unit
from genbg.paint.craft.wood import Wood, bough
from genbg.paint.painters.glade.keys import Keys, Stage
from genbg.paint.painters.glade.ruins import far_arcade

FAR_PASSES = (
    Pass(1.0, 0.0, 0, 1.0),
    Pass(0.55, 0.24, 1, 0.74),
    Pass(0.22, 0.46, 2, 0.50),
)
LEAF_TONES = np.array([0.04, 0.18, 0.40])
"""What far leaves show of the air's ramp, from their shade to their light."""


@dataclass(frozen=True)
class Slice:
    """One rank of trees: how near (0..1), trunks a plane of 512, least and most radius.

    foot: share of it that mist takes at its feet; crowns: masses of leaves; bushes: the same, low
    leaf: size of leaves; planes: passes shown; room: half the gap it leaves before the sight
    ray: tones by which rays light it and all behind it
    """

    near: float
    trunks: int
    radius: tuple[float, float]
    foot: float
    crowns: int
    bushes: int
    leaf: int
    planes: int
    room: float
    ray: float


RAYS_TO = 0.84
"""Light in which no ray shows any more."""
SLICES = (
    Slice(0.16, 11, (1.0, 1.8), 0.45, 6, 10, 1, 1, 0.0, 0.0),
    Slice(0.30, 11, (1.6, 2.8), 0.55, 7, 6, 1, 1, 20.0, 1.1),
    Slice(0.52, 8, (3.0, 4.6), 0.62, 6, 6, 2, 1, 32.0, 0.8),
    Slice(0.80, 6, (5.2, 8.0), 0.45, 5, 5, 2, 2, 54.0, 0.5),
)
LEAST = 0.10
"""Difference from the air, 0..1, below which a far thing is lost in it: light swallows it."""
HIDDEN = 8
"""Lines at the top that near leaves all but cover: there is the shade of leaves beyond."""
SHADE = 0.25
"""Light of that shade."""
UPRIGHT = 0.4
"""Slices farther than this stand upright: a lean that small would only blur their edges."""


def stations(width: int, count: int, seed: int, gaps: list[tuple[float, float]]) -> np.ndarray:
    """Columns (n,) float64 that stand apart, but for those in gaps (column, half width)."""
    if count < 1:
        return np.zeros(0)
    number = np.arange(count)
    x = (number + 0.9 * (unit(seed, number, 0) - 0.5)) * width / count
    x = (x + width * between(seed, 0.0, 1.0, "start")) % width
    return clear_of(x, gaps, width)


def clear_of(x: np.ndarray, gaps: list[tuple[float, float]], width: int) -> np.ndarray:
    """Those of the columns (n,) that lie in none of the gaps (column, half width)."""
    kept = np.ones(len(x), dtype=bool)
    for column, half in gaps:
        kept &= np.abs(away(x, column, width)) >= half
    return x[kept]


def _wood(part: Slice, stage: Stage, lines: int, width: int, share: float, seed: int) -> Wood:
    """The trunks of a slice with a few boughs."""
    wood = Wood(lines, width)
    gaps = [(stage.focus, part.room), (stage.clearings[1].x, part.room * 0.6)]
    count = round(part.trunks * width / 512 * (0.4 + share))
    for n, x in enumerate(stations(width, count, hash_words(seed, "x"), gaps).tolist()):
        own = hash_words(seed, "tree", n)
        r = between(own, *part.radius, 0)
        foot = stage.shore - 4 + between(own, -3, 4, 1)
        lean = between(own, -11, 11, 2) if part.near > UPRIGHT else 0.0
        wood.sweep(
            bough((x, foot, r), (x + lean, -8, r * 0.66), own, lean / 2, 0.1 * abs(lean), 7),
            n,
            0.0,
            1,
        )
        wood.sweep(
            np.array([(x, foot + 2, r * 1.7), (x, foot - 6, r * 1.1), (x, foot - 14, r)]), n, 0.0, 1
        )
        for b in range(1 + own % 3):
            y = between(own, 18, 72, 3, b)
            at = x + lean * (foot - y) / (foot + 8)
            side = 1 if (own >> 9) + b & 1 else -1
            long = between(own, 10, 28, 4, b) * (0.5 + r / 7)
            end = at + side * long, y - between(own, 6, 24, 5, b), 0.6
            wood.sweep(
                bough((at, y, r * 0.5), end, hash_words(own, b), side * 3.0, 1.0, 6), n, 0.0, 1
            )
    return wood


def _crowns(part: Slice, stage: Stage, width: int, seed: int, light: float) -> np.ndarray:
    """Masses (M, 5) of a slice's leaves: crowns above, bushes at its feet."""
    scale = width / 512
    gaps = [(stage.focus, part.room * 0.6)]
    big = 14.0 + 20.0 * part.near
    found = []
    for name, count, high, low, flat in (
        ("crown", part.crowns, -4.0, 52.0 * (1.0 - part.near) + 4.0, 0.52),
        ("bush", part.bushes, stage.shore - 16.0, stage.shore - 6.0, 0.58),
    ):
        own = hash_words(seed, name)
        x = stations(width, round(count * scale), own, gaps if name == "crown" else [
            (stage.focus, part.room)])  # fmt: skip
        n = np.arange(len(x))
        y = high + (low - high) * unit(own, n, 1)
        across = big * (0.65 + 0.7 * unit(own, n, 2)) * (1.0 if name == "crown" else 0.75)
        down = across * flat * (0.8 + 0.4 * unit(own, n, 3))
        centres = np.stack([x, y, across, down, np.full(len(x), light)], axis=1)
        found.append(clusters(centres, own, 2, 4))
    return np.concatenate(found)


def _lay(
    v: np.ndarray, soft: np.ndarray, field: np.ndarray, part: Slice, wood: Wood, sheet: LeafSheet,
    near: np.ndarray, side: float,
) -> np.ndarray:  # fmt: skip
    """The light (N, W) after a slice has been put in front of it; `soft` is told where it is."""
    lit = 0.28 * (wood.nx * side > 0.45) - 0.07 * (wood.nx * side < -0.5)
    tone = np.where(wood.there, 0.10 + part.near * lit, field)
    level = np.clip(sheet.level, 0, len(LEAF_TONES) - 1).astype(np.int64)
    leafy = sheet.level > BARE
    tone = np.where(leafy, LEAF_TONES[level] * (0.4 + 0.75 * part.near), tone)
    mixture = mixed(field, tone, near)
    shows = (wood.there | leafy) & (np.abs(mixture - field) > LEAST)
    soft[shows & (near > 0.8 * part.near)] = 0.0
    return np.where(shows, mixture, np.where(wood.there | leafy, field, v))


def ray_places(stage: Stage, share: float, seed: int) -> list[Ray]:
    """Where shafts end: two families, below the two clearings."""
    if share <= 0:
        return []
    first, other = stage.clearings[0].x, stage.clearings[1].x
    plan = ((first + 76, 20, 1.0), (first - 70, 15, 0.9), (other + 34, 17, 0.9),
            (first + 20, 12, 0.75), (other - 52, 9, 0.7), (first + 112, 8, 0.7))  # fmt: skip
    count = max(1, round(share * len(plan)))
    return [
        Ray(x + between(seed, -14, 14, n), wide * between(seed, 0.8, 1.25, n, 1), light)
        for n, (x, wide, light) in enumerate(plan[:count])
    ]


def _ray_steps(light: np.ndarray, last: int) -> np.ndarray:
    """Light of rays (N, W) in whole and half tones of a ramp, so that their edges are hard."""
    return np.floor(light * 2.0 + 0.5) / (2.0 * last)


def far_wood(
    field: np.ndarray, last: int, keys: Keys, stage: Stage, light: tuple[float, float],
    seed: int, thrift: float,
) -> tuple[np.ndarray, np.ndarray]:  # fmt: skip
    """Air and far trees, from the light field to the rank before the far bank.

    last: the air's lightest tone
    Returns light (N, W), 0..1, and over what share of a step each pixel may be dithered.
    """
    lines, width = field.shape
    slope = 0.5 if light[0] < 0 else -0.5
    rays = with_companions(ray_places(stage, keys.rays, hash_words(seed, "rays")), seed)
    shafts = beams(lines, width, rays, slope, int(stage.shore) + 2, (30.0, 40.0))
    v, soft, side = field.copy(), np.ones(field.shape), 1.0 if light[0] > 0 else -1.0
    for n, part in enumerate(SLICES):
        own = hash_words(seed, "slice", n)
        near = lost_feet(lines, part.near, stage.shore - 48, stage.shore - 4, part.foot)
        wood = _wood(part, stage, lines, width, keys.trees, own)
        sheet = LeafSheet(lines, width)
        masses = _crowns(part, stage, width, hash_words(own, "leaves"), 1.0)
        closeness = 0.72 - 0.3 * part.near
        passes = FAR_PASSES[: part.planes] if thrift < 0.6 else FAR_PASSES[:1]
        sheet.lay(mass_leaves(masses, own, light, passes, part.leaf, closeness))
        v = _lay(v, soft, field, part, wood, sheet, near, side)
        if keys.ruins > (0.0, 0.6, 0.0, 9.0)[n]:
            v = far_arcade(v, soft, field, stage, part.near + 0.14, side, hash_words(own, "ruins"))
        v = v + _ray_steps(shafts * part.ray, last) * (v < RAYS_TO)
    v[:HIDDEN], soft[:HIDDEN] = SHADE, 0.0
    return v, soft
