"""The exported driver, run on an emulated 68000 beside a model of the video chip."""

from __future__ import annotations

import expected
import numpy as np
import pytest
from bench import Bench, mood_numbers
from console import RAM
from sample import changed, make_backdrop, make_waves
from timing import cycles, read_listing, trace_cycles
from toolchain import listing_of

from genbg.hardware.profile import GAP_COLOUR, GAP_LAST, GAP_WAIT, Machine
from genbg.model import LineSpeeds, PlacedSprites, Vertical
from genbg.write.cycles import blank_cycles, frame_cycles

LIMIT = 1 << 31


def cases(seed: int, count: int, tall: int = 2**22):
    """Yield random (camera_x, camera_y, frame)."""
    rng = np.random.Generator(np.random.PCG64(seed))
    for _ in range(count):
        x, y = int(rng.integers(-LIMIT, LIMIT)), int(rng.integers(-tall, tall))
        yield x, y, int(rng.integers(0, 1 << 32))


BACKDROPS = {
    "plain": lambda: make_backdrop(),
    "waves": lambda: make_backdrop(waves=make_waves()),
    "everything": lambda: make_backdrop(full=True),
    "strips": lambda: make_backdrop(machine=Machine(scroll="strip")),
    "planes": lambda: make_backdrop(machine=Machine(scroll="plane")),
    "narrow": lambda: make_backdrop(
        full=True,
        machine=Machine(
            screen=(256, 224),
            plane_cells=(32, 64),
            sprites_screen=64,
            sprites_line=16,
            sprite_pixels_line=256,
        ),
    ),
    "tall": lambda: changed(
        make_backdrop(machine=Machine(screen=(320, 240), plane_cells=(128, 32), frame_lines=313)),
        base=0,
    ),
}


@pytest.mark.parametrize("language", ["s"])
@pytest.mark.parametrize("kind", BACKDROPS)
def test_memory_is_what_the_formulas_say(kind, language, unicorn, tmp_path):
    """Scroll, vertical, sprite and colour tables for random cameras, frames and moods."""
    backdrop = BACKDROPS[kind]()
    bench, moods = Bench(unicorn, backdrop, tmp_path, language), mood_numbers(backdrop)
    for number, (x, y, frame) in enumerate(cases(3, 12)):
        mood = number // 4 % len(moods)
        if number % 4 == 0:
            bench.call("mood", mood)
        bench.show(x, y, frame)
        bench.compare(x, y, frame, moods[mood])


@pytest.mark.parametrize("language", ["s"])
def test_frame_after_frame_colours_go_on(language, unicorn, tmp_path):
    """Moving colours, frame after frame over two periods: memory and what each gap rewrites."""
    backdrop = make_backdrop(full=True)
    bench = Bench(unicorn, backdrop, tmp_path, language)
    for frame in range(11):
        bench.show(0, 0, frame)
        bench.compare(0, 0, frame, "home")
        state = expected.colours(backdrop, "home", frame)
        assert bench.rewritten() == expected.rewrites(state), frame


@pytest.mark.parametrize("language", ["s"])
def test_everything_is_loaded(language, unicorn, tmp_path):
    """Patterns, maps and the window's map lie where the header says, the screen dark until lit."""
    backdrop = make_backdrop(full=True)
    bench = Bench(unicorn, backdrop, tmp_path, language)
    chip = bench.console.chip
    assert not chip.registers[1] & 0x40
    bench.show(0, 0, 0)
    assert chip.registers[1] & 0x40
    text = (tmp_path / "backdrop.h").read_text()
    value = {
        row.split()[1].removeprefix("BACKDROP_"): int(row.split()[2])
        for row in text.splitlines()
        if row.startswith("#define BACKDROP_") and len(row.split()) > 2
    }
    words = chip.words(value["TILES_ADDRESS"], 16 * value["TILES"])
    pixels = [word >> shift & 15 for word in words for shift in (12, 8, 4, 0)]
    assert pixels == backdrop.tiles.pixels.reshape(-1).tolist()
    for plane, name in enumerate(("FRONT_MAP", "BACK_MAP")):
        found = chip.words(value[f"{name}_ADDRESS"], backdrop.maps[plane].size)
        assert (
            found == (backdrop.maps[plane].reshape(-1).astype(int) + backdrop.tiles.base).tolist()
        )
    blank = value["BLANK_WORD"]
    assert chip.words(value["WINDOW_MAP_ADDRESS"], 2048) == [blank] * 2048
    assert not any(chip.video[blank * 32 : blank * 32 + 32])


