"""Every painter of the table keeps the contract of `paint/contract.py`.

A painter is in this test by being in the table. These are small jobs, and `GENBG_CASES=200` before
the command asks for more of them; `tests/long/test_all_sizes.py` draws every size, up to the plane.
"""

from __future__ import annotations

import copy
import os
from pathlib import Path

import pytest
from contract_jobs import check_painting, draw_art, make_job, same

from genbg.paint.table import PAINTERS, painter

CASES = int(os.environ.get("GENBG_CASES", "6"))
"""Jobs for each painter."""

SIZES = ((33, 256), (40, 256), (1, 256), (2, 1024), (24, 256), (13, 512))
"""(lines, width) of the jobs, taken in turn; the first two have all keys at their ends."""


@pytest.fixture(scope="module")
def folder(tmp_path_factory) -> Path:
    """Where painters find pictures."""
    return draw_art(tmp_path_factory.mktemp("art"), {lines for lines, _ in SIZES})


@pytest.mark.parametrize("name", PAINTERS)
def test_the_contract_holds(name: str, folder: Path) -> None:
    """Shapes, types, ramps and inks are right at any keys, sizes, lights and numbers of inks; the
    job is left as it was, and drawn anew it gives the same bytes."""
    art, drawn = painter(name), 0
    for case in range(CASES):
        job = make_job(art, case, SIZES[case % len(SIZES)], folder)
        if job is None:
            continue
        before = copy.deepcopy(job)
        painting = art.draw(job)
        check_painting(art, job, painting)
        assert same(job, before), "a job is only read"
        if case % 4 == 1:
            assert same(painting, art.draw(before)), "the same bytes twice"
        drawn += 1
    assert drawn >= CASES // 2
