"""The position scanner against `tomllib`, which reads the same text without positions."""

from __future__ import annotations

import tomllib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genbg.reading.places import find_spots, line_and_column

LITERALS = (
    *('"plain"', '"a # b"', '"quote \\" ] }"', '"\\\\"', '""', '"\\u00e4"', '"tab\\there"'),
    *("'literal \\'", "'# [x]'", "''"),
    *('"""one\ntwo # three"""', '"""a ""b"" c"""', '""""quoted""""', '"""\\""""', '""""""'),
    *("'''raw\n]'''", "''''x''''", "''''''"),
    *("0", "-7", "1_000", "0xff", "0o17", "0b101", "+3"),
    *("1.5", "-2e10", "inf", "-nan", "6.02e-23"),
    *("true", "false"),
    *("1979-05-27", "07:32:00", "1979-05-27 07:32:00Z", "1979-05-27T00:32:00.5-07:00"),
)
KEYS = ("a", "b", "key-1", "2", '"quoted key"', '"dot.in"', "'lit'", '"#"', '"esc\\"x"')
NAMES = {key: next(iter(tomllib.loads(f"{key}=0"))) for key in KEYS}


class Writer:
    """Writes random TOML and remembers the literal of every leaf by its path."""

    def __init__(self, draw):
        self.draw = draw
        self.leaves = {}

    def choose(self, *options):
        return self.draw(st.sampled_from(options))

    def gap(self):
        return self.choose("", " ", "\n", " # note ]\n", "\n\t# }\n ")

    def value(self, path, depth):
        kind = self.choose("leaf", "leaf", "array", "table") if depth < 3 else "leaf"
        if kind == "array":
            count = self.draw(st.integers(0, 3))
            parts = [
                self.gap() + self.value((*path, place), depth + 1) + self.gap()
                for place in range(count)
            ]
            comma = self.choose("", ",") if count else ""
            return "[" + ",".join(parts) + comma + self.gap() + "]"
        if kind == "table":
            keys = self.keys(2)
            parts = [f" {key} = {self.value((*path, NAMES[key]), depth + 1)} " for key in keys]
            return "{" + ",".join(parts) + "}"
        literal = self.choose(*LITERALS)
        self.leaves[path] = literal
        return literal

    def keys(self, most):
        return self.draw(st.lists(st.sampled_from(KEYS), max_size=most, unique=True))

    def pairs(self, path):
        lines = []
        for key in self.keys(3):
            shape = self.choose("plain", "plain", "dotted")
            where, name = (*path, NAMES[key]), key
            if shape == "dotted":
                second = self.choose(*KEYS)
                where, name = (*where, NAMES[second]), f"{key} . {second}"
            end = self.choose("", " # comment", "  ")
            lines.append(f"{self.choose('', '  ')}{name} = {self.value(where, 0)}{end}\n")
            lines.append(self.choose("", "\n", "# between\n"))
        return "".join(lines)

    def document(self):
        text = self.pairs(())
        for number in range(self.draw(st.integers(0, 3))):
            if self.choose(True, False):
                text += f"[ t{number} ] # [x]\n" + self.pairs((f"t{number}",))
                continue
            for place in range(self.draw(st.integers(1, 3))):
                name = f"list{number}"
                text += f"[[{name}]]\n" + self.pairs((name, place))
                if self.choose(True, False):
                    text += f"[{name}.sub]\n" + self.pairs((name, place, "sub"))
                for deeper in range(self.draw(st.integers(0, 2))):
                    text += f"[[{name}.more]]\n" + self.pairs((name, place, "more", deeper))
        return text


@st.composite
def documents(draw):
    writer = Writer(draw)
    return writer.document(), writer.leaves


def paths_of(node, path=()):
    if path:
        yield path
    entries = node.items() if isinstance(node, dict) else enumerate(node)
    for name, value in entries:
        if isinstance(value, (dict, list)):
            yield from paths_of(value, (*path, name))
        else:
            yield (*path, name)


@settings(max_examples=80, deadline=None)
@given(documents())
def test_scanner_finds_what_tomllib_reads(document):
    """Every path that tomllib reads has a spot, no other has, and each leaf stands at its spot."""
    text, leaves = document
    data = tomllib.loads(text)
    spots = find_spots(text)
    assert set(spots) == set(paths_of(data))
    for path, literal in leaves.items():
        assert text[spots[path].value :].startswith(literal)


def test_places_by_hand():
    """Lines and columns of a text counted by hand."""
    text = 'title = "x"\n\n[machine]\n  screen = [320,\n    224]\n'
    text += "[[layer]]\na.b = {c = 1}\n[[layer]]\n"
    spots = find_spots(text)
    where = {path: line_and_column(text, spot.value) for path, spot in spots.items()}
    assert where[("title",)] == (1, 9)
    assert where[("machine",)] == (3, 1)
    assert line_and_column(text, spots[("machine", "screen")].key) == (4, 3)
    assert where[("machine", "screen", 0)] == (4, 13)
    assert where[("machine", "screen", 1)] == (5, 5)
    assert where[("layer", 0)] == (6, 1)
    assert where[("layer", 0, "a")] == (7, 1)
    assert where[("layer", 0, "a", "b", "c")] == (7, 12)
    assert where[("layer", 1)] == (8, 1)


@pytest.mark.parametrize("text", ["", "\n", "# only a comment", "a = 1", "[a]", "[[a]]"])
def test_texts_that_end_early(text):
    """A text may end anywhere that tomllib lets it."""
    assert set(find_spots(text)) == set(paths_of(tomllib.loads(text)))
