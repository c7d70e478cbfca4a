"""The exported scroll routine in both languages: planes that move up and down, and what C costs."""

from __future__ import annotations

import expected
import numpy as np
import pytest
from console import RAM, Console
from sample import make_backdrop, make_waves
from timing import read_listing, trace_cycles
from toolchain import TOOLS, code_of, listing_of, run, symbols_of

from genbg.write import source

BASE = 0x1000


class Routine:
    """backdrop.s or backdrop.c alone, without any library, in an emulated console."""

    def __init__(self, unicorn, backdrop, folder, language):
        folder.mkdir()
        for path, data in source.files(backdrop):
            (folder / path.rpartition("/")[2]).write_bytes(data)
        build = [TOOLS + "as", "-m68000"]
        if language == "c":
            build = [TOOLS + "gcc", "-m68000", "-O2", "-std=c99", "-ffreestanding", "-c"]
            build += ["-fomit-frame-pointer", "-Wall", "-Wextra", "-pedantic", "-Werror"]
        run(*build, "-o", "b.o", f"backdrop.{language}", cwd=folder)
        run(TOOLS + "ld", "-e", "0", "-Ttext=0x1000", "-o", "all.elf", "b.o", cwd=folder)
        elf = folder / "all.elf"
        self.entry, self.listing = symbols_of(elf)["backdrop_scroll"], listing_of(elf)
        self.console = Console(unicorn, bytes(BASE) + code_of(elf, ".text", ".rodata"))
        self.console.follow()
        self.lines = backdrop.machine.screen[1]
        self.console.allowed = range(RAM, RAM + 4 * self.lines)

    def scroll(self, *arguments: int) -> np.ndarray:
        """Return the table (L, 2) that it fills."""
        self.console.trace.clear()
        self.console.call(self.entry, RAM, *arguments)
        assert not self.console.odd
        data = bytes(self.console.cpu.mem_read(RAM, 4 * self.lines))
        return np.frombuffer(data, ">u2").reshape(-1, 2)

    def cycles(self) -> int:
        """Return the cycles of the last run."""
        return trace_cycles(self.console.trace, read_listing(self.listing))


@pytest.mark.parametrize("language", ["s", "c"])
def test_planes_that_move_up_and_down(language, unicorn, tmp_path):
    """With camera_y, words are those of the plane lines that the screen shows, waves included."""
    backdrop = make_backdrop(full=True)
    routine = Routine(unicorn, backdrop, tmp_path / "b", language)
    rng = np.random.Generator(np.random.PCG64(8))
    for _ in range(12):
        x, y = (int(value) for value in rng.integers(-(2**31), 2**31, 2))
        frame = int(rng.integers(0, 2**32))
        right = expected.scroll_table(backdrop, x, y, frame)
        assert (routine.scroll(x, frame, y) == right).all(), (x, y, frame)


@pytest.mark.parametrize("waves", [(), make_waves()], ids=["plain", "waves"])
def test_c_takes_at_most_half_as_long_again(waves, unicorn, tmp_path):
    """Compiled for the 68000, the C routine takes up to 1.5 times the assembler's cycles, and links
    without the compiler's run-time library."""
    backdrop, took = make_backdrop(waves=waves), {}
    for language in ("s", "c"):
        routine = Routine(unicorn, backdrop, tmp_path / language, language)
        routine.scroll(0x12345678, 77)
        took[language] = routine.cycles()
    assert took["c"] <= 1.5 * took["s"]
