"""The picture painter: the user's own art comes in exactly, and what does not fit is refused."""

import os
import random
import struct
import tracemalloc
import warnings
import zlib

import numpy as np
import png
import pytest
from PIL import Image

from genbg.colour import hex_to_rgb, screen_table, snap_srgb
from genbg.errors import PresetError
from genbg.images import NotAPictureError, picture_size, read_indexed, read_picture
from genbg.paint.contract import Job
from genbg.paint.painters.picture import PAINTER
from genbg.paint.painters.picture import Keys as Params
from genbg.write.png import indexed_png

WIDTH, HEIGHT, TOP, BOTTOM = 256, 256, 32, 80
LINES = BOTTOM - TOP


def job(folder, file="art.png", **changes):
    given = {
        "width": WIDTH,
        "top": TOP,
        "bottom": BOTTOM,
        "seed": 1,
        "params": Params(file),
        "light": (-0.6, 0.7),
        "distance": 4.0,
        "ratio": np.full(LINES, 0.25),
        "thrift": 0.0,
        "steps": {},
        "folder": folder,
        "plane_height": HEIGHT,
    }
    return Job(**given | changes)


def write_png(path, rows, width, **options):
    with path.open("wb") as file:
        png.Writer(width, len(rows), **options).write(file, rows)


