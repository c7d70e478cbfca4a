"""Ground in two families of tones: how light falls on a height field, and that laid on a picture.

A material in the light and the same in shade are two ramps, as their hues differ; within each the
tone goes by the face. Level ground in the light lies in the middle of a tone, so that a plain is
one colour and only forms show.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.dither import threshold_plane
from genbg.paint.craft.exact import blur
from genbg.paint.craft.firs import NEEDLES, SNOW, Fir
from genbg.paint.craft.relief import (
    UNSEEN,
    Ground,
    Light,
    hidden_step,
    lambert,
    read,
    seen,
    shaded,
)
from genbg.paint.craft.tonal import TonalPicture

GRAZING = 0.1
"""Cosine of light below which a face counts as shaded."""


@dataclass(frozen=True, eq=False)
class Lie:
    """A field in the light, all arrays (Z, W).

    facing: cosine of light on it, half of it that on broad forms; flat: (W,) that of level ground
    dark: bool, in cast shadow or turned away; across: rise a pixel to the right
    """

    heights: np.ndarray
    ground: Ground
    facing: np.ndarray
    flat: np.ndarray
    dark: np.ndarray


def lie_in_light(
    heights: np.ndarray,
    ground: Ground,
    light: Light,
    brush: int = 3,
    reach: float = 60.0,
    caster: np.ndarray | None = None,
) -> Lie:
    """How light falls on a field; brush: pixels of a broad form, 0: fine forms only.

    caster: (Z, W) heights of what stands on the ground and throws shadows
    """
    fine = lambert(blur(heights, 1, 1, 1), ground, light)
    facing = 0.5 * fine + 0.5 * lambert(blur(heights, brush), ground, light) if brush else fine
    x, up, far = light
    x = np.broadcast_to(np.asarray(x, dtype=np.float64), heights.shape[1:])
    flat = up / np.sqrt(x * x + up * up + far * far)
    dark = (facing < GRAZING) | shaded(heights, ground, light, reach, 2.0, caster)
    return Lie(heights, ground, facing, flat, dark)


@dataclass(frozen=True)
class Tones:
    """Tones of ground in the light and in shade, counted in steps of their ramps.

    level: tone of level ground in the light; gain: tones for each unit of cosine over it
    shade: tone of level ground in shade; deep: tones that shade loses on faces turned away
    crest: tones that a lit edge before something far gains
    """

    level: float
    gain: float = 9.0
    shade: float = 2.0
    deep: float = 2.0
    crest: float = 1.0


def lay_ground(
    picture: TonalPicture,
    lie: Lie,
    tones: Tones,
    ramps: tuple[str, str] = ("lit", "shade"),
    soft: float = 0.3,
    clip: np.ndarray | None = None,
    more: np.ndarray | float = 0.0,
    edge: np.ndarray | float = 4.0,
) -> np.ndarray:
    """Lay a field on the picture; returns the row that each pixel shows, (N, W) int64.

    more: (N, W) tones that are added; clip: ground (Z, W) bool that is left out
    edge: pixels of depth hidden behind a pixel from which it counts as a crest, (N, W) or one
    """
    row = seen(lie.heights, lie.ground, picture.tone.shape[0], clip)
    shown = row != UNSEEN
    facing, dark = read(lie.facing, row), read(lie.dark, row)
    step = hidden_step(row, lie.ground)
    crest = (step > edge) * tones.crest + (np.roll(step, 1, axis=0) > edge) * 0.5 * tones.crest
    lit = tones.level + tones.gain * (facing - lie.flat) + crest + more
    shade = tones.shade + tones.deep * np.clip(facing - lie.flat, -0.8, 0.5) + 0.6 * crest + more
    picture.lay(shown & ~dark, ramps[0], np.maximum(lit, 0.0), soft)
    picture.lay(shown & dark, ramps[1], np.maximum(shade, 0.0), soft)
    return row


def lay_scale(
    picture: TonalPicture,
    where: np.ndarray,
    ramps: tuple[str, ...],
    tone: np.ndarray,
    soft: float = 0.0,
) -> None:
    """Cover pixels (N, W) bool with ramps that follow on each other as one scale of tones.

    tone: (N, W), 0 is the darkest ink of the first ramp, the next ramp goes on above its lightest;
    soft: share of a step that may be dithered, from one ramp to the next as well
    """
    lines, width = picture.tone.shape
    edge = (threshold_plane(lines, width, picture.top, 4) + 0.5) / 16.0 - 0.5
    step, first = np.floor(tone + 0.5 + edge * soft), 0
    for ramp in ramps:
        last = first + picture.last(ramp)
        here = where & ((step >= first) | (first == 0)) & ((step <= last) | (ramp == ramps[-1]))
        picture.lay(here, ramp, step - first)
        first = last + 1


def cast(
    picture: TonalPicture,
    where: np.ndarray,
    tone: np.ndarray | float,
    ramps: tuple[str, str] = ("lit", "shade"),
) -> None:
    """A cast shadow: lit ground in (N, W) bool becomes shaded ground of a tone."""
    picture.lay(where & picture.holds(ramps[0]), ramps[1], tone)


def put(
    picture: TonalPicture,
    mask: np.ndarray,
    ramp: str,
    tone: np.ndarray | float,
    x: int,
    y: int,
    soft: float = 0.0,
) -> None:
    """Lay a stamp (h, w) bool with its left upper corner at column x, line y; columns wrap."""
    lines, width = picture.tone.shape
    down, across = np.nonzero(mask)
    line, column = down + y, (across + x) % width
    inside = (line >= 0) & (line < lines)
    at = line[inside], column[inside]
    picture.material[at] = picture.number(ramp)
    picture.tone[at] = np.broadcast_to(tone, mask.shape)[down, across][inside]
    picture.soft[at] = soft


def fir_shadow(
    shape: tuple[int, int], x: float, y: float, tall: float, side: float, room: float = np.inf
) -> np.ndarray:
    """Shadow (N, W) bool of a fir whose foot is at x, y: toward us and away from the light.

    room: lines below the foot that it may take
    """
    lines, width = shape
    long = min(0.42 * tall, max(room, 2.0))
    down = np.arange(lines)[:, None] - y + 2
    share = np.clip(down / max(long, 1.0), 0.0, 1.0)
    half = 0.22 * tall * (1.0 - share) * (1.0 + 0.3 * ((np.floor(down) % 3) - 1.0)) + 0.5
    middle = x - side * 1.5 * down
    off = (np.arange(width)[None, :] - middle + width / 2) % width - width / 2
    return (np.abs(off) < half) & (down >= 0) & (down < long)


def lay_fir(picture: TonalPicture, fir: Fir, x: float, y: int) -> None:
    """A fir's stamp in snow tones of both families, its foot at x, y."""
    left, top = int(x) - fir.x, y - fir.y
    snow = fir.material == SNOW
    lit = snow & (fir.tone > -0.4)
    put(picture, fir.material == NEEDLES, "leaf", fir.tone * picture.last("leaf") / 3, left, top)
    last = picture.last("lit")
    put(picture, lit, "lit", np.clip((fir.tone + 0.4) / 3.4, 0, 1) * 0.9 * last, left, top)
    last = picture.last("shade")
    put(picture, snow & ~lit, "shade", last + np.clip(fir.tone + 0.4, -2.0, 0.0), left, top)
