"""What every palette entry shows, on every line of the screen and in every mood."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from genbg.model.inks import Inks
from genbg.model.zones import Segment, ZonePlan


@dataclass(frozen=True, eq=False)
class Entries:
    """inks: what inks show; segments: (S) of the screen; ink: (S, 64) ink of every entry there"""

    inks: Inks
    segments: tuple[Segment, ...]
    ink: np.ndarray

    @property
    def moods(self) -> tuple[str, ...]:
        return self.inks.moods

    def numbers(self, mood: str, phases: Sequence[int] = ()) -> np.ndarray:
        """Colour numbers (S, 64) of every entry on the lines of every segment."""
        shown = self.inks.at(phases or [0] * len(self.inks.phases))
        rows = [self.inks.row(segment.view_number, mood) for segment in self.segments]
        return np.asarray(shown[np.array(rows)[:, None], self.ink])

    def all_numbers(self) -> np.ndarray:
        """Colour numbers (S, D, 64) in each of D moods and phases of cycles."""
        moods = len(self.moods)
        rows = [segment.view_number * moods + np.arange(moods) for segment in self.segments]
        shown = [
            self.inks.colours[:, row][:, :, ink] for row, ink in zip(rows, self.ink, strict=True)
        ]
        return np.stack([one.reshape(-1, 64) for one in shown])

    def picture(self, index: np.ndarray, row: np.ndarray, mood: str) -> np.ndarray:
        """Colour numbers (2, H, W) of entries (2, H, W) under palette rows (2, R, C).

        See-through pixels get the backdrop colour of their line.
        """
        entry = row.repeat(8, axis=1).repeat(8, axis=2) * np.uint8(16) + index
        entry[index == 0] = 0
        line = np.arange(index.shape[1])
        bottoms = np.array([segment.bottom for segment in self.segments[:-1]], dtype=np.intp)
        segment = np.searchsorted(bottoms, line, side="right")
        return np.asarray(self.numbers(mood)[segment[:, None], entry])


def list_entries(inks: Inks, zones: ZonePlan, palette: np.ndarray) -> Entries:
    """What the entries of palettes (Z, 4, 16) show; entry 0 is the backdrop colour."""
    segments = zones.segments()
    ink = palette.reshape(len(palette), 64)[[s.zone for s in segments]].astype(np.intp)
    ink[:, 0] = [inks.behind[segment.zone] for segment in segments]
    return Entries(inks, segments, ink)
