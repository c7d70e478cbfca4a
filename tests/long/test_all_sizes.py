"""Every painter of the table keeps its contract at every size, up to the whole plane.

Not part of the test command, as it takes minutes; `.ci/run` runs it. `GENBG_CASES=500` before the
command asks for more jobs of each painter.
"""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import numpy as np
import pytest
from contract_jobs import WRAPS_FROM, check_painting, draw_art, make_job
from painting_checks import step_at_wrap

from genbg.paint.table import PAINTERS, painter

LINES = (96, 1, 7, 24, 256, 2, 40, 130, 8, 13, 224)
WIDTHS = (256, 512, 1024)
SIZES = tuple(zip(LINES * len(WIDTHS), WIDTHS * len(LINES), strict=True))
"""All pairs of lines and widths, as neither number divides the other; taken in turn."""

CASES = int(os.environ.get("GENBG_CASES", str(len(SIZES))))

SCREEN = 224 * 512
"""Pixels of the largest layer that a screen shows whole."""

SCREEN_S = 2.0
"""What a painting of as much may take of a processor like the one that YARD_S was measured on;
larger ones may take more in proportion."""

SLOW = {"canyon": 2, "peaks": 2, "cloudsea": 3, "crags": 3, "heaps": 3, "isles": 3, "floes": 6}
"""Painters that take longer than that at the ends of their keys (thousands of small things, or few
that are as large as the plane), and how many times as long they may take. Shorten this list."""

YARD_S = 0.15
"""What `yard` took of that processor."""


def yard() -> float:
    """Seconds of this processor for a fixed piece of work, so that a slow one is allowed more."""
    numbers = np.random.Generator(np.random.PCG64(1)).random(1 << 20)
    began = time.process_time()
    np.sort(numbers, kind="stable")
    return time.process_time() - began


@contextmanager
def bounded(pixels: int, slowness: float, times: int) -> Iterator[None]:
    """Raise TimeoutError where a painting takes too much of the processor."""
    most = SCREEN_S * max(1.0, pixels / SCREEN) * max(1.0, slowness) * times

    def give_up(*_: object) -> None:
        raise TimeoutError(f"took more than {most:.1f} s of the processor")

    before = signal.signal(signal.SIGPROF, give_up)
    signal.setitimer(signal.ITIMER_PROF, most)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    """Where painters find pictures."""
    return draw_art(tmp_path_factory.mktemp("art"), {*LINES})


@pytest.fixture(scope="module")
def slowness() -> float:
    """How many times as long as on the first processor work takes on this one."""
    return min(yard() for _ in range(3)) / YARD_S


@pytest.mark.parametrize("name", PAINTERS)
def test_the_contract_holds_at_every_size(name: str, folder: Path, slowness: float) -> None:
    """From one line to the whole plane, 256 to 1024 wide: the painting is right, takes no more
    work than it may, and over all of them the wrap is like the joins of cells inside."""
    art, drawn, joins, inside = painter(name), 0, [], []
    for case in range(CASES):
        job = make_job(art, case, SIZES[case % len(SIZES)], folder)
        if job is None:
            continue
        with bounded(job.lines * job.width, slowness, SLOW.get(name, 1)):
            painting = art.draw(job)
        check_painting(art, job, painting)
        drawn += 1
        if job.lines >= WRAPS_FROM:
            join, others = step_at_wrap(painting.ink)
            joins.append(join)
            inside.append(others[7::8])
    assert drawn >= CASES // 2
    assert np.mean(joins) <= np.quantile(np.concatenate(inside), 0.95)
