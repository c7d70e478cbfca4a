"""genbg.check: whole exports hold, and each kind of harm is told in a line of its own."""

from __future__ import annotations

import os
import random
import re
import shutil
import struct
from fractions import Fraction

import numpy as np
import pytest
from forge import drop_file, forge_byte, forge_file, forge_table, read_table
from sample import NARROW, make_backdrop, words_of

from genbg.check import check_export
from genbg.check.listing import open_export
from genbg.hardware.profile import Machine
from genbg.model import Split
from genbg.pipeline import build
from genbg.reading import parse_preset
from genbg.write.folder import write_export

TALL = Machine(screen=(320, 240), plane_cells=(128, 32), fps=Fraction(497, 10), frame_lines=313)


@pytest.mark.parametrize("full", [False, True])
@pytest.mark.parametrize("machine", [Machine(), NARROW, TALL, Machine(scroll="plane")])
@pytest.mark.parametrize("tiles", [17, 40])
def test_what_genbg_writes_holds(full, machine, tiles, tmp_path):
    """Exports of every kind of screen and of every feature pass whole."""
    backdrop = make_backdrop(7, machine=machine, full=full, tiles=tiles, frames=2)
    assert check_export(write_export(backdrop, tmp_path / "x")) == []


def test_a_layer_down_to_the_last_line_of_the_tallest_plane_holds(tmp_path):
    """A plane of 128 cells has lines 0 to 1023, so the line after a layer's last may be 1024."""
    text = """
        [machine]
        plane_cells = [32, 128]
        vertical = "plane"
        [preview]
        frames = 2
        [[layer]]
        paint = "sky"
        lines = [0, 1024]
    """
    folder = write_export(build(parse_preset(text)), tmp_path / "x", previews=False)
    assert check_export(folder) == []


def test_moving_previews_may_be_left_out(tmp_path):
    """An export without previews is whole too."""
    folder = write_export(make_backdrop(frames=2), tmp_path / "x", previews=False)
    assert not (folder / "preview.png").exists()
    assert check_export(folder) == []


@pytest.mark.parametrize("frames", [1, 2])
@pytest.mark.parametrize("full", [False, True])
def test_a_preview_of_one_or_two_frames_holds(frames, full, tmp_path):
    """The shortest previews, which return to where they are, pass too."""
    backdrop = make_backdrop(full=full, frames=frames)
    assert check_export(write_export(backdrop, tmp_path / "x")) == []


@pytest.fixture(scope="module")
def colourful(tmp_path_factory):
    """An export whose frames show more than 256 colours, by seven rewrites of the whole memory."""
    dice = np.random.Generator(np.random.PCG64(6))
    splits = tuple(
        Split(28 * n, 0, {"home": words_of(dice.integers(0, 512, 64))}) for n in range(1, 8)
    )
    machine = Machine(colours_per_line=64)  # one gap has time for all of them
    backdrop = make_backdrop(machine=machine, frames=2, splits=splits)
    return write_export(backdrop, tmp_path_factory.mktemp("colourful") / "x")


def test_more_colours_than_a_gif_can_show_hold(colourful):
    """preview.png shows all of them; preview.gif is right but for those it had to give up."""
    assert check_export(colourful) == []


def test_a_gif_may_give_up_rare_colours_only(colourful, tmp_path):
    """A GIF of fewer colours than it could hold has given up too many."""
    folder = shutil.copytree(colourful, tmp_path / "x")
    poorer = write_export(make_backdrop(frames=2), tmp_path / "poorer")
    forge_file(folder, "preview.gif", (poorer / "preview.gif").read_bytes())
    assert any(fault.startswith("preview.gif: played frame 0") for fault in check_export(folder))


def files_below(folder):
    return sorted(p.relative_to(folder).as_posix() for p in folder.rglob("*") if p.is_file())


