"""The painter that DEVELOPERS.md shows is a whole one."""

from __future__ import annotations

import re
import sys
import types
from pathlib import Path

import pytest
from contract_jobs import check_painting, make_job

from genbg.paint import table

GUIDE = Path(__file__).parents[2] / "DEVELOPERS.md"
NAME = "genbg.paint.painters.reeds"


@pytest.fixture
def reeds(monkeypatch):
    """The example's painter, as the table gives it after the steps of the guide."""
    (text,) = re.findall(
        r"<!-- example: a painter -->\n```python\n(.*?)```", GUIDE.read_text("utf-8"), re.DOTALL
    )
    module = types.ModuleType(NAME)
    monkeypatch.setitem(sys.modules, NAME, module)
    exec(compile(text, str(GUIDE), "exec"), vars(module))
    monkeypatch.setitem(table.PAINTERS, "reeds", "reeds")
    yield table.painter("reeds")
    table.painter.cache_clear()


def test_the_example_keeps_the_contract(reeds, tmp_path):
    """At the ends of its keys, other sizes, lights and numbers of inks it draws what it may."""
    drawn = 0
    for case in range(6):
        job = make_job(reeds, case, ((33, 256), (40, 256), (1, 256))[case % 3], tmp_path)
        if job is not None:
            painting = reeds.draw(job)
            check_painting(reeds, job, painting)
            drawn += int(painting.ink.any())
    assert drawn >= 3


def test_the_example_has_the_form(reeds):
    """Its module binds the four names and nothing stands between them and its record."""
    module = sys.modules[NAME]
    assert (reeds.params, reeds.ramps, reeds.paint) == (module.Keys, module.RAMPS, module.paint)
