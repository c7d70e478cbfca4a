"""genbg check: what can be made again is, so that no damage hides behind a hash."""

from __future__ import annotations

import io
import json
import re
import shutil
import struct
import zlib

import numpy as np
import pytest
from forge import drop_file, forge_file, forge_table, read_table
from PIL import Image
from sample import SMALLEST, make_backdrop

from genbg.check import check_export, stated_warnings
from genbg.check.blocks import blocks_of
from genbg.check.chunks import chunks_of
from genbg.write import player
from genbg.write.folder import write_export
from genbg.write.png import SIGNATURE, chunk

DERIVED = [
    "still.png",
    "sheet.png",
    "changes.png",
    "curve.png",
    "breakdown.png",
    "breakdown.apng",
    "preview.png",
    "preview.gif",
    "player.html",
    "engine/layers.json",
    "engine/00-hills.png",
    "machine/backdrop.s",
    "machine/backdrop.c",
    "machine/backdrop.h",
]


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    """An export with every feature, of the smallest screen and planes."""
    backdrop = make_backdrop(5, machine=SMALLEST, full=True, frames=2)
    return write_export(backdrop, tmp_path_factory.mktemp("small") / "x")


@pytest.fixture
def full(small, tmp_path):
    """A copy of it to harm."""
    return shutil.copytree(small, tmp_path / "x")


def test_the_sample_holds(full):
    """Nothing is wrong before anything is harmed."""
    assert check_export(full) == []


def chunks(folder, path):
    return list(chunks_of((folder / path).read_bytes()))


def forge_chunks(folder, path, parts):
    forge_file(folder, path, SIGNATURE + b"".join(chunk(*part) for part in parts))


def told(folder, path):
    """Whether the check names a file, in lines that speak of no hash."""
    faults = check_export(folder)
    assert not any("was changed since" in fault for fault in faults)
    return any(fault.startswith(f"{path}: ") for fault in faults)


