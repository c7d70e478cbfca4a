"""What the layers ask for against what the machine shows, in every mood.

*Asked* are the layers put together in the colours that their inks have, each on the 512-colour
grid. *Shown* is what the stored tiles, palette rows and entries make of it. Between the two lie
the fit to palette rows and the merging of tiles; a mood may suffer where home does not.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from genbg.hardware.profile import Machine
from genbg.measure import asked_figures
from genbg.model import AskedFigures, Canvas, Stored
from genbg.model.entries import Entries
from genbg.model.zones import Segment


def asked_errors(
    canvas: Canvas, stored: Stored, entries: Entries, machine: Machine
) -> dict[str, AskedFigures]:
    """The figures of every mood, over both planes and stored sprites, each cell counted once."""
    found = {}
    for mood in entries.moods:
        pairs = list(_pictures(canvas, stored, entries, mood))
        asked, shown = [pair[0] for pair in pairs], [pair[1] for pair in pairs]
        found[mood] = asked_figures(asked, shown, machine.levels)
    return found


def _pictures(
    canvas: Canvas, stored: Stored, entries: Entries, mood: str
) -> Iterator[tuple[np.ndarray, np.ndarray]]:
    """Pictures asked for and shown, in colour numbers; see-through is the backdrop colour."""
    shown = entries.picture(stored.cells.index, stored.cells.row, mood)
    for plane, shown_plane in zip(canvas.planes, shown, strict=True):
        yield _asked_plane(plane.ink, entries, mood), shown_plane
    cut, numbers = stored.sprites.cut, entries.numbers(mood)
    for picture, row in sorted(
        {*zip(cut.picture.tolist(), stored.sprites.row.tolist(), strict=True)}
    ):
        place = _segment_of(entries.segments, cut.zones[picture])
        index = stored.sprites.pictures[picture]
        entry = np.where(index > 0, index + 16 * np.intp(row), 0)
        colours = entries.inks.colours[0][
            entries.inks.row(entries.segments[place].view_number, mood)
        ]
        ink = cut.pictures[picture]
        yield colours[np.where(ink > 0, ink, entries.ink[place, 0])], numbers[place][entry]


def _asked_plane(ink: np.ndarray, entries: Entries, mood: str) -> np.ndarray:
    """Colour numbers (H, W) that inks (H, W) of a plane have on their lines."""
    result = np.zeros(ink.shape, dtype=np.uint16)
    last = len(entries.segments) - 1
    for place, segment in enumerate(entries.segments):
        lines = slice(segment.top, None if place == last else segment.bottom)
        colours = entries.inks.colours[0][entries.inks.row(segment.view_number, mood)]
        behind = entries.ink[place, 0]
        result[lines] = colours[np.where(ink[lines] > 0, ink[lines], behind)]
    return result


def _segment_of(segments: tuple[Segment, ...], zone: int) -> int:
    """The first segment of a zone."""
    return next(place for place, segment in enumerate(segments) if segment.zone == zone)
