"""Loading presets: what a good one becomes, and what every fault of a bad one is told as."""

from __future__ import annotations

import errno
import os
from fractions import Fraction
from pathlib import Path

import pytest

from genbg.errors import PresetError
from genbg.reading import load_preset, parse_preset
from genbg.reading.read import MAX_BYTES

LAYER = '[[layer]]\npaint = "sketch"\nlines = [0, 96]\n'


def faults_of(text, **options):
    """The faults of a text, each as one line."""
    with pytest.raises(PresetError) as caught:
        parse_preset(text, place="p.toml", **options)
    return [str(fault) for fault in caught.value.faults]


def test_smallest_preset():
    """One layer is enough; all else has the defaults that the contract names."""
    preset = parse_preset(LAYER, name="bay")
    assert (preset.title, preset.name, preset.seed, preset.mood) == ("bay", "bay", 0, "home")
    assert preset.machine.screen == (320, 224)
    assert preset.machine.plane_cells == (64, 32)
    assert preset.machine.tile_budget == 640
    assert preset.machine.scroll == "line"
    assert preset.camera.step == 2
    (layer,) = preset.layers
    assert (layer.name, layer.number, layer.plane, layer.lines) == ("sketch", 0, "back", (0, 96))
    assert (layer.distance, layer.drift, layer.high, layer.guard) == (None, 0.0, False, False)
    assert layer.params.roughness == 0.5


def test_full_preset():
    """Every table and key arrives, in the types that the dataclasses hold."""
    preset = parse_preset(
        """
        title = "Harbour"
        seed = 9223372036854775807
        [machine]
        plane_cells = [128, 32]
        levels = "measured"
        [camera]
        speed = 1
        [scene]
        light = [1, 0]
        haze = "#AABBCC"
        [preview]
        frames = 7
        [[layer]]
        paint = "sketch"
        lines = [8, 224]
        distance = [8, 1.5]
        drift = -1
        spacing = 3
        colours.rock = ["#000000", "#0000FF"]
        steps.snow = 2
        [[layer]]
        paint = "sketch"
        plane = "front"
        lines = [0, 8]
        thrift = 1
        [mood.night]
        amount = 1
        colours.sketch-2.snow = ["#ffffff"]
        """
    )
    assert preset.seed == 2**63 - 1
    assert preset.camera.speed == 1.0
    assert preset.scene.haze == "#aabbcc"
    first, second = preset.layers
    assert (first.name, second.name) == ("sketch", "sketch-2")
    assert first.distance == (8.0, 1.5)
    assert first.colours == {"rock": ("#000000", "#0000ff")}
    assert first.steps == {"snow": 2}
    assert type(second.thrift) is float
    assert preset.moods["night"].colours == {"sketch-2": {"snow": ("#ffffff",)}}


def test_camera_step_is_a_fixed_point_number():
    """A speed that 16.16 numbers can't hold is rounded to the nearest that they can."""
    step = parse_preset("[camera]\nspeed = 0.1\n" + LAYER).camera.step
    assert step == Fraction(6554, 65536)  # 0.1 * 65536 = 6553.6


def test_given_names_stand_and_others_go_round_them():
    """A layer's own name is kept; a layer without one takes the next that is free."""
    text = LAYER + LAYER + LAYER + 'name = "sketch-2"\n'
    assert [layer.name for layer in parse_preset(text).layers] == ["sketch", "sketch-3", "sketch-2"]


