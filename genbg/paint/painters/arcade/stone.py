"""Tones of an arcade's stone: courses, rings of wedge stones, cornices, pilasters, weather."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.edges import shifted
from genbg.paint.craft.exact import smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_array, hash_words
from genbg.paint.painters.arcade.build import CORNICE, COURSE, PARAPET, Form

RING = 6.0
"""Columns of the ring of wedge stones."""
WEDGES = 2.4
"""Wedge stones for each unit of slope."""
WET = 7.0
"""Lines over the water in which stone is wet and dark."""


def face_tones(form: Form, job: Job, toward: np.ndarray, backlit: float) -> np.ndarray:
    """Tones (N, W) 0..5 of a tier's faces; toward: (1, W), 1 where light comes from the right."""
    seed = hash_words(job.seed, "stone", round(form.tier.low))
    weather = fractal(job.width, job.lines, seed, 9, 0.05, octaves=3).astype(np.float64)
    day = 3.9 + 1.1 * weather
    night = 1.0 + 0.9 * weather
    tone = day if backlit < 0.5 else night
    tone = tone + _stones(form, seed, job.thrift)
    low, most = (3.0, 5.0) if backlit < 0.5 else (0.0, 2.0)
    tone = np.clip(np.floor(tone + 0.5), low, most)
    tone = _ring(form, tone, low, most)
    tone = _pilasters(form, tone, toward, backlit)
    tone = _cornice(form, tone, backlit)
    if form.tier.low == 0:
        wet = form.up < WET + 5.0 * weather
        tone = np.where(wet, np.minimum(tone, np.where(tone >= 3, 3.0, 0.0)), tone)
        tone = np.where(form.up < 2.5, np.minimum(tone, 1.0), tone)
    return tone


def _stones(form: Form, seed: int, thrift: float) -> np.ndarray:
    """Tones (N, W) by which single stones and joints leave their wall."""
    row = np.floor(form.up / COURSE).astype(np.int64)
    place = (form.dx + form.tier.bay) / 12.0 + 0.5 * (row % 2)
    column = np.floor(place).astype(np.int64)
    own = hash_array(seed, row, form.bay[None, :], column) % np.uint64(16)
    own = own.astype(np.int64)
    step = np.where(own < 3, -0.8, np.where(own > 12, 0.8, 0.0))
    joint = (form.up - row * COURSE < 1.0) | ((place - column) * 12.0 < 1.0)
    told = joint & (own % 4 < (3 if thrift < 0.5 else 1))
    return step * (1.0 - 0.6 * thrift) - 1.1 * told


def _ring(form: Form, tone: np.ndarray, low: float, most: float) -> np.ndarray:
    """Wedge stones about the arch, alternately lighter, with a dark line outside."""
    half = form.tier.half
    out = (form.arch - 1.0) * half
    over = form.up > form.tier.spring
    ring = over & (out >= 0) & (out < RING)
    steep = (form.up - form.tier.spring) / np.maximum(np.abs(form.dx), 0.5)
    turn = np.where(steep > 1.0, 2.0 - 1.0 / np.maximum(steep, 0.01), steep)
    wedge = np.floor(turn * WEDGES * half / 14.0) % 2
    tone = np.where(ring, np.where(wedge == 0, most, most - 1.0), tone)
    line = over & (out >= RING) & (out < RING + 1.0)
    tone = np.where(line, low, tone)
    band = (np.abs(form.up - form.tier.spring + 1.0) < 2.0) & (out < 9.0)
    tone = np.where(band, most, tone)
    under = (form.up - form.tier.spring + 3.5 < 1.0) & (form.up - form.tier.spring + 3.5 >= 0.0)
    return np.where(under & (out < 9.0), low, tone)


def _pilasters(form: Form, tone: np.ndarray, toward: np.ndarray, backlit: float) -> np.ndarray:
    """A strip that stands out of each pier: a bright edge toward the light, shadow behind it."""
    tier = form.tier
    side = np.abs(np.abs(form.dx) - tier.bay / 2)
    strip = max(2.5, 0.26 * tier.pier) + SPREAD * np.maximum(tier.spring - form.up, 0.0)
    there = form.up < tier.high - CORNICE
    sign = np.where(form.dx < 0, 1.0, -1.0)
    across = np.where(np.abs(form.dx) > 0, side * sign, 0.0)
    ahead = across * toward
    bright, dark = (5.0, 1.0) if backlit < 0.5 else (4.0, 0.0)
    edge = there & (np.abs(ahead - strip) < 0.8)
    shade = there & (ahead < -strip) & (ahead > -strip - 3.0)
    tone = np.where(edge, bright, tone)
    return np.where(shade, dark, tone)


SPREAD = 0.05
"""Columns by which a pilaster widens for each line down."""


def _cornice(form: Form, tone: np.ndarray, backlit: float) -> np.ndarray:
    """The cornice with its teeth and its shadow, the parapet with a bright coping."""
    down = form.tier.high - form.up
    bright, dark = (5.0, 1.0) if backlit < 0.5 else (4.0, 0.0)
    base = 4.0 if backlit < 0.5 else 1.0
    tone = np.where(down < PARAPET, base, tone)
    tone = np.where(down < 1.2, bright, tone)
    ledge = (down >= PARAPET) & (down < PARAPET + 1.5)
    tone = np.where(ledge, bright, tone)
    teeth = (down >= PARAPET + 1.5) & (down < PARAPET + CORNICE + 1.5)
    gap = np.floor(form.dx + 512.0) % 5 < 2
    tone = np.where(teeth, np.where(gap, dark, base), tone)
    shadow = (down >= PARAPET + CORNICE + 1.5) & (down < PARAPET + CORNICE + 3.5)
    return np.where(shadow, dark, tone)


def reveal_tones(form: Form, toward: np.ndarray) -> np.ndarray:
    """Tones (N, W) of the inner sides: jambs that look to the light are lit, crowns are dark."""
    lit = form.dx * toward < 0
    high = smooth(form.up, form.tier.spring - 4.0, form.tier.spring + 0.8 * form.tier.half)
    course = np.floor(form.up / COURSE) % 2
    bright = np.floor(4.6 - 1.4 * high - 0.5 * course + 0.5)
    return np.where(lit & (high < 0.85), np.maximum(bright, 3.0), np.where(high > 0.5, 0.0, 1.0))


def rims(wall: np.ndarray, tone: np.ndarray, toward: np.ndarray, backlit: float) -> np.ndarray:
    """A lit edge where a wall ends toward the light, and along its broken top."""
    left, right = wall & ~shifted(wall, -1, 0), wall & ~shifted(wall, 1, 0)
    edge = np.where(toward > 0, right, left)
    top = wall & ~shifted(wall, 0, -1)
    tone = np.where(edge, np.maximum(tone, 4.0 if backlit < 0.5 else 3.0), tone)
    return np.where(top, 5.0 if backlit < 0.5 else 4.0, tone)
