"""Draws preview frames from an export's machine bytes, pixel by pixel, in plain Python.

A second reader beside the package's own: it imports nothing of genbg and no library of arrays, and
is written from the description of the machine alone (common practice, no source): formats, the
order of drawing, what each scroll mode reads, which sprites a line drops. Slow, and meant to be.
"""

from __future__ import annotations

import json
import struct
from pathlib import Path

FRONT, BACK = 0, 1


def read_words(path: Path) -> list[int]:
    """All 16-bit big-endian words of a file."""
    data = path.read_bytes()
    return list(struct.unpack(f">{len(data) // 2}H", data))


def read_tiles(path: Path) -> list[list[list[int]]]:
    """Tiles as lists of 8 rows of 8 entries: the left pixel is the high nibble."""
    data = path.read_bytes()
    tiles = []
    for start in range(0, len(data), 32):
        rows = []
        for row in range(8):
            line = []
            for byte in data[start + row * 4 : start + row * 4 + 4]:
                line += [byte >> 4, byte & 15]
            rows.append(line)
        tiles.append(rows)
    return tiles


class FrameReader:
    """An export folder, ready to be drawn frame by frame."""

    def __init__(self, folder: Path):
        self.folder = folder
        self.manifest = json.loads((folder / "backdrop.json").read_text("utf-8"))
        machine = self.manifest["machine"]
        self.width, self.height = machine["screen"]
        self.columns, self.rows = machine["plane_cells"]
        self.scroll_mode = machine["scroll"]
        self.window = machine["window"]
        self.backdrop_entry = machine["backdrop_entry"]
        self.levels = machine["levels"]
        self.sprite_limits = (
            machine["sprites_screen"],
            machine["sprites_line"],
            machine["sprite_pixels_line"],
        )
        self.frames = self.manifest["preview"]["frames"]
        home = folder / "machine"
        self.tiles = read_tiles(home / "tiles.bin")
        self.maps = (read_words(home / "front.map"), read_words(home / "back.map"))
        self.palette = read_words(home / "palette.bin")
        self.scroll = read_words(home / "preview" / "scroll.bin")
        self.vscroll = self._words("preview/vscroll.bin")
        self.palettes = self._words("preview/palette.bin")
        self.splits = self._splits(self._words("splits.bin") or [])
        self.frame_splits = self._words("preview/splits.bin")
        self.sprites = self._bytes("sprites.bin")
        self.frame_sprites = self._bytes("preview/sprites.bin")

    def _bytes(self, name: str) -> bytes | None:
        path = self.folder / "machine" / name
        return path.read_bytes() if path.exists() else None

    def _words(self, name: str) -> list[int] | None:
        path = self.folder / "machine" / name
        return read_words(path) if path.exists() else None

    @staticmethod
    def _splits(words: list[int]) -> list[tuple[int, int, list[int]]]:
        """Colour rewrites as (line, first entry, colour words)."""
        splits = []
        while words:
            line, first, count = words[:3]
            splits.append((line, first, words[3 : 3 + count]))
            words = words[3 + count :]
        return splits

    def frame_rgb(self, frame: int, lines: range | None = None) -> list:
        """One frame, or some lines of it, as rows of (red, green, blue) bytes."""
        lines = range(self.height) if lines is None else lines
        return self.show(frame, lines, self.frame_entries(frame, lines))

    def frame_entries(self, frame: int, lines: range | None = None) -> list[list[int]]:
        """One frame, or some lines of it, as rows of colour entries 0..63."""
        lines = range(self.height) if lines is None else lines
        return [self._line(frame, line) for line in lines]

    def show(self, frame: int, lines: range, rows: list[list[int]]) -> list:
        """The screen colours of a frame's rows of colour entries."""
        picture = []
        for line, entries in zip(lines, rows, strict=True):
            colours = [self._rgb(word) for word in self._colours(frame, line)]
            picture.append([colours[entry] for entry in entries])
        return picture

    def _colours(self, frame: int, line: int) -> list[int]:
        """Colour memory while a line is drawn."""
        words = list(self.palette)
        if self.palettes is not None:
            words = self.palettes[frame * 64 : frame * 64 + 64]
        splits = self.splits
        if self.frame_splits is not None:
            size = sum(3 + len(new) for *_, new in splits)
            splits = self._splits(self.frame_splits[frame * size : frame * size + size])
        for start, first, new in sorted(splits, key=lambda split: split[0]):
            if start <= line:
                words[first : first + len(new)] = new
        return words

    def _rgb(self, word: int) -> tuple[int, int, int]:
        """Screen colour of a word 0000 BBB0 GGG0 RRR0."""
        return tuple(self.levels[word >> shift & 7] for shift in (1, 5, 9))

    def _line(self, frame: int, line: int) -> list[int]:
        planes = [self._plane_line(frame, line, plane) for plane in (FRONT, BACK)]
        sprites = self._sprite_line(frame, line)
        entries = []
        for x in range(self.width):
            front, back, sprite = planes[FRONT][x], planes[BACK][x], sprites[x]
            # nearest first
            for high in (True, False):
                seen = [layer for layer in (sprite, front, back) if layer and layer[1] == high]
                if seen:
                    entries.append(seen[0][0])
                    break
            else:
                entries.append(self.backdrop_entry)
        return entries

    def _plane_line(self, frame: int, line: int, plane: int) -> list[tuple[int, bool] | None]:
        """A line of a plane: (entry, high) or None where it is see-through."""
        if plane == FRONT and self.window and self.window[0] <= line < self.window[1]:
            return [None] * self.width
        source = {"line": line, "strip": line // 8 * 8, "plane": 0}[self.scroll_mode]
        right = self.scroll[(frame * self.height + source) * 2 + plane]
        pixels = []
        for x in range(self.width):
            up = 0
            if self.vscroll is not None:
                # columns of 16 pixels start at the plane's own multiples of 16; what is left of
                # the first whole one moves with it
                column = max(0, x - right % 16) // 16
                up = self.vscroll[(frame * 20 + column) * 2 + plane]
            pixels.append(self._plane_pixel(plane, x - right, line + up))
        return pixels

    def _plane_pixel(self, plane: int, x: int, y: int) -> tuple[int, bool] | None:
        x, y = x % (self.columns * 8), y % (self.rows * 8)
        word = self.maps[plane][y // 8 * self.columns + x // 8]
        return self._tile_pixel(word, word & 0x7FF, x % 8, y % 8)

    def _tile_pixel(self, word: int, number: int, x: int, y: int) -> tuple[int, bool] | None:
        """(entry, high) of a pixel of a tile under a map word's flips, row and priority."""
        if word & 0x0800:
            x = 7 - x
        if word & 0x1000:
            y = 7 - y
        entry = self.tiles[number][y][x] if number < len(self.tiles) else 0
        return ((word >> 13 & 3) * 16 + entry, bool(word & 0x8000)) if entry else None

    def _table(self, frame: int) -> bytes:
        if self.frame_sprites is not None:
            return self.frame_sprites[frame * 640 : frame * 640 + 640]
        return self.sprites or b""

    def _sprite_line(self, frame: int, line: int) -> list[tuple[int, bool] | None]:
        """The sprites of a line: (entry, high) or None; the first in the list is in front."""
        table = self._table(frame)
        pixels: list[tuple[int, bool] | None] = [None] * self.width
        most, most_on_line, most_pixels = self.sprite_limits
        read = on_line = drawn = number = 0
        while table and read < most:
            y, size, link, word, x = struct.unpack_from(">HBBHH", table, number * 8)
            width, height = (size >> 2 & 3) + 1, (size & 3) + 1
            read += 1
            down = line - (y - 128)
            if 0 <= down < height * 8:
                on_line += 1
                if x == 0 or on_line > most_on_line:
                    break
                for across in range(width * 8):
                    if drawn == most_pixels:
                        return pixels
                    drawn += 1
                    at = x - 128 + across
                    if 0 <= at < self.width and pixels[at] is None:
                        pixels[at] = self._sprite_pixel(word, across, down, width, height)
            if link == 0:
                break
            number = link
        return pixels

    def _sprite_pixel(
        self, word: int, x: int, y: int, width: int, height: int
    ) -> tuple[int, bool] | None:
        """A pixel of a sprite of width x height cells, whose tiles go down column by column."""
        if word & 0x0800:
            x = width * 8 - 1 - x
        if word & 0x1000:
            y = height * 8 - 1 - y
        number = (word & 0x7FF) + x // 8 * height + y // 8
        return self._tile_pixel(word & ~0x1800, number, x % 8, y % 8)
