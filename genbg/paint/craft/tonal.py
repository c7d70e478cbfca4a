"""A picture in tones: which material a pixel shows and how light it is, before either is an ink.

Painters lay masses here back to front. The tone of a pixel is a number from 0, the material's
darkest ink, to steps - 1, its lightest; between two whole tones a pixel takes the nearer ink, or,
where it may (air and water), a pattern of both: `soft` says over what share of a step.

Rows are lines of the layer, from its first; columns wrap.
"""

from __future__ import annotations

import copy
from collections.abc import Mapping, Sequence

import numpy as np

from genbg.model import Painting, RampUse
from genbg.paint.contract import Job, Ramp
from genbg.paint.craft.dither import threshold_plane
from genbg.paint.craft.edges import CELL, lone_pixels, remove_strays
from genbg.paint.craft.exact import blur

FLATTENED = 0.45
"""Share of a cell's pixels that may change when a thrifty picture lays it flat."""
BRUSH = 4
"""Pixels over which a thrifty picture smooths its masses."""
MASS = 0.8
"""Share of one material around a pixel that makes it part of a large mass."""
NOTHING = -1
"""Material of a see-through pixel."""


class TonalPicture:
    """Materials and tones of a layer's pixels.

    material: (N, W) int16, place of the ramp in `names`, or `NOTHING`
    tone: (N, W) float64, 0 .. steps - 1 of that ramp (clipped when inks are made)
    soft: (N, W) float32, share of a step, 0..1, over which a pattern of two inks may show; 0: none
    guard, shape: (N, W) bool, as a `Painting` has them
    """

    def __init__(self, job: Job, ramps: Sequence[Ramp]):
        size = job.lines, job.width
        self.top = job.top
        self.names = tuple(ramp.name for ramp in ramps)
        self.steps: Mapping[str, int] = {name: job.steps[name] for name in self.names}
        self.material = np.full(size, NOTHING, dtype=np.int16)
        self.tone = np.zeros(size)
        self.soft = np.zeros(size, dtype=np.float32)
        self.guard = np.zeros(size, dtype=bool)
        self.shape = np.zeros(size, dtype=bool)

    def strip(self, first: int, last: int) -> TonalPicture:
        """Some lines of this picture, as a picture of their own; what is laid there is laid here.

        For small things in a large picture, which would take their time in empty pixels.
        """
        part = copy.copy(self)
        part.top = self.top + first
        for name in ("material", "tone", "soft", "guard", "shape"):
            setattr(part, name, getattr(self, name)[first:last])
        return part

    def number(self, ramp: str) -> int:
        """The number of a material."""
        return self.names.index(ramp)

    def last(self, ramp: str) -> int:
        """The tone of a material's lightest ink."""
        return self.steps[ramp] - 1

    def lay(
        self,
        where: np.ndarray,
        ramp: str,
        tone: np.ndarray | float,
        soft: np.ndarray | float = 0.0,
    ) -> None:
        """Cover pixels (N, W) bool with a material; tone and soft: (N, W), or one for all."""
        self.material[where] = self.number(ramp)
        self.tone[where] = np.broadcast_to(tone, where.shape)[where]
        self.soft[where] = np.broadcast_to(soft, where.shape)[where]

    def lay_share(
        self, where: np.ndarray, ramp: str, share: np.ndarray, soft: np.ndarray | float = 0.0
    ) -> None:
        """`lay` with tones told as shares of the ramp: 0 is its darkest ink, 1 its lightest."""
        self.lay(where, ramp, share * self.last(ramp), soft)

    def shift(self, where: np.ndarray, by: np.ndarray | float) -> None:
        """Make what lies there lighter or darker by a number of tones."""
        self.tone[where] += np.broadcast_to(by, where.shape)[where]

    def clear(self, where: np.ndarray) -> None:
        """Make pixels see-through again."""
        self.material[where] = NOTHING
        self.guard[where] = False
        self.shape[where] = False

    def holds(self, *ramps: str) -> np.ndarray:
        """(N, W) bool, pixels of these materials; without any, all that are painted."""
        if not ramps:
            return self.material != NOTHING
        return np.isin(self.material, [self.number(ramp) for ramp in ramps])

    def ink(self) -> np.ndarray:
        """Local inks (N, W) uint16: 0 see-through, then those of each ramp from dark to light."""
        matrix = threshold_plane(*self.tone.shape, self.top, 4)
        threshold = (matrix + 0.5) / 16 - 0.5
        first = np.zeros(self.tone.shape, dtype=np.int64)
        last, ink = np.zeros(self.tone.shape), 1
        for number, name in enumerate(self.names):
            here = self.material == number
            first[here], last[here] = ink, self.steps[name] - 1
            ink += self.steps[name]
        step = np.floor(np.clip(self.tone, 0.0, last) + 0.5 + threshold * self.soft)
        inks = first + np.clip(step, 0.0, last).astype(np.int64)
        return np.where(self.material == NOTHING, 0, inks).astype(np.uint16)

    def calm(self, thrift: float) -> None:
        """Make large masses smoother, and lay cells flat that hold one material in few tones.

        thrift: 0 nothing .. 1 as calm as can be; guarded pixels stay as they are
        """
        if thrift <= 0:
            return
        self.soft *= max(0.0, 1.0 - 1.5 * thrift)
        self._smooth_masses(max(1, round(BRUSH * thrift)))
        above, lines = self.top % CELL, len(self.tone)
        for first in range(-above, lines, CELL):
            rows = slice(max(0, first), min(lines, first + CELL))
            self._calm_row(rows, thrift)

    def _smooth_masses(self, brush: int) -> None:
        """Blur tones within the large masses of each material."""
        guarded = self.guard | self.shape
        for number in range(len(self.names)):
            here = self.material == number
            if not here.any():
                continue
            around = blur(here.astype(np.float64), brush)
            mean = blur(np.where(here, self.tone, 0.0), brush) / np.maximum(around, 0.01)
            inside = here & (around > MASS) & ~guarded
            self.tone = np.where(inside, mean, self.tone)

    def _calm_row(self, rows: slice, thrift: float) -> None:
        """`calm` for the cells of one row."""
        wide = self.tone.shape[1] // CELL
        shape = rows.stop - rows.start, wide, CELL
        material = self.material[rows].reshape(shape)
        tone = np.floor(np.maximum(self.tone[rows], 0.0) + 0.5).reshape(shape)
        low, high = tone.min(axis=(0, 2)), tone.max(axis=(0, 2))
        alike = (material == material[:1, :, :1]).all(axis=(0, 2))
        guarded = (self.guard[rows] | self.shape[rows]).reshape(shape).any(axis=(0, 2))
        flat = alike & (high - low <= 1.0 + thrift) & ~guarded & (material[0, :, 0] >= 0)
        share = thrift * FLATTENED
        steps = [(tone == (low + n)[None, :, None]).sum(axis=(0, 2)) for n in range(4)]
        most = np.argmax(np.stack(steps), axis=0)
        count = np.take_along_axis(np.stack(steps), most[None], axis=0)[0]
        flat &= count >= (1.0 - share) * shape[0] * CELL
        spread = np.repeat(flat, CELL)[None, :]
        level = np.repeat(low + most, CELL)[None, :]
        part = self.tone[rows]
        self.tone[rows] = np.where(spread, level, part)
        self.soft[rows] = np.where(spread, 0.0, self.soft[rows])

    def tidy_ink(self) -> np.ndarray:
        """The inks with pixels that stand alone painted over, but for guarded ones and dither."""
        ink = self.ink()
        lone = lone_pixels(ink) & (ink > 0) & ~self.guard
        tidy = remove_strays(ink, ~lone)
        return np.where(tidy > 0, tidy, ink)

    def painting(
        self, whole: tuple[tuple[str, int, int], ...] = (), tidy: bool = False
    ) -> Painting:
        """The finished layer; tidy: without pixels that stand alone."""
        uses = tuple(RampUse(name, self.steps[name]) for name in self.names)
        ink = self.tidy_ink() if tidy else self.ink()
        guard = self.guard & (ink > 0)
        shape = self.shape if self.shape.any() else None
        return Painting(ink, uses, guard if guard.any() else None, shape, whole)
