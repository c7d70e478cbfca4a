"""Draws sprites line by line, and drops on each line what the machine would drop.

Facts, common practice, no source: the table is read from entry 0 along the links; a line shows at
most so many sprites and so many sprite pixels, in that order, and the rest are not drawn on it;
among sprites the one that comes first in the list is in front; a sprite whose horizontal position
word is 0 masks those after it on the lines that it covers. A sprite beside the screen counts too.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.hardware.profile import Machine
from genbg.hardware.sizes import CELL
from genbg.hardware.sprite_entry import ORIGIN, Sprites, cell_order, linked_order, unpack_sprites

PRIORITY_PLANES = 2 << 6
"""Codes from here on are plane pixels that low sprites stay behind."""
PRIORITY_SPRITE = 1 << 7
ENTRY_BITS = 63


@dataclass(frozen=True)
class SpriteLimits:
    """How many sprites a screen has, a line shows, and sprite pixels a line shows."""

    screen: int
    line: int
    line_px: int

    @classmethod
    def of(cls, machine: Machine) -> SpriteLimits:
        return cls(machine.sprites_screen, machine.sprites_line, machine.sprite_pixels_line)


def read_list(entries: np.ndarray, most: int) -> Sprites:
    """Return the first `most` sprites of table entries (n, 8) uint8, in the order of their links.

    Raises BytesError where a link leads out of the table or back, or an entry sets unused bits.
    """
    sprites = unpack_sprites(entries)
    order = np.array(linked_order(sprites.link)[:most], dtype=np.intp)
    return Sprites(*(part[order] for part in sprites))


def shown_pixels(sprites: Sprites, lines: int, limits: SpriteLimits) -> np.ndarray:
    """Return (n, L) how many pixels of each sprite, from its left, each line shows; 0: none.

    The sprite that crosses the pixel limit of a line is cut there.
    """
    line = np.arange(lines)
    y, height = sprites.y[:, None], sprites.height[:, None].astype(np.intp) * CELL
    covers = (line >= y) & (line < y + height)
    wide = covers * (sprites.width[:, None].astype(np.intp) * CELL)
    left = np.clip(limits.line_px - (np.cumsum(wide, axis=0) - wide), 0, wide)
    masked = np.cumsum(covers & (sprites.x == -ORIGIN)[:, None], axis=0) > 0
    left[masked | (np.cumsum(covers, axis=0) > limits.line)] = 0
    return left


def sprite_codes(sprites: Sprites, number: int, tiles: np.ndarray) -> np.ndarray:
    """Return one sprite's codes (height, width) uint8 in pixels, see-through pixels 0.

    A code is a colour entry, plus `PRIORITY_SPRITE` where the sprite has priority. A tile number
    past the stored tiles shows nothing.
    """
    order = cell_order(int(sprites.width[number]), int(sprites.height[number]))
    wanted = order + int(sprites.number[number])
    stored = wanted < len(tiles)
    cells = tiles[np.where(stored, wanted, 0)] * stored[:, :, None, None]
    rows, columns = order.shape
    picture = cells.transpose(0, 2, 1, 3).reshape(rows * CELL, columns * CELL)
    picture = picture[:: -1 if sprites.vflip[number] else 1, :: -1 if sprites.hflip[number] else 1]
    upper = int(sprites.row[number]) << 4 | PRIORITY_SPRITE * int(sprites.priority[number])
    return np.where(picture > 0, picture | upper, 0).astype(np.uint8)


def sprite_layer(
    entries: np.ndarray, tiles: np.ndarray, limits: SpriteLimits, shape: tuple[int, int]
) -> np.ndarray:
    """Return the codes (L, width) uint8 of all sprites of a frame, as if there were no planes.

    entries: (n, 8) uint8 table entries; tiles: (T, 8, 8); shape: (L, width) of the screen
    """
    lines, width = shape
    sprites = read_list(entries, limits.screen)
    shown = shown_pixels(sprites, lines, limits)
    layer = np.zeros(shape, dtype=np.uint8)
    seen = shown.any(axis=1) & (sprites.x < width)
    for number in reversed(np.flatnonzero(seen).tolist()):
        x, y = int(sprites.x[number]), int(sprites.y[number])
        picture = sprite_codes(sprites, number, tiles)
        top, bottom = max(y, 0), min(y + picture.shape[0], lines)
        left, right = max(x, 0), min(x + picture.shape[1], width)
        if left >= right:
            continue
        part = picture[top - y : bottom - y, left - x : right - x]
        room = shown[number, top:bottom]
        drawn = part > 0
        if room.min() < picture.shape[1]:
            drawn &= np.arange(left - x, right - x) < room[:, None]
        np.copyto(layer[top:bottom, left:right], part, where=drawn)
    return layer


def draw_sprites(code: np.ndarray, layer: np.ndarray) -> None:
    """Draw a layer of sprites (L, width) into the codes (L, width) of the planes, in place.

    The planes' codes are those of `display.py`; afterwards only their colour entries have a
    meaning.
    """
    seen = (layer > 0) & ((layer >= PRIORITY_SPRITE) | (code < PRIORITY_PLANES))
    np.copyto(code, layer & ENTRY_BITS, where=seen)
