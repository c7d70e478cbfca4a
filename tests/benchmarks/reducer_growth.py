"""How the reducer grows with the number of cells: a long level of photographs to 1000 tiles.

    python tests/benchmarks/reducer_growth.py [--cells N ...]

Every cell is distinct, the worst there can be. The table gives seconds, seconds over N log N
beside the first line's, peak memory of the process's arrays in MB and the visible error a pixel.
Where one table of costs holds all cells too, a second line gives the full method's.
"""

from __future__ import annotations

import argparse
import math
import time
import tracemalloc

import numpy as np
from PIL import Image
from reducer_inputs import PHOTOGRAPHS, Input, dithered, fitted_picture
from skimage import data

from genbg.colour import LAB_SCALE, distance_steps
from genbg.reduce import buckets
from genbg.reduce.exact import flip_each, join_cells
from genbg.reduce.tiles import reduce_tiles

BUDGET = 1000
HEIGHT = 256
CELLS = (7_680, 15_360, 30_720, 61_440)
FULL = 8_192
"""Cells up to which the full method is run as well: its table takes 4 bytes a pair."""


def long_level(cells: int) -> Input:
    """One plane, as wide as it takes, of photographs side by side and over again in other sizes."""
    names = [name for name in PHOTOGRAPHS if not name.endswith("*")]
    width, parts, turn = cells * 64 // HEIGHT, [], 0
    while sum(part.shape[1] for part in parts) < width:
        picture = Image.fromarray(getattr(data, names[turn % len(names)])()).convert("RGB")
        scale = (HEIGHT + 40 * (turn // len(names) + 1)) / picture.height
        size = round(picture.width * scale), round(picture.height * scale)
        parts.append(np.asarray(picture.resize(size, Image.Resampling.LANCZOS))[:HEIGHT])
        turn += 1
    return fitted_picture(f"{cells} cells", dithered(np.concatenate(parts, axis=1)[:, :width]))


def square_error(
    given: Input, stored: np.ndarray, row: np.ndarray, order: np.ndarray | None = None
) -> float:
    """Mean squared OKLab distance a pixel of entries stored in palette rows of some order."""
    fitted, lab = given.fitted, given.lab[:, :3]
    wide = [part.repeat(8, axis=1).repeat(8, axis=2) for part in (fitted.row, row)]
    palette = fitted.reordered(order).palette
    meant, shown = fitted.palette[wide[0], fitted.index], palette[wide[1], stored]
    return int(distance_steps(lab[shown], lab[meant]).sum()) / (LAB_SCALE**2 * stored.size)


def run(given: Input) -> tuple[float, float, float]:
    """Seconds, peak MB and error of one reduction; memory is taken in a run of its own."""
    began = time.perf_counter()
    merged = reduce_tiles(given.fitted, BUDGET, given.guard, free=given.free)
    spent = time.perf_counter() - began
    tracemalloc.start()
    reduce_tiles(given.fitted, BUDGET, given.guard, free=given.free)
    peak = tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    stored = merged.cells
    flip = (stored.hflip + 2 * stored.vflip).reshape(-1)
    tiles = flip_each(stored.tiles[stored.number.reshape(-1)], flip)
    index = join_cells(tiles, stored.row.shape)
    return spent, peak, square_error(given, index, stored.row, merged.entry_order)


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--cells", nargs="*", type=int, default=CELLS)
    unit = None
    for cells in parser.parse_args().cells:
        given = long_level(cells)
        spent, peak, error = run(given)
        share = spent / (cells * math.log(cells))
        unit = unit or share
        print(f"{cells:6} {spent:6.1f} s  {share / unit:5.2f} x N log N", end="  ")
        print(f"{peak:5.0f} MB  error {error:.6f}", flush=True)
        if cells <= FULL:
            kept, buckets.LARGEST = buckets.LARGEST, 2 * FULL
            spent, peak, full = run(given)
            buckets.LARGEST = kept
            print(f"  full {spent:6.1f} s  {peak:5.0f} MB  {full:.6f}, {error / full:.3f} of it")


if __name__ == "__main__":
    main()
