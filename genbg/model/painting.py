"""What painting hands on: layers in inks, and what each ink is in every mood.

An *ink* is a colour that a painter asked for, before anyone knows which palette entry will hold
it. Ink 0 is see-through. A mood gives every ink another colour and changes nothing else, which is
why a mood costs no tile.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

FRONT, BACK = 0, 1


MARKED, KEPT, SHAPED = 1, 2, 3
"""How much merging minds a pixel: what its painter marked, what the preset keeps, and what belongs
to a plain shape of which every dent would show."""


HOME = "home"
"""Name of the mood that the preset's own colours describe."""


@dataclass(frozen=True)
class RampUse:
    """A run of neighbouring inks in a painting.

    name: ramp of the painter's contract; steps: how many inks it takes
    fixed: colour numbers, where the colours are given (the picture painter) and no ramp is asked
    """

    name: str
    steps: int
    fixed: tuple[int, ...] | None = None


@dataclass(frozen=True, eq=False)
class Painting:
    """What a painter returns.

    ink: (N, W) uint16 local inks: 0 see-through, then those of ramps[0] from dark to light (or in
        the order that the painter's contract states), then those of ramps[1], ...
    ramps: the ramps in ink order
    guard: (N, W) bool, pixels that merging has to keep (a lit window, a star), or None
    shape: (N, W) bool, pixels of a plain shape of which every dent would show (a sun's disc), or
        None
    whole: (what, first, last-plus-one line of the painting) of shapes that lines of different
        speeds would cut apart, such as a sun
    notes: sentences for people on what could not be painted as it was asked
    """

    ink: np.ndarray
    ramps: tuple[RampUse, ...]
    guard: np.ndarray | None = None
    shape: np.ndarray | None = None
    whole: tuple[tuple[str, int, int], ...] = ()
    notes: tuple[str, ...] = ()


@dataclass(frozen=True, eq=False)
class InkColours:
    """Colours of all inks of a backdrop, as the palette fit reads them.

    moods: (M,) names, moods[0] is HOME
    colours: (M, K+1) uint16 colour numbers; column 0 is the backdrop colour, which shows where
        both planes are see-through
    behind: for each zone of the screen, from the top down, the ink that is its backdrop colour
    """

    moods: tuple[str, ...]
    colours: np.ndarray
    behind: tuple[int, ...] = (0,)


@dataclass(frozen=True, eq=False)
class PaintedLayer:
    """A layer after painting, in the inks of the whole backdrop.

    name, plane ("front", "back" or "sprites"), top, bottom: as the preset says
    ink: (N, W) uint16; guard: (N, W) uint8, `MARKED` or `SHAPED` by its painter, `KEPT` by the
        preset, or 0
    priority: drawn with the priority bit
    number: place in the preset, counted from 0
    priority_lines, priority_columns: where it has the bit though `priority` is False: first line or
        column of the plane and the one after the last; () says nothing, and both of them ():
        nowhere
    whole: (what, first, last-plus-one screen line) of shapes that two speeds would cut apart
    """

    name: str
    number: int
    plane: str
    top: int
    bottom: int
    priority: bool
    ink: np.ndarray
    guard: np.ndarray
    mirrored: bool = False
    priority_lines: tuple[int, ...] = ()
    priority_columns: tuple[int, ...] = ()
    whole: tuple[tuple[str, int, int], ...] = ()

    @property
    def priority_pixels(self) -> np.ndarray:
        """(N, W) bool, where the layer is drawn with the priority bit."""
        partly = bool(self.priority_lines or self.priority_columns)
        where = np.full(self.ink.shape, self.priority or partly)
        if partly and not self.priority:
            if self.priority_lines:
                line = np.arange(self.top, self.bottom)
                where[(line < self.priority_lines[0]) | (line >= self.priority_lines[1])] = False
            if self.priority_columns:
                column = np.arange(self.ink.shape[1])
                first, last = self.priority_columns
                where[:, (column < first) | (column >= last)] = False
        return where
