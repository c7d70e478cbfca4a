"""What stands on the far bank of a glade, mostly with a lamp: a shelter, a bridge, a ferry."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.air import away
from genbg.paint.craft.exact import fall
from genbg.paint.craft.scatter import between, hash_words
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.families.lantern import lantern
from genbg.paint.families.shelter import shelter
from genbg.paint.painters.glade.keys import Stage
from genbg.paint.painters.glade.ruins import raise_gate
from genbg.paint.painters.glade.shore import Shore, lay_stones


def raise_sight(
    picture: TonalPicture, stage: Stage, shore: Shore, light: tuple[float, float], seed: int
) -> None:
    """Draw the stage's sight and mark it for the merge."""
    side = 1.0 if light[0] > 0 else -1.0
    before = picture.material.copy(), picture.tone.copy()
    if stage.kind == "shelter":
        _shelter(picture, stage, shore, side, seed)
    elif stage.kind == "bridge":
        _bridge(picture, stage, shore, side, seed)
    elif stage.kind == "ferry":
        _ferry(picture, stage, shore, side, seed)
    elif stage.kind == "post":
        _post(picture, stage, shore, side)
    elif stage.kind == "hut":
        _hut(picture, stage, shore, side)
    elif stage.kind == "steps":
        _steps(picture, stage, shore, light, seed)
    elif stage.kind == "gate":
        raise_gate(picture, stage, shore, light, seed)
    changed = (picture.material != before[0]) | (picture.tone != before[1])
    picture.guard |= changed


def _grid(picture: TonalPicture, x: float) -> tuple[np.ndarray, np.ndarray]:
    """Columns (1, W) from a middle, and lines (N, 1)."""
    lines, width = picture.tone.shape
    return away(np.arange(width)[None, :], x, width), np.arange(lines)[:, None].astype(np.float64)


def _shelter(picture: TonalPicture, stage: Stage, shore: Shore, side: float, seed: int) -> None:
    """A shelter on the bank, or out over the water on its posts."""
    x = np.floor(stage.focus)
    foot = np.floor(shore.crest[int(stage.focus) % len(shore.crest)]) + 1
    shelter(picture, x, foot, 1.15 * stage.size, side, seed)


