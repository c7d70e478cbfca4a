"""Clouds as heaps of rounded heads, lit by how far light walks through each of them.

A head is one flattened disc with smaller ones on its skin and smaller ones on theirs, its outline
bent by noise. A place in it is as bright as the walk from there to the head's edge, straight
toward the light, is short: that gives crescents that run on over neighbouring lobes, wide toward
the light and absent in the lee, with no sphere that shows. Heads lie over heads from back to front,
so a lit edge always stands before a shaded core, and each head is dimmer the farther it stands
into the shade of its mass: big form rules small form.

Clouds are gathered in a `CloudPicture`; columns wrap, rows above and below it are cut off.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.craft.exact import cosine, sine, smooth
from genbg.paint.craft.fields import fractal
from genbg.paint.craft.scatter import hash_words, unit

LOBE_ROOM = (0.34, 0.6)
"""Radius of a lobe as a share of what it sits on, least and most."""
LOBES = (6, 3)
"""Lobes on a head, and on each of its lobes."""
LEAST = 1.5
"""Radius in pixels below which a lobe is left out."""
FAN = 0.42
"""Turns to both sides of a head's direction over which its lobes sit."""
FAN_SINE = 0.38
"""Sine of the angle to both sides over which light comes."""
FADE = 1.1
"""Walk through a head, in its radii, after which no light is left."""
BELLY = 0.7
"""Share of its tone that a cloud loses at a flat belly, and the lines above it where that sets in.
"""
BELLY_LINES = 22.0
EDGE = 0.14
"""Walk, in radii, within which the edge is at its brightest."""


class CloudPicture:
    """Clouds gathered so far.

    cover: (N, W) bool; tone: (N, W) float64, 0 darkest shade .. 1 lit edge; bend: (2, N, W) pixels
    by which outlines are bent
    """

    def __init__(self, lines: int, width: int, seed: int, bend: float = 2.6):
        self.cover = np.zeros((lines, width), dtype=bool)
        self.tone = np.zeros((lines, width))
        self.grain = _grain(lines, width, hash_words(seed, "grain"), 30)
        across = _grain(lines, width, hash_words(seed, "across"), 44)
        down = _grain(lines, width, hash_words(seed, "down"), 44)
        self.bend = np.stack([across, down]) * bend

    @property
    def size(self) -> tuple[int, int]:
        lines, width = self.cover.shape
        return lines, width


