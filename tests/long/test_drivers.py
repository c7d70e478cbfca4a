"""The driver of every bundled preset, held against the formulas for many cameras and frames."""

from __future__ import annotations

import expected
import numpy as np
import pytest
from bench import Bench, mood_numbers

from genbg import pipeline
from genbg.reading.bundled import bundled_names, find_bundled
from genbg.reading.read import load_preset

CAMERAS = 200
TALL = 2**24
"""Camera heights up to 256 pixels, both ways."""


@pytest.mark.parametrize("name", bundled_names())
def test_a_bundled_driver_is_right(name, need, tmp_path):
    """200 random cameras and frames, every mood among them: all tables equal; no odd access, no
    write outside the block, registers kept; each gap rewrites what it has to."""
    for tool in ("as", "ld", "objcopy", "nm"):
        need.tool(f"m68k-linux-gnu-{tool}")
    need.module("unicorn.m68k_const")
    backdrop = pipeline.build(load_preset(find_bundled(name)))
    bench, moods = Bench(need.module("unicorn"), backdrop, tmp_path, "s"), mood_numbers(backdrop)
    rng = np.random.Generator(np.random.PCG64(19))
    for number in range(CAMERAS):
        mood = number * len(moods) // CAMERAS
        if number * len(moods) % CAMERAS < len(moods):
            bench.call("mood", mood)
        x, y = int(rng.integers(-(2**31), 2**31)), int(rng.integers(-TALL, TALL))
        frame = int(rng.integers(0, 2**32))
        bench.show(x, y, frame)
        bench.compare(x, y, frame, moods[mood])
        if backdrop.colours.splits and number % 20 == 0:
            state = expected.colours(backdrop, moods[mood], frame)
            assert bench.rewritten() == expected.rewrites(state)
