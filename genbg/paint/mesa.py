"""The mesa painter: flat-topped rock with level bands, from lone towers to the walls of a canyon.

Each rock is a cliff in pillars on a skirt of scree, with benches where soft bands give way. Its
side toward the light is lit, the other lies in shade, and the bands run through all of them alike
(`strata.py`), as they were laid down before anything was cut.
"""

from __future__ import annotations

import numpy as np

from genbg.keys import key
from genbg.measure import present
from genbg.model import Painting, RampUse
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.cover import add_marks, patch
from genbg.paint.craft import CELL
from genbg.paint.dither import dither_levels
from genbg.paint.paths import draw_paths
from genbg.paint.scatter import hash_words, jittered, pick_one, unit
from genbg.paint.strata import HARD, SOFT, beds, cell_rows, draw_pillars, draw_sheets
from genbg.paint.surf import break_sea
from genbg.records import record

NOTHING, DEEP, SHADE, BETWEEN, LIT, BRIGHT, RIM = range(7)
"""Tones of rock, from what is not there to the rim of light along its top."""
CAPS = (1.0, 0.8, 0.62, 0.45)
"""Heights of the hard bands that tops lie on, as shares of the highest."""
RUBBLE = (
    patch("........ ..+++... ..+..--. ...---.. ........ .....++. ....+.-. .....--."),
    patch("........ ........ ....++.. ...+.--. ....---. ........ .++..... ..--...."),
    patch("....-... ....--.. .....-.. .....-.. ....--.. ....-... ........ ........"),
)
"""Changes of tone of stones and a crack."""


@record(frozen=True)
class Params:
    """What a preset says about mesas."""

    height: float = key(
        0.9, "float", "How high the highest top is, a share of the lines.", low=0.1, high=1.0
    )
    spacing: int = key(144, "int", "How far rocks stand apart.", low=32, high=512, unit="pixels")
    width: float = key(
        0.5,
        "float",
        "Share of the spacing that is rock: 0.2 towers, 1 the wall of a canyon.",
        low=0.1,
        high=1.0,
    )
    scree: float = key(
        0.35, "float", "Share of the height that is scree at the foot.", low=0.0, high=0.9
    )
    cliffs: int = key(
        4, "int", "How thick hard beds are: they stand as cliffs.", low=1, high=16, unit="cells"
    )
    slopes: int = key(
        1, "int", "How thick soft beds are: they give way to slopes.", low=0, high=8, unit="cells"
    )
    rubble: float = key(
        0.3, "float", "Share of the plain surface with stones and cracks.", low=0.0, high=1.0
    )
    surf: float = key(
        0.0, "float", "How far the sea breaks to both sides of the foot.", low=0.0, high=1.0
    )
    mist: float = key(
        0.0, "float", "How far dust rises from the foot, a share of the lines.", low=0.0, high=1.0
    )


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


def paint(job: Job) -> Painting:
    """Return rocks lit from the left or the right, tall ones behind."""
    params, rows = job.params, cell_rows(job.top, job.lines)
    seed = hash_words(job.seed, "rock")
    first = max(0, rows - int(params.height * job.lines / CELL + 0.5))
    laid = np.full(rows, HARD)
    laid[first:] = beds(rows - first, params.cliffs, params.slopes, seed)
    wall = Wall(rows, laid, 8 if job.thrift > 0.8 else 4, seed)
    tone = np.zeros((rows * CELL, job.width), dtype=np.int64)
    for rock in place_rocks(job, wall):
        draw_rock(job, wall, rock, tone)
    share = int(params.rubble * 16 + 0.5)
    tone = add_marks(tone - DEEP, RUBBLE, share, False, 0, hash_words(seed, "rubble")) + DEEP
    if job.light[0] > 0:
        tone = tone[:, ::-1]
    phase = job.top % CELL
    return ink_rocks(job, tone[phase : phase + job.lines])


