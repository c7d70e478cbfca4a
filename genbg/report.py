"""The short table that `genbg make` prints: what was made, what it costs, where to look next."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from genbg.errors import printable
from genbg.hardware.map_word import unpack_map
from genbg.hardware.profile import SCROLLS
from genbg.hardware.scroll_table import PAIR_BYTES
from genbg.model import Backdrop

if TYPE_CHECKING:
    from genbg.batch import BatchReport

VERDICTS = (
    (0.995, "no difference to be seen"),
    (0.985, "next to no difference"),
    (0.95, "small differences on a close look"),
    (0.90, "differences that show"),
    (-1.0, "differences that show at once; raise machine.tile_budget or lower the layers' detail"),
)
"""From which structural similarity on which words are right. A rule of thumb, looked at by eye."""

MOST_NAMED = 10
"""Failed variants that the summary of a batch names."""

LOOK_AT = (
    ("player.html", "open it in a browser"),
    ("preview.png", "the backdrop in motion"),
    ("still.png", "its first frame"),
    ("sheet.png", "all patterns"),
)


def summary(backdrop: Backdrop, folder: Path) -> str:
    """Return the table as text, one line a figure; warnings follow it."""
    lines = [printable(f"{backdrop.title} (seed {backdrop.seed}, mood {backdrop.mood})")]
    rows = list(_rows(backdrop, folder))
    width = max(len(label) for label, _ in rows)
    lines += [f"  {label:<{width}}  {text}" for label, text in rows]
    lines += [printable(f"  warning: {text}") for text in backdrop.warnings]
    return "\n".join(lines)


def batch_summary(report: BatchReport) -> str:
    """Return what a batch came to, as text; failed variants are named."""
    folder = printable(str(report.folder))
    lines = [
        f"{report.variants} variants: {report.made} made, {report.found} found finished, "
        f"{report.failed} failed"
    ]
    lines += [printable(f"  failed: {name}: {why}") for name, why in report.failures[:MOST_NAMED]]
    if report.failed > MOST_NAMED:
        lines.append(f"  and {report.failed - MOST_NAMED} more; variants.jsonl names them")
    if report.kept:
        lines.append(printable(f"  kept: {', '.join(report.kept)}"))
    lines.append(f"  look next at  {folder}: contact.html, contact.png")
    return "\n".join(lines)


def _rows(backdrop: Backdrop, folder: Path) -> Iterator[tuple[str, str]]:
    stored = len(backdrop.patterns)
    yield (
        "patterns",
        f"{backdrop.tiles_before} before merging, {stored} stored, budget {backdrop.tile_budget}",
    )
    yield "palette rows", _palette_rows(backdrop)
    yield "error", error_words(backdrop)
    yield "sprites", _sprites(backdrop)
    yield "memory", _memory(backdrop)
    yield "transfer", _transfer(backdrop)
    name = printable(str(folder))
    looks = [f"{file} ({why})" for file, why in LOOK_AT if (folder / file).is_file()]
    yield "look next at", f"{name}: {', '.join(looks[:2])}" if looks else name
    yield "check with", f"genbg check {name}"


def error_words(backdrop: Backdrop) -> str:
    """The error of merging in plain words, with the structural similarity."""
    error = backdrop.error
    if np.array_equal(backdrop.painted, backdrop.stored):
        return f"none: stored exactly as painted (SSIM {error.ssim:.4f})"
    words = next(words for least, words in VERDICTS if error.ssim >= least)
    return f"{words} (SSIM {error.ssim:.4f})"


def _palette_rows(backdrop: Backdrop) -> str:
    """How many entries of each row the planes use, see-through not counted."""
    used: list[set[int]] = [set() for _ in range(4)]
    for words in (backdrop.front_map, backdrop.back_map):
        cells = unpack_map(words)
        for row in range(4):
            shown = np.unique(cells.number[cells.row == row])
            used[row].update(np.unique(backdrop.patterns[shown]).tolist())
    counts = [len(entries - {0}) for entries in used]
    full = sum(count > 0 for count in counts)
    return f"{full} of 4 used, {' + '.join(map(str, counts))} colours of 15 each"


def _sprites(backdrop: Backdrop) -> str:
    if backdrop.sprites is None or not len(backdrop.sprites):
        return "none"
    return f"{len(backdrop.sprites)} of {backdrop.machine.sprites_screen}"


def _memory(backdrop: Backdrop) -> str:
    areas = backdrop.facts.get("memory", ())
    used = sum(area["size"] for area in areas)
    whole = backdrop.machine.mode.video_bytes
    return f"{used} of {whole} bytes, {whole - used} left for the game"


def _transfer(backdrop: Backdrop) -> str:
    """Bytes a frame that scrolling sends to video memory, against the working budget."""
    machine = backdrop.machine
    pairs = -(-machine.screen[1] // SCROLLS[machine.scroll]) if SCROLLS[machine.scroll] else 1
    bytes_a_frame = pairs * PAIR_BYTES
    if backdrop.sprites is not None:
        bytes_a_frame += len(backdrop.sprites) * machine.mode.sprite_entry_bytes
    return f"{bytes_a_frame} of {machine.transfer_bytes} bytes a frame"
