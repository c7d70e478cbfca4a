"""Ragged lines on the cell grid: outlines, ridge lines and face edges that share their tiles.

A path is known by its places at the cell borders, all multiples of a quantum of pixels. Between
two borders it follows a shape from a small table, chosen by the step it makes and a variant. Two
cells that a path crosses in the same way hold the same pixels, and since every shape is symmetric
about its middle, paths that run the other way are flips of it.
"""

from __future__ import annotations

import functools

import numpy as np

from genbg.paint.craft.scatter import pick, pick_one

LONGEST = 48
"""The largest step between two borders, in pixels; longer ones are straight."""


@functools.lru_cache(maxsize=64)
def shape_table(seed: int, variants: int, rag: int) -> np.ndarray:
    """Shapes (LONGEST+1, variants, 8) int64: offsets of the 8 pixels for every step >= 0.

    rag: pixels by which a shape may leave the straight line, in bites of two pixels. Every shape f
    of a step s has f[j] + f[7-j] = s, so that its flips are shapes of the table too.
    """
    table = np.zeros((LONGEST + 1, variants, 8), dtype=np.int64)
    for step in range(LONGEST + 1):
        for variant in range(variants):
            bites = [pick_one(seed, 2 * rag + 1, step, variant, n) - rag for n in (0, 1)]
            for j in range(4):
                straight = (step * (2 * j + 1) + 8) // 16
                f = straight + bites[j // 2]
                table[step, variant, j], table[step, variant, 7 - j] = f, step - f
    table.setflags(write=False)
    return table


def draw_paths(places: np.ndarray, seed: int, variants: int = 2, rag: int = 1) -> np.ndarray:
    """Places (P, 8*B) int64 of paths at every pixel, from those at the borders (P, B+1).

    rag: see `shape_table`; 0 draws smooth lines
    """
    steps = np.diff(places, axis=1)
    size = np.minimum(np.abs(steps), LONGEST)
    number = np.arange(len(places))[:, None]
    chosen = pick(seed, variants, number, np.arange(steps.shape[1])[None, :])
    shapes = shape_table(seed, variants, rag)[size, chosen]
    pixels = places[:, :-1, None] + np.sign(steps)[..., None] * shapes
    return pixels.reshape(len(places), 8 * steps.shape[1])


def snap(values: np.ndarray, quantum: int) -> np.ndarray:
    """Nearest multiples int64 of `quantum`; halves go up."""
    return np.floor(values / quantum + 0.5).astype(np.int64) * quantum
