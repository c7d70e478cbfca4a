"""What the reducer's tests share."""

from __future__ import annotations

import pytest

from genbg.reduce import search


@pytest.fixture(autouse=True)
def few_restarts(monkeypatch):
    """Each restart repeats the whole search from another start, so two stand for all of them: they
    take most of the time of small problems. `tests/long` and the benchmarks search in full."""
    monkeypatch.setattr(search, "MOST_RESTARTS", 2)
