"""A round knoll under a building: level where that stands, smooth to both sides, lit by lamps.

It takes the ramp `knoll` of the sheet: snow, grass or sand.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.paths import draw_paths, snap
from genbg.paint.craft.scatter import hash_words, pick_one
from genbg.paint.craft.sheet import BETWEEN, DEEP, LIT, RIM, SHADE, Sheet
from genbg.paint.parts.lamps import halo_tones

SLOPE = 3
"""Cells in which a knoll falls by one cell, on average."""
DRIFT = np.array([0, 1, 1, 2, 2, 2, 1, 1])
"""Lines by which what is blown against a wall hides its foot, along a cell."""
BANDS = ((1, RIM), (6, LIT), (20, BETWEEN))
"""Lines under the outline to which each tone reaches, on the side of the light; then shade."""


def raise_knoll(
    job: Job, sheet: Sheet, middle: int, foot: int, rows: int, level: int
) -> np.ndarray:
    """A knoll in place, `rows` cells high; returns its outline (W,), `foot` where it is not.

    middle: cell column; level: cell columns to each side of it on which the top is level
    """
    seed = hash_words(job.seed, "knoll")
    sides = [level + SLOPE * rows + pick_one(seed, 5, side, "side") for side in (0, 1)]
    sides = [min(side, sheet.columns // 2) for side in sides]
    at = np.arange(-sides[0], sides[1] + 1)
    room = np.where(at < 0, sides[0], sides[1]) - level
    fall = np.clip((np.abs(at) - level) / np.maximum(room, 1), 0.0, 1.0)
    heights = rows * CELL * (1.0 - fall * fall * (3.0 - 2.0 * fall))
    outline = draw_paths(snap(foot - heights, 4)[None], seed, 1, 0)[0]
    x = np.arange(len(outline)) - sides[0] * CELL
    columns = (middle * CELL + x) % sheet.width
    y = np.arange(foot)[:, None]
    across = -1 if sheet.turned else 1
    tones = np.full((foot, len(x)), SHADE)
    edge = level * CELL
    away = np.clip((across * x - edge) // 2, 0, 24)
    for deep, tone in reversed(BANDS):
        tones = np.where(y - outline < np.maximum(deep - away, 0), tone, tones)
    place = sheet.ink[:foot]
    row = sheet.tones.row("knoll")
    place[:, columns] = np.where(y >= outline, row[tones], place[:, columns])
    tops = np.full(sheet.width, foot)
    tops[columns] = outline
    return tops


def drift_against(sheet: Sheet, first: int, columns: int, foot: int, seed: int) -> None:
    """What the wind has blown against the foot of a wall of some cell columns, in place."""
    row = sheet.tones.row("knoll")
    for column in range(first, first + columns):
        x = (column * CELL + np.arange(CELL)) % sheet.width
        high = DRIFT + pick_one(seed, 2, column, "drift")
        for n in range(min(3, max(foot, 0))):
            line = sheet.ink[foot - 1 - n]
            line[x] = np.where(n < high, row[RIM if n else LIT], line[x])


def cast_pool(sheet: Sheet, column: int, foot: int, reach: int) -> None:
    """Light of a lamp left of a cell column on the ground under it, in place."""
    tones = halo_tones(reach)
    flat = tones[len(tones) // 2 + 1 :: 4]
    inks = np.array([0, sheet.tones("glow", DEEP), sheet.tones("glow", RIM)])[flat]
    x = (column * CELL + np.arange(flat.shape[1]) - flat.shape[1] // 2) % sheet.width
    place = sheet.ink[max(foot, 0) : max(foot + len(flat), 0)]
    part = inks[max(-foot, 0) :][: len(place)]
    ground = sheet.tones.holds(place[:, x], "knoll")
    place[:, x] = np.where((part > 0) & ground, part, place[:, x])
