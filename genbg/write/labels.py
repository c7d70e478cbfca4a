"""Pictures with lettering, drawn in nothing but the machine's 512 colours, as colour numbers."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from genbg.colour import levels_to_number, screen_table
from genbg.screen.film import MOST_INDEXED, Film
from genbg.write.lettering import text_mask


def colour_of(red: int, green: int, blue: int) -> int:
    """Return the number of a colour by its levels, 0..7 each."""
    return int(levels_to_number(np.array([red, green, blue])))


PAPER = colour_of(0, 0, 1)
LEAF = colour_of(1, 1, 1)
RULE = colour_of(1, 1, 2)
QUIET = colour_of(5, 5, 5)
INK = colour_of(7, 7, 6)
OF_FRONT = colour_of(7, 5, 2)
OF_BACK = colour_of(3, 5, 7)


def blank(width: int, height: int) -> np.ndarray:
    """Return an empty picture (height, width) uint16."""
    return np.full((height, width), PAPER, dtype=np.uint16)


def put(picture: np.ndarray, x: int, y: int, part: np.ndarray) -> None:
    """Lay a part (h, w) over a picture with its upper left corner at (x, y)."""
    picture[y : y + len(part), x : x + part.shape[1]] = part


def fill(picture: np.ndarray, x: int, y: int, width: int, height: int, colour: int) -> None:
    """Fill a box; a width or height of 0 fills nothing."""
    picture[y : y + height, x : x + width] = colour


def write(
    picture: np.ndarray, x: int, y: int, text: str, colour: int = INK, scale: int = 1
) -> None:
    """Write a text whose upper left corner is at (x, y); what is past the right edge is cut."""
    mask = text_mask(text, scale)[: len(picture) - y, : picture.shape[1] - x]
    picture[y : y + len(mask), x : x + mask.shape[1]][mask] = colour


def write_right(picture: np.ndarray, x: int, y: int, text: str, colour: int = INK) -> None:
    """Write a text that ends before column x."""
    write(picture, max(0, x - text_mask(text).shape[1]), y, text, colour)


def film_of(pictures: Sequence[np.ndarray], levels: Sequence[int]) -> Film:
    """Return pictures (H, W) uint16 of one size as a film: indexed where 256 colours will do.

    Where several numbers look alike in the palette, each keeps a place of its own.
    """
    count = sum(np.bincount(picture.ravel(), minlength=512) for picture in pictures)
    held = np.flatnonzero(count)
    if len(held) > MOST_INDEXED:
        return Film(np.stack(pictures), None, tuple(levels))
    place = np.zeros(512, dtype=np.uint8)
    place[held] = np.arange(len(held))
    pixels = np.empty((len(pictures), *pictures[0].shape), dtype=np.uint8)
    for picture, out in zip(pictures, pixels, strict=True):
        np.take(place, picture, out=out)
    return Film(pixels, screen_table(tuple(levels))[held], tuple(levels))
