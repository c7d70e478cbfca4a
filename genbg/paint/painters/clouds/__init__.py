"""Painter of clouds: heaps, streaks, a bank that fills the layer, a storm's wall.

Everything stands on the cell grid and is put together from a few stamps (see `puffs.py`), so
that a sky full of clouds stores few tiles. Flat bases lie on cell borders, where nobody sees the
grid.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.dither import gradient
from genbg.paint.craft.edges import CELL, paste
from genbg.paint.craft.fields import profile
from genbg.paint.craft.scatter import hash_words, jittered, pick_one
from genbg.paint.painters.clouds.puffs import (
    BODY,
    DEEPEST,
    Library,
    Shading,
    dome_crown,
    mass,
    puff_library,
    shade_body,
)
from genbg.paint.painters.clouds.rain import draw_rain, hang_rags
from genbg.paint.painters.clouds.streaks import draw_streaks

MARGIN = 4
"""Cells of air at both sides of a single cloud while it is drawn."""
BASE_CURVE = (9, 5, 3, 2, 1, 1)
"""Pixels by which a single cloud's base is drawn in at both ends, from its last line up."""


@dataclass(frozen=True)
class Keys:
    """Keys of the clouds painter."""

    kind: str = key(
        "heaped",
        "choice",
        "heaped: single clouds with flat bases; streaked: thin ones drawn out by the wind; bank: a "
        "sea of clouds down to the last line; storm: a dark wall with rain under it.",
        choices=("heaped", "streaked", "bank", "storm"),
    )
    cover: float = key(
        0.5,
        "float",
        "How much is cloud; in a bank and a storm, how full of puffs their body is.",
        low=0.05,
        high=1,
    )
    closed: bool = key(
        False,
        "bool",
        "Mist and shade in place of see-through above a bank's crown: for a bank below another "
        "one.",
    )
    size: int = key(72, "int", "Height of the largest cloud.", low=16, high=200, unit="pixels")
    ranks: int = key(2, "int", "Rows of heaps or streaks, smaller far down.", low=1, high=4)
    heads: int = key(0, "int", "Rows of single heads before a bank.", low=0, high=4)
    shade: float = key(0.6, "float", "How dark bases and hollows are.", low=0, high=1)
    rain: float = key(0.5, "float", "How far a storm's rain falls.", low=0, high=1)
    grain: int = key(4, "int", "Size of the dither matrix: 2 bold, 4 fine.", low=2, high=4)

    def faults(self) -> Iterator[tuple[str, str]]:
        if self.grain == 3:
            yield "grain", "must be 2 or 4"


RAMPS = (Ramp("cloud", "Cloud, from the deepest shade up.", ("#6d92db", "#b6b6db", "#ffffff"), 5),)


