"""Lighthouses and huts as pieces: a round or a stepped tower with its lamp, a hut on piles.

All stand on whole cells, drawn for light from the left.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import pick_one
from genbg.paint.craft.sheet import BETWEEN, DEEP, LIT, RIM, SHADE, Tones, art, blank, lay
from genbg.paint.parts.houses import House, draw_house
from genbg.paint.parts.lamps import draw_lamp_post
from genbg.paint.parts.vessels import draw_dinghy

ROUND = (RIM, LIT, LIT, LIT, BETWEEN, SHADE, SHADE, DEEP)
"""Tones across a round tower, in eighths of its width."""
HEAD = (
    "...........rR........... ...........rR........... ..........rrrR.......... "
    ".........qrrrRR......... .......qqrrrrRRRr....... ......qqrrrrrRRRRr...... "
    ".....dddddddddddddd..... ......MddLLLLLLddM...... ......MdLLLLLLLLdM...... "
    "......MdLLLLLLLLdM...... ......MdLLLLLLLLdM...... ......MdLLLLLLLLdM...... "
    "......MdLLLLLLLLdM...... ......MddLLLLLLddM...... .d..d.dddddddddd.d..d... "
    ".dddddddddddddddddddddd. .d..d..d..d..d..d..d..d. .d..d..d..d..d..d..d..d. "
    "444433333333222221111000 .0000000000000000000000. ..00000000000000000000.. "
    "....3333333322211110.... ....4333333322211100.... ....4333333322211100...."
)
"""A lantern room under its dome, with its gallery, three cells wide. L lamp, M its frame."""
CHAMBER = (
    "...........rR........... ...........rR........... ..........qrRR.......... "
    ".........qrrRRR......... ........qrrrRRRR........ .......qrrrrRRRRR....... "
    "......qrrrrrRRRRRR...... .....qrrrrrrRRRRRRR..... ....dddddddddddddddd.... "
    ".....43dddddddddd10..... .....43dMLLLLLLMd10..... .....43dLLLLLLLLd10..... "
    ".....43dLLLLLLLLd10..... .....43dLLLLLLLLd10..... .....43dLLLLLLLLd10..... "
    ".....43dLLLLLLLLd10..... .....43dMLLLLLLMd10..... .....43dddddddddd10..... "
    "..44333333333322211100.. ..33333333333311110000.. ...dddddddddddddddddd..."
)
"""A lamp's open chamber under a roof of four sides, three cells wide."""
STAGES = ((20, 0), (28, 38), (36, 70))
"""Stages of a square tower from above: pixels wide, and at which hundredth of the height below the
chamber each begins."""
PANE = "dddd dLLd dLLd dLLd dddd"
PILES = "..21......21.... ..21......21...."


def draw_lighthouse(tones: Tones, rows: int, seed: int) -> np.ndarray:
    """A lighthouse `rows` cells high, painted in rings, its lamp lit: (8 * rows, 40)."""
    piece = blank(rows, 5)
    height, middle = len(piece), piece.shape[1] // 2
    first = 21
    ring = 2 + pick_one(seed, 2, "rings")
    wall, paint = tones.row("wall"), tones.row("roof")
    for y in range(first, height):
        half = 8 + 6 * (y - first) // max(1, height - first)
        x = np.arange(2 * half) * len(ROUND) // (2 * half)
        painted = (y - first) * (2 * ring + 1) // max(1, height - first) % 2 == 1
        row = (paint if painted else wall)[np.array(ROUND)[x]]
        piece[y, middle - half : middle + half] = row
    pane = art(PANE, {"d": tones("wood", DEEP), "L": tones("window", RIM)})
    for n, y in enumerate(range(first + 2 * CELL, height - CELL, 3 * CELL)):
        lay(piece, pane, middle - 4 + 3 * (n % 2), y)
    lay(piece, art(HEAD, _head_inks(tones)), middle - 12, 0)
    return piece


def draw_stepped(tones: Tones, rows: int, seed: int) -> np.ndarray:
    """A square tower `rows` cells high, seen on its edge, in three stages: (8 * rows, 40).

    Each stage begins with a cornice and a band of tiles; one face is lit, the other in shade.
    """
    piece = blank(rows, 5)
    height, middle = len(piece), piece.shape[1] // 2
    first = 21
    wall, tile = tones.row("wall"), tones.row("roof")
    pane = art(PANE, {"d": tones("wood", DEEP), "L": tones("window", RIM)})
    for wide, share in STAGES:
        top = first + share * (height - first) // 100 // 4 * 4
        left, edge, right = middle - wide // 2, middle + wide // 10, middle + wide // 2
        piece[top:, left:edge], piece[top:, edge:right] = wall[LIT], wall[SHADE]
        piece[top:, left : left + 2], piece[top:, right - 3 : right] = wall[RIM], wall[DEEP]
        for y, lit, dark in ((4, BETWEEN, DEEP), (5, LIT, SHADE), (6, LIT, SHADE)):
            piece[top + y : top + y + 1, left:edge] = tile[lit]
            piece[top + y : top + y + 1, edge:right] = tile[dark]
        piece[top : top + 2, left - 2 : edge] = wall[RIM]
        piece[top : top + 2, edge : right + 2] = wall[SHADE]
        piece[top + 2 : top + 3, left - 2 : right + 2] = wall[DEEP]
        if top + 3 * CELL <= height:
            lay(piece, pane, middle - 6 + 2 * pick_one(seed, 2, wide), top + 12)
    lay(piece, art(CHAMBER, _head_inks(tones)), middle - 12, 0)
    return piece


TOWERS = {"round": draw_lighthouse, "stepped": draw_stepped}
"""Towers that a lighthouse may be, by name."""


def _head_inks(tones: Tones) -> dict[str, int]:
    wall, roof = tones.row("wall").tolist(), tones.row("roof").tolist()
    inks = {str(n): ink for n, ink in enumerate(wall)}
    inks |= {"q": roof[RIM], "r": roof[LIT], "R": roof[SHADE]}
    return inks | {
        "d": tones("wood", DEEP),
        "L": tones("window", RIM),
        "M": tones("window", DEEP),
    }


def draw_hut(tones: Tones, seed: int, columns: int, rows: int, roof: str = "hip") -> np.ndarray:
    """A small house with a light in every window."""
    house = House(columns, rows, 2, roof, "wall", "roof", 2 * CELL, 1.0, 1.0, seed)
    return draw_house(tones, house)


def draw_stilts(tones: Tones, seed: int, rows: int) -> np.ndarray:
    """A hut on piles with a landing, a lamp at its end and a boat: (8 * rows, 128)."""
    columns = 16
    piece = blank(rows, columns)
    foot = len(piece)
    deck = foot - 2 * CELL
    wood = tones.row("wood")
    hut = draw_hut(tones, seed, 5, max(2, rows - 6))
    lay(piece, hut, 3 * CELL, deck - len(hut))
    post = draw_lamp_post(tones, "wood", "window", 4)
    lay(piece, post, 13 * CELL - CELL // 2, deck - len(post))
    piece[deck : deck + 4, CELL : (columns - 1) * CELL] = wood[np.array([RIM, LIT, SHADE, DEEP])][
        :, None
    ]
    inks = {"2": int(wood[LIT]), "1": int(wood[DEEP])}
    piles = np.tile(art(PILES, inks), (2 * CELL, columns // 2 - 1))[: foot - deck - 4]
    lay(piece, piles, CELL, deck + 4)
    boat = draw_dinghy(tones, seed)
    lay(piece, boat, 11 * CELL + 4 * pick_one(seed, 3, "boat"), foot - len(boat))
    return piece
