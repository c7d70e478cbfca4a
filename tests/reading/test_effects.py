"""Splits, reflection, window, cycles, fade, waves: what is right, and each limit passed by one."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from genbg.errors import PresetError
from genbg.reading import parse_preset

SEA = """
[[layer]]
paint = "sketch"
name = "sea"
lines = [0, 112]
steps.snow = 4
[[layer]]
paint = "sketch"
name = "cape"
plane = "front"
lines = [16, 112]
[mood.night]
amount = 0.5
"""
SPLIT = "[[split]]\nline = 100\n"
MIRROR = "[reflection]\nline = 112\n"
WINDOW = "[window]\nrows = [0, 3]\n"
CYCLE = '[[cycle]]\nlayer = "sea"\nramp = "snow"\n'
FADE = '[fade]\nto = "night"\n'


def test_absent_tables_are_nothing():
    """A preset without them has none."""
    preset = parse_preset(SEA)
    assert (preset.splits, preset.cycles) == ((), ())
    assert (preset.reflection, preset.window, preset.fade) == (None, None, None)


def test_all_of_them_at_once():
    """Every table arrives, in the types and with the defaults that it has."""
    preset = parse_preset(
        SEA
        + SPLIT
        + 'tint = "#0000FF"\ncolours.sea.rock = ["#000000"]\n'
        + 'moods.night.cape.snow = ["#ffffff"]\n'
        + "[[split]]\nline = 200\n"
        + MIRROR
        + 'plane = "back"\nripple = 2\n'
        + WINDOW
        + CYCLE
        + 'first = 1\ndirection = "swing"\n'
        + FADE
    )
    first, second = preset.splits
    assert (first.line, first.tint, first.amount, second.line) == (100, "#0000ff", 0.0, 200)
    assert first.colours == {"sea": {"rock": ("#000000",)}}
    assert first.moods == {"night": {"cape": {"snow": ("#ffffff",)}}}
    assert (preset.reflection.plane, preset.reflection.ripple) == ("back", 2.0)
    assert preset.window.rows == (0, 3)
    (cycle,) = preset.cycles
    assert (cycle.first, cycle.last, cycle.frames, cycle.direction) == (1, None, 8, "swing")
    assert (preset.fade.to, preset.fade.frames, preset.fade.hold) == ("night", 240, 60)


def test_waves_are_keys_of_a_layer():
    """A layer is still unless it says how far it sways."""
    layer = parse_preset(SEA).layers[0]
    assert (layer.wave, layer.wave_lines, layer.wave_frames) == (0.0, 32.0, 128)


SIXTEEN = "".join(f"[[split]]\nline = {10 + 10 * n}\n" for n in range(17))
NINE = "".join(CYCLE + f"first = {n}\nlast = {n + 1}\n" for n in range(9))
TALL = "[machine]\nscreen = [320, 240]\nplane_cells = [64, 32]\n"

LIMITS = [
    (SPLIT.replace("100", "0"), "split.0.line = 0: must be a whole number from 1 to 239 (lines)"),
    (
        SPLIT.replace("100", "224"),
        "split.0.line = 224: must be from 1 to 223, a line of the screen",
    ),
    (
        TALL + SPLIT.replace("100", "240"),
        "split.0.line = 240: must be a whole number from 1 to 239",
    ),
    (
        SPLIT + SPLIT,
        "split.1.line = 100: must be greater than 100, the line of the split before it",
    ),
    (SIXTEEN, "split = [{...}"),
    (SPLIT + "amount = 1.1\n", "split.0.amount = 1.1: must be a number from 0 to 1"),
    (SPLIT + 'tint = "blue"\n', 'split.0.tint = "blue": must be a colour as'),
    (SPLIT + 'colours.see.rock = ["#000000"]\n', "split.0.colours.see: unknown layer; allowed"),
    (SPLIT + 'colours.sea.rok = ["#000000"]\n', 'split.0.colours.sea.rok = ["#000000"]: unknown'),
    (SPLIT + 'moods.nigt.sea.rock = ["#000000"]\n', "split.0.moods.nigt: unknown mood; allowed"),
    ("[[split]]\namount = 0.5\n", "split.0.line: is required and missing"),
    (
        MIRROR.replace("112", "104"),
        "reflection.line = 104: must be from 112 to 216: below it no more lines are shown",
    ),
    (MIRROR.replace("112", "113"), "reflection.line = 113: must be a multiple of 8, so that whole"),
    (MIRROR.replace("112", "224"), "reflection.line = 224: must be from 112 to 216"),
    (MIRROR.replace("112", "233"), "reflection.line = 233: must be a whole number from 8 to 232"),
    (
        MIRROR + 'plane = "bak"\n',
        'reflection.plane = "bak": must be "both", "back" or "front"; did',
    ),
    (MIRROR + "ripple = 33\n", "reflection.ripple = 33: must be a number from 0 to 32 (pixels)"),
    (MIRROR + "ripple_lines = 1\n", "reflection.ripple_lines = 1: must be a number from 2 to 1024"),
    (MIRROR + "ripple_frames = 1\n", "reflection.ripple_frames = 1: must be a whole number from 2"),
    (WINDOW.replace("3", "29"), "window.rows = [0, 29]: must lie within 0 to 28, the rows of the"),
    (WINDOW.replace("3", "28"), "window.rows = [0, 28]: must leave a row: the screen has 28"),
    (WINDOW.replace("0, 3", "1, 3"), "window.rows = [1, 3]: must begin at row 0 or end at row 28"),
    (WINDOW.replace("0, 3", "3, 3"), "window.rows = [3, 3]: the first row must be above (less"),
    (CYCLE.replace("sea", "see"), 'cycle.0.layer = "see": unknown layer; this preset has "sea" or'),
    (
        CYCLE.replace("snow", "snaw"),
        'cycle.0.ramp = "snaw": unknown ramp; the painter "sketch" has',
    ),
    (CYCLE + "last = 4\n", "cycle.0.last = 4: must be below 4, the inks of this ramp"),
    (CYCLE + "first = 4\n", "cycle.0.first = 4: must be below 4, the inks of this ramp"),
    (CYCLE + "first = 3\n", "cycle.0.first = 3: at least two of the 4 inks must take part"),
    (CYCLE + "first = 2\nlast = 2\n", "cycle.0.last = 2: must be greater than first: at least two"),
    (CYCLE + "frames = 0\n", "cycle.0.frames = 0: must be a whole number from 1 to 600 (frames)"),
    (CYCLE + "frames = 601\n", "cycle.0.frames = 601: must be a whole number from 1 to 600"),
    (
        CYCLE + "last = 2\n" + CYCLE + "first = 2\n",
        'cycle.1.ramp = "snow": ink 2 of this ramp is moved by cycle 0 already',
    ),
    (NINE, "cycle = [{...}"),
    (
        FADE.replace("night", "nigt"),
        'fade.to = "nigt": unknown mood; this preset has "home" or "ni',
    ),
    (FADE + "frames = 1\n", "fade.frames = 1: must be a whole number from 2 to 4096 (frames)"),
    (FADE + "hold = 4097\n", "fade.hold = 4097: must be a whole number from 0 to 4096 (frames)"),
    ("split = 3\n", "split = 3: must be tables, each begun with [[split]]"),
    ("window = 3\n", "window = 3: must be a table"),
]


@pytest.mark.parametrize(("text", "begins"), LIMITS)
def test_every_limit_has_its_message(text, begins):
    """One fault each, with place, key, value and what is allowed."""
    top = text if text.startswith(("split =", "window =")) else ""
    with pytest.raises(PresetError) as caught:
        parse_preset(top + SEA + ("" if top else text), place="p.toml")
    (fault,) = caught.value.faults
    place, _, told = str(fault).partition(": ")
    assert place.startswith("p.toml:")
    assert told.startswith(begins)


def test_too_many_are_counted():
    """More tables than a frame has time for, and more than anybody needs."""
    for text, says in ((SIXTEEN, "17 of them; allowed are at most 16"), (NINE, "9 of them")):
        with pytest.raises(PresetError, match=says):
            parse_preset(SEA + text)


@pytest.mark.parametrize(
    ("key", "value"), [("wave", 33), ("wave", -1), ("wave_lines", 1.9), ("wave_frames", 1)]
)
def test_waves_have_limits(key, value):
    """Far, short and fast waves are told."""
    with pytest.raises(PresetError, match=rf"layer\.0\.{key} = {value}: must be a"):
        parse_preset(SEA, settings=[f"layer.0.{key}={value}"])


def test_layers_must_not_reach_into_their_reflection():
    """What lies on mirrored lines of its plane is told; the other plane is free."""
    low = SEA.replace("lines = [16, 112]", "lines = [16, 113]")
    with pytest.raises(PresetError) as caught:
        parse_preset(low + MIRROR, place="p.toml")
    (fault,) = caught.value.faults
    assert str(fault).startswith(
        "p.toml:11:9: layer.1.lines = [16, 113]: must end at line 112 or above: from there on the "
        'front plane mirrors what is above (reflection.plane = "both")'
    )
    assert parse_preset(low + MIRROR + 'plane = "back"\n').reflection.plane == "back"


def test_settings_reach_every_key():
    """--set changes a split by its place, and a table by its name."""
    preset = parse_preset(SEA + SPLIT + MIRROR, settings=["split.0.line=90", "reflection.ripple=3"])
    assert preset.splits[0].line == 90
    assert preset.reflection.ripple == 3.0


def test_the_readmes_tables_are_right():
    """What the README shows of these tables loads, above layers that it speaks of."""
    text = (Path(__file__).parents[2] / "README.md").read_text("utf-8")
    (block,) = re.findall(r"```toml\n(\[\[split\]\]\n.*?)```", text, re.DOTALL)
    layers = '[[layer]]\npaint = "water"\nlines = [96, 144]\n[mood.night]\namount = 0.5\n'
    preset = parse_preset(layers + block)
    assert (len(preset.splits), preset.reflection.ripple) == (1, 2.0)
    assert (preset.cycles[0].ramp, preset.fade.to) == ("glitter", "night")


def faults_of(text: str) -> str:
    with pytest.raises(PresetError) as caught:
        parse_preset(text)
    return str(caught.value)


def test_a_fault_of_a_layer_hides_none_of_what_names_layers():
    """A layer with a fault has its name and painter all the same: what names it is right, and what
    names none is told with the rest."""
    broken = SEA.replace('plane = "front"', 'plane = "middle"')
    told = faults_of(broken + CYCLE.replace('"sea"', '"watr"'))
    assert "layer.1.plane" in told
    assert 'cycle.0.layer = "watr": unknown layer; this preset has "sea" or "cape"' in told
    told = faults_of(broken + '[mood.night.colours.cape]\nsnow = ["#000000", "#ffffff"]\n' + CYCLE)
    assert told.count("\n") == 0
    assert "layer.1.plane" in told
    told = faults_of(broken + CYCLE.replace('"snow"', '"snoww"').replace('"sea"', '"cape"'))
    assert "cycle.0.ramp" in told


def test_where_a_layers_name_is_not_known_nothing_is_looked_up():
    """A painter that does not exist could have any name and any ramps."""
    told = faults_of(SEA.replace('paint = "sketch"\nname = "cape"', 'paint = "sketchh"') + CYCLE)
    assert "unknown painter" in told
    assert "cycle" not in told
