"""Painter of boats under way on open water, with their lamps, their wake and their dark reflection.

They stand beside the body's path, where they are seen against the light.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Job, Painter
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import fall
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.solids import (
    Eye,
    Kind,
    Light,
    Seen,
    Shadows,
    Stage,
    edge_tones,
    lighten,
    look,
    tones,
)
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.families.boats import BOATS
from genbg.paint.painters.boats.build import STUFF, Pitched, lamp_place, lamp_post, reefed
from genbg.paint.painters.boats.keys import RAMPS, Keys

EYE_HEIGHT = 40.0
"""Over the water, in pixels at the boats' depth."""
FOCAL = 400.0
THROUGH = 2.0
"""Least tone of canvas that light shines through."""
SCREEN, MARGIN = 320, 40
"""Columns of the first screen, and how far from its sides the first boat keeps, if it can."""
CLEAR, NEAREST = 36, 36.0
"""Columns to each side that the first boat likes free; how near the path it goes to have them."""
DEPTH = 400.0
"""Where boats are, so that one unit is one pixel."""


@dataclass(frozen=True)
class Berth:
    """Where a boat is: column and row of its waterline, its length, and which way its bow looks."""

    x: float
    row: float
    length: float
    way: float
    pitch: float


def paint(keys: Keys, job: Job) -> Painting:
    """Boats; the rest is see-through."""
    picture = TonalPicture(job, RAMPS)
    for number in range(keys.count):
        dice = Dice(job.seed, "boat", number)
        berth = _berth(keys, job, dice, number)
        _under(picture, job, berth, dice)
        lamp = _hull(keys, picture, job, berth, dice)
        _bow_wave(keys, picture, job, berth, dice)
        if keys.lamp:
            _lamp(picture, job, berth, lamp, keys.cut > 0 and berth.length >= LARGE)
    return picture.painting(tidy=True)


def _berth(keys: Keys, job: Job, dice: Dice, number: int) -> Berth:
    """The first boat lies beside the path; others are farther off and smaller."""
    light = job.body.x if job.body is not None else (0.5 + 0.5 * job.light[0]) * job.width
    side = dice.choice((-1.0, 1.0))
    off = dice.between(38, 60) if number == 0 else dice.between(80, 200)
    if number == 0:
        spots = (side * off, -side * off, side * NEAREST, -side * NEAREST)
        best = min(spots, key=lambda spot: _crowd(job, light + spot))
        side, off = (1.0 if best > 0 else -1.0), abs(best)
    x = light + side * off if keys.place < 0 else keys.place * job.width + number * side * off
    shrink = 1.0 if number == 0 else dice.between(0.45, 0.75)
    row = keys.foot * job.lines - 10.0 * (1.0 - shrink)
    way = -side if dice.chance(0.7) else side
    return Berth(x % job.width, row, keys.size * shrink, way, keys.pitch * dice.between(0.7, 1.3))


def _crowd(job: Job, x: float) -> float:
    """What stands against a boat at a column: things that it sees there, the screen's side."""
    columns = np.arange(int(x) - CLEAR, int(x) + CLEAR) % job.width
    seen = sum(int((one.painting.ink[:, columns] > 0).sum()) for one in job.seen.values())
    return seen + job.lines * job.width * float(not MARGIN <= x <= SCREEN - MARGIN)


