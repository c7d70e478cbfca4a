"""General methods on the same cells: what the reducer is measured against.

FasterPAM: E. Schubert and P. Rousseeuw, Information Systems 101, 2021, as the package `kmedoids`
has it; the pairwise merge: W. Equitz, "A new vector quantization clustering algorithm", IEEE
Trans. ASSP 37(10), 1989; Ward: J. H. Ward, J. Amer. Statist. Assoc. 58(301), 1963, as
scikit-learn has it. All see every cell in OKLab; flips are tried where a distance is worked out
here, and are fixed beforehand (the canonical flip) where the package works it out itself.
"""

from __future__ import annotations

import time
import warnings
from collections.abc import Callable

import kmedoids
import numpy as np
from reducer_inputs import Input
from sklearn.cluster import AgglomerativeClustering, KMeans
from sklearn.exceptions import ConvergenceWarning

from genbg.colour import LAB_SCALE
from genbg.reduce.exact import cut_cells, find_cells, flip_tiles, join_cells

Result = tuple[np.ndarray, float]


class Cells:
    """Cells of an input in OKLab: look (n, 8, 8, 3), and what the anchors share."""

    def __init__(self, given: Input):
        fitted = given.fitted
        found = find_cells(fitted.index, fitted.row)
        ink = fitted.palette[found.row[:, None, None], cut_cells(fitted.index)]
        self.look = given.lab[ink, :3].astype(np.float32) / LAB_SCALE
        self.canonical, self.shape = found.flip, found.shape
        self.distinct = len(found.tiles)
        inks = [row[row > 0] for row in fitted.palette]
        if (fitted.index == 0).any():  # see-through counts as the backdrop colour
            inks = [np.append(row, 0) for row in inks]
        self.rows = [given.lab[row, :3].astype(np.float32) / LAB_SCALE for row in inks]

    def picture(self, look: np.ndarray) -> np.ndarray:
        """Planes (planes, H, W, 3) of cells (n, 8, 8, 3)."""
        channels = [join_cells(look[..., c], self.shape) for c in range(3)]
        return np.stack(channels, axis=-1).astype(np.float64)


def turn(look: np.ndarray, flip: int) -> np.ndarray:
    return np.moveaxis(flip_tiles(np.moveaxis(look, 3, 1), flip), 1, 3)


def turn_each(look: np.ndarray, flip: np.ndarray) -> np.ndarray:
    result = np.empty_like(look)
    for number in range(4):
        result[flip == number] = turn(look[flip == number], number)
    return result


