"""How one key of a preset is described, and what a value of each kind must be.

A table of a preset is a frozen dataclass whose fields are made with `key(...)`. The checker of
`genbg.preset`, the JSON Schema, the starter preset and the live page's controls all read the same
metadata, so a key is described once, where it is used.

Such a dataclass may have a method `faults(self)` that yields `(key, says)` pairs for what no single
key can tell (two keys that do not go together). It is called once every single key is right.
"""

from __future__ import annotations

import dataclasses
import difflib
import json
import math
import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import Any

MISSING = dataclasses.MISSING


@dataclass(frozen=True)
class Key:
    """Description of one key.

    kind: one of `KINDS`: "int", "float", "bool", "str", "name" (small letters, digits, "-", "_"),
        "colour" (a "#rrggbb" string), "choice", "path", "ints" or "floats" (an array of `length`
        numbers, or of any length if `length` is None), "colours" (an array of "#rrggbb"),
        "distance" (a float, or an array of two: at the first line and at the last),
        "ramp_colours" ({ramp: colours}), "ramp_steps" ({ramp: int}),
        "layer_colours" ({layer: {ramp: colours}}), "mood_colours" ({mood: {layer: ...}})
    low, high: inclusive range of the number or of each number of an array
    choices: the allowed strings of a "choice", or the allowed arrays of "ints"
    length: how many entries an array has; None: any
    unit: what the number counts, for people
    """

    kind: str
    about: str
    low: float | None = None
    high: float | None = None
    choices: tuple[Any, ...] = ()
    length: int | None = None
    unit: str = ""
    optional: bool = False


def key(
    default: Any,
    kind: str,
    about: str,
    *,
    low: float | None = None,
    high: float | None = None,
    choices: tuple[Any, ...] = (),
    length: int | None = None,
    unit: str = "",
) -> Any:
    """Return a dataclass field that carries a `Key` under metadata["key"].

    default: the value when the key is absent; `MISSING` makes the key required; None makes it
        optional with no value. A mutable default (a dict) is copied for each object.
    """
    described = Key(kind, about, low, high, tuple(choices), length, unit, default is None)
    metadata = {"key": described}
    if default is MISSING:
        return dataclasses.field(metadata=metadata)
    if isinstance(default, dict):
        return dataclasses.field(default_factory=lambda: dict(default), metadata=metadata)
    return dataclasses.field(default=default, metadata=metadata)


def keys_of(table: type) -> dict[str, Key]:
    """The keys of a table by name, in the order of its fields."""
    fields = dataclasses.fields(table)
    return {field.name: field.metadata["key"] for field in fields if "key" in field.metadata}


def default_of(table: type, name: str) -> Any:
    """The value of a key that is absent; `MISSING` where it is required."""
    field = next(field for field in dataclasses.fields(table) if field.name == name)
    if field.default_factory is not MISSING:
        return field.default_factory()
    return field.default


def nearest_name(name: str, names: Iterable[str]) -> str | None:
    """The name of `names` that `name` was most likely meant to be, or None."""
    close = difflib.get_close_matches(name, list(names), n=1, cutoff=0.6)
    return close[0] if close else None


def listed(names: Iterable[str]) -> str:
    """Names for a message: `"a", "b" or "c"`."""
    return _joined([json.dumps(name, ensure_ascii=False) for name in names])


def _joined(parts: list[str]) -> str:
    if len(parts) < 2:
        return parts[0] if parts else "nothing"
    return f"{', '.join(parts[:-1])} or {parts[-1]}"


# --- what a value of each kind must be ------------------------------------------------------------

Report = Callable[[tuple[str | int, ...], str, str | None], None]
"""Called for each fault of a value: where in the value, what is wrong and allowed, nearest name."""

_COLOUR = re.compile(r"#[0-9a-fA-F]{6}\Z")
_NAME = re.compile(r"[a-z0-9][a-z0-9_-]{0,31}\Z")
MAX_TEXT = 200
"""Characters of a text; a title or a file name needs no more."""
MAX_RAMP = 16
"""Colours or steps of one ramp: more than a palette row holds can't be seen in one cell."""
MAX_ENTRIES = 64
"""Entries of an array or table whose length is free."""


