"""What stands on round drifts: blocks of rock under snow, and clumps of firs."""

from __future__ import annotations

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.blocks import draw_block
from genbg.paint.craft.boulders import Boulder
from genbg.paint.craft.dice import Dice
from genbg.paint.craft.exact import between_points, smooth
from genbg.paint.craft.firs import draw_fir
from genbg.paint.craft.relief import wrapped
from genbg.paint.craft.terrain import cast, fir_shadow, lay_fir, put
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.painters.drifts.field import Field, ground_line
from genbg.paint.painters.drifts.keys import Keys

HEAPS, CLUMPS = 4.0, 6.0
"""Heaps of rocks and clumps of firs on 512 columns where there are as many as can be."""
CLEAR = 30.0
"""Columns beside a heap's middle in which no clump grows."""
ROOM = 3.0
"""Lines that stay free above what stands there."""
STEEP = 0.42
"""Part of a face's normal that points up from which snow stays on its upper edge."""
LEAST_FIR = 11.0
"""Pixels that a fir here has at least."""
LIT = 0.30
"""Cosine of light from which a face of rock counts as lit."""


def stand_things(picture: TonalPicture, job: Job, keys: Keys, field: Field) -> None:
    """Blocks and firs, the far ones first."""
    dice = Dice(job.seed, "stand")
    heaps = _heaps(dice, job, keys)
    todo = heaps + _clumps(dice, job, keys, [one[2] for one in heaps])
    for line, kind, x, wide, tall in sorted(todo, key=lambda one: one[0]):
        y = ground_line(field, x, line)
        room = y - float(field.top[int(x) % job.width]) + 8.0 if keys.edge > 0 else float(y)
        tall = min(tall, y - ROOM)
        if tall < (3.0 if kind == "block" else LEAST_FIR) or room < 2:
            continue
        side = float(field.side[int(x) % job.width])
        if kind == "block":
            _set_block(picture, dice, (x, y), (wide, tall), side, keys.cap)
        else:
            shade = picture.last("shade") - 1.0
            cast(picture, fir_shadow(picture.tone.shape, x, y, tall, side), shade)
            lay_fir(picture, draw_fir(dice, tall, side, 1.0 if keys.cap else 0.0), x, y)


Thing = tuple[float, str, float, float, float]
"""Line of its foot, what it is, its column, its width, its height."""


def _heaps(dice: Dice, job: Job, keys: Keys) -> list[Thing]:
    """Heaps: a great block, a lower one that leans on it, and one or two that rolled off."""
    found: list[Thing] = []
    count = round(HEAPS * keys.rocks * job.width / 512)
    for number in range(count):
        x = (number + 0.2 + 0.6 * dice.unit()) * job.width / count
        wide = (20.0 + 50.0 * keys.stone) * dice.choice((0.75, 1.0, 1.2))
        line = job.lines * dice.between(0.5, 0.85)
        found.append((line, "block", x, wide, wide * dice.between(0.48, 0.7)))
        way = dice.choice((-1, 1))
        part = wide * dice.between(0.42, 0.6)
        off = way * (0.42 * wide + 0.28 * part)
        found.append((line + 2, "block", x + off, part, part * dice.between(0.5, 0.68)))
        for _ in range(dice.whole(1, 2)):
            part = dice.between(9.0, 15.0)
            off = -way * (0.5 * wide + dice.between(6.0, 22.0))
            found.append((line + dice.between(1.0, 8.0), "block", x + off, part, 0.5 * part))
    return found


def _clumps(dice: Dice, job: Job, keys: Keys, heaps: list[float]) -> list[Thing]:
    """Clumps of firs, a tall one and one or two at its sides, clear of the heaps."""
    found: list[Thing] = []
    count = round(CLUMPS * keys.trees * job.width / 512)
    for number in range(count):
        x = (number + 0.15 + 0.7 * dice.unit()) * job.width / count
        line = job.lines * dice.between(0.4, 1.08)
        tall = dice.between(0.7, 1.0) * (18.0 + 30.0 * line / job.lines)
        firs = [(x, line, tall)]
        for way in (-1, 1)[: dice.whole(0, 2)]:
            off = way * tall * dice.between(0.3, 0.5)
            firs.append((x + off, line + dice.between(-3.0, 4.0), tall * dice.between(0.45, 0.75)))
        if all(abs(float(wrapped(x, other, job.width))) > CLEAR for other in heaps):
            found += [(at, "fir", column, 0.0, high) for column, at, high in firs]
    return found


