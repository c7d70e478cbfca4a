"""The near bank: ridges of turf, boulders, ferns and broad leaves, in pools of light.

It goes from lit turf at the water to deep green-blue leaves at the foot of the screen, each ridge
nearer, darker and larger than the one behind it; nothing of it is black.
"""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.air import away, pool
from genbg.paint.craft.exact import cosine, fall, sine
from genbg.paint.craft.fields import profile
from genbg.paint.craft.ground import Turf, cut_stone, fern, grass, ground_shadows, lay_ridge, torn
from genbg.paint.craft.leaves import TURNS, LeafSheet, Leaves, cut_lenses
from genbg.paint.craft.scatter import bell, between, hash_words, unit
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.eaves.keys import Keys, Tree
from genbg.paint.parts.reeds import grow_reeds

BROAD = ((4.0, 1.7), (5.5, 2.2), (7.5, 2.9), (10.5, 3.8))
"""Half length and breadth of broad leaves, pixels."""
PLANTS = 12, 12, 18, 36
"""Plants of each row on a plane of 512 columns, where there are most."""
TURFS = (
    Turf(2.3, 3.9, 3.0, 1.0, 8.0),
    Turf(1.7, 4.1, 3.6, 0.7, 7.0),
)
"""The ridges of the bank from the water to us."""
FRONT = Turf(1.2, 0.0, 6.0, 0.6, 9.0)
"""Turf close before us, in the shade."""
REPEAT = 256
"""Columns after which what is close before us comes again: cells that nobody sees twice."""


def lie_of_bank(keys: Keys, job: Job, trees: list[Tree]) -> np.ndarray:
    """The bank's crest (W,): it rises at trees and dips into a cove."""
    seed = hash_words(job.seed, "crest")
    room = max(10.0, job.lines * (1.0 - keys.ground))
    edge = keys.ground * job.lines + room * 0.42 * profile(job.width, seed, 5, 3)
    for tree in trees:
        off = away(np.arange(job.width), tree.x, job.width) / (20.0 + 1.6 * tree.radius)
        edge = edge - (2.0 + tree.radius * 0.3) * fall(off * off)
    for n in range(2):
        cove = between(seed, 0.0, job.width / 2, "cove", n) + n * job.width / 2
        off = away(np.arange(job.width), cove, job.width) / between(seed, 26, 44, "half", n)
        edge = edge + 0.40 * room * fall(off * off)
    return edge


def light_on_bank(
    keys: Keys, job: Job, trees: list[Tree], crest: np.ndarray, x: float
) -> np.ndarray:
    """Pools of light (N, W), 0..1, most of them before the light, torn by leaves and trunks."""
    lines, width, seed = job.lines, job.width, hash_words(job.seed, "pools")
    light = np.zeros((lines, width))
    for n in range(round((2 + 8 * keys.pools) * width / 512)):
        own = hash_words(seed, n)
        at = x + between(own, -90, 90, 0) if n % 2 else between(own, 0, width, 1)
        line = float(crest[int(at) % width]) + between(own, 3, 17, 2)
        across = between(own, 13, 36, 3)
        light = np.maximum(light, pool(lines, width, at, line, across, max(3.0, across * 0.17)))
    feet = [(t.x, crest[int(t.x) % width] + 4 + t.deep, t.radius, width) for t in trees]
    slope = -1.5 if job.light[0] > 0 else 1.5
    shade = ground_shadows(lines, np.array(feet).reshape(-1, 4), slope)
    light = torn(np.clip(light, 0.0, 1.0), seed)
    return np.where(shade, 0.15 * light, light) if len(feet) else light


def lay_bank(
    job: Job, picture: TonalPicture, row: int, crest: np.ndarray, light: np.ndarray
) -> np.ndarray:
    """One ridge, 0 by the water, 1 nearer; returns its crest (W,)."""
    lines, width = light.shape
    own = hash_words(job.seed, "ridge", row)
    edge = crest
    if row:
        step = (lines - 10.0 - crest) * 0.40
        edge = crest + step + 3.0 * profile(width, own, 7, 3)
    sheet = LeafSheet(lines, width)
    side = 1.0 if job.light[0] > 0 else -1.0
    lay_ridge(sheet, edge, TURFS[row], light * (1.0, 0.9)[row], own, side)
    lay_sheet(picture, sheet)
    return edge


