"""Painter of calm water under a wood: it mirrors the layers that it sees, about each column's foot.

Near the far shore the mirror is sharp; toward us lenses grow, look higher up into the picture and
break it, and the water's own colour takes over, so that the play field stays quiet. Under the
scene's light a path of lenses shines; lamps trail their colour below them. Lily pads lie flat.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp, Seen
from genbg.paint.craft.air import away
from genbg.paint.craft.exact import blur, fall, sample, smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.lenses import PERIOD, ripples
from genbg.paint.craft.repeat import Repeat, repeat_texture
from genbg.paint.craft.scatter import hash_words, unit
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.parts.pads import Rafts, float_pads

WEIGHTS = {"air": 1.0, "sky": 1.0, "leaves": 0.42, "bark": 0.42, "blossom": 0.95, "stone": 0.5}
"""How light the light end of a seen ramp is in the water, 0..1."""
OTHER_WEIGHT = 0.7
RUN, JOLT = 2, 9.0
"""Lines of a flat run of water, and pixels by which runs are pushed along it."""
BROAD = 9
"""Pixels along a line over which water far from the bank smooths what it mirrors."""
LIT = "lamp"
"""Ramps of this name shine, and trail their own colour."""


@dataclass(frozen=True)
class Keys:
    """Keys of the pool painter."""

    mirror: float = key(0.9, "float", "How clearly the water mirrors.", low=0, high=1)
    path: float = key(0.7, "float", "How brightly the light's path shines.", low=0, high=1)
    sheen: float = key(
        0.0, "float", "How broadly the light lies on the water about its path.", low=0, high=1
    )
    ripple: float = key(1.0, "float", "How strongly ripples show.", low=0, high=1)
    pads: float = key(0.4, "float", "How many lily pads lie on it.", low=0, high=1)


RAMPS = (
    Ramp(
        "water",
        "Water, from its deepest to the light in it.",
        ("#002449", "#00246d", "#24496d", "#496d92", "#6d92b6", "#92dbb6", "#dbffb6"),
        7,
        hazed=False,
    ),
    Ramp("pads", "Lily pads.", ("#002449", "#004949", "#246d49", "#6db649"), 4, hazed=False),
    Ramp("lamp", "Lamps in the water.", ("#922400", "#db6d00", "#ffb649", "#ffffdb"), 4, lit=True),
)


@dataclass(frozen=True, eq=False)
class Mirror:
    """What the water sees, on screen lines 0..H-1.

    value: (H, W) light 0..1; lamp: (H, W) light of what shines, 0 where nothing does
    seen: (H, W) bool, what is painted; bank: (W,) line at which the water begins
    foot: (H, W) line below the lowest thing that stands above each pixel
    """

    value: np.ndarray
    lamp: np.ndarray
    seen: np.ndarray
    bank: np.ndarray
    foot: np.ndarray


def look_up(job: Job, least: int) -> Mirror:
    """The layers that the job sees, one in front of the other; water begins at `least` or below."""
    value = np.full((job.bottom, job.width), 0.5)
    lamp = np.zeros_like(value)
    seen = np.zeros(value.shape, dtype=bool)
    for other in job.seen.values():
        _add(other, value, lamp, seen)
    rows = np.arange(job.bottom)[:, None]
    solid = seen | (rows < least)
    bank = np.where(solid.all(axis=0), job.bottom, np.argmin(solid, axis=0)).astype(np.float64)
    foot = np.maximum.accumulate(np.where(solid, rows + 1, 0), axis=0)
    return Mirror(value, lamp, seen, bank, foot.astype(np.float64))


def _add(other: Seen, value: np.ndarray, lamp: np.ndarray, seen: np.ndarray) -> None:
    """Put one layer's light into the picture that is mirrored."""
    first = 1
    ink = other.painting.ink[: max(0, len(value) - other.top)]
    window = slice(other.top, other.top + len(ink))
    for use in other.painting.ramps:
        here = (ink >= first) & (ink < first + use.steps)
        share = (ink - float(first)) / max(1, use.steps - 1)
        light = share * WEIGHTS.get(use.name, OTHER_WEIGHT)
        value[window] = np.where(here, light, value[window])
        lamp[window] = np.where(here, (share + 0.2) * (use.name == LIT), lamp[window])
        first += use.steps
    seen[window] |= ink > 0