def test_all_faults_at_once_in_order_of_the_file():
    """Every fault is told, each with line, column, key, value, what is allowed, nearest name."""
    text = (
        "sead = 1\n"
        "[machine]\n"
        "  tile_budget = 3000\n"
        'scroll = "lines"\n'
        "[[layer]]\n"
        'paint = "skech"\n'
        "lines = [0, 96]\n"
        "[[layer]]\n"
        'paint = "sketch"\n'
        "lines = [0, true]\n"
        "roughnes = 1\n"
        'colours.rok = ["#000000"]\n'
        'colours.snow = ["#000000", "red"]\n'
    )
    top = "title, seed, machine, camera, scene, preview, sprites, source, "
    top += "cartridge, layer, mood, reflection, window, fade, columns, split, cycle"
    faults = faults_of(text)
    assert faults[0] == (
        f'p.toml:1:1: sead = 1: unknown key or table; allowed here: {top}; did you mean "seed"?'
    )
    assert faults[1] == (
        "p.toml:3:17: machine.tile_budget = 3000: must be a whole number from 1 to 2048 (patterns)"
    )
    assert faults[2] == (
        'p.toml:4:10: machine.scroll = "lines": must be "line", "strip" or "plane"; '
        'did you mean "line"?'
    )
    assert faults[3].startswith('p.toml:6:9: layer.0.paint = "skech": unknown painter; allowed are')
    assert faults[3].endswith('did you mean "sketch"?')
    assert (
        faults[4] == "p.toml:10:13: layer.1.lines.1 = true: must be a whole number from 0 to 1024"
    )
    assert faults[5].startswith(
        'p.toml:11:1: layer.1.roughnes = 1: unknown key of a layer painted by "sketch"; allowed'
    )
    assert faults[5].endswith('did you mean "roughness"?')
    assert faults[6] == (
        'p.toml:12:1: layer.1.colours.rok = ["#000000"]: unknown ramp of the painter "sketch"; '
        'allowed here: rock, snow; did you mean "rock"?'
    )
    assert faults[7] == (
        'p.toml:13:28: layer.1.colours.snow.1 = "red": must be a colour as "#rrggbb", two '
        "hexadecimal digits a channel"
    )
    assert len(faults) == 8


BIG = str(10**12)
PLANES = "[32, 32], [32, 64], [32, 128], [64, 32], [64, 64] or [128, 32]"
SCREENS = "[320, 224], [320, 232], [320, 240], [256, 224], [256, 232] or [256, 240]"
BUDGET = "must be a whole number from 1 to 2048 (patterns)"
SPEED = "must be a number from -64 to 64 (pixels a frame)"
DISTANCE = (
    "must be a number from 0.01 to 65536, or an array of two: at the layer's first line and at "
    "its last"
)
RANGED = "must be a number from 0.01 to 65536"
LINES = "must be an array of 2 whole numbers, each from 0 to 1024"
SEED = "must be a whole number from 0 to 9223372036854775807"
COLOUR = 'must be a colour as "#rrggbb", two hexadecimal digits a channel'

WRONG_VALUES = [
    ("machine", "tile_budget", "0", BUDGET),
    ("machine", "tile_budget", "2049", BUDGET),
    ("machine", "tile_budget", "-1", BUDGET),
    ("machine", "tile_budget", "true", BUDGET),
    ("machine", "tile_budget", "1.0", BUDGET),
    ("machine", "tile_budget", '"640"', BUDGET),
    ("machine", "tile_budget", BIG, BUDGET),
    ("machine", "plane_cells", "[128, 64]", f"must be {PLANES}"),
    ("machine", "plane_cells", "[64, 48]", f"must be {PLANES}"),
    ("machine", "plane_cells", "[64]", f"must be {PLANES}"),
    ("machine", "plane_cells", "64", f"must be {PLANES}"),
    ("machine", "plane_cells", "[64.0, 32]", f"must be {PLANES}"),
    ("machine", "plane_cells", f"[{BIG}, 32]", f"must be {PLANES}"),
    ("machine", "screen", "[640, 480]", f"must be {SCREENS}"),
    ("machine", "screen", "[0, 0]", f"must be {SCREENS}"),
    ("machine", "screen", "[320, -224]", f"must be {SCREENS}"),
    ("machine", "scroll", "1", 'must be "line", "strip" or "plane"'),
    ("camera", "speed", "nan", SPEED),
    ("camera", "speed", "inf", SPEED),
    ("camera", "speed", "-inf", SPEED),
    ("camera", "speed", "1e999", SPEED),
    ("camera", "speed", "1" + "0" * 50, SPEED),
    ("camera", "speed", '"2"', SPEED),
    ("camera", "speed", "false", SPEED),
    ("scene", "haze", '"blue"', COLOUR),
    ("scene", "haze", '"#12345"', COLOUR),
    ("scene", "haze", '"#1234567"', COLOUR),
    ("scene", "haze", '"#12345g"', COLOUR),
    ("scene", "haze", "0x123456", COLOUR),
    ("scene", "light", "[0.5]", "must be an array of 2 numbers, each from -1 to 1"),
    ("scene", "light", "[0, -0.5]", "the second number must be from 0 (low) to 1 (overhead)"),
    ("preview", "frames", "0", "must be a whole number from 1 to 1024 (frames)"),
    ("preview", "fps", "0", "must be a number from 1 to 60 (frames a second)"),
]


