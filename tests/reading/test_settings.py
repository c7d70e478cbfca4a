"""--set KEY=VALUE: reaches every key, and its faults name the setting as their place."""

from __future__ import annotations

import dataclasses

import pytest

from genbg.errors import PresetError
from genbg.keys import keys_of
from genbg.preset.tables import TABLES, Layer, Mood, Preset
from genbg.reading import parse_preset

TEXT = """\
title = "Bay"
[machine]
tile_budget = 500
[[layer]]
paint = "sketch"
lines = [0, 96]
distance = 8
[[layer]]
paint = "sketch"
lines = [96, 224]
[mood.night]
tint = "#000080"
"""


def load(*settings):
    return parse_preset(TEXT, place="p.toml", settings=settings)


def faults(*settings):
    with pytest.raises(PresetError) as caught:
        load(*settings)
    return [str(fault) for fault in caught.value.faults]


def test_settings_of_the_contract():
    """The settings that the program promises."""
    preset = load("machine.tile_budget=400", "layer.1.distance=6")
    assert preset.machine.tile_budget == 400
    assert [layer.distance for layer in preset.layers] == [8.0, 6.0]
    assert preset.settings == ("machine.tile_budget=400", "layer.1.distance=6")


def test_values_are_toml_or_bare_text():
    """A value is TOML where it parses as such, and else the text itself."""
    preset = load(
        "title=Low tide, = and #1",
        "seed = 9",
        "layer.1.colours.rock=['#102030','#a0b0c0']",
        "layer.0.colours={snow = ['#ffffff']}",
        "layer.0.high=true",
        "scene.haze=#aabbcc",
        'mood.night.tint="#ff0000"',
        "layer.0.form=sharp",
    )
    assert (preset.title, preset.seed) == ("Low tide, = and #1", 9)
    assert preset.layers[1].colours == {"rock": ("#102030", "#a0b0c0")}
    assert preset.layers[0].colours == {"snow": ("#ffffff",)}
    assert preset.layers[0].high is True
    assert preset.layers[0].params.form == "sharp"
    assert preset.scene.haze == "#aabbcc"
    assert preset.moods["night"].tint == "#ff0000"


def test_an_entry_of_an_array():
    """A place in an array can be set by itself; an array that is absent has no places."""
    text = "machine = {plane_cells = [64, 32]}\n" + TEXT.replace("[machine]", "[camera]").replace(
        "tile_budget = 500", ""
    )
    preset = parse_preset(text, settings=["machine.plane_cells.0=128", "layer.0.lines.1=80"])
    assert preset.machine.plane_cells == (128, 32)
    assert preset.layers[0].lines == (0, 80)


def test_last_setting_wins():
    """Settings are applied in order."""
    assert load("machine.tile_budget=0", "machine.tile_budget=400").machine.tile_budget == 400
    assert load("mood=home", "mood=night").mood == "night"


def test_mood_is_chosen_beside_the_moods_of_the_file():
    """`mood=night` chooses, `mood.night.amount` changes; both at once do both."""
    assert load().mood == "home"
    preset = load("mood=night", "mood.night.amount=0.5", "mood.noon.amount=1")
    assert preset.mood == "night"
    assert preset.moods["night"].amount == 0.5
    assert preset.moods["night"].tint == "#000080"
    assert list(preset.moods) == ["night", "noon"]


def test_every_key_can_be_set():
    """No key is out of reach: each, set to a wrong value, is the one that is complained about."""
    paths = list(keys_of(Preset))
    paths += [f"{name}.{key}" for name, table in TABLES.items() for key in keys_of(table)]
    paths += [f"layer.1.{key}" for key in [*keys_of(Layer), "roughness", "spacing", "form"]]
    paths += [f"mood.night.{key}" for key in keys_of(Mood)]
    for path in paths:
        setting = f"{path}=[[1979-05-27]]"
        found = faults(setting)
        assert len(found) == 1
        assert found[0].startswith(f"--set {setting}: {path}")


def test_no_setting_changes_nothing():
    """Setting a key to its value gives the preset that the file gives."""
    plain, same = load(), load("machine.tile_budget=500")
    assert dataclasses.replace(same, settings=()) == plain