@dataclass(frozen=True)
class Kind:
    """What the kind of a key means.

    wants: a noun phrase for messages, given the key
    check: the clean value of what the user wrote; faults go to `report`
    schema: JSON Schema of the value
    """

    wants: Callable[[Key], str]
    check: Callable[[Key, Any, Report], Any]
    schema: Callable[[Key], dict[str, Any]]


def check_value(described: Key, value: Any, report: Report) -> Any:
    """Return the clean value of a key, in the type that its dataclass holds.

    value: as a TOML reader gives it. Each fault goes to `report`; the value returned is then of no
    use.
    """
    return KINDS[described.kind].check(described, value, report)


def value_schema(described: Key) -> dict[str, Any]:
    """JSON Schema (Draft 2020-12) of the values that `check_value` takes."""
    return KINDS[described.kind].schema(described)


def number_text(value: float) -> str:
    """A number for a message, without a needless ".0"."""
    return str(int(value)) if value == int(value) else repr(value)


def range_text(described: Key) -> str:
    """The range of a key for people, with a space before it; "" where there is none."""
    low, high = described.low, described.high
    unit = f" ({described.unit})" if described.unit else ""
    if low is not None and high is not None:
        return f" from {number_text(low)} to {number_text(high)}{unit}"
    if low is not None:
        return f" of at least {number_text(low)}{unit}"
    return (f" of at most {number_text(high)}" if high is not None else "") + unit


def _in_range(described: Key, value: float) -> bool:
    # Compared as Python numbers: an int of a thousand digits is no float, yet compares.
    low, high = described.low, described.high
    return (low is None or value >= low) and (high is None or value <= high)


def _is_int(described: Key, value: Any) -> bool:
    return type(value) is int and _in_range(described, value)


def _is_float(described: Key, value: Any) -> bool:
    if type(value) is int:
        return abs(value) < 2**63 and _in_range(described, value)
    return type(value) is float and math.isfinite(value) and _in_range(described, value)


def _range_schema(described: Key, kind: str) -> dict[str, Any]:
    schema: dict[str, Any] = {"type": kind}
    if described.low is not None:
        schema["minimum"] = described.low
    if described.high is not None:
        schema["maximum"] = described.high
    return schema


def _simple(
    holds: Callable[[Key, Any], bool],
    wants: Callable[[Key], str],
    schema: Callable[[Key], dict[str, Any]],
    clean: Callable[[Any], Any] = lambda value: value,
) -> Kind:
    """A kind whose value is right or wrong as a whole."""

    def check(described: Key, value: Any, report: Report) -> Any:
        if holds(described, value):
            return clean(value)
        report((), f"must be {wants(described)}", None)
        return None

    return Kind(wants, check, schema)


def _is_text(described: Key, value: Any) -> bool:
    return isinstance(value, str) and len(value) <= MAX_TEXT and value.isprintable()


def _is_path(described: Key, value: Any) -> bool:
    return _is_text(described, value) and bool(value.strip())


def _matches(pattern: re.Pattern[str]) -> Callable[[Key, Any], bool]:
    return lambda described, value: isinstance(value, str) and bool(pattern.match(value))


def _check_choice(described: Key, value: Any, report: Report) -> Any:
    if isinstance(value, str) and value in described.choices:
        return value
    nearest = nearest_name(value, described.choices) if isinstance(value, str) else None
    report((), f"must be {listed(described.choices)}", nearest)
    return None


def _array(entry: str, plural: str, most: int = MAX_ENTRIES, least: int = 0) -> Kind:
    """A kind of arrays whose entries are of the kind `entry`."""

    def wants(described: Key) -> str:
        if described.choices:
            return _joined([json.dumps(list(choice)) for choice in described.choices])
        count = f"{described.length}" if described.length else f"{least} to {most}"
        return f"an array of {count} {plural}{range_text(described)}"

    def check(described: Key, value: Any, report: Report) -> Any:
        if described.choices:
            plain = isinstance(value, list) and all(type(entry) is int for entry in value)
            if plain and tuple(value) in described.choices:
                return tuple(value)
            report((), f"must be {wants(described)}", None)
            return None
        low, high = (described.length,) * 2 if described.length else (least, most)
        if not isinstance(value, list) or not low <= len(value) <= high:
            report((), f"must be {wants(described)}", None)
            return None
        return tuple(
            KINDS[entry].check(described, one, _deeper(report, place))
            for place, one in enumerate(value)
        )

    def schema(described: Key) -> dict[str, Any]:
        if described.choices:
            return {"enum": [list(choice) for choice in described.choices]}
        low, high = (described.length,) * 2 if described.length else (least, most)
        items = KINDS[entry].schema(described)
        return {"type": "array", "items": items, "minItems": low, "maxItems": high}

    return Kind(wants, check, schema)


