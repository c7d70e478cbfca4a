"""Lamps as pieces: halos dithered in rings, paper lanterns, posts.

A halo is drawn once as a quarter and mirrored both ways, and stands on a corner of four cells, so
that it costs few patterns and the same ones at every lamp.
"""

from __future__ import annotations

import functools

import numpy as np

from genbg.paint.craft import CELL, mirrored
from genbg.paint.dither import threshold_plane
from genbg.paint.pieces import DEEP, RIM, Tones, art, digits

STRENGTH = 11
"""Sixteenths of the pixels that shine at a halo's middle."""

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
def halo_mask(radius: int, strength: int = STRENGTH) -> np.ndarray:
    """Where a halo shines: (2r, 2r) bool, r the radius up to whole cells, mirrored both ways.

    The share of pixels falls with the square of the distance from the middle, 4 x 4 dither.
    """
    reach = -(-radius // CELL) * CELL
    near = reach - np.arange(reach) - 0.5
    square = near[:, None] * near[:, None] + near[None, :] * near[None, :]
    share = np.maximum(0.0, 1.0 - square / (radius * radius))
    quarter = share * strength > threshold_plane(reach, reach, 0, 4) + 0.5
    half = mirrored(quarter)
    mask = np.concatenate([half, half[::-1]])
    mask.setflags(write=False)
    return mask


def draw_halo(radius: int, outer: int, inner: int) -> np.ndarray:
    """A halo (2r, 2r) as a piece: ink `outer`, and `inner` in the middle third."""
    mask = halo_mask(radius)
    core = np.zeros_like(mask)
    small = halo_mask(max(CELL, radius * 5 // 9))
    edge = (len(mask) - len(small)) // 2
    core[edge : len(mask) - edge, edge : len(mask) - edge] = small
    return np.where(core, inner, np.where(mask, outer, 0))


def draw_lantern(tones: Tones, ramp: str, kind: int) -> np.ndarray:
    """A paper lantern of one of `LANTERNS`, two cells wide."""
    return mirrored(art(LANTERNS[kind], digits(tones, ramp)))


def draw_lamp_post(tones: Tones, wood: str, lamp: str, rows: int = 5) -> np.ndarray:
    """A lamp on a post, `rows` cells high."""
    key = digits(tones, wood, L=tones(lamp, RIM), M=tones(lamp, DEEP))
    middle = [art(POST, key)] * (rows - 3)
    return np.concatenate([art(POST_LAMP, key), *middle, art(POST_FOOT, key)])
