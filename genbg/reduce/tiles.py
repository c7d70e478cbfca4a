"""Too many tiles -> the budget: what costs nothing first, then a search for the least error."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.colour import LAB_SCALE, distance_steps
from genbg.errors import LimitError, PresetError
from genbg.hardware.sizes import TILE_NUMBERS
from genbg.model import SHAPED, Cells
from genbg.reduce.buckets import merge_all
from genbg.reduce.curve import error_curve
from genbg.reduce.exact import FLIPS, find_cells, flip_each
from genbg.reduce.judge import Judged
from genbg.reduce.mend import mend_worst
from genbg.reduce.metric import make_form
from genbg.reduce.problem import Choice, Problem, errors, pose_problem
from genbg.reduce.search import (
    MODES,
    PATIENT_WORK,
    Found,
    Mode,
    draw_start,
    kind_uses,
    search,
    unify,
)

SHAPE_LEFT = 3 / 8
"""Tiles to one painted tile up to which plain shapes weigh nothing beside their error: a disc
and the light round it may be a hundred tiles, too many of few. At a little more than a half they
cost the rest 0.0003 of SSIM, and without them the light breaks into squares."""


@dataclass(frozen=True, eq=False)
class Merged:
    """cells: in the order of entries that `entry_order` says
    before: distinct tiles (up to flips) before any merge
    curve: (n, 2) float64 of (tiles, mean squared OKLab error) on the way down, or empty
    entry_order: (r, 16) uint8, for every entry of each palette row the entry that it stands for;
        None where all are as they were
    """

    cells: Cells
    before: int
    curve: np.ndarray
    entry_order: np.ndarray | None = None


def reduce_tiles(
    judged: Judged,
    budget: int,
    guard: np.ndarray,
    mode: str = "balanced",
    seed: int = 0,
    free: np.ndarray | None = None,
) -> Merged:
    """Both planes in at most `budget` tiles, at the least visible error.

    judged: the planes in palette rows, any number of planes and of rows
    budget: 1..2048; guard: (planes, H, W) uint8, `MARKED`, `KEPT` or `SHAPED` pixels
    mode: "balanced", "fast" (no swaps, no trials) or "contours" (outlines before texture)
    seed: of the random numbers that small problems are restarted with
    free: (r,) bool, palette rows whose entries may change places; None: none may

    Raises: LimitError for a budget out of range, PresetError for an unknown mode.
    """
    if not 1 <= budget <= TILE_NUMBERS:
        raise LimitError("patterns", budget, TILE_NUMBERS, cure="set tile_budget to 1..2048")
    if mode not in MODES:
        raise PresetError(f'mode "{mode}": allowed are {", ".join(sorted(MODES))}')
    cells = find_cells(judged.index, judged.row)
    before, curve = len(cells.tiles), np.zeros((0, 2))
    entry_order = None
    choice = Choice(cells.tiles, cells.number, cells.flip, cells.row)
    if before > budget:
        how = MODES[mode]
        if budget <= SHAPE_LEFT * before:
            guard = np.where(guard == SHAPED, 0, guard)
        problem = pose_problem(cells, judged.palette, judged.steps, make_form(how.weights), guard)
        uses = kind_uses(problem)
        groups = merge_all(problem.kinds.feature, uses, problem.kinds.tile, budget)
        found = search(problem, draw_start(problem, groups, budget), how, seed, free)
        choice, entry_order = unify(_mended(found, how)), moved(found.entry_order)
        palette = judged.reordered(entry_order).palette
        error = mean_error(found.problem, choice, palette, judged.steps)
        curve = error_curve(before, groups, budget, error)
    flips = np.array(FLIPS)[choice.flip]
    shown = Cells(
        tiles=choice.tiles,
        number=choice.number.reshape(cells.shape).astype(np.uint16),
        hflip=flips[:, 0].reshape(cells.shape),
        vflip=flips[:, 1].reshape(cells.shape),
        row=choice.row.reshape(cells.shape).astype(np.uint8),
    )
    return Merged(shown, before, curve, entry_order)


def _mended(found: Found, how: Mode) -> Choice:
    """What was found, its worst visible cells mended, where the mode looks for more than haste."""
    size = len(found.choice.tiles)
    if not how.rounds or size * len(found.problem.kinds.tile) > PATIENT_WORK:
        return found.choice
    return mend_worst(found.problem, found.choice, how.candidates)


def moved(entry_order: np.ndarray) -> np.ndarray | None:
    """An order of entries (r, 16), or None where every entry kept its place."""
    return entry_order if (entry_order != np.arange(16)).any() else None


def mean_error(problem: Problem, choice: Choice, palette: np.ndarray, lab: np.ndarray) -> float:
    """Mean squared OKLab error a pixel; see-through pixels count as the backdrop colour."""
    some = errors(problem, choice).cell
    tiles = flip_each(choice.tiles[choice.number[some]], choice.flip[some]).reshape(-1, 64)
    colours = np.asarray(lab)[palette.reshape(-1)]
    apart = distance_steps(colours[:, None], colours)
    meant = problem.cells.row[some, None].astype(np.intp) * 16 + problem.cell_entries[some]
    shown = choice.row[some, None].astype(np.intp) * 16 + tiles
    whole = int(apart[meant, shown].sum())
    return whole / (LAB_SCALE * LAB_SCALE * problem.cell_entries.size)
