"""What stands on near ground: rocks with banked feet, small firs, dry grass."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.boulders import Boulder, draw_boulder
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import between_points
from genbg.paint.craft.firs import draw_fir
from genbg.paint.craft.relief import wrapped
from genbg.paint.craft.scrub import LEAF, STEM, draw_bush
from genbg.paint.craft.terrain import cast, fir_shadow, lay_fir, put
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.drifts.field import Field, ground_line
from genbg.paint.painters.drifts.keys import Keys

ROOM = 1.1
"""Lines that a rock needs above its foot, as a share of its height."""
CLEAR_OF_ROCK = 24.0
"""Columns beside a rock's middle in which nothing grows."""


def set_things(picture: TonalPicture, job: Job, keys: Keys, field: Field) -> None:
    """Rocks and firs or bushes, the far ones first."""
    dice = Dice(job.seed, "things")
    rocks = _place_rocks(dice, job, keys)
    todo = rocks + _place_growth(dice, job, keys, [one[2] for one in rocks])
    for line, kind, x, size, tall in sorted(todo, key=lambda one: one[0]):
        y = ground_line(field, x, line)
        if y < 4 or y - field.top[int(x) % job.width] < 2:
            continue
        side = float(field.side[int(x) % job.width])
        if kind == "rock":
            fits = min(1.0, (y - 2.0) / (ROOM * tall))
            size, tall = size * fits, tall * fits
            set_rock(picture, dice, x, y, (size, tall), side, keys.cap)
        elif keys.growth == "scrub":
            set_bush(picture, dice, x, y, min(0.8 * size, float(y - 1)), side)
        else:
            size = min(size, float(y - 1))
            set_fir(picture, dice, x, y, size, side, 1.0 if keys.cap else 0.0)


Thing = tuple[float, str, float, float, float]
"""Line of its foot, what it is, its column, its width (a plant: its height), its height."""


def _place_rocks(dice: Dice, job: Job, keys: Keys) -> list[Thing]:
    """Heaps of rocks: a great one, others that lean on it, and a few that rolled off."""
    found: list[Thing] = []
    groups = round(4 * keys.rocks * job.width / 512)
    for number in range(groups):
        x = (number + 0.15 + 0.7 * dice.unit()) * job.width / groups
        big = (0.65 + keys.stone) * dice.choice((0.55, 0.9, 1.3))
        line = job.lines * dice.between(0.55, 0.75) + 0.3 * 36.0 * big
        wide = 36.0 * big
        found.append((line, "rock", x, wide, wide * dice.between(0.6, 0.85)))
        for _ in range(dice.whole(1, 2)):
            part = wide * dice.between(0.4, 0.7)
            off = dice.choice((-1, 1)) * 0.5 * (wide + part * dice.between(0.2, 0.9))
            found.append((line + dice.between(-3, 4), "rock", x + off, part, part * 0.65))
        for _ in range(dice.whole(1, 3)):
            part = dice.between(5, 11) * big
            off = dice.choice((-1, 1)) * (0.5 * wide + dice.between(4, 30))
            found.append((line + dice.between(-2, 9), "rock", x + off, part, part * 0.6))
    return found


def _place_growth(dice: Dice, job: Job, keys: Keys, rocks: list[float]) -> list[Thing]:
    """Firs clear of the rocks; bushes alone, and at the feet of rocks."""
    found: list[Thing] = []
    trees = round((12 if keys.growth == "scrub" else 7) * keys.trees * job.width / 512)
    for number in range(trees):
        x = (number + 0.1 + 0.8 * dice.unit()) * job.width / trees
        line = job.lines * dice.between(0.35, 0.95)
        size = dice.between(14, 26) * (0.6 + 0.8 * line / job.lines)
        clear = all(abs(float(wrapped(x, other, job.width))) > CLEAR_OF_ROCK for other in rocks)
        if clear or keys.growth == "scrub":
            found.append((line, "tree", x, size, 0.0))
    return found


def set_bush(picture: TonalPicture, dice: Dice, x: float, y: int, tall: float, side: float) -> None:
    """A thorn bush over its shadow."""
    lines, width = picture.tone.shape
    off = wrapped(np.arange(width)[None, :], x - side * tall * 0.7, width) / (0.9 * tall)
    down = (np.arange(lines)[:, None] - y - 1) / 2.2
    cast(picture, off * off + down * down < 1.0, 0.4 * picture.last("shade"))
    bush = draw_bush(dice, tall, side, dice.between(0.25, 0.6))
    left, top = int(x) - bush.x, y - bush.y
    leaf, stem = bush.material == LEAF, bush.material == STEM
    put(picture, stem, "rock", bush.tone * picture.last("rock"), left, top)
    put(picture, leaf, "leaf", bush.tone * picture.last("leaf"), left, top)


def set_fir(
    picture: TonalPicture, dice: Dice, x: float, y: int, tall: float, side: float, snow: float
) -> None:
    """A fir with its cast shadow."""
    shade = fir_shadow(picture.tone.shape, x, y, tall, side)
    cast(picture, shade, 0.6 * picture.last("shade"))
    fir = draw_fir(dice, tall, side, snow)
    lay_fir(picture, fir, x, y)