@pytest.mark.parametrize(("table", "key", "value", "says"), WRONG_VALUES)
def test_wrong_value(table, key, value, says):
    """A value of the wrong type or out of range is told with what is allowed."""
    (fault,) = faults_of(f"[{table}]\n{key} = {value}\n{LAYER}")
    assert fault.startswith(f"p.toml:2:{len(key) + 4}: {table}.{key} = ")
    assert says in fault


WRONG_IN_LAYER = [
    ("distance", "0", DISTANCE),
    ("distance", "-3.0", DISTANCE),
    ("distance", "nan", DISTANCE),
    ("distance", "inf", DISTANCE),
    ("distance", "true", DISTANCE),
    ("distance", "[1, 2, 3]", DISTANCE),
    ("distance", '"far"', DISTANCE),
    ("drift", "65", SPEED),
    ("plane", '"middle"', 'must be "back", "front" or "sprites"'),
    ("high", "1", "must be true or false"),
    ("guard", '"yes"', "must be true or false"),
    ("thrift", "1.5", "must be a number from 0 to 1"),
    ("name", '"Far Hills"', 'must be a name of at most 32 small letters, digits, "-" and "_"'),
    ("name", '"../up"', 'must be a name of at most 32 small letters, digits, "-" and "_"'),
    ("colours", "[]", "must be a table of ramps, each an array of colours"),
    ("colours.rock", "[]", 'must be an array of 1 to 16 colours as "#rrggbb"'),
    ("colours.rock", '"#000000"', 'must be an array of 1 to 16 colours as "#rrggbb"'),
    ("steps.rock", "0", "must be a whole number from 1 to 32"),
    ("steps", "5", "must be a table of ramps, each with its number of inks"),
    ("roughness", "1.01", "must be a number from 0 to 1"),
    ("form", '"rond"', 'must be "round" or "sharp"; did you mean "round"?'),
    ("file", '""', "must be the name of a file, relative to the preset's folder"),
    ("file", '"a\\u0000b"', "must be the name of a file, relative to the preset's folder"),
]


@pytest.mark.parametrize(("key", "value", "says"), WRONG_IN_LAYER)
def test_wrong_value_in_a_layer(key, value, says):
    """The keys of layers and of their painters are held to their limits alike."""
    (fault,) = faults_of(f"{LAYER}{key} = {value}\n")
    assert fault.startswith(f"p.toml:4:{len(key) + 4}: layer.0.{key} = ")
    assert fault.endswith(says)


WRONG_LINES = [
    ("[0, 225]", "must lie within 0 to 224, the lines of the screen"),
    ("[96, 64]", "the first line must be above (less than) the second, not included"),
    ("[96, 96]", "the first line must be above (less than) the second, not included"),
    ("[0]", LINES),
    ("[0, 1, 2]", LINES),
    ("{}", LINES),
]


@pytest.mark.parametrize(("lines", "says"), WRONG_LINES)
def test_wrong_lines(lines, says):
    """A band lies within the screen, its first line above its second."""
    (fault,) = faults_of(f'[[layer]]\npaint = "sketch"\nlines = {lines}\n')
    assert fault.startswith("p.toml:3:9: layer.0.lines")
    assert fault.endswith(says)


@pytest.mark.parametrize("place", [0, 1])
def test_one_number_of_two_is_wrong(place):
    """In an array the place is that of the entry."""
    values = ["1.0", "1.0"]
    values[place] = "-5"
    (fault,) = faults_of(f"{LAYER}distance = [{', '.join(values)}]\n")
    assert fault == f"p.toml:4:{13 + 5 * place}: layer.0.distance.{place} = -5: {RANGED}"


def test_taller_screen():
    """240 lines give layers room down to line 240, and need a board of 313 lines."""
    text = "[machine]\nscreen = [320, 240]\n" + LAYER.replace("96", "240")
    assert parse_preset(text).layers[0].lines == (0, 240)
    (fault,) = faults_of(text.replace("[320, 240]", "[320, 240]\nframe_lines = 262"))
    assert fault.endswith("frame_lines = 262: a screen of 240 lines needs at least 313")
    (fault,) = faults_of("[machine]\nscreen = [320, 232]\n" + LAYER)
    assert fault.endswith("the height must be 224, or 240 as tall_lines says")
    (fault,) = faults_of("[machine]\ntall_lines = 236\n" + LAYER)
    assert fault.endswith("machine.tall_lines = 236: must be 232 or 240")