@pytest.mark.parametrize("name", ["plain", "full"])
def test_any_flipped_byte_is_told(name, exports, tmp_path):
    """One bit of one byte, in every file at its ends and at 5 places, makes the check speak."""
    folder = shutil.copytree(exports[name], tmp_path / "x")
    dice = random.Random(3)
    for path in files_below(folder):
        data = (folder / path).read_bytes()
        for at in {0, len(data) - 1, *(dice.randrange(len(data)) for _ in range(5))}:
            wrong = bytearray(data)
            wrong[at] ^= 1 << dice.randrange(8)
            (folder / path).write_bytes(wrong)
            _, faults = open_export(folder)
            assert faults, (path, at)
            if path != "backdrop.json":
                assert any(path in fault for fault in faults)
        (folder / path).write_bytes(data)
    assert check_export(folder) == []


def test_a_flipped_byte_is_told_by_the_whole_check(plain):
    """The whole check names the file and does not stop at its hash."""
    data = bytearray((plain / "machine/tiles.bin").read_bytes())
    data[5] ^= 0x11
    (plain / "machine/tiles.bin").write_bytes(data)
    faults = check_export(plain)
    assert any("tiles.bin: was changed" in fault for fault in faults)
    assert any("sheet.png: pattern 0" in fault for fault in faults)
    assert any("backdrop.s: backdrop_tiles" in fault for fault in faults)


@pytest.mark.parametrize("path", ["machine/tiles.bin", "preview.png", "backdrop.json", "sheet.png"])
@pytest.mark.parametrize("keep", [0, 1, 50])
def test_a_truncated_file_is_told(path, keep, plain):
    """A file cut short is named."""
    data = (plain / path).read_bytes()
    (plain / path).write_bytes(data[:keep])
    faults = check_export(plain)
    assert any(fault.startswith(path) for fault in faults)


def test_a_missing_file_is_told(plain):
    """A file of the manifest that is not there is named; so is one that no list names."""
    (plain / "still.png").unlink()
    (plain / "machine" / "extra.bin").write_bytes(b"x")
    (plain / "empty").mkdir()
    faults = check_export(plain)
    assert "still.png: is missing" in faults
    assert "machine/extra.bin: is not part of the export" in faults
    assert "empty/: is not part of the export" in faults


@pytest.mark.parametrize(
    "path", ["still.png", "machine/moods/home.bin", "machine/backdrop.c", "engine/layers.json"]
)
def test_a_needed_file_that_the_manifest_leaves_out_is_told(path, plain):
    """A file that every export has can't be left out by leaving it off the list."""
    drop_file(plain, path)
    assert f"{path}: is not listed in backdrop.json" in check_export(plain)


def test_links_are_not_followed(plain, tmp_path):
    """A file behind a link is not read, wherever it leads."""
    (tmp_path / "elsewhere").write_bytes((plain / "still.png").read_bytes())
    (plain / "still.png").unlink()
    (plain / "still.png").symlink_to(tmp_path / "elsewhere")
    shutil.move(plain / "engine", tmp_path / "engine")
    (plain / "engine").symlink_to(tmp_path / "engine")
    faults = check_export(plain)
    assert "still.png: is a link or lies behind one" in faults
    assert "engine/layers.json: is a link or lies behind one" in faults


def test_what_is_no_file_is_not_opened(plain):
    """A pipe in a file's place would block a reader for ever; a folder can't be read."""
    (plain / "still.png").unlink()
    os.mkfifo(plain / "still.png")
    (plain / "sheet.png").unlink()
    (plain / "sheet.png").mkdir()
    faults = check_export(plain)
    assert "still.png: is missing" in faults
    assert "sheet.png: is missing" in faults


def test_a_folder_that_is_none_is_told(tmp_path):
    """A path that is no folder, or a folder without a manifest, is one line."""
    assert check_export(tmp_path / "gone") == [f"{tmp_path / 'gone'}: is not a folder"]
    assert check_export(tmp_path) == ["backdrop.json: is missing, so this is no export"]


def set_word(path, at, word):
    """Return a change that puts a word at a place of a file and makes its hash right."""

    def change(folder):
        data = bytearray((folder / path).read_bytes())
        data[at : at + 2] = struct.pack(">H", word)
        forge_file(folder, path, bytes(data))

    return change


def set_key(*path, value):
    """Return a change that sets a key of the manifest."""

    def change(folder):
        def at(table):
            for key in path[:-1]:
                table = table[key]
            table[path[-1]] = value

        forge_table(folder, at)

    return change


