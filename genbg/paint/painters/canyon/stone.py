"""Rock in light and shade: tones by face, bed and joint, mixed toward the dust with distance."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.exact import fall, smooth
from genbg.paint.craft.fields import warped
from genbg.paint.craft.rock import NOTHING, TALUS, WALL, Rock, View, march, rock_shade
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.canyon.keys import Keys
from genbg.paint.painters.canyon.plans import Plan, Range

SUN = (0.88, 0.47, 0.05)
"""Light: from the side, from above, a little from behind; a vector of length 1."""
FRONTAL = (0.86, 0.45, -0.24)
"""The same a little from before, so that prows show us a lit flank and a front in half light."""
DUST_LIT, DUST_SHADE = 5.1, 6.3
"""Tones of thick dust in the ramps `lit` (7 inks) and `shade` (8 inks)."""
LIT_FROM = 0.16
"""Cosine from which a face counts as lit."""


@dataclass(frozen=True, eq=False)
class Raised:
    """A range as it is seen; depth: pixels that were marched."""

    range: Range
    rock: Rock
    seed: int


@dataclass(frozen=True, eq=False)
class Marks:
    """What is drawn on faces, all (N, W).

    tilt: how much a joint's face is turned to the side; lump: -1..1, unevenness of talus
    tint: of the bed; under, edge: the dark line under a hard bed, the light one on it, 0..1
    crack: bool; stain: 0..1, dark streaks that water left
    """

    tilt: np.ndarray
    lump: np.ndarray
    tint: np.ndarray
    under: np.ndarray
    edge: np.ndarray
    crack: np.ndarray
    stain: np.ndarray


def sunlight(sun: int) -> tuple[float, float, float]:
    """The light as (x, up, away)."""
    return sun * SUN[0], SUN[1], SUN[2]


def raise_rocks(job: Job, keys: Keys, plan: Plan) -> list[Raised]:
    """March all ranges of a plan."""
    found = []
    for number, one in enumerate(plan.ranges):
        seed = hash_words(job.seed, "rock", number)
        view = View(one.base - job.top, float(keys.horizon - job.top), job.lines)
        rock = march(seed, one.masses, view, job.width, 96, one.scale)
        found.append(Raised(one, rock, seed))
    return found


def lay_rock(picture: TonalPicture, job: Job, keys: Keys, raised: Raised) -> None:
    """Lay a range on the picture."""
    rock = raised.rock
    light = (-FRONTAL[0] if job.light[0] < 0 else FRONTAL[0], *FRONTAL[1:])
    right, up, away = rock.normal
    wall = rock.hit == WALL
    marks = _marks(rock, raised.seed, raised.range.scale, wall)
    side = right + np.where(wall, marks.tilt, 0.35 * marks.lump)
    long = np.sqrt(side * side + up * up + away * away) + 1e-6
    facing = (side * light[0] + up * light[1] + away * light[2]) / long
    dark = rock_shade(rock, light)
    lit = (facing > LIT_FROM) & ~dark & (rock.hit != NOTHING)
    rim, behind = _edges(rock, light[0])
    bright = _lit_tones(facing, marks, wall) + 0.8 * (rim & lit) - 0.7 * (behind & ~rim)
    toward = np.clip(side / long * np.sign(light[0]), -0.9, 0.9)
    dim = _shade_tones(rock, toward, up / long, marks, raised.range.scale) - 0.5 * behind
    _lay(picture, raised, keys, lit, bright, dim)


def _lit_tones(facing: np.ndarray, marks: Marks, wall: np.ndarray) -> np.ndarray:
    """Tones (N, W) of what is lit: by the face first, then by beds, stains and cracks."""
    tone = (
        1.05
        + 2.9 * np.clip(facing - LIT_FROM, 0.0, 1.0)
        + np.where(wall, 0.0, 0.3 + 0.6 * marks.lump)
    )
    tone = tone + 1.0 * marks.tint + 0.9 * marks.edge
    tone = np.maximum(tone, 0.75) - 0.9 * marks.under - 0.9 * marks.stain
    return np.maximum(tone, 0.5) - 1.2 * marks.crack


def _shade_tones(
    rock: Rock, toward: np.ndarray, up: np.ndarray, marks: Marks, scale: float
) -> np.ndarray:
    """Tones (N, W) of what is in shade: darker the more it is turned away, light from the sand.

    toward: how far a face looks to the light's side, -1..1
    """
    glow = 0.9 * fall(np.maximum(rock.y, 0) / (20.0 * scale))
    tone = 2.0 + 0.9 * np.clip(up, 0.0, 0.8) + 0.7 * np.clip(toward, -0.75, 0.6) + glow
    tone = tone + 0.45 * marks.tint - 0.5 * marks.under + 0.8 * marks.edge
    tone = tone - 0.7 * marks.crack - 0.35 * marks.stain + 0.3 * marks.lump * (rock.hit == TALUS)
    low = fall(np.maximum(rock.y, 0) / (26.0 * scale))
    return np.where(rock.hollow, 0.6 + 2.0 * low, tone)


def _lay(
    picture: TonalPicture,
    raised: Raised,
    keys: Keys,
    lit: np.ndarray,
    tone_lit: np.ndarray,
    tone_dark: np.ndarray,
) -> None:
    """Both families of tones, mixed toward the dust."""
    rock, scale = raised.rock, raised.range.scale
    low = fall(np.maximum(rock.y, 0) / (14.0 * scale + 4.0))
    air = raised.range.air * (0.5 + keys.dust) + (0.2 + 0.36 * keys.dust) * low
    air = np.clip(air, 0.0, 0.95)
    soft = 0.35 * (rock.y < 22 * scale)
    last_lit, last_shade = picture.last("lit") / 6.0, picture.last("shade") / 7.0
    bright = (tone_lit + (DUST_LIT - tone_lit) * air) * last_lit
    dim = (tone_dark + (DUST_SHADE - tone_dark) * air) * last_shade
    picture.lay(lit, "lit", bright, soft)
    picture.lay((rock.hit != NOTHING) & ~lit, "shade", dim, soft)


class _Grain:
    """Noise on the face of a rock that wraps, asked where there is rock."""

    def __init__(self, rock: Rock, seed: int):
        self.shape, self.seed = rock.hit.shape, seed
        solid = rock.hit != NOTHING
        self.at = np.nonzero(solid | np.roll(solid, -1, axis=1))  # and what stands beside it
        self.x = self.at[1] + 0.8 * rock.z[self.at] + 37.0 * rock.which[self.at]
        self.y = rock.y[self.at]

    def noise(self, name: str, wide: float, tall: float, octaves: int = 2) -> np.ndarray:
        """(N, W), cells `wide` by `tall` pixels."""
        width = self.shape[1]
        cells = max(2, round(width / wide))
        x = self.x % width * (cells / width)
        found = np.zeros(self.shape)
        found[self.at] = warped(x, self.y / tall, hash_words(self.seed, name), cells, octaves)
        return found


def _marks(rock: Rock, seed: int, scale: float, wall: np.ndarray) -> Marks:
    """Joints, beds, cracks and stains: few, uneven, lost and found."""
    grain, size = _Grain(rock, seed), 0.35 + 0.65 * scale
    joint = grain.noise("joint", 17.0 * size, 46.0 * size)
    where = grain.noise("where", 44.0 * size, 40.0 * size, 1)
    tilt = JOINT * np.sign(joint) * smooth(np.abs(joint), 0.04, 0.2) * smooth(where, -0.1, 0.15)
    lump = 1.4 * grain.noise("lump", 9.0 * size, 5.0 * size)
    bed = np.floor(rock.bed).astype(np.int64)
    lost = smooth(grain.noise("lost", 34.0 * size, 30.0 * size), -0.16, 0.2)
    tint = np.where(wall, rock.beds.tint[bed] * (0.4 + 0.6 * lost), 0.0)
    under = np.where(wall, rock.beds.under[bed], 0.0) * smooth(lost, 0.3, 0.6)
    edge = np.where(wall, rock.beds.edge[bed], 0.0) * smooth(lost, 0.2, 0.6)
    line = grain.noise("crack", 21.0 * size, 60.0 * size)
    turn = np.sign(line) != np.sign(np.roll(line, 1, axis=1))
    crack = wall & turn & (where < 0.12) & (lost > 0.25)
    streak = grain.noise("stain", 6.0 * size, 70.0 * size)
    stain = wall * smooth(streak, 0.12, 0.2) * smooth(where, 0.05, -0.15)
    return Marks(tilt, lump, tint, under, edge, crack, stain)


JOINT = 0.26
"""How far the face of a joint is turned aside."""


def _edges(rock: Rock, light_x: float) -> tuple[np.ndarray, np.ndarray]:
    """Lit rims before something farther, and pixels just behind a nearer edge."""
    far = np.where(rock.hit != NOTHING, rock.z, 400).astype(np.float64)
    toward = np.roll(far, 1 if light_x < 0 else -1, axis=1)
    above = np.concatenate([far[:1], far[:-1]])
    rim = (rock.hit != NOTHING) & ((toward - far > 5) | (above - far > 5))
    left, right = np.roll(far, 1, axis=1), np.roll(far, -1, axis=1)
    behind = (rock.hit != NOTHING) & ((far - left > 5) | (far - right > 5))
    return rim, behind
