"""Open hills behind a far bank: a bare range, then wooded ones, each nearer one less pale."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.air import lost_feet, mixed
from genbg.paint.craft.edges import shifted
from genbg.paint.craft.exact import blur, smooth
from genbg.paint.craft.fields import profile
from genbg.paint.craft.leaves import BARE, LeafSheet, mass_leaves
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.painters.glade.keys import Stage
from genbg.paint.painters.glade.slices import FAR_PASSES, LEAF_TONES


@dataclass(frozen=True)
class Hill:
    """One range: how near (0..1), lines that it rises above the bank, hills across 512 columns.

    rough: how jagged its crest is; wood: radius of its trees, 0 bare
    """

    near: float
    rise: float
    count: int
    rough: float
    wood: float


HILLS = (
    Hill(0.40, 62.0, 3, 0.56, 0.0),
    Hill(0.56, 42.0, 4, 0.45, 5.0),
    Hill(0.72, 26.0, 4, 0.40, 7.0),
    Hill(0.90, 13.0, 5, 0.40, 9.0),
)


def far_hills(
    field: np.ndarray, stage: Stage, light: tuple[float, float], seed: int
) -> tuple[np.ndarray, np.ndarray]:
    """Sky and hills: light (N, W), 0..1, and over what share of a step pixels may be dithered."""
    lines, width = field.shape
    v, soft = field.copy(), np.ones(field.shape)
    y = np.arange(lines)[:, None]
    side = 1.0 if light[0] > 0 else -1.0
    for n, hill in enumerate(HILLS):
        own = hash_words(seed, n)
        shape = profile(width, own, max(1, hill.count * width // 512), 5, hill.rough)
        crest = stage.shore - 4 - hill.rise * (0.62 + 1.15 * shape)
        body = y >= np.floor(crest)[None, :]
        slope = blur((np.roll(crest, -4) - np.roll(crest, 4))[None, :] / 8.0, 5, 0)
        tone = 0.16 + 0.24 * smooth(slope * -side, -0.1, 0.5) * (y - crest[None, :] < hill.rise)
        near = lost_feet(lines, hill.near, stage.shore - 30, stage.shore - 2, 0.5)
        if hill.wood:
            tone, body = _wooded(hill, crest, tone, body, light, own)
        else:
            folds = profile(width, hash_words(own, "fold"), 24, 2)
            lit = (slope * -side + 0.5 * folds[None, :] > 0.12) & (y - crest[None, :] < 26)
            tone = tone + 0.14 * lit
        tone = np.where(near > 0.85 * hill.near, tone, 0.2)  # no leaf shows through mist
        v = np.where(body, mixed(field, tone, near), v)
        soft[body & (near > 0.8 * hill.near)] = 0.0
        edge = body & ~shifted(body, int(side), -1)
        v = np.where(edge & (hill.near < 0.6), np.minimum(v + 0.06, 1.0), v)
    return v, soft


def _wooded(
    hill: Hill, crest: np.ndarray, tone: np.ndarray, body: np.ndarray,
    light: tuple[float, float], seed: int,
) -> tuple[np.ndarray, np.ndarray]:  # fmt: skip
    """The tones and pixels of a hill under trees: a toothed rim, masses on its lit flank."""
    lines, width = tone.shape
    sheet = LeafSheet(lines, width)
    count = round(width / (hill.wood * 0.95))
    rows = []
    for row in range(3):
        n = np.arange(count)
        x = (n + unit(seed, n, row)) * width / count
        y = crest[np.floor(x).astype(np.int64) % width] + row * hill.wood * 1.1
        size = hill.wood * (0.7 + 0.7 * unit(seed, n, row, 1))
        bright = np.full(count, 1.0)
        rows.append(np.stack([x, y, size, size * 0.75, bright], axis=1))
    masses = np.concatenate(rows)
    sheet.lay(mass_leaves(masses, seed, light, FAR_PASSES, 1, 0.7))
    level = np.clip(sheet.level, 0, len(LEAF_TONES) - 1).astype(np.int64)
    leafy = sheet.level > BARE
    return np.where(leafy, 0.08 + LEAF_TONES[level], tone * 0.8), body | leafy
