"""The worst visible cells are mended, and nothing else is given away for it."""

from __future__ import annotations

import numpy as np
import pytest
from reduce_samples import hilly_planes, no_guard

from genbg.reduce.buckets import merge_all
from genbg.reduce.calm import contrasts, thresholds, visibility
from genbg.reduce.exact import find_cells
from genbg.reduce.judge import Judged
from genbg.reduce.mend import DEAREST, mend_worst
from genbg.reduce.metric import make_form
from genbg.reduce.problem import Choice, Problem, errors, pose_problem, score
from genbg.reduce.search import MODES, draw_start, kind_uses, search


def calm_and_busy(seed: int) -> Judged:
    """Grainy texture on the left, smooth hills on the right, in one palette row."""
    grainy = hilly_planes(16, 32, seed)
    smooth = hilly_planes(16, 32, seed, grainy=False)
    index = grainy.index.copy()
    index[:, :, 128:] = smooth.index[:, :, 128:]
    random = np.random.Generator(np.random.PCG64(seed))
    index[:, :, :128] = random.integers(1, 9, index[:, :, :128].shape)
    return Judged(grainy.palette, index, np.zeros_like(grainy.row), grainy.steps)


def searched(judged: Judged, budget: int) -> tuple[Problem, Choice]:
    """The problem, and what the search finds before anything is mended."""
    cells = find_cells(judged.index, judged.row)
    form = make_form(MODES["balanced"].weights)
    problem = pose_problem(cells, judged.palette, judged.steps, form, no_guard(judged))
    groups = merge_all(problem.kinds.feature, kind_uses(problem), problem.kinds.tile, budget)
    found = search(problem, draw_start(problem, groups, budget), MODES["balanced"])
    return found.problem, found.choice


def spoilt(choice: Choice, cell: int, number: int) -> Choice:
    """The choice with one cell shown by another tile."""
    fresh = choice.number.copy()
    fresh[cell] = number
    return Choice(choice.tiles, fresh, choice.flip, choice.row)


def worst_visibility(problem: Problem, choice: Choice) -> float:
    """Visibility of the cell that is seen worst, 0 where nothing is."""
    threshold = thresholds(contrasts(problem.painted, problem.cells.shape))
    error = errors(problem, choice)
    seen = visibility(error.value[:-1], threshold[error.cell], problem.form)
    return float(seen.max(initial=0))


def test_a_square_in_a_calm_place_is_mended() -> None:
    """A calm cell that shows something else comes back, in no more tiles, and no cell is then
    seen more plainly than the worst was before it was spoilt."""
    problem, choice = searched(calm_and_busy(1), 330)
    before = worst_visibility(problem, choice)
    calm = np.flatnonzero(problem.care == problem.care.max())
    shown = {
        worst_visibility(problem, spoilt(choice, calm[0], number)): number for number in (5, 9)
    }
    seen = max(shown)
    mended = mend_worst(problem, spoilt(choice, calm[0], shown[seen]), 4)
    assert seen > 1.5 * before
    assert worst_visibility(problem, mended) <= before
    assert len(mended.tiles) == len(choice.tiles)


@pytest.mark.parametrize("seed", [1, 2])
def test_mending_is_cheap_and_makes_nothing_worse(seed: int) -> None:
    """Where all cells are seen about as plainly as the worst, little is done: the worst is seen no
    more than before, and the whole cost hardly rises."""
    problem, choice = searched(calm_and_busy(seed), 330)
    mended = mend_worst(problem, choice, 4)
    assert worst_visibility(problem, mended) <= worst_visibility(problem, choice)
    costs = [score(problem, errors(problem, one)) for one in (choice, mended)]
    assert costs[1] <= DEAREST * costs[0]


def test_what_nobody_sees_is_left_alone() -> None:
    """A picture shown as it was painted stays so, to the pixel."""
    judged = hilly_planes(8, 8, 3, grainy=False)
    cells = find_cells(judged.index, judged.row)
    form = make_form(MODES["balanced"].weights)
    problem = pose_problem(cells, judged.palette, judged.steps, form, no_guard(judged))
    choice = Choice(cells.tiles, cells.number, cells.flip, cells.row)
    assert worst_visibility(problem, choice) == 0.0
    mended = mend_worst(problem, choice, 4)
    assert mended is choice