def _grain(lines: int, width: int, seed: int, cells: int) -> np.ndarray:
    count = max(2, cells * width // 512)
    return 1.6 * fractal(width, lines, seed, count, octaves=3).astype(np.float64)


@dataclass(frozen=True)
class Head:
    """One head: centre and radius in pixels, how wide and how high its discs are for that radius.

    up: direction that its lobes look in, in turns (0.25 up, 0.75 down); gain: 0..1, share of the
    light that reaches it; shade: tone of its core
    """

    x: float
    y: float
    radius: float
    wide: float = 1.25
    high: float = 0.85
    up: float = 0.25
    gain: float = 1.0
    shade: float = 0.2
    seed: int = 0


def lobes(head: Head) -> np.ndarray:
    """Discs (n, 3) float64 of a head: x, y, radius."""
    here = np.array([[head.x, head.y, head.radius]])
    discs = [here]
    for step, count in enumerate(LOBES):
        place = np.arange(count)
        words = np.arange(len(here))[:, None, None], place[None, :, None], np.arange(3)
        turn, share, out = np.moveaxis(unit(head.seed, step, *words), -1, 0)
        size = here[:, 2:] * (LOBE_ROOM[0] + (LOBE_ROOM[1] - LOBE_ROOM[0]) * share)
        angle = head.up + FAN * (2.0 * (place + turn) / count - 1.0)
        reach = here[:, 2:] * (0.72 + 0.28 * out)
        x = here[:, :1] + cosine(angle) * reach * head.wide
        y = here[:, 1:2] - sine(angle) * reach * head.high
        here = np.stack([x, y, size], axis=-1)[size >= LEAST]
        discs.append(here)
    return np.concatenate(discs)


def walk(mask: np.ndarray, toward: tuple[float, float], most: int, stride: int = 1) -> np.ndarray:
    """Pixels (h, w) one walks inside a mask toward the light before leaving it, at most `most`.

    mask: (h, w) bool; beyond its border nothing is cloud
    toward: unit vector to the light, x right, y down
    stride: pixels from one look to the next
    """
    far = most + stride
    padded = np.pad(mask, far)
    inside, steps = mask.copy(), np.zeros(mask.shape)
    height, width = mask.shape
    for n in range(stride, most + 1, stride):
        dx, dy = int(np.floor(toward[0] * n + 0.5)), int(np.floor(toward[1] * n + 0.5))
        inside &= padded[far + dy : far + dy + height, far + dx : far + dx + width]
        steps += inside
    return steps * stride


def _walks(mask: np.ndarray, toward: tuple[float, float], most: int) -> np.ndarray:
    """The mean of walks in a narrow fan, so that no straight edge runs on along the light."""
    x, y = toward
    stride = 1 if most < 12 else 2
    total = np.zeros(mask.shape)
    for side in (-FAN_SINE, 0.0, FAN_SINE):
        straight = float(np.sqrt(1.0 - side * side))
        way = (x * straight - y * side, x * side + y * straight)
        total += walk(mask, way, most, stride)
    return total / 3.0


def draw_head(
    clouds: CloudPicture,
    head: Head,
    toward: tuple[float, float],
    floor: np.ndarray | None = None,
) -> None:
    """Lay one head over what is there.

    toward: unit vector to the light, x right, y down
    floor: (W,) rows from which on the cloud ends, a flat belly that darkens toward its end
    """
    discs = lobes(head)
    rows, columns = _box(clouds.size, discs, head)
    if not len(rows):
        return
    part = np.ix_(rows % clouds.size[0], columns % clouds.size[1])
    x = columns[None, :] + 0.5 + clouds.bend[0][part]
    y = rows[:, None] + 0.5 + clouds.bend[1][part]
    mask = np.zeros(x.shape, dtype=bool)
    for at_x, at_y, radius in discs.tolist():
        across = (x - at_x) / (radius * head.wide)
        down = (y - at_y) / (radius * head.high)
        mask |= across * across + down * down < 1.0
    tone = head_tone(mask, head, toward, clouds.grain[part])
    if floor is not None:
        above = floor[columns % clouds.size[1]][None, :] - rows[:, None]
        mask &= above > 0
        tone -= BELLY * tone * smooth(above, BELLY_LINES, 0.0)
    clouds.tone[part] = np.where(mask, tone, clouds.tone[part])
    clouds.cover[part] |= mask


def _box(size: tuple[int, int], discs: np.ndarray, head: Head) -> tuple[np.ndarray, np.ndarray]:
    """Rows inside the picture and columns (before wrapping) that discs may touch."""
    wide, high, room = discs[:, 2] * head.wide, discs[:, 2] * head.high, 4
    top = max(0, int((discs[:, 1] - high).min()) - room)
    bottom = min(size[0], int((discs[:, 1] + high).max()) + room)
    left = int((discs[:, 0] - wide).min()) - room
    right = min(int((discs[:, 0] + wide).max()) + room, left + size[1])
    return np.arange(top, bottom), np.arange(left, right)


def head_tone(
    mask: np.ndarray, head: Head, toward: tuple[float, float], grain: np.ndarray
) -> np.ndarray:
    """Tones (h, w) of a head: bright crescents toward the light, a thin top light, a flat core."""
    most = max(2, int(FADE * head.radius * head.wide))
    through = _walks(mask, toward, most) / head.radius + 0.16 * grain
    lit = 0.42 * smooth(through, FADE, 0.25) + 0.3 * smooth(through, 0.55, EDGE)
    lit = lit + 0.16 * smooth(through, 1.6 * EDGE, 0.4 * EDGE)
    above = walk(mask, (0.0, -1.0), max(3, int(0.7 * head.radius))) / head.radius
    top = 0.1 * smooth(above + 0.1 * grain, 0.6, 0.1) + 0.06 * (above * head.radius < 1.5)
    return head.shade + head.gain * lit + top * (1.0 - 0.6 * head.gain)
