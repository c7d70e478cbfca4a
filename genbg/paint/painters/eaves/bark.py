"""The wood of near trees: trunk, roots and boughs in one body, bark in long lines, moss."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.edges import shifted
from genbg.paint.craft.exact import smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import between, hash_words
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.craft.wood import (
    Wood,
    bark_grain,
    bough,
    grow_boughs,
    grow_trunk,
    toward_light,
)
from genbg.paint.painters.eaves.keys import Keys, Tree

FURROW = 2.6, 46.0
"""Breadth and length of a furrow in pixels: bark runs in long lines."""
BANDS = np.array([0.0, 1.0, 1.0, 2.0, 3.0, 4.0, 5.2])
"""Tones of wood from its far side to the side that the light grazes."""
BRIGHT = 5.0
"""Tone of lit bark that is marked for the merge: a lamp's tile would do for it by day alone."""
FORKED = 9.0
"""Radius of a trunk from which it may have two stems."""
ROOT = 100
"""Roots of tree n are part n + ROOT."""


def grow_trees(
    keys: Keys, job: Job, trees: list[Tree], crest: np.ndarray
) -> tuple[Wood, list[np.ndarray]]:
    """The wood of all trees, and their boughs."""
    wood = Wood(job.lines, job.width)
    boughs = []
    for n, tree in enumerate(trees):
        own = hash_words(job.seed, "tree", n)
        r = tree.radius
        foot = tree.x, float(crest[int(tree.x) % job.width]) + 5 + tree.deep, r
        trunk = grow_trunk(wood, foot, (tree.x + tree.lean, -14.0, r * 0.62), own, n, 6.0)
        if own % 3 == 0 and r > FORKED:
            _fork(wood, trunk, n, job.lines, hash_words(own, "fork"))
        count = 4 + (r > 8) + (r > 13) + own % 2
        _grow_roots(wood, foot, hash_words(own, "roots"), n + ROOT, count, job.lines - 4.0)
        number = round((2 + 3 * keys.boughs) * (1.0 if r > keys.girth * 0.7 else 0.6))
        reach = 30.0 + r, 50.0 + 2.4 * r
        high = job.lines * between(own, 0.06, 0.12, "high"), job.lines * 0.36
        boughs += grow_boughs(wood, trunk, hash_words(own, "boughs"), n, high, number, reach)
    return wood, boughs


def _fork(wood: Wood, trunk: np.ndarray, part: int, lines: int, seed: int) -> None:
    """A second stem that leaves the trunk at half its height and goes up beside it."""
    at = int(np.argmin(np.abs(trunk[:, 1] - lines * between(seed, 0.34, 0.50, "high"))))
    x, y, r = trunk[at].tolist()
    side = 1 if seed % 2 else -1
    top = x + side * (r * 1.6 + between(seed, 12.0, 24.0, "out")), -10.0, r * 0.42
    wood.sweep(bough((x + side * r * 0.35, y + r, r * 0.72), top, seed, -side * 5.0, 1.2, 10), part)


def _grow_roots(
    wood: Wood, foot: tuple[float, float, float], seed: int, part: int, count: int, lowest: float
) -> None:
    """Roots that leave the trunk as ribs, bend over the ground and end in it, some of them forked.

    foot: x, y, radius of the trunk at the ground; lowest: line that none goes below
    """
    x, y, r = foot
    for n in range(count):
        own = hash_words(seed, n)
        f = (n / max(1, count - 1) - 0.5) * 2.0 + between(own, -0.13, 0.13, 0)
        side = abs(f)
        long = r * (0.6 + 1.3 * side) + between(own, 2.0, 13.0, 1)
        low = min(lowest, y + 3.0 + between(own, 0.0, 6.0, 2) + (1.0 - side) * 9.0)
        knee = x + f * (r * 1.05 + long * 0.3)
        out = x + f * (r * 1.1 + long)
        thick = 1.2 - 0.35 * side
        rib = [
            (x + f * r * 0.40, y - r * 2.0 - between(own, 0.0, 8.0, 3), r * 0.20),
            (x + f * r * 0.62, y - r * 1.3, r * 0.34),
            (x + f * r * 0.98, y - r * 0.5, r * 0.42 * thick),
            (knee, y + (low - y) * 0.35, r * 0.33 * thick),
            ((knee + out) / 2, (y + low) / 2 + between(own, 0.0, 3.0, 4), r * 0.23 * thick),
            (out, low + 1.0, 0.8),
        ]
        wood.sweep(np.array(rib), part, 0.4)
        if own % 3:
            start = (knee + out) / 2, (y + low) / 2 + 1.0, r * 0.14
            end = out - f * 7.0 + between(own, -4, 4, 5), min(lowest, low + 5.0), 0.6
            wood.sweep(bough(start, end, own, 1.5, 1.0, 6), part, 0.2)


