"""The ridge painter: terrain from far mountains to near hills.

Mountains and hills stand one before the other, tall ones behind. Everything lies on the cell grid
(`paths.py`, `relief.py`), so a range costs tiles for the ways an edge can cross a cell,
not for every cell that an edge crosses.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.measure import present
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.dither import dither_levels
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words, jittered, pick, pick_one, unit
from genbg.paint.painters.ridge.cover import STROKES, TUFTS, add_marks, lay_snow, plant_wood
from genbg.paint.painters.ridge.relief import (
    BETWEEN,
    LIT,
    RIM,
    Lattice,
    Summit,
    draw_hill,
    draw_mountain,
    slopes,
)
from genbg.paint.painters.ridge.trees import plant_trees

WOODS = ("conifers", "broadleaves")
COVERS = ("rock", "grass", *WOODS)
BODY, LEAVES, SNOW = range(3)


@dataclass(frozen=True)
class Keys:
    """What a preset says about terrain."""

    height: float = key(
        0.9,
        "float",
        "How high the highest summit is, a share of the layer's lines.",
        low=0.1,
        high=1.0,
    )
    peaks: float = key(1.0, "float", "Summits: 0 round hills, 1 sharp peaks.", low=0.0, high=1.0)
    spacing: int = key(
        112, "int", "How far main summits stand apart.", low=24, high=512, unit="pixels"
    )
    roughness: float = key(0.5, "float", "How broken outlines are.", low=0.0, high=1.0)
    faces: float = key(
        0.8,
        "float",
        "How far the faces are cut: 0 a silhouette, 0.3 light and shade, 1 every spur.",
        low=0.0,
        high=1.0,
    )
    cover: str = key("rock", "choice", "What the surface is.", choices=COVERS)
    texture: float = key(0.35, "float", "Share of the surface with marks.", low=0.0, high=1.0)
    trees: float = key(
        0.0, "float", "Share of the outlines on which single trees stand.", low=0.0, high=1.0
    )
    firs: bool = key(False, "bool", "Single trees are conifers on round hills too.")
    snow: float = key(
        0.0, "float", "How far snow reaches down from the highest summit.", low=0.0, high=1.0
    )
    open: bool = key(
        False, "bool", "No ground between the hills: they rise from water as islands and capes."
    )
    mist: float = key(
        0.25, "float", "How far mist rises from the foot, a share of the lines.", low=0.0, high=1.0
    )


RAMPS = (
    Ramp("rock", "Bare stone.", ("#202048", "#484878", "#887890", "#d0a890", "#fff0d8"), 5),
    Ramp("grass", "Meadows.", ("#103028", "#205838", "#489048", "#78b850", "#c8e878"), 5),
    Ramp("leaves", "Woods.", ("#081828", "#103830", "#205840", "#408048", "#80b058"), 5),
    Ramp("snow", "Snow, where it lies.", ("#4868b0", "#ffffff"), 4),
    Ramp("mist", "Mist at the foot, thin to thick.", ("#98a8d0", "#c0d0e8"), 2),
)


def paint(keys: Keys, job: Job) -> Painting:
    """Return a range of mountains or hills, seen from the side that `job.light` lights."""
    lines = job.lines
    lattice = lay_lattice(job)
    snowline = lines - keys.height * lines * (1 - keys.snow)
    tones = np.full((lines, job.width), -1, dtype=np.int8)
    if not keys.open:
        tones[-8:] = BETWEEN
    ramp = np.zeros(tones.shape, dtype=np.int8)
    for summit, heights in zip(*place_summits(job), strict=True):
        part, kind = draw_summit(job, summit, heights, lattice, snowline)
        where = (summit.x + np.arange(part.shape[1]) - part.shape[1] // 2) % job.width
        tones[:, where] = np.where(part >= 0, part, tones[:, where])
        ramp[:, where] = np.where(part >= 0, kind, ramp[:, where])
    if keys.cover in ("rock", "grass"):
        marks = STROKES if keys.cover == "rock" else TUFTS
        share = int(keys.texture * 16 + 0.5)
        seed = hash_words(job.seed, "marks")
        marked = add_marks(tones, marks, share, job.light[0] > 0, job.top, seed)
        tones = np.where(ramp == BODY, marked, tones)
    return ink_tones(job, tones, ramp)


def lay_lattice(job: Job) -> Lattice:
    """The lattice of the layer: the thriftier, the coarser; round forms need a finer one."""
    params = job.params
    quantum = 8 if job.thrift > 0.6 else 4 if job.thrift > 0.3 else 2 if job.thrift > 0.1 else 1
    if params.cover in WOODS:
        quantum = max(quantum, 8 if job.thrift > 0.3 else 4)  # crowns hide the steps
    elif params.peaks < 0.5:
        quantum = max(1, quantum // 2)
    phase = job.top % 8
    rag = 1 if params.peaks >= 0.5 and params.roughness > 0.3 else 0
    rows = (job.lines + phase + 7) // 8
    variants = 1 if job.thrift > 0.85 else 2
    return Lattice(rows, phase, job.lines, quantum, hash_words(job.seed, "edges"), variants, rag)


def place_summits(job: Job) -> tuple[list[Summit], list[np.ndarray]]:
    """Main summits, a shoulder beside each and foothills, with their slopes; tall ones first."""
    params, width = job.params, job.width
    seed = hash_words(job.seed, "summits")
    aside = pick_one(seed, width, "aside")
    main = present((jittered(width, params.spacing, seed, 0.5) + aside) % width // 8 * 8)
    number = np.arange(len(main))
    high = 0.6 + 0.4 * unit(seed, number, 1)
    high = high / high.max()
    full = params.height * job.lines
    side = np.where(pick(seed, 2, number, 2) == 1, 1, -1)
    beside = (high * full * (0.55 + 0.35 * unit(seed, number, 3))).astype(np.int64) // 8 * 8
    apart = params.spacing if params.cover in WOODS else max(24, params.spacing // 2)
    foot = present(jittered(width, apart, seed + 1, 0.7) // 8 * 8)
    places = np.concatenate([main, main + side * beside, foot]) % width
    shoulder = high * (0.45 + 0.25 * unit(seed, number, 4))
    low = 0.26 + 0.2 * unit(seed, np.arange(len(foot)), 5)
    tall = np.concatenate([high, shoulder, low])
    rough = fractal(width // 8, len(tall), seed, 16, 0.73, 3, 0.35 + 0.3 * params.roughness)
    summits, heights = [], []
    for n in np.argsort(-tall, kind="stable").tolist():
        spurs = params.faces if tall[n] > (0.6 if job.thrift > 0.85 else 0.4) else 0.0
        summit = Summit(int(places[n]), float(tall[n] * full), hash_words(seed, n), spurs)
        summits.append(summit)
        heights.append(slopes(summit, params.peaks, params.roughness, rough[n].astype(np.float64)))
    return summits, heights


def draw_summit(
    job: Job, summit: Summit, heights: np.ndarray, lattice: Lattice, snowline: float
) -> tuple[np.ndarray, np.ndarray]:
    """Tones (N, w) of one summit's window, -1 where it is not, and BODY, LEAVES or SNOW of each."""
    params, mirror = job.params, job.light[0] > 0
    draw = draw_mountain if params.peaks >= 0.5 else draw_hill
    tones, outline = draw(summit, lattice, heights, job.light, params.faces)
    kind = np.full(tones.shape, BODY)
    left = summit.x - len(outline) // 2
    if params.cover in WOODS:
        conifers = params.cover == "conifers"
        return plant_wood(tones, outline, left, conifers, job.light, job.top), kind
    if params.snow:
        kind = np.where(lay_snow(tones, snowline, summit, lattice), SNOW, BODY)
    if params.trees:
        conifers = params.firs or params.peaks >= 0.5
        trees = plant_trees(
            outline, tones.shape, left, params.trees, conifers, mirror, lattice, summit
        )
        kind = np.where(trees >= 0, LEAVES, kind)
        tones = np.where(trees >= 0, trees, tones)
    return tones, kind


