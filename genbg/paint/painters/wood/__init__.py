"""Painter of near trees: trunks, boughs and roots that grip the ground, under a ragged canopy.

Wood is swept spheres (`craft/wood.py`), leaves are stamped masses (`craft/leaves.py`), the ground
is two ridges of turf (`craft/ground.py`), one behind the trees and one before them. Trees stand
about the scene's light and leave it free.
"""

from __future__ import annotations

from dataclasses import replace

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Job, Painter
from genbg.paint.craft.air import away, pool
from genbg.paint.craft.edges import remove_strays
from genbg.paint.craft.exact import fall, sine, smooth
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.ground import Turf, grass, ground_shadows, lay_ridge, torn
from genbg.paint.craft.leaves import LeafSheet
from genbg.paint.craft.repeat import Repeat, repeat_texture
from genbg.paint.craft.scatter import bell, between, hash_words, unit
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.craft.wood import (
    Wood,
    bark_grain,
    bark_tone,
    grow_boughs,
    grow_roots,
    grow_trunk,
)
from genbg.paint.painters.wood.crowns import grow_canopy, light_behind, roof_depth
from genbg.paint.painters.wood.keys import RAMPS, Keys, Tree, stand
from genbg.paint.parts.reeds import grow_reeds

REPEATS = (
    Repeat("leaves", 8, 2.6),
    Repeat("moss", 6, 2.2),
    Repeat("bark", 1, 0.8, 0.6, rows=4),
)
"""Leaves and turf look the same wherever they are as light."""


def paint(keys: Keys, job: Job) -> Painting:
    """Trees from the layer's first line to its last, see-through between them."""
    seed = job.seed
    picture = TonalPicture(job, RAMPS)
    trees = stand(keys, job)
    light_x = job.body.x if job.body else trees[0].x + job.width / 3
    crest = _crest(keys, job, trees)
    wood, boughs = _grow(keys, job, trees, crest)
    glow = light_behind(job.lines, job.width, light_x, 100.0)
    ground = _ground(job, trees, crest, light_x)
    back, front = ground
    picture.lay(back.covered, "moss", back.level)
    _lay_wood(keys, job, picture, wood, glow)
    picture.lay(front.covered, "moss", front.level)
    if keys.leafy and keys.canopy > 0:
        hang = keys.canopy * job.lines * 0.5
        deep = roof_depth(job.width, hang, light_x, keys.room * 0.8, hash_words(seed, "roof"))
        glow = glow * (1.0 - 0.5 * job.thrift)
        sheet = grow_canopy(boughs, glow, deep, job.light, keys.creepers, hash_words(seed, "crown"))
        picture.lay(sheet.covered, "leaves", np.minimum(np.floor(sheet.level + 0.5), 8))
    painting = picture.painting()
    painting = replace(painting, ink=remove_strays(painting.ink))
    return repeat_texture(painting, job.top, REPEATS)


def _crest(keys: Keys, job: Job, trees: list[Tree]) -> np.ndarray:
    """The ground's crest (W,): it rises at trees and dips into a cove."""
    seed = hash_words(job.seed, "crest")
    x = np.arange(job.width)
    room = max(12.0, job.lines * (1.0 - keys.ground))
    fall_off = sine(x / job.width + between(seed, 0.0, 1.0, "turn")) * between(seed, 0.0, 0.5, "by")
    edge = keys.ground * job.lines + room * (0.5 * profile(job.width, seed, 4, 3) + fall_off)
    for tree in trees:
        off = away(x, tree.x, job.width) / (24.0 + tree.radius)
        edge = edge - (2.0 + tree.radius * 0.28) * fall(off * off)
    cove = between(seed, 0.0, job.width, "cove")
    off = away(x, cove, job.width) / 36.0
    return edge + 0.6 * room * fall(off * off)


def _grow(
    keys: Keys, job: Job, trees: list[Tree], crest: np.ndarray
) -> tuple[Wood, list[np.ndarray]]:
    """The wood of all trees, and their boughs."""
    wood = Wood(job.lines, job.width)
    boughs = []
    for n, tree in enumerate(trees):
        own = hash_words(job.seed, "tree", n)
        foot = float(crest[int(tree.x) % job.width]) + 5 + tree.deep, tree.radius
        top = tree.x + tree.lean, -14.0, tree.radius * 0.64
        trunk = grow_trunk(wood, (tree.x, *foot), top, own, n)
        count = 6 if tree.old else 4 + own % 2
        grow_roots(wood, (tree.x, *foot), hash_words(own, "roots"), n + 10, count, job.lines + 4)
        number = round((2 + 3 * keys.boughs) * (1.0 if tree.radius > keys.girth * 0.7 else 0.6))
        reach = 34.0 + tree.radius, 52.0 + 2.2 * tree.radius
        high = job.lines * 0.10, job.lines * 0.34
        boughs += grow_boughs(wood, trunk, hash_words(own, "boughs"), n, high, number, reach)
    return wood, boughs


