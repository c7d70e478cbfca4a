"""From a file, the name of a bundled preset or a text to a checked `Preset`."""

from __future__ import annotations

import dataclasses
import re
import tomllib
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from genbg.errors import Fault, PresetError
from genbg.keys import keys_of, nearest_name
from genbg.paint.table import PAINTERS, painter
from genbg.preset.tables import MAX_SEED, Preset
from genbg.reading import places
from genbg.reading.bundled import bundled_names, find_bundled
from genbg.reading.check import check_preset
from genbg.reading.findings import Findings
from genbg.reading.locate import placed, short, shown
from genbg.reading.settings import (
    MAX_DEPTH,
    Setting,
    SettingFault,
    apply_settings,
    is_deep,
    parse_setting,
)

MAX_BYTES = 256 * 1024
"""Size of a preset file; 64 layers with every key take a tenth of it."""
_SYNTAX = re.compile(
    r"(?P<says>.*) \(at (?:line (?P<line>\d+), column (?P<column>\d+)|end of .*)\)"
)


def load_preset(
    source: str | Path, settings: Sequence[str] = (), seed: int | None = None
) -> Preset:
    """Return the checked preset of a file or, if no such file exists, of a bundled name.

    settings: "KEY=VALUE" texts, applied in order; seed: used instead of the preset's own

    Raises PresetError with every fault found, each with its place.
    """
    path = _find(source)
    text = _read_text(path)
    preset = parse_preset(
        text,
        place=str(path),
        name=plain_name(path.stem),
        folder=path.parent,
        settings=settings,
        seed=seed,
    )
    return dataclasses.replace(preset, path=path)


def plain_name(stem: str) -> str:
    """Return a file's stem as the name of a preset, which folders are called after.

    What can't be printed becomes "_".
    """
    return "".join(sign if sign.isprintable() else "_" for sign in stem)


def parse_preset(
    text: str,
    *,
    place: str = "preset",
    name: str = "preset",
    folder: Path | None = None,
    settings: Sequence[str] = (),
    seed: int | None = None,
) -> Preset:
    """Return the checked preset of a TOML text.

    place: what messages call the text; folder: where the files lie that the preset names. Without a
    folder, whether they exist is not checked.

    Raises PresetError with every fault found.
    """
    text = text.removeprefix("\ufeff").replace("\r\n", "\n")
    data = _parse_toml(text, place)
    parsed = [parse_setting(setting) for setting in settings]
    wrong = [one for one in parsed if isinstance(one, SettingFault)]
    right = [one for one in parsed if isinstance(one, Setting)]
    found = Findings()
    changed = apply_settings(data, right, found)
    preset = check_preset(changed, found)
    if folder is not None:
        _check_files(changed.get("layer"), folder, found)
    faults = placed(found, changed, text, place, right)
    faults += [Fault(f"--set {short(one.text)}", "", "", one.says) for one in wrong]
    if seed is not None and not 0 <= seed <= MAX_SEED:
        says = f"must be a whole number from 0 to {MAX_SEED}"
        faults.append(Fault("--seed", "seed", shown(seed), says))
    if faults:
        raise PresetError(faults)
    return dataclasses.replace(
        preset,
        title=preset.title or name,
        seed=preset.seed if seed is None else seed,
        name=name,
        folder=folder or Path(),
        text=text,
        settings=tuple(settings),
    )


# --- the file -------------------------------------------------------------------------------------


def _find(source: str | Path) -> Path:
    """The file that `source` means; a file comes before a bundled preset of that name."""
    path = Path(source)
    name = str(path)  # as all other messages call the file, be it written "./bay.toml" or not
    try:
        if path.is_file():
            return path
        bundled = find_bundled(str(source))
        exists = path.exists()
    except (OSError, ValueError) as error:
        raise PresetError(Fault(short(name), "", "", f"can't be read: {error}")) from error
    if bundled is not None:
        return bundled
    if exists:
        raise PresetError(Fault(name, "", "", "is not a file; a preset is a TOML file"))
    says = "no such file, and no bundled preset of that name (`genbg presets` lists them)"
    neighbours = [*bundled_names(), *_neighbours(path)]
    raise PresetError(Fault(short(name), "", "", says, nearest_name(name, neighbours)))


def _neighbours(path: Path) -> list[str]:
    """Presets beside a path that does not exist, written as the path was."""
    try:
        return [str(path.with_name(one.name)) for one in sorted(path.parent.glob("*.toml"))]
    except (OSError, ValueError):
        return []


def _read_text(path: Path) -> str:
    try:
        with path.open("rb") as file:
            raw = file.read(MAX_BYTES + 1)
    except OSError as error:
        says = f"can't be read: {error.strerror or error}"
        raise PresetError(Fault(str(path), "", "", says)) from error
    if len(raw) > MAX_BYTES:
        says = f"larger than {MAX_BYTES // 1024} KiB, which no preset is"
        raise PresetError(Fault(str(path), "", "", says))
    try:
        return raw.decode("utf-8")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        column = error.start - (raw.rfind(b"\n", 0, error.start) + 1) + 1
        says = f"byte {raw[error.start]:#04x} is not UTF-8; save the file as UTF-8"
        raise PresetError(Fault(f"{path}:{line}:{column}", "", "", says)) from error


def _parse_toml(text: str, place: str) -> dict[str, Any]:
    too_deep = PresetError(
        Fault(place, "", "", f"nested deeper than {MAX_DEPTH} tables and arrays")
    )
    try:
        data = tomllib.loads(text)
    except RecursionError as error:
        raise too_deep from error
    except ValueError as error:
        match = _SYNTAX.match(str(error))
        says = match["says"] if match else str(error).split(";")[0]
        if match and match["line"]:
            place = f"{place}:{match['line']}:{match['column']}"
        elif match:
            line, column = places.line_and_column(text, len(text.rstrip()))
            place = f"{place}:{line}:{column}"
        raise PresetError(Fault(place, "", "", f"not TOML: {says}")) from error
    if is_deep(data):
        raise too_deep
    return data


# --- files that layers name -----------------------------------------------------------------------


def _check_files(layers: Any, folder: Path, found: Findings) -> None:
    """Look for every file that a layer names, also in layers that have other faults."""
    for number, layer in enumerate(layers if isinstance(layers, list) else ()):
        name = layer.get("paint") if isinstance(layer, Mapping) else None
        if not isinstance(name, str) or name not in PAINTERS:
            continue
        for key_name, described in keys_of(painter(name).params).items():
            path = ("layer", number, key_name)
            if described.kind == "path" and key_name in layer and not found.inside(path):
                fault = _file_fault(folder, layer[key_name])
                if fault:
                    found.add(path, *fault)


def _file_fault(folder: Path, value: str) -> tuple[str, str | None] | None:
    """What is wrong with a file that a preset names, and the nearest right name."""
    try:
        home, path = folder.resolve(), (folder / value).resolve()
        if home not in path.parents:
            return (
                "must lie in the preset's own folder; links that lead out of it do not count",
                None,
            )
        if path.is_file():
            return None
        if path.exists():
            return "is not a file", None
        names = [one.name for one in sorted(path.parent.iterdir())] if path.parent.is_dir() else []
    except (OSError, ValueError, RuntimeError) as error:
        return f"can't be read: {error}", None
    near = nearest_name(path.name, names)
    return f"no such file in {folder}", str(Path(value).with_name(near)) if near else None
