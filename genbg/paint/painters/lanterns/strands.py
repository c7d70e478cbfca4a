"""Ropes of lanterns: what a preset says about them, how they hang, where lanterns hang on them.

A rope hangs as a parabola, which a rope under the even load of its lanterns does. Its right half is
the mirror image of the left one, and spans have few lengths, so that a festival costs few tiles.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import pick_one
from genbg.paint.craft.sheet import Sheet

SIZES = {"small": (2,), "long": (1,), "round": (0,), "mixed": (0, 1, 2)}
"""Which of `lamps.LANTERNS` each choice hangs out."""


@dataclass(frozen=True)
class Keys:
    """Keys of the lanterns painter."""

    spacing: int = key(120, "int", "From post to post.", low=48, high=512, unit="pixels")
    posts: float = key(
        0.9,
        "float",
        "Height of the posts, a share of the lines; 0: ropes from above the layer, without posts.",
        low=0,
        high=1,
    )
    strands: int = key(1, "int", "Ropes from post to post.", low=1, high=3)
    sag: float = key(
        0.2, "float", "How far a rope hangs through, a share of its span.", low=0, high=0.5
    )
    hidden: float = key(
        0.0,
        "float",
        "Share of the sag that is above the layer, with the ropes' ends and what hangs there.",
        low=0,
        high=0.9,
    )
    every: int = key(32, "int", "From lantern to lantern.", low=16, high=128, unit="pixels")
    kinds: str = key("mixed", "choice", "Lanterns.", choices=tuple(SIZES))
    halo: int = key(20, "int", "Reach of a lantern's glow; 0 none.", low=0, high=48, unit="pixels")
    glows: float = key(
        1.0,
        "float",
        "Share of a rope's lanterns that have a glow, from its middle on.",
        low=0,
        high=1,
    )
    rings: str = key("dotted", "choice", "What a glow is like.", choices=("dotted", "plain"))
    mirror: int = key(
        0,
        "int",
        "Lines at the foot that are shore and water, with lanterns mirrored; posts stand above.",
        low=0,
        high=48,
        unit="lines",
    )
    second: float = key(0.3, "float", "Share of lanterns of the other colour.", low=0, high=1)
    bunting: float = key(0.0, "float", "Share of ropes with small flags.", low=0, high=1)


@dataclass(frozen=True)
class Strand:
    """One rope: cell columns of its ends, their line, its sag, its number from the uppermost."""

    left: int
    right: int
    line: int
    sag: int
    number: int

    def drop(self, x: np.ndarray) -> np.ndarray:
        """Lines (...) int64 of the rope at pixels `x` from its left end."""
        span = (self.right - self.left) * CELL
        # 4 s t (1 - t), with t at the middle of each pixel, so that both halves mirror.
        t = 2 * x + 1
        return self.line + self.sag * t * (2 * span - t) // (span * span)


def place_posts(columns: int, spacing: int, seed: int) -> list[int]:
    """Cell columns of posts, at even distances of few lengths, that close around the plane."""
    count = max(1, round(columns * CELL / spacing))
    even = columns // count // 2 * 2
    rest = (columns - even * count) // 2
    long = {(pick_one(seed, count, "long") + n * 2) % count for n in range(rest)}
    while len(long) < rest:
        long.add(min(set(range(count)) - long))
    places, at = [], pick_one(seed, columns, "first")
    for n in range(count):
        places.append(at % columns)
        at += even + (2 if n in long else 0)
    return places


def hang_strands(keys: Keys, sheet: Sheet, posts: list[int], line: int) -> list[Strand]:
    """The ropes of every span; each next one below starts lower and hangs less."""
    strands = []
    for n, left in enumerate(posts):
        right = posts[(n + 1) % len(posts)]
        right += sheet.columns if right <= left else 0
        for strand in range(keys.strands):
            span = (right - left) * CELL
            sag = int(span * keys.sag * (1 - 0.3 * strand))
            start = line + strand * 3 * CELL - int(sag * keys.hidden)
            room = sheet.foot - start - 3 * CELL
            strands.append(Strand(left, right, start, max(2, min(sag, room)), strand))
    return strands


def lantern_columns(strand: Strand, every: int) -> list[int]:
    """Cell columns of the left halves of a rope's lanterns, the same from both ends."""
    step = max(2, every // CELL)
    middle = (strand.left + strand.right) // 2
    reach = strand.right - 2 - middle
    first = 0 if (reach // step + strand.number) % 2 == 0 else step // 2
    right = [middle + n for n in range(first, reach + 1, step)]
    left = [2 * middle - column for column in right if column != middle]
    return [column - 1 for column in sorted([*left, *right])]


def glowing_columns(strand: Strand, keys: Keys) -> list[int]:
    """Columns of a rope's lanterns with a glow: the nearest to its middle; of two, the left one."""
    columns = lantern_columns(strand, keys.every)
    columns.sort(key=lambda column: abs(2 * column + 2 - strand.left - strand.right))
    return columns[: math.ceil(keys.glows * len(columns))]
