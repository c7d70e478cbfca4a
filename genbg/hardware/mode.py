"""The ways the hardware can work, with everything that no preset can change.

All values are common practice of the trade, no source, written from memory. Sizes are bytes unless
the name says otherwise.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Width:
    """What depends on how wide the screen is.

    sprites: on a screen, on a line, and sprite pixels on a line
    window_bytes, window_align: size of the window's map and what its address is a multiple of
    sprite_align: what the address of the sprite table is a multiple of, in bytes
    """

    pixels: int
    sprites: tuple[int, int, int]
    window_bytes: int
    window_align: int
    sprite_align: int


@dataclass(frozen=True)
class Mode:
    """A way the hardware can work.

    planes: scrolling planes; palette_rows, row_colours, channel_bits: colour memory
    number_bits: bits of a tile number in a map word
    bit_planes: True where a tile stores its pixels bit by bit, False where in nibbles
    video_bytes: memory that tiles, maps and tables share
    plane_sides: allowed widths and heights of a plane in cells; plane_cells_max: cells in all
    heights: screen lines that every board has
    line_scroll: True where each line may have its own offset, by a table in video memory
    """

    name: str
    planes: int
    palette_rows: int
    row_colours: int
    channel_bits: int
    number_bits: int
    bit_planes: bool
    video_bytes: int
    plane_sides: tuple[tuple[int, ...], tuple[int, ...]]
    plane_cells_max: int
    widths: tuple[Width, ...]
    heights: tuple[int, ...]
    map_align: int
    scroll_align: int
    column_pairs: int
    line_scroll: bool = True
    tile_bytes: int = 32
    sprite_entry_bytes: int = 8

    @property
    def tiles_max(self) -> int:
        """Tiles that a map word can address."""
        return 1 << self.number_bits

    @property
    def colours(self) -> int:
        """Colours that can be mixed."""
        return 1 << 3 * self.channel_bits


TWO_PLANES = Mode(
    name="two planes",
    planes=2,
    palette_rows=4,
    row_colours=16,
    channel_bits=3,
    number_bits=11,
    bit_planes=False,
    video_bytes=65536,
    plane_sides=((32, 64, 128), (32, 64, 128)),
    plane_cells_max=4096,
    widths=(
        Width(256, (64, 16, 256), 2048, 2048, 512),
        Width(320, (80, 20, 320), 4096, 4096, 1024),
    ),
    heights=(224,),
    map_align=8192,
    scroll_align=1024,
    column_pairs=20,
)

ONE_PLANE = Mode(
    name="one plane",
    planes=1,
    palette_rows=2,
    row_colours=16,
    channel_bits=2,
    number_bits=9,
    bit_planes=True,
    video_bytes=16384,
    plane_sides=((32,), (28,)),
    plane_cells_max=32 * 28,
    widths=(Width(256, (64, 8, 64), 0, 1, 256),),
    heights=(192,),
    map_align=2048,
    scroll_align=1,
    column_pairs=0,
    line_scroll=False,
    sprite_entry_bytes=4,
)
"""The same machine's older mode, described so that the profile has room for it. Nothing paints for
it yet."""