def place_rocks(job: Job, wall: Wall) -> list[Rock]:
    """Rocks from tall to low; tops lie on a few heights, as hard bands make them."""
    params, columns = job.params, job.width // CELL
    seed = hash_words(job.seed, "places")
    apart = max(4, params.spacing // CELL)
    places = present(jittered(columns, apart, seed, 0.5))
    tall = params.height * job.lines / CELL
    rocks = []
    for n, x in enumerate(places.tolist()):
        cap = CAPS[0] if n == 0 else CAPS[pick_one(seed, len(CAPS), n, "cap")]
        wide = params.width * apart * (0.6 + 0.8 * float(unit(seed, n, 1)[0]))
        half = min(max(1, int(wide / 2 + 0.5)), columns // 3)
        rows = max(2, int(tall * cap + 0.5))
        rocks.append(Rock(int(x), wall.rows - rows, half, hash_words(seed, n)))
    return sorted(rocks, key=lambda rock: (rock.top, rock.x))


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
    lit = x < edges[2][:, None]
    change = weather(job, wall, rock, last - first)
    body = np.where(
        lit, np.clip(LIT + change, BETWEEN, RIM), np.clip(SHADE + change, DEEP, BETWEEN)
    )
    body = np.where(inside & (y < foot * CELL), body, NOTHING)
    heap_scree(wall, rock, foot, (left, right, edges[2]), x, y, body)
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


def heap_scree(
    wall: Wall,
    rock: Rock,
    foot: int,
    edges: tuple[np.ndarray, np.ndarray, np.ndarray],
    x: np.ndarray,
    y: np.ndarray,
    body: np.ndarray,
) -> None:
    """Scree at the foot of the cliff, in place: cones that merge into a skirt, and gullies."""
    left, right, part = edges
    start, end = int(left[foot]) // CELL, int(right[foot]) // CELL
    lit = x < part[:, None]
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
    """Places (rows+1,) where light and shade part; they jump where the rock widens."""
    share = 5 + pick_one(rock.seed, 3, "part")
    places = left + (right - left) * share // 10
    return places // CELL * CELL


def ink_rocks(job: Job, tone: np.ndarray) -> Painting:
    """The painting: tones to the inks of rock, and dust over the foot."""
    steps = job.steps["rock"]
    shade = ((tone - 1) * (steps - 1) * 2 + RIM - 1) // (2 * (RIM - 1))
    ink = np.where(tone > NOTHING, 1 + shade, 0)
    ramps = [RampUse("rock", steps)]
    if job.params.surf > 0:
        count = job.steps["foam"]
        foam = break_sea(tone[-1] > NOTHING, job.params.surf, hash_words(job.seed, "foam"))[
            -job.lines :
        ]
        place = ink[-len(foam) :]
        shown = np.where(foam == 1, steps + 1, steps + count)
        ink = np.concatenate([ink[: -len(foam)], np.where(foam > 0, shown, place)])
        ramps.append(RampUse("foam", count))
    rise = int(job.params.mist * job.lines + 0.5)
    if rise:
        count = job.steps["mist"]
        down = np.arange(job.lines) - (job.lines - rise) + 0.5
        level = down[:, None] * (count + 0.6) / rise
        mist = dither_levels(level, count + 1, job.top, 4, width=job.width)
        first = sum(use.steps for use in ramps)
        ink = np.where((ink > 0) & (mist > 0), first + mist, ink)
        ramps.append(RampUse("mist", count))
    return Painting(ink.astype(np.uint16), tuple(ramps))


PAINTER = Painter(
    name="mesa",
    about="Flat-topped rock in level bands, from lone towers to the walls of a canyon.",
    params=Params,
    ramps=(
        Ramp(
            "rock",
            "Rock, from deep shade to the rim of light.",
            ("#49246d", "#92494f", "#db6d49", "#ffb66d", "#ffdb92"),
            6,
        ),
        Ramp("foam", "Surf at the foot.", ("#92b6db", "#ffffff"), 2),
        Ramp("mist", "Dust at the foot, thin to thick.", ("#dba292", "#ffdbb6"), 2),
    ),
    paint=paint,
    thrift=0.6,
)
