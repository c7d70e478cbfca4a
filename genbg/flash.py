"""Does an animation flash? Success criterion 2.3.1 of WCAG 2.2, "Three Flashes or Below Threshold".

Words, as the definition "general flash and red flash thresholds" there has them (quoted from
memory, in our own words):
  transition     a change of relative luminance by 0.1 or more whose darker state lies below 0.8
  general flash  two opposing transitions: up then down, or down then up
  red flash      two opposing transitions to and from a saturated red, one whose share R/(R+G+B) of
                 linear light is 0.8 or more, between states more than 0.2 apart in the CIE 1976
                 chromaticity diagram
  field          10 degrees of sight; on a full screen, a third of its width by a third of its
                 height (341 x 256 of 1024 x 768)
An animation fails where, within any one second, more than a quarter of some field flashes more than
three times. The exception for fine balanced patterns is not made use of, so a result here is at
least as strict as the criterion.

A slow change counts as one transition however many frames it takes: a pixel is compared with the
brightest or darkest state since its last transition, not with the frame before.
"""

from __future__ import annotations

import functools
import math
from collections import deque
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from genbg.colour import LINEAR_LEVELS, decode_srgb, screen_table

FLASHES_ALLOWED = 3
"""Flashes within any one second; WCAG 2.2, 2.3.1."""

STEP, BRIGHT = 0.1, 0.8
"""Least change of relative luminance, and the luminance below which the darker state must lie."""

RED_SHARE, RED_STEP = 0.8, 0.2
"""Share of red in linear light from which a red is saturated; least step of chromaticity."""

FIELD_PARTS, FIELD_SHARE = 3, 0.25
"""Fields along each side of the screen, and the share of one that may flash."""

_LUMINANCE = (0.2126, 0.7152, 0.0722)
_TO_X, _TO_Z = (0.4124, 0.3576, 0.1805), (0.0193, 0.1192, 0.9505)
"""Rows of the matrix from linear sRGB to CIE XYZ; IEC 61966-2-1."""

_WHITE = (0.19783, 0.46832)
"""u', v' of white: black has no chromaticity, so it counts as colourless."""


@dataclass(frozen=True)
class FlashReport:
    """The worst second of an animation.

    general, red: most flashes that more than a quarter of some field makes within one second
    frame: number of the first frame by which the limit is passed, or None
    """

    general: int
    red: int
    frame: int | None

    @property
    def passes(self) -> bool:
        """True where neither kind goes past the limit."""
        return max(self.general, self.red) <= FLASHES_ALLOWED


def flashes(
    frames: Iterable[np.ndarray], fps: float, levels: Sequence[int] = LINEAR_LEVELS
) -> FlashReport:
    """Count the flashes of an animation.

    frames: colour numbers (H, W) each, all of one size; fps: frames a second, at least 1
    An animation that loops is to be given with one second of its beginning once more at the end.
    """
    light, red, u, v = colour_tables(tuple(int(level) for level in levels))
    counters: tuple[_Flashing, _Flashing] | None = None
    first: int | None = None
    for number, frame in enumerate(frames):
        if counters is None:
            window = math.ceil(fps)
            counters = _Luminous(frame, window, light), _Reddish(frame, window, red, u, v)
            continue
        for counter in counters:
            counter.see(frame)
        if first is None and max(counter.worst for counter in counters) > FLASHES_ALLOWED:
            first = number
    if counters is None:
        return FlashReport(0, 0, None)
    return FlashReport(counters[0].worst, counters[1].worst, first)


@functools.cache
def colour_tables(
    levels: tuple[int, ...],
) -> tuple[np.ndarray, np.ndarray, np.ndarray, np.ndarray]:
    """Of the 512 colours: relative luminance, share of red in linear light, u' and v', (512,)."""
    r, g, b = (decode_srgb(screen_table(levels)[:, i] / 255.0) for i in range(3))
    x, y, z = (m[0] * r + m[1] * g + m[2] * b for m in (_TO_X, _LUMINANCE, _TO_Z))
    whole, total = x + 15 * y + 3 * z, r + g + b
    lit = total > 0
    share = np.where(lit, r / np.where(lit, total, 1), 0.0)
    u = np.where(lit, 4 * x / np.where(lit, whole, 1), _WHITE[0])
    v = np.where(lit, 9 * y / np.where(lit, whole, 1), _WHITE[1])
    return y, share, u, v


