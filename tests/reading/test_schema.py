"""The JSON Schema of presets: it ships as made, takes good presets and refuses bad ones."""

from __future__ import annotations

import json
import tomllib

import jsonschema
import pytest

from genbg.keys import keys_of
from genbg.paint import table
from genbg.preset.tables import Layer
from genbg.reading import bundled_names, parse_preset
from genbg.reading.bundled import find_bundled
from genbg.reading.schema import SCHEMA_FILE, preset_schema, schema_text

GOOD = """\
title = "Bay"
seed = 3
[machine]
plane_cells = [64, 32]
[scene]
light = [0.5, 1]
[[layer]]
paint = "sketch"
lines = [0, 96]
distance = [8, 2.5]
roughness = 0.25
form = "sharp"
colours.rock = ["#102030", "#a0b0c0"]
steps.snow = 2
[[layer]]
paint = "needy"
name = "hills"
lines = [96, 224]
amount = 3
[mood.night]
tint = "#000080"
colours.hills.snow = ["#ffffff"]
"""

BAD = [
    ("seed = 3", "seed = -1"),
    ("seed = 3", "sead = 3"),
    ("seed = 3", "seed = true"),
    ('"Bay"', "3"),
    ("[64, 32]", "[64, 48]"),
    ("[64, 32]", "[128, 64]"),
    ("plane_cells", "plane_cels"),
    ("[0.5, 1]", "[0.5, 2]"),
    ("[0.5, 1]", "[0.5]"),
    ('"sketch"', '"skech"'),
    ("lines = [0, 96]", "lines = [0, 9999]"),
    ("lines = [0, 96]", ""),
    ("[8, 2.5]", "[8, 0]"),
    ("[8, 2.5]", '"far"'),
    ("roughness = 0.25", "roughness = 1.25"),
    ("roughness = 0.25", "amount = 1"),
    ('"sharp"', '"blunt"'),
    ("colours.rock", "colours.rok"),
    ("#a0b0c0", "#a0b0c"),
    ("steps.snow = 2", "steps.snow = 0"),
    ("amount = 3", "amount = 6"),
    ("amount = 3", ""),
    ('"hills"', '"Far Hills"'),
    ("#000080", "navy"),
    ("mood.night", "mood.home"),
    ("[mood.night]", "[mood.night]\ntnt = 1"),
]


@pytest.fixture
def validator():
    """The schema with the painters of the tests alone."""
    for name in set(table.PAINTERS) - {"sketch", "needy"}:
        del table.PAINTERS[name]
    schema = preset_schema()
    jsonschema.Draft202012Validator.check_schema(schema)
    return jsonschema.Draft202012Validator(schema)


def test_good_preset_passes(validator):
    """What the checker takes, the schema takes."""
    parse_preset(GOOD)
    assert list(validator.iter_errors(tomllib.loads(GOOD))) == []


@pytest.mark.parametrize(("good", "bad"), BAD)
def test_bad_preset_fails(validator, good, bad):
    """What the checker refuses, the schema refuses, each of these by itself."""
    assert GOOD.count(good) == 1
    text = GOOD.replace(good, bad)
    assert not validator.is_valid(tomllib.loads(text))
    with pytest.raises(Exception, match=r"p\.toml:"):
        parse_preset(text, place="p.toml")


def test_every_key_is_described(validator):
    """An editor can show a sentence at each key of a layer and of its painter."""
    layer = validator.schema["properties"]["layer"]["items"]
    assert set(layer["properties"]) == set(keys_of(Layer))
    for schema in layer["properties"].values():
        assert schema["description"]
    conditions = {one["if"]["properties"]["paint"]["const"] for one in layer["allOf"]}
    assert conditions == set(table.PAINTERS)


def test_every_painter_describes_its_keys_and_ramps():
    """The keys and ramps of every painter have a sentence each."""
    for name in table.PAINTERS:
        art = table.painter(name)
        abouts = [art.about, *(ramp.about for ramp in art.ramps)]
        abouts += [described.about for described in keys_of(art.params).values()]
        assert all(about.strip() for about in abouts), name


def test_no_painter_takes_a_name_of_the_layer():
    """The keys of a painter stand beside those of its layer and must not hide one."""
    for name in table.PAINTERS:
        assert not set(keys_of(table.painter(name).params)) & set(keys_of(Layer))


def test_shipped_file_is_up_to_date():
    """The shipped file is what the keys give; `python -m genbg.reading.schema` remakes it."""
    for name in ("sketch", "needy"):
        del table.PAINTERS[name]
    assert SCHEMA_FILE.read_text("utf-8") == schema_text()


def test_bundled_presets_pass_the_shipped_schema():
    """Every bundled preset is right by the file that editors read."""
    validator = jsonschema.Draft202012Validator(json.loads(SCHEMA_FILE.read_text("utf-8")))
    names = bundled_names()
    assert names
    for name in names:
        data = tomllib.loads(find_bundled(name).read_text("utf-8"))
        assert list(validator.iter_errors(data)) == []
