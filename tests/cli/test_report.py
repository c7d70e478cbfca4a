"""The table that `make` prints."""

from __future__ import annotations

import dataclasses
from pathlib import Path

import numpy as np
import pytest

from genbg.pipeline import build
from genbg.preset import parse_preset
from genbg.report import VERDICTS, error_words, summary

TEXT = """\
title = "Low tide"
[machine]
scroll = "strip"
[preview]
frames = 2
[[layer]]
paint = "steps"
lines = [96, 224]
distance = 8
"""


@pytest.fixture
def backdrop(steps):
    return build(parse_preset(TEXT))


def rows(backdrop, folder=Path("out")):
    lines = summary(backdrop, folder).splitlines()
    return {line[2:15].strip(): line[16:].strip() for line in lines[1:]}


def test_figures_by_hand(backdrop):
    """Patterns, colours and bytes of a backdrop counted by hand."""
    told = rows(backdrop)
    stored = len(backdrop.patterns)
    assert told["patterns"].endswith(f"before merging, {stored} stored, budget 640")
    assert told["palette rows"] == "1 of 4 used, 2 + 0 + 0 + 0 colours of 15 each"
    assert told["sprites"] == "none"
    # Beside the patterns: two maps of 64 x 32 words, a scroll table of 224 pairs of words.
    used = 2 * 64 * 32 * 2 + 224 * 4 + stored * 32
    assert told["memory"] == f"{used} of 65536 bytes, {65536 - used} left for the game"
    # 28 strips of 8 lines, a pair of words each.
    assert told["transfer"] == "112 of 7200 bytes a frame"


def test_error_in_plain_words(backdrop):
    """Exact is told as exact; else the words follow the similarity."""
    assert error_words(backdrop) == "none: stored exactly as painted (SSIM 1.0000)"
    changed = dataclasses.replace(backdrop, stored=np.zeros_like(backdrop.stored))
    for least, words in VERDICTS:
        error = dataclasses.replace(backdrop.error, ssim=max(least, 0.0))
        told = error_words(dataclasses.replace(changed, error=error))
        assert told == f"{words} (SSIM {max(least, 0.0):.4f})"


def test_warnings_and_titles_are_printable(backdrop):
    """Warnings stand below the table; no control character gets to the terminal."""
    loud = dataclasses.replace(backdrop, title="a\x1b[1m", warnings=("low\x07 tide",))
    lines = summary(loud, Path("o\x1b")).splitlines()
    assert lines[0] == "a\\x1b[1m (seed 0, mood home)"
    assert lines[-1] == "  warning: low\\x07 tide"
    assert "\x1b" not in "".join(lines)


def test_where_to_look_next(backdrop, tmp_path):
    """Only files that exist are recommended."""
    assert rows(backdrop, tmp_path)["look next at"] == str(tmp_path)
    (tmp_path / "still.png").write_bytes(b"")
    assert rows(backdrop, tmp_path)["look next at"] == f"{tmp_path}: still.png (its first frame)"
