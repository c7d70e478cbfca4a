"""Splits: which colour entries are rewritten before which screen line.

  segment   screen lines on which all colours are to stay as they are
  gap       the short time before a screen line in which the beam is dark and the processor may
            rewrite a few entries; what is rewritten in gap `g` holds from line `g` on
  late      a pixel that shows an old colour where the new one is asked, or the other way round

Entries that no pixel of a segment shows need nothing, and an entry that is first shown further down
holds that colour from the top of the frame. What is left at a border seldom fits one gap. An entry
that nobody shows just above the border may be rewritten earlier, one that nobody shows just below
it later: from its last pixel above to its first below. Each of these times is a job of one unit,
and the job that has to be done first is done first, which finds a plan without late pixels wherever
there is one (J. R. Jackson, "Scheduling a production line to minimize maximum tardiness", 1955;
W. A. Horn, "Some simple scheduling algorithms", Naval Research Logistics Quarterly 21, 1974). Where
there is none, the rewrites of each border are put where together the fewest pixels are late.
"""

from __future__ import annotations

import heapq
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from genbg.assignment import best_assignment
from genbg.errors import LimitError
from genbg.hardware.sizes import ENTRIES
from genbg.model import Border, StoredSprites

NEVER = 1 << 50
"""Cost of a gap that won't do."""
FIRST_GAP = 3
"""The first gap that line interrupts reach: those before lines 0 and 1 set up the others, and an
interrupt comes a line above the one that its rewrite holds from."""


@dataclass(frozen=True)
class Job:
    """An entry that takes a segment's colour in one of the gaps `first` to `last` without a late
    pixel."""

    first: int
    last: int
    entry: int
    segment: int


@dataclass(frozen=True)
class Rewrite:
    """Neighbouring entries rewritten before line `line`.

    sources: for each entry from `first` on the segment whose colour it takes
    """

    line: int
    first: int
    sources: tuple[int, ...]


@dataclass(frozen=True)
class SplitPlan:
    """All rewrites of a frame.

    start: for each of the 64 entries the segment whose colour it holds from the top
    rewrites: in the order of their lines, then of their entries
    """

    start: tuple[int, ...]
    rewrites: tuple[Rewrite, ...]
    borders: tuple[Border, ...]


def plan_splits(
    tops: Sequence[int], colours: np.ndarray, use: np.ndarray, per_line: int
) -> SplitPlan:
    """The plan for segments that begin at `tops`, the first of them at 0.

    colours: (S, D, 64) colour numbers that each entry is to have in each segment, in each of D
        moods and moments; use: (L, 64) how many pixels of a line show each entry
    per_line: entries that can be rewritten in one gap

    Ties: the gap nearest the border, the upper of two as near.

    Raises LimitError where the gaps of a frame are too few for all rewrites.
    """
    lines = len(use)
    room = np.full(lines, per_line)
    room[:FIRST_GAP] = 0
    start, jobs = list_jobs(tops, colours, use)
    done = earliest_deadlines(jobs, room)
    if done is None:
        done = fewest_late(tops, jobs, use, room)
    borders = [
        tell_border(line, use, [(gap, job) for gap, job in done if job.segment == number])
        for number, line in enumerate(tops[1:], start=1)
        if any(job.segment == number for _, job in done)
    ]
    runs = _runs(sorted((gap, job.entry, job.segment) for gap, job in done))
    return SplitPlan(tuple(start.tolist()), tuple(runs), tuple(borders))


def list_jobs(
    tops: Sequence[int], colours: np.ndarray, use: np.ndarray
) -> tuple[np.ndarray, list[Job]]:
    """The segment (64,) whose colour each entry holds from the top, and every rewrite needed.

    Arguments as in `plan_splits`. Jobs come border after border, each border's by entry.
    """
    edges = [*tops, len(use)]
    shown = np.stack([use[a:b].any(axis=0) for a, b in pairwise(edges)])
    held = np.where(shown.any(axis=0), shown.argmax(axis=0), 0)
    start, entry, jobs = held.copy(), np.arange(ENTRIES), []
    for number, line in enumerate(tops[1:], start=1):
        differ = (colours[number] != colours[held, :, entry].T).any(axis=0)
        for e in np.flatnonzero(differ & shown[number]).tolist():
            above, below = np.flatnonzero(use[:line, e]), np.flatnonzero(use[line:, e])
            jobs.append(Job(int(above[-1]) + 1, line + int(below[0]), e, number))
            held[e] = number
    return start, jobs


