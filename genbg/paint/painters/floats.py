"""Painter of paper lanterns set free: a stream of them in the air, others on the water.

Those in the air rise from one place of the town and are blown to one side; far ones are sparks,
near ones show their paper, lit from below. Those on the water lie on a calm surface in perspective,
each with its light beneath it, broken into dashes.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.tonal import TonalPicture


@dataclass(frozen=True)
class Keys:
    """Keys of the floats painter."""

    air: int = key(24, "int", "Lanterns in the air.", low=0, high=80)
    water: int = key(16, "int", "Lanterns on the water.", low=0, high=60)
    size: float = key(13.0, "float", "Height of the largest.", low=3, high=24, unit="pixels")
    from_line: int = key(
        96, "int", "Where the stream in the air begins.", low=0, high=223, unit="screen line"
    )
    shore: int = key(
        128, "int", "Line of the far end of the water.", low=0, high=223, unit="screen line"
    )


RAMPS = (
    Ramp(
        "paper",
        "Lit paper, from its shaded edge to the flame.",
        ("#6d2449", "#b64924", "#ff9224", "#ffdb6d", "#ffffdb"),
        5,
        lit=True,
        chosen=True,
    ),
    Ramp(
        "glint",
        "Its light on the water, from thin to thick.",
        ("#6d2449", "#b64949", "#ff9249", "#ffdb92"),
        4,
        lit=True,
        chosen=True,
    ),
    Ramp("raft", "What carries it.", ("#000024", "#490049"), 2, hazed=False, chosen=True),
)

SPARK = 4.0
"""Height in pixels under which a lantern is a spark without form."""
BODIES = ((0.78, 0.12), (0.62, 0.3), (0.9, -0.1))
"""Shapes of lanterns in the air: width as a share of the height, and how much narrower the mouth
is than the crown."""
LEAN = 0.9
"""Columns that the stream is blown aside for each line that it rises, at most."""
BESIDE = (60.0, 130.0)
"""Columns from the moon at which the stream begins."""
SMALLEST = 0.2
"""Height of the smallest lantern, a share of the largest."""


def paint(keys: Keys, job: Job) -> Painting:
    """The lanterns and their light; all else is see-through."""
    dice = Dice(job.seed, "floats")
    picture = TonalPicture(job, RAMPS)
    thin = 1.0 - 0.5 * job.thrift
    _rise(picture, keys, job, dice.part("air"), round(keys.air * thin))
    _drift(picture, keys, job, dice.part("water"), round(keys.water * thin))
    picture.guard = picture.holds("paper")
    return picture.painting()


def _rise(picture: TonalPicture, keys: Keys, job: Job, dice: Dice, count: int) -> None:
    """A stream of lanterns: dense and small where it begins, wide and large overhead."""
    body = job.body.x if job.body else job.width * 0.25
    start = body + dice.part("side").choice((-1.0, 1.0)) * dice.part("start").between(*BESIDE)
    lean = dice.part("lean").choice((-LEAN, LEAN, 0.5 * LEAN, -0.5 * LEAN))
    top, deep = job.top + 0.5 * keys.size, float(keys.from_line)
    for n in range(count):
        one = dice.part(n)
        gone = (n + one.unit()) / count
        y = deep + (top - deep) * gone
        wide = 14.0 + 130.0 * gone
        x = start + lean * (deep - y) * (0.4 + gone) + one.between(-1, 1) * wide
        near = SMALLEST + (1.0 - SMALLEST) * gone * one.between(0.35, 1.0)
        _hang(picture, (x, y - job.top), near * keys.size, one)


def _hang(picture: TonalPicture, at: tuple[float, float], tall: float, dice: Dice) -> None:
    """One lantern in the air: a spark, or paper over a flame."""
    x, y, columns, rows = _box(picture, at, tall)
    if tall < SPARK:
        small = (np.abs(x) < 1.0) & (np.abs(y) < tall / 2)
        _lay(picture, rows, columns, small, "paper", np.where(y > 0, 3.0, 2.0))
        return
    share, taper = dice.choice(BODIES)
    down = (y + tall / 2) / tall
    half = 0.5 * tall * share * (1.0 - taper * (2 * down - 1))
    crown = np.clip(1.0 - down / 0.3, 0.0, 1.0)
    half = half * np.sqrt(np.maximum(1.0 - crown * crown, 0.0))
    inside = (down > 0) & (down < 1) & (np.abs(x) < half)
    off = np.abs(x) / np.maximum(half, 0.5)
    tone = 0.6 + 3.9 * down - 1.6 * off * off
    _lay(picture, rows, columns, inside, "paper", np.clip(tone, 0.0, 4.0))
    mouth = inside & (down > 1 - 1.2 / tall)
    _lay(picture, rows, columns, mouth, "paper", np.where(off < 0.5, 4.0, 0.0))


def _drift(picture: TonalPicture, keys: Keys, job: Job, dice: Dice, count: int) -> None:
    """Lanterns on the water, far ones first; room between them grows toward us."""
    places = []
    for n in range(count):
        one = dice.part(n)
        near = one.unit() * one.unit()
        row = keys.shore - job.top + 2 + near * (job.bottom - keys.shore - 8)
        places.append((row, (n + one.between(0.1, 0.9)) / count * job.width, near, one))
    for row, x, near, one in sorted(places, key=lambda place: place[:2]):
        _set_down(picture, (x, row), (0.25 + 0.75 * near) * keys.size * 0.62, one)


def _set_down(picture: TonalPicture, at: tuple[float, float], tall: float, dice: Dice) -> None:
    """One lantern on the water: its raft, its paper, its light below it in dashes."""
    x, y, columns, rows = _box(picture, at, max(4.0 * tall, 9.0))
    half = max(1.0, 0.36 * tall)
    paper = (np.abs(x) < half) & (y <= 0) & (y > -tall)
    off = np.abs(x) / half
    tone = 4.0 + 2.2 * y / tall - off
    below = np.floor(y) - 1.0
    long = 2.6 * tall + 2.0
    gaps = np.array([dice.unit() for _ in range(len(rows))])[:, None]
    bent = np.array([dice.between(-1.0, 1.0) for _ in range(len(rows))])[:, None]
    share = below / long
    wide = half * (1.2 - 0.7 * share) * (0.5 + gaps) + 0.3
    dash = (below > 0) & (share < 1) & (gaps > 0.75 * share - 0.1)
    dash = dash & (np.abs(x - bent * half * share) < wide)
    round_x, round_y = x / (2.6 * half + 3.0), (y - 0.5) / (0.34 * tall + 1.2)
    shine = (round_x * round_x + round_y * round_y < 1.3 - 0.9 * gaps) & (y > -tall)
    _lay(picture, rows, columns, shine, "glint", np.zeros_like(x + y))
    _lay(picture, rows, columns, dash, "glint", np.clip(3.4 - 3.6 * share - 0.8 * off, 0, 3))
    _lay(picture, rows, columns, paper, "paper", np.clip(tone, 1.0, 4.0))
    if tall >= SPARK:
        raft = (np.abs(x) < half + 1.5) & (y > 0) & (y <= 1)
        _lay(picture, rows, columns, raft, "raft", np.where(off < 1, 1.0, 0.0))


def _box(
    picture: TonalPicture, at: tuple[float, float], reach: float
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Places of a box about a point: x (1, C) and y (R, 1) from it, columns (C,), rows (R,)."""
    lines, width = picture.tone.shape
    most = int(reach) + 2
    left, above = int(np.floor(at[0])), int(np.floor(at[1]))
    columns = np.arange(left - most, left + most + 1)
    rows = np.arange(max(0, above - most), min(lines, above + most + 1))
    x, y = columns + 0.5 - (left + 0.5), rows + 0.5 - (above + 0.5)
    return x[None, :], y[:, None], columns % width, rows


def _lay(
    picture: TonalPicture,
    rows: np.ndarray,
    columns: np.ndarray,
    where: np.ndarray,
    ramp: str,
    tone: np.ndarray,
) -> None:
    """Lay part of a box."""
    down, across = np.nonzero(where & np.ones((len(rows), len(columns)), dtype=bool))
    there = rows[down], columns[across]
    picture.material[there] = picture.number(ramp)
    full = np.broadcast_to(tone, (len(rows), len(columns)))
    picture.tone[there] = full[down, across]


PAINTER = Painter(
    name="floats",
    about="Paper lanterns set free, in the air and on calm water.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