def set_rock(
    picture: TonalPicture,
    dice: Dice,
    x: float,
    y: int,
    size: tuple[float, float],
    side: float,
    cap: bool,
) -> None:
    """A boulder, its shadow, and ground banked against its foot; size: width and height."""
    (wide, tall), (lines, width) = size, picture.tone.shape
    column = (np.arange(width) - x + width / 2) % width - width / 2
    line = np.arange(lines)[:, None]
    share = np.clip((line - y + 0.25 * tall) / (0.5 * tall + 1), 0.0, 1.0)
    far = wide * (0.5 + 1.1 * abs(side) * (1 - share) * np.sqrt(share + 0.05))
    away = -column[None, :] * (1.0 if side > 0 else -1.0)
    shadow = (away > -0.5 * wide * (1 - share)) & (away < far) & (share > 0) & (share < 1)
    cast(picture, shadow, 0.5 * picture.last("shade"))
    rock = draw_boulder(dice, wide, tall)
    lit = _facing(rock.normal, side)
    left, top = int(x) - rock.x, y - rock.y + 2
    put(picture, rock.solid, "rock", _face_tones(rock, lit) * picture.last("rock"), left, top)
    if cap:
        _lay_cap(picture, dice, rock, lit, left, top)
    _bank(picture, dice, x, y, wide, side)


def _facing(normal: np.ndarray, side: float) -> np.ndarray:
    """Light on facets whose front would else all be dark: from the side, above, a little before."""
    long = float(np.sqrt(0.75 * 0.75 + 0.6 * 0.6 + 0.25 * 0.25))
    return (normal[..., 0] * side * 0.75 + normal[..., 1] * 0.6 + normal[..., 2] * 0.25) / long


def _face_tones(rock: Boulder, lit: np.ndarray) -> np.ndarray:
    """Tones (h, w), shares of the ramp: its darker part for shade, the rest for what is lit.

    Each chip keeps one tone; the edge between two lit ones catches the light.
    """
    up = rock.normal[..., 1]
    shade = 0.16 + 0.2 * np.clip(up + 0.2, 0.0, 1.0) + 0.12 * np.clip(lit + 0.5, 0.0, 0.5)
    bright = 0.46 + 0.6 * np.clip(lit, 0.0, 1.0)
    edge = (np.roll(rock.facet, 1, axis=1) != rock.facet) & (lit > GRAZED + 0.1)
    low = (len(rock.solid) - np.arange(len(rock.solid)))[:, None]
    foot = 0.14 * np.clip(1.0 - low / 7.0, 0.0, 1.0)
    return np.where(lit > GRAZED, bright + 0.12 * edge, shade) - foot


GRAZED = 0.12
"""Cosine of light from which a chip of rock counts as lit."""


def _lay_cap(
    picture: TonalPicture,
    dice: Dice,
    rock: Boulder,
    lit: np.ndarray,
    left: int,
    top: int,
) -> None:
    """Snow on all that faces up, thick at the top edge."""
    rows = np.arange(len(rock.solid))[:, None]
    first = np.where(rock.solid.any(axis=0), rock.solid.argmax(axis=0), len(rock.solid))[None, :]
    sway = np.array([dice.unit() for _ in range(rock.solid.shape[1] // 4 + 2)])
    thick = between_points(np.arange(rock.solid.shape[1]) / 4, np.arange(len(sway)), sway)
    deep = (0.8 + 0.09 * len(rock.solid) * thick)[None, :]
    cap = (rows >= first - 1) & (rows < first + deep) & (first < len(rock.solid))
    flat = rock.solid & (rock.normal[..., 1] > 0.72) & (rows < first + 1.4 * deep)
    cap = cap | flat
    last = picture.last("lit")
    bright = lit > 0.35
    put(picture, cap & bright, "lit", last - 0.9 * (rows > first + 1), left, top)
    put(picture, cap & ~bright, "lit", 0.35 * last - 0.5 * (rows > first + 1), left, top)
    under = np.roll(cap, 1, axis=0) & rock.solid & ~cap
    put(picture, under, "rock", 0.0, left, top)


def _bank(picture: TonalPicture, dice: Dice, x: float, y: int, wide: float, side: float) -> None:
    """Ground banked against the foot, lit on the light's side."""
    half = int(0.62 * wide)
    columns = np.arange(-half, half + 1)
    bump = np.array([dice.unit() for _ in range(len(columns) // 3 + 2)])
    bump = between_points(columns / 3 + half / 3, np.arange(len(bump)), bump)
    high = np.maximum(0, np.floor(0.4 + 2.6 * bump - 3.0 * (columns / wide) ** 2)).astype(int)
    rows = np.arange(6)[:, None]
    mask = rows >= 5 - high[None, :]
    lit = mask & (columns * side > -0.1 * wide)[None, :]
    put(picture, lit, "lit", 0.25 * picture.last("lit"), int(x) - half, y - 4)
    put(picture, mask & ~lit, "shade", picture.last("shade") * 0.9, int(x) - half, y - 4)