def distances(a: np.ndarray, b: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Squared distance (n, m) under the best flip, and that flip."""
    flat = a.reshape(len(a), -1)
    own = (flat * flat).sum(axis=1)
    other = (b.reshape(len(b), -1) ** 2).sum(axis=1)
    best, flip = np.full((len(a), len(b)), np.inf, dtype=np.float32), None
    flip = np.zeros(best.shape, dtype=np.uint8)
    for number in range(4):
        turned = np.ascontiguousarray(turn(b, number)).reshape(len(b), -1)
        found = own[:, None] + other - 2 * (flat @ turned.T)
        lower = found < best
        best[lower], flip[lower] = found[lower], number
    return np.maximum(best, 0), flip


def snapped(cells: Cells, label: np.ndarray, flip: np.ndarray) -> np.ndarray:
    """Free tiles: aligned centroids (k, 8, 8, 3) in the colours of the row that suits best."""
    count = np.bincount(label)
    centre = np.zeros((len(count), 8, 8, 3), dtype=np.float32)
    np.add.at(centre, label, turn_each(cells.look, flip))
    centre /= np.maximum(count, 1)[:, None, None, None]
    least, result = np.full(len(count), np.inf), np.zeros_like(centre)
    for colours in cells.rows:
        if not len(colours):
            continue
        off = ((centre[:, :, :, None] - colours) ** 2).sum(axis=4)
        whole = off.min(axis=3).sum(axis=(1, 2))
        better = whole < least
        least[better], result[better] = whole[better], colours[off.argmin(axis=3)][better]
    return result


def nearest(cells: Cells, tiles: np.ndarray) -> np.ndarray:
    """Every cell shown by the tile nearest to it."""
    found, flip = distances(cells.look, tiles)
    label = found.argmin(axis=1)
    return turn_each(tiles[label], flip[np.arange(len(label)), label])


def faster_pam(cells: Cells, budget: int) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    found, flip = distances(cells.look, cells.look)
    np.fill_diagonal(found, 0)
    result = kmedoids.fasterpam(found, budget, random_state=0, n_cpu=1)
    medoid, label = np.asarray(result.medoids), np.asarray(result.labels).astype(np.intp)
    return medoid, label, flip[np.arange(len(label)), medoid[label]]


def merged_pairs(
    look: np.ndarray, canonical: np.ndarray, budget: int
) -> tuple[np.ndarray, np.ndarray]:
    """Label and flip of every cell after merging the cheapest pair again and again.

    Equal cells, up to flips, cost nothing to merge, so they begin as one.
    """
    upright = turn_each(look, canonical)
    same = np.unique(upright.reshape(len(look), -1), axis=0, return_index=True, return_inverse=True)
    first, member = same[1], same[2].reshape(-1)
    owner, flip = merged_groups(upright[first], np.bincount(member).astype(np.float32), budget)
    return owner[member], canonical ^ flip[member]


def merged_groups(
    look: np.ndarray, weight: np.ndarray, budget: int
) -> tuple[np.ndarray, np.ndarray]:
    """The same for distinct cells that stand for so many each."""
    count = len(look)
    # about the mean, where products are small, float32 loses nothing that counts
    look = look - look.mean(axis=(0, 1, 2), dtype=np.float64).astype(np.float32)
    turned = [turn(look, f).reshape(count, -1).copy() for f in range(4)]
    alive, length = np.ones(count, dtype=bool), (turned[0] ** 2).sum(axis=1)
    owner, flip = np.arange(count), np.zeros(count, dtype=np.uint8)
    cost = distances(look, look)[0] * (weight * weight[:, None] / (weight + weight[:, None]))
    np.fill_diagonal(cost, np.inf)
    near = cost.argmin(axis=1)
    least = cost[owner, near]

    def likenesses(one: int) -> np.ndarray:
        return np.stack([part @ turned[0][one] for part in turned])

    for _ in range(count - budget):
        keep = int(least.argmin())
        gone = int(near[keep])
        keep, gone = (keep, gone) if weight[keep] >= weight[gone] else (gone, keep)
        way = int(likenesses(keep)[:, gone].argmax())
        flip[owner == gone] ^= np.uint8(way)
        owner[owner == gone] = keep
        both = weight[keep] + weight[gone]
        centre = (weight[keep] * turned[0][keep] + weight[gone] * turned[way][gone]) / both
        weight[keep], length[keep] = both, (centre**2).sum()
        for number in range(4):
            turned[number][keep] = turn(centre.reshape(1, 8, 8, 3), number).reshape(-1)
        alive[gone] = False
        least[gone], cost[gone], cost[:, gone] = np.inf, np.inf, np.inf
        fresh = length + length[keep] - 2 * likenesses(keep).max(axis=0)
        fresh = np.maximum(fresh, 0) * weight * both / (weight + both)
        fresh[~alive], fresh[keep] = np.inf, np.inf
        cost[keep], cost[:, keep] = fresh, fresh
        stale = alive & ((near == gone) | (near == keep))
        stale[keep] = True
        for one in np.flatnonzero(stale):
            near[one] = cost[one].argmin()
            least[one] = cost[one, near[one]]
        closer = alive & (fresh < least)
        near[closer], least[closer] = keep, fresh[closer]
    return np.unique(owner, return_inverse=True)[1], flip


def timed(work: Callable[[], np.ndarray]) -> Result:
    began = time.perf_counter()
    result = work()
    return result, time.perf_counter() - began


def run_anchors(cells: Cells, budget: int, slow: bool = True) -> dict[str, Result]:
    """Planes and seconds of every anchor; slow: KMeans, Ward and the pairwise merge too."""
    began = time.perf_counter()
    medoid, label, flip = faster_pam(cells, budget)
    spent = time.perf_counter() - began
    shown = turn_each(cells.look[medoid[label]], flip)
    free, more = timed(lambda: nearest(cells, snapped(cells, label, flip)))
    result = {
        "FasterPAM": (cells.picture(shown), spent),
        "FasterPAM + free": (cells.picture(free), spent + more),
    }
    if not slow:
        return result
    flat = turn_each(cells.look, cells.canonical).reshape(len(cells.look), -1)

    def clustered(method: KMeans | AgglomerativeClustering) -> np.ndarray:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore", ConvergenceWarning)
            found = method.fit(flat).labels_
        return nearest(cells, snapped(cells, found, cells.canonical))

    def pairs() -> np.ndarray:
        number, way = merged_pairs(cells.look, cells.canonical, budget)
        return turn_each(snapped(cells, number, way)[number], way)

    for name, work in (
        ("KMeans", lambda: clustered(KMeans(budget, n_init=1, random_state=0))),
        ("Ward", lambda: clustered(AgglomerativeClustering(budget, linkage="ward"))),
        ("pairwise merge", pairs),
    ):
        shown, spent = timed(work)
        result[name] = cells.picture(shown), spent
    return result