def fills_field(pixels: np.ndarray) -> bool:
    """Whether some field of the screen has more than its share of these pixels (H, W) bool."""
    high, wide = (max(1, side // FIELD_PARTS) for side in pixels.shape)
    allowed = FIELD_SHARE * high * wide
    if np.count_nonzero(pixels) <= allowed:
        return False
    total = np.zeros((pixels.shape[0] + 1, pixels.shape[1] + 1), np.int32)
    total[1:, 1:] = pixels.cumsum(axis=0, dtype=np.int32).cumsum(axis=1, dtype=np.int32)
    inside = total[high:, wide:] - total[:-high, wide:] - total[high:, :-wide]
    return bool((inside + total[:-high, :-wide]).max() > allowed)


class _Flashing:
    """Counts transitions, pixel by pixel, over the last second."""

    def __init__(self, frame: np.ndarray, window: int) -> None:
        self.count = np.zeros(frame.shape, np.int16)
        self.recent: deque[np.ndarray] = deque(maxlen=window)
        self.worst = 0

    def turned(self, frame: np.ndarray) -> np.ndarray:
        """Pixels (H, W) bool that make a transition in this frame."""
        raise NotImplementedError

    def see(self, frame: np.ndarray) -> None:
        """Take in the next frame."""
        if len(self.recent) == self.recent.maxlen:
            self.count -= self.recent[0]
        turned = self.turned(frame)
        self.recent.append(turned)
        self.count += turned
        while self.spread(self.count >= 2 * (self.worst + 1)):
            self.worst += 1

    def spread(self, pixels: np.ndarray) -> bool:
        """Whether some field has more than its share of these pixels."""
        return fills_field(pixels)


class _Luminous(_Flashing):
    """Transitions of relative luminance."""

    def __init__(self, frame: np.ndarray, window: int, light: np.ndarray) -> None:
        super().__init__(frame, window)
        self.light = light
        self.low = light[frame]
        self.high = self.low.copy()
        self.rose = np.zeros(frame.shape, bool)
        self.fell = np.zeros(frame.shape, bool)

    def turned(self, frame: np.ndarray) -> np.ndarray:
        now = self.light[frame]
        rises = ~self.rose & (now - self.low >= STEP) & (self.low < BRIGHT)
        falls = ~self.fell & (self.high - now >= STEP) & (now < BRIGHT)
        self.rose = (self.rose & ~falls) | rises
        self.fell = (self.fell & ~rises) | falls
        turned: np.ndarray = rises | falls
        self.low = np.where(turned, now, np.minimum(self.low, now))
        self.high = np.where(turned, now, np.maximum(self.high, now))
        return turned


class _Reddish(_Flashing):
    """Transitions to and from saturated red.

    Outside red, a pixel is compared with the least red state since it left; inside, with the
    reddest since it came.
    """

    def __init__(
        self, frame: np.ndarray, window: int, share: np.ndarray, u: np.ndarray, v: np.ndarray
    ) -> None:
        super().__init__(frame, window)
        self.share, self.u, self.v = share, u, v
        self.mark = np.asarray(frame).copy()
        self.inside = share[self.mark] >= RED_SHARE

    def turned(self, frame: np.ndarray) -> np.ndarray:
        du, dv = self.u[frame] - self.u[self.mark], self.v[frame] - self.v[self.mark]
        redder = self.share[frame] > self.share[self.mark]
        far = du * du + dv * dv > RED_STEP * RED_STEP
        turned: np.ndarray = far & (self.inside | (self.share[frame] >= RED_SHARE))
        self.inside = self.inside ^ turned
        self.mark = np.where(turned | (redder == self.inside), frame, self.mark)
        return turned
