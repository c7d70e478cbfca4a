"""Do moving colours flash? WCAG 2.2, success criterion 2.3.1, on what the screen shows.

Only colours are looked at: the scenery stands still, at its places in a few frames of the preview,
while its colours move. Scenery that scrolls past changes light and dark at every pixel, too, but
shows no flash to an eye that follows it, and would hide what cycles and fades do.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator
from fractions import Fraction
from itertools import pairwise

import numpy as np

from genbg.flash import FLASHES_ALLOWED, FlashReport, colour_tables, fills_field, flashes
from genbg.hardware.colour_word import word_to_number
from genbg.model import Backdrop, Flashes
from genbg.screen.display import Screen, draw_frame, line_palettes, load_screen

PLACES = 3
"""Frames of the preview whose scenery is looked at: the first, the last, and one between."""


def colour_flashes(backdrop: Backdrop) -> FlashReport:
    """The worst second of a backdrop's moving colours; no flash where none moves."""
    preview = backdrop.preview
    if preview.palette is None and preview.splits is None:
        return FlashReport(0, 0, None)
    zones = [frame_colours(backdrop, frame) for frame in range(preview.frames)]
    restless = turning(np.stack([numbers for _, numbers in zones]), preview.fps, backdrop)
    if not restless.any():
        return FlashReport(0, 0, None)
    screen = load_screen(backdrop)
    places = [
        place
        for place in sorted({0, preview.frames - 1, preview.frames // 2})[:PLACES]
        if fills_field(restless_pixels(screen, place, zones[place][0], restless))
    ]
    if not places:
        return FlashReport(0, 0, None)
    reports = [
        flashes(still_frames(screen, place, zones), float(preview.fps), backdrop.machine.levels)
        for place in places
    ]
    return max(reports, key=lambda report: (max(report.general, report.red), report.general))


def frame_colours(backdrop: Backdrop, frame: int) -> tuple[list[int], np.ndarray]:
    """The first line of each zone and the end of the screen; colour numbers (Z, 64)."""
    starts, words = line_palettes(backdrop, frame)
    return [*starts.tolist(), backdrop.machine.screen[1]], word_to_number(words)


def turning(numbers: np.ndarray, fps: Fraction, backdrop: Backdrop) -> np.ndarray:
    """The entries (Z, 64) bool that turn so often within a second that they could flash too often.

    numbers: (F, Z, 64). A quick test that is never wrong where it says no: a flash is two opposing
    changes, so more than three of them need eight turns of luminance, or eight changes of a colour
    that is saturated red at some time. How much of the screen an entry covers is not asked.
    """
    light, red, *_ = colour_tables(tuple(backdrop.machine.levels))
    flat = numbers.reshape(len(numbers), -1)
    flat = flat[np.arange(len(flat) + int(fps) + 1) % len(flat)]
    step = np.sign(np.diff(light[flat], axis=0)).astype(np.int8)
    for row in range(1, len(step)):
        step[row] = np.where(step[row] == 0, step[row - 1], step[row])
    turns = step[1:] * step[:-1] < 0
    changes = (np.diff(flat, axis=0) != 0) & (red[flat] >= 0.8).any(axis=0)
    often = [
        _most_within(events, int(fps) + 1) > 2 * FLASHES_ALLOWED for events in (turns, changes)
    ]
    return (often[0] | often[1]).reshape(numbers.shape[1:])


def restless_pixels(
    screen: Screen, place: int, edges: list[int], restless: np.ndarray
) -> np.ndarray:
    """The pixels (L, W) bool of frame `place` whose entry could flash too often."""
    entries = draw_frame(screen, place)
    pixels = np.zeros(entries.shape, dtype=bool)
    for zone, (top, bottom) in enumerate(pairwise(edges)):
        pixels[top:bottom] = restless[zone][entries[top:bottom]]
    return pixels


def _most_within(events: np.ndarray, frames: int) -> np.ndarray:
    """For each column of events (n, k), the most that fall within `frames` rows: (k,)."""
    total = np.concatenate([np.zeros((1, events.shape[1]), np.int64), np.cumsum(events, axis=0)])
    reach = min(frames, len(events))
    return (total[reach:] - total[: len(total) - reach]).max(axis=0, initial=0)


def still_frames(
    screen: Screen, place: int, zones: list[tuple[list[int], np.ndarray]]
) -> Iterator[np.ndarray]:
    """Colour numbers (L, W) of every frame, and of one second more from the start, with the scenery
    as frame `place` has it.
    """
    entries = draw_frame(screen, place)
    second = int(screen.backdrop.preview.fps) + 1
    for edges, numbers in [*zones, *(zones[n % len(zones)] for n in range(second))]:
        shown = np.empty(entries.shape, dtype=np.uint16)
        for zone, (top, bottom) in enumerate(pairwise(edges)):
            shown[top:bottom] = numbers[zone][entries[top:bottom]]
        yield shown


def flash_warnings(report: FlashReport) -> Iterator[str]:
    """What a user has to know of flashes, a sentence."""
    if not report.passes:
        kind = "of saturated red " if report.red > report.general else ""
        yield (
            f"moving colours flash: {max(report.general, report.red)} flashes {kind}within one "
            f"second by frame {report.frame}, over more than a quarter of the field of view; "
            f"{FLASHES_ALLOWED} are safe (WCAG 2.2, 2.3.1); give cycles more frames, or ramps less "
            "contrast"
        )


def flash_figures(report: FlashReport) -> Flashes:
    """The figures for the manifest."""
    return Flashes(report.general, report.red)


def tell_flashes(backdrop: Backdrop) -> Backdrop:
    """The backdrop with what its moving colours do; the same where none moves."""
    if not backdrop.colours.scripts:
        return backdrop
    report = colour_flashes(backdrop)
    figures = dataclasses.replace(backdrop.proof.figures, flashes=flash_figures(report))
    return dataclasses.replace(
        backdrop,
        proof=dataclasses.replace(backdrop.proof, figures=figures),
        warnings=(*backdrop.warnings, *flash_warnings(report)),
    )