STRUCTURE = [
    ("", "p.toml:1:1: layer: 0 layers; allowed are 1 to 64, each begun with [[layer]]"),
    ("layer = []", "p.toml:1:9: layer = []: 0 layers; allowed are 1 to 64, each begun with"),
    (LAYER * 65, "p.toml:1:1: layer = [{...}, "),
    ("layer = 3", "p.toml:1:9: layer = 3: must be tables, each begun with [[layer]]"),
    ("[layer]\na = 1", "p.toml:1:1: layer: must be tables, each begun with [[layer]]"),
    ("layer = [1]", "p.toml:1:9: layer = [1]: must be tables, each begun with [[layer]]"),
    (f"machine = 3\n{LAYER}", "p.toml:1:11: machine = 3: must be a table"),
    (f"{LAYER}[[camera]]\n", "p.toml:4:1: camera = [{...}]: must be a table"),
    (f"title = 3\n{LAYER}", "p.toml:1:9: title = 3: must be a text of one line, at most 200"),
    (f'title = "a\\nb"\n{LAYER}', 'p.toml:1:9: title = "a\\nb": must be a text of one line'),
    (f"title = 1979-05-27\n{LAYER}", "p.toml:1:9: title = 1979-05-27: must be a text"),
    (f"seed = -1\n{LAYER}", f"p.toml:1:8: seed = -1: {SEED}"),
    (f"seed = {2**63}\n{LAYER}", f"p.toml:1:8: seed = {2**63}: {SEED}"),
    (f"seed = 0x1{'0' * 5000}\n{LAYER}", "p.toml:1:8: seed = a whole number of 20001 bits: must"),
    ('[[layer]]\npaint = "sketch"', "p.toml:1:1: layer.0.lines: is required and missing (Screen"),
    ("[[layer]]\nlines = [0, 8]", "p.toml:1:1: layer.0.paint: is required and missing (The painte"),
    ("[[layer]]\nlines = [0, 8]\npaint = 3", "p.toml:3:9: layer.0.paint = 3: must be a text of"),
    (LAYER.replace("sketch", "needy"), "p.toml:1:1: layer.0.amount: is required and missing (How"),
    (f'{LAYER}form = "sharp"\nspacing = 3', "p.toml:5:11: layer.0.spacing = 3: must be at least 4"),
    (f"{LAYER}[[tide]]\nline = 3", "p.toml:4:1: tide = [{...}]: unknown key or table; allowed"),
    (f"{LAYER}[harbour]\n", "p.toml:4:1: harbour: unknown key or table; allowed here: title,"),
]


@pytest.mark.parametrize(("text", "begins"), STRUCTURE)
def test_wrong_structure(text, begins):
    """Tables where keys should be, keys that are missing, keys nobody knows."""
    (fault,) = faults_of(text)
    assert fault.startswith(begins)


def test_a_misspelt_paint_is_named():
    """Without a painter nobody knows a layer's keys, but what was meant for `paint` is told."""
    required, misspelt = faults_of(LAYER.replace("paint", "pant"))
    assert required == "p.toml:1:1: layer.0.paint: is required and missing (The painter)"
    assert misspelt.startswith('p.toml:2:1: layer.0.pant = "sketch": unknown key; allowed here: ')
    assert misspelt.endswith('did you mean "paint"?')


@pytest.mark.parametrize("layers", ["layer = 3\n", "layer = [1]\n", ""])
def test_layers_that_are_none_are_told_alone(layers):
    """What names a layer is not looked up where there are no layers: it may well be right."""
    names = '[mood.night.colours.sketch]\nrock = ["#000000"]\n[[split]]\nline = 9\n'
    names += '[split.colours.sketch]\nrock = ["#000000"]\n[[cycle]]\nlayer = "sketch"\nramp = "x"\n'
    (fault,) = faults_of(layers + names)
    assert fault.startswith("p.toml:1:")
    assert ": layer" in fault


def test_names_of_layers_are_their_own():
    """Two layers of one name would share a file of the export."""
    (fault,) = faults_of((LAYER + 'name = "hills"\n') * 2)
    assert fault == 'p.toml:8:8: layer.1.name = "hills": another layer has this name already'


