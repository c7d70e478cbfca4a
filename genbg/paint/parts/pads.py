"""Lily pads on still water: rafts of flat ellipses, larger toward us."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.air import away
from genbg.paint.craft.scatter import between, hash_words
from genbg.paint.craft.tonal import TonalPicture


@dataclass(frozen=True)
class Rafts:
    """How pads lie.

    many: rafts on 512 columns; few: pads of a raft at least, and up to five more
    near: lines below the shore at which the farthest may lie; far: lines over which they spread
    size, grow: half a pad's width at the shore, and what it gains a line; loose: half a raft's
    width, in pads' half widths; flat: a pad's height for its width, and its least in lines
    """

    many: float
    few: int
    near: float
    far: float
    size: float
    grow: float
    loose: float
    flat: tuple[float, float]


def float_pads(
    job: Job, picture: TonalPicture, shore: float, deep: np.ndarray, rafts: Rafts
) -> None:
    """Lay rafts of pads in the ramp "pads", each pad over a dark line of shadow.

    shore: screen line from which depth counts; deep: (N, W) lines below the bank, pads keep 4 away
    """
    y = np.arange(job.top, job.bottom)[:, None]
    x = np.arange(job.width)[None, :]
    ratio, least = rafts.flat
    for n in range(round(rafts.many * job.width / 512)):
        own = hash_words(job.seed, "raft", n)
        depth = rafts.near + rafts.far * between(own, 0, 1, 0) * between(own, 0.3, 1, 1)
        middle = between(own, 0, job.width, 2)
        size = rafts.size + rafts.grow * depth
        for k in range(rafts.few + own % 6):
            cx = middle + between(own, -rafts.loose, rafts.loose, k, 3) * size
            cy = np.floor(shore + depth + between(own, -0.9, 0.9, k, 4) * (1 + 0.1 * depth))
            half = size * between(own, 0.7, 1.25, k, 5)
            u, v = away(x, cx, job.width) / half, (y - cy) / max(least, half * ratio)
            pad = (u * u + v * v < 1.0) & (deep > 4)
            under = (u * u + (v - 0.9) * (v - 0.9) < 1.0) & (deep > 4) & ~pad
            picture.lay(under, "pads", 0)
            notch = (np.abs(u - 0.25 * v) < 0.16) & (v > 0) & (half > 3.5)
            lit = 2.0 + (u * job.light[0] - v > 0.35)
            picture.lay(pad & ~notch, "pads", np.where(v > 0.45, 1.0, lit))
