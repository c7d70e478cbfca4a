"""The exported source, assembled and compiled by the m68k tools, against the .bin files."""

from __future__ import annotations

import re
import struct
import subprocess

import numpy as np
import pytest
from sample import changed, make_backdrop

from genbg.errors import BytesError
from genbg.model import LineSpeeds
from genbg.write import machine_bytes, source
from genbg.write.about import registers

STRICT = ["-std=c99", "-Wall", "-Wextra", "-pedantic", "-Werror", "-ffreestanding"]


def run(*command, cwd):
    done = subprocess.run(command, cwd=cwd, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout


def write_source(backdrop, folder):
    for path, data in source.files(backdrop):
        (folder / path.rpartition("/")[2]).write_bytes(data)


def with_base(words, base):
    """Add tile_base to the tile number of map words in plain Python."""
    assert all((word & 0x7FF) + base < 2048 for word in words)
    return [word + base for word in words]


def expected_symbols(backdrop):
    """Bytes that each symbol has to hold: those of the .bin files, tile_base added to numbers."""
    bins = dict(machine_bytes.files(backdrop))
    base = backdrop.tiles.base
    expected = {}
    for name in ("front", "back"):
        data = bins[f"machine/{name}.map"]
        words = with_base(struct.unpack(f">{len(data) // 2}H", data), base)
        expected[f"backdrop_{name}_map"] = struct.pack(f">{len(words)}H", *words)
    for name in (
        "tiles",
        "palette",
        "speeds",
        "splits",
        "waves",
        "motion",
        "plane_speeds",
        "columns",
    ):
        if f"machine/{name}.bin" in bins:
            expected[f"backdrop_{name}"] = bins[f"machine/{name}.bin"]
    moods = [bins[f"machine/moods/{mood}.bin"] for mood in backdrop.colours.palettes]
    expected["backdrop_moods"] = b"".join(moods)
    if backdrop.colours.splits:
        texts = [bins[f"machine/moods/{mood}.splits.bin"] for mood in backdrop.colours.palettes]
        expected["backdrop_mood_splits"] = b"".join(texts)
    if backdrop.colours.scripts:
        scripts = [bins[f"machine/moods/{mood}.motion.bin"] for mood in backdrop.colours.palettes]
        expected["backdrop_mood_motion"] = b"".join(scripts)
        starts = [sum(map(len, scripts[:n])) // 2 for n in range(len(scripts) + 1)]
        expected["backdrop_motion_starts"] = struct.pack(f">{len(starts)}I", *starts)
    if "machine/sprites.bin" in bins:
        data = bins["machine/sprites.bin"]
        words = list(struct.unpack(f">{len(data) // 2}H", data))
        words[2::4] = with_base(words[2::4], base)
        expected["backdrop_sprites"] = struct.pack(f">{len(words)}H", *words)
    if "machine/pieces.bin" in bins:
        data = bins["machine/pieces.bin"]
        words = list(struct.unpack(f">{len(data) // 2}H", data))
        words[3::8] = with_base(words[3::8], base)
        expected["backdrop_pieces"] = struct.pack(f">{len(words)}H", *words)
    for plane, name in enumerate(("front", "back")):
        expected[f"backdrop_{name}_runs"] = run_bytes(backdrop.moves.all_speeds, plane)
    expected["backdrop_registers"] = struct.pack(">16H", *registers(backdrop).tolist())
    return expected


def run_bytes(speeds, plane):
    """Runs of equal neighbouring lines, found line by line; a run of no lines ends them."""
    lines = list(zip(speeds.ratio[:, plane].tolist(), speeds.drift[:, plane].tolist(), strict=True))
    runs = []
    for line in lines:
        if runs and runs[-1][1] == line:
            runs[-1][0] += 1
        else:
            runs.append([1, line])
    return b"".join(struct.pack(">Hii", n, *line) for n, line in [*runs, [0, (0, 0)]])


def symbols(objdump_t):
    """{name: (offset, size)} of an object's symbols in .rodata, as `objdump -t` lists them."""
    found = {}
    for line in objdump_t.splitlines():
        match = re.match(r"([0-9a-f]+) g.* \.rodata\s+([0-9a-f]+) (backdrop_\w+)", line)
        if match:
            found[match[3]] = (int(match[1], 16), int(match[2], 16))
    return found


def rodata(tools, objects, folder):
    """Return {symbol: bytes to the next symbol} of an object file."""
    objcopy, objdump = tools
    run(objcopy, "-O", "binary", "-j", ".rodata", objects, "data.bin", cwd=folder)
    data = (folder / "data.bin").read_bytes()
    starts = symbols(run(objdump, "-t", objects, cwd=folder))
    ends = sorted([offset for offset, _ in starts.values()] + [len(data)])
    return {
        name: data[offset : ends[ends.index(offset) + 1]] for name, (offset, _) in starts.items()
    }


@pytest.fixture
def tools(need):
    return need.tool("m68k-linux-gnu-objcopy"), need.tool("m68k-linux-gnu-objdump")


@pytest.mark.parametrize("full", [False, True])
def test_the_assembled_source_holds_the_bytes_of_the_bin_files(full, need, tools, tmp_path):
    """GNU as (-m68000 refuses later instructions) gives the .bin files' bytes, symbol by symbol."""
    backdrop = make_backdrop(full=full)
    write_source(backdrop, tmp_path)
    run(need.tool("m68k-linux-gnu-as"), "-m68000", "-o", "b.o", "backdrop.s", cwd=tmp_path)
    found, expected = rodata(tools, "b.o", tmp_path), expected_symbols(backdrop)
    assert found.keys() == expected.keys()
    for name, data in expected.items():
        assert found[name][: len(data)] == data, name
        assert len(found[name]) - len(data) in (0, 2), "nothing but alignment follows"


@pytest.mark.parametrize("full", [False, True])
def test_the_compiled_source_holds_the_bytes_of_the_bin_files(full, need, tools, tmp_path):
    """gcc -std=c99 -Wall -Wextra -pedantic -Werror takes the C source and gives the same bytes."""
    backdrop = make_backdrop(full=full)
    write_source(backdrop, tmp_path)
    gcc = need.tool("m68k-linux-gnu-gcc")
    run(gcc, "-m68000", "-O2", *STRICT, "-c", "-o", "b.o", "backdrop.c", cwd=tmp_path)
    found, expected = rodata(tools, "b.o", tmp_path), expected_symbols(backdrop)
    assert found.keys() == expected.keys()
    for name, data in expected.items():
        assert found[name][: len(data)] == data, name


def test_the_header_says_the_same_to_both_languages(tmp_path):
    """Every constant of the header is an equate of the assembler source with the same value."""
    write_source(make_backdrop(full=True), tmp_path)
    defined = re.findall(r"#define (\w+) (-?\d+)", (tmp_path / "backdrop.h").read_text())
    equated = re.findall(r"\.equ\s+(\w+), (-?\d+)", (tmp_path / "backdrop.s").read_text())
    assert defined == equated
    assert len(defined) > 20
    value = dict(defined)
    assert value["BACKDROP_TILES"] == "40"
    assert value["BACKDROP_ENTRY"] == "17"
    assert value["BACKDROP_MOOD_DAWN"] == "2"
    assert value["BACKDROP_WINDOW_TOP"] == "208"


def test_constants_can_be_used_from_another_object(need, tmp_path):
    """Another assembler file links against the equates, which are global."""
    backdrop = make_backdrop()
    write_source(backdrop, tmp_path)
    user = "  .globl _start\n_start: .long BACKDROP_TILE_BASE, BACKDROP_SCROLL_TABLE_ADDRESS\n"
    (tmp_path / "user.s").write_text(user)
    for name in ("backdrop", "user"):
        assembler = need.tool("m68k-linux-gnu-as")
        run(assembler, "-m68000", "-o", f"{name}.o", f"{name}.s", cwd=tmp_path)
    linker = need.tool("m68k-linux-gnu-ld")
    run(linker, "-Ttext=0x1000", "-o", "all.elf", "user.o", "backdrop.o", cwd=tmp_path)
    objcopy = need.tool("m68k-linux-gnu-objcopy")
    run(objcopy, "-O", "binary", "-j", ".text", "all.elf", "all.bin", cwd=tmp_path)
    first = struct.unpack(">2I", (tmp_path / "all.bin").read_bytes()[:8])
    assert first[0] == backdrop.tiles.base
    assert first[1] % 1024 == 0


TITLES = ["", "/* */ // ??/ \\", "two\nlines | here", 'a "quote" $data', "Лампа 灯台", "\u202ebidi"]


@pytest.mark.parametrize("title", TITLES)
def test_a_title_cannot_break_the_source(title, need, tmp_path):
    """Whatever a title holds, both compilers take the source: it stays inside its comment."""
    write_source(changed(make_backdrop(), title=title), tmp_path)
    run(need.tool("m68k-linux-gnu-as"), "-m68000", "-o", "b.o", "backdrop.s", cwd=tmp_path)
    gcc = need.tool("gcc")
    run(gcc, *STRICT, "-fsyntax-only", "backdrop.c", cwd=tmp_path)


def test_moods_whose_names_read_alike_get_constants_of_their_own(tmp_path):
    """`a-b` and `A_b` would be one constant; the second carries its place."""
    palette = np.zeros(64, np.uint16)
    moods = {"home": palette, "a-b": palette, "A_b": palette}
    write_source(changed(make_backdrop(), palettes=moods), tmp_path)
    names = re.findall(r"#define (BACKDROP_MOOD_\w+) (\d)", (tmp_path / "backdrop.h").read_text())
    assert names == [
        ("BACKDROP_MOOD_HOME", "0"),
        ("BACKDROP_MOOD_A_B", "1"),
        ("BACKDROP_MOOD_A_B_2", "2"),
    ]


def test_the_ends_of_the_number_range_compile(need, tools, tmp_path):
    """The smallest and the largest signed 16.16 numbers are valid constants in both languages."""
    ends = np.tile(np.array([[-(2**31), 2**31 - 1]], np.int32), (224, 1))
    backdrop = changed(make_backdrop(), speeds=LineSpeeds(ends, ends[:, ::-1]))
    write_source(backdrop, tmp_path)
    gcc = need.tool("m68k-linux-gnu-gcc")
    run(gcc, "-m68000", *STRICT, "-c", "-o", "b.o", "backdrop.c", cwd=tmp_path)
    line = struct.pack(">4i", -(2**31), 2**31 - 1, 2**31 - 1, -(2**31))
    assert rodata(tools, "b.o", tmp_path)["backdrop_speeds"] == line * 224


def test_a_tile_number_past_the_last_is_refused():
    """Map words hold 11 bits of tile number; tile_base must not push one past them."""
    backdrop = changed(make_backdrop(), base=2040)
    with pytest.raises(BytesError, match=r"pattern \d+, loaded from 2040 on, is number 20\d\d"):
        list(source.files(backdrop))
