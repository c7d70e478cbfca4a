"""Where faults stand: in a line of the preset's file, or in a setting of the command line."""

from __future__ import annotations

import datetime
import json
import re
import tomllib
from collections.abc import Mapping, Sequence
from typing import Any

from genbg.errors import Fault, PresetError
from genbg.preset.tables import Preset
from genbg.reading import places
from genbg.reading.check import MoodData
from genbg.reading.findings import Finding, Findings
from genbg.reading.settings import Setting, apply_settings, parse_setting

_PLAIN_KEY = re.compile(r"[A-Za-z0-9_-]+\Z")


def located(preset: Preset, error: PresetError) -> PresetError:
    """Return an error of a later stage with the places of its faults.

    A stage knows no file: it raises faults with a key and no place. Faults that have a place
    already keep it.
    """
    path = str(preset.path or preset.name)
    parsed = [parse_setting(text) for text in preset.settings]
    settings = [one for one in parsed if isinstance(one, Setting)]
    data = apply_settings(tomllib.loads(preset.text), settings, Findings())
    faults = []
    for fault in error.faults:
        names = [*filter(None, fault.key.split("."))]
        if fault.where or not names:
            faults.append(fault)
            continue
        found = Findings()
        keys = tuple(int(name) if name.isdigit() else name for name in names)
        found.add(keys, fault.says, fault.nearest)
        faults += placed(found, data, preset.text, path, settings)
    return PresetError(faults)


def placed(
    found: Findings, data: Mapping[str, Any], text: str, place: str, settings: Sequence[Setting]
) -> list[Fault]:
    """The faults with their places: those of the file in its order, then those of settings."""
    if not found:
        return []
    try:
        spots = places.find_spots(text)
    except RecursionError:
        spots = {}
    rows = []
    for finding in found:
        value = _value_at(data, finding.path)
        setting = _setting_of(finding.path, settings, spots, value)
        if setting is None:
            offset = _offset(finding, spots)
            line, column = places.line_and_column(text, offset)
            order, where = (0, offset), f"{place}:{line}:{column}"
        else:
            order = (1, settings.index(setting))
            where = f"--set {short(setting.text)}"
        fault = Fault(where, _dotted(finding.path), shown(value), finding.says, finding.nearest)
        rows.append((order, fault))
    return [fault for _, fault in sorted(rows, key=lambda row: row[0])]


def _setting_of(
    path: places.Path, settings: Sequence[Setting], spots: Mapping[places.Path, Any], value: Any
) -> Setting | None:
    """The last setting that the value at `path` comes from, if it comes from one.

    An array that has an entry of its own set comes from that setting; a table stays the file's.
    """
    names = tuple(map(str, path))
    inside = path not in spots or (
        isinstance(value, list) and not any(isinstance(one, Mapping) for one in value)
    )
    for setting in reversed(settings):
        parts = tuple(map(str, setting.path))
        if parts == ("mood",) and names != parts:
            continue  # it chose a mood; the tables of moods are those of the file
        if names[: len(parts)] == parts:
            return setting
        if parts[: len(names)] == names and inside:
            return setting
    return None


def _offset(finding: Finding, spots: Mapping[places.Path, places.Spot]) -> int:
    """Where a finding stands in the text; a missing key stands where its table does."""
    for length in range(len(finding.path), 0, -1):
        spot = spots.get(finding.path[:length])
        if spot:
            whole = length == len(finding.path)
            return spot.value if whole and not finding.at_key else spot.key
    return 0


def _value_at(data: Any, path: places.Path) -> Any:
    """What the user wrote at `path`, or None where nothing stands."""
    for part in path:
        if isinstance(data, MoodData):
            data = data.tables
        try:
            data = data[part]
        except (KeyError, IndexError, TypeError):
            return None
    return data.choice if isinstance(data, MoodData) else data


def _dotted(path: places.Path) -> str:
    parts = (str(part) for part in path)
    return ".".join(p if _PLAIN_KEY.match(p) else json.dumps(p) for p in parts)


def short(text: str, most: int = 60) -> str:
    return text if len(text) <= most else f"{text[: most - 3]}..."


def shown(value: Any) -> str:
    """A value for a message, as TOML writes it, on one line and not too long."""
    if value is None or isinstance(value, (Mapping, tuple)):
        return ""
    if isinstance(value, (datetime.date, datetime.time)):
        return value.isoformat()
    if isinstance(value, int) and value.bit_length() > 256:
        return f"a whole number of {value.bit_length()} bits"
    if isinstance(value, list):
        return short("[" + ", ".join(shown(one) or "{...}" for one in value[:20]) + "]")
    if isinstance(value, float):
        return repr(value)
    return short(json.dumps(value, ensure_ascii=False))
