"""The contract of a painter.

A painter is one file with one `PAINTER`: what it is, the keys it understands, the ramps it colours
with, and a pure function from a `Job` to a `Painting`. It draws shapes in inks and never sees a
colour (only the picture painter does), so a mood can change every colour and no pixel.

The painting wraps: column W-1 is followed by column 0. Rows are screen lines `top` to `bottom`, and
whatever is locked to the 8x8 cells uses `top + row`, not `row`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Generic, TypeVar

import numpy as np

from genbg.colour import LINEAR_LEVELS
from genbg.model import Painting, RampUse

K = TypeVar("K")
"""The class of a painter's keys."""


@dataclass(frozen=True)
class Ramp:
    """A material: a row of inks that differ in light.

    anchors: "#rrggbb" from dark to light (sky ramps: from the top of the sky down); the ramp's
        colours are spread between them, evenly in OKLab, on the 512-colour grid
    steps: how many inks it takes
    lit: shines by itself, so that neither haze nor a mood's tint touches it
    hazed: False where the ramp is what lies behind all haze, as a sky does; a tint still counts
    chosen: True where the anchors are the inks themselves, one for one, if as many are asked for;
        ramps of two families, in shade and in light, do not travel evenly
    """

    name: str
    about: str
    anchors: tuple[str, ...]
    steps: int
    lit: bool = False
    hazed: bool = True
    chosen: bool = False


def two_families(name: str, about: str, anchors: str) -> Ramp:
    """A material in six given tones: three in shade, three in light; anchors as "rrggbb" words."""
    colours = tuple(f"#{word}" for word in anchors.split())
    return Ramp(
        name,
        f"{about}: three tones in shade, three in light.",
        colours,
        6,
        hazed=False,
        chosen=True,
    )


@dataclass(frozen=True)
class Body:
    """A sun or moon: its centre x, y in plane columns and screen lines; radius in pixels."""

    x: float
    y: float
    radius: float


@dataclass(frozen=True, eq=False)
class Seen:
    """A layer that a painter may look at: its first screen line and its painting, in local inks."""

    top: int
    painting: Painting


@dataclass(frozen=True, eq=False)
class Job:
    """What a painter is asked to draw.

    width: W, a multiple of 256; top, bottom: screen lines, the second not included
    seed: 0..2**64-1, this layer's own; params: the painter's dataclass, checked
    light: where light comes from, (x, y): x -1 left .. 1 right, y 0 low .. 1 overhead
    distance: in units of the play field's distance, at the layer's last line; None goes along
    ratio: (N,) float64 pixels each line moves for one camera pixel
    thrift: 0 (every cell its own) .. 1 (as few tiles as can be)
    steps: {ramp: inks}, as the preset asks
    folder: where the preset lies, for files it names
    body: the scene's sun or moon, whichever layer paints it; None: it has none
    seen: {layer: its picture} of the layers that this one names in `sees`, and of no others
    plane_height: H in pixels, and levels: the 8 screen levels, both for the user's own art only
    """

    width: int
    top: int
    bottom: int
    seed: int
    params: Any
    light: tuple[float, float]
    distance: float | None
    ratio: np.ndarray
    thrift: float
    steps: Mapping[str, int]
    folder: Path | None = None
    plane_height: int = 256
    levels: tuple[int, ...] = LINEAR_LEVELS
    body: Body | None = None
    seen: Mapping[str, Seen] = field(default_factory=dict)

    @property
    def lines(self) -> int:
        return self.bottom - self.top

    def uses(self, ramps: Iterable[str]) -> tuple[RampUse, ...]:
        """Ramps that a painting uses, in the order of its inks, each with the inks it may take."""
        return tuple(RampUse(name, self.steps[name]) for name in ramps)

    def inks(self, ramps: Iterable[str]) -> int:
        """How many inks these ramps take together."""
        return sum(self.steps[name] for name in ramps)


@dataclass(frozen=True)
class Painter(Generic[K]):
    """A painter: its name in presets, one sentence about it, its keys, its ramps, its function.

    params: the class of its keys; paint: draws a job with them
    thrift: how thrifty it is by design where the preset does not say, 0..1
    haze: share of the scene's haze that it takes where the preset does not say, 0..1
    body: where its sun or moon will stand, known before anything is painted; None: it has none
    """

    name: str
    about: str
    params: type[K]
    ramps: tuple[Ramp, ...]
    paint: Callable[[K, Job], Painting]
    thrift: float = 0.5
    haze: float = 1.0
    notes: str = field(default="", repr=False)
    body: Callable[[K, Job], Body | None] | None = None

    def draw(self, job: Job) -> Painting:
        """Paint the job with its own keys."""
        return self.paint(job.params, job)

    def ramp(self, name: str) -> Ramp:
        return next(ramp for ramp in self.ramps if ramp.name == name)
