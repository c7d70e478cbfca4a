"""Builds the stage program and exported sources with the m68k tools.

    python tests/machine/toolchain.py --remake

assembles the stage program anew and puts its bytes into the package, beside its source.
"""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path
from string import Template

TEMPLATES = Path(__file__).parents[2] / "genbg" / "write" / "templates"
SHIPPED = TEMPLATES / "stage.bin"
TOOLS = "m68k-linux-gnu-"


def run(*command: str, cwd: Path) -> str:
    """Run a tool; return what it printed."""
    done = subprocess.run(command, cwd=cwd, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
    return done.stdout


def stage_source() -> str:
    """Return the stage program's whole text: the stage, with the driver in it."""
    motion = "".join((TEMPLATES / name).read_text() for name in ("move.s", "sway.s"))
    parts = {"name": "stage", "title": "The stage", "about": "", "motion": motion}
    driver = Template((TEMPLATES / "driver.s").read_text()).substitute(parts)
    return Template((TEMPLATES / "stage.s").read_text()).substitute(driver=driver)


def build_stage(folder: Path) -> Path:
    """Assemble the stage program; return the linked file."""
    (folder / "stage.s").write_text(stage_source())
    run(TOOLS + "as", "-m68000", "-o", "stage.o", "stage.s", cwd=folder)
    run(TOOLS + "ld", "-e", "0", "-Ttext=0", "-o", "stage.elf", "stage.o", cwd=folder)
    return folder / "stage.elf"


def code_of(elf: Path, *sections: str) -> bytes:
    """Return the bytes of a linked file, from its first address on."""
    chosen = [word for name in sections for word in ("-j", name)]
    run(TOOLS + "objcopy", "-O", "binary", *chosen, elf.name, elf.stem + ".bin", cwd=elf.parent)
    return elf.with_suffix(".bin").read_bytes()


def symbols_of(elf: Path) -> dict[str, int]:
    """Return {name: address} of a linked file."""
    lines = run(TOOLS + "nm", elf.name, cwd=elf.parent)
    return {name: int(at, 16) for at, name in re.findall(r"^([0-9a-f]+) \w (\S+)$", lines, re.M)}


def listing_of(elf: Path) -> str:
    """Return the disassembly of a linked file's code."""
    return run(TOOLS + "objdump", "-d", "-j", ".text", elf.name, cwd=elf.parent)


def link_driver(folder: Path, language: str) -> Path:
    """Assemble or compile an export's data and driver that lie in a folder; link them at 0x1000."""
    for name in ("backdrop", "driver"):
        if language == "s":
            run(TOOLS + "as", "-m68000", "-o", f"{name}.o", f"{name}.s", cwd=folder)
        else:
            options = ["-m68000", "-O2", "-std=c99", "-Wall", "-Wextra", "-pedantic", "-Werror"]
            options += ["-ffreestanding", "-fomit-frame-pointer"]
            run(TOOLS + "gcc", *options, "-c", "-o", f"{name}.o", f"{name}.c", cwd=folder)
    link = [TOOLS + "ld", "-e", "0", "-Ttext=0x1000", "-o", "all.elf", "driver.o", "backdrop.o"]
    run(*link, cwd=folder)
    return folder / "all.elf"


if __name__ == "__main__":
    import tempfile

    assert sys.argv[1:] == ["--remake"], __doc__
    with tempfile.TemporaryDirectory() as made:
        SHIPPED.write_bytes(code_of(build_stage(Path(made)), ".text"))
