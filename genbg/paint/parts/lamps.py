"""Lamps as pieces: halos in rings, paper lanterns, posts.

A halo is drawn once as a quarter and mirrored both ways, and stands on a corner of four cells, so
that it costs few tiles and the same ones at every lamp.
"""

from __future__ import annotations

import functools

import numpy as np

from genbg.paint.craft.dither import threshold_plane
from genbg.paint.craft.edges import CELL, mirrored
from genbg.paint.craft.sheet import DEEP, RIM, Tones, art, digits

Rings = tuple[tuple[int, tuple[int, int]], ...]
RINGS: Rings = ((34, (2, 2)), (46, (2, 1)), (60, (1, 1)), (78, (1, 0)))
"""Rings of a halo from its middle: to which hundredth of the radius each reaches, and the two tones
that alternate in it like the fields of a chessboard (2 near, 1 far, 0 none)."""
PLAIN: Rings = ((75, (2, 2)), (100, (1, 1)))
"""The same of a glow in two plain steps."""

ROUND = (
    "......00 ......22 ....1333 ..133344 .1333344 .1333444 13334444 12223333 "
    "13334444 13334444 12223333 .1333444 .1333344 ..133344 ....1222 ......00"
)
"""Left half of a round paper lantern, two cells by two."""
LONG = (
    "......00 ......22 .....133 ....1334 ....1334 ....1334 ....1223 ....1334 "
    "....1334 ....1334 ....1223 ....1334 ....1334 .....133 ......22 ......00"
)
BULB = (
    ".......0 .......0 .......0 .......0 ......00 .....022 ....1334 ....1344 "
    "....1344 ....1344 .....133 ......11 ........ ........ ........ ........"
)
"""Left half of a small lantern."""
LANTERNS = (ROUND, LONG, BULB)

POST_LAMP = (
    "..000... .00000.. 0022200. .0MLM0.. .0LLL0.. .0LLL0.. .0MLM0.. ..000... "
    "...20... ...20... ...20... ...20... ...20... ...20... ...20... ...20..."
)
POST = "...20... ...20... ...20... ...20... ...20... ...20... ...20... ...20..."
POST_FOOT = "...20... ...20... ..3200.. ..3200.. ..3200.. ..3200.. .422100. 44222100"


@functools.lru_cache(maxsize=32)
def halo_tones(radius: int, rings: Rings = RINGS) -> np.ndarray:
    """Tones of a halo: (2r, 2r) of 0..2, r the radius up to whole cells, mirrored both ways.

    Few clean rings: what is scattered pixel by pixel over a picture of other colours reads as dirt.
    """
    reach = -(-radius // CELL) * CELL
    near = 2 * (reach - np.arange(reach)) - 1
    square = near[:, None] * near[:, None] + near[None, :] * near[None, :]
    other = threshold_plane(reach, reach, 0, 2) // 2
    quarter = np.zeros((reach, reach), dtype=np.int64)
    for share, pair in reversed(rings):
        inside = square * 10_000 < (2 * share * radius) ** 2
        quarter = np.where(inside, np.array(pair)[other], quarter)
    half = mirrored(quarter)
    tones = np.concatenate([half, half[::-1]])
    tones.setflags(write=False)
    return tones


def draw_halo(radius: int, outer: int, inner: int) -> np.ndarray:
    """A halo (2r, 2r) as a piece: ink `inner` near the lamp, `outer` far from it."""
    return np.array([0, outer, inner])[halo_tones(radius)]


def draw_glow(radius: int, outer: int, inner: int) -> np.ndarray:
    """A glow like a halo, but in two plain steps."""
    return np.array([0, outer, inner])[halo_tones(radius, PLAIN)]


def draw_lantern(tones: Tones, ramp: str, kind: int) -> np.ndarray:
    """A paper lantern of one of `LANTERNS`, two cells wide."""
    return mirrored(art(LANTERNS[kind], digits(tones, ramp)))


def draw_lamp_post(tones: Tones, wood: str, lamp: str, rows: int = 5) -> np.ndarray:
    """A lamp on a post, `rows` cells high."""
    key = digits(tones, wood, L=tones(lamp, RIM), M=tones(lamp, DEEP))
    middle = [art(POST, key)] * (rows - 3)
    return np.concatenate([art(POST_LAMP, key), *middle, art(POST_FOOT, key)])