def _lay_wood(keys: Keys, job: Job, picture: TonalPicture, wood: Wood, glow: np.ndarray) -> None:
    """Bark, its dapples and the light that water throws back, and moss."""
    lines, width = job.lines, job.width
    seed = hash_words(job.seed, "bark")
    grain = bark_grain(wood, seed)
    grain = 0.5 + (grain - 0.5) * (1.0 - 0.7 * job.thrift)
    tone = bark_tone(wood, grain, job.light)
    y = np.arange(lines)[:, None]
    toward = wood.nx * (1.0 if job.light[0] > 0 else -1.0)
    dapple = fractal(width, lines, hash_words(seed, "dapple"), width // 16, 1 / 10, 2)
    patches = fractal(width, lines, hash_words(seed, "patches"), width // 64, 1 / 40, 2)
    lit = smooth(dapple, 0.08, 0.16) * smooth(patches, 0.0, 0.10) * (toward > -0.35)
    tone = tone + 0.28 * lit * smooth(y, lines * 0.28, lines * 0.45) * (wood.radius > 4)
    tone = tone * (1.0 - 0.40 * smooth(y, lines * 0.42, lines * 0.10))
    step = np.clip(np.floor(tone * 6.0 + 0.5), 0, 6)
    bounce = (toward < -0.60) & (toward > -0.90) & (wood.radius > 4) & (step < 2) & (grain > 0.46)
    picture.lay(wood.there, "bark", step)
    picture.lay(wood.there & bounce, "moss", 1.0)
    moss = _moss(keys, wood, grain, toward, y / lines, hash_words(seed, "moss"))
    speck = fractal(width, lines, hash_words(seed, "speck"), width // 3, 1 / 2.5, 1)
    shade = np.floor(tone * 6.4 + 1.3 + speck * 2.4)
    picture.lay(wood.there & moss, "moss", np.clip(shade, 1, 7))
    edge = wood.there & ~_inner(wood.there) & (toward < -0.3)
    picture.lay(edge, "bark", 0.0)


def _inner(mask: np.ndarray) -> np.ndarray:
    """Pixels of a mask whose side neighbours are in it too."""
    return mask & np.roll(mask, 1, axis=1) & np.roll(mask, -1, axis=1)


def _moss(
    keys: Keys, wood: Wood, grain: np.ndarray, toward: np.ndarray, down: np.ndarray, seed: int
) -> np.ndarray:
    """Where moss grows (N, W): on what looks up, low down, on roots, and not in the full light."""
    lines, width = wood.height.shape
    spread = fractal(width, lines, seed, width // 16, 1 / 18, 3).astype(np.float64)
    wish = 0.45 + 0.75 * spread - 0.26 * np.clip(wood.ny, -1.0, 0.2) + (grain - 0.5) * 0.18
    wish = wish + 0.24 * smooth(down, 0.72, 0.98) - 0.3 * smooth(toward, -0.1, -0.7)
    wish = wish + 0.22 * (wood.part >= 10) - 0.1 * smooth(down, 0.4, 0.1)
    return wish > 0.95 - 0.62 * keys.moss


def _ground(
    job: Job, trees: list[Tree], crest: np.ndarray, light_x: float
) -> tuple[LeafSheet, LeafSheet]:
    """Turf behind the trees, and a ridge before them that hides their feet."""
    lines, width = job.lines, job.width
    seed = hash_words(job.seed, "ground")
    light = np.zeros((lines, width))
    for n in range(max(3, width * 7 // 512)):
        own = hash_words(seed, "pool", n)
        x = light_x + between(own, -70, 70, 0) if n < 3 else between(own, 0, width, 1)
        at = float(crest[int(x) % width]) + between(own, 3, 12, 2)
        light = np.maximum(light, pool(lines, width, x, at, between(own, 14, 34, 3), 5.0))
    feet = [(t.x, crest[int(t.x) % width] + 4 + t.deep, t.radius, width) for t in trees]
    slope = -1.5 if job.light[0] > 0 else 1.5
    shade = ground_shadows(lines, np.array(feet), slope)
    light = torn(np.clip(light, 0.0, 1.0), seed) * np.where(shade, 0.15, 1.0)
    side = 1.0 if job.light[0] > 0 else -1.0
    lush = 1.0 - 0.6 * job.thrift
    back, front = LeafSheet(lines, width), LeafSheet(lines, width)
    lay_ridge(back, crest, Turf(2.4, 3.9, 3.0, 1.0 * lush), light, hash_words(seed, 0), side)
    low = crest + 9.0 + 4.0 * profile(width, hash_words(seed, "low"), 8, 2)
    lay_ridge(front, low, Turf(1.5, 4.1, 3.4, 0.6 * lush), light, hash_words(seed, 1), side)
    grow_reeds(back, crest, 2, (1.6, 1.4), hash_words(seed, "reeds"))
    _hide_joints(front, trees, crest, light, hash_words(seed, "joints"))
    return back, front


def _hide_joints(
    sheet: LeafSheet, trees: list[Tree], crest: np.ndarray, light: np.ndarray, seed: int
) -> None:
    """Turf where trunks meet the ground: dark contact first, then blades in the light."""
    lines, width = sheet.level.shape
    for n, tree in enumerate(trees):
        own = hash_words(seed, n)
        number = np.arange(int(tree.radius * 4))
        x = np.floor(tree.x + 1.4 * tree.radius * bell(own, number)).astype(np.int64)
        y = crest[x % width] + 9 + tree.deep + np.abs(4.0 * bell(own, number, 5))
        y = np.floor(y).astype(np.int64)
        glow = light[np.clip(y, 0, lines - 1), x % width]
        grass(sheet, x, y, 3.0 + 2.0 * unit(own, number, 6), 1.2 + 3.4 * glow, own)


PAINTER = Painter(
    name="wood",
    about="Near trees with roots, boughs and a ragged canopy, on mossy ground.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
)
