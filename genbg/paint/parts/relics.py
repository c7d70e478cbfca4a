"""Pieces of ruins: columns, colonnades, walls with empty windows, arches, fallen stones.

All stand on whole cells with their light from the left; what is broken ends in steps of stones of
four pixels. Materials are named by the caller, so a far rank takes paler ones.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import hash_words, pick, pick_one
from genbg.paint.craft.sheet import BETWEEN, DEEP, LIT, RIM, SHADE, Tones, art, digits, lay
from genbg.paint.parts.masonry import arch_head, arch_mask, arch_ring, blocks, broken_line

WALL_PATCH = 4
"""Cell rows after which a wall's blocks repeat."""
CAPITAL = (
    "4444444444444444 3333333333333210 .43333332222110. 4334333322222110 3213333322221010 "
    ".2.43333221101.. ...0000000000... ...3423232110..."
)
BASE = (
    "...3423232110... ...0000000000... ..443333222110.. ..332222111000.. .44433333222110. "
    ".33322222111000. 4444433333222110 3333222222111000"
)
WIDE = "...3423232110..."
"""One line of a shaft of two cells."""
RUBBLE = (
    "................ ................ ................ ................ .....444........ "
    "....433321...... ...4333221...44. ..1222211.44332. .44333110433221. 4333322143322110 "
    "3332221033221110 1111000011000000",
    "........................ ........................ ..........44444......... "
    ".........4333331........ ..444....433322104444... .43333.44322211433333... "
    "433322144332110.433322.. 33322104333221033322210. 1111000033111001111100..",
    "................ ....444444...... ..4432223344.... .43211112233321. .42100012223321. "
    ".42100012223221. .43211122232211. ..3322222221110. ...11111111000..",
)
"""Fallen blocks, and the drum of a column on its side."""


def draw_column(tones: Tones, stone: str, rows: int, whole: bool, seed: int) -> np.ndarray:
    """A column two cells wide, `rows` cells high, with its capital or broken off."""
    inks = digits(tones, stone)
    line = art(WIDE, inks)
    piece = np.tile(line, (rows * CELL, 1))
    dark = {
        str(n): ink for n, ink in enumerate([*[int(tones(stone, DEEP))] * 2, *tones.row(stone)])
    }
    for row in range(2, rows - 1, 2):
        lay(piece, art(WIDE, dark), 0, row * CELL + 6)
    lay(piece, art(BASE, inks), 0, (rows - 1) * CELL)
    if whole:
        lay(piece, art(CAPITAL, inks), 0, 0)
    else:
        fall = 4 + broken_line(2, hash_words(seed, "break"), 8)
        gone = np.arange(len(piece))[:, None] < fall[None, :]
        edge = ~gone & (np.arange(len(piece))[:, None] < fall[None, :] + 1)
        piece[edge & (piece > 0)] = tones(stone, RIM)
        piece[gone] = 0
    return piece


