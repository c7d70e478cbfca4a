"""What painters there are, as text for a terminal: one line each, or one painter with its keys."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from genbg.errors import Fault, PresetError
from genbg.keys import (
    MISSING,
    Key,
    default_of,
    keys_of,
    listed,
    nearest_name,
    number_text,
    range_text,
)
from genbg.paint.contract import Painter, Ramp
from genbg.paint.table import PAINTERS, painter


def painter_list() -> Iterator[str]:
    """One line a painter: its name in presets and a sentence about it."""
    width = max(len(name) for name in PAINTERS)
    for name in sorted(PAINTERS):
        yield f"{name:<{width}}  {painter(name).about}"


def painter_page(name: str) -> Iterator[str]:
    """A painter's keys with limits and defaults, its ramps with their colours, and an example.

    Raises PresetError for an unknown name, with the nearest one.
    """
    if name not in PAINTERS:
        says = f"unknown painter; allowed are {listed(sorted(PAINTERS))}"
        raise PresetError(Fault("", "painter", f'"{name}"', says, nearest_name(name, PAINTERS)))
    art = painter(name)
    yield f"{art.name}: {art.about}"
    yield from ([art.notes] if art.notes else [])
    yield ""
    yield "keys of a layer painted by it, beside those of every layer:"
    yield from _columns([_key_row(art.params, *one) for one in keys_of(art.params).items()])
    yield ""
    yield "ramps, from dark to light (colours.NAME = [...], steps.NAME = number of inks):"
    yield from _columns([_ramp_row(ramp) for ramp in art.ramps])
    yield ""
    yield "to paste:"
    yield from example(art)


def example(art: Painter[Any]) -> Iterator[str]:
    """A layer of a preset that the painter draws, with what it cannot do without."""
    yield "[[layer]]"
    yield f'paint = "{art.name}"'
    yield "lines = [0, 224]"
    yield "distance = 4.0"
    for name in keys_of(art.params):
        if default_of(art.params, name) is MISSING:
            yield f'{name} = ""'


def _key_row(table: type, name: str, described: Key) -> tuple[str, ...]:
    """Name, default, what is allowed, what it means."""
    default = default_of(table, name)
    shown = "required" if default is MISSING else "none" if default is None else _value(default)
    return name, shown, _allowed(described), described.about


def _value(value: Any) -> str:
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, int | float):
        return number_text(value)
    if isinstance(value, str):
        return f'"{value}"'
    return "[" + ", ".join(_value(one) for one in value) + "]"


def _allowed(described: Key) -> str:
    if described.choices:
        return " | ".join(str(choice) for choice in described.choices)
    return range_text(described).strip() or described.kind


def _ramp_row(ramp: Ramp) -> tuple[str, ...]:
    """Name, number of inks, colours, what it colours."""
    return ramp.name, str(ramp.steps), " ".join(ramp.anchors), ramp.about


def _columns(rows: list[tuple[str, ...]]) -> Iterator[str]:
    """Rows in columns, two spaces apart; nothing has its own line where there are none."""
    if not rows:
        yield "  none"
        return
    wide = [max(len(row[column]) for row in rows) for column in range(len(rows[0]) - 1)]
    for row in rows:
        cells = [f"{text:<{width}}" for text, width in zip(row, wide, strict=False)]
        yield "  " + "  ".join([*cells, row[-1]]).rstrip()