REPEATS = (Repeat("water", 4, 0.9),)
"""Water looks the same wherever it is as light."""
SHEEN_REPEATS = (Repeat("water", 2, 0.7, 0.5),)
"""Where light lies broad on it, its edges are curves, which show no cell."""


def paint(keys: Keys, job: Job) -> Painting:
    """Water over all lines of the layer that lie below what it mirrors."""
    picture = TonalPicture(job, RAMPS)
    mirror = look_up(job, job.top)
    y = np.arange(job.top, job.bottom)[:, None]
    shore = float(np.sort(mirror.bank)[job.width // 2])
    period = PERIOD if job.thrift < 0.5 else PERIOD // 2
    first = max(0, int(job.top - shore))
    rip = ripples(job.lines, job.width, hash_words(job.seed, "lens"), first, period)
    level = blur(mirror.bank[None, :], 14, 0)[0]
    deep = y - mirror.bank[None, :]
    far = smooth(deep, 2.0, 22.0)
    foot = mirror.bank[None, :] + (level - mirror.bank)[None, :] * far
    down = np.maximum(y - foot, 0.0)
    value = _seen_in(job, mirror, foot, down, rip)
    near = mirror.foot[job.top :]
    contact = (deep >= 0) & (y - near < 2.0) & (rip < 0.2)
    water = (deep >= 0) & ~mirror.seen[job.top :]
    tone = _tones(keys, job, value, rip, down)
    picture.lay(water, "water", np.where(contact, 0.0, tone))
    _shine(keys, job, picture, rip, down, water)
    _trail(job, picture, mirror, rip, foot)
    if keys.pads > 0:
        float_pads(job, picture, shore, y - near, _rafts(keys))
    repeats = SHEEN_REPEATS if keys.sheen > 0 else REPEATS
    return repeat_texture(picture.painting(), job.top, repeats)


def _seen_in(
    job: Job, mirror: Mirror, foot: np.ndarray, down: np.ndarray, rip: np.ndarray
) -> np.ndarray:
    """What each pixel of the water mirrors (N, W), 0..1: the wood about the bank, things before it
    about their own feet."""
    x = np.arange(job.width)[None, :] + 0.0 * down
    y = np.arange(job.top, job.bottom)[:, None]
    shift = np.where(rip > 0.06, 2.0 + 0.16 * down, 0.0) * smooth(down, 1.0, 14.0)
    sway = np.clip(rip, -0.5, 0.5) * smooth(down, 2.0, 20.0) * 5.0
    line = np.maximum(foot - 1.0 - down * 1.1 - shift, 0.0)
    band = np.floor(y / RUN).astype(np.int64)[:, 0]
    jolt = np.floor(JOLT * (2.0 * unit(hash_words(job.seed, "runs"), band) - 1.0) + 0.5)[:, None]
    ragged = x + sway + jolt * smooth(down, 10.0, 24.0)
    value = sample(blur(mirror.value, BROAD, 2), ragged, line)
    value = np.where(down < 16, sample(mirror.value, x, line), value)
    near = mirror.foot[job.top :]
    own = np.clip(near - 1.0 - (y - near), 0, len(mirror.seen) - 1).astype(np.intp)
    column = np.floor(x + 0.5 * sway).astype(np.intp) % job.width
    thing = mirror.seen[own, column] & (own >= mirror.bank[None, :]) & (y >= near)
    return np.where(thing, 0.8 * mirror.value[own, column], value)


def _tones(
    keys: Keys, job: Job, value: np.ndarray, rip: np.ndarray, down: np.ndarray
) -> np.ndarray:
    """Tones (N, W) of the water, from what it mirrors and from itself."""
    last = job.steps["water"] - 1
    own = 0.47 - 0.13 * smooth(down, 20.0, 70.0)
    part = keys.mirror * (1.0 - 0.72 * smooth(down, 22.0, 56.0))
    light = own + (value * (0.95 - 0.22 * smooth(down, 0.0, 60.0)) - own) * part
    light = light + 0.13 * keys.ripple * np.clip(rip + 0.1, -0.5, 0.45) * smooth(down, 3.0, 30.0)
    if keys.sheen > 0 and job.body is not None:
        light = light + keys.sheen * _sheen(job, rip, down)
    tone = np.floor(np.clip(light, 0.0, 1.0) * last + 0.5)
    return np.minimum(tone, last - 1.0 * (rip < 0.0))


SHEEN = 0.34
"""Light that the brightest sheen adds, 0..1."""


def _sheen(job: Job, rip: np.ndarray, down: np.ndarray) -> np.ndarray:
    """Light (N, W) that lies on the water about the body's column, broad and torn at its sides."""
    assert job.body is not None
    x = away(np.arange(job.width)[None, :], job.body.x, job.width)
    line = np.floor(np.arange(job.lines) / RUN).astype(np.int64)
    seed = hash_words(job.seed, "sheen")
    jolt = 20.0 * (unit(seed, line)[:, None] - 0.5)
    torn = fractal(job.width, job.lines, seed, 10, 1 / 9, 2) * 60.0
    half = job.body.radius * 0.9 + 0.3 * down
    u = (x + (jolt + torn) * smooth(down, 2.0, 14.0) + 14.0 * np.clip(rip, -0.5, 0.5)) / half
    lies = fall(u * u) * (0.75 + 1.2 * fractal(job.width, job.lines, seed + 1, 6, 1 / 14, 2))
    return SHEEN * lies * smooth(down, 3.0, 12.0) * (1.0 - smooth(down, 30.0, 62.0))


def _shine(
    keys: Keys, job: Job, picture: TonalPicture, rip: np.ndarray, down: np.ndarray,
    water: np.ndarray,
) -> None:  # fmt: skip
    """The path of the light: lenses below the body, more and wider ones toward us."""
    if job.body is None or keys.path <= 0:
        return
    x = away(np.arange(job.width)[None, :], job.body.x, job.width)
    half = job.body.radius * 0.5 + 0.35 * down
    strong = keys.path * fall((x / half) * (x / half)) * smooth(down, 3.0, 12.0)
    patch = fractal(job.width, job.lines, hash_words(job.seed, "patch"), 12, 1 / 7, 2)
    glint = water & (rip > 0.62 - 0.62 * strong - 0.25 * patch) & (strong > 0.12)
    last = job.steps["water"] - 1
    lift = np.where(strong > 0.5, 2.0, 1.0)
    picture.lay(glint, "water", np.minimum(picture.tone + lift, last))
    picture.guard |= glint & (strong > 0.4)


def _trail(
    job: Job, picture: TonalPicture, mirror: Mirror, rip: np.ndarray, foot: np.ndarray
) -> None:
    """Lamps in the water: their own colour, drawn out downward and broken by lenses."""
    last = job.steps["lamp"] - 1
    lines, columns = np.nonzero(mirror.lamp > 0)
    if not len(lines):
        return
    y = np.arange(job.top, job.bottom)[:, None] + 0.0
    x = np.arange(job.width)[None, :] + 0.0
    down = np.maximum(y - foot, 0.0)
    own = hash_words(job.seed, "trail")
    line = unit(own, np.arange(job.lines))[:, None]
    jolt = np.floor(unit(own, np.arange(job.lines), 1) * 5.0 - 2.0)[:, None]
    bend = 2.5 * np.clip(rip, -0.4, 0.4) + jolt * smooth(down, 2.0, 10.0)
    glow = sample(mirror.lamp, x + bend, foot - 1.0 - down * 0.9)
    whole = line > 0.05 + 0.016 * down
    shown = (glow > 0.3) & (y >= mirror.bank[None, :] + 1) & whole
    picture.lay(shown, "lamp", np.clip(np.floor(glow * last * 0.8), 0, last - 1))
    middle = float(columns[len(columns) // 2])
    off = np.abs(away(x + 4.0 * np.clip(rip, -0.4, 0.4), middle, job.width))
    path = (off < 1.5 + 0.10 * down * line) & (rip > -0.2) & (line > 0.3) & (down > 8)
    path &= down < 46
    picture.lay(path, "lamp", np.clip(np.floor(2.6 - down / 22.0 - off * 0.3), 0, last))
    picture.guard |= shown | path


def _rafts(keys: Keys) -> Rafts:
    """How pads lie on this water."""
    return Rafts(
        many=keys.pads * 12,
        few=3,
        near=7.0,
        far=38.0,
        size=2.2,
        grow=0.11,
        loose=5.5,
        flat=(0.30, 0.8),
    )


PAINTER = Painter(
    name="pool",
    about="Calm water that mirrors the layers it sees, with a path of light and lily pads.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