@pytest.mark.parametrize("path", DERIVED)
def test_damage_with_its_hash_made_anew_is_told(path, full):
    """Bytes past the end, and a flipped bit in the midst."""
    data = (full / path).read_bytes()
    middle = bytearray(data)
    middle[len(data) // 2] ^= 1
    for wrong in (data + b"\n", bytes(middle)):
        forge_file(full, path, wrong)
        assert told(full, path)


PICTURES = [path for path in DERIVED if path.endswith("png")]


@pytest.mark.parametrize("path", PICTURES)
def test_another_pixel_of_a_sound_picture_is_told(path, full):
    """One pixel of the last frame is another colour; every CRC and hash is right.

    A layer's picture that shows less no longer goes with the page, which knows its pixels.
    """
    parts = chunks(full, path)
    at = max(n for n, (kind, _) in enumerate(parts) if kind in (b"IDAT", b"fdAT"))
    kind, body = parts[at]
    plain = 4 if kind == b"fdAT" else 0
    pixels = bytearray(zlib.decompress(body[plain:]))
    pixels[len(pixels) // 2 + 1] ^= 1
    parts[at] = kind, body[:plain] + zlib.compress(bytes(pixels), 6)
    forge_chunks(full, path, parts)
    assert told(full, "player.html" if path.startswith("engine/") else path)


@pytest.mark.parametrize("path", PICTURES)
def test_what_no_viewer_shows_is_told_too(path, full):
    """A colour that no pixel uses, a text beside the picture, and data after it."""
    parts = chunks(full, path)
    for wrong in (
        [*parts[:1], (b"tEXt", b"tide\0high"), *parts[1:]],
        [
            (kind, bytes([body[0] ^ 1]) + body[1:] if kind == b"PLTE" else body)
            for kind, body in parts
        ],
        [(kind, body + b"\0" if kind == b"IDAT" else body) for kind, body in parts],
    ):
        if wrong != parts:
            forge_chunks(full, path, wrong)
            assert told(full, path)


@pytest.mark.parametrize("path", PICTURES)
def test_the_same_picture_packed_otherwise_holds(path, full):
    """How small a library packs a picture is no part of what it shows."""
    parts = []
    for kind, body in chunks(full, path):
        plain = {b"IDAT": 0, b"fdAT": 4}.get(kind)
        if plain is not None:
            body = body[:plain] + zlib.compress(zlib.decompress(body[plain:]), 3)
        parts.append((kind, body))
    before = (full / path).read_bytes()
    forge_chunks(full, path, parts)
    assert (full / path).read_bytes() != before
    assert check_export(full) == []


def test_a_delay_of_a_gif_and_a_comment_in_it_are_told(full):
    """Blocks are compared one by one; GIF89a specification, 23 and 24."""
    data = (full / "preview.gif").read_bytes()
    at = data.index(b"\x21\xf9\x04")
    for wrong in (
        data[: at + 3] + bytes([data[at + 3] ^ 4]) + data[at + 4 :],
        data[:at] + b"\x21\xfe\x02hi\x00" + data[at:],
    ):
        assert Image.open(io.BytesIO(wrong)).size == (256, 224)
        forge_file(full, "preview.gif", wrong)
        assert told(full, "preview.gif")


def test_blocks_and_chunks_are_the_whole_file(full):
    """What is taken apart is all that is there, and all of it right."""
    data = (full / "preview.png").read_bytes()
    assert SIGNATURE + b"".join(chunk(*part) for part in chunks_of(data)) == data
    found = list(blocks_of((full / "preview.gif").read_bytes()))
    with Image.open(full / "preview.gif") as picture:
        frames = picture.n_frames
    assert [block[0] for block in found].count(0x2C) == frames
    assert found[-1] == b"\x3b"


def set_layers(change):
    def harm(folder):
        table = json.loads((folder / "engine/layers.json").read_bytes())
        change(table)
        forge_file(folder, "engine/layers.json", json.dumps(table).encode())

    return harm


def set_text(path, old, new):
    def harm(folder):
        text = (folder / path).read_text("utf-8")
        assert old in text
        forge_file(folder, path, text.replace(old, new, 1).encode())

    return harm


def set_view(name, value):
    def harm(folder):
        data = player.read_page((folder / "player.html").read_bytes())
        width, height = 256, 256
        plane = player.run_text(np.full((height, width), value, dtype=np.uint8))
        data["views"][name] = [plane, plane]
        forge_file(folder, "player.html", player.page_bytes(data))

    return harm


def set_key(*path, value):
    def harm(folder):
        def change(table):
            at = table
            for key in path[:-1]:
                at = at[key]
            at[path[-1]] = value

        forge_table(folder, change)
        data = player.read_page((folder / "player.html").read_bytes())
        change(data["about"])
        forge_file(folder, "player.html", player.page_bytes(data))

    return harm


@pytest.mark.parametrize(
    ("harm", "says"),
    [
        (set_layers(lambda t: t["layers"][0].update(order=1e9)), "layers.json: line 1"),
        (set_layers(lambda t: t.update(background="#000000")), "layers.json: line 1"),
        (set_text("machine/backdrop.s", "|", "| tide "), r"backdrop.s: line \d+ "),
        (set_text("machine/backdrop.c", "void", "int"), r"backdrop.c: line \d+ "),
        (set_text("machine/backdrop.h", "/*", "/* tide "), r"backdrop.h: line \d+ "),
        (set_view("owners", 0), "player.html: line"),
        (set_view("changes", 3), "changes.png: chunk"),
        (set_key("error", "ssim", value=0.5), "changes|breakdown|curve"),
        (set_key("error", "oklab_mse", value=0.5), "curve.png: chunk"),
        (set_key("curve", 0, 0, value=90), "curve.png: chunk"),
        (set_key("layers", 0, "high", value=True), "layers.json: line"),
        (set_key("layers", 0, "ratio_y", value=7), "backdrop.json: layers: is not what"),
        (set_key("layers", 0, "drift", value=[0, 7]), "backdrop.json: layers: is not what"),
        (set_key("tiles", "before", value=77), "breakdown.png: chunk"),
        (set_key("title", value="The mole"), r"breakdown.png: "),
        (set_key("seed", value=8), "breakdown.png: chunk"),
        (set_key("vertical", "endless", value=False), "sprites.bin|pieces|vertical"),
    ],
)
def test_what_is_told_twice_has_to_agree(harm, says, full):
    """A word changed in one file, hashes right, contradicts what another file makes it."""
    if "ssim" in says or says.startswith("changes|"):
        set_view("changes", 3)(full)
    harm(full)
    faults = check_export(full)
    assert any(re.search(says, fault) for fault in faults), faults
    assert not any("was changed since" in fault for fault in faults)


def test_a_file_that_genbg_does_not_write_is_told(full):
    """It is listed and its hash is right, and still it is no part of this backdrop."""
    forge_file(full, "machine/extra.txt", b"tide")
    assert check_export(full) == [
        "machine/extra.txt: is not a file that genbg writes for this backdrop"
    ]


@pytest.mark.parametrize("path", ["changes.png", "curve.png", "breakdown.apng", "preview.gif"])
def test_a_file_left_off_the_list_is_told(path, full):
    """Moving pictures are there together or not at all; the others always."""
    drop_file(full, path)
    assert f"{path}: is not listed in backdrop.json" in check_export(full)


def test_without_moving_pictures_none_is_missed(tmp_path):
    """An export without previews lists none of the three."""
    folder = write_export(make_backdrop(full=True, frames=2), tmp_path / "x", previews=False)
    assert check_export(folder) == []


def test_a_video_is_believed(full):
    """breakdown.mp4 is the work of a library; nothing but its hash is held against it."""
    forge_file(full, "breakdown.mp4", b"\0\0\0\x18ftypisom")
    assert check_export(full) == []


def test_another_version_s_export_is_told_of(full):
    """What only the version that wrote it can make again is not compared, and the check says so."""
    set_key("version", value="0.0.1")(full)
    forge_file(full, "machine/backdrop.h", (full / "machine/backdrop.h").read_bytes() + b"\n")
    assert check_export(full) == []
    assert any("genbg 0.0.1" in text for text in stated_warnings(full))
    data = bytearray((full / "preview.png").read_bytes())
    at = data.index(b"fcTL") + 24
    data[at : at + 2] = struct.pack(">H", 500)
    body = data[data.index(b"fcTL") + 4 : data.index(b"fcTL") + 30]
    data[at + 6 : at + 10] = struct.pack(">I", zlib.crc32(bytes(body), zlib.crc32(b"fcTL")))
    forge_file(full, "preview.png", bytes(data))
    assert told(full, "preview.png")
    assert read_table(full)["version"] == "0.0.1"
