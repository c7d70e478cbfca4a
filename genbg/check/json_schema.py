"""JSON Schema, as much of Draft 2020-12 as the manifest's schema uses, with messages for people.

The schema ships in the package for editors and other programs; those have validators of their own.
Here a small one serves, so that checking an export needs no further library. It is stricter than
the standard in two ways: 1.0 is no integer, and a pattern covers the whole text.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from typing import Any

TYPES: dict[str, tuple[type, ...]] = {
    "object": (dict,),
    "array": (list,),
    "string": (str,),
    "integer": (int,),
    "number": (int, float),
    "boolean": (bool,),
    "null": (type(None),),
}

Faults = Iterator[tuple[str, str]]
"""Pairs of place, such as "machine.levels[3]", and what is wrong there."""


def find_faults(value: Any, schema: dict[str, Any]) -> list[str]:
    """Return "place: what is wrong" for each fault of a JSON value, in the order of the schema."""
    return [f"{place or 'the whole'}: {says}" for place, says in faults(value, schema, schema, "")]


def faults(value: Any, part: dict[str, Any], whole: dict[str, Any], place: str) -> Faults:
    """Yield the faults of a value under one part of a schema."""
    if "$ref" in part:
        part = {**part, **whole["$defs"][part["$ref"].removeprefix("#/$defs/")]}
    if "anyOf" in part:
        found = [list(faults(value, choice, whole, place)) for choice in part["anyOf"]]
        if all(found):
            yield from found[-1]
        return
    wrong = type_fault(value, part) or value_fault(value, part)
    if wrong:
        yield place, wrong
        return
    if isinstance(value, dict):
        yield from object_faults(value, part, whole, place)
    elif isinstance(value, list):
        yield from array_faults(value, part, whole, place)


def type_fault(value: Any, part: dict[str, Any]) -> str | None:
    """Return what is wrong with a value's type, if anything is."""
    wanted = part.get("type")
    if wanted is None:
        return None
    right = isinstance(value, TYPES[wanted]) and (wanted == "boolean" or type(value) is not bool)
    article = "an" if wanted[0] in "aeiou" else "a"
    return None if right else f"{shown(value)} is not {article} {wanted}"


def value_fault(value: Any, part: dict[str, Any]) -> str | None:
    """Return what is wrong with a single value, or with the length of an array, if anything is."""
    if "const" in part and (type(value) is bool or value != part["const"]):
        return f"{shown(value)}; allowed is {shown(part['const'])}"
    if "enum" in part and (type(value) is bool or value not in part["enum"]):
        return f"{shown(value)}; allowed are {', '.join(map(shown, part['enum']))}"
    low, high = part.get("minimum"), part.get("maximum")
    if (low is not None and value < low) or (high is not None and value > high):
        limits = f"{low} or more" if high is None else f"{low} to {high}"
        return f"{shown(value)}; allowed is {limits}"
    if "maxLength" in part and len(value) > part["maxLength"]:
        return f"{len(value)} characters; allowed are at most {part['maxLength']}"
    if "pattern" in part and not re.fullmatch(part["pattern"][1:-1], value):
        return f"{shown(value)} does not match {part['pattern']}"
    if not isinstance(value, list):
        return None
    if not part.get("minItems", 0) <= len(value) <= part.get("maxItems", len(value)):
        return f"{len(value)} items; {part.get('minItems', 0)} to {part.get('maxItems')} are needed"
    if part.get("uniqueItems") and len({shown(item) for item in value}) != len(value):
        return "the same item twice"
    return None


def object_faults(
    value: dict[str, Any], part: dict[str, Any], whole: dict[str, Any], place: str
) -> Faults:
    """Yield the faults of an object's keys and of what they hold."""
    known = part.get("properties", {})
    for key in part.get("required", ()):
        if key not in value:
            yield place, f"the key {shown(key)} is missing"
    others = part.get("additionalProperties", True)
    for key, item in value.items():
        below = f"{place}.{key}".removeprefix(".")
        if key in known:
            yield from faults(item, known[key], whole, below)
        elif others is False:
            yield place, f"the key {shown(key)} is unknown"
        elif others is not True:
            yield from faults(item, others, whole, below)


def array_faults(
    value: list[Any], part: dict[str, Any], whole: dict[str, Any], place: str
) -> Faults:
    """Yield the faults of an array's items."""
    first = part.get("prefixItems", [])
    for number, item in enumerate(value):
        below = first[number] if number < len(first) else part.get("items", {})
        yield from faults(item, below, whole, f"{place}[{number}]")


def shown(value: Any) -> str:
    """Return a value as text of at most 60 characters."""
    text = f'"{value[:60]}"' if isinstance(value, str) else repr(value) if value is None else ""
    if not text:
        text = f"a {type(value).__name__}" if isinstance(value, dict | list) else f"{value}"
    return text if len(text) <= 60 else text[:57] + "..."
