"""The starter preset of `genbg new`: a scene to change, with every key explained.

Comments and defaults come from the keys themselves, so the text can't fall behind the program.
"""

from __future__ import annotations

import contextlib
import json
import textwrap
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any, NamedTuple

from genbg.errors import Fault, FolderError, PresetError
from genbg.keys import MISSING, Key, default_of, keys_of, listed, nearest_name, range_text
from genbg.paint.contract import Painter
from genbg.paint.table import painter
from genbg.preset.effects import CycleKeys
from genbg.preset.machine import MachineKeys
from genbg.preset.tables import (
    CameraKeys,
    CartridgeKeys,
    Layer,
    Mood,
    PreviewKeys,
    SceneKeys,
    SourceKeys,
    SpriteKeys,
)
from genbg.reading.bundled import bundled_names, find_bundled

WIDTH = 96
"""Columns of the text."""
COLUMN = 30
"""Where explanations begin."""

OPENING = (
    "A backdrop for a stage of The Lantern Post: the bay below the lamp house, at first light. "
    "`genbg make` with the name of this file paints it; another seed paints another bay.",
    "A key behind a # shows its default: take the # away and change it.",
)


class Section(NamedTuple):
    """One table of the starter.

    says: the comment above it; header: such as "[machine]", or "" for the top of the file
    values: keys that are set, in order
    tables: dataclasses whose other keys are shown with their defaults
    """

    says: str
    header: str
    values: Mapping[str, Any]
    tables: tuple[type, ...] = ()


SCENE = (
    Section("", "", {"title": "The bay below the lamp house", "seed": 7}),
    Section(
        "The console. Figures behind a # differ between boards and programs.",
        "[machine]",
        {"screen": [320, 224], "plane_cells": [64, 32], "tile_budget": 512, "scroll": "line"},
        (MachineKeys,),
    ),
    Section("How the view moves.", "[camera]", {"speed": 2.0}, (CameraKeys,)),
    Section(
        "How layers become sprites; what the game keeps for itself.",
        "[sprites]",
        {},
        (SpriteKeys,),
    ),
    Section(
        "Names in the exported source, and texts of the bootable image.",
        "[source]",
        {},
        (SourceKeys,),
    ),
    Section("", "[cartridge]", {}, (CartridgeKeys,)),
    Section("The moving preview.", "[preview]", {"frames": 128}, (PreviewKeys,)),
    Section(
        "What all layers share. Haze is best the colour of the sky at the horizon.",
        "[scene]",
        {"light": [-0.5, 0.4], "haze": "#ffb692", "haze_half": 20.0},
        (SceneKeys,),
    ),
)

LAYERS = (
    Section(
        "Layers stand in order from back to front. The sky has no distance: it goes along with "
        "the layer of its plane that shares its lines. The sun stands above the islands, in lines "
        "that no other layer of the back plane has, so it stands still.",
        "[[layer]]",
        {
            "paint": "sky",
            "plane": "back",
            "lines": [0, 152],
            "body": "sun",
            "body_x": 0.25,
            "body_y": 0.38,
            "body_size": 40,
            "halo": 0.3,
            "colours.sky": ["#24246d", "#6d4992", "#b66d92", "#ff9292", "#ffdb92"],
        },
        (Layer,),
    ),
    Section(
        "Clouds pass in front of the sun; they drift by themselves, too.",
        "[[layer]]",
        {
            "paint": "clouds",
            "plane": "front",
            "lines": [16, 80],
            "distance": 24.0,
            "drift": 0.125,
            "kind": "heaped",
            "size": 48,
            "colours.cloud": ["#492492", "#924992", "#ff92b6", "#ffdbb6"],
        },
    ),
    Section(
        "Islands on the far side of the bay.",
        "[[layer]]",
        {
            "paint": "ridge",
            "name": "islands",
            "plane": "back",
            "lines": [96, 152],
            "distance": 12.0,
            "spacing": 144,
            "mist": 0.3,
        },
    ),
    Section(
        "The shore on this side, on the front plane, so that it may cover the islands.",
        "[[layer]]",
        {
            "paint": "ridge",
            "name": "shore",
            "plane": "front",
            "lines": [112, 160],
            "distance": 4.0,
            "height": 0.8,
            "peaks": 0.2,
            "cover": "broadleaves",
            "mist": 0.0,
            "colours.leaves": ["#000024", "#240049", "#24246d", "#49496d", "#926d6d"],
        },
    ),
    Section(
        "Two distances make a floor: the first line is far, the last is near.",
        "[[layer]]",
        {
            "paint": "water",
            "plane": "front",
            "lines": [160, 224],
            "distance": [4.0, 1.0],
            "glitter": 0.4,
            "glitter_x": 0.25,
            "colours.water": ["#24246d", "#494992", "#9249b6", "#db6d92", "#ffdb92"],
        },
    ),
)

