"""Flashing colours are found, told and counted alike by the pipeline and the check.

The criterion itself is tested in test_flash.py; source: WCAG 2.2, success criterion 2.3.1.
"""

from __future__ import annotations

import dataclasses
from pathlib import Path

import pytest
from sample import changed

from genbg.check import check_export, stated_warnings
from genbg.flash import FlashReport
from genbg.model import Flashes
from genbg.pipeline import build
from genbg.reading import parse_preset
from genbg.screen.flash import colour_flashes, flash_warnings
from genbg.write.folder import write_export

PANES = """
[preview]
frames = 96
[[layer]]
paint = "sky"
lines = [0, 224]
body = "none"
grain = "bold"
colours.sky = {colours}
steps.sky = {steps}
[[cycle]]
layer = "sky"
ramp = "sky"
frames = {frames}
"""
FLICKER = PANES.format(colours='["#000000", "#ffffff"]', steps=2, frames=4)
SLOW = PANES.format(colours='["#000000", "#ffffff"]', steps=2, frames=12)
FAINT = PANES.format(colours='["#4949b6", "#496db6"]', steps=2, frames=4)
RED = PANES.format(colours='["#ff0000", "#00006d"]', steps=2, frames=4)


def test_flicker_is_told():
    """Black and white that change places every 4 frames flash seven times a second."""
    backdrop = build(parse_preset(FLICKER))
    assert dataclasses.asdict(backdrop.proof.figures.flashes) == {"general": 7, "red": 0}
    (text,) = [text for text in backdrop.warnings if "flash" in text]
    assert "7 flashes within one second" in text
    assert "WCAG 2.2, 2.3.1" in text


@pytest.mark.parametrize("preset", [SLOW, FAINT])
def test_slow_or_faint_motion_is_not_told(preset):
    """Two and a half flashes a second are safe, and so is what changes luminance by little."""
    backdrop = build(parse_preset(preset))
    flashes = backdrop.proof.figures.flashes
    assert max(flashes.general, flashes.red) <= 3
    assert not [text for text in backdrop.warnings if "flash" in text]


def test_red_is_told_as_red():
    """Saturated red that comes and goes counts by its own threshold."""
    (text,) = [text for text in build(parse_preset(RED)).warnings if "flash" in text]
    assert "7 flashes" in text
    assert build(parse_preset(RED)).proof.figures.flashes.red > 3


def test_colours_that_stay_flash_nothing():
    """A backdrop without moving colours has no figure, whatever scrolls past."""
    still = FLICKER[: FLICKER.index("[[cycle]]")] + "drift = 8\n"
    backdrop = build(parse_preset(still))
    assert backdrop.proof.figures.flashes is None
    assert colour_flashes(backdrop) == FlashReport(0, 0, None)
    assert list(flash_warnings(FlashReport(3, 3, None))) == []


@pytest.mark.slow
def test_the_check_counts_again(tmp_path: Path):
    """The figure holds; one that is not the frames' own is told."""
    backdrop = build(parse_preset(FLICKER))
    folder = write_export(backdrop, tmp_path / "x", previews=False)
    assert check_export(folder) == []
    figures = dataclasses.replace(backdrop.proof.figures, flashes=Flashes(general=0, red=0))
    false = changed(backdrop, figures=figures)
    assert any("flash" in text for text in stated_warnings(folder))
    (fault,) = check_export(write_export(false, tmp_path / "y", previews=False))
    assert fault.startswith("backdrop.json: facts.flashes: {'general': 0, 'red': 0}; the frames")
    silent = changed(backdrop, warnings=())
    (fault,) = check_export(write_export(silent, tmp_path / "z", previews=False))
    assert fault == "backdrop.json: warnings: moving colours flash, and nothing warns of it"
