"""What makes a refuge a home: a thick edge of snow on its roof, icicles, logs, a trodden path."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import sine, smooth
from genbg.paint.craft.fields import profile
from genbg.paint.craft.relief import wrapped
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.solids.look import Seen
from genbg.paint.craft.terrain import put
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.refuge.shoulder import Shoulder
from genbg.paint.painters.refuge.site import Site

ICICLES = 0.3
"""Share of the columns of an eave from which an icicle hangs."""
LONGEST = 4
"""Pixels of the longest icicle."""
LOG = 2.3
"""Half the thickness of a log, pixels."""
LEVEL_LINES = 5
"""Lowest lines of the layer in which the path fades into level snow."""


def dress_roof(picture: TonalPicture, job: Job, roof: np.ndarray, seen: Seen) -> None:
    """A bright ridge, a rounded edge in shade, icicles under it; roof: (N, W) bool of its snow."""
    last = picture.last("lit")
    above, below = np.roll(roof, 1, axis=0), np.roll(roof, -1, axis=0)
    other = np.roll(seen.face, -1, axis=0) != seen.face
    eave = roof & (~below | (other & below))
    eave[-1] = False
    ridge = roof & ~above
    picture.lay(eave, "lit", 0.36 * last)
    picture.lay(np.roll(eave, -1, axis=0) & roof & ~eave, "lit", 0.55 * last)
    picture.lay(ridge & ~eave, "lit", last)
    hangs = eave & ~below
    column = np.arange(job.width)
    draw, long = unit(job.seed, column, 31), unit(job.seed, column // 2, 32)
    free = np.roll(seen.has & ~roof, 0, axis=0)
    for n in range(1, LONGEST + 1):
        place = np.roll(hangs, n, axis=0) & free & (np.arange(len(roof)) >= n)[:, None]
        wall = place & (n <= 2)
        picture.lay(wall, "wood", 0.0)
        drop = place & ((draw < ICICLES) & (n <= 1.0 + (LONGEST - 1) * long))[None, :]
        picture.lay(drop, "lit", (0.9 - 0.14 * n) * last)


def stack_logs(picture: TonalPicture, job: Job, foot: tuple[float, int], size: float) -> None:
    """Logs stacked in a triangle with their ends toward us, snow on top; foot: column and line."""
    (x, y), dice = foot, Dice(job.seed, "logs")
    rows, half = 3, LOG * size
    last = picture.last("wood")
    wide = round(2.0 * half)
    down, across = np.arange(wide)[:, None], np.arange(wide)[None, :]
    ring = np.sqrt((down + 0.5 - half) ** 2 + (across + 0.5 - half) ** 2)
    disc = ring < half + 0.2
    for row in range(rows):
        for number in range(rows - row):
            left = int(x + (number - (rows - row) / 2) * wide)
            tone = np.where(ring < 0.45 * half, 0.5, np.where(ring < 0.85 * half, 0.25, 0.0))
            tone = tone + 0.25 * dice.chance(0.3) * (ring < 0.45 * half)
            put(
                picture,
                disc,
                "wood",
                np.maximum(tone, 0.0) * last,
                left,
                y - (row + 1) * (wide - 1),
            )
    cap = np.ones((2, wide + 2), dtype=bool)
    top = y - rows * (wide - 1)
    put(
        picture,
        cap,
        "lit",
        picture.last("lit") * np.array([[1.0], [0.6]]),
        int(x - wide / 2) - 1,
        top - 1,
    )
    for row in range(rows - 1):
        edge = int(0.5 * (rows - row) * wide)
        for left in (int(x) - edge, int(x) + edge - wide // 2 - 1):
            bit = np.ones((1, wide // 2 + 1), dtype=bool)
            put(
                picture, bit, "lit", 0.7 * picture.last("lit"), left, y - (row + 1) * (wide - 1) - 1
            )


def tread_path(picture: TonalPicture, job: Job, site: Site, shoulder: Shoulder) -> None:
    """A trodden path that winds from the door down to the level snow, with a lit lip."""
    lines, width = picture.tone.shape
    foot = shoulder.line(site.house, site.deep) + 2
    down = np.maximum(np.arange(lines) - foot, 0.0)
    share = down / max(lines - foot, 1)
    turn = -site.turn
    middle = (
        site.house
        + turn * (2.0 + 44.0 * share * share)
        + 9.0 * sine(0.1 + 0.9 * share) * share * turn
    )
    ragged = profile(width, hash_words(job.seed, "path"), max(1, width // 12), 2)
    half = (2.5 * site.size + 0.2 * down)[:, None] * (1.0 + 0.25 * ragged[None, :])
    off = wrapped(np.arange(width)[None, :], middle[:, None], width) / half
    there = (np.arange(lines) >= foot)[:, None]
    fades = smooth(np.arange(lines), lines - 2.0, lines - LEVEL_LINES - 4.0)[:, None]
    side = float(shoulder.side[int(site.house) % width])
    lip = smooth(np.abs(np.abs(off) - 1.15), 0.3, 0.1) * np.where(off * side < 0, 1.0, 0.3)
    by = (0.9 * lip - 0.8 * smooth(np.abs(off), 1.0, 0.8)) * fades
    picture.shift(there & picture.holds("lit", "shade"), by)
