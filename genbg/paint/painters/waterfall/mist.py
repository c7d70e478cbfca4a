"""Mist over the foot of a layer, in one place for all painters that stand on a `Sheet`."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.dither import dither_levels
from genbg.paint.craft.sheet import DEEP, Sheet


def raise_mist(sheet: Sheet, ramp: str, share: float, over: bool = True) -> None:
    """Mist on a sheet in place, thin to thick down to the foot.

    ramp: the material, its inks from thin to thick; share: of the layer's lines that it rises
    over: only before what is painted; else also before what lies behind the layer
    """
    rise = round(share * sheet.lines)
    if not rise:
        return
    steps = next(use.steps for use in sheet.tones.uses if use.name == ramp)
    down = np.arange(len(sheet.ink)) - (sheet.foot - rise) + 0.5
    level = dither_levels(down[:, None] * (steps + 0.6) / rise, steps + 1, 0, 4, width=sheet.width)
    where = (level > 0) & ((sheet.ink > 0) | (not over))
    sheet.ink[:] = np.where(where, sheet.tones(ramp, DEEP) + level - 1, sheet.ink)