MOTION = (
    Section(
        "Colours that change places: the path of light on the water glitters. Frames are those "
        "from one step to the next.",
        "[[cycle]]",
        {"layer": "water", "ramp": "glitter", "frames": 8},
        (CycleKeys,),
    ),
    Section(
        "A preset may have more tables: [[split]] for other colours from a line on, [reflection] "
        "for lines that mirror those above them, [window] for a status bar, [fade] for one mood "
        "that becomes another. `genbg presets` lists presets that show them.",
        "",
        {},
    ),
)

MOODS = (
    Section(
        "A mood: other colours for the same patterns. Ask for it by --set mood=night",
        "[mood.night]",
        {
            "tint": "#4949db",
            "amount": 0.8,
            "haze": "#242449",
            "colours.sky.body": ["#b6dbff", "#ffffff"],
            "colours.sky.halo": ["#4949b6", "#6d92db"],
            "colours.sky.sky": ["#000024", "#000049", "#24246d", "#494992", "#9292db"],
            "colours.water.glitter": ["#4949b6", "#6d92db", "#dbffff"],
        },
        (Mood,),
    ),
)


def starter_text() -> str:
    """Return the text of the starter preset."""
    lines = [line for says in OPENING for line in _comment(says)]
    told: set[str] = set()
    for section in (*SCENE, *LAYERS, *MOTION, *MOODS):
        name = section.values.get("paint")
        if name is not None and name not in told:
            told.add(name)
            section = section._replace(tables=(*section.tables, painter(name).params))
            ramps = list(_ramps(painter(name), section.values))
        else:
            ramps = []
        lines += ["", *_comment(section.says)]
        lines += [section.header] if section.header else []
        lines += [*_keys(section), *ramps]
    return "\n".join([*lines, ""])


def bundled_text(name: str) -> str:
    """Return the text of a bundled preset.

    Raises PresetError where there is none of that name.
    """
    path = find_bundled(name)
    if path is None:
        names = bundled_names()
        says = f"unknown preset; bundled are {listed(names)}"
        raise PresetError(Fault("", "--from", f'"{name}"', says, nearest_name(name, names)))
    return path.read_text("utf-8")


def write_starter(path: Path, source: str | None = None) -> None:
    """Write the starter preset, or a copy of the bundled preset `source`, to a new file.

    Raises PresetError where no bundled preset has that name, FolderError where the file exists
    already or can't be written; no half-written file is left behind.
    """
    text = (starter_text() if source is None else bundled_text(source)).encode("utf-8")
    try:
        with path.open("xb") as file, _removed_on_error(path):
            file.write(text)
            file.flush()
    except FileExistsError as error:
        raise FolderError(f"{path}: exists already and is left as it is") from error
    except (OSError, ValueError) as error:
        says = getattr(error, "strerror", None) or error
        raise FolderError(f"{path}: can't be written: {says}") from error


@contextlib.contextmanager
def _removed_on_error(path: Path) -> Iterator[None]:
    try:
        yield
    except BaseException:
        with contextlib.suppress(OSError):
            path.unlink()
        raise


def _keys(section: Section) -> Iterator[str]:
    """Lines of a section: keys that are set, then the others with their defaults."""
    for name, value in section.values.items():
        yield f"{name} = {toml_text(value)}"
    for table in section.tables:
        for name, described in keys_of(table).items():
            default = default_of(table, name)
            told = name in section.values or described.kind in ("ramp_colours", "ramp_steps")
            if not told and default is not MISSING:
                yield from _explained(name, default, about_key(described))


def _ramps(art: Painter[Any], values: Mapping[str, Any]) -> Iterator[str]:
    """Lines that tell the ramps of a painter, but for those that are set."""
    for ramp in art.ramps:
        if f"colours.{ramp.name}" not in values:
            yield from _explained(f"colours.{ramp.name}", ramp.anchors, ramp.about)
    for ramp in art.ramps:
        if f"steps.{ramp.name}" not in values:
            yield from _explained(f"steps.{ramp.name}", ramp.steps, f"Inks of {ramp.name}.")


def about_key(described: Key) -> str:
    """What a key is about, with its range."""
    about = described.about.rstrip(".")
    about = about[:1].upper() + about[1:]
    if described.kind == "choice":
        return f"{about}: {listed(described.choices)}."
    allowed = range_text(described) if described.kind in ("int", "float") else ""
    return f"{about},{allowed}." if allowed else f"{about}."


def _explained(name: str, default: Any, about: str) -> list[str]:
    """A key behind a #, with its default where it has one, and what it is about."""
    if default is None or default == {}:
        return _comment(f"{name:<{COLUMN}} {about}", hanging=COLUMN + 1)
    shown = f"{name} = {toml_text(default)}"
    return _comment(f"{shown:<{COLUMN}} # {about}", hanging=COLUMN + 1)


def _comment(text: str, hanging: int = 0) -> list[str]:
    """A text as comment lines; all but the first are indented by `hanging`."""
    rest = "# " + " " * hanging
    return textwrap.wrap(text, WIDTH, initial_indent="# ", subsequent_indent=rest)


def toml_text(value: Any) -> str:
    """A value as TOML writes it."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, (list, tuple)):
        return "[" + ", ".join(toml_text(one) for one in value) + "]"
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False)
    return repr(value)
