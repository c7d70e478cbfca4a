"""Light in shafts: a clearing of flat tones with slanted edges, and ranks of trees lost in it.

A shaft's edge goes one column across for two lines down and begins on a cell's border, so it comes
again every sixteen lines: a wide light takes few tiles and none of them need be merged. Trees
are flat too, each rank nearer to its own dark, with one lit edge.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.air import away
from genbg.paint.craft.exact import fall, smooth
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.leaves import BARE, LeafSheet, Pass, clusters, mass_leaves
from genbg.paint.craft.scatter import between, hash_array, hash_words, unit
from genbg.paint.craft.wood import Wood, bough
from genbg.paint.painters.glade.keys import Keys, Stage
from genbg.paint.painters.glade.slices import clear_of

STRATUM = 4
"""Lines on whose multiples mist ends: it lies in flat strata."""
GRID = 8
"""Columns on whose multiples the edges of shafts stand at the shore's line."""
SHADE, HEART = 3.0, 8.4
"""Tones of the air, of nine, far from a clearing and in one."""
AIR_TONES = 8.0
"""The lightest tone of the air as tones are counted here, however many inks show them."""
CALM = 5.5
"""Tone from which air is flat: only darker air is dithered."""
PASSES = (Pass(1.0, 0.0, 0, 1.0), Pass(0.42, 0.38, 1, 0.62))
LEAF_LIGHT = np.array([0.0, 1.0])
"""Tones that far leaves gain from their shade to their light, where they are near."""
ROOF, ROOF_TONE = 32.0, 2.0
"""Lines from the top over which a dark roof of leaves hangs beside the light, and its tone."""


@dataclass(frozen=True)
class Rank:
    """One rank of trees: how near, 0..1; its dark, a tone; trunks a plane of 512; their radii.

    crowns, bushes: masses of leaves above and at its feet; leaf: size of a leaf
    room: half the gap it leaves before the sight, columns; mist: tones that its feet lose
    """

    near: float
    dark: float
    trunks: int
    radius: tuple[float, float]
    crowns: int
    bushes: int
    leaf: int
    room: float
    mist: float


RANKS = (
    Rank(0.26, 2.6, 9, (1.0, 1.9), 0, 2, 1, 12.0, 0.5),
    Rank(0.46, 2.2, 8, (1.9, 3.0), 1, 3, 1, 26.0, 1.0),
    Rank(0.70, 1.5, 7, (3.0, 4.8), 4, 4, 2, 44.0, 1.0),
    Rank(0.92, 1.0, 5, (5.4, 8.4), 4, 3, 2, 66.0, 1.0),
)


