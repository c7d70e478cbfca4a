"""The mesa painter: flat-topped rock with level bands, from lone towers to the walls of a canyon.

Each rock is a cliff in pillars on a skirt of scree, with benches where soft bands give way
(`parts/buttes.py`). The bands run through all of them alike (`parts/strata.py`), as they were laid
down before anything was cut. Stones and shadow lie before their feet (`parts/footing.py`).
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from genbg.keys import key
from genbg.measure import present
from genbg.model import Painting, RampUse
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.cover import add_marks
from genbg.paint.craft.dither import dither_levels
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import hash_words, jittered, pick_one, unit
from genbg.paint.parts.buttes import DEEP, NOTHING, RIM, Rock, Wall, draw_rock
from genbg.paint.parts.footing import lay_footing
from genbg.paint.parts.marks import tone_changes
from genbg.paint.parts.strata import HARD, beds, cell_rows
from genbg.paint.parts.surf import break_sea
from genbg.records import record

CAPS = (1.0, 0.8, 0.62, 0.45)
"""Heights of the hard bands that tops lie on, as shares of the highest."""
RUBBLE = (
    tone_changes("........ ..+++... ..+..--. ...---.. ........ .....++. ....+.-. .....--."),
    tone_changes("........ ........ ....++.. ...+.--. ....---. ........ .++..... ..--...."),
    tone_changes("....-... ....--.. .....-.. .....-.. ....--.. ....-... ........ ........"),
)
"""Changes of tone of stones and a crack."""


MOST_EDGE = 6
"""At most one in so many lines may change on the plane's wrap."""


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
    behind: bool = key(
        False, "bool", "The light stands behind: rocks are dark, with a rim of light around them."
    )
    shadow: int = key(
        0,
        "int",
        "Lines at the last ones of the layer for boulders and the rocks' shadow on the ground.",
        low=0,
        high=64,
        unit="lines",
    )
    mist: float = key(
        0.0, "float", "How far dust rises from the foot, a share of the lines.", low=0.0, high=1.0
    )


def paint(keys: Params, job: Job) -> Painting:
    """Return rocks lit from the left or the right or from behind, tall ones behind others."""
    ground = min(job.params.shadow, job.lines - 1)
    if not ground:
        return paint_rocks(job)
    rocks = paint_rocks(replace(job, bottom=job.bottom - ground, ratio=job.ratio[:-ground]))
    return add_footing(job, rocks, ground)


def paint_rocks(job: Job) -> Painting:
    """Return the rocks alone, their foot along the last line."""
    params, rows = job.params, cell_rows(job.top, job.lines)
    seed = hash_words(job.seed, "rock")
    first = max(0, rows - int(params.height * job.lines / CELL + 0.5))
    laid = np.full(rows, HARD)
    laid[first:] = beds(rows - first, params.cliffs, params.slopes, seed)
    wall = Wall(rows, laid, 8 if job.thrift > 0.8 else 4, seed)
    tone = np.zeros((rows * CELL, job.width), dtype=np.int64)
    for rock in place_rocks(job, wall):
        draw_rock(job, wall, rock, tone)
    tone = clear_wrap(tone)
    share = int(params.rubble * 16 + 0.5)
    tone = add_marks(tone - DEEP, RUBBLE, share, False, 0, hash_words(seed, "rubble")) + DEEP
    if job.light[0] > 0:
        tone = tone[:, ::-1]
    phase = job.top % CELL
    return ink_rocks(job, tone[phase : phase + job.lines])


def clear_wrap(tone: np.ndarray) -> np.ndarray:
    """The rocks turned by as few cells as it takes that no cliff ends on the plane's wrap.

    A straight edge there, from top to bottom, is what a seam would look like.
    """
    edges = (tone != np.roll(tone, 1, axis=1)).sum(axis=0)[::CELL]
    clear = np.flatnonzero(edges * MOST_EDGE <= len(tone))
    return np.roll(tone, -CELL * int(clear[0]) if len(clear) else 0, axis=1)


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


def add_footing(job: Job, rocks: Painting, lines: int) -> Painting:
    """The painting with boulders and shadow in `lines` more lines below it."""
    foot = rocks.ink[-1] > 0
    footing = lay_footing(foot, lines, hash_words(job.seed, "footing"))
    rock, shadow = job.steps["rock"], sum(use.steps for use in rocks.ramps) + 1
    inks = np.array([0, shadow, min(2, rock), min(4, rock)], dtype=np.uint16)
    ramps = (*rocks.ramps, RampUse("shadow", job.steps["shadow"]))
    return Painting(np.concatenate([rocks.ink, inks[footing]]), ramps)


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
        Ramp("shadow", "Shadow on the ground before the foot.", ("#49246d",), 1),
    ),
    paint=paint,
    thrift=0.6,
)
