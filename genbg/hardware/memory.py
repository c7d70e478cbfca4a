"""The memory plan: where everything lies in the video memory that it has to share.

  area     a run of bytes with one use: a plane's map, the window's map, a table, the tiles
  capacity the tiles that fit between the other areas, in one piece

Maps and tables have to start at multiples of their alignment; the tiles follow one another
without a gap, so that one number, `tile_base`, says where all of them are to be loaded. Among all
placements the plan takes the one with the longest piece for tiles.
"""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from genbg.errors import LimitError
from genbg.hardware.map_word import MAP_WORD
from genbg.hardware.profile import Machine
from genbg.hardware.scroll_table import PAIR_BYTES


@dataclass(frozen=True)
class Area:
    """A run of bytes in video memory: `start` .. `start + size`, at a multiple of `align`."""

    name: str
    start: int
    size: int
    align: int

    @property
    def end(self) -> int:
        """First byte after the area."""
        return self.start + self.size


@dataclass(frozen=True)
class MemoryPlan:
    """Where everything lies.

    areas: sorted by address, the one called "tiles" among them; it is as long as what is stored
    tile_base: number of the first tile, counted from address 0
    capacity: tiles that fit; tiles_free: those left over
    """

    areas: tuple[Area, ...]
    tile_base: int
    capacity: int
    tiles_free: int

    def area(self, name: str) -> Area:
        """The area of that name. Raises KeyError where the plan has none."""
        for area in self.areas:
            if area.name == name:
                return area
        raise KeyError(name)


def plan_memory(machine: Machine, tiles: int, window: bool, sprites: bool) -> MemoryPlan:
    """Plan for `tiles` tiles, with a window map and a sprite table or without.

    Raises LimitError for fewer than 0 tiles or more than a map word can address, and where they
    do not fit: by how many bytes, and what would cure it.
    """
    limit = machine.mode.tiles_max
    if not 0 <= tiles <= limit:
        raise LimitError("patterns", tiles, limit, "patterns", f"use 0 to {limit}")
    placed, start, room = _longest_gap(tuple(_fixed(machine, window, sprites)), machine)
    tile = machine.mode.tile_bytes
    capacity = min(room // tile, limit)
    if tiles > capacity:
        over = (tiles - capacity) * tile
        cures = "; or ".join(_cures(machine, tiles, capacity, window, sprites))
        text = f"{over} bytes do not fit beside the maps and tables: {cures}"
        raise LimitError("video memory for patterns", tiles * tile, capacity * tile, "bytes", text)
    stored = Area("patterns", start, tiles * tile, tile)
    areas = sorted([*placed, stored], key=lambda area: (area.start, area.size))
    return MemoryPlan(tuple(areas), start // tile, capacity, capacity - tiles)


def tile_capacity(machine: Machine, window: bool, sprites: bool) -> int:
    """Tiles that fit at most beside the maps and tables."""
    return plan_memory(machine, 0, window, sprites).capacity


def _fixed(machine: Machine, window: bool, sprites: bool) -> Iterator[Area]:
    """Everything but the tiles, not placed yet, the widest alignment first."""
    mode, width = machine.mode, machine.width
    columns, rows = machine.plane_cells
    map_bytes = columns * rows * MAP_WORD.bits // 8
    for name in ("front map", "back map")[: mode.planes]:
        yield Area(name, 0, map_bytes, mode.map_align)
    if window and width.window_bytes:
        yield Area("window map", 0, width.window_bytes, width.window_align)
    if mode.line_scroll:
        yield Area("scroll table", 0, machine.screen[1] * PAIR_BYTES, mode.scroll_align)
    if sprites:
        size = machine.sprites_screen * mode.sprite_entry_bytes
        yield Area("sprite table", 0, size, width.sprite_align)


_Span = tuple[int, int]
"""First address of an area and the one beyond it."""


@functools.cache
def _longest_gap(areas: tuple[Area, ...], machine: Machine) -> tuple[tuple[Area, ...], int, int]:
    """Placement of `areas` with the longest free piece: (placed areas, its start, its length).

    Of placements as good, the one that fills from the top of memory wins, area by area.
    """
    size, tile = machine.mode.video_bytes, machine.mode.tile_bytes
    most = (size - sum(area.size for area in areas)) // tile * tile
    best: tuple[tuple[_Span, ...], int, int] = ((), 0, -1)

    def place(done: tuple[_Span, ...]) -> None:
        nonlocal best
        start, length = _gap(done, size, tile)
        if length <= best[2]:
            return
        if len(done) == len(areas):
            best = (done, start, length)
            return
        area = areas[len(done)]
        last = (size - area.size) // area.align * area.align
        for address in range(last, -1, -area.align):
            if best[2] == most:
                return
            end = address + area.size
            if all(end <= first or beyond <= address for first, beyond in done):
                place((*done, (address, end)))

    place(())
    spans, start, length = best
    if length < 0:
        needed = sum(area.size for area in areas)
        raise LimitError("video memory for maps and tables", needed, size, "bytes")
    placed = [
        dataclasses.replace(area, start=span[0]) for area, span in zip(areas, spans, strict=True)
    ]
    return tuple(placed), start, length


def _gap(spans: Sequence[_Span], size: int, tile: int) -> tuple[int, int]:
    """Start and length of the longest free piece, from one multiple of `tile` to another.

    Of two as long, the lower.
    """
    start, length, free = 0, 0, 0
    for first, beyond in [*sorted(spans), (size, size)]:
        begin, end = -(-free // tile) * tile, first // tile * tile
        if end - begin > length:
            start, length = begin, end - begin
        free = beyond
    return start, length


def _cures(
    machine: Machine, tiles: int, capacity: int, window: bool, sprites: bool
) -> Iterator[str]:
    """What would make the tiles fit, the mildest first."""
    yield f"set machine.tile_budget to {capacity} or less"
    if window and tile_capacity(machine, False, sprites) >= tiles:
        yield "do without the window"
    if sprites and tile_capacity(machine, window, False) >= tiles:
        yield "do without sprites"
    for columns, rows in _smaller_planes(machine):
        smaller = dataclasses.replace(machine, plane_cells=(columns, rows))
        if tile_capacity(smaller, window, sprites) >= tiles:
            yield f"set machine.plane_cells to [{columns}, {rows}]"
            return


def _smaller_planes(machine: Machine) -> list[tuple[int, int]]:
    """Plane sizes of fewer cells, the largest and then the widest first."""
    columns, rows = machine.mode.plane_sides
    sizes = [
        (c, r)
        for c in columns
        for r in rows
        if c * r < machine.plane_cells[0] * machine.plane_cells[1]
    ]
    return sorted(sizes, key=lambda size: (-size[0] * size[1], -size[0]))
