"""Own art keeps its colours: any kind of file, on any plane, at any distance, of any right size."""

from __future__ import annotations

import io
import random

import numpy as np
import png
import pytest
from PIL import Image

import genbg
from genbg.colour import screen_table
from genbg.errors import PresetError
from genbg.images import NotAPictureError, picture_size, read_picture
from genbg.reading import parse_preset
from genbg.screen.film import make_film

TOP, LINES = 96, 48
PLANE = (512, 256)
COLOURS_A_ROW = 10


def on_grid(width, height, strip=16):
    """Pixels (height, width, 4) of 40 of the 512 colours, ten in each strip of so many columns.

    Each cell keeps to the ten colours of its strip, so that four palette rows hold them all.
    """
    y, x = np.mgrid[:height, :width]
    strip = x // strip % 4
    place = (x // 4 % 4 + y // 2 * 3) % COLOURS_A_ROW
    pixels = np.full((height, width, 4), 255, np.uint8)
    pixels[..., :3] = screen_table()[(strip * COLOURS_A_ROW + place) * 12 + 7]
    return pixels


def build(folder, pixels, plane="back", distance="4", keys="", settings=()):
    """The backdrop of a preset without [scene] that shows a picture and nothing else."""
    Image.fromarray(pixels).save(folder / "art.png")
    (folder / "own.toml").write_text(
        '[machine]\ntile_budget = 1600\n[preview]\nframes = 2\n[[layer]]\npaint = "picture"\n'
        f'file = "art.png"\nplane = "{plane}"\nlines = [{TOP}, {TOP + LINES}]\n'
        f"distance = {distance}\n{keys}\n"
    )
    return genbg.build(genbg.load_preset(str(folder / "own.toml"), settings))


@pytest.mark.parametrize("plane", ["back", "front"])
@pytest.mark.parametrize("distance", ["1", "4", "64", "[16, 2]"])
@pytest.mark.parametrize("size", [PLANE, (512, LINES), (64, LINES)])
def test_a_picture_comes_out_pixel_for_pixel(plane, distance, size, tmp_path):
    """40 colours that four rows can hold are shown as they are, though the scene has haze."""
    pixels = on_grid(*size)
    backdrop = build(tmp_path, pixels, plane, distance)
    asked = pixels[TOP : TOP + LINES] if size == PLANE else pixels
    asked = np.tile(asked, (1, 512 // size[0], 1))[:, :320, :3]
    assert np.array_equal(make_film(backdrop, 1).rgb(0)[TOP : TOP + LINES], asked)
    assert len(np.unique(asked.reshape(-1, 3), axis=0)) == 4 * COLOURS_A_ROW
    assert backdrop.warnings == ()


def test_sprites_come_out_pixel_for_pixel(tmp_path):
    """So do pictures that are cut into sprites."""
    pixels = on_grid(512, LINES, 32)  # as wide as the largest sprite
    x = np.arange(512)
    pixels[:, x % 128 >= 64, 3] = 0
    backdrop = build(tmp_path, pixels, "sprites", "2")
    shown = make_film(backdrop, 1).rgb(0)[TOP : TOP + LINES]
    seen = pixels[:, :320, 3] > 0
    assert np.array_equal(shown[seen], pixels[:, :320, :3][seen])


def test_haze_is_taken_where_it_is_asked_for(tmp_path):
    """With haze = 1 a far picture fades as all else does, with 0.5 half as much, in linear light.

    The law is exponential extinction, as `genbg/paint/colour/inks.py` cites it; half of the
    contrast is left at 24 distances.
    """
    pixels = np.zeros((LINES, 512, 4), np.uint8)
    pixels[..., 3] = 255
    shown = {}
    for share in ("0", "0.5", "1"):
        keys, air = f"haze = {share}", ["scene.haze_half=24"]
        backdrop = build(tmp_path, pixels, "back", "24", keys, air)
        shown[share] = make_film(backdrop, 1).rgb(0)[TOP, 0].astype(int)
    assert shown["0"].tolist() == [0, 0, 0]
    haze = linear(np.array([0x92, 0xB6, 0xDB]))
    for share, part in (("0.5", 0.25), ("1", 0.5)):
        off = np.abs(shown[share] - encoded(haze * part)).max()
        assert off <= 24, share  # two thirds of a grid step, as nearness is judged in OKLab


def linear(byte):
    """sRGB bytes in linear light (IEC 61966-2-1)."""
    value = byte / 255
    return np.where(value <= 0.04045, value / 12.92, ((value + 0.055) / 1.055) ** 2.4)


def encoded(light):
    """Linear light as sRGB bytes (IEC 61966-2-1)."""
    value = np.where(light <= 0.0031308, light * 12.92, 1.055 * light ** (1 / 2.4) - 0.055)
    return 255 * value


def test_other_layers_may_go_without_haze(tmp_path):
    """haze = 0 gives a far ridge the colours that it has where the air is clear."""
    text = '[[layer]]\npaint = "ridge"\nlines = [96, 160]\ndistance = 30\n'
    air = "[scene]\nhaze_half = 65536\n"
    found = [
        np.unique(genbg.build(parse_preset(one)).layers[0].number)
        for one in (text, text + "haze = 0", air + text)
    ]
    assert not np.array_equal(found[0], found[1])
    assert np.array_equal(found[1], found[2])


@pytest.mark.parametrize(("share", "says"), [("1.5", "haze"), ("-0.1", "haze"), ('"no"', "haze")])
def test_a_wrong_share_is_one_clear_error(share, says, tmp_path):
    """Line, key and what is allowed are told."""
    with pytest.raises(PresetError, match=f"layer.0.{says}.*0 to 1|layer.0.{says}") as caught:
        build(tmp_path, on_grid(512, LINES), keys=f"haze = {share}")
    assert len(caught.value.faults) == 1


def test_soft_alpha_is_counted_and_told(tmp_path):
    """Half see-through pixels of the layer's own lines are told, with what becomes of them."""
    pixels = on_grid(*PLANE)
    pixels[:TOP, :, 3] = 99  # not of this layer
    pixels[TOP, :7, 3] = 200
    pixels[TOP + 1, :5, 3] = 127
    pixels[TOP + 2, :3, 3] = 0
    [told] = build(tmp_path, pixels).warnings
    assert told == (
        'layer 0 "picture": 12 pixels of art.png are half see-through, which the machine does not '
        "know: 7 became opaque, 5 see-through"
    )


KINDS = [
    {"greyscale": True, "bitdepth": depth, "transparent": clear}
    for depth in (1, 2, 4, 8, 16)
    for clear in (None, 1)
]
KINDS += [
    {"greyscale": grey, "alpha": alpha, "bitdepth": depth}
    for grey in (True, False)
    for alpha in (True, False)
    for depth in (8, 16)
]
KINDS += [{"greyscale": False, "bitdepth": depth, "transparent": (9, 8, 7)} for depth in (8, 16)]
KINDS += [{"palette": True, "bitdepth": depth} for depth in (1, 2, 4, 8)]
KINDS += [{"greyscale": False, "alpha": True, "bitdepth": 8, "interlace": True}]


@pytest.mark.parametrize("kind", KINDS, ids=str)
def test_every_kind_of_png_is_read_exactly(kind, tmp_path):
    """Each colour type and depth of the PNG specification, as pypng, another decoder, reads it."""
    dice, options = np.random.Generator(np.random.PCG64(4)), dict(kind)
    depth, most = kind["bitdepth"], (1 << kind["bitdepth"]) - 1
    if options.get("palette"):
        entries = dice.integers(0, 256, (most + 1, 4)).tolist()
        options["palette"] = [tuple(entry) for entry in entries]
    planes = (1 if kind.get("greyscale") or "palette" in kind else 3) + bool(kind.get("alpha"))
    rows = dice.integers(0, most + 1, (20, 24 * planes))
    if depth == 16:
        rows = rows // 257 * 257
        if options.get("transparent"):
            clear = np.ravel(options["transparent"]) * 257
            options["transparent"] = int(clear[0]) if planes == 1 else tuple(clear.tolist())
            rows[0, :planes] = clear
    elif options.get("transparent"):
        rows[0, :planes] = options["transparent"]
    with (tmp_path / "art.png").open("wb") as file:
        png.Writer(24, 20, **options).write(file, rows.tolist())
    data = (tmp_path / "art.png").read_bytes()
    wanted = np.vstack(list(png.Reader(bytes=data).asRGBA8()[2]))
    read = read_picture(tmp_path / "art.png", picture_size(tmp_path / "art.png"))
    assert np.array_equal(read.reshape(20, -1), wanted)


def blocks(width, height):
    """Pixels of flat blocks of 16, so that a lossy format hardly changes their middles."""
    y, x = np.mgrid[:height, :width]
    pixels = np.full((height, width, 4), 255, np.uint8)
    pixels[..., :3] = screen_table()[(x // 16 * 5 + y // 16 * 77) % 512]
    return pixels


PHOTOS = {
    "JPEG": {"quality": 95, "subsampling": 0},
    "progressive JPEG": {"quality": 95, "subsampling": 0, "progressive": True},
    "lossy WebP": {"quality": 95},
    "lossless WebP": {"lossless": True, "exact": True},
    "WebP with alpha": {"quality": 95, "alpha_quality": 100},
}


def photo_bytes(kind, pixels):
    """A picture in one of the formats of photographs."""
    file = io.BytesIO()
    image = Image.fromarray(pixels if "alpha" in kind else pixels[..., :3])
    image.save(file, "JPEG" if "JPEG" in kind else "WEBP", **PHOTOS[kind])
    return file.getvalue()


@pytest.mark.parametrize("kind", PHOTOS)
def test_photographs_are_read(kind, tmp_path):
    """JPEG and WebP of each kind: the size by the header, and colours within a few levels."""
    pixels = blocks(272, 112)
    if "alpha" in kind:
        pixels[:16, :16, 3] = 0
    path = tmp_path / "art"
    path.write_bytes(photo_bytes(kind, pixels))
    assert picture_size(path) == (272, 112)
    read = read_picture(path, (272, 112))
    middle = np.s_[6::16, 6::16]
    assert np.abs(read[middle][..., :3].astype(int)[1:] - pixels[middle][..., :3][1:]).max() < 24
    assert np.array_equal(read[middle][..., 3], pixels[middle][..., 3])
    if "lossless" in kind:
        assert np.array_equal(read, pixels)


def test_a_jpeg_is_turned_as_its_camera_was_held(tmp_path):
    """All eight orientations of Exif come out upright."""
    upright = blocks(64, 48)[..., :3]
    stored = {  # Exif 2.32, 4.6.4: what the stored rows and columns are of the picture
        1: upright, 2: upright[:, ::-1], 3: upright[::-1, ::-1], 4: upright[::-1],
        5: upright.transpose(1, 0, 2), 6: np.rot90(upright, 1),
        7: np.rot90(upright, 2).transpose(1, 0, 2), 8: np.rot90(upright, -1),
    }  # fmt: skip
    path = tmp_path / "art.jpg"
    for value, pixels in stored.items():
        exif = Image.Exif()
        exif[0x0112] = value
        Image.fromarray(np.ascontiguousarray(pixels)).save(
            path, quality=95, subsampling=0, exif=exif
        )
        assert picture_size(path) == (64, 48), value
        read = read_picture(path, (64, 48))[6::16, 6::16, :3].astype(int)
        assert np.abs(read - upright[6::16, 6::16]).max() < 24, value


@pytest.mark.parametrize("kind", PHOTOS)
def test_damaged_photographs_are_read_or_refused(kind, tmp_path):
    """Bytes changed at random, or the end cut off: a picture or one clear error, nothing else."""
    good, path, chance = photo_bytes(kind, blocks(64, 48)), tmp_path / "art", random.Random(5)
    refused = 0
    for turn in range(150):
        data = bytearray(good if turn % 3 else good[: chance.randrange(len(good))])
        for _ in range(chance.randint(1, 4) if data else 0):
            data[chance.randrange(min(len(data), 80 if turn % 2 else len(data)))] = (
                chance.randrange(256)
            )
        path.write_bytes(data)
        try:
            size = picture_size(path)
            if size == (64, 48):
                assert read_picture(path, size).shape == (48, 64, 4)
        except NotAPictureError:
            refused += 1
    assert refused > 20


def test_a_huge_photograph_is_refused_by_its_header(tmp_path):
    """65000 pixels square, in a header of 26 bytes: told at once, nothing unpacked."""
    side = (65000).to_bytes(4, "little")
    head = b"BM" + bytes(8) + (54).to_bytes(4, "little") + (40).to_bytes(4, "little") + side + side
    path = tmp_path / "art"
    path.write_bytes(head + bytes([1, 0, 24, 0]) + bytes(24))
    with pytest.raises(NotAPictureError, match="has more than 178956970 pixels"):
        picture_size(path)
