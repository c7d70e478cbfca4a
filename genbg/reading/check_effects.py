"""Tables that may be absent: are they right, and do the names and lines in them exist?"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from itertools import pairwise
from typing import Any

from genbg.hardware.sizes import CELL
from genbg.keys import listed, nearest_name
from genbg.model import HOME
from genbg.paint.contract import Painter
from genbg.paint.table import painter
from genbg.preset.effects import (
    MANY_TABLES,
    OPTIONAL_TABLES,
    Below,
    CycleKeys,
    ReflectionKeys,
    WindowKeys,
)
from genbg.preset.tables import Layer
from genbg.reading.findings import Findings, check_table
from genbg.reading.places import Path


def read_effects(data: Mapping[str, Any], found: Findings) -> dict[str, Any]:
    """The tables by their names in `Preset`; None or left out where they are absent or wrong."""
    effects: dict[str, Any] = {}
    for name, keys in OPTIONAL_TABLES.items():
        effects[name] = check_table(keys, data[name], (name,), found) if name in data else None
    for name, (field, keys, most) in MANY_TABLES.items():
        raw = data.get(name, [])
        if not isinstance(raw, list) or not all(isinstance(one, Mapping) for one in raw):
            found.add((name,), f"must be tables, each begun with [[{name}]]")
            raw = []
        if len(raw) > most:
            says = f"{len(raw)} of them; allowed are at most {most}, each begun with [[{name}]]"
            found.add((name,), says)
            raw = []
        tables = [check_table(keys, one, (name, at), found) for at, one in enumerate(raw)]
        effects[field] = tuple(tables)
    return effects


def check_effects(
    effects: Mapping[str, Any],
    layers: Iterable[Layer | None],
    by_name: Mapping[str, Layer] | None,
    moods: Iterable[str],
    screen: tuple[int, int],
    found: Findings,
) -> None:
    """Look up what the tables name: lines of the screen, layers, ramps and moods.

    effects: as `read_effects` gives them; None stands for a table with faults of its own
    by_name: what names of layers mean; None where that can't be known
    """
    known = list(layers)
    names = [HOME, *(mood for mood in moods if mood != HOME)]
    for at, split in enumerate(effects["splits"]):
        if split is not None:
            _check_line(split.line, screen, ("split", at, "line"), found)
            if by_name is not None:
                _check_below(split, by_name, names, ("split", at), found)
    _check_order(effects["splits"], found)
    if effects["reflection"] is not None:
        _check_reflection(effects["reflection"], known, screen, found)
        if by_name is not None:
            _check_below(effects["reflection"], by_name, names, ("reflection",), found)
    if effects["window"] is not None:
        _check_window(effects["window"], screen, found)
    for at, cycle in enumerate(effects["cycles"]):
        if cycle is not None and by_name is not None:
            _check_cycle(cycle, by_name, ("cycle", at), found)
    if by_name is not None:
        _check_apart(effects["cycles"], by_name, found)
    if effects["fade"] is not None and effects["fade"].to not in names:
        says = f"unknown mood; this preset has {listed(names)}"
        found.add(("fade", "to"), says, nearest_name(effects["fade"].to, names))


def check_colours(
    colours: Mapping[str, Mapping[str, Any]],
    layers: Mapping[str, Layer],
    path: Path,
    found: Findings,
) -> None:
    """Look up the layers and ramps that colours are given for."""
    for name, ramps in colours.items():
        if name not in layers:
            found.unknown((*path, name), "layer", layers)
        else:
            check_ramps(painter(layers[name].paint), ramps, (*path, name), found)


def check_ramps(
    art: Painter[Any], ramps: Iterable[str] | None, path: Path, found: Findings
) -> None:
    """Look up ramps among those of a painter."""
    names = [ramp.name for ramp in art.ramps]
    for name in ramps or ():
        if name not in names:
            found.unknown((*path, name), f'ramp of the painter "{art.name}"', names)


def _check_line(line: int, screen: tuple[int, int], path: Path, found: Findings) -> None:
    if not 1 <= line < screen[1]:
        found.add(path, f"must be from 1 to {screen[1] - 1}, a line of the screen below its first")


def _check_order(splits: tuple[Any, ...], found: Findings) -> None:
    """Splits stand in the file as they stand on the screen, no two on one line."""
    lines = [None if split is None else split.line for split in splits]
    for at, (above, line) in enumerate(pairwise(lines), start=1):
        if above is not None and line is not None and line <= above:
            says = f"must be greater than {above}, the line of the split before it"
            found.add(("split", at, "line"), says)


def _check_below(
    below: Below, layers: Mapping[str, Layer], moods: list[str], path: Path, found: Findings
) -> None:
    check_colours(below.colours, layers, (*path, "colours"), found)
    for mood, colours in below.moods.items():
        if mood not in moods:
            found.unknown((*path, "moods", mood), "mood", moods)
        else:
            check_colours(colours, layers, (*path, "moods", mood), found)


def _check_reflection(
    reflection: ReflectionKeys,
    layers: Iterable[Layer | None],
    screen: tuple[int, int],
    found: Findings,
) -> None:
    least = -(-screen[1] // 2 // CELL) * CELL
    path: Path = ("reflection", "line")
    if not least <= reflection.line < screen[1]:
        says = (
            f"must be from {least} to {screen[1] - CELL}: below it no more lines are shown than "
            "there are above it to mirror"
        )
        found.add(path, says)
        return
    for layer in layers:
        if layer is None or reflection.plane not in ("both", layer.plane):
            continue
        if layer.plane != "sprites" and layer.lines[1] > reflection.line:
            says = (
                f"must end at line {reflection.line} or above: from there on the {layer.plane} "
                f'plane mirrors what is above (reflection.plane = "{reflection.plane}")'
            )
            found.add(("layer", layer.number, "lines"), says)


def _check_window(window: WindowKeys, screen: tuple[int, int], found: Findings) -> None:
    rows = screen[1] // CELL
    first, last = window.rows
    path: Path = ("window", "rows")
    if last > rows:
        found.add(path, f"must lie within 0 to {rows}, the rows of the screen")
    elif first > 0 and last < rows:
        found.add(path, f"must begin at row 0 or end at row {rows}: top or bottom of the screen")
    elif last - first >= rows:
        found.add(path, f"must leave a row: the screen has {rows}, and the window hides the scene")


def _check_cycle(
    cycle: CycleKeys, layers: Mapping[str, Layer], path: Path, found: Findings
) -> None:
    if cycle.layer not in layers:
        says = f"unknown layer; this preset has {listed(layers)}"
        found.add((*path, "layer"), says, nearest_name(cycle.layer, layers))
        return
    layer = layers[cycle.layer]
    ramps = [ramp.name for ramp in painter(layer.paint).ramps]
    if cycle.ramp not in ramps:
        says = f'unknown ramp; the painter "{layer.paint}" has {listed(ramps)}'
        found.add((*path, "ramp"), says, nearest_name(cycle.ramp, ramps))
        return
    steps = ramp_steps(layer, cycle.ramp)
    for name, at in _ends(cycle, steps):
        if at >= steps:
            found.add((*path, name), f"must be below {steps}, the inks of this ramp")
            return
    if (steps - 1 if cycle.last is None else cycle.last) <= cycle.first:
        found.add((*path, "first"), f"at least two of the {steps} inks must take part")


def ramp_steps(layer: Layer, ramp: str) -> int:
    """How many inks a ramp of a layer takes."""
    return layer.steps.get(ramp, painter(layer.paint).ramp(ramp).steps)


def _check_apart(
    cycles: Iterable[CycleKeys | None], layers: Mapping[str, Layer], found: Findings
) -> None:
    """No ink is moved by two cycles."""
    taken: dict[tuple[str, str, int], int] = {}
    for at, cycle in enumerate(cycles):
        if cycle is None or found.inside(("cycle", at)):
            continue
        steps = ramp_steps(layers[cycle.layer], cycle.ramp)
        last = steps - 1 if cycle.last is None else cycle.last
        inks = [(cycle.layer, cycle.ramp, ink) for ink in range(cycle.first, last + 1)]
        for ink in inks:
            if ink in taken:
                says = f"ink {ink[2]} of this ramp is moved by cycle {taken[ink]} already"
                found.add(("cycle", at, "ramp"), says)
                break
        taken.update(dict.fromkeys(inks, at))


def _ends(cycle: CycleKeys, steps: int) -> Iterator[tuple[str, int]]:
    yield "first", cycle.first
    if cycle.last is not None:
        yield "last", cycle.last
