"""Scenes of this folder may name the tests' own painter."""

from __future__ import annotations

import pytest
from own_painters import in_the_table
from scenery import PAINTER


@pytest.fixture(autouse=True)
def scenery():
    """The painter is in the program's table while a test runs."""
    with in_the_table(PAINTER):
        yield
