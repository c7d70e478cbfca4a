"""What stands at the water's edge, as pieces: quay walls, cranes, lamps, goods, pilings."""

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
from genbg.paint.parts.masonry import blocks

CRATE = (
    "4444444444444440 4333333333333310 4322222222223210 4323333333312210 4323333333122210 "
    "4323333331223210 4323333312233210 4323333122333210 4323331223333210 4323312233333210 "
    "4323122333333210 4321223333333210 4322222222222210 4311111111111110 4111111111111110 "
    "0000000000000000"
)
BARREL = (
    "..22222222222... .2433333322210.. .0000000000000.. .2433333322110.. 22433333322110.. "
    "24333333322110.. 00000000000000.. 24333333322110.. 24333333322110.. 24333333322110.. "
    "00000000000000.. 24333333322110.. .2433333322110.. .0000000000000.. .2433333322110.. "
    "..22222222110..."
)
SACKS = (
    "................ ................ ................ .....33333...... ....4333332..... "
    "...433333321.... ...333333221.... ..333333222111.. .3333.333322211. 433332433332221. "
    "3333323333332211 3333213333322211 3332213333222111 3322112332221111 2221111222211100 "
    "1111100111111000"
)
POTS = (
    "....22222...... ..222222222.... .21212121212... 2212121212122.. 2121212121212.. "
    "2212121212122.. 2121212121212.. 2222222222222.. 3221212121221.. 2121212121212.. "
    "2222222222222.. 1111111111111.."
)
COIL = (
    ".....33333...... ...332222233.... ..32........21.. ..3322222221.... .33..22222..21.. "
    ".3322222222211.. 33..2222222..21. .222222222221... ..2222222111...."
)
BOLLARD = "..344421.. .34444210. .33333210. ..222210.. ..443210.. ..443210.. ..443210.. .34432100."
PILE = "3221000. 3221100. 3221000. 3211000. 3221000. 3221000. 3221100. 3211000."
PILE_CAP = ".44443.. 4444433. 3222110. 2000000. 3221000. 3221000. 3221000. 2000000."