def shift_text(path, old, new):
    """Return a change of one text of a source file."""

    def change(folder):
        text = (folder / path).read_text("utf-8")
        assert old in text
        forge_file(folder, path, text.replace(old, new, 1).encode())

    return change


def areas_over(folder):
    forge_table(folder, lambda table: table["memory"]["areas"][0].update(start=65536))


def areas_crossed(folder):
    forge_table(folder, lambda table: table["memory"]["areas"][1].update(start=100))


def chain(folder):
    forge_byte(folder, "machine/sprites.bin", 8 * 4 + 3, 2)


FORGERIES = [
    (set_word("machine/front.map", 2 * (64 * 3 + 5), 40), r"front.map: row 3, column 5 .* 40"),
    (set_word("machine/back.map", 0, 2047), r"back.map: row 0, column 0 .* 2047"),
    (set_word("machine/palette.bin", 6, 0x1000), r"palette.bin: .*0x1000"),
    (set_word("machine/moods/dusk.bin", 6, 0x0001), r"moods/dusk.bin: .*0x0001"),
    (set_word("machine/palette.bin", 6, 0x0246), "palette.bin: is not that of the mood home"),
    (set_word("machine/preview/palette.bin", 6, 0x0010), r"preview/palette.bin: .*0x0010"),
    (set_word("machine/preview/scroll.bin", 10, 0x0400), r"scroll.bin: .*0x0400"),
    (set_word("machine/preview/vscroll.bin", 10, 0x8000), r"vscroll.bin: .*0x8000"),
    (set_word("machine/splits.bin", 0, 224), "splits"),
    (set_word("machine/splits.bin", 2, 63), "rewrite 0 asks for 2 colours from entry 63"),
    (set_word("machine/moods/dawn.splits.bin", 6, 0xFFFF), r"dawn.splits.bin: split 0: .*0xFFFF"),
    (set_word("machine/moods/dawn.splits.bin", 0, 97), "dawn.splits.bin: does not rewrite what"),
    (set_word("machine/splits.bin", 6, 0x0000), "splits.bin: is not that of the mood home"),
    (set_word("machine/sprites.bin", 4, 39), r"sprites.bin: entry 0 shows pattern"),
    (set_word("machine/sprites.bin", 0, 0x0200), r"sprites.bin: .*0x0200"),
    (chain, r"sprites.bin: sprite link"),
    (
        set_word("machine/preview/sprites.bin", 640 + 4, 39),
        r"preview/sprites.bin: frame 1: entry 0",
    ),
    (set_word("machine/preview/vscroll.bin", 10, 0x02AA), "frame 0, column 2, back plane: 682"),
    (set_word("machine/columns.bin", 0, 300), "vscroll.bin: frame 0, column 0, front plane"),
    (set_word("machine/plane_speeds.bin", 0, 5), "plane_speeds.bin: ratio: its first lines"),
    (set_word("machine/pieces.bin", 0, 600), "pieces.bin: columns past 511"),
    (set_word("machine/pieces.bin", 2, 61), "preview/sprites.bin: frame 0: is not what"),
    (set_word("machine/sprites.bin", 6, 200), "machine/sprites.bin: is not the table of frame 0"),
    (set_key("sprites", "pieces", value=4), "pieces.bin: has 5 sprites; backdrop.json says 4"),
    (set_key("sprites", "reserve", value=77), "preview/sprites.bin: frame 0: is not what"),
    (set_key("sprites", value=None), "pieces.bin: does not go with sprites in backdrop.json"),
    (set_key("vertical", value=None), "vertical: does not go with machine.vertical"),
    (set_key("vertical", "ratio", 0, value=0.5), r"scroll.bin: frame \d, line 0, front plane"),
    (set_key("vertical", "column_frames", value=2), "columns.bin: has 240 bytes; 160 are needed"),
    (set_key("machine", "vertical", value="plane"), "columns do not move by themselves"),
    (set_key("preview", "camera_y", value=None), "does not go with vertical and camera_y"),
    (set_key("preview", "camera_y", value=[0, 1]), "camera_y: 2 of 3 frames"),
    (set_key("machine", "window", value=[208, 225]), "machine.window: lines 208 to 225"),
    (set_key("machine", "window", value=[208, 208]), "machine.window: lines 208 to 208"),
    (set_key("machine", "screen", value=[320, 225]), "machine.screen height: 225"),
    (set_key("machine", "screen", value=[319, 224]), "machine.screen width: 319"),
    (set_key("machine", "plane_cells", value=[128, 64]), r"plane_cells.*8192"),
    (set_key("machine", "mode", value="three planes"), 'machine.mode: "three planes"'),
    (set_key("machine", "speedup", value=3), 'the key "speedup" is unknown'),
    (set_key("machine", "sprites_screen", value=81), "sprites_screen: 81"),
    (set_key("machine", "sprites_screen", value=4), "5 sprites are linked; the machine draws 4"),
    (set_key("tiles", "budget", value=39), "40 patterns; the budget is 39"),
    (set_key("tiles", "stored", value=41), r"tiles.bin: has 1280 bytes; 1312 are needed"),
    (set_key("tiles", "before", value=39), "tiles.before: 39, but 40 are stored"),
    (set_key("tile_base", value=2009), "tile_base: 2009 with 40 patterns"),
    (set_key("tile_base", value=150), "the patterns take 1280 bytes from 4800 on"),
    (set_key("mood", value="noon"), '"noon" is not one of moods'),
    (set_key("preview", "frames", value=4), r"scroll.bin: has 2688 bytes; 3584 are needed"),
    (set_key("preview", "camera_step", value=2.75), r"scroll.bin: frame 1, line \d+"),
    (set_key("preview", "camera_step", value=2.500001), "not a multiple of 1/65536"),
    (set_key("preview", "returns", value=False), "has 4 frames; 3 are needed"),
    (set_key("preview", "fps", value=50), r"preview.png: played frame \d, .*ends after"),
    (set_key("machine", "levels", 3, value=110), r"still.png: .*line \d+, column \d+ is"),
    (set_key("machine", "backdrop_entry", value=18), "still.png"),
    (set_key("splits", 0, "line", value=97), "does not rewrite what backdrop.json says"),
    (set_key("costs", "scroll_cycles", value=7), "costs.scroll_cycles: 7; these speeds"),
    (set_key("costs", "scroll_bytes", value=7), "costs.scroll_bytes: 7; .* take 896"),
    (set_key("layers", 0, "name", value="reef"), "its layers are not those of backdrop.json"),
    (areas_over, "memory: back map leaves the 65536 bytes"),
    (areas_crossed, "reaches into"),
    (shift_text("machine/backdrop.s", ".short  0x", ".short  0xF"), "backdrop.s"),
    (shift_text("machine/backdrop.s", "backdrop_speeds:", "backdrop_speedy:"), "speedy is not"),
    (shift_text("machine/backdrop.c", "uint16_t backdrop_pal", "char backdrop_pal"), "type char"),
    (shift_text("machine/backdrop.c", "    0x", "    1"), "backdrop.c"),
    (shift_text("machine/backdrop.c", "    0x", "    ruin, 0x"), '"ruin" is not a number'),
    (shift_text("machine/backdrop.h", "TILES 40", "TILES 41"), "BACKDROP_TILES: 41; the export"),
    (shift_text("machine/backdrop.s", "_LINES, 224", "_LINES, 225"), "BACKDROP_LINES: 225"),
    (shift_text("engine/layers.json", '"lines": [0, 256]', '"lines": [0, 257]'), "lines 0 to 257"),
    (shift_text("engine/layers.json", '"lines": [0, 256]', '"lines": [0, 255]'), "ratio: is not"),
    (shift_text("engine/layers.json", '"period": 512', '"period": 511'), "512x256 pixels; 511x256"),
    (shift_text("engine/layers.json", '"screen": [320', '"screen": [321'), "screen: .321, 224."),
    (shift_text("engine/layers.json", '"back", "high"', '"side", "high"'), '"side"; allowed'),
    (set_key("costs", "table", 0, "used", value=7), "costs.table: patterns: 40 of 45"),
    (set_key("costs", "table", value=[]), r"costs.table: \d+ rows are right"),
    (shift_text("engine/layers.json", "00-hills.png", "../x.png"), "engine/../x.png is missing"),
    (shift_text("engine/layers.json", "{", "{{"), "layers.json: is not JSON"),
]


