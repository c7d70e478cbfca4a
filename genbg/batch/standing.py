"""What lies in a batch's folder already: what of it still holds, and what no longer matches."""

from __future__ import annotations

import os
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from genbg.batch import journal
from genbg.batch.art import Art
from genbg.batch.journal import Journal, is_whole
from genbg.batch.plan import Plan, Variant, variant_key
from genbg.batch.rows import variant_of
from genbg.batch.versions import difference
from genbg.errors import FolderError
from genbg.write.draft import recover_all
from genbg.write.lock import Lock

LOCK = ".genbg-lock"
WAIT_S = 1.0
"""How long a second batch in a folder waits for the first, which may just be ending."""


class Keys:
    """Keys of variants: what each is made from."""

    def __init__(self, art: Art):
        self.art = art

    def of(self, variant: Variant, previews: str) -> str:
        """Return the key of a variant."""
        return variant_key(variant, previews, self.art.of(variant))


@dataclass
class Standing:
    """What was found. reasons: {why: how many variants no longer match}
    again: variants outside the plan that have to be made again, with their `previews`
    """

    lines: int = 0
    reasons: Counter[str] = field(default_factory=Counter)
    again: list[tuple[Variant, str]] = field(default_factory=list)
    lost: list[str] = field(default_factory=list)


def hold_folder(folder: Path) -> Lock:
    """Create a batch's folder and return its lock, taken; what killed runs left is removed.

    Raises FolderError where something of another kind lies there, or another batch runs.
    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
        lock = Lock(folder / LOCK, folder, "runs a batch there").take(WAIT_S)
    except OSError as error:
        raise FolderError(f"{folder}: can't be used for a batch: {error.strerror}") from error
    try:
        clear_folder(folder)
    except BaseException:
        lock.release()
        raise
    return lock


def clear_folder(folder: Path) -> None:
    """Look whether a folder is a batch's, and remove what killed runs left in it."""
    try:
        present = set(os.listdir(folder)) - {LOCK}
        if present and not present & {journal.DONE, journal.PART}:
            raise FolderError(
                f"{folder}: holds what no batch wrote ({sorted(present)[0]}); choose another --out"
            )
        for name in present:
            if name.endswith(".genbg-draft"):
                (folder / name).unlink(missing_ok=True)
        if not present:
            journal.write_whole(folder / journal.PART, iter(()))
        recover_all(folder)
    except OSError as error:
        raise FolderError(f"{folder}: can't be used for a batch: {error.strerror}") from error


def look(plan: Plan, kept: Journal, keys: Keys) -> Standing:
    """Compare the lines of a folder with what would be made today."""
    found = Standing(lines=len(kept))
    if not found.lines:
        return found
    for variant in plan:
        row = kept.row(variant.name)
        if row is not None and mismatch(row, variant, plan.previews, keys):
            found.reasons[mismatch(row, variant, plan.previews, keys)] += 1
    for row, old in earlier(plan, kept):
        why = mismatch(row, old, row["previews"], keys) if old else ""
        found.reasons += Counter([why] if why else [])
        if why or not is_whole(kept.folder, row):
            found.again += [(old, row["previews"])] if old else []
            found.lost += [] if old else [row["name"]]
    return found


def earlier(plan: Plan, kept: Journal) -> Iterator[tuple[dict[str, Any], Variant | None]]:
    """Yield the rows of variants that were made and are not in the plan; each with its variant,
    or None where its preset is not in the plan either."""
    sources = {source.asked: source for source in plan.sources}
    for row in kept.others(variant.name for variant in plan):
        if "error" not in row:
            source = sources.get(row["preset"])
            yield row, variant_of(row, source) if source else None


def mismatch(row: dict[str, Any], variant: Variant, previews: str, keys: Keys) -> str:
    """Return why a row's variant is not what would be made today; "" where it is."""
    if "error" in row or row["made_from"] == keys.of(variant, previews):
        return ""
    if others := difference(row["versions"]):
        return f"made with {others}"
    if row["previews"] != previews:
        return f"made with --previews {row['previews']}"
    if row["settings"] != list(variant.settings) or row["preset"] != variant.source.asked:
        return "made from other values or another preset under the same name"
    return f"{variant.source.asked} or its pictures changed since"


def need_match(found: Standing, folder: Path) -> None:
    """Raise FolderError where variants no longer match."""
    if found.reasons:
        parts = [f"{why}: {count}" for why, count in found.reasons.items()]
        raise FolderError(
            f"{folder}: {sum(found.reasons.values())} of the {found.lines} variants there no "
            f"longer match ({'; '.join(parts)}); nothing was made; --replace makes them again, or "
            "choose another --out"
        )