def lay_wood(keys: Keys, job: Job, picture: TonalPicture, wood: Wood) -> None:
    """Bark that turns from the light, its far rim in the water's light, moss on what looks up."""
    seed = hash_words(job.seed, "bark")
    lines, width = job.lines, job.width
    y = np.arange(lines)[:, None]
    side = 1.0 if job.light[0] > 0 else -1.0
    toward = toward_light(wood, job.light)
    across = wood.nx * side
    grain = bark_grain(wood, seed, *FURROW)
    place = (np.clip(toward, -1.0, 1.0) + 1.0) * 0.5 * (len(BANDS) - 1)
    low = np.minimum(place.astype(np.intp), len(BANDS) - 2)
    tone = BANDS[low] + (BANDS[low + 1] - BANDS[low]) * (place - low)
    speaks = smooth(wood.radius, 1.5, 5.0) * (0.5 + 3.2 * smooth(toward, -0.35, 0.45))
    tone = tone + (grain - 0.5) * speaks * (1.0 - 0.6 * job.thrift)
    patch = fractal(width, lines, hash_words(seed, "patch"), width // 32, 1 / 34, 2)
    lit = smooth(patch, 0.06, 0.12) * smooth(y, lines * 0.30, lines * 0.42)
    tone = tone + lit * (toward > -0.2) * (wood.radius > 4)
    tone = tone - 1.3 * smooth(y, lines * 0.40, lines * 0.12) * (toward > -0.3)
    core = (wood.radius > 4) & (across < -0.12) & (wood.part < ROOT)
    furrow = core & (grain < 0.16)
    tone = np.where(core, np.where(furrow, 0.0, 1.0), tone)
    tone = np.clip(np.floor(tone + 0.5), 0, 6)
    picture.lay(wood.there, "bark", tone)
    picture.guard |= wood.there & (tone >= BRIGHT)
    rim = (across < -0.66) & (across > -0.90) & (wood.radius > 4) & (grain > 0.3)
    picture.lay(wood.there & rim, "leaves", 1.0 + (y > lines * 0.55) * (grain > 0.5))
    _lay_moss(keys, picture, wood, grain, (toward, side), hash_words(seed, "moss"))
    edge = wood.there & ~shifted(wood.there, -int(side), 0)
    picture.lay(edge & (wood.radius > 3), "bark", 0.0)


def _lay_moss(
    keys: Keys, picture: TonalPicture, wood: Wood, grain: np.ndarray,
    turned: tuple[np.ndarray, float], seed: int,
) -> None:  # fmt: skip
    """Moss that climbs from the roots along the bark's lines, and lies on boughs."""
    toward, side = turned
    lines, width = wood.height.shape
    down = np.arange(lines)[:, None] / lines
    spread = fractal(width, lines, seed, width // 20, 1 / 30, 3).astype(np.float64)
    wish = 0.30 + 0.9 * spread + 0.5 * smooth(down, 0.62, 0.92) + (grain - 0.5) * 0.5
    wish = wish + 0.25 * smooth(-wood.ny, 0.2, 0.7) + 0.12 * (wood.part >= ROOT)
    wish = wish - 0.45 * smooth(wood.nx * side, 0.1, -0.5) - 0.25 * (wood.radius < 3)
    moss = wood.there & (wish > 1.05 - 0.5 * keys.moss)
    tone = 2.2 + 2.6 * toward + 2.0 * (grain - 0.5) + 0.8 * smooth(-wood.ny, 0.0, 0.6)
    picture.lay(moss, "leaves", np.clip(np.floor(tone + 0.5), 1, 6))
