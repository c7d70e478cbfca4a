"""Backdrops of random numbers for the tests of write/: every feature of the machine, tiny in size.

Nothing here is painted; the numbers are only legal. `random_backdrop` takes the same names as
`Backdrop`, so that a test can say what it looks at and leave the rest to chance.
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np
from sample import grouped

from genbg.colour import LINEAR_LEVELS
from genbg.hardware.colour_word import number_to_word
from genbg.hardware.map_word import pack_map
from genbg.hardware.profile import Machine
from genbg.hardware.sprite_entry import Sprites, pack_sprites
from genbg.model import Backdrop, EngineLayer, ErrorFigures, LineSpeeds, Preview, Split


def random_words(dice: np.random.Generator, shape: tuple[int, ...]) -> np.ndarray:
    """Colour words of random colours."""
    return number_to_word(dice.integers(0, 512, shape))


def random_map(dice: np.random.Generator, rows: int, columns: int, tiles: int) -> np.ndarray:
    """Map words of random cells."""
    shape = (rows, columns)
    flags = dice.integers(0, 2, (3, *shape)).astype(bool)
    return pack_map(dice.integers(0, tiles, shape), dice.integers(0, 4, shape), *flags)


def random_sprites(dice: np.random.Generator, count: int, tiles: int) -> np.ndarray:
    """A table (80, 8) of `count` random sprites around the screen, linked in a shuffled order."""
    links = np.zeros(80, dtype=np.int64)
    order = [0, *(dice.permutation(count - 1) + 1).tolist()]
    links[order[:-1]] = order[1:]
    flags = dice.integers(0, 2, (3, 80)).astype(bool)
    return pack_sprites(
        Sprites(
            x=dice.integers(-40, 330, 80),
            y=dice.integers(-40, 60, 80),
            width=dice.integers(1, 5, 80),
            height=dice.integers(1, 5, 80),
            link=links,
            number=dice.integers(0, tiles, 80),
            row=dice.integers(0, 4, 80),
            hflip=flags[0],
            vflip=flags[1],
            priority=flags[2],
        )
    )


def random_preview(dice: np.random.Generator, frames: int, lines: int, **given) -> Preview:
    """A preview whose scroll words are random on every line."""
    parts = {
        "fps": Fraction(60),
        "camera_step": Fraction(2),
        "returns": True,
        "scroll": dice.integers(0, 1024, (frames, lines, 2)).astype(np.uint16),
    }
    return Preview(**{**parts, **given})


def random_layer(dice: np.random.Generator, width: int) -> EngineLayer:
    """A layer of 16 lines from line 8 on."""
    return EngineLayer(
        name="pier",
        plane="back",
        top=8,
        number=dice.integers(0, 512, (16, width)).astype(np.uint16),
        alpha=dice.integers(0, 2, (16, width)).astype(bool),
        ratio=np.full(16, 0.25),
        drift=np.zeros(16),
        period=width,
    )


def random_backdrop(seed: int, frames: int = 3, count: int = 24, **given) -> Backdrop:
    """A backdrop of random tiles, maps, colours and scroll words; `given` replaces fields."""
    dice = np.random.Generator(np.random.PCG64(seed))
    machine = given.pop("machine", Machine())
    lines, (C, R) = machine.screen[1], machine.plane_cells
    palette = random_words(dice, (64,))
    parts = {
        "title": "Pier of lamps",
        "name": "pier",
        "seed": seed,
        "mood": "home",
        "machine": machine,
        # half of the pixels see-through, so that every depth shows
        "pixels": (dice.integers(0, 16, (count, 8, 8)) * dice.integers(0, 2, (count, 8, 8))).astype(
            np.uint8
        ),
        "maps": np.stack([random_map(dice, R, C, count) for _ in range(2)]),
        "palettes": {"home": palette},
        "speeds": LineSpeeds(
            dice.integers(0, 65537, (lines, 2)).astype(np.int32), np.zeros((lines, 2), np.int32)
        ),
        "preview": random_preview(dice, frames, lines),
        "base": 0,
        "budget": count,
        "before": count,
        "error": ErrorFigures(0.0, 99.0, 1.0, 0.0),
        "layers": (random_layer(dice, C * 8),),
        "painted": dice.integers(0, 512, (2, R * 8, C * 8)).astype(np.uint16),
        "stored": dice.integers(0, 512, (2, R * 8, C * 8)).astype(np.uint16),
    }
    return grouped(**{**parts, **given})


def random_splits(dice: np.random.Generator, lines: list[int]) -> tuple[Split, ...]:
    """Rewrites of random colours from given lines on."""
    splits = []
    for line in lines:
        first = int(dice.integers(0, 60))
        count = int(dice.integers(1, 64 - first))
        splits.append(Split(line, first, {"home": random_words(dice, (count,))}))
    return tuple(splits)


__all__ = [
    "LINEAR_LEVELS",
    "random_backdrop",
    "random_map",
    "random_preview",
    "random_splits",
    "random_sprites",
    "random_words",
]
