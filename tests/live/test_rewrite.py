"""Values written back into a preset's text: nothing else in it changes."""

from __future__ import annotations

import difflib
import functools
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from genbg.errors import PresetError
from genbg.live.controls import control_groups, settings_of
from genbg.live.rewrite import RewriteError, meaning, put_value, rewrite
from genbg.reading import bundled_names, load_preset, parse_preset
from genbg.reading.bundled import find_bundled


def changed_lines(before: str, after: str) -> list[tuple[str, str]]:
    """Pairs of lines that differ, where both texts have as many lines."""
    pairs = list(zip(before.splitlines(), after.splitlines(), strict=True))
    return [(a, b) for a, b in pairs if a != b]


def test_values_change_and_comments_stay(small) -> None:
    """Only the lines of the values differ, and each keeps its comment and its column."""
    text = small.read_text()
    turned = {
        "seed": 9,
        "machine.tile_budget": 150,
        "layer.1.distance": 6.5,
        "layer.0.colours.sky": ["#000049", "#492492"],
        "mood.night.tint": "#000092",
    }
    assert changed_lines(text, rewrite(text, turned, small.parent)) == [
        ("seed = 3          # another number, another morning",
         "seed = 9          # another number, another morning"),
        ("tile_budget = 300  # the game needs the rest",
         "tile_budget = 150  # the game needs the rest"),
        ('colours.sky = ["#2449b6", "#92b6db", "#ffdbb6"]   # from the top down',
         'colours.sky = ["#000049", "#492492"]   # from the top down'),
        ("distance = 8.0     # far away", "distance = 6.5     # far away"),
        ('tint = "#242492"   # moonlight', 'tint = "#000092"   # moonlight'),
    ]  # fmt: skip


def test_new_keys_go_to_the_end_of_their_table(small) -> None:
    """A key that was not there stands behind the last one, before comments of what follows."""
    text = small.read_text()
    after = rewrite(text, {"machine.scroll": "strip", "layer.1.drift": 0.25}, small.parent)
    assert '# the game needs the rest\nscroll = "strip"\n\n# What all layers share.' in after
    assert "height = 0.6\ndrift = 0.25\n\n# Nearest." in after
    assert len(after.splitlines()) == len(text.splitlines()) + 2


def test_a_new_ramp_and_a_new_table(small) -> None:
    """Ramps are dotted keys of the layer; a table that is missing is opened at the end."""
    text = small.read_text()
    turned = {"layer.1.colours.grass": ["#246d24", "#6db649"], "camera.speed": 3.5}
    after = rewrite(text, turned, small.parent)
    assert 'height = 0.6\ncolours.grass = ["#246d24", "#6db649"]\n' in after
    assert after.endswith("[camera]\nspeed = 3.5\n")
    assert after.startswith(text[: text.index("height")])


def test_a_top_key_before_all_tables() -> None:
    """`seed` in a text that has none goes to the keys at its top, or to its first line."""
    layer = '[[layer]]\npaint = "sky"\nlines = [0, 224]\n'
    after = rewrite(f'# first\ntitle = "x" # t\n\n{layer}', {"seed": 5}, Path())
    assert after == f'# first\ntitle = "x" # t\nseed = 5\n\n{layer}'
    assert rewrite(layer, {"seed": 5}, Path()) == f"seed = 5\n{layer}"


def test_arrays_over_several_lines(small) -> None:
    """A key behind a value of several lines stands after the last of them."""
    text = small.read_text().replace("lines = [96, 160]", "lines = [\n  96, # from\n  160,\n]")
    text = text.replace("distance = 8.0     # far away\nheight = 0.6\n", "")
    after = rewrite(text, {"layer.1.distance": 5.0}, small.parent)
    assert "  160,\n]\ndistance = 5.0\n" in after


def test_line_ends_stay(small) -> None:
    """A file with carriage returns keeps them."""
    text = small.read_text().replace("\n", "\r\n")
    after = rewrite(text, {"seed": 4, "machine.scroll": "strip"}, small.parent)
    assert after.count("\r\n") == after.count("\n") == text.count("\n") + 1


