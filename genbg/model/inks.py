"""All inks of a backdrop and what each of them shows: by mood, below splits, in a colour cycle."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genbg.colour import lab_steps
from genbg.model.painting import InkColours


@dataclass(frozen=True, eq=False)
class Inks:
    """All inks of a backdrop and what they show.

    moods: (M,) names; views: V, how many views an ink has
    colours: (Q, V * M, K+1) uint16 colour numbers: phase after phase, then view after view, mood by
        mood; phase 0 is the one that all cycles begin with
    phases: for each cycle the places among Q of its phases, the first of them 0
    behind: for each zone the ink that is its backdrop colour; the first zone's is 0
    """

    moods: tuple[str, ...]
    views: int
    colours: np.ndarray
    phases: tuple[tuple[int, ...], ...]
    behind: tuple[int, ...]

    def row(self, view: int, mood: str) -> int:
        """Place among V * M of one mood in one view."""
        return view * len(self.moods) + self.moods.index(mood)

    def at(self, phases: Sequence[int]) -> np.ndarray:
        """Colour numbers (V * M, K+1) while each cycle is in the phase given."""
        shown = self.colours[0]
        for places, phase in zip(self.phases, phases, strict=True):
            shown = np.where(self.moved(places), self.colours[places[phase]], shown)
        return shown

    def moved(self, places: Sequence[int]) -> np.ndarray:
        """Inks (K+1,) bool that a cycle moves, given its places among Q."""
        return (self.colours[list(places)] != self.colours[0]).any(axis=(0, 1))

    def for_fit(self) -> InkColours:
        """What the palette fit looks at: all moods and views, and each further phase at HOME."""
        count = len(self.moods)
        names = [
            f"{mood}/{view}" if view else mood for view in range(self.views) for mood in self.moods
        ]
        home = self.colours[1:, ::count].reshape(-1, self.colours.shape[2])
        names += [f"phase/{n}" for n in range(len(home))]
        return InkColours(tuple(names), np.concatenate([self.colours[0], home]), self.behind)

    def home_steps(self, levels: tuple[int, ...]) -> np.ndarray:
        """Lab steps (K+1, 3) of every ink in the HOME mood."""
        return lab_steps(levels)[self.colours[0, 0]]

    def mood_steps(self, levels: tuple[int, ...]) -> np.ndarray:
        """`home_steps` with a fourth column: how much lighter than at home other moods show an ink.

        Two inks that look alike at home and part at night then differ for the reducer too, and no
        square of lit sky is stored as a dark one. Mean over moods and views, counted half.
        """
        light = lab_steps(levels)[self.colours[0], 0].astype(np.int64)
        home = self.home_steps(levels)
        others = max(1, len(light) - 1)
        apart = (light[1:].sum(axis=0) - (len(light) - 1) * light[0]) // (2 * others)
        return np.concatenate([home, apart[:, None].astype(home.dtype)], axis=1)