def earliest_deadlines(jobs: Sequence[Job], room: np.ndarray) -> list[tuple[int, Job]] | None:
    """(gap, job) of all jobs so that none is late, None where that can't be; room: of each gap.

    Of jobs with one deadline, neighbouring entries are done together.
    """
    waiting = sorted(jobs, key=lambda job: (job.first, job.last, job.entry))
    ready: list[tuple[int, int, int, Job]] = []
    done: list[tuple[int, Job]] = []
    for gap, places in enumerate(room.tolist()):
        while waiting and waiting[0].first <= gap:
            job = waiting.pop(0)
            heapq.heappush(ready, (job.last, job.entry, len(waiting), job))
        for _ in range(min(places, len(ready))):
            job = heapq.heappop(ready)[3]
            if job.last < gap:
                return None
            done.append((gap, job))
    return None if ready or waiting else done


def fewest_late(
    tops: Sequence[int], jobs: Sequence[Job], use: np.ndarray, room: np.ndarray
) -> list[tuple[int, Job]]:
    """(gap, job) of all jobs, border after border, each with the fewest late pixels; `room` is
    used up. Raises LimitError where the gaps of a frame are too few."""
    last = np.zeros(ENTRIES, dtype=np.int64)
    done: list[tuple[int, Job]] = []
    for number, line in enumerate(tops[1:], start=1):
        here = [job for job in jobs if job.segment == number]
        wanted = np.array([job.entry for job in here], dtype=np.intp)
        gaps = place_rewrites(wanted, line, use, room, last)
        last[wanted] = gaps
        done += zip(gaps.tolist(), here, strict=True)
    return done


def tell_border(line: int, use: np.ndarray, done: Sequence[tuple[int, Job]]) -> Border:
    """What the report says of the rewrites (gap, job) of the border at a line."""
    gaps = np.array([gap for gap, _ in done])
    late = late_pixels(np.array([job.entry for _, job in done]), gaps, line, use)
    ends = int(gaps.min()), int(gaps.max())
    return Border(line, len(done), *ends, int((late > 0).sum()), int(late.sum()))


def place_rewrites(
    wanted: np.ndarray, line: int, use: np.ndarray, room: np.ndarray, last: np.ndarray
) -> np.ndarray:
    """The gap (n,) before which each wanted entry is rewritten; `room` is used up in place.

    last: (64,) gap in which each entry was rewritten before, and no earlier gap will do
    Raises LimitError where not all of them find a gap in the whole frame.
    """
    near = near_slots(room, line, len(wanted))
    gaps = choose_gaps(wanted, line, use, near, last)
    if (gaps < 0).any():
        gaps = choose_gaps(wanted, line, use, np.repeat(np.arange(len(room)), room), last)
    if (gaps < 0).any():
        raise LimitError(
            f"split at line {line}: colours that find a gap in which to change",
            len(wanted),
            int((gaps >= 0).sum()),
            cure="the gaps that are left are full or too early: use fewer splits, or fewer "
            "colours in them",
        )
    np.subtract.at(room, gaps, 1)
    return gaps


def choose_gaps(
    wanted: np.ndarray, line: int, use: np.ndarray, slots: np.ndarray, last: np.ndarray
) -> np.ndarray:
    """The gap (n,) of each wanted entry, -1 for those that find none; the fewest of these.

    slots: gaps, each as often as it has room; line, use, last: as in `place_rewrites`
    """
    if len(slots) < len(wanted):
        slots = np.concatenate([slots, np.zeros(len(wanted) - len(slots), dtype=slots.dtype)])
    total = np.concatenate([np.zeros((1, ENTRIES), np.int64), np.cumsum(use, axis=0)])
    late = np.abs(total[slots] - total[line])[:, wanted]
    cost = late * len(use) * 2 + 2 * np.abs(slots - line)[:, None] + (slots > line)[:, None]
    cost[slots[:, None] <= last[wanted]] = NEVER
    chosen = best_assignment(cost.T)
    return np.where(cost[chosen, np.arange(len(wanted))] < NEVER, slots[chosen], -1)


