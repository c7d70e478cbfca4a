"""The reducer beside general methods, in one run on the same cells.

    python tests/benchmarks/reducer.py [--pictures FOLDER] [--fast] [--only NAME ...] [--third N]

Inputs: scikit-image's photographs fitted to four palette rows, every bundled preset, and the PNG
files of a folder, each at 25, 35 and 50 % of its distinct tiles. The table gives mse, seam and
bmse as ratios to FasterPAM's (less is better), SSIM less that of the best anchor, s/i, time over
FasterPAM's with its distance matrix, and peak memory. Ends with the medians, and with 1 where a
picture comes out worse than an anchor on mse, seam or bmse.

What anchors reach on an input does not change, so it is kept in a folder of the system's temporary
files, under the bytes of the input and of the anchors' source. Times are not: FasterPAM is timed
again on every input of one plane, which is what the promise of speed is about; on others times are
those of the first run.
"""

from __future__ import annotations

import argparse
import hashlib
import itertools
import json
import sys
import tempfile
import time
import tracemalloc
from collections import defaultdict
from pathlib import Path

import numpy as np
import reducer_anchors
import reducer_measures
from reducer_anchors import Cells, run_anchors
from reducer_inputs import Input, folder_pictures, photographs, presets
from reducer_measures import cell_errors, measure

from genbg.colour import LAB_SCALE
from genbg.reduce.exact import flip_each, join_cells
from genbg.reduce.search import MODES
from genbg.reduce.tiles import Merged, reduce_tiles

SHARES = (25, 35, 50)
RATIOS = ("mse", "seam", "bmse")
BUNDLED = Path(__file__).parents[2] / "presets"
KEPT = Path(tempfile.gettempdir()) / "genbg-anchors"
"""Where figures of anchors are kept from run to run."""


def stored_planes(given: Input, merged: Merged) -> np.ndarray:
    """Planes (planes, H, W, 3) OKLab of what the reducer stored."""
    stored = merged.cells
    flip = (stored.hflip + 2 * stored.vflip).reshape(-1)
    tiles = flip_each(stored.tiles[stored.number.reshape(-1)], flip)
    index = join_cells(tiles, stored.row.shape)
    row = stored.row.repeat(8, axis=1).repeat(8, axis=2)
    palette = given.fitted.reordered(merged.entry_order).palette
    return given.lab[palette[row, index], :3] / LAB_SCALE


def run_ours(given: Input, budget: int, mode: str) -> tuple[np.ndarray, float, float]:
    """Planes, seconds (best of two) and peak memory in MB of one mode."""
    spent = []
    for _ in range(2):
        began = time.perf_counter()
        merged = reduce_tiles(given.fitted, budget, given.guard, mode, free=given.free)
        spent.append(time.perf_counter() - began)
    assert len(merged.cells.tiles) <= budget
    tracemalloc.start()
    reduce_tiles(given.fitted, budget, given.guard, mode, free=given.free)
    peak = tracemalloc.get_traced_memory()[1] / 1e6
    tracemalloc.stop()
    return stored_planes(given, merged), min(spent), peak


def anchor_figures(
    given: Input, cells: Cells, budget: int, slow: bool
) -> dict[str, dict[str, float]]:
    """Measures of the anchors, worked out or kept from another run."""
    digest = hashlib.sha256(f"{budget} {slow}".encode())
    for module in (reducer_anchors, reducer_measures):
        digest.update(Path(str(module.__file__)).read_bytes())
    fitted = given.fitted
    for part in (fitted.palette, fitted.index, fitted.row, given.lab):
        digest.update(np.ascontiguousarray(part).tobytes())
    kept = KEPT / f"{digest.hexdigest()}.json"
    if kept.exists():
        result: dict[str, dict[str, float]] = json.loads(kept.read_text())
        if cells.shape[0] == 1:
            began = time.perf_counter()
            reducer_anchors.faster_pam(cells, budget)
            result["FasterPAM"]["time"] = time.perf_counter() - began
        return result
    painted = cells.picture(cells.look)
    result = {}
    for name, (shown, spent) in run_anchors(cells, budget, slow).items():
        result[name] = measure(painted, shown) | {"time": spent, "memory": float("nan")}
        result[name]["worst"], result[name]["p99.9"] = cell_errors(painted, shown)
    KEPT.mkdir(exist_ok=True)
    kept.write_text(json.dumps(result))
    return result


