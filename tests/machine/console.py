"""An emulated 68000 with main memory, an image in its place, and the model of the video chip."""

from __future__ import annotations

import struct

from video_chip import VideoChip

RAM, STACK, STOP = 0xFF0000, 0xFFF000, 0xFFF800
PORTS = 0xC00000
COUNTED, DARK, STEP = 0xA5, 0xB3, 13
"""Columns at which the line is counted on and the beam goes dark, and how far it goes between two
looks. Common practice, no source."""


class Console:
    """Runs routines of a program that lies at 0, and refuses what the machine would.

    unicorn: the module of the CPU emulator; code: the program's bytes, data behind it
    odd: odd addresses of words and longs; strayed: addresses written outside `allowed`
    trace: addresses of the instructions run, where it is a list
    beam: line and column where the beam is, where the program may look at it; it moves on each time
    gaps: (line after the gap, [(entry, colour)]) of colours written while the beam is dark
    """

    def __init__(self, unicorn, code: bytes):
        u = self.unicorn = unicorn
        self.cpu = u.Uc(u.UC_ARCH_M68K, u.UC_MODE_BIG_ENDIAN)
        self.cpu.ctl_set_cpu_model(u.m68k_const.UC_CPU_M68K_M68000)
        self.cpu.mem_map(0, 0x400000)
        self.cpu.mem_map(RAM, 0x10000)
        self.cpu.mem_map(PORTS, 0x1000)
        self.cpu.mem_write(0, code)
        self.chip = VideoChip(lambda at, size: bytes(self.cpu.mem_read(at & 0xFFFFFF, size)))
        self.odd: list[int] = []
        self.strayed: list[int] = []
        self.allowed = range(0)
        self.trace: list[int] | None = None
        self.beam: list[int] | None = None
        self.gaps: list[tuple[int, list[tuple[int, int]]]] = []
        self.cpu.hook_add(u.UC_HOOK_MEM_READ | u.UC_HOOK_MEM_WRITE, self._access)

    def follow(self) -> None:
        """Begin to list the instructions run."""
        self.trace = []
        self.cpu.hook_add(self.unicorn.UC_HOOK_CODE, self._step)

    def _step(self, cpu, address, size, user):
        self.trace.append(address)

    def _access(self, cpu, access, address, size, value, user):
        if size > 1 and address % 2:
            self.odd.append(address)
        if PORTS <= address < PORTS + 32:
            self._port(access, address, size, value)
            return
        own = address in self.allowed or STACK - 256 <= address < STACK
        if access == self.unicorn.UC_MEM_WRITE and not own:
            self.strayed.append(address)

    def _port(self, access, address, size, value):
        if access == self.unicorn.UC_MEM_READ:
            if self.beam is not None:
                self._look(address)
            return
        value &= (1 << 8 * size) - 1
        words = [value >> 16, value & 0xFFFF] if size == 4 else [value]
        for word in words:
            if address < PORTS + 4:
                self._data(word)
            else:
                self.chip.control(word)

    def _look(self, address):
        """Put what the program reads into the port: the beam's place, or whether it is dark."""
        line, column = self.beam
        if address >= PORTS + 8:
            counted = line + (column >= COUNTED)
            self.cpu.mem_write(PORTS + 8, struct.pack(">H", counted << 8 & 0xFF00 | column))
        else:
            self.cpu.mem_write(PORTS + 4, struct.pack(">H", 4 * (column >= DARK)))
        column += STEP
        self.beam = [line + column // 256, column % 256]

    def _data(self, word):
        if self.beam is not None and self.chip.kind == 3:
            line, column = self.beam
            assert column >= DARK or column < STEP, "a colour in a line that is being drawn"
            after = line + (column >= DARK)
            if not self.gaps or self.gaps[-1][0] != after:
                self.gaps.append((after, []))
            self.gaps[-1][1].append((self.chip.address >> 1 & 63, word))
        self.chip.data(word)

    def call(self, routine: int, *arguments: int) -> None:
        """Run a routine with longs on the stack; an error where it changes what it has to keep."""
        u = self.unicorn.m68k_const
        stack = STACK - 4 * len(arguments) - 4
        longs = [argument & 0xFFFFFFFF for argument in arguments]
        self.cpu.mem_write(stack, struct.pack(f">{len(longs) + 1}I", STOP, *longs))
        kept = [*range(u.UC_M68K_REG_D2, u.UC_M68K_REG_D7 + 1)]
        kept += range(u.UC_M68K_REG_A2, u.UC_M68K_REG_A6 + 1)
        for number, register in enumerate(kept):
            self.cpu.reg_write(register, 0x51000000 + number)
        self.cpu.reg_write(u.UC_M68K_REG_A7, stack)
        self.cpu.emu_start(routine, STOP, count=20_000_000)
        assert self.cpu.reg_read(u.UC_M68K_REG_PC) == STOP, "the routine does not come back"
        assert self.cpu.reg_read(u.UC_M68K_REG_A7) == stack + 4
        for number, register in enumerate(kept):
            assert self.cpu.reg_read(register) == 0x51000000 + number, "a register is not kept"
