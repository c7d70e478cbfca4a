"""Splits: every line shows its colours, but for late pixels; gaps hold what they have time for."""

from __future__ import annotations

from itertools import pairwise

import numpy as np
import pytest
from scipy.optimize import Bounds, LinearConstraint, linear_sum_assignment, milp

from genbg.errors import LimitError
from genbg.scroll.splits import (
    Job,
    earliest_deadlines,
    line_use,
    place_rewrites,
    plan_splits,
    rewrite_numbers,
    start_numbers,
)

LINES = 224


def dice(seed: int) -> np.random.Generator:
    return np.random.Generator(np.random.PCG64(seed))


def random_case(seed: int, tops: list[int], density: float = 0.4):
    """Colours (S, D, 64) of segments in two moods, and which entries each line shows."""
    rng = dice(seed)
    colours = rng.integers(0, 512, (len(tops), 2, 64))
    colours[:, :, ::3] = colours[:1, :, ::3]  # a third of the entries never changes
    use = np.zeros((LINES, 64), dtype=np.int64)
    edges = [*tops, LINES]
    for top, bottom in pairwise(edges):
        shown = rng.random(64) < density
        lines = rng.integers(1, 200, (bottom - top, 64)) * (rng.random((bottom - top, 64)) < 0.7)
        use[top:bottom] = lines * shown
    return colours, use


def memory_by_line(plan, colours: np.ndarray) -> np.ndarray:
    """What each entry holds on each line (L, 64), by carrying the rewrites out one by one."""
    held = start_numbers(plan, colours).copy()
    rows = []
    for line in range(LINES):
        for rewrite in plan.rewrites:
            if rewrite.line == line:
                new = rewrite_numbers(rewrite, colours)
                held[rewrite.first : rewrite.first + len(new)] = new
        rows.append(held.copy())
    return np.stack(rows)


CASES = [([0, 100], 1), ([0, 100], 2), ([0, 60, 130], 3), ([0, 8, 16, 24, 32], 4), ([0, 223], 5)]


@pytest.mark.parametrize(("tops", "seed"), CASES)
@pytest.mark.parametrize("mood", [0, 1])
def test_only_stated_pixels_show_another_colour(tops, seed, mood):
    """On every line an entry that is shown holds its segment's colour, or is counted as late."""
    colours, use = random_case(seed, tops)
    plan = plan_splits(tops, colours, use, 9)
    held = memory_by_line(plan, colours[:, mood])
    segment = np.searchsorted(tops, np.arange(LINES), side="right") - 1
    wrong = (held != colours[segment, mood]) & (use > 0)
    late = sum(border.late_pixels for border in plan.borders)
    assert use[wrong].sum() <= late
    assert np.count_nonzero(wrong.any(axis=1)) <= sum(b.late_lines for b in plan.borders)


@pytest.mark.parametrize(("tops", "seed"), CASES)
@pytest.mark.parametrize("per_line", [1, 4, 9, 64])
def test_no_gap_is_asked_for_more_than_it_has_time_for(tops, seed, per_line):
    """At most so many entries before one line, bridged ones included, and none before line 0."""
    plan = plan_splits(tops, *random_case(seed, tops, 0.2), per_line)
    asked = np.zeros(LINES, dtype=int)
    for rewrite in plan.rewrites:
        asked[rewrite.line] += len(rewrite.sources)
    assert asked.max() <= per_line
    assert asked[0] == 0


def test_colours_that_do_not_differ_are_left_alone():
    """Equal segments need no rewrite, and neither do entries that nobody shows."""
    colours, use = random_case(6, [0, 100])
    assert plan_splits([0, 100], colours[[0, 0]], use, 9).rewrites == ()
    assert plan_splits([0, 100], colours, use * 0, 9).rewrites == ()
    assert plan_splits([0], colours[:1], use, 9).borders == ()


def test_what_is_first_shown_further_down_is_held_from_the_top():
    """An entry that only the second segment shows is loaded at once and never rewritten."""
    colours, use = random_case(7, [0, 100])
    use[:100, 5], use[100:, 5] = 0, 10
    plan = plan_splits([0, 100], colours, use, 9)
    assert plan.start[5] == 1
    assert all(not r.first <= 5 < r.first + len(r.sources) for r in plan.rewrites)


def test_a_change_in_another_mood_counts():
    """Colours that are equal at home and differ at night are rewritten."""
    colours = np.zeros((2, 2, 64), dtype=int)
    colours[1, 1, 7] = 100
    use = np.ones((LINES, 64), dtype=int)
    (rewrite,) = plan_splits([0, 100], colours, use, 9).rewrites
    assert (rewrite.line, rewrite.first, rewrite.sources) == (100, 7, (1,))


def test_few_colours_change_on_the_line_itself():
    """Nine colours fit the gap before the line at 9 a line; ten do not."""
    colours = np.zeros((2, 1, 64), dtype=int)
    use = np.ones((LINES, 64), dtype=int)
    colours[1, 0, :9] = 9
    (border,) = plan_splits([0, 100], colours, use, 9).borders
    assert (border.colours, border.first, border.last, border.late_pixels) == (9, 100, 100, 0)
    colours[1, 0, :10] = 9
    (border,) = plan_splits([0, 100], colours, use, 9).borders
    assert (border.colours, border.first, border.last, border.late_pixels) == (10, 99, 100, 1)


