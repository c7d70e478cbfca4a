"""Fingerprints compared with those that a file holds, or written into it anew."""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from pathlib import Path


def compare(
    arguments: list[str],
    file: Path,
    every: Iterable[str],
    make: Callable[[list[str]], Iterable[str]],
) -> int:
    """Run `[--remake] [NAME ...]` and return the exit status; without names, all of `every`.

    make: the fingerprints of names, in their order. Names that nobody knows are status 2.
    """
    known, held = list(every), json.loads(file.read_text())
    asked = [one for one in arguments if one != "--remake"]
    strange = sorted(set(asked) - set(known))
    if strange:
        print(f"unknown: {', '.join(strange)}")
        return 2
    found = dict(zip(asked or known, make(asked or known), strict=True))
    if "--remake" in arguments:
        both = {**held, **found}
        kept = {name: both[name] for name in known if name in both}
        file.write_text(json.dumps(kept, indent=2) + "\n")
        return 0
    spare = set() if asked else held.keys() - found.keys()
    wrong = sorted(name for name in found.keys() | spare if found.get(name) != held.get(name))
    for name in wrong:
        print(f"{name}: {found.get(name)} made, {held.get(name)} held")
    print(f"{len(found) - len(wrong)} passed, {len(wrong)} failed")
    return 1 if wrong else 0
