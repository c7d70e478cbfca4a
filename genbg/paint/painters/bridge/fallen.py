"""What has fallen of a bridge: a stretch down to the water, or only parts of the upper tier."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import hash_words, pick, pick_one
from genbg.paint.craft.sheet import LIT, RIM, SHADE
from genbg.paint.painters.bridge.crowns import nearest_place
from genbg.paint.painters.bridge.keys import Keys


def break_stretch(
    keys: Keys,
    tone: np.ndarray,
    arches: list[tuple[int, int]],
    top: int,
    foot: int,
    seed: int,
) -> np.ndarray:
    """Take away in place what has fallen around one arch; returns how many lines (W,) are gone.

    Two stubs step down to the arch, of which the springers are left; in the water lie its stones.
    """
    column, width = arches[_fallen_arch(keys, arches, tone.shape[1] // CELL, seed)]
    x = np.arange(tone.shape[1])
    off = np.abs(_across(len(x), column * CELL + width * CELL // 2))
    reach = max(keys.broken // 2, 2 * CELL)
    stone = x // 4
    ragged = 4 * pick(seed, 4, stone // 2, 1) + 4 * pick(seed, 2, stone, 2)
    tall = foot - top
    inner = min(width * CELL // 2 - CELL, reach - CELL)
    share = np.clip((reach - off) * 256 // max(1, reach - inner), 0, 256)
    gone = np.where(off < reach, (share * share * tall * 5 // (8 * 65536) + ragged) // 4 * 4, 0)
    gone = np.where(off < inner, tall - 2 * pick(seed, 3, stone // 3, 3), gone)
    gone = np.minimum(gone, tall)
    down = np.arange(len(tone))[:, None] - top
    tone[down < gone] = -1
    rubble = (down >= gone) & (down < tall) & (off < inner)
    tone[rubble & (tone < 0)] = SHADE
    _light_edge(tone, gone, top)
    return gone


def open_tier(
    keys: Keys,
    tone: np.ndarray,
    arches: list[tuple[int, int]],
    top: int,
    floor: int,
    seed: int,
) -> np.ndarray:
    """Take away in place stretches of the wall above line `floor`; returns lines gone (W,).

    They lie at even steps from the stretch that has fallen, each between two piers of which stumps
    stand on; one of its sides steps down steeply, the other one slowly.
    """
    width, tall = tone.shape[1], max(0, floor - top)
    gone = np.zeros(width, dtype=np.int64)
    first = _fallen_arch(keys, arches, width // CELL, seed)
    stone = np.arange(width) // 4
    ragged = 4 * pick(hash_words(seed, "gaps"), 3, stone // 2, 1) - 4
    stumps = _pier_columns(arches, width) * (12 + 4 * pick(seed, 3, stone // 4, 5))
    for n in range(keys.gaps):
        column, cells = arches[(first + (n + 1) * len(arches) // (keys.gaps + 1)) % len(arches)]
        across = _across(width, column * CELL + cells * CELL // 2)
        bay = cells * CELL + max(CELL, keys.pier)
        steep = -1 if pick_one(seed, 2, "steep", n) else 1
        inner = np.where(across * steep > 0, bay, bay * 3 // 4)
        slope = np.where(across * steep > 0, 2 * CELL, bay // 2 + CELL)
        share = np.clip(256 - (np.abs(across) - inner) * 256 // slope, 0, 256)
        fall = share * share * tall // 65536
        fall = np.where(fall > 0, np.clip(fall + ragged - stumps, 0, tall), 0) // 4 * 4
        gone = np.maximum(gone, fall)
    tone[np.arange(len(tone))[:, None] - top < gone] = -1
    _light_edge(tone, gone, top)
    return gone


def _fallen_arch(keys: Keys, arches: list[tuple[int, int]], columns: int, seed: int) -> int:
    """Number of the arch that has fallen, or would have."""
    wish = round(keys.broken_at * columns) + 8 * pick_one(seed, 3, "fallen") - 8
    return nearest_place(arches, wish, columns)


def _across(width: int, middle: int) -> np.ndarray:
    """Pixels (W,) from column `middle`, wrapping: below 0 on its left."""
    return (np.arange(width) - middle + width // 2) % width - width // 2


def _pier_columns(arches: list[tuple[int, int]], width: int) -> np.ndarray:
    """Whether each column (W,) belongs to a pier, as 1 or 0."""
    pier = np.ones(width // CELL, dtype=np.int64)
    for column, cells in arches:
        pier[(column + np.arange(cells)) % len(pier)] = 0
    return np.repeat(pier, CELL)


def _light_edge(tone: np.ndarray, gone: np.ndarray, top: int) -> None:
    """Light along the upper edge of what is left, in place."""
    down = np.arange(len(tone))[:, None] - top
    edge = (gone > 0) & (tone >= 0)
    tone[edge & (down == gone)] = RIM
    tone[edge & (down == gone + 1)] = LIT
