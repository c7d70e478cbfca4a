"""Grasses, stalks and nets, drawn in strokes over what stands there."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import sine
from genbg.paint.craft.scatter import unit
from genbg.paint.craft.tonal import TonalPicture

ALONG = 40
"""Points of a stroke."""


@dataclass(frozen=True)
class Pass:
    """One of the passes by which a tuft is drawn: dark mass, middle, lit blades.

    share: of its blades; high: of its height; tones: at foot, middle and tip of a blade
    lit_only: leave out the side away from the wind
    """

    share: float
    high: float
    tones: tuple[float, float, float]
    lit_only: bool = False


PASSES = (
    Pass(1.0, 1.05, (0.0, 0.0, 1.0)),
    Pass(0.8, 0.95, (1.0, 2.0, 2.0)),
    Pass(0.55, 0.9, (2.0, 3.0, 5.0), True),
)


def tuft(
    picture: TonalPicture, dice: Dice, at: tuple[float, float], size: tuple[int, float], wind: float
) -> None:
    """A fan of blades. at: column and line of its foot; size: (blades, height); wind: -1..1"""
    blades, height = size
    for number, one in enumerate(PASSES):
        count = max(1, int(blades * one.share))
        seed, n = dice.part(number).seed, np.arange(count)
        draw = [unit(seed, n, k)[:, None] for k in range(5)]
        off = draw[0] * 2 - 1
        high = height * (1 - 0.45 * np.abs(off)) * (0.6 + 0.4 * draw[1]) * one.high
        lean = (off * 0.55 + wind * (0.35 + 0.65 * draw[2])) * high
        keep = (off * wind < 0.45 * abs(wind)) | (not one.lit_only)
        t = (np.arange(ALONG) + 0.5)[None, :] / ALONG
        x = at[0] + off * blades * 0.3 + lean * (0.3 * t * (1 - t) + t * t)
        y = at[1] + 2 - high * (1.3 * t * (1 - t) + t * t) - 2 * t
        tone = np.where(t < 0.4, one.tones[0], np.where(t < 0.78, one.tones[1], one.tones[2]))
        tone = np.where((t > 0.86) & (draw[3] > 0.75), one.tones[1], tone + np.zeros_like(x))
        stroke(picture, x, y, "grass", tone, keep & (x == x))


def stroke(
    picture: TonalPicture,
    x: np.ndarray,
    y: np.ndarray,
    ramp: str,
    tone: np.ndarray | float,
    keep: np.ndarray | None = None,
) -> None:
    """Set single pixels at places (...) in order; columns wrap, lines off the layer are cut."""
    lines, width = picture.tone.shape
    column = np.floor(x).astype(np.int64) % width
    line = np.floor(y).astype(np.int64)
    there = (line >= 0) & (line < lines)
    if keep is not None:
        there &= keep
    places = line[there] * width + column[there]
    last = len(places) - 1 - np.unique(places[::-1], return_index=True)[1]
    chosen = places[last]
    tones = np.broadcast_to(tone, there.shape)[there][last]
    picture.material.reshape(-1)[chosen] = picture.number(ramp)
    picture.tone.reshape(-1)[chosen] = tones
    picture.soft.reshape(-1)[chosen] = 0.0


def stalk(picture: TonalPicture, dice: Dice, x: float, y: float, high: float, wind: float) -> None:
    """A dry stalk with a flat head of seeds."""
    t = np.arange(ALONG) / ALONG
    lean = wind * dice.between(0.1, 0.4) * high
    stroke(picture, x + lean * t * t, y - high * t, "wood", 2.0)
    number = np.arange(7)
    off = unit(dice.seed, number, 1) * 6 - 3
    rise = unit(dice.seed, number, 2) * 2.2 - 1.6 + np.abs(off) * 0.25
    tone = np.where(off * wind < 0.6, 5.0, 3.0)
    stroke(picture, x + lean + off, y - high + rise, "grass", tone)


def net(
    picture: TonalPicture, dice: Dice, posts: list[tuple[float, float, float]], side: float
) -> None:
    """A net hung from posts (x, line of the foot, height): folds, mesh, corks, then the posts."""
    for number, (one, two) in enumerate(pairwise(posts)):
        _span(picture, dice.part(number), one, two, side)
    for x, foot, high in posts:
        t = np.arange(int(high) + 2)
        for n, tone in ((0, 3.0 if side > 0 else 1.0), (1, 1.0 if side > 0 else 3.0)):
            stroke(picture, np.full(len(t), x + n), foot - t.astype(float), "wood", tone)
        stroke(picture, np.array([x, x + 1]), np.array([foot - high - 1] * 2), "wood", 4.0)


MESH = 6
"""Pixels from knot to knot of a net."""


def _span(
    picture: TonalPicture,
    dice: Dice,
    one: tuple[float, float, float],
    two: tuple[float, float, float],
    side: float,
) -> None:
    """The net between two posts."""
    long = int(two[0] - one[0])
    sag, drop = dice.between(3, 6), dice.between(15, 21)
    i, j = np.arange(long + 1)[:, None].astype(float), np.arange(int(drop) + 4)[None, :]
    s = i / long
    top = (one[1] - one[2]) * (1 - s) + (two[1] - two[2]) * s + 3 + sag * 4 * s * (1 - s)
    shift = dice.unit()
    fold = sine(s * dice.between(1.6, 2.6) + shift) + 0.5 * sine(s * 5.3 + 2 * shift)
    lit = (np.roll(fold, -1, axis=0) - fold) * side > 0
    y = top + j * (0.92 + 0.1 * fold)
    depth = np.floor(i + 2.2 * fold * j / drop)
    thread = ((depth + j) % MESH < 1) | ((depth - j) % MESH < 1)
    hem = drop * (0.8 + 0.2 * fold)
    gathered = (fold < -1.05) & ((depth + j) % 2 < 1)
    inside = j <= hem
    tone = np.where(lit, 4.0, 1.0)
    stroke(picture, one[0] + i + 0.0 * j, y, "wood", tone, (thread | gathered) & inside)
    stroke(picture, one[0] + i[:, 0], top[:, 0], "wood", 3.0)
    corks = np.arange(3, long, 7)
    stroke(picture, one[0] + corks, top[corks, 0] - 1, "glow", 0.0)