def compare(given: Input, share: int, slow: bool) -> dict[str, dict[str, float]]:
    """All measures of all methods for one input and one budget."""
    cells = Cells(given)
    budget = max(1, cells.distinct * share // 100)
    painted = cells.picture(cells.look)
    result = anchor_figures(given, cells, budget, slow)
    anchors = list(result)
    for mode in MODES:
        shown, spent, peak = run_ours(given, budget, mode)
        result[mode] = measure(painted, shown) | {"time": spent, "memory": peak}
        result[mode]["worst"], result[mode]["p99.9"] = cell_errors(painted, shown)
    base, ssim = dict(result["FasterPAM"]), max(result[name]["ssim"] for name in anchors)
    greedy = result.get("pairwise merge", base)["seam"]
    for figures in result.values():
        figures["seam/pairs"] = figures["seam"] / max(greedy, 1e-12)
        figures["ssim"] -= ssim
        for key in (*RATIOS, "time", "worst", "p99.9"):
            figures[key] /= max(base[key], 1e-12)
    return result


def keep_anchors(given: Input, share: int, slow: bool) -> None:
    """Work out what the anchors reach, for runs to come."""
    cells = Cells(given)
    anchor_figures(given, cells, max(1, cells.distinct * share // 100), slow)
    print(f"{given.name[:16]:16} {share}", flush=True)


def line(figures: dict[str, float]) -> str:
    """One line of the table."""
    return (
        " ".join(f"{key} {figures[key]:.3f}" for key in (*RATIOS, "seam/pairs"))
        + f" ssim {figures['ssim']:+.4f} s/i {figures['s/i']:.3f} time {figures['time']:5.2f}"
        + f" worst {figures['worst']:.2f} {figures['p99.9']:.2f} MB {figures['memory']:.0f}"
    )


def worse(result: dict[str, dict[str, float]]) -> list[str]:
    """Measures on which the default mode does not beat every anchor."""
    anchors = [figures for name, figures in result.items() if name not in MODES]
    return [
        key for key in RATIOS if result["balanced"][key] >= min(figures[key] for figures in anchors)
    ]


def main() -> int:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--pictures", type=Path, help="a folder of PNG files")
    parser.add_argument("--fast", action="store_true", help="FasterPAM is the only anchor")
    parser.add_argument("--only", nargs="*", help="names of inputs")
    parser.add_argument("--third", type=int, choices=(1, 2, 3), help="every third input alone")
    parser.add_argument("--anchors", action="store_true", help="only work out and keep the anchors")
    options = parser.parse_args()
    inputs = itertools.chain(
        folder_pictures(options.pictures) if options.pictures else (),
        photographs(),
        presets(BUNDLED),
    )
    table: dict[str, list[dict[str, float]]] = defaultdict(list)
    faults = 0
    for place, given in enumerate(inputs):
        if options.only and given.name not in options.only:
            continue
        if options.third and place % 3 != options.third - 1:
            continue
        for share in SHARES:
            if options.anchors:
                keep_anchors(given, share, not options.fast)
                continue
            result = compare(given, share, not options.fast)
            failed = worse(result)
            faults += bool(failed)
            for name, figures in result.items():
                table[name].append(figures)
                mark = " ".join(failed) if name == "balanced" else ""
                print(f"{given.name[:16]:16} {share} {name:16} {line(figures)} {mark}", flush=True)
    if options.anchors:
        return 0
    for name, rows in table.items():
        median = {key: float(np.median([row[key] for row in rows])) for key in rows[0]}
        print(f"{'median of':16} {len(rows)} {name:16} {line(median)}")
    print(f"{faults} of {len(table['balanced'])} not better than every anchor on all of {RATIOS}")
    return int(faults > 0)


if __name__ == "__main__":
    sys.exit(main())