def ink_tones(job: Job, tones: np.ndarray, kind: np.ndarray) -> Painting:
    """The painting: tones to inks of the body, of leaves and snow, and mist over the foot."""
    cover = job.params.cover
    names = ["leaves" if cover in WOODS else cover, "leaves", "snow"]
    tones = tones.astype(np.int64)
    ink = np.zeros(tones.shape, dtype=np.int64)
    used: list[str] = []
    for what, name in enumerate(names):
        here = (kind == what) & (tones >= 0)
        if not here.any():
            continue
        steps, highest = job.steps[name], LIT if what == SNOW else RIM
        shade = (np.minimum(tones, highest) * (steps - 1) * 2 + highest) // (2 * highest)
        ink = np.where(here, 1 + job.inks(used) + shade, ink)
        used.append(name)
    rise = int(job.params.mist * job.lines + 0.5)
    if rise:
        steps = job.steps["mist"]
        down = np.arange(job.lines) - (job.lines - rise) + 0.5
        level = dither_levels(
            down[:, None] * (steps + 0.6) / rise, steps + 1, job.top, 4, width=job.width
        )
        mist = job.inks(used) + level
        ink = np.where((ink > 0) & (level > 0), mist, ink)
        used.append("mist")
    return Painting(ink.astype(np.uint16), job.uses(used))


PAINTER = Painter(
    name="ridge",
    about="Terrain, from far mountains with snow to near hills and woods.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.7,
)
