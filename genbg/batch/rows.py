"""The lines of variants.jsonl: one variant each; `genbg/variants.schema.json` says the same."""

from __future__ import annotations

import hashlib
import json
import math
from pathlib import Path
from typing import Any

from genbg.batch.plan import Source, Variant
from genbg.batch.versions import versions
from genbg.batch.work import Result

DIGITS = frozenset("0123456789abcdef")
SHOWN = ("patterns", "ssim", "score")
"""Figures without which a sheet can't be drawn."""

SEAL = "line_sha256"
LONGEST_NAME = 255
"""Bytes of a folder's name; common limit of file systems, no source."""


def made_row(variant: Variant, key: str, previews: str, result: Result) -> dict[str, Any]:
    """Return the row of a variant that was made from what `key` stands for."""
    return {
        **head(variant, previews),
        "folder": None if previews == "none" else variant.name,
        "hashed": "still.png" if previews == "none" else "backdrop.json",
        "sha256": result.sha256,
        "made_from": key,
        "figures": result.figures,
        "command": variant.command(previews),
    }


def failed_row(variant: Variant, previews: str, error: str) -> dict[str, Any]:
    """Return the row of a variant that can't be made."""
    return {**head(variant, previews), "error": error, "command": variant.command(previews)}


def head(variant: Variant, previews: str) -> dict[str, Any]:
    """Return what is the same in every row: what was asked for, and who made it."""
    return {
        "name": variant.name,
        "preset": variant.source.asked,
        "seed": variant.seed,
        "varied": variant.values,
        "settings": list(variant.settings),
        "previews": previews,
        "versions": versions(),
    }


def variant_of(row: dict[str, Any], source: Source) -> Variant:
    """Return the variant that a row tells of, with its preset as it is now."""
    pairs = [setting.partition("=") for setting in row["settings"]]
    return Variant(row["name"], source, row["seed"], tuple((key, text) for key, _, text in pairs))


def row_bytes(row: dict[str, Any]) -> bytes:
    """Return a row as a line, whose last key is the hash of all before it."""
    body = {key: value for key, value in row.items() if key != SEAL}
    text = json.dumps(body, ensure_ascii=False).encode("utf-8", "backslashreplace")[:-1]
    digest = hashlib.sha256(text).hexdigest()
    return text + f', "{SEAL}": "{digest}"}}\n'.encode()


def parse_row(line: bytes) -> dict[str, Any] | None:
    """Return a row, or None for what is none: cut short, damaged anywhere, or a stranger's."""
    try:
        row = json.loads(line) if line.endswith(b"\n") else None
    except (ValueError, RecursionError):
        return None
    if not isinstance(row, dict) or not is_row(row):
        return None
    return row if row_bytes(row) == line else None


def is_row(row: dict[str, Any]) -> bool:
    """Whether all that this program reads of a row has its type."""
    texts = ["name", "preset", "previews", "command"]
    texts += ["error"] if "error" in row else ["sha256", "made_from"]
    if not all(isinstance(row.get(key), str) for key in texts):
        return False
    if not is_file_name(row["name"]) or not isinstance(row.get("settings"), list):
        return False
    plain = isinstance(row.get("varied"), dict) and isinstance(row.get("versions"), dict)
    plain = plain and all(isinstance(setting, str) for setting in row["settings"])
    plain = plain and isinstance(row.get("seed"), int) and 0 <= row["seed"] < 2**63
    return plain and ("error" in row or is_made(row))


def is_made(row: dict[str, Any]) -> bool:
    """Whether a row tells of a variant that is there."""
    hexes = (("made_from", 32), ("sha256", 64))
    if not all(len(row[key]) == size and not set(row[key]) - DIGITS for key, size in hexes):
        return False
    if row.get("folder", "") not in (None, row["name"]) or not isinstance(row["figures"], dict):
        return False
    return all(is_finite(row["figures"].get(name)) for name in SHOWN)


def is_finite(value: Any) -> bool:
    """Whether a value is a number that can be compared."""
    known = isinstance(value, int | float) and not isinstance(value, bool)
    return known and (isinstance(value, int) or math.isfinite(value))


def is_file_name(name: str) -> bool:
    """Whether a text can name a folder, and only one in the folder it stands in."""
    try:
        size = len(name.encode("utf-8"))
    except UnicodeEncodeError:
        return False
    return 0 < size <= LONGEST_NAME and "/" not in name and "\0" not in name and name[0] != "."


def schema() -> dict[str, Any]:
    """Return the JSON Schema (Draft 2020-12) of a line, as it lies in the package."""
    return json.loads((Path(__file__).parents[1] / "variants.schema.json").read_text("utf-8"))
