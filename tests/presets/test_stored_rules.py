"""What every bundled preset comes to when it is stored at its own budget."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import picture_reader
import pytest
from frame_reader import FrameReader
from picture_rules import NAMES
from skimage.metrics import structural_similarity

from genbg import Backdrop, build, load_preset
from genbg.check import check_export
from genbg.colour import oklab_table
from genbg.flash import FLASHES_ALLOWED
from genbg.screen.flash import colour_flashes
from genbg.write.folder import write_export

LEAST_SSIM = 0.94
MOST_BEFORE = 2.5
"""Tiles that painters may ask for, as a multiple of the budget."""
LINE_STEP = 7
"""Every seventh line of a sampled frame is compared, other ones in each; plain Python is slow."""
LARGEST_PAGE = 700_000
"""Bytes of a player page."""
LEAST_DEPTHS = 2
"""A wood seen through its near trees has two; most of the set has four or more."""


@pytest.fixture(scope="module", params=NAMES)
def backdrop(request: pytest.FixtureRequest) -> Backdrop:
    return build(load_preset(request.param))


@pytest.fixture(scope="module")
def export(backdrop: Backdrop, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The export of a preset, whole."""
    return write_export(backdrop, tmp_path_factory.mktemp("made") / backdrop.name)


def test_stored_planes_are_like_the_painted_ones(backdrop):
    """SSIM of OKLab lightness by scikit-image, with the settings of the paper.

    Wang, Bovik, Sheikh, Simoncelli, IEEE TIP 13(4), 2004.
    """
    light = oklab_table(tuple(backdrop.machine.levels))[:, 0]
    found = [
        structural_similarity(
            light[painted],
            light[stored],
            data_range=1.0,
            gaussian_weights=True,
            sigma=1.5,
            use_sample_covariance=False,
        )
        for painted, stored in zip(backdrop.proof.painted, backdrop.proof.stored, strict=True)
    ]
    assert np.mean(found) >= LEAST_SSIM


def test_painters_are_thrifty(backdrop):
    assert len(backdrop.tiles.pixels) <= backdrop.tiles.budget
    assert backdrop.tiles.before <= MOST_BEFORE * backdrop.tiles.budget


def test_two_depths_or_more(backdrop):
    assert backdrop.proof.figures.depths.all >= LEAST_DEPTHS


def test_the_export_holds_and_its_page_is_small(export):
    """`genbg check` finds no fault."""
    assert check_export(export) == []
    assert (export / "player.html").stat().st_size < LARGEST_PAGE


def test_moving_colours_are_safe(backdrop):
    """WCAG 2.2, success criterion 2.3.1: at most three flashes a second."""
    report = colour_flashes(backdrop)
    assert max(report.general, report.red) <= FLASHES_ALLOWED


def played(frames: int, returns: bool) -> list[int]:
    """Frame numbers as the contract says that a preview plays them."""
    there = list(range(frames))
    return there + there[-2:0:-1] if returns else there


def test_the_preview_is_what_the_bytes_say(export):
    """still.png, and sampled frames of preview.png there and back, are what plain Python draws from
    the machine's bytes alone."""
    reader = FrameReader(export)
    preview = reader.manifest["preview"]
    png = picture_reader.read_png((export / "preview.png").read_bytes())
    order = played(preview["frames"], preview["returns"])
    assert len(png.frames) == png.frame_count == len(order)
    assert png.plays == 0
    sampled = {0, 1, len(order) // 3, preview["frames"] - 1, preview["frames"], len(order) - 1}
    for place, canvas in enumerate(picture_reader.played_lines(png)):
        if place in sampled:
            lines = range(place % LINE_STEP, reader.height, LINE_STEP)
            shown = [picture_reader.rgb_line(png, canvas[line]) for line in lines]
            assert shown == reader.frame_rgb(order[place], lines), place
    still = picture_reader.read_png((export / "still.png").read_bytes())
    assert picture_reader.still_rgb(still) == picture_reader.still_rgb(png)


def test_nothing_is_warned_of(backdrop):
    """Sprites, speeds, colours and budget of what is bundled are in order."""
    assert backdrop.warnings == ()


def test_up_and_down_is_shown():
    """Two presets are there to show that planes move up and down, whole or by columns."""
    moves = {
        name: len(np.unique(build(load_preset(name)).preview.vscroll, axis=0))
        for name in ("moon-swell", "lamp-stair")
    }
    assert min(moves.values()) > 8