def lit_air(
    lines: int, width: int, stage: Stage, side: float, seed: int
) -> tuple[np.ndarray, np.ndarray]:
    """Tones (N, W) of the air, whole or half ones, and how near (N, W) a clearing is, 0..1.

    side: 1 where light comes from the right, -1 from the left
    """
    y, x = np.arange(lines)[:, None], np.arange(width)[None, :]
    slid = (x + int(side) * ((y - int(stage.shore)) // 2)) % width
    at_shore = np.zeros(width)
    for clearing in stage.clearings:
        middle = clearing.x - side * 0.5 * (stage.shore - clearing.y)
        off = np.abs(away(np.arange(width), middle, width)) / (clearing.across * 0.80)
        at_shore = np.maximum(at_shore, clearing.light * fall(off * off * np.sqrt(off)))
    beams = SHADE + (HEART - SHADE) * at_shore
    beams = beams + _beams(width, hash_words(seed, "beams")) * (1.0 - 0.8 * at_shore)
    steps = np.where(beams > CALM, 1.0, 0.5)
    held = _held(np.floor(beams / steps + 0.5) * steps)
    tone, near = held[slid], at_shore[slid]
    torn = 9.0 * profile(width, hash_words(seed, "torn"), width // 32, 3)[None, :]
    cloud = 14.0 * profile(width, hash_words(seed, "cloud"), max(1, width // 128), 2)[None, :]
    mist = y > STRATUM * np.floor((stage.shore - 22 + torn + cloud) / STRATUM + 0.5)
    mist &= tone < 7
    return np.clip(tone + mist - 0.5 * (y < 26 + torn - cloud) * (tone > 3), 1.0, 8.0), near


def _held(tone: np.ndarray) -> np.ndarray:
    """Tones (W,) that change on the grid alone: those at the middle of each of its steps."""
    return np.repeat(tone[GRID // 2 :: GRID], GRID)


def _beams(width: int, seed: int) -> np.ndarray:
    """Tones (W,) by which shafts of a few grid steps are lighter or darker."""
    count = width // GRID
    begins = hash_array(seed, np.arange(count)) % np.uint64(20) < 9
    begins[0] = True
    number = np.add.accumulate(begins.astype(np.int64))
    return np.repeat(1.9 * unit(seed, number, 1) - 0.85, GRID)


def shaft_wood(
    lines: int, width: int, keys: Keys, stage: Stage, light: tuple[float, float], seed: int
) -> tuple[np.ndarray, np.ndarray]:
    """Tones (N, W) of air and far trees, and over what share of a step each pixel is dithered."""
    side = 1.0 if light[0] > 0 else -1.0
    tone, glow = lit_air(lines, width, stage, side, hash_words(seed, "air"))
    soft = np.ones(tone.shape)
    y = np.arange(lines)[:, None]
    ragged = fractal(width, lines, hash_words(seed, "mist"), width // 32, 1 / 8, 2) * 16.0
    for n, rank in enumerate(RANKS):
        own = hash_words(seed, "rank", n)
        foot = (y + ragged > stage.shore - 26) + 0.0 + (y + ragged > stage.shore - 14)
        foot = 0.5 * rank.mist * foot * (1.0 - glow)
        wood = _trunks(rank, stage, lines, width, keys.trees, own)
        sheet = LeafSheet(lines, width)
        masses = _masses(rank, stage, width, hash_words(own, "leaves"))
        sheet.lay(mass_leaves(masses, own, light, PASSES[: 1 + n // 2], rank.leaf, 1.0))
        body = rank.dark + (SHADE + (HEART - SHADE) * glow - rank.dark) * (1.0 - rank.near)
        level = np.clip(sheet.level, 0, len(LEAF_LIGHT) - 1).astype(np.int64)
        leafy = sheet.level > BARE
        bark = _bark_tone(wood, body, rank, side)
        shown = np.where(leafy, body + rank.near * LEAF_LIGHT[level], bark)
        shown = np.floor(shown + 0.5) + np.floor(2.0 * foot + 0.5) / 2.0
        there = (wood.there | leafy) & (shown < tone - 0.4)
        tone, soft = np.where(there, shown, tone), np.where(there, 1.0, soft)
    torn = 14.0 * profile(width, hash_words(seed, "roof"), width // 32, 3)[None, :]
    roof = (y < ROOF * (1.0 - 1.3 * glow) + torn * (1.0 - glow)) & (tone > ROOF_TONE)
    tone[roof], soft[roof] = ROOF_TONE, 0.0
    return np.clip(tone, 0.0, 8.0), soft


def _bark_tone(wood: Wood, body: np.ndarray, rank: Rank, side: float) -> np.ndarray:
    """Tones (N, W) of trunks: each of one tone, a lit edge, and a dark one where they are near."""
    toward = wood.nx * side
    edge = smooth(wood.radius, 1.4, 2.4) * ((toward > 0.5) - 0.6 * (toward < -0.55) * rank.near)
    return body + edge


def _stations(width: int, count: int, seed: int, gaps: list[tuple[float, float]]) -> np.ndarray:
    """Columns (n,) in pairs and threes with gaps, none within gaps (column, half width)."""
    number = np.arange(max(1, count))
    x = (number + 1.5 * (unit(seed, number, 0) - 0.5)) * width / max(1, count)
    x = np.floor(x + width * between(seed, 0.0, 1.0, "start")) % width
    return clear_of(x, gaps, width)


def _trunks(rank: Rank, stage: Stage, lines: int, width: int, share: float, seed: int) -> Wood:
    """The trunks of a rank: the far ones upright, the near ones bent, forked, with boughs."""
    wood = Wood(lines, width)
    gaps = [(stage.focus, rank.room), (stage.clearings[1].x, rank.room * 0.5)]
    count = round(rank.trunks * width / 512 * (0.4 + share))
    for n, x in enumerate(_stations(width, count, hash_words(seed, "x"), gaps).tolist()):
        own = hash_words(seed, "tree", n)
        r = between(own, *rank.radius, 0)
        foot = stage.shore - 3 + between(own, -2, 4, 1)
        lean = between(own, -12, 12, 2) if rank.near > 0.5 else 0.0
        top = x + lean, -8.0, r * 0.70
        wood.sweep(bough((x, foot, r), top, own, lean * 0.4, 0.08 * abs(lean), 8), n)
        flare = [(x, foot + 2, r * 1.9), (x, foot - 5, r * 1.15), (x, foot - 13, r)]
        wood.sweep(np.array(flare), n)
        for b in range((own % 3 + (rank.near > 0.6)) * (rank.near > 0.4)):
            y = between(own, 16, 66, 3, b)
            at = x + lean * (foot - y) / (foot + 8)
            way = 1 if (own >> 9) + b & 1 else -1
            long = between(own, 9, 26, 4, b) * (0.5 + r / 7)
            end = at + way * long, y - between(own, 8, 30, 5, b), 0.6
            wood.sweep(bough((at, y, r * 0.5), end, hash_words(own, b), way * 3.5, 1.0, 7), n)
    return wood


def _masses(rank: Rank, stage: Stage, width: int, seed: int) -> np.ndarray:
    """Masses (M, 5) of a rank's leaves: crowns that hang from above, bushes at its feet."""
    big = 13.0 + 16.0 * rank.near
    found = []
    for name, count, high, low, flat, room in (
        ("crown", rank.crowns, -6.0, 40.0 * (1.0 - rank.near) + 12.0, 0.55, 0.8),
        ("bush", rank.bushes, stage.shore - 13.0, stage.shore - 6.0, 0.5, 1.0),
    ):
        own = hash_words(seed, name)
        gaps = [(stage.focus, rank.room * room), (stage.clearings[0].x, rank.room * room)]
        x = _stations(width, round(count * width / 512), own, gaps)
        n = np.arange(len(x))
        across = big * (0.6 + 0.7 * unit(own, n, 2)) * (1.0 if name == "crown" else 0.8)
        down = across * flat * (0.8 + 0.4 * unit(own, n, 3))
        y = high + (low - high) * unit(own, n, 1)
        centres = np.stack([x, y, across, down, np.ones(len(x))], axis=1)
        found.append(clusters(centres, own, 2, 4))
    return np.concatenate(found)