def test_neighbours_are_written_as_one_run():
    """Entries 3 and 4 are one rewrite; what stays as it is between two others is left alone."""
    colours = np.zeros((2, 1, 64), dtype=int)
    colours[1, 0, [3, 4, 6, 20]] = 8
    plan = plan_splits([0, 100], colours, np.ones((LINES, 64), dtype=int), 9)
    runs = [(r.line, r.first, r.sources) for r in plan.rewrites]
    assert runs == [(100, 3, (1, 1)), (100, 6, (1,)), (100, 20, (1,))]


def small_case(seed: int):
    """Jobs of a screen of 24 lines and the room of its gaps, sparse enough to fit now and then."""
    rng = dice(seed)
    first = rng.integers(3, 22, rng.integers(5, 24))
    last = np.minimum(first + rng.integers(0, 8, len(first)), 23)
    room = rng.integers(0, 3, 24)
    jobs = [Job(int(a), int(b), e, 1) for e, (a, b) in enumerate(zip(first, last, strict=True))]
    return jobs, room


@pytest.mark.parametrize("seed", range(40))
def test_where_an_exact_solver_finds_a_plan_the_earliest_deadlines_do(seed):
    """No job late: found exactly where HiGHS finds a plan, and then within every window and room.

    Sources: J. R. Jackson, 1955; W. A. Horn, Naval Research Logistics Quarterly 21, 1974.
    """
    jobs, room = small_case(seed)
    windows = [[gap for gap in range(24) if job.first <= gap <= job.last] for job in jobs]
    slots = [(number, gap) for number, gaps in enumerate(windows) for gap in gaps]
    once = np.array([[number == job for number, _ in slots] for job in range(len(jobs))], float)
    used = np.array([[gap == at for _, at in slots] for gap in range(24)], float)
    limits = [LinearConstraint(once, 1, 1), LinearConstraint(used, 0, room)]
    found = milp(np.zeros(len(slots)), constraints=limits, integrality=1, bounds=Bounds(0, 1))
    done = earliest_deadlines(jobs, room)
    assert (done is not None) == found.success
    if done is not None:
        assert sorted(job.entry for _, job in done) == list(range(len(jobs)))
        assert all(job.first <= gap <= job.last for gap, job in done)
        assert (np.bincount([gap for gap, _ in done], minlength=24) <= room).all()


def test_small_cases_fit_now_and_then():
    """Of the cases above some have a plan and some have none."""
    fits = [earliest_deadlines(*small_case(seed)) is not None for seed in range(40)]
    assert 5 < sum(fits) < 35


@pytest.mark.parametrize("seed", range(8))
def test_late_pixels_are_the_fewest_possible(seed):
    """As few as the assignment that scipy finds among all gaps of the frame.

    Source: H. W. Kuhn, Naval Research Logistics Quarterly 2, 1955.
    """
    colours, use = random_case(seed, [0, 100], density=0.8)
    (border,) = plan_splits([0, 100], colours, use, 9).borders
    shown = use[:100].any(axis=0) & use[100:].any(axis=0)
    wanted = np.flatnonzero(shown & (colours[0] != colours[1]).any(axis=0))
    assert border.colours == len(wanted)
    total = np.concatenate([np.zeros((1, 64), int), np.cumsum(use, axis=0)])
    cost = np.abs(total[1:LINES] - total[100])[:, wanted]
    slots = np.repeat(cost, 9, axis=0)
    row, column = linear_sum_assignment(slots.T)
    assert border.late_pixels == slots.T[row, column].sum()


def test_too_many_rewrites_for_a_frame():
    """Where not all colours find a gap, an error says at which split, how many do, what to do."""
    tops = list(range(0, 220, 10))
    colours, use = random_case(9, tops, 1.0)
    says = r"split at line \d+: colours that find a gap .*: (\d+) asked, (\d+) allowed; .* fewer"
    with pytest.raises(LimitError, match=says) as caught:
        plan_splits(tops, colours, use, 1)
    assert 0 <= caught.value.limit < caught.value.got


@pytest.mark.parametrize("taken", [0, 60, 110])
def test_gaps_are_looked_for_in_the_whole_frame(taken):
    """Two entries that were rewritten in gap 130 find those behind it, however many gaps that are
    nearer the border, but too early, have room.
    """
    room = np.full(LINES, 1)
    room[[0, *range(1, taken), *range(100, 160)]] = 0
    last = np.full(64, 130)
    use = np.ones((LINES, 64), dtype=int)
    gaps = place_rewrites(np.array([3, 9]), 105, use, room, last)
    assert sorted(gaps.tolist()) == [160, 161]
    assert room[[160, 161]].tolist() == [0, 0]
    room[160:] = 0
    with pytest.raises(LimitError, match=r"split at line 105: .*: 2 asked, 0 allowed"):
        place_rewrites(np.array([3, 9]), 105, use, room, last)


def test_line_use_counts_pixels_of_both_planes():
    """Entries are counted where a plane shows them; entry 0 where both are see-through at most."""
    index = np.zeros((2, 16, 8), dtype=np.uint8)
    row = np.array([[[1], [0]], [[2], [3]]], dtype=np.uint8)
    index[0, 3, :5], index[1, 3, :2] = 4, 15
    index[1, 9, :] = 1
    use = line_use(index, row, 12)
    assert use.shape == (12, 64)
    found = {(int(y), int(e)): int(use[y, e]) for y, e in np.argwhere(use) if e}
    assert found == {(3, 20): 5, (3, 47): 2, (9, 49): 8}
    assert use[:, 0].tolist() == [8, 8, 8, 3, 8, 8, 8, 8, 8, 0, 8, 8]
    covered = line_use(index, row, 12, window=(0, 8))
    assert covered[3, 20] == 0
    assert covered[3, 0] == 6
