"""The table that `make` prints."""

from __future__ import annotations

import dataclasses
import re
from pathlib import Path

import numpy as np
import pytest
from sample import changed
from scene_text import a_layer, scene

from genbg.model import Figures
from genbg.pipeline import build
from genbg.reading import parse_preset
from genbg.report.summary import VERDICTS, error_words, summary

TEXT = scene(
    a_layer("steps", [96, 224], distance=8),
    title="Low tide",
    machine={"scroll": "strip"},
    preview={"frames": 2},
)


@pytest.fixture
def backdrop(steps):
    return build(parse_preset(TEXT))


def rows(backdrop, folder=Path("out")):
    lines = summary(backdrop, folder).split("\n\n")[0].splitlines()
    return {line[2:15].strip(): line[16:].strip() for line in lines[1:]}


def test_figures_by_hand(backdrop):
    """Tiles, colours and bytes of a backdrop counted by hand."""
    told = rows(backdrop)
    stored = len(backdrop.tiles.pixels)
    assert told["patterns"].endswith(f"before merging, {stored} stored, budget 640")
    assert told["palette rows"] == "1 of 4 used, 2 + 0 + 0 + 0 colours of 15 each"
    assert told["sprites"] == "none"
    # Beside the tiles: two maps of 64 x 32 words, a scroll table of 224 pairs of words.
    used = 2 * 64 * 32 * 2 + 224 * 4 + stored * 32
    assert told["memory"] == f"{used} of 65536 bytes, {65536 - used} left for the game"
    # 28 strips of 8 lines, a pair of words each.
    assert told["transfer"] == "112 of 7200 bytes a frame"


def costs_of(backdrop):
    """The table of costs as {name: (used, limit, left, unit)}."""
    lines = summary(backdrop, Path("out")).split("\n\n")[1].splitlines()[1:]
    found = {}
    for line in lines:
        if not line.startswith(("  over", "  warning")):
            name, used, limit, left, unit = re.split(r"\s{2,}", line.strip())
            found[name] = int(used), int(limit), int(left), unit
    return found


def test_costs_by_hand(backdrop):
    """Each cost with what there is and what is left; memory counts on from row to row.

    The machine's figures are common practice, no source: 64 KiB, 61 colours, 262 lines of 488
    cycles.
    """
    costs, stored = costs_of(backdrop), len(backdrop.tiles.pixels)
    assert costs["patterns"] == (stored, 640, 640 - stored, "patterns")
    left = 65536 - stored * 32
    assert costs["memory: patterns"] == (stored * 32, 65536, left, "bytes")
    assert costs["memory: back map"] == (4096, 65536, left - 4096, "bytes")
    assert costs["memory: front map"] == (4096, 65536, left - 8192, "bytes")
    assert costs["memory: scroll table"] == (896, 65536, left - 9088, "bytes")
    assert costs["colour entries"] == (3, 61, 58, "entries")
    assert costs["colours of the first frame"] == (3, 512, 509, "colours")
    assert costs["transfer of a frame"] == (112, 7200, 7088, "bytes")
    cycles, whole, rest, unit = costs["sample scroll routine"]
    assert (whole, rest, unit) == (262 * 488, 262 * 488 - cycles, "cycles")
    driver = {"driver: frame", "driver: blank"}
    assert len(costs.keys() - driver) == 9


def test_whatever_is_over_says_so(backdrop):
    """One byte and one cycle less than what is used: a plain sentence each, with a cure."""
    used = costs_of(backdrop)["sample scroll routine"][0]
    assert used > 1024
    machine = dataclasses.replace(
        backdrop.machine, transfer_bytes=111, cycles_per_line=1, gap_cycles=1, frame_lines=1024
    )
    assert "  over: " not in summary(backdrop, Path("out"))
    text = summary(changed(backdrop, machine=machine), Path("out"))
    assert (
        "  over: transfer of a frame: 112 bytes are used and 111 are there, 1 too many; "
        'scroll by "strip", show fewer sprites or move fewer colours\n' in text
    )
    assert f"  over: sample scroll routine: {used} cycles are used and 1024 are there, " in text


def test_depths_in_words(backdrop):
    """The line says how many depths there are and on what; none where nobody counted."""
    assert rows(backdrop)["depths"].startswith("1: 1 back plane (each has")
    uncounted = changed(backdrop, figures=Figures())
    assert "depths" not in rows(uncounted)


def test_error_in_plain_words(backdrop):
    """Exact is told as exact; else the words follow the similarity."""
    assert (
        error_words(backdrop)
        == "none by merging: stored exactly as asked, in every mood (SSIM 1.0000)"
    )
    merged = changed(backdrop, stored=np.zeros_like(backdrop.proof.stored))
    for least, words in VERDICTS:
        error = dataclasses.replace(backdrop.proof.error, ssim=max(least, 0.0))
        told = error_words(changed(merged, error=error))
        assert told == f"{words} (SSIM {max(least, 0.0):.4f})"


def test_warnings_and_titles_are_printable(backdrop):
    """Warnings stand below the table; no control character gets to the terminal."""
    loud = changed(backdrop, title="a\x1b[1m", warnings=("low\x07 tide",))
    lines = summary(loud, Path("o\x1b")).splitlines()
    assert lines[0] == "a\\x1b[1m (seed 0, mood home)"
    assert lines[-1] == "  warning: low\\x07 tide"
    assert "\x1b" not in "".join(lines)


def test_where_to_look_next(backdrop, tmp_path):
    """Only files that exist are recommended."""
    assert rows(backdrop, tmp_path)["look next at"] == str(tmp_path)
    (tmp_path / "still.png").write_bytes(b"")
    assert rows(backdrop, tmp_path)["look next at"] == f"{tmp_path}: still.png (its first frame)"


def test_merging_in_plain_words(backdrop):
    """Share and size of what changed, counted by hand; nothing is said where nothing did."""
    assert "colours" not in rows(backdrop)
    stored = backdrop.proof.painted.copy()
    stored[0, :8, :64] = 0
    painted = backdrop.proof.painted.copy()
    painted[0, :8, :64] = 511
    error = dataclasses.replace(
        backdrop.proof.error, oklab_mse=512 / painted.size, ssim=0.99, seam=0.01
    )
    merged = changed(
        backdrop, painted=painted, stored=stored, error=error, figures=Figures(bound_mse=1e-5)
    )
    told = rows(merged)
    share = 512 / painted.size
    # Black to white is an OKLab distance of 1: fifty steps of 0.02.
    steps = "these by 50.0 just noticeable steps on the whole (OKLab 1.000)"
    assert told["colours"] == f"{share:.1%} of pixels changed, {steps}"
    assert told["cell joins"].startswith("the grid of cells shows; ")
    assert f"patterns go below {1e-5:.3g}" in told["bound"]
