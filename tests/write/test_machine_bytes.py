"""The .bin files against hand-worked bytes and against a plain reading with `struct`."""

from __future__ import annotations

import struct

import numpy as np
import pytest
from sample import changed, make_backdrop

from genbg.errors import BytesError
from genbg.model import LineSpeeds, Split
from genbg.write import machine_bytes


def files_of(backdrop):
    return dict(machine_bytes.files(backdrop))


def test_a_tile_is_written_row_by_row_with_the_left_pixel_high():
    """Rows follow one another, the left pixel in the high nibble. Common practice, no source."""
    tile = np.arange(64).reshape(1, 8, 8) % 16
    rows = "0123456789abcdef"
    assert machine_bytes.tile_bytes(tile.astype(np.uint8)) == bytes.fromhex(rows * 4)


def test_words_are_big_endian_row_after_row():
    """The high byte of a word comes first. Common practice, no source."""
    words = np.array([[0x1234, 0x00FF], [0xABCD, 0]])
    assert machine_bytes.word_bytes("x", words) == bytes.fromhex("1234 00ff abcd 0000")


def test_a_line_of_speeds_is_front_ratio_back_ratio_front_drift_back_drift():
    """Four signed 16.16 numbers a line, in the order that the contract of the export states."""
    speeds = LineSpeeds(np.array([[65536, 8192]], np.int32), np.array([[-1, 16384]], np.int32))
    expected = bytes.fromhex("00010000 00002000 ffffffff 00004000")
    assert machine_bytes.speed_bytes(speeds) == expected


def test_a_split_is_line_first_count_and_its_colours():
    """A rewrite is its screen line, first entry and count, then that many colour words."""
    split = Split(96, 16, {"home": np.array([0x0EEE, 0x0002], np.uint16)})
    last = Split(160, 63, {"home": np.array([0x0200], np.uint16)})
    words = machine_bytes.split_words([split, last], "home")
    expected = "0060 0010 0002 0eee 0002  00a0 003f 0001 0200"
    assert machine_bytes.word_bytes("splits.bin", words) == bytes.fromhex(expected)


@pytest.mark.parametrize("full", [False, True])
def test_every_file_says_what_the_backdrop_says(full):
    """Every file, read again with struct alone, holds the backdrop's own numbers."""
    backdrop = make_backdrop(full=full)
    files = files_of(backdrop)

    def words(name, kind="H"):
        data = files.pop("machine/" + name)
        return list(struct.unpack(f">{len(data) // struct.calcsize(kind)}{kind}", data))

    nibbles = [n for byte in files.pop("machine/tiles.bin") for n in (byte >> 4, byte & 15)]
    assert nibbles == backdrop.tiles.pixels.reshape(-1).tolist()
    assert words("front.map") == backdrop.maps[0].reshape(-1).tolist()
    assert words("back.map") == backdrop.maps[1].reshape(-1).tolist()
    assert words("palette.bin") == backdrop.palette.tolist()
    for mood, colours in backdrop.colours.palettes.items():
        assert words(f"moods/{mood}.bin") == colours.tolist()
    speeds = zip(
        *backdrop.moves.speeds.ratio.T.tolist(),
        *backdrop.moves.speeds.drift.T.tolist(),
        strict=True,
    )
    assert words("speeds.bin", "i") == [number for line in speeds for number in line]
    preview = backdrop.preview
    assert words("preview/scroll.bin") == preview.scroll.reshape(-1).tolist()
    if full:
        assert files.pop("machine/sprites.bin") == backdrop.sprites.table.tobytes()
        placed, vertical = backdrop.sprites.placed, backdrop.moves.vertical
        data = files.pop("machine/pieces.bin")
        for number, one in enumerate(struct.iter_unpack(">HhBBHii", data)):
            size = (placed.width[number] - 1) * 4 + placed.height[number] - 1
            place = placed.x[number], placed.y[number]
            speed = placed.ratio[number], placed.drift[number]
            assert one == (*place, size, 0, placed.word[number], *speed)
        both = np.concatenate([vertical.speeds.ratio, vertical.speeds.drift], axis=1)
        assert words("plane_speeds.bin", "i") == both.reshape(-1).tolist()
        assert words("columns.bin", "h") == vertical.offsets.reshape(-1).tolist()
        assert words("preview/vscroll.bin") == preview.vscroll.reshape(-1).tolist()
        assert words("preview/palette.bin") == preview.palette.reshape(-1).tolist()
        assert files.pop("machine/preview/sprites.bin") == preview.sprites.tobytes()
        assert words("preview/splits.bin") == preview.splits.reshape(-1).tolist()
        assert words("motion.bin") == backdrop.colours.scripts["home"].tolist()
        for mood in backdrop.colours.palettes:
            assert words(f"moods/{mood}.motion.bin") == backdrop.colours.scripts[mood].tolist()
        data = files.pop("machine/waves.bin")
        for number, wave in enumerate(backdrop.moves.waves):
            *head, offsets = struct.unpack_from(">5H256s", data, number * 266)
            assert head == [wave.plane, wave.top, wave.bottom - wave.top, wave.frames, wave.step]
            assert list(struct.unpack("256b", offsets)) == wave.offsets.tolist()
        assert len(data) == 266 * len(backdrop.moves.waves)
        assert words("splits.bin") == words("moods/home.splits.bin")
        for mood in ("dusk", "dawn"):
            rest = words(f"moods/{mood}.splits.bin")
            for split in backdrop.colours.splits:
                colours = split.words[mood].tolist()
                head, rest = rest[: 3 + len(colours)], rest[3 + len(colours) :]
                assert head == [split.line, split.first, len(colours), *colours]
            assert rest == []
    assert not files, "no file that nobody expects"


WORDS = np.zeros(64, np.uint16)


def planes_of(front, back) -> np.ndarray:
    """Maps whose planes hold one word each."""
    return np.stack([np.full((32, 64), front), np.full((32, 64), back)])


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"palettes": {"home": np.zeros(63, np.uint16)}}, "palette.bin: colour memory is 64 words"),
        ({"maps": planes_of(65536, 0)}, r"front.map: .*65536"),
        ({"maps": planes_of(0, -1)}, r"back.map: .*-1"),
        ({"maps": planes_of(0, 0.5)}, r"front.map: .*float64"),
        ({"pixels": np.full((3, 8, 8), 16)}, "tile pixel"),
        ({"table": np.zeros((3, 7), np.uint8)}, "sprites.bin: entries are 8 bytes"),
        ({"palettes": {"home": WORDS, "../home": WORDS}}, "a mood's name becomes a file name"),
        ({"palettes": {"home": WORDS, "": WORDS}}, "a mood's name becomes a file name"),
        (
            {"speeds": LineSpeeds(np.full((224, 2), 2**31), np.zeros((224, 2), np.int64))},
            "speeds.bin: a speed does not fit",
        ),
        (
            {"splits": (Split(1, 60, {"home": np.zeros(5, np.uint16)}),)},
            "split 0 rewrites 5 entries from 60",
        ),
        (
            {"splits": (Split(1, 60, {"home": np.zeros(0, np.uint16)}),)},
            "split 0 rewrites 0 entries from 60",
        ),
    ],
)
def test_what_does_not_fit_is_named(change, says):
    """A number that its format can't hold is an error that names the file, never cut off."""
    backdrop = changed(make_backdrop(), **change)
    with pytest.raises(BytesError, match=says):
        files_of(backdrop)