def draw_colonnade(
    tones: Tones, stone: str, rows: int, count: int, broken: float, seed: int
) -> np.ndarray:
    """Columns in a row with what is left of the beam that they carried."""
    step = 4 + pick_one(seed, 2, "step")
    piece = np.zeros((rows * CELL, ((count - 1) * step + 4) * CELL), dtype=np.int64)
    fallen = pick(seed, 1000, np.arange(count), 1) < broken * 900
    fallen[pick_one(seed, count, "last")] = False
    for n in range(count):
        lost = 1 + pick_one(seed, max(1, rows * 2 // 3), n, "lost") if fallen[n] else 0
        column = draw_column(
            tones, stone, max(2, rows - 2 - lost), not fallen[n], hash_words(seed, n)
        )
        lay(piece, column, (n * step + 1) * CELL, len(piece) - len(column))
    beam = draw_beam(tones, stone, step)
    for n in range(count - 1):
        if not fallen[n] and not fallen[n + 1]:
            lay(piece, beam, (n * step + 1) * CELL, 0)
        elif not fallen[n]:
            lay(
                piece,
                beam[:, : 3 * CELL - 4 * pick_one(seed, 2, n, "stub")],
                n * step * CELL + 4,
                0,
            )
    return piece


def draw_beam(tones: Tones, stone: str, step: int) -> np.ndarray:
    """Two cell rows of beam, `step + 2` cells long: from one column to the next and over both."""
    row = tones.row(stone)
    lines = [RIM, LIT, LIT, SHADE, BETWEEN, LIT, LIT, LIT, SHADE, DEEP, RIM, BETWEEN, BETWEEN]
    lines += [BETWEEN, SHADE, DEEP]
    beam = np.tile(row[np.array(lines)][:, None], (1, (step + 2) * CELL))
    x = np.arange(beam.shape[1])
    beam[5:8, (x % 8 == 2) | (x % 8 == 5)] = row[SHADE]
    beam[10:14, x % 32 == 31] = row[SHADE]
    beam[:, 0] = np.where(beam[:, 0] == row[DEEP], beam[:, 0], row[RIM])
    beam[:, -2:] = row[SHADE]
    return beam


def draw_wall(
    tones: Tones, stone: str, columns: int, rows: int, broken: float, pointed: bool, seed: int
) -> np.ndarray:
    """A wall with empty windows and a broken top; its right end shows its thickness in shade."""
    patch = BETWEEN + blocks(WALL_PATCH, 8, hash_words(seed % 3, stone), 4)
    tone = np.tile(patch, (-(-rows // WALL_PATCH), -(-columns // 8)))
    tone = tone[: rows * CELL, : columns * CELL].copy()
    end = columns * CELL - CELL
    tone[:, end:] = np.maximum(tone[:, end:] - 1, DEEP)
    tone[:, 0] = RIM
    fall = broken_line(columns, hash_words(seed, "top"), int(broken * rows * CELL * 0.35))
    fall = fall + _collapse(columns, int(broken * rows * CELL), hash_words(seed, "collapse"))
    fall[end:] += 8
    y = np.arange(rows * CELL)[:, None]
    width = 2 + 2 * (columns >= 9 and pick_one(seed, 2, "wide"))
    high = min(rows - 2, width + 2)
    stone_row = tones.row(stone)
    if high > 2 and columns >= width + 3:
        step = width + 2
        count = max(1, (columns - 2) // step)
        first = (columns - 1 - count * step + 2) // 2
        for n in range(count):
            _open_window(tone, first + n * step, rows - 1 - high, width, high, pointed)
    edge = (y >= fall) & (y < fall + 1)
    tone = np.where(edge & (tone >= 0), RIM, tone)
    tone[-2:] = np.where(tone[-2:] >= 0, SHADE, tone[-2:])
    return np.where((y < fall) | (tone < 0), 0, stone_row[np.maximum(tone, 0)])


def _collapse(columns: int, deep: int, seed: int) -> np.ndarray:
    """Lines (8*columns,) by which one end of a wall, or its middle, has come down in stairs."""
    x = np.arange(columns * CELL)
    kind = pick_one(seed, 4, "where")
    far = {0: x, 1: columns * CELL - 1 - x, 2: np.abs(x - columns * CELL // 2)}.get(kind)
    if far is None:
        return np.zeros_like(x)
    reach = columns * CELL // 2
    steep = np.clip(reach - far, 0, reach) * deep // (reach * 5) * 4
    return np.where(steep > 0, steep + 4 * (pick(seed, 3, x // 8, 1) - 1), 0).clip(0)


def _open_window(
    tone: np.ndarray, column: int, row: int, width: int, high: int, pointed: bool
) -> None:
    """An empty window with its ring of stones and a sill, in place; tone -1 is see-through."""
    span, lines = width * CELL, high * CELL
    opening = arch_mask(span, lines, pointed)
    ring, joint = arch_ring(span, lines, 4, pointed)
    x, y = column * CELL, row * CELL
    place = tone[y - 4 : y + lines, x - 4 : x + span + 4]
    ring, joint = ring[: len(place), : place.shape[1]], joint[: len(place), : place.shape[1]]
    place[ring] = np.where(joint, SHADE, LIT)[ring]
    part = tone[y : y + lines, x : x + span]
    part[opening] = -1
    inner = opening.copy()
    inner[:, 4:] = opening[:, 4:] & ~opening[:, :-4]
    part[inner] = DEEP
    tone[y + lines : y + lines + 3, x - 3 : x + span + 3] = np.array([RIM, LIT, SHADE])[:, None]


def draw_arch(
    tones: Tones, stone: str, span: int, rows: int, half: bool, pointed: bool, seed: int
) -> np.ndarray:
    """A free-standing arch `span` cells wide inside, whole or with one side fallen."""
    pier = 2
    columns = span + 2 * pier
    tone = np.tile(
        BETWEEN + blocks(2, 8, hash_words(seed % 3, stone), 3), (-(-rows // 2), columns // 8 + 1)
    )[: rows * CELL, : columns * CELL]
    crown = 2 * CELL
    lines = rows * CELL - crown
    opening = arch_mask(span * CELL, lines, pointed)
    ring, joint = arch_ring(span * CELL, lines, 6, pointed)
    part = tone[crown - 6 :, pier * CELL - 6 : (pier + span) * CELL + 6]
    upper = np.arange(len(ring))[:, None] < span * CELL // 5
    part[ring] = np.where(joint, SHADE, np.where(upper, RIM, LIT))[ring]
    inner = opening.copy()
    inner[:, 5:] = opening[:, 5:] & ~opening[:, :-5]
    hole = tone[crown:, pier * CELL : (pier + span) * CELL]
    hole[opening] = -1
    hole[inner] = DEEP
    line = crown + arch_head(span * CELL, pointed)
    line = line // CELL * CELL
    for left in (0, (pier + span) * CELL):
        tone[line:, left] = LIT
        shade = tone[line:, left + pier * CELL - 5 : left + pier * CELL]
        shade[shade >= 0] = SHADE
    fall = broken_line(columns, hash_words(seed, "top"), 12)
    if half:
        # One side has gone from somewhere over the opening on.
        gone = (pier * 2 + span) * CELL // 2 + 4 * (pick_one(seed, 5, "gone") - 1)
        x = np.arange(columns * CELL)
        stump = rows * CELL - (2 + pick_one(seed, 3, "stump")) * CELL
        steps = np.maximum(x - gone + 8, 0) // 8 * 12
        steps = np.where(x >= gone + CELL, rows * CELL, steps)
        over = x >= (pier + span) * CELL - 4
        fall = np.where(
            over, stump + broken_line(columns, hash_words(seed, "end"), 12), fall + steps
        )
    y = np.arange(rows * CELL)[:, None]
    tone = np.where((y >= fall) & (y < fall + 1) & (tone >= 0), RIM, tone)
    return np.where((y < fall) | (tone < 0), 0, tones.row(stone)[np.maximum(tone, 0)])


def draw_rubble(tones: Tones, stone: str, seed: int) -> np.ndarray:
    """A few fallen stones."""
    piece = art(RUBBLE[pick_one(seed, len(RUBBLE), "kind")], digits(tones, stone))
    return np.pad(piece, ((0, 0), (0, -piece.shape[1] % CELL)))
