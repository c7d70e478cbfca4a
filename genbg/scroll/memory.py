"""What colour memory holds down the screen and from frame to frame.

Which entry shows which colour is settled (`Entries`); here it is planned before which line an entry
is rewritten, and in which frame. A *number* is one of the 512 colours, a *word* the machine's own
form of it.
"""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np

from genbg.hardware.colour_word import number_to_word
from genbg.hardware.profile import Machine
from genbg.measure import present
from genbg.model import ColourMotion, Fading, Preview, Split, Stored
from genbg.model.entries import Entries, list_entries
from genbg.model.inks import Inks
from genbg.request import Request
from genbg.scroll.colour_motion import Cycle, Fade, fade_stages, period_of, states, write_script
from genbg.scroll.fade import fade_paths
from genbg.scroll.splits import (
    SplitPlan,
    line_use,
    plan_splits,
    rewrite_numbers,
    sprite_use,
    start_numbers,
)

LATE_SHOWS = 32
"""Pixels in the other side's colours, of both planes together, from which a user is warned: fewer
are a few dots that last for a line. The report counts them all."""


def plan_colours(request: Request, inks: Inks, stored: Stored) -> ColourMemory:
    """Settle what every entry holds on every line and in every frame."""
    preset, machine, lines = request.preset, request.machine, request.machine.screen[1]
    use = line_use(stored.cells.index, stored.cells.row, lines, request.window)
    use += sprite_use(stored.sprites, lines)
    entries = list_entries(inks, request.zones, stored.fit.palette)
    tops = [segment.top for segment in entries.segments]
    return ColourMemory(
        entries,
        machine.levels,
        plan_splits(tops, entries.all_numbers(), use, machine.colours_per_line),
        tuple(
            Cycle(len(places), keys.frames, keys.direction)
            for places, keys in zip(inks.phases, preset.cycles, strict=True)
        ),
        Fade(preset.fade.frames, preset.fade.hold) if preset.fade else None,
        preset.fade.to if preset.fade else "",
    )


@dataclass(frozen=True, eq=False)
class ColourMemory:
    """Everything about a backdrop's colours.

    entries: what they show; plan: the rewrites; cycles, fade: what moves
    fade_to: the mood that a fade leads to
    """

    entries: Entries
    levels: tuple[int, ...]
    plan: SplitPlan
    cycles: tuple[Cycle, ...]
    fade: Fade | None
    fade_to: str

    @property
    def period(self) -> int:
        """Frames after which all colours are as at the start; 1 where none moves."""
        return period_of(self.cycles, self.fade)

    def palettes(self) -> dict[str, np.ndarray]:
        """The 64 words at the top of the frame in every mood."""
        return {
            mood: number_to_word(start_numbers(self.plan, self.entries.numbers(mood)))
            for mood in self.entries.moods
        }

    def splits(self) -> tuple[Split, ...]:
        """The rewrites with their words in every mood."""
        numbers = {mood: self.entries.numbers(mood) for mood in self.entries.moods}
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
            here = self.entries.numbers(mood, phases)
            if self.fade is None:
                return here[None]
            there = self.entries.numbers(self.fade_to, phases)
            path = fade_paths(np.stack([here.ravel(), there.ravel()], axis=1), self.levels)
            return fade_stages(here, there, self.fade.frames, path)

        def show(phases: Sequence[int], place: int) -> np.ndarray:
            return self.state(stages(phases)[place])

        return states(self.period, self.cycles, self.fade, show)

    @functools.cached_property
    def moving(self) -> dict[str, np.ndarray]:
        """The states of every mood."""
        return {mood: self.states(mood) for mood in self.entries.moods}

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

    def motion(self) -> ColourMotion | None:
        """How long colours move; None where none does."""
        return ColourMotion(len(self.cycles), self.period) if self.period > 1 else None

    def fading(self) -> Fading | None:
        """How colours fade to another mood; None where they do not."""
        return Fading(self.fade_to, self.fade.frames, self.fade.hold) if self.fade else None


def colour_warnings(
    colours: ColourMemory, machine: Machine, preview: Preview, mood: str
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
    held = set(present(colours.entries.ink).tolist())
    for number, places in enumerate(colours.entries.inks.phases):
        moved = set(np.flatnonzero(colours.entries.inks.moved(places)).tolist())
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
