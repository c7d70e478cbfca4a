"""Splits, mirrors, windows and colour motion from the preset to the drawn frame."""

from __future__ import annotations

import itertools
from pathlib import Path

import numpy as np
import pytest
from scene_text import a_layer, scene

from genbg.check import check_export
from genbg.errors import LimitError, PresetError
from genbg.hardware.colour_word import word_to_number
from genbg.model import Backdrop
from genbg.pipeline import build
from genbg.reading import parse_preset
from genbg.screen.display import draw_frame, line_palettes, load_screen
from genbg.write.folder import write_export
from genbg.write.manifest import memory_table

SCENE = scene(
    a_layer("sky", [0, 112], body="none"),
    a_layer("ridge", [40, 112], name="cape", plane="front", distance=6),
    seed=4,
    machine={"tile_budget": 900},
    preview={"frames": 12},
    scene={"haze": "#b6b6db"},
)
FLOOR = scene(
    a_layer("water", [112, 224], name="strait", distance=[6, 1.5]),
)
NIGHT = '[mood.night]\ntint = "#4949b6"\namount = 0.8\n'
MIRROR = '[reflection]\nline = 112\ntint = "#4992b6"\namount = 0.6\n'


def numbers_of(backdrop: Backdrop, frame: int) -> np.ndarray:
    """Colour numbers (L, W) of a frame, line by line."""
    entries = draw_frame(load_screen(backdrop), frame)
    starts, words = line_palettes(backdrop, frame)
    zone = np.searchsorted(starts, np.arange(len(entries)), side="right") - 1
    return word_to_number(words)[zone[:, None], entries]


def settled(backdrop: Backdrop, tops: list[int]) -> np.ndarray:
    """Lines of the screen before which nothing is being rewritten, but the tops of segments."""
    busy = {split.line for split in backdrop.colours.splits} - set(tops)
    return np.array([line for line in range(backdrop.machine.screen[1]) if line not in busy])


@pytest.fixture(scope="module")
def mirrored() -> Backdrop:
    return build(parse_preset(SCENE + MIRROR))


def test_a_reflection_costs_no_tile(mirrored):
    """As many tiles as without it, before and after merging, and none of its own."""
    plain = build(parse_preset(SCENE))
    assert mirrored.tiles.before == plain.tiles.before
    assert len(mirrored.tiles.pixels) == len(plain.tiles.pixels)
    lower = np.concatenate([mirrored.maps[0][14:28], mirrored.maps[1][14:28]]) & 0x7FF
    upper = np.concatenate([mirrored.maps[0][:14], mirrored.maps[1][:14]]) & 0x7FF
    assert set(lower.ravel().tolist()) <= set(upper.ravel().tolist())
    assert mirrored.proof.figures.reflection.patterns == 0


def test_a_reflection_without_ripple_is_the_picture_upside_down(mirrored):
    """Every line shows the entries of the one that lies as far above the mirror."""
    for frame in (0, 5, 11):
        entries = draw_frame(load_screen(mirrored), frame)
        assert np.array_equal(entries[112:], entries[:112][::-1])


def test_a_reflections_colours_are_those_of_a_tint(mirrored):
    """Below the mirror a colour is what the same tint makes of it as a mood.

    The ridge has no ramp that shines by itself, the sky's gradient has neither, so a mood and a
    mirror of one tint have to agree.
    """
    mood = '[mood.blue]\ntint = "#4992b6"\namount = 0.6\nhaze = "#ffffff"\n'
    same = MIRROR + 'haze = "#ffffff"\n'
    lake = build(parse_preset(SCENE + same))
    blue = build(parse_preset(SCENE + mood, settings=["mood=blue"]))
    lines = settled(lake, [112])
    lines = lines[lines >= 112]
    shown, wanted = numbers_of(lake, 3)[lines], numbers_of(blue, 3)[223 - lines]
    assert np.array_equal(shown, wanted)


def test_a_split_changes_colours_from_its_line_on():
    """Above the line all is as without it, below as in a mood of the same tint."""
    split = '[[split]]\nline = 60\ntint = "#b64949"\namount = 0.7\nhaze = "#ffdbb6"\n'
    mood = '[mood.red]\ntint = "#b64949"\namount = 0.7\nhaze = "#ffdbb6"\n'
    backdrop = build(parse_preset(SCENE + split))
    plain, red = (
        build(parse_preset(SCENE)),
        build(parse_preset(SCENE + mood, settings=["mood=red"])),
    )
    lines = settled(backdrop, [60])
    shown = numbers_of(backdrop, 2)
    wanted = np.where(np.arange(224)[:, None] < 60, numbers_of(plain, 2), numbers_of(red, 2))
    drawn = lines[(lines < 112)]
    assert np.array_equal(shown[drawn], wanted[drawn])
    assert not np.array_equal(numbers_of(plain, 2), numbers_of(red, 2))