def test_the_blank_takes_what_it_may(unicorn, tmp_path):
    """The longest blank's cycles and bytes are below those of the machine's blank."""
    backdrop = make_backdrop(full=True)
    bench = Bench(unicorn, backdrop, tmp_path, "s", follow=True)
    listing = read_listing(listing_of(bench.elf))
    bench.call("frame", 0, 0, 1)
    bench.console.trace.clear()
    bench.console.chip.moved.clear()
    bench.call("vblank")
    sent = sum(size for _, size in bench.console.chip.moved)
    machine = backdrop.machine
    assert sent <= machine.transfer_bytes
    halted = sent * machine.cycles_per_line // machine.blank_bytes_per_line
    assert trace_cycles(bench.console.trace, listing) + halted <= 18_500


def test_a_late_frame_is_left_out(unicorn, tmp_path):
    """A blank without a new frame sends no scroll table and no sprites."""
    bench = Bench(unicorn, make_backdrop(full=True), tmp_path, "s")
    bench.show(0, 0, 0)
    bench.console.chip.moved.clear()
    bench.call("vblank")
    assert {kind for kind, _ in bench.console.chip.moved} <= {"colour"}


COSTED = {
    "runs": lambda: make_backdrop(),
    "waves": lambda: make_backdrop(waves=make_waves()),
    "planes": lambda: tall_backdrop("plane"),
    "columns": lambda: tall_backdrop("column"),
    "sprites": lambda: changed(
        make_backdrop(),
        placed=PlacedSprites(
            x=np.arange(30) * 8,
            y=np.full(30, 50),
            width=np.full(30, 2),
            height=np.full(30, 2),
            word=np.zeros(30, np.uint16),
            ratio=np.repeat([40000, 50000, 60000], 10).astype(np.int32),
            drift=np.repeat([7000, 8000, 9000], 10).astype(np.int32),
        ),
        table=np.zeros((30, 8), np.uint8),
    ),
}


def tall_backdrop(vertical: str):
    """A backdrop of a few speeds whose planes, or columns, move up and down."""
    lines = np.repeat([[20000, 30000], [40000, 50000]], 128, axis=0).astype(np.int32)
    speeds = LineSpeeds(lines, lines // 8)
    offsets = np.ones((5, 20, 2), np.int64) if vertical == "column" else None
    return changed(
        make_backdrop(),
        machine=Machine(vertical=vertical),
        speeds=LineSpeeds(lines[:224], lines[:224] // 8),
        vertical=Vertical((65536, 32768), speeds, offsets),
    )


@pytest.mark.parametrize("kind", COSTED)
def test_the_stated_cycles_are_those_that_run(kind, unicorn, tmp_path):
    """Frame and blank, summed over the instructions that ran, are within 5 % of the table of costs;
    the frame with planes that show their last and their first line at once."""
    backdrop = COSTED[kind]()
    bench = Bench(unicorn, backdrop, tmp_path, "s", follow=True)
    listing = read_listing(listing_of(bench.elf))
    bench.show(0, 0, 0)
    found = []
    for routine, arguments in (("frame", (-0x123456, 200 << 16, 3)), ("vblank", ())):
        bench.console.trace.clear()
        bench.call(routine, *arguments)
        found.append(trace_cycles(bench.console.trace, listing))
    seen = bench.console.cpu.mem_read(RAM + 6, 2)
    stated = frame_cycles(backdrop, int.from_bytes(seen), 0), blank_cycles(backdrop)
    for ran, said in zip(found, stated, strict=True):
        assert 0.95 * said <= ran <= 1.05 * said, (found, stated)


def test_a_gap_ends_before_the_beam_comes_back(unicorn, tmp_path):
    """From the look that finds the beam dark to the last colour, by instruction timing: no more
    than the gap has. The wait before it is at most one turn of its loop."""
    backdrop = make_backdrop(full=True)
    bench = Bench(unicorn, backdrop, tmp_path, "s")
    listing = read_listing(listing_of(bench.elf))
    start = bench.names["backdrop_line"]
    code = [(at, *listing[at]) for at in sorted(listing) if start <= at < start + 120]
    looks = [place for place, row in enumerate(code) if row[1] == "btst"]
    look, branch, control, colour, count = code[looks[-1] : looks[-1] + 5]
    assert [row[1][:3] for row in (branch, control, colour, count)] == ["beq", "mov", "mov", "dbf"]
    turn = cycles(*look[1:], False) + cycles(*branch[1:], True)
    out = cycles(*branch[1:], False) + 4  # a test reads its byte 4 cycles before it ends
    one = cycles(*control[1:], False) + cycles(*colour[1:], False)
    most = Machine().colours_per_line
    assert turn + out <= GAP_WAIT
    assert one + cycles(*count[1:], True) == GAP_COLOUR
    assert one == GAP_LAST
    assert turn + out + (most - 1) * GAP_COLOUR + one <= Machine().gap_cycles
    assert turn + out + most * GAP_COLOUR + one > Machine().gap_cycles