MOODS = [
    ("[mood.home]", 'p.toml:4:1: mood.home: "home" are the preset\'s own colours; give the mood'),
    ('mood = "dusk"', 'p.toml:4:1: layer.0.mood = "dusk": unknown key of a layer'),
    ("[mood.night]\namount = 2", "p.toml:5:10: mood.night.amount = 2: must be a number from 0"),
    ("[mood.night]\ntnt = 2", "p.toml:5:1: mood.night.tnt = 2: unknown key; allowed here: tint,"),
    ("[mood]\nnight = 2", "p.toml:5:9: mood.night = 2: must be a table"),
    (
        '[mood.night.colours]\nskech.rock = ["#000000"]',
        "p.toml:5:1: mood.night.colours.skech: unknown layer; allowed here: sketch; did you mean",
    ),
    (
        '[mood.night.colours.sketch]\nrok = ["#000000"]',
        'p.toml:5:1: mood.night.colours.sketch.rok = ["#000000"]: unknown ramp of the painter',
    ),
    ("[mood.night.colours]\nsketch = 1", "p.toml:5:10: mood.night.colours.sketch = 1: must be a"),
    ('[mood."a/../b"]', 'p.toml:4:1: mood."a/../b": must be a name of at most 32 small letters'),
    ('[mood.""]', 'p.toml:4:1: mood."": must be a name of at most 32 small letters, digits, "-"'),
    ("[mood.Night]", "p.toml:4:1: mood.Night: must be a name of at most 32 small letters, dig"),
    (f"[mood.{'n' * 33}]\namount = 1", f"p.toml:4:1: mood.{'n' * 33}: must be a name of at m"),
    ("".join(f"[mood.m{n}]\n" for n in range(17)), "p.toml:4:1: mood: must be at most 16 tables"),
]


@pytest.mark.parametrize(("text", "begins"), MOODS)
def test_wrong_moods(text, begins):
    """Moods name layers and ramps that exist, and none is called home."""
    (fault,) = faults_of(LAYER + text)
    assert fault.startswith(begins)


def test_mood_in_a_file_without_moods():
    """A preset has at least the mood of its own colours."""
    assert parse_preset('mood = "home"\n' + LAYER).mood == "home"
    (fault,) = faults_of('mood = "night"\n' + LAYER)
    assert fault == 'p.toml:1:8: mood = "night": unknown mood; this preset has "home"'


NOT_TOML = [
    ("a = \n", "p.toml:1:5: not TOML: Invalid value"),
    ("a = 1\na = 2\n", "p.toml:2:6: not TOML: Cannot overwrite a value"),
    ('title = "x', "p.toml:1:11: not TOML: "),
    ("seed = 1\n[machine\n", "p.toml:2:9: not TOML: "),
    ("PNG\r\n\x1a", "p.toml:1:4: not TOML: "),
    ("a = " + "[" * 100_000, "p.toml: nested deeper than 12 tables and arrays"),
    (f"seed = 1{'0' * 5000}\n{LAYER}", "p.toml: not TOML: Exceeds the limit (4300 digits)"),
]


@pytest.mark.parametrize(("text", "begins"), NOT_TOML)
def test_not_toml(text, begins):
    """A text that is not TOML is told with the place where reading stopped."""
    (fault,) = faults_of(text)
    assert fault.startswith(begins)


@pytest.mark.parametrize("depth", [11, 12, 100, 300, 400, 450, 480, 490, 500, 1000])
def test_deep_nesting(depth):
    """However deep a text is nested, it is refused in one message."""
    (fault,) = faults_of(f"title = {'[' * depth}{']' * depth}\n{LAYER}")
    if depth > 11:
        assert fault == "p.toml: nested deeper than 12 tables and arrays"
    else:
        assert fault.startswith("p.toml:1:9: title = [[[")


def test_crlf_and_byte_order_mark():
    """Files as some editors write them are read, and their places are the same."""
    text = "\ufeffseed = 3\n[camera]\nspeed = nan\n" + LAYER
    assert faults_of(text.replace("\n", "\r\n")) == faults_of(text)
    assert faults_of(text)[0].startswith("p.toml:3:9: ")


def test_seed_option():
    """--seed comes before the preset's own seed and is held to the same range."""
    assert parse_preset("seed = 3\n" + LAYER, seed=5).seed == 5
    assert faults_of(LAYER, seed=-1) == [f"--seed: seed = -1: {SEED}"]
    assert faults_of(LAYER, seed=2**63) == [f"--seed: seed = {2**63}: {SEED}"]


def test_more_faults_than_anyone_reads():
    """The text of an error shows the first hundred faults and counts the rest."""
    text = "".join(f"k{n} = 1\n" for n in range(150)) + LAYER
    with pytest.raises(PresetError) as caught:
        parse_preset(text)
    assert len(caught.value.faults) == 150
    lines = str(caught.value).splitlines()
    assert len(lines) == 101
    assert lines[-1] == "... and 50 more faults"


