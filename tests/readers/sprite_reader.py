"""Works out sprites and vertical scroll of any frame of an export, in plain Python.

A second reader beside the package's own: it imports nothing of genbg and no library of arrays. It
knows the formats of pieces.bin, columns.bin and plane_speeds.bin and the formulas of the README.
"""

from __future__ import annotations

import json
import struct
from fractions import Fraction
from pathlib import Path


class SpriteReader:
    """An export folder, asked for a frame's columns and sprite table."""

    def __init__(self, folder: Path):
        home = folder / "machine"
        manifest = json.loads((folder / "backdrop.json").read_text("utf-8"))
        self.step = Fraction(manifest["preview"]["camera_step"])
        self.camera_y = manifest["preview"]["camera_y"]
        self.vertical = manifest["vertical"]
        self.width, self.height = manifest["machine"]["screen"]
        self.period, self.plane_height = (8 * side for side in manifest["machine"]["plane_cells"])
        self.placed = _records(home / "pieces.bin", ">HhBBHii")
        self.columns = _records(home / "columns.bin", ">40h")
        kept = manifest["sprites"]["reserve"] if manifest["sprites"] else 0
        self.room = manifest["machine"]["sprites_screen"] - kept

    def lines_up(self, frame: int, plane: int) -> int:
        """Lines that a plane has moved up, columns left aside; front is 0, back is 1."""
        if not self.vertical:
            return 0
        return Fraction(self.vertical["ratio"][plane]) * Fraction(self.camera_y[frame]) // 1

    def column_words(self, frame: int) -> list[int]:
        """The 20 pairs of the vertical-scroll memory: front, back, front, back and so on."""
        added = self.columns[frame % len(self.columns)] if self.columns else [0] * 40
        return [self.lines_up(frame, place % 2) + added[place] & 0x3FF for place in range(40)]

    def table(self, frame: int) -> bytes:
        """The 80 entries of the sprite table."""
        shown = []
        for x, y, size, _, word, ratio, drift in self.placed:
            speed, own = Fraction(ratio, 65536), Fraction(drift, 65536)
            wide, tall = 8 * (size // 4 + 1), 8 * (size % 4 + 1)
            x -= (speed * frame * self.step + own * frame) // 1
            if self.camera_y is not None:
                y -= speed * Fraction(self.camera_y[frame]) // 1
            if self.vertical and self.vertical["endless"]:
                y = (y + tall) % self.plane_height - tall
            for copy in range(-self.width, self.width + 1):
                at = x % self.period + copy * self.period
                if -wide < at < self.width and -tall < y < self.height:
                    shown.append((y + 128, size, word, at + 128))
        shown = shown[: self.room]
        entries = [
            struct.pack(">HBBHH", y, size, (place + 1) % len(shown), word, x)
            for place, (y, size, word, x) in enumerate(shown)
        ]
        return b"".join(entries).ljust(640, b"\0")


def _records(path: Path, form: str) -> list[tuple[int, ...]]:
    return list(struct.iter_unpack(form, path.read_bytes())) if path.exists() else []