def lay_sheet(picture: TonalPicture, sheet: LeafSheet, most: int = 7) -> None:
    """Put turf or leaves of the ground on the picture: never black."""
    picture.lay(sheet.covered, "leaves", np.clip(np.floor(sheet.level + 0.5), 1, most))


def lay_boulders(
    keys: Keys, job: Job, picture: TonalPicture, edge: np.ndarray, light: np.ndarray, row: int
) -> None:
    """Boulders in families on a ridge, moss on what looks up, grass about their feet."""
    lines, width = job.lines, job.width
    seed = hash_words(job.seed, "boulders", row)
    tufts = LeafSheet(lines, width)
    for n in range(round(keys.stones * 6 * width / 512)):
        own = hash_words(seed, n)
        middle = between(own, 0, width, 0)
        for k in range(1 + own % 3):
            x = middle + (0, 15, -12)[k] * between(own, 0.8, 1.2, k, 1)
            size = between(own, 7, 13, k, 2) * (1 + 0.2 * row) / (1 + 0.6 * k)
            y = float(edge[int(x) % width]) + size * 0.15 + between(own, 0, 3, k, 3)
            glow = float(light[int(np.clip(y, 0, lines - 1)), int(x) % width])
            _lay_stone(keys, job, picture, (x, y, size), glow, hash_words(own, k))
            number = np.arange(int(size * 1.2))
            at = np.floor(x + size * 0.7 * bell(own, number, k)).astype(np.int64)
            foot = np.full(len(number), int(y + size * 0.5) + 2)
            grass(tufts, at, foot, 2.5 + 2.0 * unit(own, number, k), 1.6 + 3.0 * glow + 0 * at, own)
    lay_sheet(picture, tufts)


