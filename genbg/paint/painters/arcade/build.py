"""The form of an arcade: where piers, arches and deck lie at each pixel, and what has fallen."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.fields import profile
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.painters.arcade.keys import Keys

COURSE = 6
"""Lines of a course of stones."""
PARAPET, CORNICE = 5.0, 3.0
"""Lines of the parapet over the deck, and of the cornice under it."""
THICK = 0.05
"""Turn of an arch's inner side for each column that it lies off the eye, in columns of reveal."""
MOST = 11.0
"""Columns of inner side that are seen at most."""
SPREAD = 0.06
"""Columns by which a pier widens for each line down."""


@dataclass(frozen=True)
class Tier:
    """A row of arches: foot and top over the piers' foot, bay and pier in pixels, springing."""

    low: float
    high: float
    bay: float
    pier: float
    first: float

    @property
    def half(self) -> float:
        return (self.bay - self.pier) / 2

    @property
    def spring(self) -> float:
        return self.high - CORNICE - 5.0 - self.half


@dataclass(frozen=True, eq=False)
class Form:
    """up: (N, 1) lines over the foot; dx: (N, W) columns from the axis of the arch there

    bay: (W,) number of the arch; wall, opening, reveal: (N, W) bool; arch: distance from the
    arch's centre over its half width, 1 at its edge; tier: the row of arches
    """

    tier: Tier
    up: np.ndarray
    dx: np.ndarray
    bay: np.ndarray
    wall: np.ndarray
    opening: np.ndarray
    reveal: np.ndarray
    arch: np.ndarray


def lay_tiers(keys: Keys, job: Job, dice: Dice, foot: float) -> list[Tier]:
    """The rows of arches, the lowest first; bays divide the plane's width."""
    count = max(1, round(job.width / keys.span))
    bay = job.width / count
    high = keys.height * foot
    first = dice.between(0.0, bay)
    pier = keys.pier * bay
    if keys.tiers == 1:
        return [Tier(0.0, high, bay, pier, first)]
    split = 0.6 * high
    upper = Tier(split, high, bay / 2, pier * 0.55, first - bay / 4)
    return [Tier(0.0, split, bay, pier, first), upper]


def form_tier(tier: Tier, job: Job, foot: float, eye: float) -> Form:
    """Walls, openings and their inner sides, seen by an eye at a column."""
    x = np.arange(job.width) + 0.5
    place = (x - tier.first) / tier.bay
    number = np.floor(place)
    dx = (place - number - 0.5) * tier.bay
    up = foot - np.arange(job.lines)[:, None] - 0.5
    axis = tier.first + (number + 0.5) * tier.bay
    off = (axis - eye + job.width / 2) % job.width - job.width / 2
    shove = np.clip(THICK * off, -MOST, MOST)
    opening, arch = _opening(tier, dx[None, :], up)
    beyond, _ = _opening(tier, dx[None, :] + shove[None, :], up + 1.0)
    wall = (up > tier.low - (2.0 if tier.low else 3.0)) & (up <= tier.high) & (dx[None, :] == dx)
    reveal = wall & opening & ~beyond
    bay = number.astype(np.int64) % round(job.width / tier.bay)
    wide = np.broadcast_to(dx[None, :], opening.shape)
    return Form(tier, up, wide, bay, wall & ~opening, opening & ~reveal, reveal, arch)


def _opening(tier: Tier, dx: np.ndarray, up: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Whether a place lies in its arch (N, W), and its distance from the centre in half widths."""
    half = tier.half - SPREAD * np.maximum(tier.spring - up, 0.0) * (tier.low == 0)
    a, b = dx / np.maximum(half, 1.0), np.maximum(up - tier.spring, 0.0) / tier.half
    arch = np.sqrt(a * a + b * b)
    sill = tier.low + (1.0 if tier.low else -99.0)
    return (arch < 1.0) & (up > sill), arch


def fallen(keys: Keys, job: Job, dice: Dice, high: float, gap: float) -> np.ndarray:
    """Height (W,) over the foot up to which stone still stands, in steps of whole stones.

    gap: column about which a whole stretch is down, where it is a ruin
    """
    if keys.ruin == 0:
        return np.full(job.width, 1e6)
    x = np.arange(job.width) + 0.5
    rough = profile(job.width, hash_words(dice.seed, "ruin"), max(2, job.width // 90), 3)
    stone = np.floor(x / 9.0).astype(np.int64)
    own = unit(hash_words(dice.seed, "stones"), stone)
    off = np.abs((x - gap + job.width / 2) % job.width - job.width / 2)
    wide = 24.0 + 36.0 * keys.ruin
    hole = np.maximum(0.0, 1.0 - off / wide)
    left = high * (1.06 - 0.5 * keys.ruin * np.maximum(rough.astype(np.float64) + 0.22, 0.0) * 2.2)
    left = left - high * 1.9 * keys.ruin * hole
    left = left + (own - 0.5) * COURSE * 3.0
    return np.maximum(np.floor(left / COURSE), np.floor(1.0 + 4.0 * own)) * COURSE
