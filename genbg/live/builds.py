"""From the preset's file to what the page shows: a first look, and the finished backdrop after.

The first look leaves out the searches (palette rows as first found, no tile merged); the
finished backdrop is what `genbg make` writes, and comes from a second process, so that a save never
waits for the one before it. Whatever has been superseded meanwhile is dropped.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from genbg.errors import GenbgError, LimitError, PresetError, printable
from genbg.keys import keys_of
from genbg.live.controls import Group, control_groups, paths_of, settings_of
from genbg.live.memo import Memo
from genbg.live.watch import files_of
from genbg.paint.contract import Job
from genbg.pipeline import build
from genbg.preset import Preset
from genbg.reading import load_preset
from genbg.way import P, R, Way
from genbg.write.player import page_data


@dataclass(frozen=True)
class Look:
    """A backdrop as the page takes it.

    number: rises with each look that is shown, 0 before; sketch: True for a first look
    data: JSON of the page's data
    """

    number: int
    sketch: bool
    data: str


@dataclass(frozen=True)
class State:
    """What the page shows, and what is said about it.

    look: the last good picture; faults: why the preset as it is now gives none; groups: controls
    turned: values that are not in the file; files: what is watched
    """

    look: Look
    groups: list[Group]
    files: frozenset[Path]
    faults: tuple[str, ...] = ()
    turned: Mapping[str, Any] = field(default_factory=dict)


class Painter:
    """Builder backdrops again and again, and keeps what went into them."""

    def __init__(self) -> None:
        self.memo = Memo()

    def call(self, function: Callable[P, R], /, *arguments: P.args, **named: P.kwargs) -> R:
        """Call through the memo, but for painters that read files."""
        if any(isinstance(one, Job) and reads_files(one) for one in arguments):
            return function(*arguments, **named)
        return self.memo.call(function, *arguments, **named)

    def look(self, preset: Preset, sketch: bool) -> Look:
        """Return the first look of a preset, or the finished backdrop."""
        backdrop = build(preset, None, Way(self.call, sketch))
        text = json.dumps(page_data(backdrop), ensure_ascii=False, separators=(",", ":"))
        return Look(0, sketch, text)


def reads_files(job: Job) -> bool:
    """Return whether a painter is handed the name of a file."""
    return any(described.kind == "path" for described in keys_of(type(job.params)).values())


_finisher: Painter | None = None


def finish(source: str, turned: Mapping[str, Any]) -> Look | tuple[str, ...]:
    """Return the finished backdrop, or what is wrong. Runs in a process of its own."""
    global _finisher
    _finisher = _finisher or Painter()
    try:
        return _finisher.look(load_preset(source, settings_of(turned)), False)
    except Exception as error:
        return fault_lines(error)


class Builder:
    """The preset, and the last good picture of it."""

    def __init__(self, source: str):
        self.source = source
        self.painter = Painter()
        preset = load_preset(source)
        self.path = Path(preset.path or source)
        try:
            first = self.painter.look(preset, True)
        except LimitError:  # too many tiles before any is merged
            first = self.painter.look(preset, False)
        self.state = State(first, control_groups(preset), files_of(preset))

    def repaint(self, turned: Mapping[str, Any]) -> State:
        """Return the state after a save or a turned control; a fault keeps the last picture."""
        last = self.state
        try:
            preset = load_preset(self.source, settings_of(turned))
            look = self.first_look(preset)
        except Exception as error:  # whatever it is, the page must go on
            return State(last.look, last.groups, last.files, fault_lines(error), dict(turned))
        return State(look, control_groups(preset), files_of(preset), (), dict(turned))

    def first_look(self, preset: Preset) -> Look:
        """Return the first look, or the last picture where only merged tiles fit in memory."""
        try:
            return self.painter.look(preset, True)
        except LimitError:
            return self.state.look

    def known(self, turned: Any) -> dict[str, Any]:
        """Return turned values whose paths are those of controls; raises PresetError otherwise."""
        if not isinstance(turned, dict):
            raise PresetError("turned values are a table of paths and values")
        strange = set(turned) - paths_of(self.state.groups)
        if strange:
            raise PresetError(f"no such control: {sorted(strange)[0][:80]}")
        return turned


def fault_lines(error: Exception) -> tuple[str, ...]:
    """Return what is wrong, a line for each fault, as the command line tells it."""
    if isinstance(error, GenbgError):
        return tuple(str(error).splitlines())
    if isinstance(error, OSError):
        return (printable(f"{error.filename or 'file'}: {error.strerror or error}"),)
    said = printable(f"{type(error).__name__}: {error}")
    return (f"internal error, {said}; please report it with the preset",)
