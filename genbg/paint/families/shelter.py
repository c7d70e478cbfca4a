"""A thatched shelter with a lamp in it, as it is seen from afar, drawn flat.

Its tones are those of the ramps `lamp` (the lamp, timber in its light) and `leaves` (thatch).
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.air import away
from genbg.paint.craft.scatter import hash_array
from genbg.paint.craft.tonal import TonalPicture


def shelter(picture: TonalPicture, x: float, foot: float, s: float, side: float, seed: int) -> None:
    """A thatched roof on four posts over a deck, a lamp and its parcels under it.

    x, foot: its middle column and the line it stands on; s: its size, 1 is 39 lines high
    side: the light's side, -1 left or 1 right
    """
    lines, width = picture.tone.shape
    dx = away(np.arange(width)[None, :], x, width)
    y = foot - np.arange(lines)[:, None].astype(np.float64)  # up from the ground
    deck, eave, top = np.floor(5 * s), np.floor(20 * s), np.floor(39 * s)
    for off in (-11, -4, 5, 12):
        picture.lay((np.abs(dx - np.floor(off * s)) < 0.8) & (y > -7) & (y < deck), "leaves", 0.0)
    inside = (np.abs(dx) < 11 * s) & (y >= deck) & (y < eave)
    far = np.sqrt(dx * dx + (y - 13 * s) * (y - 13 * s)) / s
    picture.lay(inside, "lamp", np.clip(np.floor(3.9 - far * 0.30), 1, 3))
    for off, tall in ((-7, 4), (-4, 2.5), (6, 3.5)):
        box = (np.abs(dx - off * s) < 1.9 * s) & (y >= deck) & (y < deck + tall * s)
        picture.lay(box, "lamp", 0.0)
    lamp = (np.abs(dx) < 2.4 * s) & (np.abs(y - 13 * s) < 3.4 * s)
    picture.lay(lamp, "lamp", np.where(far < 2.0, 5.0, 4.0))
    picture.lay((np.abs(dx) < 0.7) & (y >= 16 * s) & (y < eave), "lamp", 0.0)
    for off in (-11, -5, 5, 11):
        at, broad = np.floor(off * s), 1.1 if abs(off) > 5 else 0.6
        post = (np.abs(dx - at) < broad * s) & (y >= deck) & (y < eave)
        picture.lay(post, "lamp", np.where((dx - at) * side > 0, 1.0, 0.0))
    board = (np.abs(dx) < 15 * s) & (y >= deck - 3) & (y < deck)
    picture.lay(board, "lamp", np.where(y >= deck - 1, 1.0, 0.0))
    spill = (np.abs(dx) < 9 * s) & (y >= deck - 1) & (y < deck)
    picture.lay(spill, "lamp", 2.0 + (np.abs(dx) < 5 * s))
    _thatch(picture, dx, y, (eave - 1, top, 24 * s), side, seed)


def _thatch(
    picture: TonalPicture, dx: np.ndarray, y: np.ndarray, size: tuple[float, float, float],
    side: float, seed: int,
) -> None:  # fmt: skip
    """A hollow roof of thatch with moss; size: lines of its eave and top, half its breadth."""
    eave, top, half = size
    part = (top - y) / (top - eave)  # 0 at the ridge, 1 at the eave
    wide = half * (0.10 + 0.42 * part + 0.48 * part * part * part)
    roof = (part >= 0) & (part <= 1.0) & (np.abs(dx) < wide)
    u = dx / np.maximum(wide, 1.0) * side
    streak = ((np.floor(u * 7 + 20) % 2) - 0.5) * 0.8
    layer = (np.floor(part * 4.0) % 2) * 0.6
    tone = 3.4 + 2.7 * u - 0.5 * part + streak * (part > 0.2) - layer
    picture.lay(roof, "leaves", np.clip(np.floor(tone + 0.5), 1, 7))
    picture.lay(roof & (y < eave + 2), "leaves", np.where(u > 0.2, 5.0, 1.0))
    under = (np.abs(dx) < half * 0.86) & (y >= eave - 1) & (y < eave)
    picture.lay(under, "leaves", 0.0)
    straw = hash_array(seed, np.floor(dx).astype(np.int64)) % np.uint64(4) == 0
    picture.lay(straw & (np.abs(dx) < half * 0.8) & (y >= eave - 2) & (y < eave), "leaves", 1.0)
    picture.lay((np.abs(dx) < 2.6) & (y >= top) & (y < top + 2), "leaves", 3.0)
    picture.lay((np.abs(dx) < 1.1) & (y >= top + 2) & (y < top + 5), "leaves", 1.0)
