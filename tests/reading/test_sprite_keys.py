"""Keys of vertical scroll, order and sprites: each limit passed by one has a message of its own."""

from __future__ import annotations

import pytest
from scene_text import a_layer, scene

from genbg.errors import PresetError
from genbg.reading import parse_preset

PLAIN = scene(
    a_layer("ridge", [96, 224], distance=8),
    a_layer("lanterns", [80, 160], distance=1, plane="sprites"),
)


def fault(*settings: str) -> str:
    """The one fault of the preset with these settings."""
    with pytest.raises(PresetError) as caught:
        parse_preset(PLAIN, settings=settings)
    (found,) = caught.value.faults
    return str(found)


GOOD = [
    ["layer.0.high_lines=[96, 224]"],
    ["layer.0.high_lines=[104, 112]", "layer.0.high_columns=[0, 512]"],
    ["layer.1.high_lines=[81, 99]"],
    ["layer.1.high=true"],
    ["machine.vertical=plane", "camera.dip=8", "layer.0.lines=[96, 256]"],
    ["machine.vertical=column", "camera.speed_y=-1", "columns.amplitude=[3, 0]"],
    ["machine.vertical=column", "columns.amplitude=[64, 64]", "columns.move=tilt"],
    ["sprites.reserve=80", "sprites.reserve_line=20", "sprites.reserve_pixels=320"],
    ["machine.sprites_line=12", "sprites.reserve_line=12"],
    ["machine.screen=[256, 224]", "sprites.reserve_line=16"],
    ["sprites.largest=24"],
]


@pytest.mark.parametrize("settings", GOOD)
def test_up_to_the_limit_all_is_well(settings):
    """Nothing is said as long as a limit holds."""
    parse_preset(PLAIN, settings=settings)


BAD = [
    (["layer.0.lines=[96, 225]"], "must lie within 0 to 224, the lines of the screen"),
    (
        ["machine.vertical=plane", "layer.0.lines=[96, 257]"],
        "must lie within 0 to 256, the lines of the plane",
    ),
    (["layer.0.high_lines=[96, 100]"], "must be multiples of 8: the priority bit is a cell's"),
    (
        ["layer.0.high_lines=[88, 104]"],
        "must lie within the layer's own lines, 96 to 224",
    ),
    (
        ["layer.1.high_lines=[80, 161]"],
        "must lie within the layer's own lines, 80 to 160",
    ),
    (
        ["layer.0.high_lines=[104, 104]"],
        "the first must be less than the second, which is not included",
    ),
    (
        ["layer.0.high=true", "layer.0.high_lines=[104, 112]"],
        "says where the layer is high, and `high = true` says everywhere",
    ),
    (["layer.0.high_columns=[0, 520]"], "must lie within 0 to 512, the columns of the plane"),
    (["layer.0.high_columns=[0, 12]"], "must be multiples of 8: the priority bit is a cell's"),
    (
        ["layer.1.high_columns=[0, 8]"],
        "is for the planes; a layer of sprites has high and high_lines",
    ),
    (
        ["layer.1.distance=[4, 2]"],
        "must be one number in a layer of sprites, which moves as one body",
    ),
    (["camera.dip=1"], 'machine.vertical is "none"; set it to "plane" or "column"'),
    (["camera.speed_y=0.5"], 'machine.vertical is "none"; set it to "plane" or "column"'),
    (["columns.amplitude=[3, 0]"], 'machine.vertical is "none"; columns need "column"'),
    (
        ["machine.vertical=plane", "columns.amplitude=[3, 0]"],
        'machine.vertical is "plane"; columns need "column"',
    ),
    (
        ["machine.vertical=column", "columns.amplitude=[65, 0]"],
        "must be a number from 0 to 64",
    ),
    (["camera.dip=513", "machine.vertical=plane"], "must be a number from 0 to 512 (pixels)"),
    (["camera.dip_frames=1"], "must be a whole number from 2 to 1024 (frames)"),
    (["sprites.reserve=81"], "must be a whole number from 0 to 80 (sprites)"),
    (
        ["machine.sprites_line=12", "sprites.reserve_line=13"],
        "must be at most 12, which is all that there are (machine.sprites_line)",
    ),
    (
        ["machine.screen=[256, 224]", "sprites.reserve_pixels=257"],
        "must be at most 256, which is all that there are (machine.sprite_pixels_line)",
    ),
    (["sprites.largest=20"], "must be 8, 16, 24 or 32"),
    (["sprites.largest=40"], "must be a whole number from 8 to 32 (pixels)"),
]


@pytest.mark.parametrize(("settings", "says"), BAD, ids=[" ".join(s) for s, _ in BAD])
def test_past_the_limit_one_message(settings, says):
    """The message says what is allowed, and nothing else is complained about."""
    assert says in fault(*settings)


def test_sprites_need_a_distance():
    """A layer of sprites has no line to go along with, so it must say how far away it is."""
    text = PLAIN.replace("lines = [80, 160]\ndistance = 1\n", "lines = [80, 160]\n")
    with pytest.raises(PresetError, match="is required in a layer of sprites, which has no line"):
        parse_preset(text)


@pytest.mark.parametrize(
    ("table", "key"),
    [
        ("[[split]]\nline = 100\n", "split.0.line"),
        ("[reflection]\nline = 160\n", "reflection.line"),
    ],
)
def test_splits_do_not_go_with_vertical_scroll(table, key):
    """A split stands still on the screen, the scenery does not."""
    text = PLAIN.replace("[96, 224]", "[96, 160]") + table
    parse_preset(text)
    with pytest.raises(PresetError, match=rf"{key} = \d+: stands at a line of the screen"):
        parse_preset('[machine]\nvertical = "plane"\n' + text)
