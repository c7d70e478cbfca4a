"""The exported scroll routines, run: the assembler one on an emulated 68000, the C one on both.

The expected words come from fractions in plain Python (`sample.scroll_formula`), and for the
preview from the dump that the export holds.
"""

from __future__ import annotations

import ctypes
import struct
import subprocess
from fractions import Fraction

import numpy as np
import pytest
from sample import changed, make_backdrop, make_waves, scroll_formula, waved
from timing import read_listing, trace_cycles

from genbg.write import source
from genbg.write.cycles import scroll_cycles

CODE, STACK, TABLE, BACK_TO = 0x1000, 0xF0000, 0xE0000, 0xD0000
MEMORY = 0x100000
RUNTIME = """
        .globl  __mulsi3
__mulsi3:
        move.w  4(%sp),%d0
        mulu.w  10(%sp),%d0
        move.w  6(%sp),%d1
        mulu.w  8(%sp),%d1
        add.w   %d1,%d0
        swap    %d0
        clr.w   %d0
        move.w  6(%sp),%d1
        mulu.w  10(%sp),%d1
        add.l   %d1,%d0
        rts
"""
"""The one function of a compiler's runtime that the C routine may call, for a bare 68000: the
low 32 bits of a product. Debian's runtime library is built for a later processor."""

STRICT = ["-std=c99", "-Wall", "-Wextra", "-pedantic", "-Werror", "-O2"]
LIMITS = [-(2**31), -(2**31) + 1, -65537, -65536, -1, 0, 1, 65535, 65536, 2**31 - 1]
FRAMES = [0, 1, 65535, 65536, 2**31, 2**32 - 1]