def _hull(
    keys: Keys, picture: TonalPicture, job: Job, berth: Berth, dice: Dice
) -> tuple[float, float]:
    """The boat itself; returns column and row of its lamp."""
    stage = Stage()
    turns = dice.between(0.03, 0.09) * dice.choice((-1.0, 1.0)) + (0.0 if berth.way > 0 else 0.5)
    eye = Eye(berth.x, job.top + berth.row - EYE_HEIGHT, EYE_HEIGHT, FOCAL)
    frame = Pitched(0.0, -0.06 * berth.length, DEPTH, turns, berth.pitch)
    if keys.kind == "storm":
        reefed(stage, dice, frame, berth.length, STUFF)
    else:
        BOATS[keys.kind](stage, dice, frame, berth.length, STUFF)
        if keys.lamp:
            lamp_post(stage, frame, berth.length, STUFF)
    seen = look(stage, eye, (job.top, job.bottom), job.width)
    column = job.body.x if job.body is not None else berth.x - 100.0 * job.light[0]
    light = Light(0.8, 0.42, -0.3, column, job.width / 2)
    lit = lighten(Shadows(stage, light), seen, cast=False)
    tone = edge_tones(seen, tones(seen, lit, dice.seed, 0.0, 0.6), lit, dice.seed)
    toward = 1.0 if (column - berth.x + job.width / 2) % job.width > job.width / 2 else -1.0
    through = 3.2 + 2.4 * toward * _off(job, berth.x) / berth.length
    cloth = seen.kind == Kind.CLOTH
    if keys.cut > 0:
        near = _near_lamp(job, berth, _seen_lamp(seen, eye, lamp_place(frame, berth.length)))
        near *= float(keys.lamp)
        through = through + keys.cut * _canvas(cloth, toward) + near
        tone = np.clip(_planks(seen, tone) + np.floor(near), 0.0, 5.0)
    least = THROUGH if keys.cut <= 0 else 0.0
    tone = np.where(cloth, np.clip(np.floor(through), least, 5.0), tone)
    has = seen.has & _above(job, berth, dice)
    picture.material[has] = seen.material[has]
    picture.tone[has] = np.where(seen.kind == Kind.LAMP, 1.0, tone)[has]
    picture.guard |= has
    return _seen_lamp(seen, eye, lamp_place(frame, berth.length))


SEAM = 8
"""Columns from seam to seam of a sail."""