def test_rewrites_keep_to_the_machines_time():
    """At most colours_per_line before one line; fewer a line make the border longer."""
    split = '[[split]]\nline = 60\ntint = "#b64949"\namount = 0.7\n'
    for most in (9, 2):
        text = SCENE.replace("[machine]", f"[machine]\ncolours_per_line = {most}")
        backdrop = build(parse_preset(text + split))
        asked = {}
        for rewrite in backdrop.colours.splits:
            asked[rewrite.line] = asked.get(rewrite.line, 0) + len(rewrite.words["home"])
        (border,) = backdrop.proof.figures.splits
        assert max(asked.values()) <= most
        assert (min(asked), max(asked)) == (border.first, border.last)
        assert len(asked) >= -(-border.colours // most)


def test_from_the_fourth_split_a_warning_and_none_refused():
    """Common practice, no source: four or five rewrites a frame start to cost frame rate."""
    text = SCENE
    for number in range(5):
        text += f'[[split]]\nline = {20 + 16 * number}\ntint = "#{number}000ff"\namount = 0.9\n'
        told = [w for w in build(parse_preset(text)).warnings if "frame rate suffers" in w]
        assert len(told) == (number >= 3)


def test_other_layers_keep_their_colours_beside_a_reflection():
    """With plane = "back" the front plane is drawn below the line as it was painted."""
    text = SCENE + '[[layer]]\npaint = "ridge"\nname = "quay"\nplane = "front"\n'
    text += "lines = [176, 224]\ndistance = 1\n"
    backdrop = build(parse_preset(text + MIRROR + 'plane = "back"\n'))
    plain = build(parse_preset(text))
    assert np.array_equal(backdrop.proof.painted[0, 176:224], plain.proof.painted[0, 176:224])
    assert backdrop.proof.figures.reflection.patterns == 0
    lower = backdrop.proof.painted[1, 112:224] != backdrop.proof.painted[1, 0]
    assert lower.any()


def test_the_window_hides_the_front_plane_and_has_a_map():
    """On its lines nothing of the front plane is stored or drawn; its map is planned for."""
    text = SCENE.replace("lines = [40, 112]", "lines = [8, 112]")
    plain, barred = (
        build(parse_preset(text)),
        build(parse_preset(text + "[window]\nrows = [0, 3]\n")),
    )
    assert barred.moves.window == (0, 24)
    assert (barred.maps[0][:3] == barred.maps[0][0, 0]).all()
    assert barred.tiles.before < plain.tiles.before
    areas = {area["name"]: area["bytes"] for area in memory_table(barred)["areas"]}
    assert areas["window map"] == 4096  # 320 wide; common practice, no source
    assert "window map" not in {area["name"] for area in memory_table(plain)["areas"]}
    back = numbers_of(build(parse_preset(SCENE.replace("front", "back"))), 0)
    assert back.shape == numbers_of(barred, 0).shape


def test_a_cycle_comes_round(tmp_path: Path):
    """Colours of the ramp change places every so many frames; all else stays."""
    cycle = '[[cycle]]\nlayer = "strait"\nramp = "water"\nframes = 2\n'
    backdrop = build(parse_preset(SCENE + FLOOR + cycle))
    palette = backdrop.preview.palette
    assert palette is not None
    moving = (palette != palette[0]).any(axis=0)
    assert moving.any()
    assert all((palette[n] == palette[n + 1]).all() for n in range(0, 12, 2))
    assert all((palette[n] != palette[n + 2]).any() for n in range(0, 8, 2))
    for frame in range(0, 12, 2):
        assert sorted(set(palette[frame, moving])) == sorted(set(palette[0, moving]))
    assert int(backdrop.colours.scripts["home"][0]) == 12
    assert check_export(write_export(backdrop, tmp_path / "x", previews=False)) == []


def test_a_fade_arrives_at_the_other_mood():
    """At its end the colours are those of the mood it leads to, and at its start the own ones."""
    fade = '[fade]\nto = "night"\nframes = 6\nhold = 2\n'
    backdrop = build(parse_preset(SCENE + FLOOR + NIGHT + fade, settings=["preview.frames=16"]))
    palette = backdrop.preview.palette
    assert np.array_equal(palette[0], backdrop.colours.palettes["home"])
    assert np.array_equal(palette[8], backdrop.colours.palettes["night"])
    assert np.array_equal(palette[9], backdrop.colours.palettes["night"])
    for frame in range(1, 6):
        assert np.array_equal(palette[2 + frame], palette[-frame])
    assert int(backdrop.colours.scripts["night"][0]) == 16
    assert len(backdrop.colours.scripts["night"]) == 1, "who is at night already stays there"


@pytest.mark.parametrize(("mood", "told"), [("home", False), ("night", True)])
def test_a_fade_to_the_mood_shown_is_told(mood, told):
    """Nothing would be seen of it."""
    fade = '[fade]\nto = "night"\nframes = 4\nhold = 2\n'
    backdrop = build(parse_preset(SCENE + NIGHT + fade, settings=[f"mood={mood}"]))
    says = 'fade: "night" is the mood shown already, so no colour fades; show another mood'
    assert (says in backdrop.warnings) == told


def test_a_fade_below_a_split_takes_the_rewrites_along(tmp_path: Path):
    """Where rewrites hold colours that fade, the preview holds the rewrites of every frame."""
    split = '[[split]]\nline = 60\ntint = "#b64949"\namount = 0.7\n'
    fade = '[fade]\nto = "night"\nframes = 5\nhold = 1\n'
    backdrop = build(parse_preset(SCENE + NIGHT + split + fade))
    assert backdrop.preview.splits is not None
    night = build(parse_preset(SCENE + NIGHT + split, settings=["mood=night"]))
    lines = settled(backdrop, [60])
    assert np.array_equal(numbers_of(backdrop, 6)[lines, 0], numbers_of(night, 6)[lines, 0])
    assert check_export(write_export(backdrop, tmp_path / "x", previews=False)) == []


def test_a_cycle_that_nobody_sees_is_told():
    """The sky without a sun shows none of its inks."""
    cycle = '[[cycle]]\nlayer = "sky"\nramp = "body"\n'
    told = build(parse_preset(SCENE + cycle)).warnings
    assert any("cycle 0: no pixel shows an ink of this ramp" in text for text in told)


def test_periods_that_never_meet():
    """Cycles and a fade that come together too late are refused, with what to do."""
    cycles = '[[cycle]]\nlayer = "strait"\nramp = "water"\nframes = 599\n'
    fade = '[fade]\nto = "night"\nframes = 500\nhold = 1\n'
    with pytest.raises(LimitError, match="more divisors in common"):
        build(parse_preset(SCENE + FLOOR + NIGHT + cycles + fade))


@pytest.mark.parametrize("key", ["layer.1.wave=2", "reflection.ripple=2"])
def test_waves_need_lines_of_their_own(key):
    """A machine that scrolls by strips can't sway lines; the error says where and why."""
    preset = parse_preset(SCENE + MIRROR, settings=['machine.scroll="strip"', key])
    with pytest.raises(PresetError, match=r'needs machine.scroll = "line"; it is "strip"'):
        build(preset)


def test_the_same_preset_gives_the_same_backdrop():
    """Twice the same numbers, whatever was built between."""
    text = SCENE + MIRROR + "ripple = 2\n" + NIGHT + '[fade]\nto = "night"\nframes = 4\n'
    one, two = build(parse_preset(text)), build(parse_preset(text))
    for a, b in itertools.zip_longest(one.colours.splits, two.colours.splits):
        assert (a.line, a.first) == (b.line, b.first)
        assert all(np.array_equal(a.words[mood], b.words[mood]) for mood in a.words)
    assert np.array_equal(one.preview.scroll, two.preview.scroll)
    assert np.array_equal(one.colours.scripts["home"], two.colours.scripts["home"])


def test_each_zone_has_a_backdrop_of_its_own():
    """A layer in the colour that lies behind another zone is drawn, not left see-through there."""
    text = SCENE.replace('haze = "#b6b6db"', 'haze = "#b6b6db"\nbackdrop = "#924924"')
    text += '[[split]]\nline = 128\nbackdrop = "#000049"\n'
    text += '[[layer]]\npaint = "water"\nlines = [128, 192]\ncolours.water = ["#924924"]\n'
    backdrop = build(parse_preset(text))
    shown = numbers_of(backdrop, 0)
    lines = settled(backdrop, [128])
    water, deep = lines[(lines >= 136) & (lines < 192)], lines[lines >= 192]
    assert set(shown[deep].ravel().tolist()) == {2 << 6}
    assert set(shown[water].ravel().tolist()) == {1 << 6 | 2 << 3 | 4}
