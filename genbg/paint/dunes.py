"""The dunes painter: ranks of dunes with sharp crests, a lit slope and a slope in shade.

Wind and light come from the same side. A dune climbs gently from there to its summit and falls off
beyond it. From the summit the crest winds down toward the viewer and parts light from shade; the
long slope of the next dune covers the foot of the shade. Slope and shade take their tones in a few
broad bands along the outline and the crest, and the wind's ripples run along the slope. All edges
lie on the cell grid (`paths.py`), and bands and ripples are the same edge moved by whole cells.
"""

from __future__ import annotations

import numpy as np

from genbg.keys import key
from genbg.measure import present
from genbg.model import Painting, RampUse
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.dither import gradient
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.paths import draw_paths, snap
from genbg.paint.craft.scatter import hash_words, jittered, pick_one, unit
from genbg.records import record

NOTHING, DEEP, SHADE, GLOW, FOOT, LOW, SLOPE, BRIGHT, RIM = range(9)
"""Tones of a dune, from what is not there to the rim of light along its crest."""
BANDS = (8, 32, 64)
"""Lines below its outline at which a lit slope takes its further tones."""
AWAY = (24, 72)
"""Pixels beyond the crest at which the shade grows lighter: sand around it shines back."""
CREST = (-8, -8, -8, -4, 0, 4, 8, 8, 8)
"""Pixels that the crest goes aside in each row of cells below the summit; then it is straight.

A dune leaves out up to two of the first."""
LEE = 0.6
"""Lines by which the slope in shade falls a pixel, before `steep` changes it."""
RUN = 3
"""Cells that a piece of a ripple is long; neighbours that are there make one ripple."""


@record(frozen=True)
class Params:
    """What a preset says about dunes."""

    height: float = key(
        0.9, "float", "How high the highest crest is, a share of the lines.", low=0.1, high=1.0
    )
    spacing: int = key(
        160,
        "int",
        "How far crests of the nearest rank stand apart.",
        low=48,
        high=512,
        unit="pixels",
    )
    ranks: int = key(2, "int", "Rows of dunes, one before the other.", low=1, high=4)
    closed: bool = key(
        False,
        "bool",
        "Plain sand in place of see-through above the crests: for dunes below other ones.",
    )
    steep: float = key(0.5, "float", "How steep they fall off on the shaded side.", low=0, high=1)
    ripples: float = key(
        0.6, "float", "How far down the lit slopes the wind's ripples reach.", low=0, high=1
    )
    ripple: int = key(
        4,
        "int",
        "From one ripple to the next: 4 or, for near dunes, 8.",
        low=4,
        high=8,
        unit="lines",
    )


@record(frozen=True)
class Dune:
    """One dune. x: column of its summit; left: where its slope begins; height: lines above the
    sheet's last one, a multiple of 8; steep: see LEE; bow: steps of CREST left out; seed: its
    own."""

    x: int
    left: int
    height: int
    steep: float
    bow: int
    seed: int


