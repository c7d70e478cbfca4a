"""A reflection: lines below the mirror show the lines above it upside down, from the same patterns.

What mirrors is left out of the palette fit and added afterwards, cell by cell, flipped. Its colours
stand in the same entries as those of what it mirrors, rewritten part-way down the frame; so what a
plane without a mirror shows on those lines must fit in with the entries of the lines that are
mirrored there. `fold_planes` therefore lays that plane's lower part beside the upper one, upside
down, line on line with what the other plane mirrors; `unfold_planes` puts everything in its place.

All lines here are plane lines. Lines further down than the mirrored ones are see-through: no screen
shows them.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence

import numpy as np

from genbg.model import BACK, FRONT, FittedPlanes, PaintedLayer, PaletteZone, PlanePicture
from genbg.planes.zones import ZonePlan

CELL = 8


def lower_part(upper: np.ndarray, lines: int) -> np.ndarray:
    """`lines` lines or rows that mirror the end of `upper` (n, ...), which has at least as many."""
    return upper[::-1][:lines]


def mirror_pictures(
    front: PlanePicture, back: PlanePicture, plan: ZonePlan
) -> tuple[PlanePicture, PlanePicture]:
    """Both planes with their reflections; those without one as they are."""
    return mirror_picture(front, plan, FRONT), mirror_picture(back, plan, BACK)


def mirror_picture(picture: PlanePicture, plan: ZonePlan, plane: int) -> PlanePicture:
    """A plane with its reflection; the same plane where it has none."""
    if plan.mirror is None or not plan.mirrored[plane]:
        return picture
    return PlanePicture(
        with_mirror(picture.ink, plan.mirror),
        with_mirror(picture.guard, plan.mirror),
        with_mirror(picture.high, plan.mirror // CELL),
    )


def with_mirror(part: np.ndarray, mirror: int) -> np.ndarray:
    """(H, ...) with the lines from `mirror` on replaced by those above it, upside down."""
    whole = np.zeros_like(part)
    lines = min(mirror, len(part) - mirror)
    whole[:mirror] = part[:mirror]
    whole[mirror : mirror + lines] = lower_part(part[:mirror], lines)
    return whole


def mirror_layers(layers: Sequence[PaintedLayer], plan: ZonePlan) -> list[PaintedLayer]:
    """The reflections of the layers that have one, each a layer of its own, upside down."""
    found = []
    for layer in layers:
        plane = {"front": FRONT, "back": BACK}.get(layer.plane)
        if plan.mirror is None or plane is None or not plan.mirrored[plane]:
            continue
        top, bottom = 2 * plan.mirror - layer.bottom, 2 * plan.mirror - layer.top
        shown = min(bottom, plan.lines) - top
        if shown > 0:
            found.append(
                dataclasses.replace(
                    layer,
                    name=f"{layer.name}-mirrored",
                    top=top,
                    bottom=top + shown,
                    ink=layer.ink[::-1][:shown],
                    guard=layer.guard[::-1][:shown],
                    mirrored=True,
                )
            )
    return found


def fold_planes(
    front: PlanePicture, back: PlanePicture, plan: ZonePlan
) -> tuple[PlanePicture, PlanePicture]:
    """Both planes as the palette fit is to see them; as they are where nothing mirrors."""
    if plan.mirror is None:
        return front, back
    both = all(plan.mirrored)
    return (
        _fold(front, plan.mirror, both, plan.mirrored[FRONT]),
        _fold(back, plan.mirror, both, plan.mirrored[BACK]),
    )


def _fold(picture: PlanePicture, mirror: int, narrow: bool, mirrored: bool) -> PlanePicture:
    row = mirror // CELL
    if narrow:
        return PlanePicture(picture.ink[:mirror], picture.guard[:mirror], picture.high[:row])
    return PlanePicture(
        _beside(picture.ink, mirror, mirrored),
        _beside(picture.guard, mirror, mirrored),
        _beside(picture.high, row, mirrored),
    )


def _beside(part: np.ndarray, mirror: int, mirrored: bool) -> np.ndarray:
    """The upper part (mirror, W), and beside it the lower one upside down: (mirror, 2 * W)."""
    lower = np.zeros_like(part[:mirror])
    if not mirrored:
        below = part[mirror : 2 * mirror]
        lower[mirror - len(below) :] = below[::-1]
    return np.concatenate([part[:mirror], lower], axis=1)


def unfold_planes(fitted: FittedPlanes, plan: ZonePlan, size: tuple[int, int]) -> FittedPlanes:
    """The fit of folded planes for planes of (H, W) pixels; as it is where nothing mirrors.

    `zones` are then the segments of the plan down to the plane's last line; each has the palette of
    its zone, whatever becomes of its colours there.
    """
    height, width = size
    zones = fitted.zones or (PaletteZone(0, height, fitted.palette),)
    if plan.mirror is None:
        return fitted
    index = np.zeros((2, height, width), fitted.index.dtype)
    row = np.zeros((2, height // CELL, width // CELL), fitted.row.dtype)
    for plane in (FRONT, BACK):
        _unfold(fitted.index[plane], index[plane], plan.mirror, plan.mirrored[plane])
        _unfold(fitted.row[plane], row[plane], plan.mirror // CELL, plan.mirrored[plane])
    segments = plan.segments()
    bottoms = [*(segment.bottom for segment in segments[:-1]), height]
    return dataclasses.replace(
        fitted,
        index=index,
        row=row,
        zones=tuple(
            PaletteZone(segment.top, bottom, zones[segment.zone].palette)
            for segment, bottom in zip(segments, bottoms, strict=True)
        ),
    )


def _unfold(part: np.ndarray, whole: np.ndarray, mirror: int, mirrored: bool) -> None:
    """Write the folded lines or rows (mirror, n) into whole (H, W), in place."""
    lines, width = min(mirror, len(whole) - mirror), whole.shape[1]
    upper = part[:, :width]
    whole[:mirror] = upper
    lower = upper if mirrored else part[:, width:]
    whole[mirror : mirror + lines] = lower_part(lower, lines)


def mirror_facts(number: np.ndarray, plan: ZonePlan) -> dict[str, dict[str, int]]:
    """What a reflection takes, for the manifest; nothing where there is none.

    number: (2, R, C) stored pattern of every cell
    """
    if plan.mirror is None:
        return {}
    row, last = plan.mirror // CELL, -(-plan.lines // CELL)
    own, shown = [], []
    for plane in (FRONT, BACK):
        lower = number[plane, row:last]
        own.append(number[plane] if not plan.mirrored[plane] else number[plane, :row])
        shown += [lower] if plan.mirrored[plane] else []
    used = np.concatenate([part.ravel() for part in own])
    cells = np.concatenate([part.ravel() for part in shown])
    extra = set(cells.tolist()) - set(used.tolist())
    facts = {"line": plan.mirror, "lines": plan.lines - plan.mirror, "cells": len(cells)}
    return {"reflection": {**facts, "patterns": len(extra)}}