def paint(keys: Keys, job: Job) -> Painting:
    """Clouds over a see-through layer."""
    steps = job.steps["cloud"]
    above = job.top % CELL
    rows = -(-(job.lines + above) // CELL)
    picture = np.zeros((rows * CELL, job.width), dtype=np.int16)
    _KINDS[keys.kind](job, keys, picture, steps)
    ink = picture[above : above + job.lines].astype(np.uint16)
    return Painting(np.minimum(ink, steps).astype(np.uint16), job.uses(["cloud"]))


def _shading(job: Job, keys: Keys, steps: int, relief: float = 1.0) -> Shading:
    return Shading(steps, job.light, 0.3, 4 if keys.grain > 2 else 2, relief)


def _variants(job: Job) -> int:
    return 1 if job.thrift > 0.66 else 2 if job.thrift > 0.33 else 3


def _full(job: Job, share: float) -> float:
    """Share of a body that puffs stand before; a thrifty layer leaves more of it plain."""
    return min(1.0, share * (1.35 - 0.5 * job.thrift))


def _library(job: Job, keys: Keys, steps: int, relief: float = 1.0) -> Library:
    seed = hash_words(job.seed, "puffs")
    return puff_library(seed, _shading(job, keys, steps, relief), _variants(job))


def _heaped(job: Job, keys: Keys, picture: np.ndarray, steps: int) -> None:
    """Ranks of single clouds; the lower ones are farther, hence smaller and drawn first."""
    library = _library(job, keys, steps)
    rows, columns = picture.shape[0] // CELL, picture.shape[1] // CELL
    for rank in reversed(range(keys.ranks)):
        share = rank / (keys.ranks - 1) if keys.ranks > 1 else 0.0
        high = max(4, min(rows, round(keys.size * (1.0 - 0.6 * share) / CELL)))
        base = high + round((rows - high) * (share if keys.ranks > 1 else 1.0))
        wide = min(columns // 2, high * 9 // 4 + 2)
        apart = max(wide // 2, round(wide * 0.7 / keys.cover))
        for n, place in enumerate(jittered(columns, apart, hash_words(job.seed, rank), 0.6)):
            seed = hash_words(job.seed, "heap", rank, n)
            small = pick_one(seed, 4, "small")
            tops = dome_crown(
                seed, max(8, wide - small * wide // 7), max(4, high - small * high // 6)
            )
            # Air at both sides, so that its two ends do not close a hole around the canvas.
            wide_own = (len(tops) + 2 * MARGIN) * CELL
            own = np.zeros((picture.shape[0], wide_own), dtype=picture.dtype)
            foot = base - pick_one(seed, 2, "up")
            mass(own, library, seed, tops, MARGIN, foot, _full(job, 0.8))
            shade_body(own, foot * CELL, round(32 * keys.shade), keys.grain)
            _round_base(own, foot * CELL)
            paste(picture, own, (int(place) - MARGIN) * CELL, 0)


def _round_base(ink: np.ndarray, base: int) -> None:
    """Round in place the lower corners of a cloud that stands alone, its base above line `base`."""
    for up, inset in enumerate(BASE_CURVE):
        y = base - 1 - up
        if not 0 <= y < len(ink):
            continue
        line = np.flatnonzero(ink[y])
        if len(line):
            ink[y, : line[0] + inset] = 0
            ink[y, max(0, line[-1] + 1 - inset) :] = 0


def _crown(job: Job, columns: int, low: float, high: float, cells: int) -> np.ndarray:
    """Heights (columns,) in cells of a closed ring of cloud, between `low` and `high`."""
    line = profile(columns, hash_words(job.seed, "crown"), cells, octaves=3, persistence=0.6)
    least, most = float(line.min()), float(line.max())
    share = (line.astype(np.float64) - least) / max(most - least, 1e-6)
    return np.maximum(2, np.floor(low + share * (high - low) + 0.5)).astype(np.int64)


def _bank(job: Job, keys: Keys, picture: np.ndarray, steps: int) -> None:
    """A closed sea of cloud whose crown lies within `size` pixels of the layer's top."""
    rows, columns = picture.shape[0] // CELL, picture.shape[1] // CELL
    swell = min(rows - 2, keys.size / CELL)
    tops = _crown(job, columns, max(2, rows - swell), rows, max(2, columns // 12))
    library = _library(job, keys, steps)
    mass(
        picture,
        library,
        hash_words(job.seed, "bank"),
        tops,
        0,
        rows,
        0.55,
        ring=True,
    )
    shade_body(picture, rows * CELL, round(40 * keys.shade), keys.grain)
    for rank in range(keys.heads):
        _heads(job, keys, picture, library, rank, swell)
    if keys.closed:
        # Mist above, where the farther sea ends; shade below, so that the crown stands out.
        light = max(DEEPEST, steps - 2)
        fade = gradient(round(swell * CELL), job.width, light, 0, keys.grain, 0.3)
        fill = np.full(picture.shape, DEEPEST, dtype=picture.dtype)
        fill[: len(fade)] = light - fade[: len(fill)]
        np.copyto(picture, fill, where=picture == 0)


def _heads(
    job: Job, keys: Keys, picture: np.ndarray, library: Library, rank: int, swell: float
) -> None:
    """Single heads before a bank, each with its own shade below it; a nearer rank lies lower."""
    rows, columns = picture.shape[0] // CELL, picture.shape[1] // CELL
    high = max(4, round((rows - swell / 2) * (1.0 - 0.8 * (rank + 1) / (keys.heads + 1))))
    wide = min(columns // 2, 2 * high + 6)
    places = jittered(columns, round(wide * 1.1), hash_words(job.seed, "rank", rank), 0.6)
    for n, place in enumerate(places.tolist()):
        seed = hash_words(job.seed, "dome", rank, n)
        small = pick_one(seed, 3, "small")
        tops = dome_crown(seed, wide - small * wide // 6, high - small * high // 6)
        own = np.zeros((picture.shape[0], len(tops) * CELL), dtype=picture.dtype)
        mass(own, library, seed, tops, 0, rows, _full(job, 0.9))
        shade_body(own, rows * CELL, round(40 * keys.shade), keys.grain)
        paste(picture, own, int(place) * CELL, 0)


def _storm(job: Job, keys: Keys, picture: np.ndarray, steps: int) -> None:
    """Towers over a dark base, with rags and shafts of rain below it."""
    rows, columns = picture.shape[0] // CELL, picture.shape[1] // CELL
    base = max(3, rows - round(rows * 0.45 * keys.rain))
    draw_rain(picture, base, max(0, rows - base), job.seed, job.light[0] > 0, BODY)
    tops = _crown(job, columns, max(2, base - keys.size / CELL), base, max(2, columns // 16))
    own = np.zeros_like(picture)
    crown, inner = _library(job, keys, steps), _library(job, keys, steps, 0.5)
    mass(
        own,
        crown,
        hash_words(job.seed, "storm"),
        tops,
        0,
        base,
        _full(job, 0.25 + 0.5 * keys.cover),
        inner,
        ring=True,
    )
    shade_body(own, base * CELL, round(40 * keys.shade), keys.grain)
    np.copyto(picture, own, where=own > 0)
    hang_rags(picture, base, job.seed, DEEPEST)


def _streaked(job: Job, keys: Keys, picture: np.ndarray, steps: int) -> None:
    shading = _shading(job, keys, steps)
    seed = hash_words(job.seed, "streaks")
    draw_streaks(picture, seed, shading, keys.cover, keys.ranks, _variants(job))


_KINDS: dict[str, Callable[[Job, Keys, np.ndarray, int], None]] = {
    "heaped": _heaped,
    "streaked": _streaked,
    "bank": _bank,
    "storm": _storm,
}

PAINTER = Painter(
    name="clouds",
    about="Clouds in heaps, streaks, a sea to the last line, or a storm's wall.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.7,
)
