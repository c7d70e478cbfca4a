"""What the report says of splits, reflections, windows, waves and moving colours."""

from __future__ import annotations

from sample import make_backdrop

from genbg.pipeline import build
from genbg.reading import parse_preset
from genbg.report.effects import effect_rows

LAKE = """
[[layer]]
paint = "sky"
lines = [0, 112]
body = "none"
[reflection]
line = 112
tint = "#4992b6"
amount = 0.6
ripple = 1
ripple_frames = 50
[window]
rows = [26, 28]
"""


def test_nothing_is_said_where_nothing_happens():
    """A plain backdrop has no line on any of them."""
    assert list(effect_rows(make_backdrop())) == []


def test_a_lake_in_words():
    """Hand-counted: 112 lines of 64 cells on two planes, one border, a ripple on each plane."""
    backdrop = build(parse_preset(LAKE))
    rows = dict(effect_rows(backdrop))
    assert list(rows) == ["splits", "reflection", "window", "waves"]
    assert rows["reflection"] == ("112 lines from line 112 on: 1792 cells, 0 patterns of their own")
    assert rows["window"] == "lines 208 to 223, kept for the game; its map takes 4096 bytes"
    assert rows["waves"] == (
        "front lines 112 to 223 by 1 pixel every 50 frames; "
        "back lines 112 to 223 by 1 pixel every 50 frames"
    )
    (border,) = backdrop.proof.figures.splits
    assert rows["splits"].startswith(f"1: {border.colours} colours at line 112 over ")


def test_moving_colours_in_words():
    """The sample's script: five frames; three change, and what they change changes back."""
    rows = dict(effect_rows(make_backdrop(full=True)))
    script = make_backdrop(full=True).colours.scripts["home"].tolist()
    counts, at = [], 1
    while at < len(script):
        counts.append(script[at + 1])
        at += 2 + 2 * script[at + 1]
    assert rows["moving colours"] == (
        f"5 frames, {len(counts)} of them change colours, at most {max(counts)} at once; "
        f"table of {2 * len(script)} bytes"
    )
    assert len(counts) >= 3
