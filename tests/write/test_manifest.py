"""The manifest against its JSON Schema, by the jsonschema library, and against the backdrop."""

from __future__ import annotations

import hashlib
import json
import re
from fractions import Fraction

import numpy as np
import pytest
from sample import changed, make_backdrop

from genbg.errors import BytesError
from genbg.model import Depths, ErrorFigures, Figures
from genbg.write import manifest

FILES = [("still.png", 12, "ab" * 32), ("machine/tiles.bin", 1280, "01" * 32)]


@pytest.fixture(scope="module")
def validator():
    import jsonschema

    jsonschema.Draft202012Validator.check_schema(manifest.schema())
    return jsonschema.Draft202012Validator(manifest.schema())


def read(backdrop):
    return json.loads(manifest.manifest_bytes(backdrop, FILES))


@pytest.mark.parametrize("full", [False, True])
def test_the_manifest_keeps_its_schema(full, validator):
    """jsonschema finds nothing to say (JSON Schema, Draft 2020-12)."""
    validator.validate(read(make_backdrop(full=full)))


def leaves(value, path=()):
    """Paths of all keys and items below a JSON value."""
    items = value.items() if isinstance(value, dict) else enumerate(value)
    for key, item in items:
        yield (*path, key)
        if isinstance(item, dict | list):
            yield from leaves(item, (*path, key))


def test_the_schema_refuses_wrong_types_everywhere(validator):
    """No place of the manifest may hold a table of another kind, but under facts."""
    whole = read(make_backdrop(full=True))
    for path in leaves(whole):
        table = json.loads(json.dumps(whole))
        at = table
        for key in path[:-1]:
            at = at[key]
        at[path[-1]] = {"no": ["such", None]}
        if path[0] != "facts" and path[:1] != ("costs",):
            assert not validator.is_valid(table), path


def test_the_schema_asks_for_every_key(validator):
    """A key that is missing from the manifest or its tables is a fault; so is one too many."""
    whole = read(make_backdrop(full=True))
    for key in whole:
        assert not validator.is_valid({k: v for k, v in whole.items() if k != key}), key
    assert not validator.is_valid({**whole, "extra": 1})
    for table in ("tiles", "error", "preview", "memory"):
        for key in whole[table]:
            less = {k: v for k, v in whole[table].items() if k != key}
            assert not validator.is_valid({**whole, table: less}), (table, key)


def test_the_manifest_says_what_the_backdrop_says():
    """The keys that the contract names hold the backdrop's numbers."""
    backdrop = make_backdrop(full=True, step=Fraction(131071, 65536))
    table = read(backdrop)
    assert table["seed"] == 1
    assert table["machine"]["screen"] == [320, 224]
    assert table["machine"]["plane_cells"] == [64, 32]
    assert table["machine"]["window"] == [208, 224]
    assert table["machine"]["backdrop_entry"] == 17
    # common practice, no source: round(level * 255 / 7)
    assert table["machine"]["levels"] == [0, 36, 73, 109, 146, 182, 219, 255]
    assert table["tile_base"] == backdrop.tiles.base
    assert table["tiles"] == {"before": 60, "stored": 40, "budget": 45}
    assert table["error"]["oklab_mse"] == 0.000123457
    assert table["preview"]["frames"] == 6
    assert table["preview"]["fps"] == 59.92
    assert table["preview"]["camera_step"] * 65536 == 131071, "the step is exact, not rounded"
    assert table["preview"]["returns"] is True
    assert table["moods"] == ["home", "dusk", "dawn"]
    assert table["splits"][-1] == {"line": 160, "first": 63, "count": 1}
    assert table["curve"] == [[60, 0.0], [50, 0.00123457], [40, 0.0023]]
    assert table["files"] == [
        {"path": path, "bytes": size, "sha256": digest} for path, size, digest in sorted(FILES)
    ]