# --- files ----------------------------------------------------------------------------------------


def fault_of_file(source, **options):
    with pytest.raises(PresetError) as caught:
        load_preset(source, **options)
    (fault,) = caught.value.faults
    return str(fault)


def test_file_gives_name_and_folder(tmp_path):
    """A preset from a file knows where it lies."""
    path = tmp_path / "bay.toml"
    path.write_text(LAYER)
    preset = load_preset(path)
    assert (preset.name, preset.folder, preset.path) == ("bay", tmp_path, path)
    assert preset.text == LAYER
    assert load_preset(str(path)) == preset


def test_missing_file(tmp_path, monkeypatch):
    """A file that does not exist is told with the nearest that does."""
    monkeypatch.chdir(tmp_path)
    Path("bays").mkdir()
    Path("bays/harbour.toml").write_text(LAYER)
    says = "no such file, and no bundled preset of that name (`genbg presets` lists them)"
    wrong, right = "bays/harbor.toml", "bays/harbour.toml"
    assert fault_of_file(wrong) == f'{wrong}: {says}; did you mean "{right}"?'
    assert fault_of_file("no\nsuch\x1b[1m").startswith("no\\nsuch\\x1b[1m: no such file")
    assert fault_of_file("a\0b").startswith("a\\x00b: ")
    assert fault_of_file("x" * 5000).startswith(f"{'x' * 57}...: can't be read: ")


def test_folder_instead_of_file(tmp_path):
    """A folder is no preset."""
    assert fault_of_file(tmp_path) == f"{tmp_path}: is not a file; a preset is a TOML file"


@pytest.mark.parametrize("number", [errno.EACCES, errno.EIO])
def test_file_that_can_not_be_read(tmp_path, monkeypatch, number):
    """A file without permission or on a failing disk is told with the system's reason."""
    path = tmp_path / "bay.toml"
    path.write_text(LAYER)

    def fail(self, mode):
        raise OSError(number, os.strerror(number))

    monkeypatch.setattr(type(path), "open", fail)
    assert fault_of_file(path) == f"{path}: can't be read: {os.strerror(number)}"


def test_huge_file(tmp_path):
    """A file that is far too large is refused before it is read."""
    path = tmp_path / "big.toml"
    path.write_bytes(b"#" * (MAX_BYTES + 1))
    assert fault_of_file(path) == f"{path}: larger than 256 KiB, which no preset is"
    path.write_bytes(LAYER.encode() + b"#" * (MAX_BYTES - len(LAYER)))
    assert load_preset(path).name == "big"


def test_not_utf8(tmp_path):
    """A byte that is not UTF-8 is told with its place."""
    path = tmp_path / "bay.toml"
    path.write_bytes(b'seed = 1\ntitle = "Hafen f\xfcr"\n')
    assert fault_of_file(path) == f"{path}:2:17: byte 0xfc is not UTF-8; save the file as UTF-8"


def test_files_that_layers_name(tmp_path):
    """A picture lies in the preset's own folder, also behind links, and the nearest name helps."""
    home = tmp_path / "home"
    (home / "art").mkdir(parents=True)
    (tmp_path / "out.png").write_bytes(b"x")
    (home / "art" / "hills.png").write_bytes(b"x")
    (home / "leads-out.png").symlink_to(tmp_path / "out.png")
    (home / "loop.png").symlink_to(home / "loop.png")
    path = home / "bay.toml"

    def fault(file):
        path.write_text(f'{LAYER}file = "{file}"\n')
        with pytest.raises(PresetError) as caught:
            load_preset(path)
        (found,) = caught.value.faults
        assert (found.where, found.key) == (f"{path}:4:8", "layer.0.file")
        return (found.says, found.nearest)

    outside = "must lie in the preset's own folder; links that lead out of it do not count"
    assert fault("../out.png") == (outside, None)
    assert fault(str(tmp_path / "out.png")) == (outside, None)
    assert fault("leads-out.png") == (outside, None)
    assert fault("art") == ("is not a file", None)
    assert fault("art/hils.png") == (f"no such file in {home}", "art/hills.png")
    assert fault("no/hills.png") == (f"no such file in {home}", None)
    assert fault("loop.png")[0].startswith(("no such file", "can't be read"))
    path.write_text(f'{LAYER}file = "art/hills.png"\n')
    assert load_preset(path).layers[0].params.file == "art/hills.png"
