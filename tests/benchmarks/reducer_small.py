"""Small cases, 120 cells to 40 tiles, beside the exact optimum of choosing among existing ones.

    python tests/benchmarks/reducer_small.py [--pictures FOLDER]

Windows of 12 x 10 cells from scikit-image's photographs and the PNG files of a folder. The optimum
is the p-median's, by HiGHS: no method that keeps existing tiles goes below it. Prints the
squared error over the optimum's for every window, the median and the largest. Ends with 1 where the
median is above 0.89 or one is above 0.94.
"""

from __future__ import annotations

import argparse
import itertools
import sys
from collections.abc import Iterator
from pathlib import Path

import numpy as np
from reducer_inputs import Input, folder_pictures, photographs

sys.path.append(str(Path(__file__).parents[1] / "reduce"))

from exact_optimum import exact_medians, pair_errors
from reduce_samples import square_error

from genbg.reduce.exact import find_cells
from genbg.reduce.judge import Judged
from genbg.reduce.tiles import reduce_tiles

ROWS, COLUMNS, BUDGET = 10, 12, 40
PLACES = ((0.2, 0.2), (0.5, 0.5), (0.8, 0.7))
"""Where windows lie, as shares of a picture's height and width."""

MEDIAN, MOST = 0.89, 0.94


def windows(given: Input) -> Iterator[tuple[str, Judged]]:
    """Windows in which nearly every cell is distinct."""
    rows, columns = given.fitted.row.shape[1:]
    for down, right in PLACES:
        y, x = int(down * (rows - ROWS)), int(right * (columns - COLUMNS))
        index = given.fitted.index[:1, 8 * y : 8 * (y + ROWS), 8 * x : 8 * (x + COLUMNS)]
        row = given.fitted.row[:1, y : y + ROWS, x : x + COLUMNS]
        fitted = Judged(given.fitted.palette, index, row, given.lab[:, :3])
        if len(find_cells(index, row).tiles) >= 3 * BUDGET - BUDGET // 4:
            yield f"{given.name[:16]} {y},{x}", fitted


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pictures", type=Path, help="a folder of PNG files")
    folder = parser.parse_args().pictures
    found = []
    for given in itertools.chain(photographs(), folder_pictures(folder) if folder else ()):
        for name, fitted in windows(given):
            guard = np.zeros(fitted.index.shape, dtype=bool)
            stored = reduce_tiles(fitted, BUDGET, guard, free=given.free)
            optimum = exact_medians(*pair_errors(fitted), BUDGET)
            found.append(square_error(fitted, stored) / optimum)
            print(f"{name:24} {found[-1]:.3f}", flush=True)
    median, most = float(np.median(found)), max(found)
    print(f"{len(found)} windows: median {median:.3f}, most {most:.3f}")
    return int(median > MEDIAN or most > MOST)


if __name__ == "__main__":
    sys.exit(main())
