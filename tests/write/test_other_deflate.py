"""Another deflate library packs the same pixels into other bytes; all else stays the same.

The other one is zlib-ng, which some systems build Python with.
"""

from __future__ import annotations

import hashlib
import io
import json
import zlib

import numpy as np
import pytest
from PIL import Image
from small_backdrops import random_backdrop

import genbg
from genbg.check import check_export
from genbg.check.listing import pixels_fault
from genbg.errors import BytesError
from genbg.write import manifest
from genbg.write.folder import write_export
from genbg.write.png import indexed_png, truecolour_png
from genbg.write.table import export_files
from genbg.write.unpacked import unpacked_sha256

zlib_ng = pytest.importorskip("zlib_ng.zlib_ng")
PACKED = (".png", ".apng")


def files_of(backdrop, compress, monkeypatch) -> dict[str, bytes]:
    """Every file of an export packed by a library, and its manifest."""
    with monkeypatch.context() as patch:
        patch.setattr(zlib, "compress", compress)
        files = dict(export_files(backdrop, True))
    rows = [manifest.file_row(path, data) for path, data in files.items()]
    return {**files, manifest.NAME: manifest.manifest_bytes(backdrop, rows)}


def pixels(data: bytes) -> list[bytes]:
    """Every frame of a picture as RGBA, by Pillow."""
    with Image.open(io.BytesIO(data)) as image:
        frames = []
        for number in range(getattr(image, "n_frames", 1)):
            image.seek(number)
            frames.append(image.convert("RGBA").tobytes())
    return frames


def test_only_packing_depends_on_the_library(monkeypatch) -> None:
    """Machine files, sources, layers.json, the page and GIFs are the same bytes; PNGs the same
    pixels, frame by frame; the manifest differs in what these bytes are and in its own hash."""
    backdrop = random_backdrop(3, frames=3)
    ours = files_of(backdrop, zlib.compress, monkeypatch)
    theirs = files_of(backdrop, zlib_ng.compress, monkeypatch)
    differ = {path for path, data in ours.items() if theirs[path] != data}
    assert "still.png" in differ
    assert all(path.endswith(PACKED) for path in differ - {manifest.NAME})
    for path in sorted(differ - {manifest.NAME}):
        assert pixels(ours[path]) == pixels(theirs[path])
    tables = [json.loads(files[manifest.NAME]) for files in (ours, theirs)]
    for table in tables:
        del table["manifest_sha256"]
        for row in table["files"]:
            if row["path"] in differ:
                assert len(row["pixels_sha256"]) == 64
                del row["bytes"], row["sha256"]
    assert tables[0] == tables[1]


@pytest.mark.slow
def test_an_export_of_another_library_passes_the_check(tmp_path, monkeypatch) -> None:
    """Whoever packed it, `genbg check` finds all well here."""
    with monkeypatch.context() as patch:
        patch.setattr(zlib, "compress", zlib_ng.compress)
        export = write_export(genbg.build(genbg.load_preset("moon-arches")), tmp_path / "x")
    assert check_export(export) == []


def test_the_hash_is_that_of_the_specification() -> None:
    """By hand: type and body of each chunk, the scan lines with filter 0 for the data's."""
    picture = np.arange(6, dtype=np.uint8).reshape(2, 3)
    colours = np.arange(18, dtype=np.uint8).reshape(6, 3)
    header = b"IHDR" + bytes([0, 0, 0, 3, 0, 0, 0, 2, 8, 3, 0, 0, 0])
    lines = b"IDAT" + bytes([0, 0, 1, 2, 0, 3, 4, 5])
    whole = header + b"PLTE" + bytes(range(18)) + lines + b"IEND"
    assert unpacked_sha256(indexed_png(picture, colours)) == hashlib.sha256(whole).hexdigest()
    assert unpacked_sha256(b"no picture") is None


def test_damage_is_told() -> None:
    """A cut or broken picture has no hash of pixels, and one pixel more makes another."""
    whole = truecolour_png(np.zeros((4, 4, 3), dtype=np.uint8))
    other = truecolour_png(np.eye(4, dtype=np.uint8)[..., None].repeat(3, axis=2))
    assert unpacked_sha256(whole) != unpacked_sha256(other)
    with pytest.raises(BytesError, match="cut short"):
        unpacked_sha256(whole[:-5])
    with pytest.raises(BytesError, match="picture data is damaged"):
        unpacked_sha256(whole.replace(b"IDAT" + b"\x78", b"IDAT" + b"\x00"))


def test_a_wrong_hash_of_pixels_is_told() -> None:
    """`genbg check` compares it: another picture's, none for a PNG, and one for what is none."""
    whole = truecolour_png(np.zeros((4, 4, 3), dtype=np.uint8))
    assert pixels_fault(whole, unpacked_sha256(whole)) == ""
    assert pixels_fault(b"no picture", None) == ""
    for content, digest in ((whole, "0" * 64), (whole, None), (b"no picture", "0" * 64)):
        assert pixels_fault(content, digest) == "its pixels_sha256 does not hold"
