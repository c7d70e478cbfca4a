"""A painter of the tests' own, so that they hold whatever the real painters' keys are."""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from own_painters import in_the_table

from genbg.keys import MISSING, key
from genbg.paint.contract import Painter, Ramp


@dataclass(frozen=True, kw_only=True)
class SketchKeys:
    roughness: float = key(0.5, "float", "How rough the outline is.", low=0, high=1)
    spacing: int = key(10, "int", "Between things.", low=1, high=99, unit="pixels")
    form: str = key("round", "choice", "Form of things.", choices=("round", "sharp"))
    file: str | None = key(None, "path", "A file.")

    def faults(self):
        if self.form == "sharp" and self.spacing < 4:
            yield "spacing", 'must be at least 4 where form is "sharp"'


@dataclass(frozen=True, kw_only=True)
class NeedyKeys:
    amount: int = key(MISSING, "int", "How many.", low=1, high=5)


RAMPS = (
    Ramp("rock", "Stone.", ("#000000", "#ffffff"), 5),
    Ramp("snow", "Snow.", ("#8888ff", "#ffffff"), 3),
)


@pytest.fixture(autouse=True)
def sketch():
    """Put the painters "sketch" and "needy" into the table for the time of a test."""
    own = (("sketch", SketchKeys), ("needy", NeedyKeys))
    with in_the_table(*(Painter(name, f"A {name}.", keys, RAMPS, never) for name, keys in own)):
        yield


def never(keys, job):
    pytest.fail("tests of presets paint nothing")
