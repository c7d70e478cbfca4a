"""Beds of reed: where they stand, and how one is drawn in strokes, back to front."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import smooth
from genbg.paint.craft.fields import profile
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.parts.blades import stroke

ALONG = 56
"""Points of a blade, more than its pixels."""
BED = 120.0
"""Columns for one bed of a rank, when all is covered."""
BLADES = 0.85
"""Blades a column of a bed, over all passes."""
HEAD = 0.15
"""Length of a dark head, a share of its stem."""


@dataclass(frozen=True)
class Bed:
    """A bed: its middle, half its width, the row of its foot, its tallest blade, its depth 0..1.

    deep is 0 for the nearest rank and 1 for the farthest, whose reeds are paler and less told.
    """

    x: float
    half: float
    foot: float
    tall: float
    deep: float


def lay_beds(
    dice: Dice,
    width: int,
    cover: float,
    ranks: int,
    near: tuple[float, float],
    free: tuple[float, float | None],
) -> list[list[Bed]]:
    """Beds of all ranks, the farthest first; a rank's beds share their foot.

    near: foot row and tallest blade of the nearest rank; free: column that beds leave free, and
    column of the hut, before which they are low
    """
    foot, tall = near
    path, hut = free
    found = []
    for rank in reversed(range(ranks)):
        beds: list[Bed] = []
        deep = rank / max(1, ranks - 1)
        own = dice.part("rank", rank)
        count = max(1, round(width / BED * (1.0 + 0.5 * deep)))
        for n in range(count):
            if own.unit() > 0.35 + 0.65 * cover:
                own.between(0, 1)
                continue
            x = (n + own.between(0.15, 0.85)) * width / count
            half = BED * cover * own.between(0.28, 0.72) * (1.0 - 0.3 * deep)
            away = (x - path + width / 2) % width - width / 2
            if abs(away) < half + PATH:
                x = path + (1.0 if away > 0 else -1.0) * (half + PATH)
            high = tall * own.between(0.6, 1.0) * (1.0 - 0.45 * deep)
            if hut is not None and abs((x - hut + width / 2) % width - width / 2) < HUT:
                half, high = 0.6 * half, 0.55 * high
            beds.append(Bed(x % width, max(half, 5.0), foot - tall * 0.42 * deep, high, deep))
        found.append(beds)
    return found


PATH = 16.0
"""Columns beside the body's path that beds leave free."""
HUT = 62.0
"""Columns from the hut's middle within which reeds are low."""


def draw_bed(picture: TonalPicture, dice: Dice, bed: Bed, toward: float, heads: float) -> None:
    """Lay one bed: a dark mass, then blades of the middle, then those in the light, then heads.

    toward: 1 where the light stands to its right, -1 to its left
    """
    _mass(picture, dice, bed)
    count = max(4, int(2.0 * bed.half * BLADES))
    last = picture.last("reed")
    pale = 1.4 * bed.deep
    passes = ((0.5, 1.0, 0.5, 1.2), (0.5, 0.92, 1.0, 2.6), (0.36, 0.8, 1.6, last + 0.3))
    for number, (share, high, low, tip) in enumerate(passes):
        own = dice.part("pass", number)
        _blades(picture, own, bed, int(count * share), high, (low + pale, tip), toward)
    if heads > 0:
        _stems(picture, dice.part("heads"), bed, int(count * heads * 0.22) + 1, toward)


def _mass(picture: TonalPicture, dice: Dice, bed: Bed) -> None:
    """The closed foot of the bed, toothed above."""
    lines, width = picture.tone.shape
    seed = hash_words(dice.seed, "mass")
    off = (np.arange(width) + 0.5 - bed.x + width / 2) % width - width / 2
    round_ = np.maximum(0.0, 1.0 - (off / bed.half) * (off / bed.half))
    teeth = unit(seed, np.arange(width))
    rough = profile(width, seed, max(2, width // 18), 3).astype(np.float64)
    high = bed.tall * 0.5 * round_ * (0.75 + 0.5 * rough) + 5.0 * (teeth - 0.4) * (round_ > 0)
    up = bed.foot + 2.5 * rough[None, :] * (round_ > 0) - np.arange(lines)[:, None]
    here = (up >= 0) & (up < high[None, :])
    tone = np.where(up > 0.6 * high[None, :], 1.0, 0.0) + round(bed.deep)
    picture.lay(here, "reed", tone)


def _blades(
    picture: TonalPicture,
    dice: Dice,
    bed: Bed,
    count: int,
    high: float,
    tones: tuple[float, float],
    toward: float,
) -> None:
    """Blades that rise, lean outward and droop at the tip; their lit side is the light's."""
    if count < 1:
        return
    n = np.arange(count)
    draw = [unit(dice.seed, n, k)[:, None] for k in range(6)]
    off = draw[0] + draw[1] - 1.0
    tall = bed.tall * high * (1.0 - 0.55 * off * off) * (0.5 + 0.5 * draw[2])
    lean = (0.34 * off + 0.5 * (draw[3] - 0.5)) * tall
    t = (np.arange(ALONG) + 0.5)[None, :] / ALONG
    droop = np.where(draw[4] > 0.6, 0.34, 0.08)
    x = bed.x + off * bed.half + lean * (0.35 * t + 0.65 * t * t) + lean * droop * t * t * t
    y = bed.foot + 1.5 * (draw[5] - 0.5) - tall * (t - droop * t * t * t)
    lit = smooth(off * toward, -0.9, 0.5) * 0.8 + 0.3 * draw[5]
    tone = tones[0] + (tones[1] - tones[0]) * t * (0.35 + 0.65 * lit)
    stroke(picture, x, y, "reed", np.floor(tone + 0.5))
    broad = (t < 0.55) & (tall > 14.0)
    stroke(picture, x - toward, y, "reed", np.floor(np.maximum(tone - 1.0, 0.0) + 0.5), broad)


def _stems(picture: TonalPicture, dice: Dice, bed: Bed, count: int, toward: float) -> None:
    """Straight stems with a dark head and a spike, some of them leaning."""
    n = np.arange(count)
    draw = [unit(dice.seed, n, k)[:, None] for k in range(4)]
    off = (draw[0] * 2.0 - 1.0) * 0.8
    tall = bed.tall * (0.8 + 0.34 * draw[1]) * (1.0 - 0.3 * off * off)
    lean = (0.12 * off + 0.16 * (draw[2] - 0.5)) * tall
    t = (np.arange(2 * ALONG) + 0.5)[None, :] / (2 * ALONG)
    x, y = bed.x + off * bed.half + lean * t * t, bed.foot - tall * t
    stroke(picture, x, y, "reed", 2.0 + round(bed.deep) + 0.0 * x)
    if bed.tall < 14.0:
        return
    thick = (t > 0.93 - HEAD) & (t < 0.93)
    ends = (t > 0.95 - HEAD) & (t < 0.915)
    stroke(picture, x - toward, y, "head", 0.0, ends & (x == x))
    stroke(picture, x, y, "head", 1.0, thick & (x == x))
    if bed.tall > 26.0:
        stroke(picture, x + toward, y, "head", 2.0, ends & (x == x))
