"""Images of the bundled presets, booted on the distribution's emulator and recorded.

Every preview frame from power-on has to be there, in order, none twice and none left out, equal by
the level of each channel.
"""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest
from recorder import record
from sample import make_backdrop
from shown import expected_words, lit_frames, play_order, recorded_words

from genbg import pipeline
from genbg.hardware.profile import Machine
from genbg.reading.bundled import bundled_names, find_bundled
from genbg.reading.read import load_preset
from genbg.write import cartridge

BOOT = 12
"""Frames before the first is shown, at most."""
STRETCH = 64
"""Frames compared of each preset: enough for splits, sprites and cycles to come and go."""


def compare(backdrop, folder: Path, frames: int | None = None) -> None:
    """Record a backdrop's image and hold it against the preview, frame by frame."""
    order = play_order(backdrop)
    order = order[:frames] if frames else [*order, order[0]]
    image = folder / "image.bin"
    image.write_bytes(cartridge.image(backdrop))
    film = lit_frames(record(image, BOOT + len(order), folder))
    (folder / "film.mov").unlink()  # hundreds of megabytes; what is mapped stays readable
    wrong = [
        (number, int((recorded_words(frame, right.shape[1]) != right).sum()))
        for number, (frame, right) in enumerate(
            zip(film, expected_words(backdrop, order), strict=False)
        )
        if (recorded_words(frame, right.shape[1]) != right).any()
    ]
    assert not wrong, f"{len(wrong)} frames differ, the first (frame, pixels): {wrong[:4]}"
    assert len(film) >= len(order)


def remade(name: str, *settings: str):
    """Return a bundled preset's backdrop."""
    return pipeline.build(load_preset(find_bundled(name), settings=settings))


@pytest.mark.parametrize("name", bundled_names())
def test_a_bundled_preset_plays(name, emulator, tmp_path):
    """The first frames of every bundled preset, home mood."""
    compare(remade(name), tmp_path, STRETCH)


def test_a_preview_comes_round(emulator, tmp_path):
    """There and back, and on from its first frame."""
    compare(remade("lamp-stair", "preview.frames=40"), tmp_path)


def test_the_narrow_screen_plays(emulator, tmp_path):
    """256 pixels, eight lines a strip."""
    compare(make_backdrop(machine=Machine(screen=(256, 224), scroll="strip")), tmp_path)


def test_every_mood_plays(emulator, tmp_path):
    """A scene with splits and moving colours, each mood as the one it begins in."""
    moods = remade("mirror-lake").colours.palettes
    for mood in moods:
        compare(remade("mirror-lake", f"mood={mood}"), tmp_path, 20)
    assert len(moods) > 2
    assert np.unique([words.tobytes() for words in moods.values()]).size == len(moods)
