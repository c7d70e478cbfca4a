"""The package's display and the plain second reader draw the same frames."""

from __future__ import annotations

import sys
from pathlib import Path

import numpy as np
import pytest
from frame_reader import FrameReader

sys.path.insert(0, str(Path(__file__).parents[1] / "write"))
from small_backdrops import (
    random_backdrop,
    random_preview,
    random_splits,
    random_sprites,
    random_words,
)

from genbg.hardware.profile import Machine
from genbg.screen.display import draw_frame, load_screen
from genbg.screen.film import make_film
from genbg.write.folder import write_export

SMALL = Machine(
    screen=(256, 224),
    plane_cells=(32, 32),
    sprites_screen=64,
    sprites_line=16,
    sprite_pixels_line=256,
)


def dice(seed: int) -> np.random.Generator:
    return np.random.Generator(np.random.PCG64(seed))


def vertical(seed: int, frames: int) -> np.ndarray:
    return dice(seed).integers(0, 1024, (frames, 20, 2)).astype(np.uint16)


def crowded(seed: int, frames: int) -> np.ndarray:
    """Sprite tables that go past the limits of many lines."""
    return np.stack([random_sprites(dice(seed + n), 80, 24) for n in range(frames)])


CASES = {
    "planes": {},
    "small screen": {"machine": SMALL},
    "plane narrower than the screen": {"machine": Machine(plane_cells=(32, 64))},
    "plane lower than two screens": {"machine": Machine(plane_cells=(128, 32))},
    "strips": {"machine": Machine(scroll="strip")},
    "one offset": {"machine": Machine(scroll="plane")},
    "backdrop entry": {"backdrop_entry": 37},
    "window": {"window": (0, 24)},
    "splits": {"splits": random_splits(dice(5), [17, 100, 100, 223])},
    "splits out of order": {"splits": random_splits(dice(6), [160, 40])},
    "columns": {"preview": random_preview(dice(7), 2, 224, vscroll=vertical(8, 2))},
    "columns of a small screen": {
        "machine": SMALL,
        "preview": random_preview(dice(7), 2, 224, vscroll=vertical(8, 2)),
    },
    "all columns alike": {
        "preview": random_preview(
            dice(7), 2, 224, vscroll=np.full((2, 20, 2), (9, 1000), dtype=np.uint16)
        )
    },
    "colour motion": {
        "preview": random_preview(dice(9), 2, 224, palette=random_words(dice(10), (2, 64)))
    },
    "sprites": {"sprites": random_sprites(dice(11), 30, 24)},
    "crowded sprites": {"preview": random_preview(dice(12), 2, 224, sprites=crowded(13, 2))},
    "crowded small screen": {
        "machine": SMALL,
        "preview": random_preview(dice(14), 2, 224, sprites=crowded(15, 2)),
    },
    "all at once": {
        "machine": Machine(scroll="strip", plane_cells=(64, 64)),
        "window": (200, 224),
        "backdrop_entry": 63,
        "splits": random_splits(dice(16), [8, 90]),
        "preview": random_preview(
            dice(17),
            2,
            224,
            vscroll=vertical(18, 2),
            sprites=crowded(19, 2),
            palette=random_words(dice(20), (2, 64)),
        ),
    },
}


@pytest.mark.parametrize("name", CASES)
def test_display_equals_the_plain_reader(name: str, tmp_path: Path) -> None:
    """Frames drawn from the export's bytes by plain Python are the package's, pixel for pixel."""
    backdrop = random_backdrop(21, frames=2, **CASES[name])
    reader = FrameReader(write_export(backdrop, tmp_path / "out", previews=False))
    screen, film = load_screen(backdrop), make_film(backdrop)
    for frame in range(2):
        lines = range(frame, 224, 3)  # of each frame other lines; plain Python is slow
        entries = reader.frame_entries(frame, lines)
        assert np.array_equal(draw_frame(screen, frame)[lines], entries)
        assert np.array_equal(film.rgb(frame)[lines], reader.show(frame, lines, entries))


def test_crowded_tables_do_drop_sprites() -> None:
    """The crowded cases above go past the limits, else they would not test them."""
    from genbg.screen.sprite_lines import SpriteLimits, read_list, shown_pixels

    limits = SpriteLimits.of(SMALL)
    sprites = read_list(crowded(15, 1)[0], limits.screen)
    shown = shown_pixels(sprites, 224, limits)
    no_limits = shown_pixels(sprites, 224, SpriteLimits(80, 80, 4096))
    assert ((shown > 0) & (shown < no_limits)).any(), "no sprite is cut at the pixel limit"
    assert ((shown == 0) & (no_limits > 0)).any(), "no sprite is dropped"
