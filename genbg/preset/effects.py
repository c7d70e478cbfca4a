"""What the screen does beside scrolling: tables of a preset that may be absent.

Some of them stand once, others as often as the preset likes. Their keys are described as those of
`tables.py`; what names a layer, a ramp or a mood is checked in `check_effects.py`.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from genbg.hardware.sizes import CELL
from genbg.keys import MISSING, key

MAX_SPLITS = 16
"""Splits of a frame: one for every second row of cells, far past what a frame has time for."""
MAX_CYCLES = 8


@dataclass(frozen=True, kw_only=True)
class Below:
    """What colours become below a line: described from the preset's own colours, as a mood is."""

    tint: str = key(
        "#ffffff", "colour", "The colour of the light that falls on all below the line."
    )
    amount: float = key(0.0, "float", "How far colours go toward the tint.", low=0, high=1)
    haze: str | None = key(None, "colour", "Haze below the line, where it differs.")
    backdrop: str | None = key(None, "colour", "Colour behind both planes, where it differs.")
    colours: Mapping[str, Mapping[str, tuple[str, ...]]] = key(
        {}, "layer_colours", "Ramps of single layers below the line: colours.LAYER.RAMP = [...]."
    )
    moods: Mapping[str, Mapping[str, Mapping[str, tuple[str, ...]]]] = key(
        {}, "mood_colours", "The same in one mood: moods.MOOD.LAYER.RAMP = [...]."
    )


@dataclass(frozen=True, kw_only=True)
class SplitKeys(Below):
    """[[split]]: a screen line from which colours are others, as below water."""

    line: int = key(
        MISSING, "int", "Screen line from which the colours hold.", low=1, high=239, unit="lines"
    )


@dataclass(frozen=True, kw_only=True)
class ReflectionKeys(Below):
    """[reflection]: lines that mirror those above them, from the same tiles."""

    line: int = key(
        MISSING,
        "int",
        "First screen line that mirrors: the line above it, and so on downward. A multiple of 8, "
        "so that whole cells mirror and no pattern is needed.",
        low=8,
        high=232,
        unit="lines",
    )
    plane: str = key(
        "both", "choice", "The plane that mirrors itself.", choices=("both", "back", "front")
    )
    ripple: float = key(
        0.0, "float", "How far lines sway to both sides.", low=0, high=32, unit="pixels"
    )
    ripple_lines: float = key(
        12.0, "float", "Lines from one crest to the next.", low=2, high=1024, unit="lines"
    )
    ripple_frames: int = key(
        96, "int", "Frames after which the ripple is as before.", low=2, high=1024, unit="frames"
    )

    def faults(self) -> Iterator[tuple[str, str]]:
        if self.line % CELL:
            yield "line", f"must be a multiple of {CELL}, so that whole cells mirror"


@dataclass(frozen=True, kw_only=True)
class WindowKeys:
    """[window]: rows of cells that a status bar takes, at the top or at the bottom."""

    rows: tuple[int, int] = key(
        MISSING,
        "ints",
        "Screen rows of 8 lines, the second not included; the front plane is replaced there.",
        low=0,
        high=30,
        length=2,
    )

    def faults(self) -> Iterator[tuple[str, str]]:
        if self.rows[0] >= self.rows[1]:
            yield "rows", "the first row must be above (less than) the second, not included"


@dataclass(frozen=True, kw_only=True)
class CycleKeys:
    """[[cycle]]: colours of a ramp that change places, as on glittering water."""

    layer: str = key(MISSING, "name", "Name of the layer.")
    ramp: str = key(MISSING, "name", "Ramp of its painter.")
    frames: int = key(8, "int", "Frames from one step to the next.", low=1, high=600, unit="frames")
    first: int = key(0, "int", "First ink of the ramp that takes part.", low=0, high=31)
    last: int | None = key(
        None, "int", "Last ink that takes part; the ramp's last if absent.", low=0, high=31
    )
    direction: str = key(
        "forward",
        "choice",
        "Where colours move along the ramp; swing is forward and back again.",
        choices=("forward", "backward", "swing"),
    )

    def faults(self) -> Iterator[tuple[str, str]]:
        if self.last is not None and self.last <= self.first:
            yield "last", "must be greater than first: at least two inks take part"


@dataclass(frozen=True, kw_only=True)
class FadeKeys:
    """[fade]: the colours of the mood shown become those of another and come back."""

    to: str = key(MISSING, "name", "The mood that the colours go to.")
    frames: int = key(240, "int", "Frames of the way to it.", low=2, high=4096, unit="frames")
    hold: int = key(
        60, "int", "Frames that each of the two moods stays.", low=0, high=4096, unit="frames"
    )


@dataclass(frozen=True, kw_only=True)
class ColumnKeys:
    """[columns]: columns of 16 pixels that move up and down, as things sway and decks tilt."""

    move: str = key(
        "sway",
        "choice",
        "How: a wave runs along the columns, or all turn about the middle of the screen.",
        choices=("sway", "tilt"),
    )
    amplitude: tuple[float, float] = key(
        MISSING,
        "floats",
        "Pixels that columns of the front and of the back plane move to both sides.",
        low=0,
        high=64,
        length=2,
    )
    frames: int = key(
        96, "int", "Frames after which columns are as before.", low=2, high=1024, unit="frames"
    )
    length: float = key(
        8.0, "float", "Columns from one crest of a sway to the next.", low=2, high=64
    )


OPTIONAL_TABLES: dict[str, type] = {
    "reflection": ReflectionKeys,
    "window": WindowKeys,
    "fade": FadeKeys,
    "columns": ColumnKeys,
}
"""Tables that may be absent: name in the file and in `Preset` -> its keys."""

MANY_TABLES: dict[str, tuple[str, type, int]] = {
    "split": ("splits", SplitKeys, MAX_SPLITS),
    "cycle": ("cycles", CycleKeys, MAX_CYCLES),
}
"""Tables that may stand several times: name in the file -> name in `Preset`, keys, how many."""
