"""Which colours hold on which lines: zones above a mirror, and what becomes of them below it.

  split     a screen line from which colours are described anew
  mirror    the first line of a reflection; line `mirror + i` shows line `mirror - 1 - i`
  zone      lines with palette rows of their own, above the mirror
  view      how colours are described on a line: numbers of the splits, the mirror among them, in
            the order in which they count. An ink has several views, counted from 0: the first in
            its zone, each further one below the mirror. There the entries stay, since the tiles
            do, and only the colours that they hold are rewritten

Without a mirror every split begins a zone. With one, the splits above it do, and those below it
begin a view.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from genbg.model.painting import BACK, FRONT

View = tuple[int, ...]
Views = tuple[View, ...]
MIRROR = -1
"""Number of the mirror in a view."""


@dataclass(frozen=True)
class Segment:
    """Screen lines `top` to `bottom`, the second not included, on which all colours stay.

    zone: whose palette rows hold
    view_number: 0 for colours as they are, 1.. as they are rewritten below a mirror
    """

    top: int
    bottom: int
    zone: int
    view_number: int


@dataclass(frozen=True)
class ZonePlan:
    """How splits and a mirror divide the screen.

    lines: of the screen; splits: their lines, rising; mirror: its line or None
    mirrored: which of the planes FRONT, BACK mirror themselves
    """

    lines: int
    splits: tuple[int, ...] = ()
    mirror: int | None = None
    mirrored: tuple[bool, bool] = (False, False)

    @property
    def zone_tops(self) -> tuple[int, ...]:
        """First line of every zone."""
        end = self.lines if self.mirror is None else self.mirror
        return (0, *(line for line in self.splits if line < end))

    @property
    def view_splits(self) -> tuple[int | None, ...]:
        """For each view below the mirror the split that begins it; None: the mirror itself does."""
        if self.mirror is None:
            return ()
        below = [n for n, line in enumerate(self.splits) if line >= self.mirror]
        at_once = bool(below) and self.splits[below[0]] == self.mirror
        return tuple(below) if at_once else (None, *below)

    def segments(self) -> tuple[Segment, ...]:
        """The screen from the top down, cut wherever colours change."""
        edges = {0, self.lines, *self.splits}
        if self.mirror is not None:
            edges.add(self.mirror)
            edges |= {2 * self.mirror - line for line in self.zone_tops[1:]}
        cuts = sorted(edge for edge in edges if edge <= self.lines)
        return tuple(
            Segment(top, bottom, self.zone_of(top), self.view_number_of(top))
            for top, bottom in pairwise(cuts)
        )

    def source(self, line: int) -> int:
        """The line above the mirror that a line shows, itself where it lies above."""
        if self.mirror is None or line < self.mirror:
            return line
        return 2 * self.mirror - 1 - line

    def zone_of(self, line: int) -> int:
        """The zone whose palette rows hold on a line."""
        return sum(top <= self.source(line) for top in self.zone_tops) - 1

    def view_number_of(self, line: int) -> int:
        """0 above the mirror, below it the number of the view."""
        if self.mirror is None or line < self.mirror:
            return 0
        splits = self.view_splits
        begun = [n for n, s in enumerate(splits) if s is None or self.splits[s] <= line]
        return begun[-1] + 1

    def plain_view(self, line: int) -> View:
        """The view of a line on a plane that does not mirror."""
        last = [n for n, split in enumerate(self.splits) if split <= line]
        return (last[-1],) if last else ()

    def mirror_view(self, zone: int, view_number: int) -> View:
        """How a zone's mirror image is seen in the view of that number."""
        below = self.view_splits[view_number - 1]
        base = self.plain_view(self.zone_tops[zone])
        return (*base, MIRROR) if below is None else (*base, MIRROR, below)

    def behind(self, zone: int) -> Views:
        """The views of the backdrop colour in a zone, seen from a plane that mirrors itself."""
        numbers = range(1, len(self.view_splits) + 1)
        below = (self.mirror_view(zone, number) for number in numbers)
        return (self.plain_view(self.zone_tops[zone]), *below)

    def views(self, line: int, plane: int | None) -> Views:
        """The views of inks painted on a line; below the mirror, of a plane that has none."""
        begins = self.view_splits
        mirrored = plane is not None and self.mirrored[plane]
        if self.mirror is None or line >= self.mirror or not mirrored:
            if self.mirror is None or line < self.mirror:
                return (self.plain_view(line),) * (len(begins) + 1)
            shown = [self.plain_view(self.mirror if s is None else self.splits[s]) for s in begins]
            return (self.plain_view(line), *shown)
        return self.behind(self.zone_of(line))

    def runs(self, top: int, bottom: int, plane: int | None) -> list[tuple[int, int, Views]]:
        """Rows of a layer on lines `top` to `bottom`, cut where its views change: first row,
        the one after the last, views. plane: None where the layer is on neither.
        """
        edges = {top, bottom, *self.splits}
        if self.mirror is not None:
            edges.add(self.mirror)
        cuts = sorted(edge for edge in edges if top <= edge <= bottom)
        return [(a - top, b - top, self.views(a, plane)) for a, b in pairwise(cuts)]

    def behind_views(self) -> list[Views]:
        """The views of the backdrop colour in every zone."""
        return [self.behind(zone) for zone in range(len(self.zone_tops))]

    def fit_zones(self, ink: np.ndarray) -> tuple[tuple[int, int], ...]:
        """(top, bottom) of the zones as the palette fit is to see them, in a picture (H, ...)."""
        return tuple(pairwise([*self.zone_tops, len(ink)])) if len(self.zone_tops) > 1 else ()


def plan_zones(
    lines: int, splits: Sequence[int] = (), mirror: int | None = None, plane: str = "both"
) -> ZonePlan:
    """The plan for splits at rising lines and a mirror at `mirror` of "both", "front" or "back"."""
    mirrored = [False, False]
    if mirror is not None:
        mirrored[FRONT], mirrored[BACK] = plane in ("both", "front"), plane in ("both", "back")
    return ZonePlan(lines, tuple(splits), mirror, (mirrored[0], mirrored[1]))
