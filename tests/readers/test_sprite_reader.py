"""Sprites and vertical scroll of an export, worked out a second time in plain Python."""

from __future__ import annotations

import struct
import sys
from pathlib import Path

import pytest
from sprite_reader import SpriteReader

sys.path.insert(0, str(Path(__file__).parents[1]))
from sample import make_backdrop
from scene_text import a_layer, scene

from genbg.check import check_export
from genbg.pipeline import build
from genbg.reading import parse_preset
from genbg.write.folder import write_export

NEAR = scene(
    a_layer("ridge", [96, 240], distance=6),
    a_layer("ridge", [160, 256], plane="front", distance=1),
    a_layer("lanterns", [72, 232], plane="sprites", distance=0.8, drift=-0.3, spacing=120, halo=0),
    title="Poles before the strait",
    seed=5,
    machine={"vertical": "column"},
    camera={"speed": 3.5, "dip": 24, "dip_frames": 30, "ratio_y": [1.0, 0.25]},
    columns={"move": "tilt", "amplitude": [4, 0], "frames": 20},
    sprites={"reserve": 74},
    preview={"frames": 30},
)


def agrees(folder: Path, backdrop) -> None:
    """Assert that the reader finds the tables and columns that the dumps hold."""
    reader, preview = SpriteReader(folder), backdrop.preview
    for frame in range(preview.frames):
        assert reader.column_words(frame) == preview.vscroll[frame].ravel().tolist(), frame
        assert reader.table(frame) == preview.sprites[frame].tobytes(), frame


def test_random_numbers_are_what_the_bytes_say(tmp_path: Path) -> None:
    """A backdrop of random numbers, whose camera goes up and down without end."""
    backdrop = make_backdrop(full=True, frames=12)
    agrees(write_export(backdrop, tmp_path / "x", previews=False), backdrop)


@pytest.mark.parametrize("change", ["camera.speed_y=0", "camera.speed_y=1.5"])
def test_a_preset_with_sprites_and_columns(change: str, tmp_path: Path) -> None:
    """Poles with their lanterns over a tilting plane, some left out, as the pipeline makes them."""
    backdrop = build(parse_preset(NEAR, settings=[change]))
    assert any("the farthest are left out" in text for text in backdrop.warnings)
    folder = write_export(backdrop, tmp_path / "x")
    agrees(folder, backdrop)
    assert check_export(folder) == []


def test_links_go_through_the_table_in_order(tmp_path: Path) -> None:
    """Entry after entry, the last one's link is 0, and no sprite stands at position word 0."""
    backdrop = build(parse_preset(NEAR))
    for table in backdrop.preview.sprites:
        rows = list(struct.iter_unpack(">HBBHH", table.tobytes()))
        used = [row for row in rows if row[4]]
        assert [row[2] for row in used] == [*range(1, len(used)), 0]
        assert rows[len(used) :] == [(0, 0, 0, 0, 0)] * (80 - len(used))