def near_slots(room: np.ndarray, line: int, count: int) -> np.ndarray:
    """The gaps nearest a line that have room for twice `count` entries, each as often as it has
    room, and eight gaps more.
    """
    away = np.abs(np.arange(len(room)) - line) * 2 + (np.arange(len(room)) > line)
    order = np.argsort(away, kind="stable")
    places = np.minimum(room[order], count)
    enough = int(np.searchsorted(np.cumsum(places), 2 * count)) + 9
    return np.repeat(order[:enough], places[:enough])


def late_pixels(wanted: np.ndarray, gaps: np.ndarray, line: int, use: np.ndarray) -> np.ndarray:
    """Late pixels (L,) of every line."""
    late = np.zeros(len(use), dtype=np.int64)
    for e, gap in zip(wanted.tolist(), gaps.tolist(), strict=True):
        part = slice(min(gap, line), max(gap, line))
        late[part] += use[part, e]
    return late


def _runs(done: list[tuple[int, int, int]]) -> list[Rewrite]:
    """Rewrites (gap, entry, segment), sorted, as runs of neighbouring entries."""
    runs: list[Rewrite] = []
    for gap, e, source in done:
        above = runs[-1] if runs and runs[-1].line == gap else None
        if above and e == above.first + len(above.sources):
            runs[-1] = Rewrite(gap, above.first, (*above.sources, source))
        else:
            runs.append(Rewrite(gap, e, (source,)))
    return runs


def rewrite_numbers(rewrite: Rewrite, colours: np.ndarray) -> np.ndarray:
    """Colour numbers (n,) of a rewrite, from those of every segment (S, 64) at one moment."""
    entries = rewrite.first + np.arange(len(rewrite.sources))
    return colours[list(rewrite.sources), entries]


def start_numbers(plan: SplitPlan, colours: np.ndarray) -> np.ndarray:
    """Colour numbers (64,) from the top of the frame, from those of every segment (S, 64)."""
    return colours[list(plan.start), np.arange(ENTRIES)]


def line_use(
    index: np.ndarray, row: np.ndarray, lines: int, window: tuple[int, int] | None = None
) -> np.ndarray:
    """How many pixels of each screen line show each entry, over both planes: (L, 64) int64.

    index: (2, H, W) entries of the planes' tiles; row: (2, R, C) palette rows
    Entry 0 counts as the backdrop: as often as it can show on that line at most.
    """
    entry = row.repeat(8, axis=1).repeat(8, axis=2)[:, :lines] * 16 + index[:, :lines]
    open_pixels = index[:, :lines] == 0
    if window is not None:
        open_pixels[0, slice(*window)] = True
    use = np.zeros((lines, ENTRIES), dtype=np.int64)
    for plane in range(2):
        solid = ~open_pixels[plane]
        line = np.broadcast_to(np.arange(lines)[:, None], solid.shape)[solid]
        place = line * ENTRIES + entry[plane][solid]
        use += np.bincount(place, minlength=lines * ENTRIES).reshape(lines, ENTRIES)
    use[:, 0] = open_pixels.sum(axis=2).min(axis=0)
    return use


def sprite_use(sprites: StoredSprites, lines: int) -> np.ndarray:
    """How many pixels of each screen line show each entry: (L, 64), each sprite once."""
    cut, use = sprites.cut, np.zeros((lines, ENTRIES), dtype=np.int64)
    for sprite, picture in enumerate(cut.picture.tolist()):
        shown_lines = sprites.pictures[picture][:: -1 if cut.vflip[sprite] else 1]
        for line, entries in enumerate(shown_lines, start=int(cut.y[sprite])):
            if 0 <= line < lines:
                shown = entries[entries > 0].astype(np.intp) + 16 * int(sprites.row[sprite])
                use[line] += np.bincount(shown, minlength=ENTRIES)
    return use
