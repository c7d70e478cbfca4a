"""What colour memory holds down the screen and from frame to frame.

Four stages meet here: what each ink shows (paint), which lines show it (planes), which entry holds
it (quantize) and before which line an entry is rewritten (scroll). A *number* is one of the 512
colours, a *word* the machine's own form of it.
"""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Iterator, Sequence
from typing import Any

import numpy as np

from genbg.hardware.colour_word import number_to_word
from genbg.hardware.profile import Machine
from genbg.measure import present
from genbg.model import FittedPlanes, PaletteZone, Preview, Split
from genbg.paint.fade import fade_paths
from genbg.paint.views import Looks
from genbg.planes.zones import Segment, ZonePlan
from genbg.preset import Preset
from genbg.quantize.pack import ROWS
from genbg.records import record
from genbg.scroll.colour_motion import Cycle, Fade, fade_stages, period_of, states, write_script
from genbg.scroll.splits import SplitPlan, plan_splits, rewrite_numbers, start_numbers

ZONES_APART = 230
"""Lab steps that inks of different zones differ by on top of their colours, halved: more than a
cell gains by a better colour of a zone in which it does not stand."""

LATE_SHOWS = 32
"""Pixels in the other side's colours, of both planes together, from which a user is warned: fewer
are a few dots that last for a line. The report counts them all."""


@record(frozen=True, eq=False)
class ScreenColours:
    """Everything about a backdrop's colours.

    segments: (S) of the screen; inks: (S, 64) the ink of every entry on their lines
    plan: the rewrites; cycles, fade: what moves; fade_to: the mood that a fade leads to
    """

    looks: Looks
    levels: tuple[int, ...]
    segments: tuple[Segment, ...]
    inks: np.ndarray
    plan: SplitPlan
    cycles: tuple[Cycle, ...]
    fade: Fade | None
    fade_to: str

    @property
    def period(self) -> int:
        """Frames after which all colours are as at the start; 1 where none moves."""
        return period_of(self.cycles, self.fade)

    def numbers(self, mood: str, phases: Sequence[int] = ()) -> np.ndarray:
        """Colour numbers (S, 64) of every entry on the lines of every segment."""
        shown = self.looks.at(phases or [0] * len(self.cycles))
        rows = [self.looks.row(segment.variant, mood) for segment in self.segments]
        return np.asarray(shown[np.array(rows)[:, None], self.inks])

    def palettes(self) -> dict[str, np.ndarray]:
        """The 64 words at the top of the frame in every mood."""
        return {
            mood: number_to_word(start_numbers(self.plan, self.numbers(mood)))
            for mood in self.looks.moods
        }

    def splits(self) -> tuple[Split, ...]:
        """The rewrites with their words in every mood."""
        numbers = {mood: self.numbers(mood) for mood in self.looks.moods}
        return tuple(
            Split(
                rewrite.line,
                rewrite.first,
                {m: number_to_word(rewrite_numbers(rewrite, n)) for m, n in numbers.items()},
            )
            for rewrite in self.plan.rewrites
        )

    def state(self, numbers: np.ndarray) -> np.ndarray:
        """The words of memory and of splits.bin (n,) for colour numbers (S, 64)."""
        held = number_to_word(numbers)
        words = [start_numbers(self.plan, held)]
        for rewrite in self.plan.rewrites:
            colours = rewrite_numbers(rewrite, held)
            words.append(np.array([rewrite.line, rewrite.first, len(colours)], dtype=np.uint16))
            words.append(colours)
        return np.concatenate(words)

    def states(self, mood: str) -> np.ndarray:
        """The states (P, n) uint16 of one period, begun in `mood`."""

        @functools.cache
        def stages(phases: Sequence[int]) -> np.ndarray:
            here = self.numbers(mood, phases)
            if self.fade is None:
                return here[None]
            there = self.numbers(self.fade_to, phases)
            path = fade_paths(np.stack([here.ravel(), there.ravel()], axis=1), self.levels)
            return fade_stages(here, there, self.fade.frames, path)

        def show(phases: Sequence[int], place: int) -> np.ndarray:
            return self.state(stages(phases)[place])

        return states(self.period, self.cycles, self.fade, show)

    @functools.cached_property
    def moving(self) -> dict[str, np.ndarray]:
        """The states of every mood."""
        return {mood: self.states(mood) for mood in self.looks.moods}

    def scripts(self) -> dict[str, np.ndarray]:
        """What changes from frame to frame, in every mood; nothing where no colour moves."""
        if self.period == 1:
            return {}
        return {mood: write_script(rows) for mood, rows in self.moving.items()}

    def in_preview(self, preview: Preview, mood: str) -> Preview:
        """The preview with what the colours of its frames are."""
        if self.period == 1:
            return preview
        rows = self.moving[mood][np.arange(preview.frames) % self.period]
        rewrites = rows[:, 64:] if self.plan.rewrites else None
        if rewrites is not None and (rewrites == rewrites[0]).all():
            rewrites = None
        return dataclasses.replace(preview, palette=rows[:, :64].copy(), splits=rewrites)

    def plane_numbers(self, index: np.ndarray, row: np.ndarray, mood: str) -> np.ndarray:
        """Colour numbers (2, H, W) of entries (2, H, W) under palette rows (2, R, C).

        See-through pixels get the backdrop colour of their line.
        """
        entry = row.repeat(8, axis=1).repeat(8, axis=2) * np.uint8(16) + index
        entry[index == 0] = 0
        line = np.arange(index.shape[1])
        bottoms = np.array([segment.bottom for segment in self.segments[:-1]], dtype=np.intp)
        segment = np.searchsorted(bottoms, line, side="right")
        return np.asarray(self.numbers(mood)[segment[:, None], entry])

    def facts(self) -> dict[str, Any]:
        """Figures for the manifest: what each border costs, and how long colours move."""
        found: dict[str, Any] = {}
        if self.plan.borders:
            found["splits"] = [dataclasses.asdict(border) for border in self.plan.borders]
        if self.period > 1:
            found["colour_motion"] = {"cycles": len(self.cycles), "frames": self.period}
        return found


