"""Moored boats as pieces: hulls, masts with furled sails, shrouds and stays, wheelhouses.

Everything is drawn for light from the left with the bow at the left; a boat may be turned end for
end before the light is laid on, so the tones of its sides are set last. Ropes run at whole slopes
of pixels for 8 lines and hulls rise by whole cells, so boats of all lengths share most tiles.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import pick_one
from genbg.paint.craft.sheet import (
    BETWEEN,
    DEEP,
    LIT,
    RIM,
    SHADE,
    Tones,
    art,
    blank,
    digits,
    draw_line,
    lay,
)

BOW_RISE = (9, 6, 4, 2, 1)
"""Lines by which the gunwale stands higher, cell by cell from the bow."""
STERN_RISE = (5, 3, 1)

FURLED = ".3333333 33343333 33333332 22222222 12221221 .1......"
"""One cell of a sail rolled up along its yard."""

PENNANT = "33...... 3333.... 333322.. 33322222 32222... 22......"


def draw_hull(tones: Tones, columns: int, rows: int, paint: bool) -> np.ndarray:
    """A hull (8*(rows+1), 8*columns): bow at the left, a stripe of paint under the gunwale."""
    piece = blank(rows + 1, columns)
    height, width = piece.shape
    rise = np.zeros(columns + 1, dtype=np.int64)
    for n, up in enumerate(BOW_RISE[:columns]):
        rise[n] = max(rise[n], up)
    for n, up in enumerate(STERN_RISE[:columns]):
        rise[columns - n] = max(rise[columns - n], up)
    x = np.arange(width)
    cell, part = x // CELL, x % CELL
    sheer = rise[cell] + ((rise[cell + 1] - rise[cell]) * (2 * part + 1) + CELL) // (2 * CELL)
    y = np.arange(height)[:, None]
    gunwale = (CELL + 2 - sheer)[None, :]
    up = height - 1 - y
    bow = (up * up) // (2 * height) + up // 4
    body = (y >= gunwale) & (x >= height // 2 - np.minimum(bow, height // 2))
    body &= x < width - np.clip((height - 1 - up) // 3 - 3, 0, 8)
    deep = y - gunwale
    tone = np.where(deep < 1, RIM, np.where(deep < 3, BETWEEN, SHADE))
    tone = np.where(deep == 3, DEEP, tone)
    tone = np.where((deep > 6) & ((y + 2) % 4 == 0) & (x % 16 < 11), DEEP, tone)
    tone = np.where(up < 4, DEEP, tone)
    ink = tones.row("hull")[tone]
    if paint:
        stripe = (deep >= 4) & (deep < 6)
        ink = np.where(stripe, tones("paint", LIT), ink)
        ink = np.where(deep == 6, tones("paint", SHADE), ink)
    return np.where(body, ink, 0)


def draw_mast(tones: Tones, piece: np.ndarray, x: int, top: int, foot: int, wide: int) -> None:
    """A mast in place: lit at its left, in shade at its right; iron bands every other cell."""
    for n, tone in enumerate((RIM, BETWEEN, DEEP)[3 - wide :] if wide < 3 else (RIM, SHADE, DEEP)):
        piece[max(0, top) : foot, x + n] = tones("hull", tone)
    piece[max(0, top + CELL + 2) : foot : 2 * CELL, x : x + wide] = tones("hull", DEEP)


def draw_yard(tones: Tones, piece: np.ndarray, x: int, y: int, half: int) -> None:
    """A yard `half` cells to each side of a mast, with its sail rolled up on it."""
    key = digits(tones, "sail")
    sail = np.tile(art(FURLED, key), (1, 2 * half))
    sail[:, :3] = sail[:, -3:] = 0
    left = x + 1 - half * CELL
    lay(piece, sail, left, y)
    spar = np.full((1, 2 * half * CELL), tones("hull", SHADE))
    lay(piece, spar, left, y)
    lay(piece, np.full((2, 4), tones("hull", LIT)), left - 2, y)
    lay(piece, np.full((2, 4), tones("hull", DEEP)), left + 2 * half * CELL - 2, y)


def draw_shrouds(
    tones: Tones, piece: np.ndarray, x: int, top: int, foot: int, ladder: bool
) -> None:
    """Ropes from a masthead down to both sides, two slopes a side, with rungs between them."""
    rope = tones("rope", SHADE)
    lines = foot - top
    if ladder:
        for y in range(top + 2 * CELL + 3, foot, 4):
            near, far = (y - top) // 4, (y - top) // 2
            for side in (-1, 1):
                ends = sorted((x + side * near, x + side * far))
                piece[y, max(0, ends[0]) : ends[1] + 1] = rope
    for slope in (-4, -2, 2, 4):
        draw_line(piece, (x, top), lines, slope, rope)


def draw_ship(tones: Tones, seed: int, rows: int, rigging: float, sails: float) -> np.ndarray:
    """A sailing boat `rows` cells high, masts and all."""
    hull_rows = 2 if rows < 11 else 3
    columns = min(16, max(6, rows * 3 // 4 + 1 + pick_one(seed, 3, "long")))
    masts = 2 if columns >= 11 and pick_one(seed, 3, "masts") else 1
    square = pick_one(seed, 2, "square") == 1
    hull = draw_hull(tones, columns, hull_rows, pick_one(seed, 3, "paint") > 0)
    piece = blank(rows, columns + 3)
    deck = (rows - hull_rows) * CELL + 3
    left = 2 * CELL
    draw_line(piece, (1, deck - 13), 7, 22, tones("hull", BETWEEN))
    draw_line(piece, (1, deck - 12), 7, 22, tones("hull", DEEP))
    stations = (columns * 2 // 5,) if masts == 1 else (columns * 2 // 7 + 1, columns * 5 // 7)
    for n, station in enumerate(stations):
        x = left + station * CELL + 3
        top = CELL if n == 0 else CELL + 2 * CELL
        _rig(tones, piece, seed, x, top, deck, square and rows > 9, rigging, sails)
    lay(piece, hull, left, (rows - hull_rows - 1) * CELL)
    _deckhouse(tones, piece, left + (columns - 4) * CELL, deck)
    return piece


def _rig(
    tones: Tones,
    piece: np.ndarray,
    seed: int,
    x: int,
    top: int,
    deck: int,
    square: bool,
    rigging: float,
    sails: float,
) -> None:
    """One mast with all that hangs on it."""
    rope = tones("rope", SHADE)
    tall = deck - top
    if rigging > 0.1:
        draw_shrouds(tones, piece, x + 1, top + CELL, deck, rigging > 0.6)
    if rigging > 0.3:
        draw_line(piece, (x, top + 4), tall - 8, -4, rope)
        draw_line(piece, (x + 1, top + 4), tall * 3 // 4, 8, rope)
    draw_mast(tones, piece, x, top, deck + 4, 3 if tall > 8 * CELL else 2)
    rolled = pick_one(seed, 100, x, "sail") < sails * 100
    if square:
        draw_yard(tones, piece, x, top + tall // 5 // CELL * CELL + 2, 2)
        draw_yard(tones, piece, x, top + tall // 2 // CELL * CELL + 2, 3)
    else:
        boom = deck - CELL - 2
        long = 4 * CELL + 4
        lay(piece, np.full((2, long), tones("hull", LIT)), x + 2, boom)
        lay(piece, np.full((1, long), tones("hull", DEEP)), x + 2, boom + 2)
        if rolled:
            sail = np.tile(art(FURLED, digits(tones, "sail")), (1, 4))
            lay(piece, sail, x + 3, boom - 5)
    lay(piece, art(PENNANT, digits(tones, "paint")), x + 2, top)


def _deckhouse(tones: Tones, piece: np.ndarray, x: int, deck: int) -> None:
    """A low house abaft the mast with two panes."""
    text = (
        "4444444444444444444 2222222222222222220 .22222222222222210. .22LL2222LL2222210. "
        ".22LL2222LL2222210. .22222222222222210. .11111111111111100. .11111111111111100."
    )
    lay(piece, art(text, digits(tones, "hull", L=tones("lamp", LIT))), x, deck - 4)


def draw_trawler(tones: Tones, seed: int, rows: int, rigging: float) -> np.ndarray:
    """A fishing boat with a wheelhouse, a short mast and a boom; three lengths, by the seed."""
    rows = min(rows, 9)
    columns = 7 + seed % 3
    piece = blank(rows, columns)
    hull = draw_hull(tones, columns, 2, True)
    deck = (rows - 2) * CELL + 3
    x = 4 * CELL + 3
    top = CELL if rows < 8 else CELL + 4
    rope = tones("rope", SHADE)
    if rigging > 0.1:
        draw_line(piece, (x, top), deck - top - 6, -4, rope)
        draw_line(piece, (x + 1, top), (deck - top) * 2 // 3, 8, rope)
    draw_mast(tones, piece, x, top, deck, 2)
    for y, far in ((deck - 2 * CELL, 0), (deck - 2 * CELL + 1, 0)):
        for n in range(3 * CELL):
            piece[y - n // 2, min(x + 2 + n, piece.shape[1] - 1)] = tones(
                "hull", LIT if far else DEEP
            )
    house = art(
        "44444444444444444444 22222222222222222221 .333333333333332110. .3PPPPP3PPPPP32110. "
        ".3PPPPP3PPPPP32110. .3PPPPP3PPPPP32110. .333333333333332110. .222222222222222100. "
        ".333333333333332110. .333333333333332110. .333333333333332110. .222222222222222100. "
        ".333333333333332110. .333333333333332110. .333333333333332110. .333333333333332110.",
        digits(tones, "sail", P=tones("lamp", LIT)),
    )
    lay(piece, house, CELL + 6, deck - 14)
    lay(piece, hull, 0, (rows - 3) * CELL)
    return piece


def draw_dinghy(tones: Tones, seed: int) -> np.ndarray:
    """A rowing boat."""
    hull = draw_hull(tones, 4 + pick_one(seed, 2, "long"), 1, pick_one(seed, 2, "paint") == 1)
    return hull
