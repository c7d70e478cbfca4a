"""The game in README.md, built as it says there, and booted."""

from __future__ import annotations

import re
import subprocess
from fractions import Fraction
from pathlib import Path

from recorder import record
from sample import make_backdrop
from shown import expected_words, lit_frames, recorded_words

from genbg.write import source

README = Path(__file__).parents[2] / "README.md"
FRAMES = 20


def test_the_game_of_the_readme_runs(need, emulator, tmp_path):
    """At most 40 lines; it shows the frames of a camera that moves two pixels a frame."""
    for tool in ("as", "ld", "objcopy"):
        need.tool(f"m68k-linux-gnu-{tool}")
    text = README.read_text("utf-8").partition("<!-- example: game -->\n")[2]
    code, commands = re.findall(r"```(?:asm|sh)\n(.*?)```", text, re.S)[:2]
    assert len(code.splitlines()) <= 40
    (tmp_path / "game.s").write_text(code)
    backdrop = make_backdrop(frames=FRAMES, step=Fraction(2))
    for path, data in source.files(backdrop):
        (tmp_path / path.rpartition("/")[2]).write_bytes(data)
    subprocess.run(["sh", "-ec", commands], cwd=tmp_path, check=True)
    film = lit_frames(record(tmp_path / "game.bin", FRAMES + 10, tmp_path))
    for frame, right in zip(film, expected_words(backdrop, list(range(FRAMES))), strict=False):
        assert (recorded_words(frame, 320) == right).all()
