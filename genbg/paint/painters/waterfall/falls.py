"""Falling water: streaks that repeat down a fall, and puffs of spray where it meets a step.

A fall takes the ramps `fall` and `spray` of the sheet it is put on.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import hash_words, pick
from genbg.paint.craft.sheet import Sheet
from genbg.paint.parts.puffs import Shading, draw_puff
from genbg.records import record

PUFFS = ((2, 1), (3, 2), (4, 2))
"""Columns and rows of puffs of spray, from small to large."""
LANES = np.array([[3, 2, 2, 1, 3, 2], [4, 3, 4, 2, 4, 3]])
"""Tones of lanes of falling water side by side: between streaks, and in them."""
STREAK_ROWS = 4
"""Cells after which the streaks of a fall repeat."""


@record(frozen=True)
class Fall:
    """One fall: cell columns [left, left + wide), its lip row, the rows at which it meets steps.

    phase: cells by which its streaks begin later than another's
    """

    left: int
    wide: int
    lip: int
    steps: tuple[int, ...]
    seed: int
    phase: int = 0


def streaks(columns: int, seed: int, flat: bool) -> np.ndarray:
    """Tones (8 * STREAK_ROWS, 8 * columns) of falling water, which repeats downward.

    flat: every cell column takes one of three patches, so that a wide fall costs no more
    """
    height = STREAK_ROWS * CELL
    parts = []
    for column in range(columns):
        number = column % 3 if flat else column
        own = hash_words(seed, number)
        x = np.arange(CELL)
        lane = number * CELL // 2 + x // 2
        dull, bright = LANES[:, lane % LANES.shape[1]]
        start = lane * 11 + pick(own, 6, x // 2, 1)
        length = 11 + pick(own, 10, x // 2, 2)
        y = np.arange(height)[:, None]
        shines = (y - start - x % 2 * 2) % height < length
        parts.append(np.where(shines, bright, dull))
    return np.concatenate(parts, axis=1)


def let_fall(job: Job, sheet: Sheet, fall: Fall) -> None:
    """Water down its steps, a cell wider from step to step, with a round lip, in place."""
    row = sheet.tones.row("fall")
    first, thrifty = fall.lip, job.thrift > 0.5
    for n, last in enumerate(fall.steps):
        wide = fall.wide + 2 * n
        height = (last - first) * CELL
        patch = streaks(wide, hash_words(job.seed, "streaks", 0 if thrifty else fall.left), thrifty)
        # Begun at another cell, the same tiles make another fall.
        patch = np.roll(patch, (CELL * (fall.phase + n), CELL * (fall.phase // 4)), axis=(0, 1))
        tones = np.tile(patch, (-(-height // len(patch)), 1))[:height]
        y, x = np.arange(height)[:, None], np.arange(wide * CELL)[None, :]
        edge = np.minimum(x, wide * CELL - 1 - x)
        sway = np.array([0, 1, 1, 2, 2, 1, 1, 0])[(y + 3 * (x > wide * 4)) % CELL]
        shade = x >= wide * CELL * 3 // 4 if job.light[0] <= 0 else x < wide * CELL // 4
        tones = np.where(shade, np.maximum(tones - 1, 1), tones)
        tones = np.where(edge < 2 + sway, 1, tones)
        tones = np.where(y < 2, 4, np.where(y < 5, np.maximum(tones, 3), tones))
        inside = (y > 1) | (edge > 3 - 2 * y)
        sheet.put(np.where(inside, row[tones], 0), fall.left - n, last * CELL, by_light=False)
        first = last


def spray_falls(job: Job, sheet: Sheet, falls: list[Fall], share: float) -> None:
    """Puffs along the foot of every step in place: small ones on steps, large ones below.

    share: how much spray there is, 0..1
    """
    if share <= 0 or not falls:
        return
    shading = Shading(job.steps["spray"], (-abs(job.light[0]), job.light[1]), 0.4, 2)
    last_size = min(len(PUFFS) - 1, round(share * 2))
    stamps = {}
    for size in {0, last_size}:
        puff = draw_puff(*PUFFS[size], hash_words(job.seed, "puff", size), shading)
        stamps[size] = np.where(puff > 0, sheet.tones("spray", 0) + puff - 1, 0)
    for fall in falls:
        for n, last in enumerate(fall.steps):
            final = n == len(fall.steps) - 1
            piece = stamps[last_size if final else 0]
            wide = piece.shape[1] // CELL
            left, span = fall.left - n - 1, fall.wide + 2 * n + 2
            count = 1 + -(-max(0, span - wide) // max(1, wide - 2))
            for k in range(count):
                column = left + k * (span - wide) // max(1, count - 1)
                foot = last * CELL + (0 if final else 4)
                sheet.put(piece, column, foot, by_light=False, flip=k % 2 == 1)
