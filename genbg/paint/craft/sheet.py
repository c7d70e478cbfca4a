"""Pieces: small drawings of built things on whole cells, in the tones of named materials.

Words used here:
  tone    how light a material is, from DEEP to RIM whatever number of inks its ramp has
  piece   inks (h, w) int64, ink 0 see-through, drawn for light from the left
  art     a piece written as text, one character a pixel, rows by spaces

A painter draws pieces and puts them on a `Sheet`, which lies on the screen's cells and turns every
piece over where light comes from the right.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from types import MappingProxyType

import numpy as np

from genbg.model import Painting, RampUse
from genbg.paint.contract import Job, Ramp
from genbg.paint.craft.edges import CELL, paste

DEEP, SHADE, BETWEEN, LIT, RIM = range(5)
NO_ALIAS: Mapping[str, str] = MappingProxyType({})


class Tones:
    """The inks of a painter's ramps by material and tone.

    alias: {material that parts ask for: the painter's ramp that it is drawn in}
    """

    def __init__(
        self, ramps: Sequence[Ramp], steps: Mapping[str, int], alias: Mapping[str, str] = NO_ALIAS
    ):
        self.uses = tuple(RampUse(ramp.name, steps[ramp.name]) for ramp in ramps)
        self._rows = {}
        first = 1
        for use in self.uses:
            self._rows[use.name] = [
                first + (tone * (use.steps - 1) + 2) // RIM for tone in range(RIM + 1)
            ]
            first += use.steps
        self._rows |= {other: self._rows[ramp] for other, ramp in alias.items()}

    def __call__(self, ramp: str, tone: int) -> int:
        """The ink of a material at a tone DEEP..RIM."""
        return self._rows[ramp][tone]

    def row(self, ramp: str) -> np.ndarray:
        """Inks (5,) int64 of a material, one a tone."""
        return np.array(self._rows[ramp])

    def holds(self, ink: np.ndarray, ramp: str) -> np.ndarray:
        """Where inks (...) belong to a material: (...) bool."""
        row = self._rows[ramp]
        return (ink >= row[DEEP]) & (ink <= row[RIM])


def art(text: str, inks: Mapping[str, int]) -> np.ndarray:
    """A piece (h, w) from text; a character that `inks` does not know is see-through.

    Rows shorter than the longest are see-through at their right.
    """
    table = np.zeros(128, dtype=np.int64)
    for sign, ink in inks.items():
        table[ord(sign)] = ink
    return table[_signs(text)]


@functools.lru_cache(maxsize=256)
def _signs(text: str) -> np.ndarray:
    """Codes (h, w) of a text's characters."""
    rows = text.split()
    width = max(map(len, rows))
    return np.array([list(row.ljust(width, ".").encode("ascii")) for row in rows])


def digits(tones: Tones, ramp: str, **others: int) -> dict[str, int]:
    """Inks for `art`: the digits 0..4 are the tones of a material; others by name."""
    return {str(n): ink for n, ink in enumerate(tones.row(ramp).tolist())} | others


def blank(rows: int, columns: int) -> np.ndarray:
    """An empty piece of whole cells."""
    return np.zeros((rows * CELL, columns * CELL), dtype=np.int64)


def lay(piece: np.ndarray, part: np.ndarray, x: int, y: int) -> None:
    """Put a part on a piece in place, cut off at its edges; ink 0 is see-through."""
    top, left = max(0, y), max(0, x)
    bottom, right = min(len(piece), y + len(part)), min(piece.shape[1], x + part.shape[1])
    if top >= bottom or left >= right:
        return
    cut = part[top - y : bottom - y, left - x : right - x]
    place = piece[top:bottom, left:right]
    place[cut > 0] = cut[cut > 0]


def draw_line(
    piece: np.ndarray, start: tuple[int, int], lines: int, slope: int, ink: int, wide: int = 1
) -> None:
    """A straight rope or spar in place, from (x, y) down `lines` lines.

    slope: pixels to the right for 8 lines down; whole numbers, so that its cells repeat
    """
    y = np.arange(lines)
    x = start[0] + np.floor_divide(y * slope + (CELL // 2 if slope else 0), CELL)
    for n in range(max(wide, abs(slope) // CELL)):
        inside = (x + n >= 0) & (x + n < piece.shape[1])
        inside &= (y + start[1] >= 0) & (y + start[1] < len(piece))
        piece[(y + start[1])[inside], (x + n)[inside]] = ink


class Sheet:
    """A layer on the screen's cells, on which pieces stand, in the inks of a painter's ramps.

    alias: as in `Tones`
    foot: the line after the layer's last one, counted from the sheet's first row
    """

    def __init__(self, job: Job, ramps: Sequence[Ramp], alias: Mapping[str, str] = NO_ALIAS):
        self.phase = job.top % CELL
        self.lines, self.width = job.lines, job.width
        self.foot = self.phase + job.lines
        self.tones = Tones(ramps, job.steps, alias)
        self.turned = job.light[0] > 0
        rows = -(-self.foot // CELL)
        self.ink = np.zeros((rows * CELL, job.width), dtype=np.int64)

    @property
    def rows(self) -> int:
        return len(self.ink) // CELL

    @property
    def columns(self) -> int:
        return self.width // CELL

    def put(
        self,
        piece: np.ndarray,
        column: int,
        foot: int,
        *,
        by_light: bool = True,
        flip: bool = False,
    ) -> None:
        """Stand a piece with its left edge at a cell column and its last line above `foot`.

        by_light: it is lit from the left, so it is turned over where light comes from the right
        flip: it faces the other way than it is drawn
        """
        mirrored = flip != (by_light and self.turned)
        paste(self.ink, piece[:, ::-1] if mirrored else piece, column * CELL, foot - len(piece))

    def painting(self, lit: Sequence[str] = ()) -> Painting:
        """The layer; merging has to keep every pixel of the materials named in `lit`."""
        ink = self.ink[self.phase : self.phase + self.lines]
        guard = np.zeros(ink.shape, dtype=bool)
        for ramp in lit:
            guard |= self.tones.holds(ink, ramp)
        return Painting(ink.astype(np.uint16), self.tones.uses, guard)
