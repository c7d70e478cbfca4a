"""Where every key and value of a TOML text stands.

`tomllib` reads a preset but keeps no positions. This scanner runs over the text again, only when a
message needs a place, and only after `tomllib` has accepted it: it trusts the text to be TOML and
checks nothing. A *path* is the way to a value: table names, keys and array places, such as
`("layer", 2, "lines", 0)`.
"""

from __future__ import annotations

import re
import tomllib
from typing import NamedTuple

Path = tuple[str | int, ...]


class Spot(NamedTuple):
    """Offsets in the text, in characters from 0: of a key, and of its value."""

    key: int
    value: int


_SPACE = re.compile(r"[ \t]*")
_GAP = re.compile(r"(?:[ \t\r\n]|#[^\n]*)*")
_BARE_KEY = re.compile(r"[A-Za-z0-9_-]+")
_STRING = re.compile(
    r'"""(?:[^\\]|\\.)*?"{3,5}(?!")|'
    + r"'''.*?'{3,5}(?!')"
    + r"""|"(?:[^"\\\n]|\\.)*"|'[^'\n]*'""",
    re.DOTALL,
)
_SCALAR = re.compile(r"[^,\]}\r\n#]+")


def find_spots(text: str) -> dict[Path, Spot]:
    """Return the spot of every path of a TOML text that `tomllib` accepts.

    A table has the spot of the first header or dotted key that names it, an entry of an array that
    of its value.
    """
    scanner = _Scanner(text)
    scanner.document()
    return scanner.spots


def line_and_column(text: str, offset: int) -> tuple[int, int]:
    """Line and column, both from 1, of an offset; columns count characters."""
    line_start = text.rfind("\n", 0, offset) + 1
    return text.count("\n", 0, offset) + 1, offset - line_start + 1


class _Scanner:
    """One walk over the text; `at` is where it stands."""

    def __init__(self, text: str):
        self.text = text
        self.at = 0
        self.spots: dict[Path, Spot] = {}
        self.counts: dict[Path, int] = {}  # entries so far of every array of tables

    def skip(self, pattern: re.Pattern[str]) -> str:
        """Move past what `pattern` matches here (it may match nothing); return it."""
        match = pattern.match(self.text, self.at)
        if match is None:
            return ""
        self.at = match.end()
        return match.group()

    def document(self) -> None:
        table: Path = ()
        self.skip(_GAP)
        while self.at < len(self.text):
            if self.text[self.at] == "[":
                table = self.header()
            else:
                self.pair(table)
            self.skip(_GAP)

    def header(self) -> Path:
        """Read `[a.b]` or `[[a.b]]`; return the path of the table that it opens."""
        start = self.at
        is_array = self.text.startswith("[[", self.at)
        self.at += 2 if is_array else 1
        self.skip(_SPACE)
        names = self.dotted_key()
        self.at += 2 if is_array else 1
        path: Path = ()
        for place, name in enumerate(names):
            path = (*path, name)
            self.note(path, start)
            if is_array and place == len(names) - 1:
                self.counts[path] = self.counts.get(path, 0) + 1
            if path in self.counts:
                path = (*path, self.counts[path] - 1)
                self.note(path, start)
        return path

    def pair(self, table: Path) -> None:
        """Read `a.b = value` in a table."""
        start = self.at
        path = table
        for name in self.dotted_key():
            path = (*path, name)
            self.note(path, start)
        self.at += 1  # the equals sign
        self.skip(_SPACE)
        self.spots[path] = Spot(start, self.at)
        self.value(path)

    def note(self, path: Path, start: int) -> None:
        self.spots.setdefault(path, Spot(start, start))

    def dotted_key(self) -> list[str]:
        """Read a key, which may be dotted or quoted, and the space after it."""
        names = []
        while True:
            if self.text[self.at] in "\"'":
                quoted = self.skip(_STRING)
                names.append(tomllib.loads(f"key = {quoted}")["key"])
            else:
                names.append(self.skip(_BARE_KEY))
            self.skip(_SPACE)
            if self.at >= len(self.text) or self.text[self.at] != ".":
                return names
            self.at += 1
            self.skip(_SPACE)

    def value(self, path: Path) -> None:
        first = self.text[self.at]
        if first == "[":
            self.array(path)
        elif first == "{":
            self.inline_table(path)
        elif first in "\"'":
            self.skip(_STRING)
        else:
            self.skip(_SCALAR)

    def array(self, path: Path) -> None:
        self.at += 1
        place = 0
        self.skip(_GAP)
        while self.text[self.at] != "]":
            self.spots[(*path, place)] = Spot(self.at, self.at)
            self.value((*path, place))
            place += 1
            self.skip(_GAP)
            if self.text[self.at] == ",":
                self.at += 1
                self.skip(_GAP)
        self.at += 1

    def inline_table(self, path: Path) -> None:
        self.at += 1
        self.skip(_GAP)
        while self.text[self.at] != "}":
            self.pair(path)
            self.skip(_GAP)
            if self.text[self.at] == ",":
                self.at += 1
                self.skip(_GAP)
        self.at += 1