def art(width, height):
    """Pixels (height, width, 4) of machine colours in blocks, with a see-through corner."""
    y, x = np.mgrid[0:height, 0:width]
    pixels = np.full((height, width, 4), 255, dtype=np.uint8)
    pixels[..., :3] = screen_table()[(x // 16 * 7 + y // 8 * 31) % 512]
    pixels[:8, :8, 3] = 0
    return pixels


def write_art(path, width, height):
    pixels = art(width, height)
    write_png(path, pixels.reshape(height, -1), width, greyscale=False, alpha=True)
    return pixels


def colours_of(painting):
    """sRGB (N, W, 3) of a painting of one ramp of given colours, and where it is opaque."""
    (use,) = painting.ramps
    assert use.steps == len(use.fixed) == painting.ink.max()
    table = screen_table()[np.array([0, *use.fixed])]
    return table[painting.ink], painting.ink > 0


@pytest.mark.parametrize(
    ("size", "rows", "copies"),
    [
        ((WIDTH, HEIGHT), slice(TOP, BOTTOM), 1),
        ((WIDTH, LINES), slice(None), 1),
        ((64, LINES), slice(None), 4),
    ],
)
def test_each_right_size_is_taken_pixel_for_pixel(tmp_path, size, rows, copies):
    """Plane, band and strip give the art's own pixels, written by a second library."""
    pixels = write_art(tmp_path / "art.png", *size)
    painting = PAINTER.draw(job(tmp_path))
    expected = np.tile(pixels[rows], (1, copies, 1))
    rgb, opaque = colours_of(painting)
    assert painting.ink.shape == (LINES, WIDTH)
    assert painting.ink.dtype == np.uint16
    assert np.array_equal(opaque, expected[..., 3] > 0)
    assert np.array_equal(rgb[opaque], expected[..., :3][opaque])


@pytest.mark.parametrize(
    "size", [(WIDTH, LINES + 1), (96, LINES), (WIDTH * 2, LINES), (64, HEIGHT)]
)
def test_other_sizes_are_refused_with_the_right_ones_named(tmp_path, size):
    """A wrong size is an error that states the size found and the three that are right."""
    write_art(tmp_path / "art.png", *size)
    with pytest.raises(PresetError) as caught:
        PAINTER.draw(job(tmp_path))
    text = str(caught.value)
    assert f"{size[0]}x{size[1]}" in text
    assert "256x256 (the plane), 256x48 (the layer's lines)" in text
    assert caught.value.faults[0].key == "file"


def chunk(name, data):
    return struct.pack(">I", len(data)) + name + data + struct.pack(">I", zlib.crc32(name + data))


def small_file_of_size(width, height):
    """Bytes of a valid black-and-white PNG of any size; equal rows make it some kB."""
    packer = zlib.compressobj(9)
    row = bytes(1 + (width + 7) // 8)
    data = b"".join(packer.compress(row) for _ in range(height)) + packer.flush()
    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    parts = chunk(b"IHDR", head), chunk(b"IDAT", data), chunk(b"IEND", b"")
    return b"\x89PNG\r\n\x1a\n" + b"".join(parts)


def test_a_huge_picture_is_refused_before_it_is_unpacked(tmp_path):
    """400 million pixels in a small file cost less than a megabyte of memory to refuse."""
    (tmp_path / "art.png").write_bytes(small_file_of_size(20000, 20000))
    assert (tmp_path / "art.png").stat().st_size < 100_000
    tracemalloc.start()
    with pytest.raises(PresetError, match="has more than 178956970 pixels"):
        PAINTER.draw(job(tmp_path))
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    assert peak < 1_000_000


def test_a_header_that_lies_about_the_size_is_refused(tmp_path):
    """A GIF whose first frame is larger than its screen is not unpacked at that other size."""
    rows = b"GIF89a" + struct.pack("<HHBBB", WIDTH, LINES, 0x80, 0, 0) + bytes(6)
    frame = b"," + struct.pack("<HHHHB", 0, 0, 20000, 20000, 0) + b"\x02\x01\x44\x00;"
    (tmp_path / "art.gif").write_bytes(rows + frame)
    with pytest.raises(PresetError, match="has more than 178956970 pixels"):
        PAINTER.draw(job(tmp_path, "art.gif"))


def test_half_alpha_decides(tmp_path):
    """Alpha 127 of 255 is below one half and see-through; 128 is opaque."""
    pixels = art(WIDTH, LINES)
    pixels[..., 3] = 128
    pixels[:, ::2, 3] = 127
    write_png(tmp_path / "art.png", pixels.reshape(LINES, -1), WIDTH, greyscale=False, alpha=True)
    opaque = PAINTER.draw(job(tmp_path)).ink > 0
    assert opaque[:, 1::2].all()
    assert not opaque[:, ::2].any()


def test_nothing_opaque_is_an_empty_painting(tmp_path):
    """A wholly see-through picture needs no ink."""
    pixels = np.zeros((LINES, WIDTH * 4), dtype=np.uint8)
    write_png(tmp_path / "art.png", pixels, WIDTH, greyscale=False, alpha=True)
    painting = PAINTER.draw(job(tmp_path))
    assert painting.ramps == ()
    assert not painting.ink.any()


GREY = np.linspace(0, 255, 64).astype(int)
DEEP_OPAQUE = np.stack([GREY * 257, 0 * GREY + 65535], axis=1).ravel()


@pytest.mark.parametrize(
    ("options", "values"),
    [
        ({"greyscale": True, "bitdepth": 8}, GREY),
        ({"greyscale": True, "bitdepth": 16}, GREY * 257),
        ({"greyscale": True, "bitdepth": 8, "interlace": True}, GREY),
        ({"greyscale": False, "bitdepth": 16}, np.repeat(GREY * 257, 3)),
        ({"greyscale": True, "bitdepth": 16, "alpha": True}, DEEP_OPAQUE),
        ({"palette": [(v, v, v) for v in GREY]}, np.arange(64)),
        ({"palette": [(v, v, v) for v in GREY], "interlace": True}, np.arange(64)),
    ],
)  # fmt: skip
def test_every_way_a_png_can_hold_grey_means_the_same(tmp_path, options, values):
    """8 and 16 bits, with palette, alpha or interlace: the same 64 grey values, the same inks."""
    write_png(tmp_path / "art.png", [values.tolist()] * LINES, 64, **options)
    painting = PAINTER.draw(job(tmp_path))
    rgb, opaque = colours_of(painting)
    assert opaque.all()
    expected = screen_table()[snap_srgb(np.stack([GREY] * 3, axis=-1))]
    assert np.array_equal(rgb, np.broadcast_to(np.tile(expected, (4, 1)), rgb.shape))


@pytest.mark.parametrize("depth", [8, 16])
def test_a_clear_grey_is_see_through(tmp_path, depth):
    """The one grey value that a PNG may declare transparent is, at 8 bits and at 16."""
    values = GREY * (257 if depth == 16 else 1)
    options = {"greyscale": True, "bitdepth": depth, "transparent": int(values[5])}
    write_png(tmp_path / "art.png", [values.tolist()] * LINES, 64, **options)
    opaque = PAINTER.draw(job(tmp_path)).ink > 0
    assert np.flatnonzero(~opaque[0, :64]).tolist() == [5]


def test_gif_and_bmp_are_read_too(tmp_path):
    """Two colours in a hand-made 24-bit BMP, bottom row first as that format has it."""
    row = bytes([73, 36, 0]) * 64
    head = struct.pack("<IiiHHIIiiII", 40, 64, LINES, 1, 24, 0, 0, 0, 0, 0, 0)
    last = bytes([0, 0, 255]) * 64
    data = last + row * (LINES - 1)
    file = b"BM" + struct.pack("<IHHI", 54 + len(data), 0, 0, 54) + head + data
    (tmp_path / "art.bmp").write_bytes(file)
    rgb, _ = colours_of(PAINTER.draw(job(tmp_path, "art.bmp")))
    assert rgb[0, 0].tolist() == [0, 36, 73]
    assert rgb[-1, 0].tolist() == [255, 0, 0]


def test_colours_go_to_the_nearest_at_the_machine_levels(tmp_path):
    """The same art snaps elsewhere on a machine that shows its levels otherwise."""
    rgb = hex_to_rgb("#346090")
    write_png(tmp_path / "art.png", [list(rgb) * 64] * LINES, 64, greyscale=False)
    measured = (0, 52, 87, 116, 144, 172, 206, 255)
    plain = PAINTER.draw(job(tmp_path)).ramps[0].fixed[0]
    other = PAINTER.draw(job(tmp_path, levels=measured)).ramps[0].fixed[0]
    assert screen_table()[plain].tolist() == [36, 109, 146]
    assert screen_table(measured)[other].tolist() == [52, 87, 144]


def test_a_missing_file_names_the_nearest(tmp_path):
    """The error names the folder and what the user may have meant."""
    write_art(tmp_path / "hills.png", WIDTH, LINES)
    with pytest.raises(
        PresetError, match=r'no such file in .*; did you mean "hills\.png"'
    ) as caught:
        PAINTER.draw(job(tmp_path, "hils.png"))
    assert caught.value.faults[0].value == '"hils.png"'


@pytest.mark.parametrize("name", ["../art.png", "sub/../../art.png", "link.png", "door/art.png"])
def test_art_outside_the_folder_is_refused(tmp_path, name):
    """Neither steps up nor links lead out of the preset's folder."""
    folder = tmp_path / "presets"
    (folder / "sub").mkdir(parents=True)
    write_art(tmp_path / "art.png", WIDTH, LINES)
    (folder / "link.png").symlink_to(tmp_path / "art.png")
    (folder / "door").symlink_to(tmp_path, target_is_directory=True)
    with pytest.raises(PresetError, match="leads out of the preset's folder"):
        PAINTER.draw(job(folder, name))


def test_a_link_that_stays_inside_is_followed(tmp_path):
    """Only where a link leads matters."""
    write_art(tmp_path / "art.png", WIDTH, LINES)
    (tmp_path / "link.png").symlink_to(tmp_path / "art.png")
    assert PAINTER.draw(job(tmp_path, "link.png")).ink.any()


def test_other_wrong_names_get_one_clear_message(tmp_path):
    """Absolute, a folder, a pipe, a circle of links, a zero byte, an endless name."""
    write_art(tmp_path / "art.png", WIDTH, LINES)
    (tmp_path / "folder").mkdir()
    (tmp_path / "round.png").symlink_to(tmp_path / "round.png")
    os.mkfifo(tmp_path / "pipe.png")
    cases = {
        str(tmp_path / "art.png"): "must be relative",
        "folder": "is not a file",
        "pipe.png": "is not a file",
        "round.png": "can't be read",
        "zero\0byte.png": "can't be read",
        "x" * 5000: "can't be read",
    }
    for name, says in cases.items():
        with pytest.raises(PresetError, match=says):
            PAINTER.draw(job(tmp_path, name))


def test_what_is_no_picture_is_refused(tmp_path):
    """A text file, an empty file, a picture of another format, a picture cut short."""
    whole = small_file_of_size(WIDTH, LINES)
    cases = {
        b"title = 'no picture'\n" * 9: "is damaged; PNG, GIF, BMP, JPEG and WebP are read",
        b"": "is not a picture",
        b"\xff\xd8\xff\xe0\x00\x10JFIF\x00": "is damaged",
        whole[:40]: "is damaged",
        whole[:50]: "is damaged",
    }
    for data, says in cases.items():
        (tmp_path / "art.png").write_bytes(data)
        with pytest.raises(PresetError, match=says):
            PAINTER.draw(job(tmp_path))


def test_damaged_bytes_never_end_in_anything_but_a_picture_or_an_error(tmp_path):
    """A few hundred files with bytes changed at random are read or refused, never worse."""
    path = tmp_path / "art.png"
    write_art(path, WIDTH, LINES)
    good = path.read_bytes()
    chance = random.Random(7)
    refused = 0
    for _ in range(300):
        data = bytearray(good)
        for _ in range(chance.randint(1, 4)):
            data[chance.randrange(len(data))] = chance.randrange(256)
        path.write_bytes(data)
        try:
            assert PAINTER.draw(job(tmp_path)).ink.shape == (LINES, WIDTH)
        except PresetError:
            refused += 1
    assert 0 < refused <= 300


def test_reading_holds_to_the_size_that_was_allowed(tmp_path):
    """`read_picture` unpacks nothing of another size than the one it is told."""
    path = tmp_path / "art.png"
    write_art(path, 64, 16)
    assert picture_size(path) == (64, 16)
    assert read_picture(path, (64, 16)).shape == (16, 64, 4)
    with pytest.raises(NotAPictureError, match="told in two ways"):
        read_picture(path, (64, 17))


def test_entries_of_a_palette_that_is_not_there(tmp_path):
    """Colour type 3 without PLTE is no picture (W3C PNG Specification, 11.2.2), whatever the
    library makes of it."""
    whole = indexed_png(np.zeros((8, 8), dtype=np.uint8), np.full((2, 3), 90, dtype=np.uint8))
    at = whole.index(b"PLTE") - 4
    (tmp_path / "art.png").write_bytes(whole)
    assert read_picture(tmp_path / "art.png", (8, 8))[0, 0].tolist() == [90, 90, 90, 255]
    (tmp_path / "art.png").write_bytes(whole[:at] + whole[at + 12 + 6 :])
    with pytest.raises(NotAPictureError, match="entries of a palette that it lacks"):
        read_picture(tmp_path / "art.png", (8, 8))
    with pytest.raises(NotAPictureError, match="entries of a palette that it lacks"):
        read_indexed((tmp_path / "art.png").read_bytes(), (8, 8))


def test_the_library_warns_of_nothing_itself(tmp_path):
    """A PNG that says it moves and has no frames is its first picture; chunk acTL as in W3C PNG
    Specification, Third Edition, 11.3.5.1."""
    path = tmp_path / "still.png"
    Image.new("RGB", (8, 8), (73, 0, 0)).save(path)
    data = path.read_bytes()
    body = b"acTL" + bytes(8)
    chunk = struct.pack(">I", 8) + body + struct.pack(">I", zlib.crc32(body))
    path.write_bytes(data[:33] + chunk + data[33:])
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        assert (read_picture(path, (8, 8)) == (73, 0, 0, 255)).all()