@pytest.mark.parametrize(("harm", "says"), FORGERIES, ids=[says for _, says in FORGERIES])
def test_a_forgery_with_right_hashes_is_told(harm, says, full):
    """Each limit and each promise is checked by its meaning: hashes alone would let it pass."""
    harm(full)
    faults = check_export(full)
    assert any(re.search(says, fault) for fault in faults), faults
    assert not any("was changed since" in fault for fault in faults)


NUMBERS = [
    "tiles.bin",
    "front.map",
    "back.map",
    "palette.bin",
    "moods/dusk.bin",
    "speeds.bin",
    "sprites.bin",
    "pieces.bin",
    "plane_speeds.bin",
    "columns.bin",
    "splits.bin",
    "moods/dawn.splits.bin",
    "preview/scroll.bin",
    "preview/palette.bin",
    "preview/splits.bin",
    "waves.bin",
    "motion.bin",
    "moods/dawn.motion.bin",
]


@pytest.mark.parametrize("name", NUMBERS)
def test_no_number_of_the_machine_can_be_forged(name, full):
    """Any bit of the machine's bytes, hashes made right, contradicts the rest of the export."""
    path = f"machine/{name}"
    data = (full / path).read_bytes()
    dice = random.Random(name)
    for _ in range(4):
        forge_byte(full, path, dice.randrange(len(data)), 1 << dice.randrange(8))
        assert check_export(full), name
        forge_file(full, path, data)
    assert check_export(full) == []