def test_memory_areas_lie_apart_and_aligned():
    """Maps at multiples of 8 KiB, tables at 1 KiB, no overlap (common practice, no source)."""
    table = read(make_backdrop(full=True))
    areas = table["memory"]["areas"]
    align = {
        "front map": 8192,
        "back map": 8192,
        "window map": 4096,
        "sprite table": 1024,
        "scroll table": 1024,
        "patterns": 32,
    }
    assert sorted(area["name"] for area in areas) == sorted(align)
    ends = 0
    for area in areas:
        assert area["start"] % align[area["name"]] == 0
        assert area["start"] >= ends
        ends = area["start"] + area["bytes"]
    assert ends <= table["memory"]["bytes"] == 65536


def test_the_same_backdrop_gives_the_same_bytes():
    """Nothing of the clock, of the machine or of the order of files gets in."""
    first = manifest.manifest_bytes(make_backdrop(full=True), FILES)
    assert first == manifest.manifest_bytes(make_backdrop(full=True), FILES[::-1])
    assert not re.search(rb"20\d\d-\d\d|/tmp|/home/", first)


def test_the_manifest_carries_its_own_hash():
    """manifest_sha256 is the SHA-256 of the file with 64 zeros in its place, and its last key."""
    data = manifest.manifest_bytes(make_backdrop(), FILES)
    digest = json.loads(data)["manifest_sha256"]
    assert list(json.loads(data))[-1] == "manifest_sha256"
    plain = data.replace(digest.encode(), b"0" * 64)
    assert hashlib.sha256(plain).hexdigest() == digest


@pytest.mark.parametrize(
    ("value", "written"),
    [
        (0.123456789, 0.123457),
        (1234567.0, 1234570.0),
        (-0.0, 0.0),
        (1e-300, 1e-300),
        (float("inf"), None),
        (float("nan"), None),
    ],
)
def test_figures_have_six_digits_and_are_json(value, written):
    """Six significant digits; what JSON has no number for is null."""
    assert repr(manifest.figure(value)) == repr(written)


def test_a_perfect_export_has_no_psnr(validator):
    """No difference is an infinite ratio, which JSON can't hold: psnr is null."""
    error = ErrorFigures(0.0, float("inf"), 1.0, 0.0)
    table = read(changed(make_backdrop(), error=error))
    assert table["error"]["psnr"] is None
    validator.validate(table)


def test_facts_are_made_plain():
    """Arrays, fractions and dataclasses in facts become lists, numbers and tables."""
    facts = {
        "ink": np.array([1, 2], np.uint8),
        "share": np.float64(0.12345678),
        "step": Fraction(1, 2),
        "error": ErrorFigures(1.0, 2.0, 3.0, 4.0),
        "lines": (1, None, True),
    }
    assert manifest.plain(facts, "facts") == {
        "ink": [1, 2],
        "share": 0.123457,
        "step": 0.5,
        "error": {"oklab_mse": 1.0, "psnr": 2.0, "ssim": 3.0, "seam": 4.0},
        "lines": [1, None, True],
    }


def test_what_json_cannot_say_is_named():
    """A fact of another kind is an error that names its key."""
    with pytest.raises(BytesError, match=r"a\.b\[1\] is a set, which JSON can't hold"):
        manifest.plain({"b": [1, {2, 3}]}, "a")


def test_facts_are_the_figures_that_there_are():
    """What was measured, by its name; what was not has no key."""
    figures = Figures(depths=Depths(5, 2, 2, 1), bound_mse=0.00012345678)
    table = read(changed(make_backdrop(), figures=figures))
    depths = {"all": 5, "back": 2, "front": 2, "sprites": 1}
    assert table["facts"] == {"depths": depths, "bound_mse": 0.000123457}


def test_bytes_without_a_hash_at_their_end_are_refused():
    """A manifest that was cut short is not resealed."""
    data = manifest.manifest_bytes(make_backdrop(), FILES)
    with pytest.raises(BytesError, match="does not end in its own hash"):
        manifest.reseal(data[:-1], "0" * 64)
