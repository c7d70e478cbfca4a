"""One rock of a mesa: its outline through hard and soft beds, its faces, its scree.

Its side toward the light is lit, the other lies in shade; with the light behind it, all lies in
shade and a rim of light runs along its outline. The beds are those of `strata.py`.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.paths import draw_paths
from genbg.paint.craft.scatter import pick, pick_one
from genbg.paint.parts.strata import HARD, SOFT, draw_pillars, draw_sheets
from genbg.records import record

NOTHING, DEEP, SHADE, BETWEEN, LIT, BRIGHT, RIM = range(7)
"""Tones of rock, from what is not there to the rim of light along its top."""


@record(frozen=True)
class Rock:
    """One rock. x: its middle; top: cell row of its top; half: half its top's width in cells;
    seed: its own. Columns count from the plane's left edge, rows from the sheet's first."""

    x: int
    top: int
    half: int
    seed: int


@record(frozen=True, eq=False)
class Wall:
    """What all rocks of a layer share.

    rows: cell rows of the sheet; beds: (rows,) HARD or SOFT; quantum: pixels by which cliffs step
    """

    rows: int
    beds: np.ndarray
    quantum: int
    seed: int


def flanks(job: Job, wall: Wall, rock: Rock) -> tuple[np.ndarray, np.ndarray, int]:
    """Left and right edge (rows+1,) in pixels from the middle, and the row where scree begins."""
    foot = wall.rows - int((wall.rows - rock.top) * job.params.scree + 0.5)
    edges = []
    for side in (0, 1):
        edge = np.full(wall.rows + 1, rock.half * CELL, dtype=np.int64)
        for row in range(rock.top, wall.rows):
            luck = pick_one(rock.seed, 8, side, row)
            if row >= foot:
                step = CELL
            elif wall.beds[row] == SOFT:
                step = CELL // 2 * (1 + luck % 2)
            else:
                step = wall.quantum * ((luck < 2) - (luck == 7 and wall.quantum < CELL))
            edge[row + 1 :] = edge[row] + step
        edges.append(edge)
    return -edges[0], edges[1], foot


def draw_rock(job: Job, wall: Wall, rock: Rock, tone: np.ndarray) -> None:
    """One rock, in place."""
    left, right, foot = flanks(job, wall, rock)
    first, last = int(left.min()) // CELL - 1, -(-int(right.max()) // CELL) + 1
    y, x = np.arange(wall.rows * CELL)[:, None], np.arange(first * CELL, last * CELL)[None, :]
    edges = draw_paths(np.stack([left, right, part_line(rock, left, right)]), rock.seed, 1, 0)
    inside = (x >= edges[0][:, None]) & (x < edges[1][:, None]) & (y >= rock.top * CELL)
    lit = (x < edges[2][:, None]) & (not job.params.behind)
    change = weather(job, wall, rock, last - first)
    shade = np.clip(SHADE + change, DEEP, BETWEEN)
    body = np.where(lit, np.clip(LIT + change, BETWEEN, RIM), shade)
    body = np.where(inside & (y < foot * CELL), body, NOTHING)
    heap_scree(wall, rock, foot, left, right, lit, body)
    if job.params.behind:
        light_rims(body)
    where = (np.arange(first * CELL, last * CELL) + rock.x * CELL) % job.width
    tone[:, where] = np.where(body > NOTHING, body, tone[:, where])


def weather(job: Job, wall: Wall, rock: Rock, columns: int) -> np.ndarray:
    """Changes of tone (H, w) of a rock's cliffs: pillars and sheets, ledges and undercuts."""
    variants = 1 if job.thrift > 0.7 else 2
    pillars = draw_pillars(wall.rows, columns, rock.seed, 3, variants)
    sheets = draw_sheets(wall.rows, columns, wall.seed)
    hard = np.repeat(wall.beds == HARD, CELL)[:, None]
    change = np.where(hard, pillars, sheets)
    for row in range(rock.top, wall.rows):
        under = wall.beds[row - 1] if row > rock.top else SOFT
        if wall.beds[row] == HARD and under == SOFT:
            change[row * CELL] = RIM - LIT
        if wall.beds[row] == SOFT and under == HARD:
            change[row * CELL] = -2
    return change


def light_rims(body: np.ndarray) -> None:
    """Light from behind along the outline of a rock, in place: a bright line, dimmer ones inside.

    The light does not reach around below, where the rock stands.
    """
    rock = body > NOTHING
    inner, rims = rock, []
    for tone in (RIM, BRIGHT, LIT):
        outer = inner
        inner = outer.copy()
        inner[:, 1:] &= outer[:, :-1]
        inner[:, :-1] &= outer[:, 1:]
        inner[1:] &= outer[:-1]
        rims.append((outer & ~inner, tone))
    for place, tone in rims:
        body[place] = tone


def heap_scree(
    wall: Wall,
    rock: Rock,
    foot: int,
    left: np.ndarray,
    right: np.ndarray,
    lit: np.ndarray,
    body: np.ndarray,
) -> None:
    """Scree at the foot of the cliff, in place: cones that merge into a skirt, and gullies.

    lit: (H, w) bool, where light falls
    """
    y = np.arange(len(body))[:, None]
    first = int(left.min()) // CELL - 1
    x = np.arange(body.shape[1])[None, :] + first * CELL
    start, end = int(left[foot]) // CELL, int(right[foot]) // CELL
    skirt = (x >= start * CELL - (y - foot * CELL)) & (x < end * CELL + (y - foot * CELL))
    skirt &= y >= foot * CELL
    at, tips = start, []
    while at <= end:
        luck = pick_one(rock.seed, 6, "cone", at - start)
        tip = foot - min(luck % 3, at - start, end - at, foot - rock.top - 2)
        tip = max(tip, rock.top + 1) if foot > rock.top + 1 else foot
        tips.append((tip, at))
        skirt |= (y - tip * CELL >= np.abs(x - at * CELL)) & (y < (foot + 1) * CELL)
        at += 2 + luck // 2
    body[skirt] = np.where(lit, LIT, SHADE)[skirt]
    for n, (tip, column) in enumerate(tips):
        deep = 2 + pick_one(rock.seed, 6, "gully", n)
        down, away = y - tip * CELL, x - column * CELL
        near = np.maximum(0, down - deep * CELL // 2)
        gully = (down >= 0) & (down < deep * CELL) & (away >= near) & (2 * away < down)
        body[gully & skirt] = np.where(lit, BETWEEN, DEEP)[gully & skirt]


def part_line(rock: Rock, left: np.ndarray, right: np.ndarray) -> np.ndarray:
    """Places (rows+1,) where light and shade part: from corner to corner, never along a ruler."""
    share = 5 + pick_one(rock.seed, 3, "part")
    places = left + (right - left) * share // 10
    corners = pick(rock.seed, 3, np.arange(len(places)) // 2, 7) - 1
    return places // CELL * CELL + corners * (CELL // 2)
