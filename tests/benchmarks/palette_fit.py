"""The palette fit beside what general tools give, and the error figures beside scikit-image.

    python tests/benchmarks/palette_fit.py

For each picture: the squared error of our fit over that of the other way, and our time over its
time, both in the same run. The other way, with scikit-learn: k-means to 60 colours for the picture,
k-means of the cells by the colours they show into four groups, each group's 15 commonest colours as
its row, each cell the row that shows it best. Pictures are scikit-image's photographs at 512x256,
one or two planes of them.
Ends with 1 where a photograph comes out with more than 0.6 of the other way's error, or
where the error figures take longer than scikit-image's structural similarity alone.
"""

from __future__ import annotations

import math
import sys
import time
from collections.abc import Callable
from typing import Any

import numpy as np
from skimage import data
from skimage.metrics import structural_similarity
from skimage.transform import resize
from sklearn.cluster import KMeans

from genbg.colour import LINEAR_LEVELS, oklab_table, snap_srgb
from genbg.measure import error_figures
from genbg.model import InkColours, PlanePicture
from genbg.quantize.fit import fit_palette

SIZE = (256, 512)
PICTURES = (
    ("coffee", "astronaut"),
    ("chelsea", "rocket"),
    ("coffee",),
    ("astronaut",),
    ("rocket",),
)


def best(work: Callable[[], Any], runs: int = 3) -> tuple[float, Any]:
    """Shortest time of some runs, in seconds, and the result."""
    shortest, result = math.inf, None
    for _ in range(runs):
        began = time.perf_counter()
        result = work()
        shortest = min(shortest, time.perf_counter() - began)
    return shortest, result


def photograph(name: str) -> np.ndarray:
    """Colour numbers of one of scikit-image's photographs, cut to the plane's shape."""
    picture = getattr(data, name)()
    height, width = picture.shape[:2]
    lines = min(height, width // 2)
    top = (height - lines) // 2
    picture = resize(picture[top : top + lines, : 2 * lines], SIZE, anti_aliasing=True)
    return snap_srgb(np.rint(picture * 255).astype(np.uint8))


def as_planes(pictures: list[np.ndarray]) -> tuple[PlanePicture, PlanePicture, InkColours]:
    """The pictures as front and back plane; a single one leaves the back plane empty."""
    used = np.unique(np.stack(pictures))
    planes = [(np.searchsorted(used, one) + 1).astype(np.uint16) for one in pictures]
    planes += [np.zeros(SIZE, np.uint16)] * (2 - len(planes))
    blank, low = np.zeros(SIZE, bool), np.zeros((SIZE[0] // 8, SIZE[1] // 8), bool)
    front, back = (PlanePicture(ink, blank, low) for ink in planes)
    return front, back, InkColours(("home",), np.concatenate([[0], used])[None].astype(np.uint16))


def fit_generally(pictures: list[np.ndarray]) -> float:
    """Summed squared OKLab error of the other way."""
    used, point = np.unique(np.stack(pictures), return_inverse=True)
    lab = oklab_table()[used]
    means = KMeans(60, n_init=1, random_state=0).fit(lab, sample_weight=np.bincount(point.ravel()))
    colours = means.cluster_centers_
    blocks = point.reshape(len(pictures), SIZE[0] // 8, 8, SIZE[1] // 8, 8).swapaxes(2, 3)
    cells = blocks.reshape(-1, 64)
    near = ((lab[:, None] - colours[None]) ** 2).sum(axis=2).argmin(axis=1)[cells]
    place = np.arange(len(cells))[:, None] * 60 + near
    count = np.bincount(place.ravel(), minlength=60 * len(cells)).reshape(-1, 60)
    group = KMeans(4, n_init=3, random_state=0).fit_predict(count)
    rows = [np.argsort(-count[group == g].sum(axis=0), kind="stable")[:15] for g in range(4)]
    gap = [((lab[:, None] - colours[row][None]) ** 2).sum(axis=2).min(axis=1) for row in rows]
    return float(np.stack(gap)[:, cells].sum(axis=2).min(axis=0).sum())


def compare_photographs() -> bool:
    """Print a line for each picture; True where every error is low enough."""
    holds = True
    for names in PICTURES:
        pictures = [photograph(name) for name in names]
        planes = as_planes(pictures)
        other_time, other = best(lambda given=pictures: fit_generally(given), 1)
        ours_time, fitted = best(lambda given=planes: fit_palette(*given, LINEAR_LEVELS))
        error = fitted.mse * 2 * SIZE[0] * SIZE[1] / other
        holds &= error <= 0.6
        print(
            f"{'+'.join(names):18} {planes[2].colours.shape[1] - 1:4d} colours   "
            f"error {error:5.3f}   time {ours_time / other_time:5.2f}"
        )
    return holds


def compare_figures() -> bool:
    """Print the error figures' time over that of scikit-image's SSIM alone; True below 1."""
    painted = np.stack([photograph("coffee"), photograph("astronaut")])
    stored = np.where(np.random.default_rng(0).random(painted.shape) < 0.1, painted[::-1], painted)
    light = oklab_table()[:, 0]

    def by_library() -> None:
        for a, b in zip(painted, stored, strict=True):
            structural_similarity(
                light[a], light[b], gaussian_weights=True, sigma=1.5, data_range=1
            )

    ours, _ = best(lambda: error_figures(painted, stored))
    theirs, _ = best(by_library)
    print(f"all error figures: {ours / theirs:.2f} of the library's SSIM, {1e3 * ours:.0f} ms")
    return ours < theirs


if __name__ == "__main__":
    held = [compare_photographs(), compare_figures()]
    sys.exit(0 if all(held) else 1)
