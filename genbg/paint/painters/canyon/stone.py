"""Rock in light and shade: tones by face, bed and joint, mixed toward the dust with distance."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.exact import fall, smooth
from genbg.paint.craft.fields import warped
from genbg.paint.craft.rock import NOTHING, WALL, Rock, View, march, rock_shade
from genbg.paint.craft.scatter import hash_words
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.canyon.keys import Keys
from genbg.paint.painters.canyon.plans import Plan, Range
from genbg.records import record

SUN = (0.88, 0.47, 0.05)
"""Light: from the side, from above, a little from behind; a vector of length 1."""
FRONTAL = (0.86, 0.45, -0.22)
"""The same a little from before, so that prows show us a lit flank and a front in half light."""
DUST_LIT, DUST_SHADE = 5.1, 6.3
"""Tones of thick dust in the ramps `lit` (7 inks) and `shade` (8 inks)."""
LIT_FROM = 0.07
"""Cosine from which a face counts as lit."""


@record(frozen=True, eq=False)
class Raised:
    """A range as it is seen; depth: pixels that were marched."""

    range: Range
    rock: Rock
    seed: int


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
    rock, scale = raised.rock, raised.range.scale
    light = (-FRONTAL[0] if job.light[0] < 0 else FRONTAL[0], *FRONTAL[1:])
    right, up, away = rock.normal
    wall = rock.hit == WALL
    joint, lump = _joints(rock, raised.seed, scale)
    tilt = np.where(wall, 0.34 * np.sign(joint) * smooth(np.abs(joint), 0.06, 0.22), 0.2 * lump)
    fine_x, fine_y = right + tilt, up + np.where(wall, 0.2, 0.3) * lump
    long = np.sqrt(fine_x * fine_x + fine_y * fine_y + away * away) + 1e-6
    broad = right * light[0] + up * light[1] + away * light[2]
    fine = (fine_x * light[0] + fine_y * light[1] + away * light[2]) / long
    dark = rock_shade(rock, light)
    lit = (0.25 * fine + 0.75 * broad > LIT_FROM) & ~dark & (rock.hit != NOTHING)
    tint, under, edge = _bed_marks(rock, raised.seed, wall)
    crack = _cracks(joint, raised.seed, rock, wall)
    tone_lit = 4.9 * np.clip(0.5 * fine + 0.5 * broad, 0, 1) + 0.75 * tint + 0.7 * edge
    tone_lit = np.maximum(tone_lit, 0.75) - 0.9 * under - 1.1 * crack
    side = np.clip(0.35 * fine_x / long + 0.65 * right, -0.9, 0.9) * -np.sign(light[0])
    glow = 0.85 * fall(np.maximum(rock.y, 0) / (17.0 * scale))
    tone_dark = 2.05 + 1.05 * fine_y / long - 0.95 * np.clip(side, -0.35, 0.9) + glow
    tone_dark = tone_dark + 0.6 * tint - 0.45 * under + 0.5 * edge - 0.3 * crack + 0.15 * lump
    rim, behind = _edges(rock, light[0])
    tone_lit = tone_lit + 0.8 * (rim & lit) - 0.7 * (behind & ~rim)
    tone_dark = tone_dark - 0.6 * behind
    _lay(picture, raised, keys, lit, tone_lit, tone_dark)


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


def _grain(rock: Rock, seed: int, wide: float, tall: float, octaves: int = 2) -> np.ndarray:
    """Noise (N, W) on the rock's face, cells `wide` by `tall` pixels, that wraps."""
    width = rock.hit.shape[1]
    cells = max(2, round(width / wide))
    solid = rock.hit != NOTHING
    lines, columns = np.nonzero(solid | np.roll(solid, -1, axis=1))  # and what stands beside it
    x = (columns + 0.8 * rock.z[lines, columns]) % width * (cells / width)
    found = np.zeros(solid.shape)
    found[lines, columns] = warped(x, rock.y[lines, columns] / tall, seed, cells, octaves)
    return found


def _joints(rock: Rock, seed: int, scale: float) -> tuple[np.ndarray, np.ndarray]:
    """Tall cells whose sign tilts the wall, and lumps."""
    wide = 6.0 * scale + 2.0
    joint = _grain(rock, hash_words(seed, "joint"), wide, 3.2 * wide, 1)
    lump = 1.4 * _grain(rock, hash_words(seed, "lump"), 1.6 * wide, 0.9 * wide)
    return joint, lump


def _bed_marks(
    rock: Rock, seed: int, wall: np.ndarray
) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Tint of the beds, the dark line under hard ones, their light edge: lost and found."""
    bed = np.floor(rock.bed).astype(np.int64)
    patch = smooth(_grain(rock, hash_words(seed, "patch"), 40, 24), -0.2, 0.25)
    found = smooth(_grain(rock, hash_words(seed, "found"), 30, 34), -0.16, 0.14)
    tint = np.where(wall, rock.beds.tint[bed] * (0.35 + 0.75 * patch), -0.1)
    under = np.where(wall, rock.beds.under[bed], 0.0) * found
    edge = np.where(wall, rock.beds.edge[bed], 0.0) * found
    return tint, under, edge


def _cracks(joint: np.ndarray, seed: int, rock: Rock, wall: np.ndarray) -> np.ndarray:
    """Pixels (N, W) where one joint's face gives way to the next, in places."""
    turn = np.sign(joint) != np.sign(np.roll(joint, 1, axis=1))
    return wall & turn & (_grain(rock, hash_words(seed, "crack"), 30, 22) > 0.12)


def _edges(rock: Rock, light_x: float) -> tuple[np.ndarray, np.ndarray]:
    """Lit rims before something farther, and pixels just behind a nearer edge."""
    far = np.where(rock.hit != NOTHING, rock.z, 400).astype(np.float64)
    toward = np.roll(far, 1 if light_x < 0 else -1, axis=1)
    above = np.concatenate([far[:1], far[:-1]])
    rim = (rock.hit != NOTHING) & ((toward - far > 5) | (above - far > 5))
    left, right = np.roll(far, 1, axis=1), np.roll(far, -1, axis=1)
    behind = (rock.hit != NOTHING) & ((far - left > 5) | (far - right > 5))
    return rim, behind
