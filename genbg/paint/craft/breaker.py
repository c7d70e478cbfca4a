"""A great wave that breaks: light through its shoulder, a torn lip, foam that runs down and behind.

It is laid over a sea that already stands as high as the wave (`craft.swell.Roller`), so that the
swell's own crests and tones run on through it; here they only grow darker, greener or white.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.exact import smooth
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.swell import Roller, Swell
from genbg.paint.craft.tonal import TonalPicture

LEAN = 0.35
"""Columns that the streaks of a face lean a row, with the wind."""
SHADE = 0.1
"""Share of the water's ramp by which the foot of a face is darker."""
FALLEN = -0.12
"""Where the lip begins to reach down the face, in half lengths from the wave's middle: it has
fallen to the foot on the side on which the wave breaks."""
SPRAY = 0.4
"""Height of the spray over the lip, a share of the wave's height."""


@dataclass(frozen=True, eq=False)
class Breaker:
    """The draws of one breaking wave, all (N, W) float64.

    spill: how much the lip falls there, 0 .. 1; streak: along the fall, lace: in every way,
    both about -1 .. 1; lip: how far down the face the lip hangs, in shares of the face
    """

    spill: np.ndarray
    streak: np.ndarray
    lace: np.ndarray
    lip: np.ndarray


def lay_breaker(job: Job, picture: TonalPicture, sea: Swell, roller: Roller, seed: int) -> None:
    """The whole wave: face, shoulder, trail behind, streaks, lip and spray."""
    draws = _draws(job, sea, roller, seed)
    _face(picture, sea, draws)
    _trail(picture, sea, draws)
    _streaks(picture, sea, draws)
    crest = _lip(picture, sea, draws)
    _spray(picture, roller, draws, crest)


def _draws(job: Job, sea: Swell, roller: Roller, seed: int) -> Breaker:
    lines, width = job.lines, job.width
    rows, columns = np.arange(lines)[:, None], np.arange(width)[None, :]
    along = np.floor(columns + LEAN * rows).astype(np.int64) % width
    fine = fractal(width, lines, seed, width // 4, 1 / 15.0, octaves=2).astype(np.float64)
    lace = fractal(width, lines, seed + 1, width // 9, 1 / 3.0, octaves=3).astype(np.float64)
    tongues = profile(width, seed + 2, width // 12, octaves=3).astype(np.float64)[None, :]
    place = roller.turn * ((columns - roller.x + width / 2) % width - width / 2) / roller.half
    torn = place + 0.12 * tongues
    spill = smooth(torn + 0.2 * lace, -1.0, -0.72) * smooth(torn, 0.5, 0.1)
    fallen = smooth(torn, FALLEN, -0.62)
    lip = spill * np.clip(0.1 + 0.3 * tongues + 0.2 * lace, 0.03, 0.3)
    low = 0.5 + 0.5 * tongues + 0.3 * lace
    lip = lip + fallen * smooth(sea.rise.max(axis=0), 0.25, 0.8)[None, :] * low
    return Breaker(spill + np.zeros((lines, width)), 1.5 * fine[rows, along], 1.5 * lace, lip)


def _face(picture: TonalPicture, sea: Swell, draws: Breaker) -> None:
    """The face darkens toward its foot; its shoulder, thin as it is, lets the light through."""
    face = sea.wet & (sea.down > 0) & (sea.rise > 0.02)
    water = picture.holds("water")
    dark = SHADE * smooth(sea.down, 0.1, 0.45) * smooth(sea.down, 1.0, 0.6) * smooth(sea.rise, 0, 1)
    lines = 0.05 * draws.streak * smooth(sea.rise, 0.05, 0.5)
    picture.shift(face & water, picture.last("water") * (lines - dark))
    picture.tone[face & water] = np.maximum(picture.tone[face & water], 0.0)
    thin = smooth(sea.down, 0.85, 0.05) * smooth(sea.rise, 0.1, 0.6)
    light = thin * (0.85 + 0.3 * draws.streak) + 0.1 * sea.height
    shown = face & water & (light > 0.26)
    picture.lay_share(shown, "glass", smooth(light, 0.2, 0.95))


def _trail(picture: TonalPicture, sea: Swell, draws: Breaker) -> None:
    """Lace that the wave has left on its back, and on flat water before its foot."""
    back = smooth(sea.down, -0.75, -0.1) * (sea.down < 0) * draws.spill
    foot = smooth(sea.down, 0.7, 0.95) * smooth(sea.down, 1.5, 1.05) * draws.spill
    near = np.maximum(back, 0.14 * foot)
    net = 0.34 - np.abs(draws.lace) + 0.35 * near
    shown = sea.wet & (near > 0.12) & (net > 0.3)
    picture.lay(shown, "foam", np.where(net > 0.5, 1.0, 0.0))


def _streaks(picture: TonalPicture, sea: Swell, draws: Breaker) -> None:
    """Foam that runs down the face, in threads that thin out."""
    down = sea.down - draws.lip
    room = draws.spill * smooth(down, 0.62, 0.0) * (down > -0.05)
    thick = room + 0.7 * draws.streak + 0.25 * draws.lace
    shown = sea.wet & (sea.rise > 0.04) & (room > 0.06) & (thick > 0.84)
    tone = np.where(thick > 1.3, 2.0, np.where(thick > 1.05, 1.0, 0.0))
    picture.lay(shown, "foam", tone)


def _lip(picture: TonalPicture, sea: Swell, draws: Breaker) -> np.ndarray:
    """The broken lip (N, W) bool, bright on top and torn below; beyond its ends, loose dashes."""
    ragged = draws.lip + 0.07 * draws.streak + 0.05 * draws.lace
    over = 0.1 * smooth(draws.spill, 0, 0.5) + 0.05 * draws.lace
    crest = sea.wet & (sea.rise > 0.2) & (sea.down > -over) & (sea.down < ragged)
    crest &= draws.spill > 0.06
    dash = sea.wet & (sea.rise > 0.15) & (np.abs(sea.down) < 0.05) & (draws.lace > 0.25)
    depth = np.clip((sea.down + over) / (ragged + over + 0.02), 0.0, 1.0)
    light = 0.95 - 0.85 * depth + 0.34 * draws.streak + 0.4 * draws.lace
    picture.lay(dash, "foam", 1.0)
    picture.lay_share(crest, "foam", np.clip(light, 0.0, 1.0))
    return crest


def _spray(picture: TonalPicture, roller: Roller, draws: Breaker, crest: np.ndarray) -> None:
    """What the wind tears off the lip."""
    rows = np.arange(len(crest))[:, None]
    first = np.where(crest.any(axis=0), np.argmax(crest, axis=0), -1)[None, :]
    up = (first - rows) / (SPRAY * roller.tall)
    thick = draws.spill * (1.0 - up) + 0.8 * draws.lace + 0.3 * draws.streak
    spray = (first > 0) & (up > 0) & (up < 1) & (thick > 0.92)
    picture.lay(spray, "foam", np.where(thick > 1.25, 2.0, 1.0))
