"""Swatches: how sprites take part in the fit of palette rows.

A sprite has one palette row for all its cells. So the fit is not handed its cells but, for each
cell, a swatch that has the inks of the whole sprite in their shares; swatches stand in columns of
their own, right of the front plane, on lines of the sprite's palette zone. Swatches of one block
are alike, so the fit gives them one row, and says which entry shows each ink there.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genbg.errors import LimitError
from genbg.model import FittedPlanes, Pieces, PlanePicture

CELL = 8
PIXELS = CELL * CELL

Zones = Sequence[tuple[int, int]]


@dataclass(frozen=True, eq=False)
class Swatches:
    """Where swatches stand: (b,) cell row and column of the first of each block, and its inks.

    inks: for each block the inks of the 64 pixels of its swatch, 0 past the last
    columns: cells of a plane before swatches were added
    """

    row: np.ndarray
    column: np.ndarray
    inks: tuple[np.ndarray, ...]
    columns: int


def add_swatches(
    front: PlanePicture, back: PlanePicture, pieces: Pieces, zones: Zones = ()
) -> tuple[PlanePicture, PlanePicture, Swatches]:
    """Both planes, wider by the swatches of all blocks.

    zones: (top, bottom) plane lines in order; none given: one zone

    Raises LimitError where a zone with sprites has no whole row of cells.
    """
    height, width = front.ink.shape
    zones = tuple(zones) or ((0, height),)
    rows = [np.arange(-(-top // CELL), bottom // CELL) for top, bottom in zones]
    taken = [0] * len(zones)
    row, column, inks, wanted = [], [], [], []
    for block, zone in zip(pieces.blocks, pieces.zones, strict=True):
        if not len(rows[zone]):
            top, bottom = zones[zone]
            cure = "move the splits apart or keep sprites out of those lines"
            what = f"lines {top} to {bottom} between two splits, where sprites stand"
            raise LimitError(what, bottom - top, CELL, "lines", cure)
        inks.append(swatch_inks(block))
        for copy in range(filled_cells(block)):
            across, down = divmod(taken[zone] + copy, len(rows[zone]))
            wanted.append((int(rows[zone][down]), width // CELL + across, len(inks) - 1))
        row.append(wanted[-filled_cells(block)][0])
        column.append(wanted[-filled_cells(block)][1])
        taken[zone] += filled_cells(block)
    extra = max((place[1] + 1 for place in wanted), default=width // CELL) - width // CELL
    front, back = _widen(front, extra), _widen(back, extra)
    for down, across, number in wanted:
        part = front.ink[down * CELL : (down + 1) * CELL, across * CELL : (across + 1) * CELL]
        part[...] = inks[number].reshape(CELL, CELL)
    places = np.array(row, dtype=np.intp), np.array(column, dtype=np.intp)
    return front, back, Swatches(*places, tuple(inks), width // CELL)


def filled_cells(block: np.ndarray) -> int:
    """Cells of a block that show something."""
    height, width = block.shape
    parts = block.reshape(height // CELL, CELL, width // CELL, CELL)
    return int((parts > 0).any(axis=(1, 3)).sum())


def swatch_inks(block: np.ndarray) -> np.ndarray:
    """Inks (64,) of a swatch: every ink of the block at least once, the rest by their shares.

    Of more than 64 inks the commonest 64 are taken; ties: the lowest ink.
    """
    ink, count = np.unique(block[block > 0], return_counts=True)
    if len(ink) > PIXELS:
        kept = np.sort(np.argsort(-count, kind="stable")[:PIXELS])
        ink, count = ink[kept], count[kept]
    share = 1 + count * (PIXELS - len(ink)) // int(count.sum())
    share[int(count.argmax())] += PIXELS - int(share.sum())
    return np.repeat(ink, share).astype(np.uint16)


def _widen(plane: PlanePicture, cells: int) -> PlanePicture:
    pixels = ((0, 0), (0, cells * CELL))
    return PlanePicture(
        np.pad(plane.ink, pixels),
        np.pad(plane.guard, pixels),
        np.pad(plane.high, ((0, 0), (0, cells))),
    )


def take_swatches(
    fitted: FittedPlanes, swatches: Swatches, pieces: Pieces, lab: np.ndarray
) -> tuple[FittedPlanes, tuple[np.ndarray, ...], np.ndarray]:
    """The fit of the planes alone, the blocks in entries of their rows, and the blocks' rows.

    lab: (K+1, 3) int lab steps of every ink, by which inks past the 64 of a swatch find the nearest
    Returns (fitted, blocks (8 * height, 8 * width) uint8 entries, (b,) uint8 palette rows).
    """
    C = swatches.columns
    rows = fitted.row[0, swatches.row, swatches.column].astype(np.uint8)
    blocks = []
    for number, block in enumerate(pieces.blocks):
        down, across = int(swatches.row[number]) * CELL, int(swatches.column[number]) * CELL
        entries = fitted.index[0, down : down + CELL, across : across + CELL].reshape(PIXELS)
        blocks.append(entries_of(block, swatches.inks[number], entries, lab))
    planes = dataclasses.replace(
        fitted, index=fitted.index[:, :, : C * CELL], row=fitted.row[:, :, :C]
    )
    return planes, tuple(blocks), rows


def entries_of(
    block: np.ndarray, inks: np.ndarray, entries: np.ndarray, lab: np.ndarray
) -> np.ndarray:
    """A block in entries, given a swatch's inks (64,) and what entry shows each."""
    known = np.unique(inks)
    table = np.zeros(len(lab), dtype=np.uint8)
    table[inks] = entries
    steps = lab.astype(np.int64)
    for ink in np.setdiff1d(np.unique(block[block > 0]), known):
        gap = ((steps[known] - steps[ink]) ** 2).sum(axis=1)
        table[ink] = table[known[int(gap.argmin())]]
    table[0] = 0
    return table[block]
