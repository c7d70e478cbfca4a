"""Faults that later stages find get the place of the key that they name."""

from __future__ import annotations

from genbg.errors import Fault, PresetError
from genbg.reading import load_preset, located, parse_preset

TEXT = """\
[[layer]]
paint = "sketch"
lines = [0, 96]
[[layer]]
paint = "sketch"
lines = [96, 224]
file = "a.png"
"""


def test_a_key_gets_its_line(tmp_path):
    """Keys are looked up in the file, below the table that the stage was given."""
    path = tmp_path / "bay.toml"
    path.write_text(TEXT)
    (tmp_path / "a.png").write_bytes(b"")
    preset = load_preset(path)
    error = PresetError(Fault("", "file", '"a.png"', "is no picture"))
    told = str(located(preset, error.below("layer.1")))
    assert told == f'{path}:7:8: layer.1.file = "a.png": is no picture'
    error = PresetError(Fault("", "layer.0.distance", "", "no good", "drift"))
    told = str(located(preset, error))
    assert told == f'{path}:1:1: layer.0.distance: no good; did you mean "drift"?'


def test_a_setting_is_its_own_place():
    """A key that the command line set is told as that setting."""
    preset = parse_preset(TEXT, settings=["layer.1.distance=3"])
    told = str(located(preset, PresetError(Fault("", "layer.1.distance", "", "no good"))))
    assert told == "--set layer.1.distance=3: layer.1.distance = 3: no good"


def test_what_has_a_place_or_no_key_is_left():
    """Places that are known stay, and a fault of no key keeps its words."""
    preset = parse_preset(TEXT, name="bay")
    faults = [Fault("art.png", "", "", "too wide"), Fault("", "", "", "nothing works")]
    assert located(preset, PresetError(faults)).faults == tuple(faults)