def plan_colours(
    preset: Preset,
    machine: Machine,
    zones: ZonePlan,
    looks: Looks,
    fitted: FittedPlanes,
    use: np.ndarray,
) -> ScreenColours:
    """Settle what every entry holds on every line and in every frame.

    use: (L, 64) how many pixels of each screen line show each entry
    """
    segments = zones.segments()
    inks = segment_inks(fitted, segments, looks.behind)
    moods = len(looks.moods)
    rows = [segment.variant * moods + np.arange(moods) for segment in segments]
    shown = [looks.colours[:, row][:, :, ink] for row, ink in zip(rows, inks, strict=True)]
    colours = np.stack([one.reshape(-1, 64) for one in shown])
    tops = [segment.top for segment in segments]
    return ScreenColours(
        looks,
        machine.levels,
        segments,
        inks,
        plan_splits(tops, colours, use, machine.colours_per_line),
        tuple(
            Cycle(len(places), keys.frames, keys.direction)
            for places, keys in zip(looks.phases, preset.cycles, strict=True)
        ),
        Fade(preset.fade.frames, preset.fade.hold) if preset.fade else None,
        preset.fade.to if preset.fade else "",
    )


def segment_inks(
    fitted: FittedPlanes, segments: Sequence[Segment], behind: Sequence[int]
) -> np.ndarray:
    """The ink (S, 64) of every entry in every segment; entry 0 is the backdrop colour."""
    whole = (PaletteZone(0, fitted.index.shape[1], fitted.palette),)
    inks = np.zeros((len(segments), 64), dtype=np.intp)
    for place, segment in enumerate(segments):
        zones = fitted.zones or whole
        zone = next(zone for zone in zones if zone.top <= segment.top < zone.bottom)
        inks[place] = zone.palette.reshape(64)
        inks[place, 0] = behind[segment.zone]
    return inks


