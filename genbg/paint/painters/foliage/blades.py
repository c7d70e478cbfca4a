"""Blades, fronds, stalks and vines: plants of single strokes, drawn as stamps of whole cells.

Tones are those of `relief.py`, 0 deep shade to 4 rim; -1 see-through, and HEAD for what is of
another material at the tip: a bulrush's head, a flower. All is drawn for light from the left.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import pick, pick_one

DEEP, SHADE, BETWEEN, LIT, RIM = range(5)
HEAD = 8
"""HEAD + tone: the same tones of the material at the tip."""


def empty(columns: int, rows: int) -> np.ndarray:
    return np.full((rows * CELL, columns * CELL), -1, dtype=np.int64)


def stroke(
    piece: np.ndarray, x: int, height: int, lean: int, wide: int, tone: int, foot: int | None = None
) -> tuple[int, int]:
    """A blade in place, from the foot at column x up; returns (x, y) of its tip.

    lean: pixels to the right at the tip, more of it the higher; wide: pixels at the foot
    Its left side is a tone lighter where it is wider than one pixel.
    """
    bottom = len(piece) if foot is None else foot
    place = x
    for up in range(height):
        y = bottom - 1 - up
        place = x + (lean * up * up + height * height // 2) // (height * height)
        thick = max(1, (wide * (height - up) + height - 1) // height)
        for n in range(thick):
            column = place - thick // 2 + n
            if 0 <= column < piece.shape[1] and 0 <= y < len(piece):
                piece[y, column] = min(tone + 1, RIM) if n == 0 and thick > 1 else tone
    return place, bottom - height


def blot(piece: np.ndarray, part: np.ndarray, x: int, y: int) -> None:
    """Put a part of tones in place, its top left at (x, y), cut off at the edges."""
    top, left = max(0, y), max(0, x)
    bottom, right = min(len(piece), y + len(part)), min(piece.shape[1], x + part.shape[1])
    if top < bottom and left < right:
        cut = part[top - y : bottom - y, left - x : right - x]
        place = piece[top:bottom, left:right]
        place[...] = np.where(cut >= 0, cut, place)


def art(text: str, base: int = 0) -> np.ndarray:
    """Tones (h, w) from text: digits are tones, "." is see-through, a..e tones of the tip."""
    return np.array(
        [
            [
                -1 if sign == "." else int(sign) + base if sign.isdigit() else HEAD + ord(sign) - 97
                for sign in row
            ]
            for row in text.split()
        ]
    )


BULRUSH = art(".d. .d. cdb cdb cdb cdb cdb cdb cdb .b.")
PLUME = art("...dd. ..dddc .dddcc dddcc. .dcc.. ddcc.. .cc... ccb... .cb...")
HEADS = {"reeds": BULRUSH, "plumes": PLUME}
VINE_LEAVES = (art("4432. 33321 .221. ..1.."), art(".2344 12333 .122. ..1.."))
FLOWERS = (art(".dd. deed dccd .cc."), art("d.d ded .c."), art(".d. ddd .c."))


def tuft(columns: int, rows: int, seed: int, blades: int) -> np.ndarray:
    """Grass: back blades dark and high, front ones light and low."""
    piece = empty(columns, rows)
    width, height = columns * CELL, rows * CELL
    order = np.arange(blades)
    at = 2 + (order * (width - 4) // blades + pick(seed, 5, order, 0)) % (width - 4)
    for rank, tone in enumerate((DEEP, SHADE, BETWEEN)):
        for n in order[pick(seed, 3, order, 1) == rank].tolist():
            share = 100 - 22 * rank - pick_one(seed, 30, n, "tall")
            tall = max(4, height * share // 100)
            lean = pick_one(seed, 15, n, "lean") - 7
            lean = min(max(lean, 1 - int(at[n])), width - 2 - int(at[n]))
            stroke(piece, int(at[n]), tall, lean, 2 + (tall > 12), tone)
    return piece


def reeds(columns: int, rows: int, seed: int, heads: str) -> np.ndarray:
    """Reeds: straight stalks with long leaves; at some tips what `HEADS` has for `heads`."""
    piece = empty(columns, rows)
    width, height = columns * CELL, rows * CELL
    count = max(3, width // 4)
    for n in range(count):
        x = 3 + (n * (width - 6) // count + pick_one(seed, 4, n, "x")) % (width - 6)
        tone = (DEEP, SHADE, SHADE, BETWEEN)[n * 4 // count if seed % 2 else pick_one(seed, 4, n)]
        tall = height * (96 - 12 * tone - pick_one(seed, 26, n, "tall")) // 100
        lean = pick_one(seed, 7, n, "lean") - 3
        lean = min(max(lean, 4 - x), width - 5 - x)
        if heads in HEADS and pick_one(seed, 2, n, "kind") == 0:
            head = HEADS[heads]
            tip = stroke(piece, x, tall - 6, lean, 1, tone)
            blot(piece, head, tip[0] - head.shape[1] // 2, tip[1] - len(head) + 3)
        else:
            bow = lean + (6 if pick_one(seed, 2, n, "bow") else -6)
            bow = min(max(bow, 2 - x), width - 3 - x)
            stroke(piece, x, tall * 3 // 4, bow, 3, tone)
    return piece


def fern(columns: int, rows: int, seed: int) -> np.ndarray:
    """A fern: fronds that arch out of one root, with leaflets on both sides."""
    piece = empty(columns, rows)
    width, height = columns * CELL, rows * CELL
    reach = width // 2 - 3
    fronds = ((-100, 40), (100, 44), (-92, 66), (90, 70), (-66, 86), (62, 90), (-24, 98), (22, 100))
    for n, (out, up) in enumerate(fronds):
        tone = (DEEP, DEEP, SHADE, DEEP, BETWEEN, SHADE, BETWEEN, SHADE)[n]
        tip = pick_one(seed, 9, n, "tip") - 4
        _frond(piece, width // 2, reach * (out + tip) // 104, height * up // 104 - 2, tone)
    return piece


def _frond(piece: np.ndarray, x: int, out: int, up: int, tone: int) -> None:
    """One frond in place: an arch from (x, foot) to a tip that hangs, leaflets along both sides."""
    foot = len(piece)
    length = max(abs(out), up, 4)
    for n in range(length + 1):
        t = n * 256 // length
        px = x + out * t // 256
        py = foot - 1 - up * (t * (420 - t) // 256) * 3 // (2 * 256)
        if not (1 <= px < piece.shape[1] - 1 and 1 <= py < foot):
            continue
        leaf = 1 + min(6, 1 + length // 5) * min(t, 2 * (256 - t), 128) // 128
        if n % 3 == 2:
            leaf = leaf // 2
        piece[max(0, py - leaf // 2) : py, px] = min(tone + 1, RIM)
        piece[py + 1 : min(foot, py + 1 + leaf), px] = tone
        piece[py, px] = min(tone + 2, RIM)


def vine(columns: int, rows: int, seed: int) -> np.ndarray:
    """Vines that hang from the stamp's top, leaf by leaf, dark behind and light before."""
    piece = empty(columns, rows)
    width, height = columns * CELL, rows * CELL
    count = max(2, width // 7)
    for n in range(count):
        tone = (DEEP, SHADE, BETWEEN)[n % 3]
        x = 3 + (n * (width - 6) // count + pick_one(seed, 4, n, "x")) % (width - 6)
        tall = height * (100 - 15 * (n % 3) - pick_one(seed, 35, n, "tall")) // 100
        for y in range(tall):
            sway = (0, 0, 1, 1, 1, 0, 0, -1)[(y // 3 + n) % 8]
            piece[y, min(max(x + sway, 0), width - 1)] = max(tone - 1, DEEP)
        for y in range(2, tall - 3, 4):
            side = (y // 4 + n) % 2
            leaf = VINE_LEAVES[side]
            leaf = np.where(leaf >= 0, np.clip(leaf + tone - 2, DEEP, RIM), -1)
            blot(piece, leaf, x if side else x - 4, y)
    return piece
