"""A game with three backdrops: their names do not meet."""

from __future__ import annotations

import pytest
from sample import changed, make_backdrop, make_waves
from toolchain import TOOLS, code_of, run, symbols_of

from genbg.model import Label
from genbg.write import source

NAMES = ("harbour", "lake", "stair_2")
BACKDROPS = (lambda: make_backdrop(waves=make_waves()), make_backdrop, lambda: make_backdrop(9))


@pytest.mark.parametrize("language", ["s", "c"])
def test_three_exports_link_into_one_game(language, unicorn, tmp_path):
    """Data, scroll routines and drivers of three exports, used by one C file, link and differ."""
    objects, uses, includes = ["game.o"], [], []
    for name, make in zip(NAMES, BACKDROPS, strict=True):
        folder = tmp_path / name
        folder.mkdir()
        for path, data in source.files(changed(make(), label=Label(prefix=name))):
            (folder / path.rpartition("/")[2]).write_bytes(data)
        build = [TOOLS + "as", "-m68000"]
        if language == "c":
            build = [TOOLS + "gcc", "-m68000", "-O2", "-std=c99", "-ffreestanding", "-c"]
        run(*build, "-o", "backdrop.o", f"backdrop.{language}", cwd=folder)
        run(TOOLS + "as", "-m68000", "-o", "driver.o", "driver.s", cwd=folder)
        objects += [f"{name}/backdrop.o", f"{name}/driver.o"]
        includes.append(f'#include "{name}/driver.h"')
        uses.append(f"    {name}_load(block); {name}_scroll(table, {name.upper()}_TILES, 0);")
    game = "\n".join([*includes, "void game(void *block, uint16_t *table)", "{", *uses, "}", ""])
    (tmp_path / "game.c").write_text(game)
    options = ["-m68000", "-O1", "-std=c99", "-Wall", "-Wextra", "-Werror", "-ffreestanding"]
    run(TOOLS + "gcc", *options, "-c", "-o", "game.o", "game.c", cwd=tmp_path)
    run(TOOLS + "ld", "-e", "0", "-Ttext=0x1000", "-o", "all.elf", *objects, cwd=tmp_path)
    places = symbols_of(tmp_path / "all.elf")
    assert len({places[f"{name}_tiles"] for name in NAMES}) == len(NAMES)
    code = code_of(tmp_path / "all.elf", ".text", ".rodata")
    for name, make in zip(NAMES, BACKDROPS, strict=True):
        start = places[f"{name}_palette"] - 0x1000
        assert code[start : start + 128] == make().palette.astype(">u2").tobytes()