def zone_rows(
    fitted: FittedPlanes, steps: np.ndarray, zones: ZonePlan, behind: Sequence[int]
) -> tuple[FittedPlanes, np.ndarray]:
    """The same fit with four rows for each zone, to judge by when patterns are merged, and the
    steps of its inks, which count anew in every zone.

    steps: (K+1, ch) int lab steps of every ink, and what else of an ink is to be kept
    behind: the ink of the backdrop colour in every zone

    Further columns of the steps tell the zones apart, so that no cell takes another zone's row.
    """
    count, inks = len(zones.zone_tops), len(steps)
    if count == 1:
        return fitted, steps
    palette = np.zeros((count, ROWS, 16), dtype=np.int64)
    for segment, part in zip(zones.segments(), fitted.zones, strict=True):
        palette[segment.zone] = np.where(part.palette > 0, part.palette + segment.zone * inks, 0)
        palette[segment.zone, :, 0] = behind[segment.zone] + segment.zone * inks
    row = fitted.row + ROWS * zone_of_cells(zones, fitted.row.shape[1])[:, None]
    bits = np.arange(count)[:, None] >> np.arange((count - 1).bit_length()) & 1
    apart = np.repeat((2 * bits - 1) * ZONES_APART, inks, axis=0)
    judged = dataclasses.replace(
        fitted, palette=palette.reshape(-1, 16), row=row.astype(np.uint8), zones=()
    )
    return judged, np.concatenate([np.tile(steps, (count, 1)), apart.astype(steps.dtype)], axis=1)


def zone_of_cells(zones: ZonePlan, rows: int) -> np.ndarray:
    """The zone (R,) that has most lines of every row of cells; of two as many, the upper.

    A reflected row has that of the row it shows.
    """
    tops = [zones.source(row * 8) // 8 * 8 for row in range(rows)]
    return np.array([max(0, zones.zone_of(top + 3)) for top in tops])


def colour_warnings(
    colours: ScreenColours, machine: Machine, preview: Preview, mood: str
) -> Iterator[str]:
    """What a user has to know of splits and moving colours, a sentence each.

    mood: the one shown
    """
    borders = colours.plan.borders
    if len(borders) >= machine.splits_warn:
        yield (
            f"{len(borders)} splits a frame: from {machine.splits_warn} on, waiting for lines "
            "costs so much of the processor that the frame rate suffers"
        )
    for border in borders:
        if border.late_pixels >= LATE_SHOWS:
            yield (
                f"split at line {border.line}: {border.colours} colours take the gaps of lines "
                f"{border.first} to {border.last}, so up to {border.late_pixels} pixels on "
                f"{border.late_lines} line{'s' * (border.late_lines > 1)} show the other side's "
                "colours, as the preview does"
            )
    held = set(present(colours.inks).tolist())
    for number, places in enumerate(colours.looks.phases):
        moved = set(np.flatnonzero(colours.looks.moved(places)).tolist())
        if not moved:
            yield f"cycle {number}: no pixel shows an ink of this ramp, so nothing moves"
        if moved - held:
            yield (
                f"cycle {number}: {len(moved - held)} of its {len(moved)} inks have no entry of "
                "their own, so their pixels stand still; fewer colours elsewhere make room"
            )
    if colours.fade and colours.fade_to == mood:
        yield f'fade: "{mood}" is the mood shown already, so no colour fades; show another mood'
    elif colours.fade and preview.frames < colours.fade.hold + colours.fade.frames:
        yield (
            f"the preview ends after {preview.frames} frames, before the fade does; "
            f"set preview.frames to {colours.fade.period} to see it there and back"
        )
