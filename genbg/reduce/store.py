"""The reduce stage's door: a fit -> planes and sprites in the tiles that may be stored."""

from __future__ import annotations

import dataclasses
from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

from genbg.errors import Fault, LimitError, PresetError
from genbg.hardware.map_word import pack_map
from genbg.hardware.sizes import PALETTES, TILE_NUMBERS
from genbg.measure import error_figures, round_digits
from genbg.model import Canvas, Fit, Stored, StoredSprites
from genbg.model.entries import list_entries
from genbg.model.inks import Inks
from genbg.reduce.bound import error_bound
from genbg.reduce.judge import Judged, judge_zones
from genbg.reduce.quality import fit_budget
from genbg.reduce.sprite_runs import Runs, add_runs, plane_budget
from genbg.reduce.sprites import LaidSprites, lay_sprites, thin_sprites
from genbg.reduce.tiles import Merged, reduce_tiles
from genbg.request import Request
from genbg.way import Way


@dataclass(frozen=True, eq=False)
class Task:
    """All that decides which tiles are stored, but the budget.

    judged: the planes as merging judges them; guard: (2, H, W) uint8; runs: tiles of sprites
    merge: what merging minds, as in the preset's machine.merge
    free: (r,) bool, palette rows whose entries may change places
    """

    judged: Judged
    guard: np.ndarray
    runs: Runs
    merge: str
    free: np.ndarray


@dataclass(frozen=True, eq=False)
class Result:
    """merged: planes and sprites, rows counted 0..3; start: (b,) first tile of a picture's
    run"""

    merged: Merged
    start: np.ndarray


def store_canvas(request: Request, inks: Inks, canvas: Canvas, fit: Fit, way: Way) -> Stored:
    """Store planes and sprites in as many tiles as the preset allows."""
    keys = request.preset.machine
    sprites, missing = thin_sprites(lay_sprites(canvas.sprites, fit), keys.tile_budget)
    steps = inks.mood_steps(request.machine.levels)
    judged = judge_zones(fit, steps, request.zones, inks.behind)
    # rewrites down the frame count on entries that stay where they are
    free = np.full(len(judged.palette), len(request.zones.segments()) == 1)
    free[sprites.row] = False
    task = Task(judged, canvas.guard, sprites.runs, keys.merge, free)

    def store(budget: int) -> Result:
        return way.call(store_task, task, budget)

    if way.sketch:
        result = store(TILE_NUMBERS)
    elif keys.quality is None:
        result = store(keys.tile_budget)
    else:
        result = hold_quality(store, request, inks, fit, len(sprites.runs.tiles) + 1)
    merged = result.merged
    return Stored(
        cells=merged.cells,
        fit=fit.reordered(merged.entry_order),
        sprites=store_sprites(sprites, result.start),
        priority=canvas.priority,
        before=merged.before,
        curve=merged.curve,
        bound=bound_of(task, merged) if way.bound else None,
        warnings=missing,
    )


def store_task(task: Task, budget: int) -> Result:
    """Planes and sprites in at most `budget` tiles."""
    room = plane_budget(task.runs, budget)
    merged = reduce_tiles(task.judged, room, task.guard, task.merge, free=task.free)
    cells, start, added = add_runs(merged.cells, task.runs)
    cells = dataclasses.replace(cells, row=cells.row % PALETTES)
    counts = {"before": merged.before + added, "curve": merged.curve + np.array([added, 0])}
    return Result(dataclasses.replace(merged, cells=cells, **counts), start)


def store_sprites(sprites: LaidSprites, start: np.ndarray) -> StoredSprites:
    """The sprites with the words that name their tiles; start: (b,) of each picture's run."""
    cut, runs = sprites.cut, sprites.runs
    word = pack_map(
        start[cut.picture],
        sprites.row,
        cut.hflip ^ runs.hflip[cut.picture],
        cut.vflip ^ runs.vflip[cut.picture],
        cut.priority,
    )
    return StoredSprites(cut, word, sprites.row, sprites.pictures)


def bound_of(task: Task, merged: Merged) -> float:
    """The error that no choice of as many tiles goes below, entries in the order stored."""
    room = len(merged.cells.tiles) - len(task.runs.tiles)
    return round_digits(error_bound(task.judged.reordered(merged.entry_order), max(1, room)))


def hold_quality(
    store: Callable[[int], Result], request: Request, inks: Inks, fit: Fit, least: int
) -> Result:
    """What `store` makes of the smallest budget whose SSIM is at least the preset's quality.

    Judged on the colours of the home mood, whichever is shown: moods share the tiles.
    least: the smallest budget that leaves the planes a tile
    Raises PresetError where even the largest falls short.
    """
    keys, levels, home = request.preset.machine, request.machine.levels, inks.moods[0]
    quality, most = keys.quality, keys.tile_budget
    assert quality is not None
    entries = list_entries(inks, request.zones, fit.palette)
    painted = entries.picture(fit.index, fit.row, home)

    def judge(result: Result) -> float:
        palette, cells = fit.reordered(result.merged.entry_order).palette, result.merged.cells
        shown = list_entries(inks, request.zones, palette).picture(cells.index, cells.row, home)
        return error_figures(painted, shown, levels).ssim

    def count(result: Result) -> int:
        return len(result.merged.cells.tiles)

    try:
        return fit_budget(store, judge, count, quality, most, least)
    except LimitError as error:
        says = (
            f"the {most} patterns of machine.tile_budget hold no more than {error.limit:.6g}; ask "
            "for less, allow more patterns, or draw thriftier layers"
        )
        raise PresetError(Fault("", "machine.quality", repr(quality), says)) from error
