"""The page draws what the machine draws: every bundled preset, and machines of random numbers."""

from __future__ import annotations

from fractions import Fraction

import numpy as np
import pytest
from expected import scroll_words
from sample import NARROW, changed, make_backdrop

from genbg.hardware.profile import LADDERS, Machine
from genbg.images import read_animation
from genbg.model import LineSpeeds
from genbg.reading.bundled import bundled_names
from genbg.screen.film import make_film
from genbg.write import apng

SAMPLES = 32
TALL = Machine(
    screen=(320, 240), plane_cells=(128, 32), fps=Fraction(497, 10), frame_lines=313,
    levels=LADDERS["measured"],
)  # fmt: skip


def sampled(frames):
    """Numbers of at most 32 frames, evenly spread, the first and the last among them."""
    return sorted({round(n * (frames - 1) / (SAMPLES - 1)) for n in range(SAMPLES)})


def preview_frames(backdrop):
    """The frames of preview.png, decoded."""
    film = make_film(backdrop)
    data = dict(apng.files(backdrop, film))["preview.png"]
    shown = read_animation(data, tuple(backdrop.machine.screen), 2 * backdrop.preview.frames)
    return [pixels for pixels, _ in shown][: backdrop.preview.frames]


def assert_alike(page, frames, wanted):
    """Assert that the page's frames are those of the preview, pixel for pixel."""
    for number in wanted:
        wrong = (page.frame(number) != frames[number]).any(axis=-1)
        assert not wrong.any(), f"frame {number}: {np.argwhere(wrong)[0]} and {wrong.sum()} more"


@pytest.mark.parametrize("name", bundled_names())
def test_frames_equal_the_preview(name, backdrops, open_page):
    """32 frames of the page's canvas are those of preview.png; nothing is asked of the network."""
    backdrop = backdrops(name)
    page = open_page(backdrop)
    assert_alike(page, preview_frames(backdrop), sampled(backdrop.preview.frames))
    assert page.faults == []
    assert page.requests == [page.path.as_uri()]


@pytest.mark.parametrize("machine", [Machine(), NARROW, TALL, Machine(scroll="plane")])
@pytest.mark.parametrize("seed", [1, 2])
def test_random_machines_are_drawn_alike(machine, seed, open_page):
    """Splits, waves, moving colours, sprites, window, columns: random numbers come out alike."""
    backdrop = make_backdrop(seed, machine=machine, full=True, frames=5)
    page = open_page(backdrop)
    assert_alike(page, preview_frames(backdrop), range(5))
    assert page.faults == []


def test_any_camera_is_exact(open_page):
    """Offsets equal the formula in exact fractions, at cameras and times beyond any preview."""
    dice = np.random.Generator(np.random.PCG64(5))
    both = dice.integers(-(1 << 31), 1 << 31, (2, 224, 2)).astype(np.int32)
    backdrop = changed(make_backdrop(1), speeds=LineSpeeds(*both), waves=())
    page = open_page(backdrop)
    for bits in (8, 24, 40, 50):
        camera, frame = (int(n) for n in dice.integers(-(1 << bits), 1 << bits, 2))
        frame %= 1 << 32
        page.run("([camera, frame]) => Object.assign(backdropPage.view, { camera, frame })",
                 [camera, frame])  # fmt: skip
        shown = page.run("(backdropPage.drawNow(), Array.from(backdropPage.offsets))")
        right = scroll_words(backdrop.moves.speeds, camera, frame)
        assert shown == right.ravel().tolist(), (camera, frame)
