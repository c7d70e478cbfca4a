"""Inks of both planes into four palette rows of 15, shared by both planes.

Exact where it can be: the cells' sets of inks are packed (`pack.py`, proven). Where they can't be,
rows and cells are fitted jointly by least colour error (`start.py`, `rows.py`, `descent.py`).
Either way the rows are then ordered so that tiles serve several of them (`columns.py`), and a cell
that several rows show equally well takes the one in which most other cells share its tile
(`share.py`).

Only the HOME mood decides what is alike, so all moods share tiles; where two choices are nearly
equal under HOME, the other moods tip the scale, because a lamp that looks like the wall by day is
no wall at night.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

import numpy as np

from genbg.colour import LAB_SCALE, distance_steps, lab_steps
from genbg.errors import LimitError
from genbg.hardware.sizes import CELL, PALETTE_COLOURS, PALETTES
from genbg.measure import present
from genbg.model import Fit as Fitted
from genbg.model import InkColours, PlanePicture
from genbg.quantize.align import align_zones
from genbg.quantize.cells import Cells, join_cells, read_cells
from genbg.quantize.columns import order_columns, tonal_columns
from genbg.quantize.descent import Lots, descend_best, descend_rows
from genbg.quantize.entries import FAR
from genbg.quantize.pack import cell_sets, pack_sets
from genbg.quantize.rows import Fit, cell_costs, merge_cells, nearest_gap, settle_rows
from genbg.quantize.share import share_rows
from genbg.quantize.start import (
    bits_of,
    entries_of,
    start_by_join,
    start_by_mean,
    starts_by_likes,
)

HOME_SHARE = 24
"""How much more a difference under HOME weighs than the mean one under the other moods."""

QUICK_MOVES = 12
"""Moves for a first look: a few milliseconds."""

TONAL_SHARE = 0.45
"""Share of distinct cells among all that show something above which a picture that does not fit
exactly counts as a photograph. The bundled presets have a third at most, photographs more than
half."""


def fit_palette(
    front: PlanePicture,
    back: PlanePicture,
    inks: InkColours,
    levels: Sequence[int],
    zones: Sequence[tuple[int, int]] = (),
    quick: bool = False,
    parts: Sequence[tuple[int, int]] = (),
) -> Fitted:
    """Palette rows, the row of every cell and the entry of every pixel.

    front, back: (H, W) inks; levels: the 8 screen levels that colours are judged at
    zones: (top, bottom) plane lines, in order and without a gap, each with palette rows of its
        own; none given: one zone
    parts: (left, right) columns that are a plane each, where more stands beside a plane; its left
        and right edge meet

    Raises LimitError where the zones do not cover the plane's lines once each.
    """
    levels = tuple(int(level) for level in levels)
    height = front.ink.shape[0]
    zones = check_zones(zones, height)
    cells = read_cells(front, back, inks, levels, zones, parts)
    held = present(cells.ink)
    fit = fit_of(cells, inks, levels, held)
    merged = merge_cells(fit)
    entries = pack_exactly(merged)
    if entries is None:
        entries = settle_rows(fit, quick_rows(merged) if quick else search_rows(merged)).entries
    return finish(cells, fit, align_zones(fit, entries), held, inks, levels)


def check_zones(zones: Sequence[tuple[int, int]], height: int) -> tuple[tuple[int, int], ...]:
    """The zones, or the one zone of the whole plane; see `fit_palette`."""
    line = 0
    for top, bottom in zones:
        if top != line or bottom <= top:
            raise LimitError("palette zone: first line", top, line, cure="zones follow each other")
        line = bottom
    if zones and line != height:
        raise LimitError("palette zones: last line", line, height, cure="zones cover the plane")
    return tuple(zones) or ((0, height),)


def fit_of(cells: Cells, inks: InkColours, levels: tuple[int, ...], held: np.ndarray) -> Fit:
    """What the search is handed; held: (J,) the inks that entries may hold."""
    steps = lab_steps(levels)[inks.colours]
    gap = distance_steps(steps[:, cells.ink, None], steps[:, None, held])
    total = gap[0] * HOME_SHARE
    if len(gap) > 1:
        total += gap[1:].sum(axis=0) // (len(gap) - 1)
        # Never nothing for what differs in some mood.
        total += (total == 0) & (gap[1:] > 0).any(axis=0)
    table = np.concatenate([total, np.full((len(total), 1), FAR)], axis=1).astype(np.float64)
    members = tuple(np.flatnonzero(cells.zone == zone) for zone in range(cells.zones))
    weight = cells.weight.astype(np.float64)
    home = steps[0, cells.ink].astype(np.float64)
    own = np.searchsorted(held, cells.ink)
    return Fit(cells.first, cells.kind, weight, table, home, members, own)


def pack_exactly(fit: Fit) -> np.ndarray | None:
    """Entries (4, Z, 15) that show every pixel as painted, or None where there are none."""
    if max(len(points) for points in fit.members) > PALETTES * PALETTE_COLOURS:
        return None
    masks = [bits_of(points) for points in fit.members]
    rows = pack_sets(cell_sets(fit.first, fit.kind, len(fit.gap)), masks).rows
    return None if rows is None else entries_of(rows, masks, fit.own, fit.nothing)


def quick_rows(fit: Fit) -> np.ndarray:
    """Entries (4, Z, 15) that a few moves from one start lead to."""
    return descend_rows(fit, settle_rows(fit, start_by_mean(fit)), QUICK_MOVES, Lots()).entries


def search_rows(fit: Fit) -> np.ndarray:
    """Entries (4, Z, 15) of least error."""
    return descend_best(fit, find_starts(fit)).entries


def find_starts(fit: Fit) -> Iterator[np.ndarray]:
    """Entries (4, Z, 15) to start from."""
    joined = start_by_join(fit)
    if joined is not None:
        yield joined
    yield start_by_mean(fit)
    yield from starts_by_likes(fit)


def finish(
    cells: Cells,
    fit: Fit,
    entries: np.ndarray,
    held: np.ndarray,
    inks: InkColours,
    levels: tuple[int, ...],
) -> Fitted:
    """Order the rows, choose each cell's row and look up each pixel's entry."""
    lab = lab_steps(levels)[inks.colours[0]].astype(np.int64)
    ink = np.where(entries == fit.nothing, 0, np.append(held, 0)[entries])
    slot = nearest_slots(fit, entries)
    options = best_rows(fit, cells, entries)
    rows, zone = np.arange(PALETTES)[:, None], cells.zone
    exact, _ = loss_of(cells, inks, lab, ink[rows, zone, slot], options.argmax(axis=1))
    tonal = not exact and cells.zones == 1 and distinct_share(cells) > TONAL_SHARE
    column = order_slots(cells, ink, lab[:, 0], slot, options.argmax(axis=1), tonal)
    index = np.concatenate([np.zeros((PALETTES, 1), np.int64), column[rows, zone, slot]], axis=1)
    row = share_rows(index, cells.point, options)
    exact, mse = loss_of(cells, inks, lab, ink[rows, zone, slot], row)
    return Fitted(
        palette=palettes_of(ink, column),
        index=join_cells(index[row[:, None], cells.point][cells.which], cells.shape).astype(
            np.uint8
        ),
        row=row[cells.which].reshape(cells.shape).astype(np.uint8),
        exact=exact,
        mse=mse,
    )


def distinct_share(cells: Cells) -> float:
    """Share of distinct cells among all cells that show something, 0..1."""
    shown = np.isin(cells.which, cells.filled).sum()
    return len(cells.filled) / max(int(shown), 1)


def nearest_slots(fit: Fit, entries: np.ndarray) -> np.ndarray:
    """The slot (4, P) of each row that shows each point best; ties to the lowest slot."""
    slot = np.empty((PALETTES, len(fit.gap)), np.int64)
    for zone, points in enumerate(fit.members):
        for r in range(PALETTES):
            slot[r, points] = fit.tables[zone].column[entries[r, zone]].argmin(axis=0)
    return slot


def best_rows(fit: Fit, cells: Cells, entries: np.ndarray) -> np.ndarray:
    """The rows (p, 4) bool that show each distinct cell with the least error."""
    cost = np.zeros((len(cells.point), PALETTES))
    if len(cells.filled):
        cost[cells.filled] = cell_costs(fit, nearest_gap(fit, entries)).T
    return cost == cost.min(axis=1, keepdims=True)


def order_slots(
    cells: Cells,
    ink: np.ndarray,
    light: np.ndarray,
    slot: np.ndarray,
    row: np.ndarray,
    tonal: bool,
) -> np.ndarray:
    """The entry 1..15 of every slot, (4, Z, 15).

    ink: (4, Z, 15), 0 where a slot holds none; light: lightness of every ink
    slot: (4, P); row: (p,) of every distinct cell for now
    tonal: whether entries simply go from dark to light
    """
    if tonal:
        flat = ink.reshape(-1, PALETTE_COLOURS)
        return tonal_columns(np.where(flat > 0, flat, -1), light[flat]).reshape(ink.shape)
    lists = np.arange(PALETTES)[:, None] * cells.zones + cells.zone
    place = np.concatenate([np.full((PALETTES, 1), -1), lists * PALETTE_COLOURS + slot], axis=1)
    flat = ink.reshape(-1, PALETTE_COLOURS)
    column = order_columns(
        np.where(flat > 0, flat, -1), light[flat], place[row[:, None], cells.point], cells.zones
    )
    return column.reshape(ink.shape)


def palettes_of(ink: np.ndarray, column: np.ndarray) -> np.ndarray:
    """The palette (Z, 4, 16) of every zone from the ink and the entry of every slot (4, Z, 15)."""
    palettes = np.zeros((ink.shape[1], PALETTES, PALETTE_COLOURS + 1), np.uint16)
    rows, zone, _ = np.indices(ink.shape)
    palettes[zone, rows, column] = ink
    return palettes


def loss_of(
    cells: Cells, inks: InkColours, lab: np.ndarray, drawn: np.ndarray, row: np.ndarray
) -> tuple[bool, float]:
    """Whether all cells look as painted in all moods, and the mean squared OKLab error at HOME.

    drawn: (4, P) ink that shows each point in each row; row: (p,) of every distinct cell
    """
    lengths = np.diff(cells.first, append=len(cells.kind))
    of_entry = np.repeat(row[cells.filled], lengths)
    got, asked = drawn[of_entry, cells.kind], cells.ink[cells.kind]
    exact = bool((inks.colours[:, got] == inks.colours[:, asked]).all())
    total = int((distance_steps(lab[got], lab[asked]) * cells.count).sum())
    return exact, total / (LAB_SCALE * LAB_SCALE * cells.which.size * CELL * CELL)
