"""Every bundled preset: preview.png is what plain Python draws from the machine bytes alone."""

from __future__ import annotations

from pathlib import Path

import picture_reader
import pytest
from frame_reader import FrameReader

import genbg
from genbg.preset.bundled import bundled_names
from genbg.write.folder import write_export

LINE_STEP = 7
"""Every seventh line of a sampled frame is compared, other ones in each; plain Python is slow."""


def played(frames: int, returns: bool) -> list[int]:
    """Frame numbers as the contract says that a preview plays them."""
    there = list(range(frames))
    return there + there[-2:0:-1] if returns else there


def test_presets_are_bundled() -> None:
    """There are presets to look at below."""
    assert bundled_names()


@pytest.mark.parametrize("name", bundled_names())
def test_preview_is_what_the_bytes_say(name: str, tmp_path: Path) -> None:
    """still.png, and sampled frames of preview.png there and back, equal the reader's drawing."""
    out = write_export(genbg.build(genbg.load_preset(name)), tmp_path / name)
    reader = FrameReader(out)
    preview = reader.manifest["preview"]
    png = picture_reader.read_png((out / "preview.png").read_bytes())
    order = played(preview["frames"], preview["returns"])
    assert len(png.frames) == png.frame_count == len(order)
    assert png.plays == 0
    sampled = {0, 1, len(order) // 3, preview["frames"] - 1, preview["frames"], len(order) - 1}
    for place, canvas in enumerate(picture_reader.played_lines(png)):
        if place in sampled:
            lines = range(place % LINE_STEP, reader.height, LINE_STEP)
            shown = [picture_reader.rgb_line(png, canvas[line]) for line in lines]
            assert shown == reader.frame_rgb(order[place], lines), place
    still = picture_reader.read_png((out / "still.png").read_bytes())
    assert picture_reader.still_rgb(still) == picture_reader.still_rgb(png)