def _set_block(
    picture: TonalPicture,
    dice: Dice,
    foot: tuple[float, int],
    size: tuple[float, float],
    side: float,
    cap: bool,
) -> None:
    """A block over its shadow, snow on it and banked at its foot; size: width and height."""
    (x, y), (wide, tall) = foot, size
    _shade(picture, foot, size, side)
    block = draw_block(dice, wide, tall)
    lit = (
        block.normal[..., 0] * side * 0.78 + block.normal[..., 1] * 0.5 + block.normal[..., 2] * 0.1
    )
    left, top = int(x) - block.x, y - block.y + 1
    tone = _face_tones(block, lit)
    put(picture, block.solid, "rock", tone * picture.last("rock"), left, top)
    if cap:
        _lay_cap(picture, dice, block, lit, left, top)
    _bank(picture, dice, foot, wide, side)


def _shade(
    picture: TonalPicture, foot: tuple[float, int], size: tuple[float, float], side: float
) -> None:
    """The block's shadow: away from the light and a little toward us."""
    (x, y), (wide, tall), (lines, width) = foot, size, picture.tone.shape
    away = wrapped(np.arange(width), x, width)[None, :] * (-1.0 if side > 0 else 1.0)
    down = (np.arange(lines)[:, None] - y) / (0.30 * tall + 1.0)
    across = (away - 0.35 * wide * abs(side)) / (wide * (0.62 + 0.3 * abs(side)))
    cast(picture, across * across + down * down < 1.0, picture.last("shade") - 1.0)


def _face_tones(block: Boulder, lit: np.ndarray) -> np.ndarray:
    """Tones (h, w), shares of the ramp: each face one tone, the edge of a lit one lighter."""
    tone = np.where(
        lit > LIT, 0.36 + 0.36 * np.clip(lit, 0.0, 1.0), 0.30 + 0.4 * np.maximum(lit, -0.6)
    )
    edge = (np.roll(block.facet, 1, axis=1) != block.facet) & (lit > LIT)
    return tone + 0.25 * edge


def _lay_cap(
    picture: TonalPicture, dice: Dice, block: Boulder, lit: np.ndarray, left: int, top: int
) -> None:
    """Snow on what faces up, with a lip that hangs over the edge, thick and thin by turns."""
    rows, columns = block.solid.shape
    sway = np.array([dice.unit() for _ in range(columns // 7 + 2)])
    lip = between_points(np.arange(columns) / 7, np.arange(len(sway)), sway)
    first = np.where(block.solid.any(axis=0), block.solid.argmax(axis=0), rows)
    flat = block.solid & (block.normal[..., 1] > 0.62)
    low = np.where(flat.any(axis=0), rows - 1 - flat[::-1].argmax(axis=0), first)
    deep = (0.5 + 0.08 * rows * lip).astype(np.int64)
    row = np.arange(rows)[:, None]
    edge = np.minimum(low, first + rows // 5) + deep
    rise = np.where(block.solid, block.normal[..., 1], 0.0)[
        np.minimum(first, rows - 1), np.arange(columns)
    ]
    cap = (row >= first - 1) & (row <= edge) & (first < rows) & (rise > STEEP)
    last = picture.last("lit")
    share = (row - first + 1) / np.maximum(edge - first + 1, 1)
    white = np.where(
        lit > 0.2, last - 0.4 - 2.4 * smooth(share, 0.25, 1.0), 0.45 * last - 1.6 * share
    )
    put(picture, cap, "lit", np.maximum(white, 0.0), left, top)
    under = np.roll(cap, 1, axis=0) & block.solid & ~cap
    put(picture, under, "rock", 0.0, left, top)


def _bank(
    picture: TonalPicture, dice: Dice, foot: tuple[float, int], wide: float, side: float
) -> None:
    """Snow banked against the foot, lit on the light's side."""
    x, y = foot
    half = int(0.6 * wide)
    columns = np.arange(-half, half + 1)
    bump = np.array([dice.unit() for _ in range(len(columns) // 5 + 2)])
    bump = between_points((columns + half) / 5, np.arange(len(bump)), bump)
    part = columns / (half + 1.0)
    high = np.floor((0.5 + 0.12 * wide * bump) * (1.0 - part * part) + 0.7).astype(np.int64)
    deep = int(high.max(initial=1)) + 1
    row = np.arange(deep)[:, None]
    mask = row >= deep - high[None, :]
    edge = mask & (row == deep - high[None, :])
    lit = (columns * side > -0.2 * half)[None, :]
    shade = picture.last("shade")
    put(picture, mask, "shade", shade - 0.0, int(x) - half, y - deep + 2)
    put(picture, mask & lit, "lit", 0.0, int(x) - half, y - deep + 2)
    put(picture, edge & lit, "lit", 1.0, int(x) - half, y - deep + 2)