def _ferry(picture: TonalPicture, stage: Stage, shore: Shore, side: float, seed: int) -> None:
    """A flat ferry at the bank with a mat roof, a lamp on its bent stem."""
    s = 1.1 * stage.size
    dx, line = _grid(picture, np.floor(stage.focus))
    turned = 1.0 if seed % 2 else -1.0
    dx = dx * turned
    foot = np.floor(shore.water[int(stage.focus) % len(shore.water)]) + 2
    y = foot - line
    u = dx / (26 * s)
    sheer = 4.0 * s + 5.0 * s * u * u * (1.0 + 0.5 * (u > 0))
    hull = (np.abs(u) < 1.0) & (y < sheer) & (y >= 9.0 * s * (u * u - 0.55) * (np.abs(u) > 0.74))
    hull &= y >= 0
    picture.lay(hull, "lamp", np.where(y > sheer - 1.6, 1.0, 0.0))
    picture.lay(hull & (y < 1.5), "leaves", 0.0)
    (_load, _mat, _tent)[(seed // 2) % 3](picture, (u, y, s), sheer, side * turned, dx)
    stem = (np.abs(dx - 25 * s) < 0.9) & (y >= sheer - 2) & (y < 25 * s)
    arm = (dx < 25 * s) & (dx >= 19 * s) & (np.abs(y - 25 * s) < 0.8)
    picture.lay(stem | arm, "leaves", 0.0)
    lantern(picture, dx - np.floor(19 * s), np.floor(18 * s) - y, 0.9 * s)


Local = tuple[np.ndarray, np.ndarray, float]
"""Place in a boat: -1..1 along it, lines above the water, and its scale."""


def _mat(picture: TonalPicture, at: Local, sheer: np.ndarray, side: float, dx: np.ndarray) -> None:
    """A roof of bent mats with light under it."""
    u, y, s = at
    rise = 17 * s - 13.0 * s * (u + 0.16) * (u + 0.16) * 4.0
    under = (np.abs(u + 0.16) < 0.42) & (y >= sheer - 0.5) & (y < rise - 2)
    picture.lay(under, "lamp", np.clip(np.floor(2.6 - 5.0 * np.abs(u + 0.16)), 0, 2))
    mat = (np.abs(u + 0.16) < 0.5) & (y < rise) & (y >= rise - 5 * s) & (y > sheer)
    tone = 3.5 + 3.0 * (u + 0.16) * 2.0 * side + 0.8 * (np.floor(dx / 3) % 2)
    picture.lay(mat, "leaves", np.clip(np.floor(tone), 1, 6))


def _tent(picture: TonalPicture, at: Local, sheer: np.ndarray, side: float, dx: np.ndarray) -> None:
    """A peaked cloth over a pole, one slope in the light, a lit gap where it opens."""
    u, y, s = at
    off = u + 0.2
    high = 19 * s * (1.0 - np.abs(off) / 0.56)
    cloth = (np.abs(off) < 0.56) & (y > sheer - 0.5) & (y < np.maximum(high, sheer))
    fold = (np.floor(dx / (4 * s)) % 3 == 0) & (y < high - 3 * s)
    picture.lay(cloth, "bark", np.where(off * side > 0, 5.0, 3.0) - fold)
    gap = cloth & (np.abs(off) < 0.13 * (1.0 - y / (19 * s)) + 0.03)
    picture.lay(gap, "lamp", np.where(y < 8 * s, 3.0, 2.0))
    pole = (np.abs(off) < 0.03) & (y >= 17 * s) & (y < 23 * s)
    picture.lay(pole, "leaves", 0.0)


def _load(picture: TonalPicture, at: Local, sheer: np.ndarray, side: float, dx: np.ndarray) -> None:
    """Barrels and sacks amidships, tied down."""
    u, y, s = at
    for middle, half, high in ((-0.42, 0.15, 11.0), (-0.1, 0.17, 13.5), (0.2, 0.13, 10.0)):
        off = (u - middle) / half
        top = s * high * np.sqrt(np.maximum(0.0, 1.0 - 0.55 * off * off))
        body = (np.abs(off) < 1.0) & (y > sheer - 0.5) & (y < top)
        picture.lay(body, "bark", np.clip(np.floor(3.0 + 1.8 * off * side), 1, 5))
        hoop = body & (np.abs(y - sheer - 3.5 * s) < 0.8)
        picture.lay(hoop, "bark", 1.0)


def _post(picture: TonalPicture, stage: Stage, shore: Shore, side: float) -> None:
    """A lamp on a crooked post by the way, a box for letters under it."""
    s = 1.1 * stage.size
    dx, line = _grid(picture, np.floor(stage.focus))
    y = np.floor(shore.crest[int(stage.focus) % len(shore.crest)]) + 4 - line
    bow = np.floor(2.5 * s * (y / (38 * s)) * (y / (38 * s)))
    pole = (np.abs(dx + bow) < 1.3 * s) & (y >= 0) & (y < 38 * s)
    picture.lay(pole, "lamp", np.where((dx + bow) * side > 0.5, 1.0, 0.0))
    arm = (dx > -3 * s) & (dx < 8 * s) & (np.abs(y - 37 * s) < 1.0)
    picture.lay(arm, "leaves", 0.0)
    lantern(picture, dx - np.floor(8 * s), np.floor(29 * s) - y, 1.15 * s)
    box = (np.abs(dx + 1) < 4.5 * s) & (np.abs(y - 14 * s) < 3.5 * s)
    picture.lay(box, "lamp", np.where(y > 16.5 * s, 2.0, np.where(dx * side > 1, 1.0, 0.0)))


def _hut(picture: TonalPicture, stage: Stage, shore: Shore, side: float) -> None:
    """A hut on stilts out over the water, light in its door, a lamp under its eave."""
    s = stage.size
    dx, line = _grid(picture, np.floor(stage.focus))
    y = np.floor(shore.water[int(stage.focus) % len(shore.water)]) + 5 - line
    deck, eave, top = np.floor(10 * s), np.floor(25 * s), np.floor(44 * s)
    for off in (-17, -8, 4, 15, 24):
        stilt = (np.abs(dx - np.floor(off * s)) < 1.0) & (y >= 0) & (y < deck)
        picture.lay(stilt, "bark", np.where((dx - np.floor(off * s)) * side > 0, 3.0, 0.0))
    board = (dx > -21 * s) & (dx < 28 * s) & (y >= deck - 2) & (y < deck + 1)
    picture.lay(board, "bark", np.where(y >= deck, 5.0, 1.0))
    wall = (np.abs(dx + 3 * s) < 14 * s) & (y > deck) & (y < eave)
    plank = np.floor((dx + 90) / np.floor(3 * s)) % 2
    picture.lay(wall, "bark", 1.0 + plank + ((dx + 3 * s) * side > 8 * s))
    door = (np.abs(dx + 1) < 4.2 * s) & (y > deck) & (y < eave - 3 * s)
    glow = np.abs(dx + 1) + 0.5 * np.abs(y - deck - 5 * s)
    picture.lay(door, "lamp", np.clip(np.floor(4.6 - glow / (1.6 * s)), 1, 4))
    window = (np.abs(dx + 11 * s) < 2.2 * s) & (np.abs(y - deck - 9 * s) < 2.4 * s)
    picture.lay(window, "lamp", 3.0)
    picture.lay(window & (np.abs(dx + 11 * s) < 0.7), "bark", 0.0)
    part = (top - y) / (top - eave + 3)
    wide = 21 * s * (0.30 + 0.45 * part + 0.25 * part * part)
    roof = (part >= 0) & (part <= 1.0) & (np.abs(dx + 3 * s) < wide)
    u = (dx + 3 * s) / np.maximum(wide, 1.0) * side
    straw = 0.7 * (np.floor(u * 9 + 20) % 2) + 0.5 * (np.floor(part * 5) % 2)
    picture.lay(roof, "leaves", np.clip(np.floor(2.4 + 2.6 * u + straw), 1, 6))
    picture.lay(roof & (part > 0.92), "leaves", 0.0)
    arm = (dx >= 11 * s) & (dx < 21 * s) & (np.abs(y - eave + 1) < 0.8)
    picture.lay(arm, "bark", 0.0)
    lantern(picture, dx - np.floor(20 * s), np.floor(eave - 8 * s) - y, 0.85 * s)


STEPS = 7
"""Stones by which one crosses."""


def _steps(
    picture: TonalPicture, stage: Stage, shore: Shore, light: tuple[float, float], seed: int
) -> None:
    """Stepping stones that come over the water toward us, a lamp on a post where they begin."""
    way = 1 if seed % 2 else -1
    places = []
    for n in range(STEPS):
        out = 2.0 + 4.4 * n
        x = stage.focus + way * (10.0 + 10.0 * n + 6.0 * (n % 2) + between(seed, -3, 3, n, "x"))
        water = float(shore.water[int(stage.focus) % len(shore.water)])
        places.append((x, water + out, 4.6 + 0.5 * n + between(seed, -0.6, 0.8, n, "size")))
    lay_stones(picture, places, light, np.maximum(shore.light, 0.5), hash_words(seed, "steps"))
    _post(picture, stage, shore, 1.0 if light[0] > 0 else -1.0)


def _bridge(picture: TonalPicture, stage: Stage, shore: Shore, side: float, seed: int) -> None:
    """An arched footbridge with rails, a lamp on a post at its crown."""
    s = stage.size
    half, rise = 46 * s, 15 * s
    dx, y = _grid(picture, np.floor(stage.focus))
    ends = [shore.crest[int(stage.focus + end * half) % len(shore.crest)] for end in (-1, 1)]
    base = np.floor((ends[0] + ends[1]) / 2)
    u = dx / half
    deck = base + 2 - rise * (1.0 - u * u)
    on = np.abs(dx) < half
    for off in np.arange(-5, 6).tolist():
        x = off * half / 5.5
        at = base + 2 - rise * (1.0 - (x / half) * (x / half))
        post = (np.abs(dx - x) < 0.9) & (y > at - 10 * s) & (y < at + 1)
        picture.lay(post, "bark", np.where(dx * side >= x * side, 4.0, 1.0))
    for up, tone in ((9 * s, 5.0), (5 * s, 2.0)):
        picture.lay(on & (np.abs(y - deck + up) < 0.8), "bark", tone)
    picture.lay(on & (y >= deck) & (y < deck + 1.2), "bark", 5.0)
    picture.lay(on & (y >= deck + 1.2) & (y < deck + 4.5 * s), "bark", 1.0 + (u * side > 0.2))
    for end in (-0.5, 0.5):
        leg = (np.abs(dx - end * half) < 1.3 * s) & (y > deck + 3) & (y < base + 9 * s)
        picture.lay(leg, "bark", np.where(dx * side > end * half * side, 2.0, 0.0))
    crown = base + 2 - rise
    pole = (np.abs(dx) < 0.9) & (y > crown - 27 * s) & (y < crown)
    picture.lay(pole, "leaves", 0.0)
    arm = (dx >= 0) & (dx < 6 * s) & (np.abs(y - crown + 26 * s) < 0.8)
    picture.lay(arm, "leaves", 0.0)
    lantern(picture, dx - np.floor(6 * s), y - np.floor(crown - 19 * s), s)
    off = (dx - 6 * s) * (dx - 6 * s) + (y - crown + 4 * s) * (y - crown + 4 * s)
    glow = fall(off / 90.0)
    warm = on & (glow > 0.5) & (y >= deck - 1) & (y < deck + 1.2)
    picture.lay(warm, "lamp", 3.0)