def test_layouts_that_say_the_same_otherwise() -> None:
    """Inline tables and headers of ramps are understood too."""
    text = (
        'machine = { tile_budget = 300 }\n[[layer]]\npaint = "sky"\nlines = [0, 224]\n'
        '[layer.colours]\nsky = ["#000000", "#ffffff"]\n'
    )
    after = rewrite(text, {"machine.tile_budget": 250, "layer.0.colours.sky": ["#242424"]}, Path())
    assert "machine = { tile_budget = 250 }" in after
    assert 'sky = ["#242424"]' in after
    grown = rewrite(text, {"layer.0.drift": 0.5, "layer.0.steps.sky": 4}, Path())
    assert parse_preset(grown).layers[0].drift == 0.5


def test_what_fits_nowhere_is_refused() -> None:
    """A key for an inline table that has no line of its own is refused, or put so that it holds."""
    text = 'scene = { haze = "#000000" }\n[[layer]]\npaint = "sky"\nlines = [0, 224]\n'
    try:
        after = rewrite(text, {"scene.haze_half": 9.0}, Path())
    except (RewriteError, PresetError):
        return
    assert parse_preset(after).scene.haze_half == 9.0


def test_wrong_values_are_refused(small) -> None:
    """A value that the preset's keys do not allow is an error, as everywhere."""
    with pytest.raises(PresetError, match="tile_budget"):
        rewrite(small.read_text(), {"machine.tile_budget": 0}, small.parent)


@functools.cache
def controls_of(path):
    """Text of a preset and all its controls."""
    groups = control_groups(load_preset(path))
    return path.read_text("utf-8"), [one for group in groups for one in group["controls"]]


def other_value(control, draw):
    """A value that a control's key allows."""
    kind, low, high = control["kind"], control["low"], control["high"]
    if control["choices"]:
        return draw(st.sampled_from(control["choices"]))
    if kind == "bool":
        return draw(st.booleans())
    if kind in ("colour", "colours"):
        one = f"#{draw(st.integers(0, 0xFFFFFF)):06x}"
        return one if kind == "colour" else [one] * len(control["value"])
    if kind == "int":
        return draw(st.integers(int(low), int(min(high, 1 << 40))))
    if kind in ("float", "distance"):
        top = min(high, 100)
        return round(low + (top - low) * draw(st.integers(0, 20)) / 20, 4)
    return control["value"]


@pytest.mark.slow
@settings(
    max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture]
)
@given(st.data())
def test_any_control_of_any_bundled_preset(data) -> None:
    """One turned value changes one line or adds one, and the text then means that value."""
    path = find_bundled(data.draw(st.sampled_from(bundled_names())))
    text, controls = controls_of(path)
    control = data.draw(st.sampled_from(controls))
    if control["value"] is None:
        return
    turned = {control["path"]: other_value(control, data.draw)}
    try:
        wanted = parse_preset(text, folder=path.parent, settings=settings_of(turned))
    except PresetError:
        return
    after = rewrite(text, turned, path.parent)
    assert meaning(parse_preset(after, folder=path.parent)) == meaning(wanted)
    comments = [line for line in text.splitlines() if line.startswith("#")]
    assert [line for line in after.splitlines() if line.startswith("#")] == comments
    before, now = text.splitlines(), after.splitlines()
    matcher = difflib.SequenceMatcher(None, before, now, autojunk=False)
    changes = [one for one in matcher.get_opcodes() if one[0] != "equal"]
    assert len(changes) <= 1, "one place of the text differs"
    assert -16 <= len(now) - len(before) <= 3


def test_dotted_and_quoted_text() -> None:
    """tomlkit sets what stands there; strings are written as TOML."""
    assert put_value("a.b = 1 # c\n", ("a", "b"), 2) == "a.b = 2 # c\n"
