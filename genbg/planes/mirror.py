"""A reflection: lines below the mirror show the lines above it upside down, from the same tiles.

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

from genbg.hardware.sizes import CELL
from genbg.model import BACK, FRONT, PaintedLayer, PlanePicture, Reflected
from genbg.model.zones import ZonePlan


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
        with_mirror(picture.priority, plan.mirror // CELL),
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


def measure_mirror(number: np.ndarray, plan: ZonePlan) -> Reflected | None:
    """What a reflection takes; None where there is none.

    number: (2, R, C) stored tile of every cell
    """
    if plan.mirror is None:
        return None
    row, last = plan.mirror // CELL, -(-plan.lines // CELL)
    own, shown = [], []
    for plane in (FRONT, BACK):
        lower = number[plane, row:last]
        own.append(number[plane] if not plan.mirrored[plane] else number[plane, :row])
        shown += [lower] if plan.mirrored[plane] else []
    used = np.concatenate([part.ravel() for part in own])
    cells = np.concatenate([part.ravel() for part in shown])
    extra = set(cells.tolist()) - set(used.tolist())
    return Reflected(plan.mirror, plan.lines - plan.mirror, len(cells), len(extra))