def paint(keys: Params, job: Job) -> Painting:
    """Return dunes lit from the left or the right, far ranks first."""
    phase = job.top % CELL
    rows = -(-(job.lines + phase) // CELL)
    tone = np.zeros((rows * CELL, job.width), dtype=np.int64)
    # Flat sand along the foot, so that no gap opens between two dunes.
    tone[-CELL:] = LOW
    for rank in range(job.params.ranks):
        dunes = place_dunes(job, rank)
        for dune in dunes:
            draw_dune(job, tone, dune)
        # The first one covers the shade of the last, as every other does with the one before.
        draw_dune(job, tone, dunes[0], slope_only=True)
    if job.params.closed:
        plain = gradient(len(tone), job.width, 4, 0, 4, 0.4, bend=-0.6)
        tone = np.where(tone == NOTHING, BRIGHT - plain, tone)
    if job.light[0] > 0:
        tone = tone[:, ::-1]
    return ink_dunes(job, tone[phase : phase + job.lines])


def place_dunes(job: Job, rank: int) -> list[Dune]:
    """The dunes of a rank in order; the nearer the rank, the lower, wider and farther apart."""
    params, width = job.params, job.width
    seed = hash_words(job.seed, "dunes", rank)
    behind = params.ranks - 1 - rank
    apart = min(width // 2, int(params.spacing * (1.0 - 0.2 * behind)))
    turn = pick_one(job.seed, width, "turn") + rank * apart // 2
    places = present((jittered(width, apart, seed, 0.4) + turn) % width // CELL * CELL)
    tall = params.height * job.lines * (1.0 - 0.62 * rank / max(1, params.ranks))
    dunes = []
    for n, x in enumerate(places.tolist()):
        before = int(places[n - 1]) - (width if n == 0 else 0)
        gap = x - before
        # Neighbours differ in height and in their crest: no shape comes back within a screen.
        share = 0.62 + 0.38 * float(unit(seed, n, 1)[0])
        lower = 1.0 - 0.25 * (n % 2)
        height = int(snap(np.array(min(tall * share, gap * 0.42) * lower), CELL))
        left = before + gap // 10 // CELL * CELL
        steep = LEE * (0.6 + 0.8 * params.steep) * (0.85 + 0.3 * float(unit(seed, n, 2)[0]))
        bow = (pick_one(seed, 3, "bow") + n) % 3
        dunes.append(Dune(x, left, max(CELL, height), steep, bow, hash_words(seed, n)))
    return dunes


def rise(dune: Dune, borders: np.ndarray) -> np.ndarray:
    """Heights (B,) of the outline at columns (B,): it climbs ever steeper and falls off at once."""
    t = (borders - dune.left) / (dune.x - dune.left)
    down = (borders - dune.x) * dune.steep / dune.height
    slope = t * (0.4 + 0.9 * t - 0.3 * t * t)
    lee = 1.0 - np.minimum(down, 1.7) * (1.3 - 0.3 * np.minimum(down, 1.7))
    return dune.height * np.where(t < 1.0, slope, lee)


def crest_line(dune: Dune, rows: int) -> np.ndarray:
    """Places (rows+1,) at the cell borders of the crest, counted from the summit."""
    top = rows - dune.height // CELL
    steps = np.zeros(rows + 1, dtype=np.int64)
    known = CREST[dune.bow :][: rows - top]
    steps[top + 1 : top + 1 + len(known)] = known
    return np.cumsum(steps)


def draw_dune(job: Job, tone: np.ndarray, dune: Dune, slope_only: bool = False) -> None:
    """One dune, in place. slope_only: what lies beyond the middle of its slope is left out."""
    height, width = tone.shape
    quantum = 4 if job.thrift > 0.7 else 2 if job.thrift > 0.2 else 1
    half = dune.left + (dune.x - dune.left) // (2 * CELL) * CELL
    end = half if slope_only else dune.x + (int(dune.height / dune.steep) // CELL + 2) * CELL
    end = min(end, dune.left + width)
    ends = snap(height - rise(dune, np.arange(dune.left, end + 1, CELL)), quantum)
    outline = draw_paths(ends[None], dune.seed, 1, 0)[0]
    y, x = np.arange(height)[:, None], np.arange(dune.left, end)[None, :]
    top = height - dune.height
    crest = draw_paths(crest_line(dune, height // CELL)[None], dune.seed, 1, 0)[0]
    edge = dune.x + crest[:, None]
    down = y - outline
    slope = BRIGHT - sum((down >= lines).astype(np.int64) for lines in BANDS)
    slope -= draw_ripples(job, dune, down)
    high = y - top < dune.height // 2
    slope = np.where(high & ((down == 0) | (x >= edge - 1)), RIM, slope)
    shade = DEEP + sum((x - edge >= away).astype(np.int64) for away in AWAY)
    where = np.arange(dune.left, end) % width
    drawn = np.where(x < edge, slope, shade)
    tone[:, where] = np.where(down >= 0, drawn, tone[:, where])


def draw_ripples(job: Job, dune: Dune, down: np.ndarray) -> np.ndarray:
    """Where ripples darken a slope (H, w), int64: lines along the outline, broken into pieces.

    down: (H, w) lines below the outline
    """
    reach = int(job.params.ripples * dune.height)
    if reach < CELL:
        return np.zeros_like(down)
    period = 4 if job.params.ripple < 6 else 8
    number = np.clip(down // period, 0, reach // period + 1)
    columns = np.arange(down.shape[1] // CELL)
    lines = np.arange(reach // period + 2)[:, None]
    piece = (columns[None, :] + 2 * lines) // RUN
    there = unit(dune.seed, lines, piece) < 0.75 - 0.5 * lines * period / reach
    there[0] = there[-1] = False
    shown = np.take_along_axis(np.repeat(there, CELL, axis=1), number, axis=0)
    return (shown & (down % period < period // 4)).astype(np.int64)


def ink_dunes(job: Job, tone: np.ndarray) -> Painting:
    """The painting: tones to the inks of sand."""
    steps = job.steps["sand"]
    shade = ((tone - 1) * (steps - 1) * 2 + RIM - 1) // (2 * (RIM - 1))
    ink = np.where(tone > NOTHING, 1 + shade, 0)
    return Painting(ink.astype(np.uint16), (RampUse("sand", steps),))


PAINTER = Painter(
    name="dunes",
    about="Dunes with sharp crests, lit and shaded slopes and the wind's ripples.",
    params=Params,
    ramps=(
        Ramp(
            "sand",
            "Sand, from deep shade to the rim of light.",
            ("#6d4924", "#926d49", "#dbb66d", "#ffdb92", "#ffffdb"),
            8,
        ),
    ),
    paint=paint,
    thrift=0.4,
)