def _lay_stone(
    keys: Keys, job: Job, picture: TonalPicture, at: tuple[float, float, float], glow: float,
    seed: int,
) -> None:  # fmt: skip
    """One boulder over its own shadow."""
    x, y, size = at
    stone = cut_stone(x, y, size, size * 0.72, seed, job.light, 0.0)
    first = int(np.clip(y - size, 0, job.lines - 1))
    last = min(job.lines, int(y + size) + 4)
    if last <= first:
        return
    part = picture.strip(first, last)
    lines = len(part.tone)
    inside = (stone.y >= first) & (stone.y < first + lines)
    place = stone.y[inside] - first, stone.x[inside] % job.width
    mask, tone = np.zeros(part.tone.shape, dtype=bool), np.zeros(part.tone.shape)
    away_side = -1 if job.light[0] > 0 else 1
    for line in range(3):
        low = int(y + size * 0.44) + line - first
        if 0 <= low < lines:
            run = np.arange(int(x - size), int(x + size * 1.2)) + away_side * (2 + line)
            mask[low, run % job.width] = True
    part.lay(mask, "leaves", 1.0)
    mask[:] = False
    mask[place], tone[place] = True, stone.tone[inside] * (0.85 + 0.25 * glow)
    part.lay(mask, "stone", np.clip(np.floor(tone * 4.4), 0, 3))
    top = np.where(mask.any(axis=0), mask.argmax(axis=0), lines)
    thick = 1.0 + size * keys.moss * (0.45 + 0.5 * unit(seed, np.arange(job.width) // 3))
    green = mask & (np.arange(lines)[:, None] < (top + np.floor(thick))[None, :])
    part.lay(green, "leaves", np.clip(np.floor(tone * 6.0 + 1.2), 2, 6))


def grow_plants(
    keys: Keys, job: Job, picture: TonalPicture, edge: np.ndarray, light: np.ndarray, row: int
) -> None:
    """Ferns and plants of broad leaves on a ridge, larger on nearer ones."""
    sheet = LeafSheet(job.lines, job.width)
    _plant(keys, sheet, row, edge, light, hash_words(job.seed, "plants", row))
    lay_sheet(picture, sheet, 6)


def grow_front(keys: Keys, job: Job) -> LeafSheet:
    """Grass, ferns and broad leaves close before us, dark: a frame for the lit bank."""
    lines, width = job.lines, min(REPEAT, job.width)
    seed = hash_words(job.seed, "front")
    sheet, dark = LeafSheet(lines, width), np.zeros((lines, width))
    edge = lines - 15.0 + 5.0 * profile(width, seed, 3, 3)
    lay_ridge(sheet, edge, FRONT, dark, seed, 1.0 if job.light[0] > 0 else -1.0)
    _plant(keys, sheet, 2, edge - 1.0, dark, hash_words(seed, 2))
    _plant(keys, sheet, 3, edge + 10.0, dark, hash_words(seed, 3))
    whole = LeafSheet(lines, job.width)
    whole.level = np.tile(sheet.level, (1, -(-job.width // width)))[:, : job.width]
    return whole


def _plant(
    keys: Keys, sheet: LeafSheet, row: int, edge: np.ndarray, light: np.ndarray, seed: int
) -> None:
    """Ferns and plants of broad leaves along a crest (W,)."""
    lines, width = sheet.level.shape
    count = round(keys.ferns * PLANTS[row] * width / 512)
    for n in range(count):
        own = hash_words(seed, n)
        x = between(own, 0, width, 0)
        if row > 1:  # close before us no gap shows
            x = (n + between(own, 0.0, 0.9, 0)) * width / count
        y = float(edge[int(x) % width]) + between(own, 3, 9, 1)
        glow = float(light[int(np.clip(y, 0, lines - 1)), int(x) % width])
        level = (2.8, 2.3, 2.0, 1.6)[row] + (1.9, 1.7, 0.0, 0.0)[row] * glow
        if own % 5 < (3, 3, 1, 2)[row]:
            fern(sheet, x, y, between(own, 10, 16, 2) * (1.0 + 0.22 * row), level, own)
        else:
            _rosette(sheet, x, y, row, level, own)


def _rosette(sheet: LeafSheet, x: float, y: float, row: int, level: float, seed: int) -> None:
    """A plant of broad leaves: dark ones behind, each with a lighter upper half."""
    count = 7 + seed % 4
    number = np.arange(count)
    turn = 0.5 + 0.5 * (number + unit(seed, number, 0)) / count  # over the upper half circle
    order = np.argsort(-np.abs(turn - 0.75), kind="stable")
    turn = turn[order]
    size = np.minimum(row + (unit(seed, number, 1) > 0.6), len(BROAD) - 1)
    reach = np.array([long for long, _ in BROAD])[size]
    px = np.floor(x + cosine(turn) * reach * 1.15).astype(np.int64)
    py = np.floor(y + sine(turn) * reach * 0.8 - 2).astype(np.int64)
    angle = np.floor(turn * 2.0 * TURNS + 0.5).astype(np.int64) % TURNS
    kind = size * TURNS + angle
    stamps = cut_lenses(BROAD)
    shade = level - 1.0 + 0.0 * turn
    lit = level + 0.9 * (cosine(turn) < 0.2)
    for one in range(count):
        here = slice(one, one + 1)
        sheet.lay(Leaves(px[here], py[here] + 1, kind[here], shade[here] - 0.6), stamps)
        sheet.lay(Leaves(px[here], py[here], kind[here], shade[here] + 0.6), stamps)
        small = np.maximum(kind[here] - TURNS, angle[here])
        sheet.lay(Leaves(px[here], py[here] - 1, small, lit[here]), stamps)


def hide_joints(
    picture: TonalPicture, trees: list[Tree], crest: np.ndarray, light: np.ndarray, seed: int
) -> None:
    """Turf between the roots, where trunks meet the ground."""
    wood = picture.holds("bark")
    lines, width = light.shape
    sheet = LeafSheet(lines, width)
    for n, tree in enumerate(trees):
        own = hash_words(seed, n)
        number = np.arange(int(tree.radius * 3.0))
        x = np.floor(tree.x + 1.5 * tree.radius * bell(own, number)).astype(np.int64)
        y = crest[x % width] + 9 + tree.deep + np.abs(3.5 * bell(own, number, 5))
        y = np.clip(np.floor(y), 0, lines - 1).astype(np.int64)
        bare = ~wood[np.maximum(y - 3, 0), x % width] | (number % 4 == 0)
        x, y = x[bare], y[bare]
        glow = light[y, x % width]
        tall = 3.0 + 2.0 * unit(own, number[bare], 6)
        grass(sheet, x, y, tall, 1.6 + 3.2 * glow, own)
    lay_sheet(picture, sheet)


def lay_reeds(picture: TonalPicture, crest: np.ndarray, seed: int) -> None:
    """Reeds where the bank dips to the water, in three or four stands."""
    sheet = LeafSheet(*picture.tone.shape)
    grow_reeds(sheet, crest, 3, (1.8, 1.6), seed)
    lay_sheet(picture, sheet, 6)
