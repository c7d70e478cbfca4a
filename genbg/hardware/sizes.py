"""Numbers of the machine that no mode and no preset changes: each stands here and nowhere else.

All are common practice of the trade, no source, written from memory.
"""

from __future__ import annotations

CELL = 8
"""Pixels along one side of a tile, and of a plane's cell."""
CELL_PIXELS = CELL * CELL

PALETTES = 4
"""Palettes that colour memory holds; a cell and a sprite name one."""
PALETTE_ENTRIES = 16
"""Entries of a palette; the first is see-through."""
PALETTE_COLOURS = PALETTE_ENTRIES - 1
ENTRIES = PALETTES * PALETTE_ENTRIES
"""Entries of colour memory."""
SCREEN_COLOURS = 512
"""Colours that an entry can hold."""

TILE_NUMBERS = 2048
"""Tiles that the 11 bits of a map word or a sprite entry can name."""
TILE_NUMBER_MASK = TILE_NUMBERS - 1

SCROLL_MASK = 1023
"""The bits of a scroll word that count: offsets come again after 1024 pixels."""
COLUMN_PAIRS = 20
"""Pairs of columns that may each have a vertical offset of their own."""
TABLE_SPRITES = 80
"""Entries of the sprite table on the widest screen."""

FRACTION_BITS = 16
"""Binary places of a speed: 16.16 fixed point."""
ONE = 1 << FRACTION_BITS
"""The speed of one pixel, in 16.16 fixed point."""
MOST_SENT = 65536
"""More than all of video memory cannot be sent between two frames."""

PLANE_NAMES = ("front", "back")
"""The scrolling planes, by their numbers FRONT and BACK."""
