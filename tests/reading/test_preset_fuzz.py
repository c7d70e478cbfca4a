"""Whatever stands in a file, loading it gives a preset or a list of faults, and nothing else."""

from __future__ import annotations

import json
import re
import tomllib

from hypothesis import given, settings
from hypothesis import strategies as st

from genbg.errors import PresetError
from genbg.keys import keys_of
from genbg.preset import Preset
from genbg.preset.tables import TABLES, Layer, Mood
from genbg.reading import parse_preset

GOOD = """\
title = "Bay"
[machine]
tile_budget = 500
plane_cells = [64, 32]
[camera]
speed = 1.5
[[layer]]
paint = "sketch"
lines = [0, 96]
distance = [8, 2.5]
colours.rock = ["#102030", "#a0b0c0"]
[[layer]]
paint = "needy"
name = "hills"
lines = [96, 224]
amount = 3
[mood.night]
tint = "#000080"
colours.hills.snow = ["#ffffff"]
"""

PLACE = re.compile(r"p\.toml(:\d+:\d+)?\Z|--set ")

NAMES = sorted(
    {*keys_of(Preset), *keys_of(Layer), *keys_of(Mood), *TABLES, "layer", "mood", "0", "rock", "x"}
    | {name for table in TABLES.values() for name in keys_of(table)}
)
scalars = st.one_of(
    st.none(),
    st.booleans(),
    st.integers(-3, 300),
    st.sampled_from([10**12, 2**63, -(2**70), 0.5, 1e999, -1e999, float("nan")]),
    st.sampled_from(["sketch", "needy", "back", "home", "#00ff00", "#00ff0", "", "ä\n", "\x1b"]),
)
values = st.recursive(
    scalars,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3), st.dictionaries(st.sampled_from(NAMES), inner, max_size=4)
    ),
    max_leaves=12,
)


def toml(value):
    """A value as TOML; None becomes a date, which no key takes."""
    if value is None:
        return "1979-05-27"
    if isinstance(value, dict):
        return (
            "{" + ", ".join(f"{json.dumps(key)} = {toml(one)}" for key, one in value.items()) + "}"
        )
    if isinstance(value, list):
        return "[" + ", ".join(map(toml, value)) + "]"
    if isinstance(value, float):
        return repr(value)
    return json.dumps(value, ensure_ascii=False) if value != "\x1b" else '"\\u001b"'


def outcome(text, changes=()):
    """Load a text and hold the outcome to what is promised."""
    try:
        preset = parse_preset(text, place="p.toml", settings=changes)
    except PresetError as error:
        faults = error.faults
    else:
        assert isinstance(preset, Preset)
        return preset
    assert faults
    for fault in faults:
        assert PLACE.match(fault.where)
        assert fault.says
        assert "\n" not in str(fault)
    return faults


@settings(max_examples=80, deadline=None)
@given(st.dictionaries(st.sampled_from(NAMES), values, max_size=5))
def test_random_tables(data):
    """Random tables of known and unknown names."""
    text = "".join(f"{json.dumps(key)} = {toml(value)}\n" for key, value in data.items())
    tomllib.loads(text)
    outcome(text)


@settings(max_examples=80, deadline=None)
@given(st.lists(st.tuples(st.integers(0, len(GOOD)), st.integers(0, 3), st.text(max_size=3))))
def test_damaged_texts(damages):
    """A good preset with pieces cut out and others put in."""
    text = GOOD
    for place, length, piece in damages:
        text = text[:place] + piece + text[place + length :]
    outcome(text)


@settings(max_examples=80, deadline=None)
@given(
    st.lists(st.one_of(st.text(max_size=12), st.tuples(st.lists(st.sampled_from(NAMES)), values)))
)
def test_random_settings(changes):
    """Settings of any path and value, and settings that are none."""
    texts = [
        change if isinstance(change, str) else f"{'.'.join(change[0])}={toml(change[1])}"
        for change in changes
    ]
    outcome(GOOD, texts)


def test_good_preset_is_good():
    """The preset that is damaged above has no fault before."""
    assert isinstance(outcome(GOOD), Preset)
