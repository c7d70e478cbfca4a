"""Surfaces seen from the side: lines of dashes that stay right when every line has its own speed.

Lines of a floor or a sea move past each other, so nothing may hang together down the lines. Each
line is a row of dashes of its own; depth comes from how their length, number and tone change from
line to line, and from lines that are of one tone altogether.

Words used here:
  tone      a number that the painter turns into an ink
  profile   the tones that the 8 lines of a cell row have at a border between two cells. A cell row
            knows only a few profiles, the first of them calm
  ring      the order in which profiles follow each other: each stays a while, then the next comes,
            after the last the first
  link      a cell between two profiles: each line turns from the left tone to the right one at a
            place of its own. The links of its rings are all the tiles that a cell row costs
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.hardware.sizes import CELL
from genbg.paint.craft.scatter import pick, unit


@dataclass(frozen=True, eq=False)
class Surface:
    """How the lines of a layer look; arrays are (N,).

    base: tone of the line; light, dark: share of the line that is one tone lighter, one darker
    wave: pixels of one dash and one gap, on the average
    group: number of the group of neighbouring lines whose dashes begin and end nearly together
    """

    base: np.ndarray
    light: np.ndarray
    dark: np.ndarray
    wave: np.ndarray
    group: np.ndarray


def ring_for(thrift: float) -> int:
    """How many profiles a ring has: a cell row costs twice as many tiles."""
    return 2 if thrift >= 0.9 else 3 if thrift >= 0.6 else 4 if thrift >= 0.3 else 8


def border_tones(surface: Surface, count: int, seed: int) -> np.ndarray:
    """Tones (N, count) of every line at the borders of every profile; profile 0 is calm."""
    profile = np.arange(count)[None, :]
    chance = unit(seed, surface.group[:, None], profile)
    busy = np.where(profile == 0, 0.0, 1.0 + 0.5 / count)
    light = chance < surface.light[:, None] * busy
    dark = chance > 1.0 - surface.dark[:, None] * busy
    return surface.base[:, None] + light.astype(np.int64) - dark


def make_links(
    tones: np.ndarray, pairs: list[tuple[int, int]], group: np.ndarray, seed: int
) -> np.ndarray:
    """Links (N, P, 8) of pairs of profiles: 8 pixels that turn from one tone to another.

    tones: (N, profiles) at the borders; group: (N,). Lines of a group turn at most two pixels
    apart.
    """
    left, right = (tones[:, [pair[side] for pair in pairs]] for side in (0, 1))
    number = np.array([a * tones.shape[1] + b for a, b in pairs])[None, :]
    line = np.arange(len(tones))[:, None]
    turn = 2 + pick(seed, CELL - 3, group[:, None], number, 1) + pick(seed, 3, line, number, 2) - 1
    return np.where(np.arange(CELL) < turn[..., None], left[..., None], right[..., None])


def ring_pairs(profiles: range) -> list[tuple[int, int]]:
    """The links of a ring: every profile with itself and with the next one."""
    after = [*profiles[1:], profiles[0]]
    return [(a, a) for a in profiles] + list(zip(profiles, after, strict=True))


def walk_ring(profiles: range, columns: int, stay: float, seed: int, row: int) -> np.ndarray:
    """Profiles (columns,) at the left borders of cells: once or more round the ring and back.

    stay: chance that a profile stays for another cell. The walk starts at the first profile, and
    ends where the first may follow: at the last one or, where it never left, at the first.
    """
    moves = unit(seed, row, np.arange(columns), profiles.start) >= stay
    moves[:1] = False
    steps = np.cumsum(moves)
    count = len(profiles)
    # One more move leads on to whatever follows, so the walk itself makes all but one.
    rounds = (int(steps[-1]) + 1) // count
    kept = max(0, rounds * count - 1)
    return profiles.start + np.minimum(steps, kept) % count


def lay_links(
    links: np.ndarray, pairs: list[tuple[int, int]], walk: np.ndarray, top: int
) -> np.ndarray:
    """Tones (N, W) of links laid along walks (R, W/8) of profiles.

    Every two neighbours of a walk, wrapping, must be among the pairs.
    """
    count = int(walk.max()) + 1
    number = np.full((count, count), -1)
    for n, (a, b) in enumerate(pairs):
        if a < count and b < count:
            number[a, b] = n
    chosen = number[walk, np.roll(walk, -1, axis=1)]
    assert chosen.min() >= 0, "a walk makes a step that has no link"
    lines = len(links)
    row = (np.arange(lines) + top % CELL) // CELL
    return links[np.arange(lines)[:, None], chosen[row]].reshape(lines, -1)


def group_lines(tall: np.ndarray) -> np.ndarray:
    """Numbers (N,) of groups of neighbouring lines that share their dashes, `tall` (N,) lines each.

    The dashes of a group still are each a line's own, so that lines may part.
    """
    return np.floor(np.cumsum(1.0 / np.maximum(tall, 1.0)) + 1e-9).astype(np.int64)


def rows_of(lines: int, top: int) -> int:
    """Cell rows that lines from screen line `top` on lie in."""
    return (lines + top % CELL + CELL - 1) // CELL


def row_values(values: np.ndarray, top: int) -> np.ndarray:
    """The value (R,) of the middle line of every cell row, of values (N,)."""
    middle = np.arange(rows_of(len(values), top)) * CELL - top % CELL + CELL // 2
    return values[np.clip(middle, 0, len(values) - 1)]


def nearness(ratio: np.ndarray, far: float = 0.12) -> np.ndarray:
    """How near each line is (N,), up to 1 at the nearest, by the pinhole camera.

    A line's depth is the inverse of its ratio (Hartley and Zisserman, "Multiple View Geometry",
    2nd ed., ch. 6). Where all lines move alike, they are taken to lie as on a floor whose first
    line is at `far`.
    """
    if len(ratio) == 1:
        return np.ones(1)
    if moves_as_one(ratio):
        return far + (1.0 - far) * np.arange(len(ratio)) / (len(ratio) - 1)
    return np.maximum(ratio / ratio.max(), 0.01)


def moves_as_one(ratio: np.ndarray) -> bool:
    """True where all lines have the same speed, so that nothing shears."""
    return bool(ratio.max() - ratio.min() < 1e-6)


LINE_ORDER = np.array([1, 3, 0, 2])
"""Order in which lines turn to the next tone: dither down the lines, which no shearing disturbs."""


def dither_lines(levels: np.ndarray, top: int) -> np.ndarray:
    """Tones (N,) int64 of levels (N,): a line takes the tone below or above, by its number."""
    low = np.floor(levels).astype(np.int64)
    order = LINE_ORDER[(np.arange(len(levels)) + top) % 4]
    return low + ((levels - low) * 4 > order + 0.5)