@pytest.mark.parametrize("name", ["still.png", "preview.png", "preview.gif", "sheet.png"])
def test_no_picture_can_be_swapped(name, exports, full):
    """The picture of another export is no proof of this one; rubbish is none either."""
    forge_file(full, name, (exports["plain"] / name).read_bytes())
    assert any(fault.startswith(name) for fault in check_export(full))
    forge_file(full, name, b"GIF89a" + bytes(range(256)))
    assert any(fault.startswith(name) for fault in check_export(full))


def test_one_wrong_pixel_of_one_frame_is_told(tmp_path):
    """A preview in which a single pixel of the second frame is off by one level is told."""
    from genbg.screen.film import make_film
    from genbg.write.apng import animated_png

    backdrop = make_backdrop(frames=3)
    folder = write_export(backdrop, tmp_path / "x")
    film = make_film(backdrop)
    film.pixels[1, 100, 50] ^= 1
    assert (
        film.palette[film.pixels[1, 100, 50]].tolist()
        != film.palette[film.pixels[1, 100, 50] ^ 1].tolist()
    )
    forge_file(folder, "preview.png", animated_png(film, [0, 1, 2], [17, 17, 17]))
    faults = check_export(folder)
    assert len(faults) == 1
    assert "played frame 1, which is frame 1: line 100, column 50" in faults[0]
    assert "(1 such pixels)" in faults[0]


def test_drift_and_ratio_wrap_as_the_formula_says():
    """The check's own formula, in overflowing words, equals whole numbers without end."""
    from sample import make_speeds, scroll_formula

    from genbg.check.motion import formula_words

    speeds = make_speeds(np.random.Generator(np.random.PCG64(9)), 224)
    for step in (1, -163841, 2**36 + 12345, -(2**36)):
        frames = np.array([0, 1, 2, 1023, 99999])
        words = formula_words(speeds, step, frames)
        for at, frame in enumerate(frames.tolist()):
            expected = scroll_formula(speeds, Fraction(step, 65536) * frame, frame)
            assert (words[at] == expected).all()


def test_the_manifest_is_read_back_as_it_was_written(exports):
    """What the check decodes is what was exported: a round trip of the machine and the preview."""
    from genbg.check.reading import read_backdrop

    export, faults = open_export(exports["full"])
    backdrop, more = read_backdrop(export)
    assert faults == more == []
    assert backdrop.machine == Machine(vertical="column")
    assert backdrop.preview.fps == Fraction(1498, 25)
    assert backdrop.preview.camera_step == Fraction(5, 2)
    assert backdrop.moves.window == (208, 224)
    assert read_table(exports["full"])["moods"] == list(backdrop.colours.palettes)