WRONG = [
    ("layer.1.distnce=6", "layer.1.distnce = 6: unknown key of a layer painted by", "distance"),
    ("machne.tile_budget=6", "machne: unknown key or table; allowed here: title", "machine"),
    ("machine.tile_budgt=6", "machine.tile_budgt = 6: unknown key; allowed", "tile_budget"),
    ("layer.2.distance=6", "layer.2: no such entry; there are 2, counted 0 to 1", None),
    ("layer.-1.distance=6", "layer.-1: no such entry; there are 2, counted 0 to 1", None),
    ("layer.first.distance=6", "layer.first: no such entry; there are 2, counted 0 to 1", None),
    ("layer.99999999.distance=6", "layer.99999999: no such entry; there are 2, counted", None),
    ("title.x=6", "title.x: title has no keys of its own", None),
    ("layer.0.distance.0=6", "layer.0.distance.0: layer.0.distance has no keys of its own", None),
    ("mood=nigt", 'mood = "nigt": unknown mood; this preset has "home" or "night"', "night"),
    ("mood=3", 'mood = 3: unknown mood; this preset has "home" or "night"', None),
    ("layer.0.paint=skech", 'layer.0.paint = "skech": unknown painter; allowed are', "sketch"),
    (
        "layer.0.lines=[0, 9999]",
        "layer.0.lines.1 = 9999: must be a whole number from 0 to 1024",
        None,
    ),
    ("layer.1.lines.1=9", "layer.1.lines = [96, 9]: the first line must be above", None),
    ("split.0.line=9", "split.0: no such entry; there are 0", None),
    ("machine=3", "machine = 3: must be a table", None),
    ('layer.0."odd key"=3', 'layer.0."odd key" = 3: unknown key of a layer', None),
    ("tile_budget", "must be KEY=VALUE, as machine.tile_budget=400 or layer.2.distance=6", None),
    ("=5", "must be KEY=VALUE, as", None),
    ("", "must be KEY=VALUE, as", None),
    ("a..b=5", "must be KEY=VALUE, as", None),
    ("a b=5", "must be KEY=VALUE, as", None),
    ("a=1\nb=5", "a = ", None),
    ("[machine]=5", "must be KEY=VALUE, as", None),
]


@pytest.mark.parametrize(("setting", "says", "nearest"), WRONG)
def test_wrong_setting(setting, says, nearest):
    """The place of a fault is the setting as it was written."""
    (fault,) = faults(setting)
    shown = setting.replace("\n", "\\n")
    assert fault.startswith(f"--set {shown}: {says}")
    assert fault.endswith(f'; did you mean "{nearest}"?') == (nearest is not None)


def test_faults_of_file_come_before_those_of_settings():
    """The file first, in its order, then settings in the order of the command line."""
    text = TEXT + "[preview]\nframes = 0\n"
    with pytest.raises(PresetError) as caught:
        parse_preset(text, place="p.toml", settings=["bad", "seed=-1", "camera.speed=nan"])
    where = [fault.where for fault in caught.value.faults]
    assert where == ["p.toml:14:10", "--set seed=-1", "--set camera.speed=nan", "--set bad"]


def test_a_setting_can_mend_the_file():
    """What the command line replaces is not complained about."""
    text = TEXT.replace("500", "5000")
    assert parse_preset(text, settings=["machine.tile_budget=5"]).machine.tile_budget == 5


def test_a_mood_chosen_is_not_blamed_for_the_file():
    """A fault in a mood's table stays at its line, whatever mood is chosen."""
    with pytest.raises(PresetError) as caught:
        parse_preset(TEXT.replace("#000080", "navy"), place="p.toml", settings=["mood=night"])
    assert [fault.where for fault in caught.value.faults] == ["p.toml:12:8"]


def test_deep_nesting_is_taken_as_text():
    """A value that no reader gets through is a wrong text, not a crash."""
    for value in ("[" * 150, "[" * 13 + "]" * 13, "[" * 90 + "]" * 90):
        assert load(f"title={value}").title == value
    (fault,) = faults("title=" + "[" * 100_000)
    assert fault.startswith("--set title=[[[")
    assert len(fault) < 300
    (fault,) = faults("a" + ".a" * 5000 + "=1")
    assert fault.startswith("--set a.a.a.a")
