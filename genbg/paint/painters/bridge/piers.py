"""A bridge's piers: their buttresses, courses and feet, and what water shows of them."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.sheet import BETWEEN, DEEP, LIT, RIM, SHADE, Sheet
from genbg.paint.painters.bridge.keys import Keys

COURSES = (0, 0, 0, 1, 0, 1, 1, 1)
"""Which courses of a pier show their joint, and which way its reflection sways.

Any three in a row tell which of eight piers it is: no two look alike (a de Bruijn sequence).
"""


def mark_piers(
    keys: Keys,
    tone: np.ndarray,
    arches: list[tuple[int, int]],
    spring: dict[int, int],
    top: int,
    foot: int,
) -> None:
    """Light and shade down the sides of piers, a course where arches spring, wider feet."""
    columns = tone.shape[1] // CELL
    buttressed = all(
        _room_for_pilaster(tone, arches, n, top, _spring_line(arches, n, spring))
        for n in range(len(arches))
    )
    for n, (column, width) in enumerate(arches):
        after = arches[(n + 1) % len(arches)]
        left = column + width
        cells = (after[0] - left) % columns
        line = _spring_line(arches, n, spring)
        if buttressed:
            _raise_pilaster(tone, left, cells, top)
        x = (left * CELL + np.arange(cells * CELL)) % tone.shape[1]
        part = tone[line:foot]
        part[:, x[0]] = RIM
        shade = x[-max(3, cells * 2) :]
        part[:, shade] = np.maximum(part[:, shade] - 1, DEEP)
        part[:, x[-1]] = DEEP
        wide = (left * CELL + np.arange(-3, cells * CELL + 3)) % tone.shape[1]
        for at, thick in ((line, 3), (foot - CELL, CELL)):
            if at + thick > foot or at < 0:
                continue
            tone[at : at + thick, wide] = LIT if at == line else BETWEEN
            tone[at, wide] = RIM
            tone[at + thick - 1, wide] = SHADE
            tone[at : at + thick, wide[-4:]] = SHADE
        if keys.wear < 1:
            _lay_courses(tone, x[2:-3], range(top // CELL + 1, foot // CELL), n)
        if keys.water:
            tone[foot - 3 : foot, wide] = DEEP


def _lay_courses(tone: np.ndarray, x: np.ndarray, rows: range, pier: int) -> None:
    """Joints across pier number `pier` in some cell rows, in place."""
    for row in rows:
        if COURSES[(row + pier) % len(COURSES)]:
            joint = tone[row * CELL + CELL - 1]
            joint[x] = np.where(joint[x] > SHADE, SHADE, joint[x])


def _spring_line(arches: list[tuple[int, int]], n: int, spring: dict[int, int]) -> int:
    """Line of the cell border at which pier n's sides are straight."""
    after = arches[(n + 1) % len(arches)]
    return (max(spring[arches[n][1]], spring[after[1]]) + CELL - 1) // CELL * CELL


def _strip(left: int, cells: int, width: int) -> np.ndarray:
    """Columns (n,) of the buttress before a pier of `cells` cells."""
    inset = CELL // 2 if cells > 1 else 1
    return (left * CELL + np.arange(inset, cells * CELL - inset)) % width


def _room_for_pilaster(
    tone: np.ndarray, arches: list[tuple[int, int]], n: int, top: int, line: int
) -> bool:
    """Whether no arch of an upper row stands over pier n."""
    column, width = arches[n]
    left = column + width
    cells = (arches[(n + 1) % len(arches)][0] - left) % (tone.shape[1] // CELL)
    clear = _above_rings(tone[top:, _strip(left, cells, tone.shape[1])]).all(axis=1)
    return int(clear.sum()) * 3 >= line - top


def _raise_pilaster(tone: np.ndarray, left: int, cells: int, top: int) -> None:
    """A flat buttress before the wall over a pier, in place; the rings of arches lie before it."""
    x = _strip(left, cells, tone.shape[1])
    part = tone[top:]
    across = np.full(len(x), LIT)
    across[0], across[-3:-1], across[-1] = RIM, BETWEEN, DEEP
    wall = (part[:, x] >= SHADE) & (part[:, x] < RIM) & _above_rings(part[:, x])
    part[:, x] = np.where(wall, across, part[:, x])


def _above_rings(part: np.ndarray) -> np.ndarray:
    """Where nothing but wall lies above: (H, w) bool, down to the first ring or opening."""
    other = (part < SHADE) | (part == RIM)
    other[:1] = False
    return ~np.logical_or.accumulate(other, axis=0)


def reflect(
    keys: Keys, sheet: Sheet, foot: int, tone: np.ndarray, arches: list[tuple[int, int]]
) -> None:
    """Below line `foot` the bridge upside down, darker, broken into dashes that sway, in place."""
    row = np.concatenate([[0], sheet.tones.row("stone")])
    pier = _pier_of(arches, sheet.columns)
    courses = np.array(COURSES)
    for n in range(min(foot, len(sheet.ink) - foot)):
        if n % CELL == 3 or (n > 3 * CELL and n % 4 == 1) or (n > 4 * CELL and n % 2):
            continue
        line = tone[foot - 1 - n]
        dim = np.where(line >= 0, np.maximum(line - 1, DEEP), -1)
        sway = (0, 1, 1, 0, 0, -1, -1, 0)[n % CELL] * (1 + n // (2 * CELL))
        # The foot itself has no joint: its row does not count.
        turned = courses[(foot // CELL - 1 + n // CELL + pier) % len(courses)] * (keys.wear < 1)
        ink = np.where(turned == 1, np.roll(dim, -sway), np.roll(dim, sway))
        sheet.ink[foot + n] = row[ink + 1]
    if foot < len(sheet.ink):
        sheet.ink[foot] = np.where(tone[foot - 1] >= 0, sheet.tones("stone", RIM), 0)


def _pier_of(arches: list[tuple[int, int]], columns: int) -> np.ndarray:
    """Number (8*C,) of the pier from whose arch at the left to whose arch at the right each is."""
    pier = np.zeros(columns, dtype=np.int64)
    for n, (column, width) in enumerate(arches):
        after = arches[(n + 1) % len(arches)]
        bay = (after[0] + after[1] // 2 - column - width // 2) % columns or columns
        pier[(column + width // 2 + np.arange(bay)) % columns] = n
    return np.repeat(pier, CELL)
