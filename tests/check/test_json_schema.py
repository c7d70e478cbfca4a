"""The small schema validator against the jsonschema library, which knows the whole standard."""

from __future__ import annotations

import json

import jsonschema
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from sample import make_backdrop

from genbg.check.json_schema import find_faults
from genbg.write import manifest

FILES = [("still.png", 12, "ab" * 32)]
SCHEMA = manifest.schema()


JUDGE = jsonschema.Draft202012Validator(SCHEMA)


WHOLE = manifest.manifest_bytes(make_backdrop(full=True), FILES)


def whole():
    return json.loads(WHOLE)


def places(value, path=()):
    items = list(value.items()) if isinstance(value, dict) else list(enumerate(value))[:3]
    for key, item in items:
        yield (*path, key)
        if isinstance(item, dict | list):
            yield from places(item, (*path, key))


VALUES = st.one_of(
    st.sampled_from([None, True, False, "", "home", "../x", "a/b", "line", "back", "ab" * 32]),
    st.sampled_from([0, 1, -1, 63, 64, 255, 256, 2047, 2048, 2049, 65536, 2**63 - 1, 2**63]),
    st.sampled_from([0.5, 1e9 + 0.5, "0.1.0", "not a version"]),
    st.sampled_from([[], [1], [1, 2], [0.5, 1], ["a", "a"], [1, 2, 3], [[1, 2]], [[1.5, 2]]]),
    st.sampled_from([{}, {"name": "x"}]),
)


@settings(max_examples=250, deadline=None, derandomize=True)
@given(
    path=st.sampled_from(sorted(places(whole()), key=str)),
    way=st.sampled_from(["change", "change again", "remove", "add"]),
    value=VALUES,
)
def test_both_validators_judge_alike(path, way, value):
    """A key changed, removed or added anywhere: valid for one is valid for the other."""
    table = whole()
    at = table
    for key in path[:-1]:
        at = at[key]
    if way == "remove":
        del at[path[-1]]
    elif way != "add":
        at[path[-1]] = value
    elif isinstance(at, dict):
        at["more"] = value
    else:
        at.append(value)
    assert (find_faults(table, SCHEMA) == []) == JUDGE.is_valid(table)


def test_the_schema_uses_no_word_that_the_validator_does_not_know():
    """A keyword that nobody reads would be a check that can't fail."""
    known = {"$schema", "$id", "$ref", "$defs", "title", "description", "type", "const", "enum"}
    known |= {"anyOf", "minimum", "maximum", "pattern", "minItems", "maxItems", "uniqueItems"}
    known |= {"maxLength"}
    known |= {"items", "prefixItems", "required", "properties", "additionalProperties"}

    def words(part):
        if not isinstance(part, dict):
            return
        for key, value in part.items():
            assert key in known, key
            if key in ("properties", "$defs"):
                for below in value.values():
                    words(below)
            elif key in ("items", "additionalProperties"):
                words(value)
            elif key in ("anyOf", "prefixItems"):
                for below in value:
                    words(below)
            if key == "pattern":
                assert value[0] == "^"
                assert value[-1] == "$"

    words(SCHEMA)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"seed": -1}, "seed: -1; allowed is 0 to 9223372036854775807"),
        ({"seed": 1.0}, "seed: 1.0 is not an integer"),
        ({"seed": True}, "seed: True is not an integer"),
        ({"mood": "a b"}, 'mood: "a b" does not match ^'),
        ({"mood": "home\n"}, 'mood: "home\n" does not match ^'),
        ({"moods": []}, "moods: 0 items; 1 to 64 are needed"),
        ({"moods": ["a", "a"]}, "moods: the same item twice"),
        ({"format": 2}, "format: 2; allowed is 1"),
        ({"more": 2}, 'the whole: the key "more" is unknown'),
        ({"curve": [[1]]}, "curve[0]: 1 items; 2 to 2 are needed"),
        ({"curve": [[1.5, 0]]}, "curve[0][0]: 1.5 is not an integer"),
        ({"title": "x" * 9, "name": ["x"]}, "name: a list is not a string"),
    ],
)
def test_a_fault_names_its_place_and_what_is_allowed(change, says):
    """Each message tells the place, the value and what would be right."""
    assert find_faults({**whole(), **change}, SCHEMA)[0].startswith(says)