def run(*command, cwd):
    done = subprocess.run(command, cwd=cwd, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout


class Console:
    """The routine in the memory of an emulated 68000 that checks each access to memory."""

    def __init__(self, need, elf_folder):
        self.unicorn = need.module("unicorn")
        objcopy, nm = need.tool("m68k-linux-gnu-objcopy"), need.tool("m68k-linux-gnu-nm")
        run(objcopy, "-O", "binary", "all.elf", "all.bin", cwd=elf_folder)
        lines = run(nm, "all.elf", cwd=elf_folder).splitlines()
        self.entry = next(int(line.split()[0], 16) for line in lines if "backdrop_scroll" in line)
        u = self.unicorn
        self.cpu = u.Uc(u.UC_ARCH_M68K, u.UC_MODE_BIG_ENDIAN)
        self.cpu.ctl_set_cpu_model(u.m68k_const.UC_CPU_M68K_M68000)
        self.cpu.mem_map(0, MEMORY)
        self.cpu.mem_write(CODE, (elf_folder / "all.bin").read_bytes())
        self.odd: list[int] = []
        self.writes: list[int] = []
        self.trace: list[int] | None = None
        self.cpu.hook_add(u.UC_HOOK_MEM_READ | u.UC_HOOK_MEM_WRITE, self._access)

    def _access(self, cpu, access, address, size, value, user):
        if size > 1 and address % 2:
            self.odd.append(address)
        if access == self.unicorn.UC_MEM_WRITE:
            self.writes.append(address)

    def follow(self):
        self.trace = []
        self.cpu.hook_add(
            self.unicorn.UC_HOOK_CODE, lambda cpu, at, size, user: self.trace.append(at)
        )

    def scroll(self, camera, frame, lines=224):
        """Run the routine and return its table (lines, 2)."""
        constants = self.unicorn.m68k_const
        self.writes.clear()
        kept = {n: 0xC0DE0000 + n for n in range(2, 8)}
        for n, value in kept.items():
            self.cpu.reg_write(constants.UC_M68K_REG_D0 + n, value)
            if n < 7:
                self.cpu.reg_write(constants.UC_M68K_REG_A0 + n, value)
        arguments = struct.pack(">IIII", BACK_TO, TABLE, camera & 0xFFFFFFFF, frame)
        self.cpu.mem_write(STACK, arguments)
        self.cpu.reg_write(constants.UC_M68K_REG_A7, STACK)
        self.cpu.mem_write(TABLE - 4, b"\xee" * (lines * 4 + 8))
        self.cpu.emu_start(self.entry, BACK_TO)
        for n, value in kept.items():
            assert self.cpu.reg_read(constants.UC_M68K_REG_D0 + n) == value, f"d{n} is kept"
            if n < 7:
                assert self.cpu.reg_read(constants.UC_M68K_REG_A0 + n) == value, f"a{n} is kept"
        assert self.cpu.reg_read(constants.UC_M68K_REG_A7) == STACK + 4
        assert not self.odd, "words and longs lie at even addresses"
        stray = [
            a
            for a in self.writes
            if not (TABLE <= a < TABLE + lines * 4 or STACK - 512 < a < STACK)
        ]
        assert not stray, "nothing but the table and its own stack is written"
        around = (
            bytes(self.cpu.mem_read(TABLE - 4, 4)),
            bytes(self.cpu.mem_read(TABLE + lines * 4, 4)),
        )
        assert around == (b"\xee" * 4, b"\xee" * 4), "nothing beside the table is written"
        data = bytes(self.cpu.mem_read(TABLE, lines * 4))
        return np.frombuffer(data, ">u2").reshape(lines, 2)


def build(need, backdrop, folder, language):
    """Assemble or compile a backdrop's source and link it at CODE."""
    for path, data in source.files(backdrop):
        (folder / path.rpartition("/")[2]).write_bytes(data)
    if language == "s":
        run(need.tool("m68k-linux-gnu-as"), "-m68000", "-o", "b.o", "backdrop.s", cwd=folder)
    else:
        gcc = need.tool("m68k-linux-gnu-gcc")
        options = [*STRICT, "-ffreestanding", "-fno-pic"]
        run(gcc, "-m68000", *options, "-c", "-o", "b.o", "backdrop.c", cwd=folder)
    (folder / "runtime.s").write_text(RUNTIME)
    run(need.tool("m68k-linux-gnu-as"), "-m68000", "-o", "r.o", "runtime.s", cwd=folder)
    linker = need.tool("m68k-linux-gnu-ld")
    options = ["-N", f"-Ttext={CODE:#x}", "-e", "backdrop_scroll", "-o", "all.elf"]
    run(linker, *options, "b.o", "r.o", cwd=folder)


@pytest.fixture(params=["s", "c"])
def console(request, need, tmp_path):
    """The routine of each language, linked without any library."""
    build(need, make_backdrop(), tmp_path, request.param)
    return Console(need, tmp_path)


def test_the_table_equals_the_previews_for_hundreds_of_frames(need, tmp_path):
    """Word for word the preview's dump, 400 frames long, camera and frame counter as in play."""
    backdrop = make_backdrop(frames=400, step=Fraction(163841, 65536))
    build(need, backdrop, tmp_path, "s")
    console = Console(need, tmp_path)
    for frame in range(400):
        camera = frame * 163841
        assert (console.scroll(camera, frame) == backdrop.preview.scroll[frame]).all(), frame


def test_the_table_is_exact_at_the_ends_of_every_range(console):
    """The formula holds at the smallest and largest camera, frame, ratio and drift."""
    speeds = make_backdrop().moves.speeds
    for camera in LIMITS:
        for frame in (FRAMES[camera % 3], FRAMES[3 + camera % 3]):
            expected = scroll_formula(speeds, Fraction(camera, 65536), frame)
            assert (console.scroll(camera, frame) == expected).all(), (camera, frame)


def test_the_table_is_exact_at_random_cameras(console):
    """120 cameras and frames anywhere in their ranges, on lines of every kind of speed."""
    speeds = make_backdrop().moves.speeds
    rng = np.random.Generator(np.random.PCG64(4))
    for camera, frame in zip(
        rng.integers(-(2**31), 2**31, 120).tolist(),
        rng.integers(0, 2**32, 120).tolist(),
        strict=True,
    ):
        expected = scroll_formula(speeds, Fraction(camera, 65536), frame)
        assert (console.scroll(camera, frame) == expected).all(), (camera, frame)


@pytest.mark.parametrize("waves", [(), make_waves()], ids=["plain", "waves"])
def test_the_c_routine_gives_the_same_words_on_this_machine(waves, need, tmp_path):
    """Compiled by the host's compiler, undefined behaviour trapped, the C routine is exact too."""
    backdrop = make_backdrop(waves=waves)
    for path, data in source.files(backdrop):
        (tmp_path / path.rpartition("/")[2]).write_bytes(data)
    options = [*STRICT, "-fsanitize=undefined", "-fsanitize-undefined-trap-on-error"]
    gcc = need.tool("gcc")
    run(gcc, *options, "-shared", "-fPIC", "-o", "b.so", "backdrop.c", cwd=tmp_path)
    routine = ctypes.CDLL(str(tmp_path / "b.so")).backdrop_scroll
    routine.argtypes = [ctypes.c_void_p, ctypes.c_int32, ctypes.c_uint32]
    routine.restype = None
    rng = np.random.Generator(np.random.PCG64(5))
    cameras = LIMITS + rng.integers(-(2**31), 2**31, 60).tolist()
    frames = (FRAMES * 2)[: len(LIMITS)] + rng.integers(0, 2**32, 60).tolist()
    for camera, frame in zip(cameras, frames, strict=True):
        table = np.zeros((224, 2), np.uint16)
        routine(table.ctypes.data, camera, frame)
        expected = waved(backdrop.moves.speeds, waves, Fraction(camera, 65536), frame)
        assert (table == expected).all(), (camera, frame)


@pytest.mark.parametrize("language", ["s", "c"])
def test_waves_are_taken_from_the_words(language, need, tmp_path):
    """With waves the words are the formula's less the offsets, at any camera and frame."""
    backdrop = make_backdrop(waves=make_waves())
    build(need, backdrop, tmp_path, language)
    console = Console(need, tmp_path)
    rng = np.random.Generator(np.random.PCG64(6))
    cameras = rng.integers(-(2**31), 2**31, 25).tolist()
    frames = [*range(8), 95, 96, 299, 300, *FRAMES, *rng.integers(0, 2**32, 7).tolist()]
    for camera, frame in zip(cameras, frames, strict=True):
        expected = waved(
            backdrop.moves.speeds, backdrop.moves.waves, Fraction(camera, 65536), frame
        )
        assert (console.scroll(camera, frame) == expected).all(), (camera, frame)


def test_waves_in_a_film_of_hundreds_of_frames(need, tmp_path):
    """Word for word the dump of a preview of 310 frames, longer than the longest wave."""
    speeds = make_backdrop().moves.speeds
    scroll = [waved(speeds, make_waves(), frame * Fraction(5, 2), frame) for frame in range(310)]
    build(need, make_backdrop(waves=make_waves()), tmp_path, "s")
    console = Console(need, tmp_path)
    for frame in range(310):
        assert (console.scroll(frame * 163840, frame) == scroll[frame]).all(), frame


@pytest.mark.parametrize("camera", [0x12345678, -0x12345678])
@pytest.mark.parametrize("waves", [(), make_waves()], ids=["plain", "waves"])
def test_the_stated_cycles_hold_and_are_not_far_off(waves, camera, need, tmp_path):
    """Cycles summed over the instructions that really ran stay within the estimate, and near it.

    The emulator itself counts none; `machine/timing.py` has the times of the instructions.
    """
    backdrop = make_backdrop(waves=waves)
    build(need, backdrop, tmp_path, "s")
    console = Console(need, tmp_path)
    console.follow()
    console.scroll(camera, 77)
    text = run(need.tool("m68k-linux-gnu-objdump"), "-d", "-j", ".text", "all.elf", cwd=tmp_path)
    total = trace_cycles(console.trace, read_listing(text))
    assert 0.95 * scroll_cycles(backdrop) <= total <= scroll_cycles(backdrop)


def test_a_240_line_screen_gets_240_lines(need, tmp_path):
    """The routine fills as many lines as the machine's screen has."""
    from genbg.hardware.profile import Machine

    machine = Machine(screen=(320, 240), fps=Fraction(497, 10), frame_lines=313)
    backdrop = changed(make_backdrop(machine=machine), base=0)
    build(need, backdrop, tmp_path, "s")
    expected = scroll_formula(backdrop.moves.speeds, Fraction(12345, 7 * 65536 // 7), 3)
    assert (Console(need, tmp_path).scroll(12345, 3, 240) == expected).all()