def draw_quay(tones: Tones, seed: int, rows: int, columns: int) -> np.ndarray:
    """A wall (8*rows, 8*columns) of large blocks under a kerb, wet and dark at its foot."""
    lines = rows * CELL
    y = np.arange(lines)[:, None]
    tone = np.clip(BETWEEN + blocks(rows, 8, seed), DEEP, LIT)
    tone = np.tile(tone, (1, -(-columns // 8)))[:, : columns * CELL]
    tone = np.where(y >= 2 * CELL, np.maximum(tone - 1, DEEP), tone)
    kerb = np.array([RIM, RIM, LIT, LIT, LIT, BETWEEN, SHADE, DEEP])
    x = np.arange(columns * CELL)
    tone[:CELL] = kerb[:, None]
    tone[1:6, x % 32 == 31] = SHADE
    return tones.row("stone")[tone]


PORTHOLE = "..0000.. .044410. 04abb410 04bbbb10 04bbbb10 01abba10 .011110. ..0000.."


def draw_side(tones: Tones, rows: int, columns: int) -> np.ndarray:
    """The side of a wooden ship (8*rows, 8*columns): strakes, lit portholes, a wet dark foot."""
    x = np.arange(columns * CELL)
    edge = [RIM, RIM, LIT, LIT, BETWEEN, SHADE, SHADE, DEEP]
    strakes = [BETWEEN, SHADE, SHADE, DEEP, BETWEEN, SHADE, SHADE, DEEP]
    belt = [LIT, LIT, BETWEEN, DEEP, DEEP, SHADE, DEEP, DEEP]
    lines = [*edge, *strakes, *strakes, *belt]
    lines += [DEEP] * (max(0, rows * CELL - len(lines)))
    tone = np.tile(np.array(lines)[: rows * CELL, None], (1, len(x)))
    for line in (CELL, 5 * CELL // 2):
        tone[line : line + 3, x % 64 == (31 if line == CELL else 7)] = DEEP
    side: np.ndarray = tones.row("stone")[tone]
    lamp = {"a": tones("lamp", SHADE), "b": tones("lamp", BETWEEN)}
    porthole = art(PORTHOLE, digits(tones, "stone") | lamp)
    for column in range(2, columns - 1, 6):
        lay(side, porthole, column * CELL, CELL * 3 // 2)
    return side


DECK = (
    "4444444444444444 3333333033333330 2222222022222220 0000000000000000 "
    "1111111111111111 0000000000000000 .2210......2210. .2210.....12210. "
    ".2210....1.2210. .2210...1..2210. .2210..1...2210. .2210.1....2210. "
    ".22101.....2210. .2210......2210. .2210......2210. .1100......1100."
)
"""Two cells of a jetty: planks, a beam, piles and a brace."""


def draw_jetty(tones: Tones, columns: int) -> np.ndarray:
    """A jetty on piles (16, 8*columns); an odd last column is a pile."""
    deck = art(DECK, digits(tones, "hull"))
    return np.tile(deck, (1, columns // 2 + 1))[:, : columns * CELL]


GOODS = 7
"""Kinds of heaps; a prime number, so that any step goes through them all."""


def draw_goods(tones: Tones, kind: int) -> np.ndarray:
    """A heap of what is landed, one of `GOODS`: crates, barrels, sacks, pots, ropes, a bollard."""
    wood = digits(tones, "hull")
    cloth = digits(tones, "sail")
    crate, barrel, sacks = art(CRATE, wood), art(BARREL, wood), art(SACKS, cloth)
    if kind == 0:
        return np.concatenate([crate, crate], axis=1)
    if kind == 1:
        piece = np.zeros((32, 48), dtype=np.int64)
        for x, y, part in ((0, 16, crate), (16, 16, crate), (8, 0, crate), (32, 16, barrel)):
            lay(piece, part, x, y)
        return piece
    if kind == 2:
        return np.concatenate([barrel, barrel, sacks], axis=1)
    if kind == 3:
        return np.pad(art(POTS, wood), ((0, 0), (0, 1)))
    if kind == 4:
        return np.concatenate([sacks, crate], axis=1)
    if kind == 5:
        return np.pad(art(COIL, cloth), ((0, 0), (0, 1)))
    return art(BOLLARD, digits(tones, "stone"))


def draw_piling(tones: Tones, seed: int, rows: int) -> np.ndarray:
    """One to three posts side by side, `rows` cells high, held by a rope."""
    count = 1 + pick_one(seed, 3, "posts")
    key = digits(tones, "hull")
    piece = blank(rows, count)
    for n in range(count):
        drop = 0 if n == count // 2 else 1
        post = np.concatenate([art(PILE_CAP, key), *[art(PILE, key)] * (rows - 1 - drop)])
        lay(piece, post, n * CELL, drop * CELL)
    if count > 1:
        piece[12:14, : count * CELL - 1] = tones("rope", BETWEEN)
    return piece


def draw_crane(tones: Tones, seed: int, room: int) -> np.ndarray:
    """A timber crane: a braced tower with a hut, a jib at 45 degrees, a load on its rope.

    room: cells above the quay
    """
    rows = max(6, min(room, 11 + pick_one(seed, 3, "tall")))
    jib = min(rows - 3, 5)
    piece = blank(rows, jib + 7)
    foot = rows * CELL
    mast = 4 * CELL
    deck = (jib + 1) * CELL
    lit, dark, rope = tones("hull", LIT), tones("hull", DEEP), tones("rope", BETWEEN)
    for x, tone in ((mast, RIM), (mast + 1, LIT), (mast + 2, SHADE), (mast + 3, DEEP)):
        piece[deck - 2 * CELL : foot, x] = tones("hull", tone)
    draw_line(piece, (mast + 2, deck + CELL), foot - deck - CELL, 4, tones("hull", SHADE), 2)
    draw_line(piece, (mast + 2, deck + CELL), foot - deck - CELL, -4, lit, 2)
    for n in range(2):
        y = foot - CELL * (1 + 2 * n)
        half = (y - deck) // 2
        piece[y, mast + 2 - half : mast + 3 + half] = lit
        piece[y + 1, mast + 2 - half : mast + 3 + half] = dark
    for n in range(jib * CELL):
        x = mast + 2 + n
        piece[deck - n : deck - n + 1, x] = lit
        piece[deck - n + 1 : deck - n + 3, x] = tones("hull", SHADE)
        piece[deck - n + 3, x] = dark
    end = mast + 2 + jib * CELL
    drop = (3 + pick_one(seed, 3, "drop")) * CELL
    piece[CELL + 2 : CELL + drop, end - 1] = rope
    load = art(CRATE, digits(tones, "hull"))
    lay(piece, load, end - 8, CELL + drop)
    draw_line(piece, (end - 1, CELL + drop - 7), 7, 7, rope)
    draw_line(piece, (end - 1, CELL + drop - 7), 7, -7, rope)
    hut = art(
        "..44444444444444444444.. .4333333333333333333221. 433333333333333333332211 "
        "000000000000000000000000 .2222222222222222221110. .2222222222222222221110. "
        ".22LLLL2222LLLL2221110.. .22LLLL2222LLLL2221110.. .22LLLL2222LLLL2221110.. "
        ".22222222222222221110... .11111111111111111100... .22222222222222221110... "
        ".22222222222222221110... .11111111111111111100... 444444444444444444442211 "
        "000000000000000000000000",
        digits(tones, "hull", L=tones("lamp", LIT)),
    )
    lay(piece, hut, mast - 2 * CELL, deck - 2)
    return piece
