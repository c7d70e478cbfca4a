"""The kinds of keys: checker and JSON Schema agree about every value."""

from __future__ import annotations

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genbg.keys import KINDS, Key, check_value, listed, nearest_name, value_schema

KEYS = [
    Key("int", "", low=1, high=9),
    Key("int", ""),
    Key("float", "", low=-1, high=1),
    Key("float", "", high=4),
    Key("float", "", low=0.5),
    Key("bool", ""),
    Key("str", ""),
    Key("name", ""),
    Key("colour", ""),
    Key("choice", "", choices=("line", "strip")),
    Key("path", ""),
    Key("ints", "", low=0, high=9, length=2),
    Key("ints", "", choices=((1, 2), (3, 4))),
    Key("floats", "", low=0, high=9),
    Key("colours", ""),
    Key("names", ""),
    Key("distance", "", low=0.01, high=99),
    Key("ramp_colours", ""),
    Key("ramp_steps", "", low=1, high=9),
    Key("layer_colours", ""),
    Key("mood_colours", ""),
]

texts = st.sampled_from(["", "line", "#aabbcc", "#AABBC", "a-b", "A", "x" * 201, "hills.png"])
numbers = st.one_of(
    st.integers(-2, 10), st.sampled_from([0.0, 0.5, 1.5, -0.25, 98.5, 1e300, 10**12, -(10**12)])
)
scalars = st.one_of(numbers, texts, st.booleans())
values = st.recursive(
    scalars,
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.lists(st.just("#00ff00"), min_size=1, max_size=18),
        st.dictionaries(st.sampled_from(["rock", "snow"]), inner, max_size=2),
    ),
    max_leaves=6,
)


def faults_of(described, value):
    found = []
    check_value(described, value, lambda at, says, nearest: found.append((at, says)))
    return found


@pytest.mark.parametrize("described", KEYS, ids=lambda described: described.kind)
@settings(max_examples=60, deadline=None)
@given(value=values)
def test_checker_and_schema_agree(described, value):
    """A value passes the checker exactly if `jsonschema` lets it pass the schema of its key.

    The one difference is known: JSON has no whole numbers of its own, so 5.0 counts as whole there.
    """
    validator = jsonschema.Draft202012Validator(value_schema(described))
    wholes = isinstance(value, float) and value.is_integer()
    if wholes and described.kind in ("int", "ints", "ramp_steps"):
        return
    if "0.0" in repr(value) and described.kind in ("ints", "ramp_steps"):
        return
    assert validator.is_valid(value) == (not faults_of(described, value))


def test_every_kind_is_tried():
    """The keys above cover the table of kinds."""
    assert {described.kind for described in KEYS} == set(KINDS)


@pytest.mark.parametrize("described", KEYS, ids=lambda described: described.kind)
def test_message_says_what_is_allowed(described):
    """Each kind tells what it wants, and a value of no kind at all gets just that."""
    wants = KINDS[described.kind].wants(described)
    assert faults_of(described, object()) == [((), f"must be {wants}")]


def test_a_boolean_is_no_number():
    """Python counts True as 1; a preset does not."""
    for kind in ("int", "float"):
        assert faults_of(Key(kind, ""), True)


def test_clean_values():
    """Numbers become floats where floats are asked, arrays become tuples, colours small letters."""

    def clean(described, value):
        return check_value(described, value, lambda *fault: pytest.fail(str(fault)))

    assert repr(clean(Key("float", ""), 3)) == "3.0"
    assert clean(Key("ints", ""), [1, 2]) == (1, 2)
    assert clean(Key("colour", ""), "#AbCdEf") == "#abcdef"
    assert repr(clean(Key("distance", ""), 8)) == "8.0"
    assert clean(Key("distance", ""), [8, 1]) == (8.0, 1.0)
    assert clean(Key("ramp_colours", ""), {"rock": ["#FF0000"]}) == {"rock": ("#ff0000",)}


def test_names_in_messages():
    """Lists of names read as a sentence, and only a near name is suggested."""
    assert listed(()) == "nothing"
    assert listed(["a"]) == '"a"'
    assert listed(["a", "b", "c"]) == '"a", "b" or "c"'
    assert nearest_name("distnce", ["drift", "distance"]) == "distance"
    assert nearest_name("zzz", ["drift", "distance"]) is None
