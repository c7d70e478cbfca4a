"""How good a picture is, as far as it can be counted, and how unlike two pictures are.

The score is the mean of six parts, each 0 (bad) to 1 (good), in the order of `PARTS`:
  stored   how well the stored planes keep the painted ones: SSIM from 0.95 to 1
  moods    pixels that show another colour than was asked, in the worst mood: 0 at 10 %
  wrap     the lightness step across the plane's wrap against the steps inside it
  clean    single pixels that stand alone outside dither: 0 at 0.5 %
  room     local contrast behind the near band on the lines of play, below that band's own
  rich     colours in use: 1 from 40 on
The weights are equal: a rule of thumb, no source.

Two pictures are as far apart as the mean OKLab distance of their thumbnails of 20 x 14 blocks.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterable, Sequence

import numpy as np

from genbg.colour import oklab_table, srgb_to_oklab
from genbg.measure import round_digits
from genbg.model import Backdrop, EngineLayer

PARTS = ("stored", "moods", "wrap", "clean", "room", "rich")
PLAY = (120, 200)
"""Screen lines where play happens: the lower half of the screen."""
BLOCK = 16
"""Pixels of the blocks in which contrast is local: the height of a small sprite."""
MOST_STRAYS = 0.005
MOST_MOVED = 0.1
RICH = 40
CANDIDATES = 8
"""For each picture to keep, so many of the best-scored are compared with each other."""


def judge(backdrop: Backdrop) -> dict[str, float]:
    """Score and its parts, each 0..1, rounded to six digits."""
    light = oklab_table(backdrop.machine.levels)[:, 0]
    ssim = backdrop.proof.error.ssim
    parts = {
        "stored": min(max((ssim - 0.95) / 0.05, 0.0), 1.0),
        "moods": moods_part(backdrop),
        "wrap": min(wrap_part(light[plane]) for plane in backdrop.proof.painted),
        "clean": clean_part(backdrop.proof.painted),
        "room": room_part(backdrop, light),
        "rich": min(len(np.unique(backdrop.proof.painted)) / RICH, 1.0),
    }
    score = sum(parts[name] for name in PARTS) / len(PARTS)
    return {
        "score": round_digits(score),
        **{name: round_digits(parts[name]) for name in PARTS},
    }


def moods_part(backdrop: Backdrop) -> float:
    """1 where every mood shows what was asked, 0 where one moves `MOST_MOVED` of the pixels."""
    worst = max((one.pixels for one in backdrop.proof.asked.values()), default=0.0)
    return 1.0 - min(worst / MOST_MOVED, 1.0)


def wrap_part(light: np.ndarray) -> float:
    """1 where the step across the wrap is no larger than the 95th percentile of those inside."""
    steps = np.abs(np.roll(light, -1, axis=1) - light).mean(axis=0)
    inside = float(np.sort(steps[:-1])[int(0.95 * (len(steps) - 1))])
    return 1.0 if steps[-1] <= inside else inside / float(steps[-1])


def clean_part(planes: np.ndarray) -> float:
    """1 without stray pixels, 0 at `MOST_STRAYS`; a dithered pixel has its like 2, 4 or 8 away."""
    alone = np.ones(planes.shape, dtype=bool)
    for reach, steps in ((1, _ring(1)), (2, _ring(2)), (4, _ring(4)), (8, ((0, 8), (0, -8)))):
        del reach
        for step in steps:
            alone &= planes != np.roll(planes, step, axis=(1, 2))
    return float(1.0 - min(alone.mean() / MOST_STRAYS, 1.0))


def _ring(far: int) -> tuple[tuple[int, int], ...]:
    return tuple((y, x) for y in (-far, 0, far) for x in (-far, 0, far) if y or x)


def room_part(backdrop: Backdrop, light: np.ndarray) -> float:
    """1 where what lies behind the near band is calmer than the band itself."""
    bands = [layer for layer in backdrop.layers if layer.alpha.any() and layer.plane != "sprites"]
    if len(bands) < 2:
        return 1.0
    near = max(bands, key=lambda layer: float(np.abs(layer.ratio).max()))
    behind = local_contrast(*_stack([one for one in bands if one is not near], light))
    own = local_contrast(light[near.number], near.alpha)
    return 1.0 if behind <= own else own / behind


def _stack(layers: Sequence[EngineLayer], light: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Layers laid over each other on the lines of play: lightness and where anything is."""
    top, bottom = PLAY
    width = layers[0].number.shape[1]
    shown = np.zeros((bottom - top, width))
    filled = np.zeros((bottom - top, width), dtype=bool)
    for layer in layers:
        first, last = max(top, layer.top), min(bottom, layer.top + len(layer.number))
        if first >= last:
            continue
        rows = slice(first - layer.top, last - layer.top)
        there = slice(first - top, last - top)
        np.copyto(shown[there], light[layer.number[rows]], where=layer.alpha[rows])
        filled[there] |= layer.alpha[rows]
    return shown, filled


def local_contrast(light: np.ndarray, filled: np.ndarray) -> float:
    """Mean deviation of lightness in blocks that are at least half filled."""
    H, W = (side // BLOCK * BLOCK for side in light.shape)

    def cut(values: np.ndarray) -> np.ndarray:
        parts = values[:H, :W].reshape(H // BLOCK, BLOCK, W // BLOCK, BLOCK)
        return parts.transpose(0, 2, 1, 3).reshape(-1, BLOCK * BLOCK)

    weight = cut(filled).astype(np.float64)
    enough = weight.sum(axis=1) * 2 >= BLOCK * BLOCK
    weight, value = weight[enough], cut(light)[enough]
    if not len(weight):
        return 0.0
    count = weight.sum(axis=1)
    mean = (value * weight).sum(axis=1) / count
    spread = (((value - mean[:, None]) ** 2) * weight).sum(axis=1) / count
    return float(np.sqrt(spread).mean())


def thumbnail(rgb: np.ndarray) -> np.ndarray:
    """OKLab means (14, 20, 3) of a still (H, W, 3) uint8."""
    rows = np.array_split(srgb_to_oklab(rgb), 14, axis=0)
    return np.array(
        [[b.reshape(-1, 3).mean(axis=0) for b in np.array_split(row, 20, axis=1)] for row in rows]
    )


def best_scored(rows: Iterable[tuple[float, int]], keep: int) -> list[int]:
    """Numbers of the best-scored rows, best first; ties: the lower number. Memory: `keep` rows."""
    best = heapq.nsmallest(keep * CANDIDATES, ((-score, number) for score, number in rows))
    return [number for _, number in best]


def choose_unlike(thumbs: Sequence[np.ndarray], keep: int) -> list[int]:
    """Places of `keep` pictures that differ most, the first one always among them.

    Farthest-first traversal: each next one is the picture whose nearest chosen one is farthest,
    which is at least half as good as the best choice there is (T. Gonzalez, "Clustering to minimize
    the maximum intercluster distance", Theoretical Computer Science 38, 1985). Ties: lowest place.
    """
    if not thumbs:
        return []
    stack = np.stack(thumbs)
    chosen = [0]
    nearest = _distance(stack, stack[0])
    while len(chosen) < min(keep, len(thumbs)):
        nearest[chosen] = -1.0
        far = int(np.argmax(np.round(nearest, 9)))
        chosen.append(far)
        nearest = np.minimum(nearest, _distance(stack, stack[far]))
    return chosen


def _distance(stack: np.ndarray, one: np.ndarray) -> np.ndarray:
    return np.sqrt(((stack - one) ** 2).sum(axis=-1)).mean(axis=(1, 2))
