"""Works out what moves in an export: scroll words and colours of any frame, in plain Python.

A second reader beside the package's own: it imports nothing of genbg and no library of arrays. It
knows the formats of speeds.bin, waves.bin and motion.bin and the formula that the README states.
"""

from __future__ import annotations

import json
import struct
from fractions import Fraction
from pathlib import Path

from sprite_reader import SpriteReader

WAVE = ">5H256b"


class MotionReader:
    """An export folder, asked for a frame's scroll words and colours."""

    def __init__(self, folder: Path):
        home = folder / "machine"
        manifest = json.loads((folder / "backdrop.json").read_text("utf-8"))
        self.camera_step = Fraction(manifest["preview"]["camera_step"])
        numbers = (home / "speeds.bin").read_bytes()
        self.speeds = list(struct.iter_unpack(">4i", numbers))
        self.lines = len(self.speeds)
        self.near = SpriteReader(folder)
        if self.near.vertical:
            numbers = (home / "plane_speeds.bin").read_bytes()
            self.speeds = list(struct.iter_unpack(">4i", numbers))
        waves = home / "waves.bin"
        self.waves = list(struct.iter_unpack(WAVE, waves.read_bytes())) if waves.exists() else []
        self.start = _words(home / "palette.bin") + _words(home / "splits.bin")
        self.period, self.changes = _script(_words(home / "motion.bin"))

    def scroll(self, frame: int) -> list[int]:
        """The scroll words of a frame: front, back, front, back and so on."""
        camera = frame * self.camera_step
        words = []
        for screen_line in range(self.lines):
            for plane in range(2):
                line = (screen_line + self.near.lines_up(frame, plane)) % len(self.speeds)
                ratios, drift = self.speeds[line][:2], self.speeds[line][2 + plane]
                moved = Fraction(ratios[plane], 65536) * camera + Fraction(drift, 65536) * frame
                words.append(-(moved // 1 + self._offset(frame, line, plane)) & 0x3FF)
        return words

    def _offset(self, frame: int, line: int, plane: int) -> int:
        for on_plane, top, lines, frames, step, *offsets in self.waves:
            if on_plane == plane and top <= line < top + lines:
                phase = frame % frames * 65536 // frames + line * step
                return offsets[phase >> 8 & 255]
        return 0

    def colours(self, frame: int) -> list[int]:
        """Colour memory at the top of a frame, then the words of splits.bin."""
        state = list(self.start)
        for now in range(1, frame + 1):
            for target, word in self.changes.get(now % self.period, []):
                state[target] = word
        return state


def _words(path: Path) -> list[int]:
    data = path.read_bytes() if path.exists() else b""
    return list(struct.unpack(f">{len(data) // 2}H", data))


def _script(words: list[int]) -> tuple[int, dict[int, list[tuple[int, int]]]]:
    """Period, and for each frame of it what changes: (target, word)."""
    if not words:
        return 1, {}
    changes, at = {}, 1
    while at < len(words):
        frame, count = words[at], words[at + 1]
        pairs = words[at + 2 : at + 2 + 2 * count]
        changes[frame] = list(zip(pairs[::2], pairs[1::2], strict=True))
        at += 2 + 2 * count
    return words[0], changes