def _canvas(cloth: np.ndarray, toward: float) -> np.ndarray:
    """Tones (N, W) by which a sail is lighter or darker for its belly and its seams.

    cloth: (N, W) bool; toward: 1 where the light stands right of the boat, -1 left
    """
    line, column = np.nonzero(cloth)
    change = np.zeros(cloth.shape)
    if not len(line):
        return change
    # Columns are counted from the middle of the largest gap, so that a sail across the wrap is one.
    width = cloth.shape[1]
    used = np.flatnonzero(cloth.any(axis=0))
    gaps = np.diff(np.append(used, used[0] + width))
    start = int(used[(int(gaps.argmax()) + 1) % len(used)])
    along = (column - start) % width
    first, last = (np.full(len(cloth), edge) for edge in (width, 0))
    np.minimum.at(first, line, along)
    np.maximum.at(last, line, along)
    share = (along - first[line] + 0.5) / (last[line] - first[line] + 1.0)
    lit = share if toward > 0 else 1.0 - share
    low = (line - line.min()) / max(1, line.max() - line.min())
    belly = 2.6 * lit - 1.5 + 0.5 * low
    seam = (along + line // 4) % SEAM == 0
    change[line, column] = belly - 0.9 * (seam & (low > 0.12))
    return change


PLANK, PLANK_TOP = 3.0, 0.8
"""Units from seam to seam of a hull's planks, and how much of each lies under the one above."""


def _planks(seen: Seen, tone: np.ndarray) -> np.ndarray:
    """Tones with the planks of hulls told: a dark line under the edge of each."""
    board = seen.has & (seen.kind == Kind.PLAIN) & (seen.height > 2 * PLANK)
    under = board & (seen.v % PLANK < PLANK_TOP)
    return np.where(under, np.maximum(tone - 1.0, np.where(tone >= 3, 3.0, 0.0)), tone)


POOL = 0.3
"""How far a boat's lamp lights it, as a share of its length."""


def _near_lamp(job: Job, berth: Berth, lamp: tuple[float, float]) -> np.ndarray:
    """Tones (N, W) that a lamp adds to what is near it."""
    across, down = _off(job, lamp[0]), np.arange(job.lines)[:, None] + 0.5 - lamp[1]
    reach = POOL * berth.length
    return 3.4 * np.clip(1.0 - np.sqrt(across * across + down * down) / reach, 0.0, 1.0)


def _seen_lamp(seen: Seen, eye: Eye, place: tuple[float, float, float]) -> tuple[float, float]:
    x, y = eye.place(place)
    return x, y - seen.top


def _above(job: Job, berth: Berth, dice: Dice) -> np.ndarray:
    """Pixels (N, W) bool over the uneven waterline."""
    seed = hash_words(dice.seed, "line")
    ripple = fractal(job.width, 1, seed, job.width // 10, octaves=2)[0].astype(np.float64)
    return np.arange(job.lines)[:, None] < berth.row + 1.0 + 3.0 * ripple[None, :]


def _off(job: Job, x: float) -> np.ndarray:
    return (np.arange(job.width)[None, :] + 0.5 - x + job.width / 2) % job.width - job.width / 2


def _dashes(job: Job, dice: Dice) -> np.ndarray:
    """Flat dashes of water (N, W), about -1 .. 1."""
    seed = hash_words(dice.seed, "dash")
    field = fractal(job.width, job.lines, seed, job.width // 12, 1 / 1.8, octaves=2, top=job.top)
    return 1.6 * field.astype(np.float64)


def _under(picture: TonalPicture, job: Job, berth: Berth, dice: Dice) -> None:
    """The dark reflection: broken dashes that thin out toward us."""
    down = np.arange(job.lines)[:, None] - berth.row
    reach = max(1.0, min(0.62 * berth.length, job.lines - berth.row))
    wide = 0.46 * berth.length * (1.0 - 0.4 * down / reach)
    where = (down >= -1) & (down < reach) & (np.abs(_off(job, berth.x)) < wide)
    shown = where & (_dashes(job, dice) > -0.5 + 1.3 * down / reach)
    picture.lay(shown, "hull", np.where(down < 0.3 * reach, 0.0, 1.0))


def _bow_wave(keys: Keys, picture: TonalPicture, job: Job, berth: Berth, dice: Dice) -> None:
    """Foam at the bow and a wake behind."""
    if keys.wake <= 0:
        return
    across, down = _off(job, berth.x) * berth.way, np.arange(job.lines)[:, None] - berth.row
    long, dash = berth.length, _dashes(job, dice)
    bow = (across - 0.46 * long) / (0.2 * long)
    wake = (across + 0.75 * long) / (0.5 * long)
    thick = fall(bow * bow + down * down / 5.0) + 0.8 * fall(
        wake * wake + (down - 2) * (down - 2) / 3.0
    )
    thick = keys.wake * thick * (1.0 + 0.8 * dash)
    shown = thick > 0.42
    picture.lay(shown, "foam", np.where(thick > 0.75, 2.0, np.where(thick > 0.58, 1.0, 0.0)))


GLOW = ((0, 0, 2), (0, 1, 2), (-1, 0, 1), (1, 0, 1), (-1, 1, 1), (1, 1, 1), (0, -1, 1), (0, 2, 1))
"""Pixels of a lamp: right and down of its place, and their ink."""
HAZE = ((-2, 0), (2, 0), (-2, 1), (2, 1), (-1, -1), (1, -1), (-1, 2), (1, 2), (0, 3), (0, -2))
"""Pixels of its glow round that."""


LARGE = 60.0
"""Length from which a boat's lamp is seen to have a cap, glass and a foot."""
LANTERN = (
    "...00...",
    "..0110..",
    ".011110.",
    "01122110",
    "01222210",
    "01222210",
    "01122110",
    ".011110.",
    "..0110..",
    "...00...",
)
"""Inks of a large lamp, from its rim in; its middle is the boat's place for it."""


def _lantern() -> list[tuple[int, int, int]]:
    """Pixels right and down of a large lamp's place, and their ink."""
    return [
        (dx - 4, dy - 4, int(ink))
        for dy, row in enumerate(LANTERN)
        for dx, ink in enumerate(row)
        if ink != "."
    ]


def _lamp(
    picture: TonalPicture, job: Job, berth: Berth, place: tuple[float, float], large: bool
) -> None:
    """The lamp, its glow, and its light on the water below."""
    x, y = int(place[0]), int(place[1])
    spots = _lantern() if large else [*((dx, dy, 0) for dx, dy in HAZE), *GLOW]
    for dx, dy, ink in spots:
        if 0 <= y + dy < job.lines:
            spot = np.zeros((job.lines, job.width), dtype=bool)
            spot[y + dy, (x + dx) % job.width] = True
            picture.lay(spot, "lamp", float(ink))
            picture.guard |= spot
    down = np.arange(job.lines)[:, None] - berth.row - 2.0
    dash = _dashes(job, Dice(job.seed, "lamp"))
    where = (down > 0) & (np.abs(_off(job, x)) < 2.0 + 0.16 * down) & (dash > -0.15 + 0.03 * down)
    picture.lay(where, "lamp", np.where(down < 5, 1.0, 0.0))
    picture.guard |= where


PAINTER = Painter(
    name="boats",
    about="Boats under way on open water, with their lamps, wakes and reflections.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.2,
)
