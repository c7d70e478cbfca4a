"""What still water shows of a layer's own things: the rows above their foot, upside down."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.craft.water import broken_off, rippled

SQUEEZE = 0.72
"""Height of a mirror, a share of what it shows: water that is not quite still."""
DARK = 1.0
"""Tones that water swallows."""


def stand_in_water(
    picture: TonalPicture, part: TonalPicture, foot: float, mirror: float, seed: int
) -> None:
    """Lay a part over the picture, and below row `foot` its mirror, darker and broken by waves.

    mirror: 0 none .. 1 as far down as the part is high
    """
    lines = len(picture.tone)
    row = min(max(round(foot) + 1, 0), lines)
    if mirror > 0 and row < lines:
        _lay_mirror(picture, part, row, mirror, seed)
    here = part.holds()
    picture.material[here] = part.material[here]
    picture.tone[here] = part.tone[here]
    picture.soft[here] = part.soft[here]
    picture.guard |= part.guard


def _lay_mirror(
    picture: TonalPicture, part: TonalPicture, row: int, mirror: float, seed: int
) -> None:
    """What lies over `row`, upside down below it."""
    lines, width = picture.tone.shape
    below = np.arange(lines - row)
    up = row - 1 - np.floor(below / SQUEEZE).astype(np.int64)
    still = np.where((up >= 0)[:, None], part.material[np.maximum(up, 0)], -1)
    tone = part.tone[np.maximum(up, 0)]
    at = rippled(lines - row, width, 0, seed)
    reach = 2.0 + 0.9 * mirror * row
    shown = (still[at] >= 0) & broken_off(lines - row, width, below[:, None], reach, seed + 2)
    shown &= ~part.holds()[row:]
    picture.material[row:][shown] = still[at][shown]
    picture.tone[row:][shown] = np.clip(tone[at] - DARK, 0.0, 3.0)[shown]
    picture.soft[row:][shown] = 0.0
