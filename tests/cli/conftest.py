"""A painter of the tests' own: plain hills that cost few tiles, so that whole runs are quick."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import pytest
from own_painters import in_the_table

from genbg.keys import key
from genbg.model import Painting, RampUse
from genbg.paint.contract import Job, Painter, Ramp


@dataclass(frozen=True)
class Keys:
    size: int = key(16, "int", "Width of a step.", low=1, high=64, unit="pixels")
    fail: str = key("", "str", "Name of an error to raise.")


ERRORS = {
    "": None,
    "stop": KeyboardInterrupt(),
    "memory": MemoryError(),
    "bug": ZeroDivisionError("a\nbug"),
    "disk": OSError(28, "No space left on device", "/somewhere/tiles.bin"),
}


def paint(keys: Keys, job: Job) -> Painting:
    """Steps that rise and fall, with an edge of another ink."""
    if ERRORS[keys.fail] is not None:
        raise ERRORS[keys.fail]
    height = np.arange(job.width) // keys.size * 7 + job.seed % 5
    top = height % job.lines
    depth = np.arange(job.lines)[:, None] - top
    ink = ((depth >= 0) * 1 + (depth >= 8) * 1).astype(np.uint16)
    return Painting(ink, (RampUse("earth", 2),))


PAINTER = Painter("steps", "Steps.", Keys, (Ramp("earth", "", ("#402010", "#a08060"), 2),), paint)


@pytest.fixture
def steps():
    """Put the painter "steps" into the table for the time of a test."""
    with in_the_table(PAINTER):
        yield