def _deeper(report: Report, place: str | int) -> Report:
    return lambda at, says, nearest: report((place, *at), says, nearest)


def _table(entry: str, wants: str) -> Kind:
    """A kind of tables whose names are free and whose values are of the kind `entry`."""

    def check(described: Key, value: Any, report: Report) -> Any:
        if not isinstance(value, Mapping) or len(value) > MAX_ENTRIES:
            report((), f"must be {wants}", None)
            return {}
        return {
            name: KINDS[entry].check(described, one, _deeper(report, name))
            for name, one in value.items()
        }

    def schema(described: Key) -> dict[str, Any]:
        entries = KINDS[entry].schema(described)
        return {"type": "object", "additionalProperties": entries, "maxProperties": MAX_ENTRIES}

    return Kind(lambda described: wants, check, schema)


def _check_distance(described: Key, value: Any, report: Report) -> Any:
    if isinstance(value, list):
        if len(value) == 2:
            return KINDS["floats"].check(described, value, report)
        report((), f"must be {_wants_distance(described)}", None)
        return None
    if _is_float(described, value):
        return float(value)
    report((), f"must be {_wants_distance(described)}", None)
    return None


def _wants_distance(described: Key) -> str:
    return (
        f"a number{range_text(described)}, or an array of two: "
        "at the layer's first line and at its last"
    )


def _distance_schema(described: Key) -> dict[str, Any]:
    number = _range_schema(described, "number")
    return {"anyOf": [number, {"type": "array", "items": number, "minItems": 2, "maxItems": 2}]}


def _text_schema(least: int) -> Callable[[Key], dict[str, Any]]:
    return lambda described: {"type": "string", "minLength": least, "maxLength": MAX_TEXT}


def _pattern_schema(pattern: str) -> Callable[[Key], dict[str, Any]]:
    return lambda described: {"type": "string", "pattern": pattern}


KINDS: dict[str, Kind] = {
    "int": _simple(
        _is_int,
        lambda described: f"a whole number{range_text(described)}",
        lambda described: _range_schema(described, "integer"),
    ),
    "float": _simple(
        _is_float,
        lambda described: f"a number{range_text(described)}",
        lambda described: _range_schema(described, "number"),
        float,
    ),
    "bool": _simple(
        lambda described, value: type(value) is bool,
        lambda described: "true or false",
        lambda described: {"type": "boolean"},
    ),
    "str": _simple(
        _is_text,
        lambda described: f"a text of one line, at most {MAX_TEXT} characters",
        _text_schema(0),
    ),
    "name": _simple(
        _matches(_NAME),
        lambda described: 'a name of at most 32 small letters, digits, "-" and "_"',
        _pattern_schema("^[a-z0-9][a-z0-9_-]{0,31}$"),
    ),
    "colour": _simple(
        _matches(_COLOUR),
        lambda described: 'a colour as "#rrggbb", two hexadecimal digits a channel',
        _pattern_schema("^#[0-9a-fA-F]{6}$"),
        str.lower,
    ),
    "choice": Kind(
        lambda described: listed(described.choices),
        _check_choice,
        lambda described: {"enum": list(described.choices)},
    ),
    "path": _simple(
        _is_path,
        lambda described: "the name of a file, relative to the preset's folder",
        _text_schema(1),
    ),
    "ints": _array("int", "whole numbers, each"),
    "floats": _array("float", "numbers, each"),
    "names": _array("name", "names of layers"),
    "colours": _array("colour", 'colours as "#rrggbb"', most=MAX_RAMP, least=1),
    "distance": Kind(_wants_distance, _check_distance, _distance_schema),
    "ramp_colours": _table("colours", "a table of ramps, each an array of colours"),
    "ramp_steps": _table("int", "a table of ramps, each with its number of inks"),
    "layer_colours": _table("ramp_colours", "a table of layers, each a table of ramps"),
    "mood_colours": _table("layer_colours", "a table of moods, each a table of layers"),
}
"""Every kind of key. A new kind is one entry here and nothing elsewhere."""
