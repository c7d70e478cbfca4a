"""What moves in an export, worked out a second time from its bytes in plain Python."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest
from motion_reader import MotionReader

sys.path.insert(0, str(Path(__file__).parents[1]))
from sample import make_backdrop
from scene_text import CAPE, a_layer, scene, table

from genbg.pipeline import build
from genbg.reading import parse_preset
from genbg.write.folder import write_export

MOVING = scene(
    a_layer("sky", [0, 112], body="moon"),
    a_layer("ridge", [64, 112], **CAPE, drift=0.3, wave=1.5, wave_lines=20, wave_frames=30),
    table("[split]", line=160, tint="#0000ff", amount=0.5),
    table("[cycle]", layer="cape", ramp="rock", frames=3),
    table("mood.night", tint="#4949b6", amount=0.8),
    title="Lamps over the strait",
    seed=3,
    camera={"speed": 1.5},
    preview={"frames": 40},
    reflection={"line": 112, "tint": "#4992b6", "amount": 0.6, "ripple": 3, "ripple_frames": 25},
    fade={"to": "night", "frames": 20, "hold": 4},
)


def agrees(folder: Path, backdrop) -> None:
    """Assert that the reader finds the scroll words and colours that the dumps hold."""
    reader, preview = MotionReader(folder), backdrop.preview
    for frame in range(preview.frames):
        assert reader.scroll(frame) == preview.scroll[frame].ravel().tolist(), frame
        colours = reader.colours(frame)
        held = backdrop.palette if preview.palette is None else preview.palette[frame]
        assert colours[:64] == held.tolist(), frame
        if preview.splits is not None:
            assert colours[64:] == preview.splits[frame].tolist(), frame


@pytest.mark.parametrize("full", [False, True])
def test_dumps_are_what_the_bytes_say(full: bool, tmp_path: Path) -> None:
    """Backdrops of random numbers, without waves and moving colours and with both."""
    backdrop = make_backdrop(full=full, frames=12)
    agrees(write_export(backdrop, tmp_path / "x", previews=False), backdrop)


def test_a_preset_with_everything_that_moves(tmp_path: Path) -> None:
    """Wave, ripple, cycle and fade, over a mirror and a split, as the pipeline makes them."""
    backdrop = build(parse_preset(MOVING))
    assert backdrop.moves.waves
    assert backdrop.preview.splits is not None
    assert len(np.unique(backdrop.preview.palette, axis=0)) > 8
    agrees(write_export(backdrop, tmp_path / "x", previews=False), backdrop)
