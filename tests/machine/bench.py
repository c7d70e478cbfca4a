"""The driver on a bench: run for cameras and frames, its memory compared with what it has to be."""

from __future__ import annotations

import struct
from pathlib import Path

import expected
import numpy as np
from console import RAM, Console
from toolchain import code_of, link_driver, symbols_of

from genbg.hardware.profile import SCROLLS
from genbg.model import Backdrop
from genbg.write import source
from genbg.write.about import block_bytes, memory

BASE = 0x1000
VERTICAL = {"none": 0, "plane": 1, "column": 20}


class Bench:
    """An export's driver in an emulated console. language: "s" or "c"; follow: list instructions"""

    def __init__(self, unicorn, backdrop: Backdrop, folder: Path, language: str, follow=False):
        for path, data in source.files(backdrop):
            (folder / path.rpartition("/")[2]).write_bytes(data)
        self.elf = link_driver(folder, language)
        self.backdrop, self.names = backdrop, symbols_of(self.elf)
        code = code_of(self.elf, ".text", ".rodata")
        self.console = Console(unicorn, bytes(BASE) + code)
        if follow:
            self.console.follow()
        self.console.allowed = range(RAM, RAM + block_bytes(backdrop))
        self.call("load")

    def call(self, routine: str, *arguments: int) -> None:
        """Run a routine of the driver with the block and more arguments."""
        self.console.call(self.names[f"{self.backdrop.label.prefix}_{routine}"], RAM, *arguments)
        assert not self.console.odd, "an odd access"
        assert not self.console.strayed, [hex(at) for at in self.console.strayed[:3]]

    def show(self, camera_x: int, camera_y: int, frame: int) -> None:
        """Work a frame out and send it."""
        self.call("frame", camera_x, camera_y, frame)
        self.call("vblank")

    def compare(self, camera_x: int, camera_y: int, frame: int, mood: str) -> None:
        """Hold the chip's memories against the program's formulas."""
        backdrop, chip, plan = self.backdrop, self.console.chip, memory(self.backdrop)
        machine = backdrop.machine
        right = expected.scroll_table(backdrop, camera_x, camera_y, frame)
        start = plan.area("scroll table").start
        found = np.array(chip.words(start, 2 * machine.screen[1])).reshape(-1, 2)
        step = SCROLLS[machine.scroll] or machine.screen[1]
        assert (found[::step] == right[::step]).all(), "scroll"
        if pairs := VERTICAL[machine.vertical]:
            words = np.array(chip.vertical).reshape(20, 2)
            right = expected.columns(backdrop, camera_y, frame)
            assert (words[:pairs] == right[:pairs]).all(), "columns"
        if backdrop.sprites.placed is not None:
            right = expected.sprites(backdrop, camera_x, camera_y, frame)
            start = plan.area("sprite table").start
            found = np.array(chip.words(start, 4 * max(1, len(right)))).reshape(-1, 4)
            assert (found == (right if len(right) else 0)).all(), "sprites"
        state = expected.colours(backdrop, mood, frame)
        assert chip.colour == state[:64].tolist(), "colours"

    def rewritten(self) -> dict[int, list[tuple[int, int]]]:
        """Run the line interrupts of a frame as the chip asks for them; return what each gap
        rewrites: {line: [(entry, colour)]}."""
        chip, found = self.console.chip, {}
        counter, line = 0, 0
        while line < self.backdrop.machine.screen[1]:
            if counter == 0:
                counter = chip.registers[10]
                for gap, colours in self.interrupt(line):
                    found.setdefault(gap, []).extend(colours)
            else:
                counter -= 1
            line += 1
        return found

    def interrupt(self, line: int) -> list[tuple[int, list[tuple[int, int]]]]:
        """Run the line routine before a line; the beam moves on as it looks. Returns (line that
        comes after the gap, colours) for each gap."""
        console, seen = self.console, []
        console.beam = [line, 0xB0]
        console.gaps = seen
        self.call("line")
        console.beam = None
        return seen


def mood_numbers(backdrop: Backdrop) -> list[str]:
    """Return the moods in the order of their numbers."""
    return list(backdrop.colours.palettes)


def word(data: bytes) -> int:
    """Return a big-endian word."""
    return struct.unpack(">H", data)[0]
