"""Sprites of the machine's sizes, cut from the layers that are drawn as sprites.

The layers come from the preset from back to front; sprites come the nearest first, as the machine
draws the first of its list in front. A sprite never crosses a line from which colours or the
order change: it has one palette row and one priority bit.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np

from genbg.model import CutSprites, PaintedLayer
from genbg.model.zones import ZonePlan
from genbg.planes.boxes import Box, canonical, cut_boxes, flip
from genbg.planes.clusters import find_clusters
from genbg.planes.cover import SIDE


def cut_sprites(layers: Sequence[PaintedLayer], plan: ZonePlan, side: int = SIDE) -> CutSprites:
    """The sprites of all layers of plane "sprites".

    layers: back to front, others are passed over; plan: on which lines which colours hold
    side: pixels along one side of the largest sprite, 8 to 32 in whole cells
    """
    cuts = [segment.top for segment in plan.segments()]
    rows: list[tuple[int, ...]] = []
    known: dict[tuple[bytes, tuple[int, ...], int], int] = {}
    pictures: list[np.ndarray] = []
    for layer in reversed([one for one in layers if one.plane == "sprites"]):
        W = layer.ink.shape[1]
        lines = sorted({*cuts, *layer.priority_lines})
        for line, box in cut_layer(layer, lines, side):
            canonical_ink, across, down = canonical(box.ink)
            zone = plan.zone_of(line)
            key = (canonical_ink.tobytes(), canonical_ink.shape, zone)
            if key not in known:
                known[key] = len(pictures)
                pictures.append(canonical_ink)
            priority = bool(layer.priority_pixels[line - layer.top, 0])
            rows.append((layer.number, box.left % W, box.top, known[key], across, down, priority))
    table = np.array(rows, dtype=np.int64).reshape(-1, 7)
    return CutSprites(
        layer=table[:, 0],
        x=table[:, 1],
        y=table[:, 2],
        picture=table[:, 3],
        hflip=table[:, 4].astype(bool),
        vflip=table[:, 5].astype(bool),
        priority=table[:, 6].astype(bool),
        pictures=tuple(pictures),
        zones=tuple(zone for _, _, zone in known),
    )


def cut_layer(layer: PaintedLayer, cuts: Sequence[int], side: int) -> Iterator[tuple[int, Box]]:
    """The boxes of one layer, in screen lines; what they show crosses no cut.

    Each comes with the first line of its part of the layer, for empty lines of a box may lie above.
    """
    inside = [line for line in cuts if layer.top < line < layer.bottom]
    known: dict[bytes, list[Box]] = {}
    for top, bottom in pairwise([layer.top, *inside, layer.bottom]):
        for cluster in find_clusters(layer.ink[top - layer.top : bottom - layer.top], side):
            for box in boxes_of(cluster.ink, side, known):
                place = top + cluster.top + box.top, cluster.left + box.left
                yield top, Box(*place, box.ink)


def boxes_of(ink: np.ndarray, side: int, known: dict[bytes, list[Box]]) -> list[Box]:
    """The boxes of a cluster; clusters that are flips of one another are cut alike.

    known: what was cut before, which is added to
    """
    canonical_ink, across, down = canonical(ink)
    key = canonical_ink.tobytes() + bytes(canonical_ink.shape[1].to_bytes(4, "big"))
    if key not in known:
        known[key] = cut_boxes(canonical_ink, side)
    height, width = canonical_ink.shape
    return [
        Box(
            height - box.top - box.ink.shape[0] if down else box.top,
            width - box.left - box.ink.shape[1] if across else box.left,
            flip(box.ink, across, down),
        )
        for box in known[key]
    ]
