"""The stage program that the package ships, and the images made of it."""

from __future__ import annotations

import struct

import numpy as np
import pytest
from sample import changed, make_backdrop
from toolchain import SHIPPED, build_stage, code_of

from genbg.errors import BytesError
from genbg.model import Label
from genbg.write import cartridge, machine_bytes
from genbg.write.source import tables


def test_the_shipped_bytes_are_those_of_the_source(unicorn, tmp_path):
    """Assembled anew, the stage program gives the bytes that lie in the package."""
    assert code_of(build_stage(tmp_path), ".text") == SHIPPED.read_bytes()


@pytest.mark.parametrize("full", [False, True])
def test_an_image_is_whole(full):
    """Size, addresses, checksum, title; vectors that point into the program. Header layout: common
    practice, no source."""
    label = Label("MAKER 1", "XX 0001", "JUE")
    image = cartridge.image(changed(make_backdrop(full=full), label=label))
    assert len(image) == 128 * 1024
    stack, start = struct.unpack_from(">II", image)
    assert stack == 0xFFFC00
    assert 0x200 <= start < len(SHIPPED.read_bytes())
    assert image[0x100:0x110] == b"MAKER 1         "
    assert image[0x120:0x150] == b"The Lantern Post: harbour */ stair".ljust(48)
    assert image[0x150:0x180] == image[0x120:0x150]
    assert image[0x180:0x18E] == b"XX 0001       "
    assert struct.unpack_from(">II", image, 0x1A0) == (0, 128 * 1024 - 1)
    assert image[0x1F0:0x200] == b"JUE             "
    words = struct.unpack_from(f">{(len(image) - 512) // 2}H", image, 512)
    assert struct.unpack_from(">H", image, 0x18E)[0] == sum(words) % 65536


def test_the_data_takes_little_more_than_the_files():
    """All but the data is at most 6 KB."""
    backdrop = make_backdrop(full=True)
    size = len(SHIPPED.read_bytes()) + len(cartridge.body(backdrop, len(SHIPPED.read_bytes())))
    data = sum(len(cartridge.table_bytes(table)) for table in tables(backdrop))
    assert size <= data + 6 * 1024


def test_the_data_is_that_of_the_files():
    """The patterns and the maps of the .bin files lie in the image, tile_base added to maps."""
    backdrop = changed(make_backdrop(), base=0)
    image, bins = cartridge.image(backdrop), dict(machine_bytes.files(backdrop))
    for name in ("tiles.bin", "front.map", "back.map", "palette.bin"):
        assert bins[f"machine/{name}"] in image


def test_what_passes_the_largest_image_is_refused():
    """4 MiB are all that the processor sees; the error says what to do."""
    backdrop = make_backdrop()
    moods = {f"m{n}": np.zeros(64, np.uint16) for n in range(33000)}
    with pytest.raises(BytesError, match=r"4194304 are allowed; lower"):
        cartridge.image(changed(backdrop, palettes={"home": backdrop.palette} | moods))


@pytest.mark.parametrize("title", ["", "\u706f\u53f0", "caf\u00e9 \u2014 quai", "x" * 90])
def test_any_title_fits_the_header(title):
    """Letters that a header can't hold are left out, long titles cut."""
    image = cartridge.image(changed(make_backdrop(), title=title))
    assert image[0x120:0x150].decode("ascii").isprintable()
    assert len(image) == 128 * 1024
