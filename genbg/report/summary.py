"""The short table that `genbg make` prints: what was made, what it costs, where to look next."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

import numpy as np

from genbg.errors import printable
from genbg.hardware.memory import plan_memory
from genbg.measure import JUST_NOTICEABLE
from genbg.model import Backdrop
from genbg.report.effects import effect_rows
from genbg.write.costs import Cost, all_costs, sprite_costs, transfer_bytes, used_entries

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

SEAM_WORDS = (
    (0.002, "the grid of cells can't be seen"),
    (0.006, "the grid of cells can be found where one looks for it"),
    (math.inf, 'the grid of cells shows; machine.merge = "contours" minds it more'),
)
"""Up to which mean wrong step of lightness at a join which words are right. By eye, as above."""

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
    lines += ["", *cost_lines(all_costs(backdrop))]
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
    if report.lines > report.variants:
        lines.append(f"  the folder holds {report.lines} variants, those of earlier batches too")
    if report.shown < report.lines:
        lines.append(
            f"  contact.png and its pages show the first {report.shown} of {report.lines} "
            "variants; contact.html shows all"
        )
    if report.kept:
        lines.append(printable(f"  kept: {', '.join(report.kept)}"))
    lines.append(f"  look next at  {folder}: contact.html, contact.png")
    return "\n".join(lines)


def _rows(backdrop: Backdrop, folder: Path) -> Iterator[tuple[str, str]]:
    stored = len(backdrop.tiles.pixels)
    yield (
        "patterns",
        f"{backdrop.tiles.before} before merging, {stored} stored, budget {backdrop.tiles.budget}",
    )
    yield "palette rows", _palette_rows(backdrop)
    yield "error", error_words(backdrop)
    yield from asked_words(backdrop)
    yield from merge_words(backdrop)
    yield from _depths(backdrop)
    yield "sprites", _sprites(backdrop)
    yield from effect_rows(backdrop)
    yield "memory", _memory(backdrop)
    yield "transfer", _transfer(backdrop)
    name = printable(str(folder))
    looks = [f"{file} ({why})" for file, why in LOOK_AT if (folder / file).is_file()]
    yield "look next at", f"{name}: {', '.join(looks[:2])}" if looks else name
    yield "check with", f"genbg check {name}"


def merge_words(backdrop: Backdrop) -> Iterator[tuple[str, str]]:
    """What merging cost in colour and at the joins of cells; nothing where it changed nothing."""
    error = backdrop.proof.error
    if np.array_equal(backdrop.proof.painted, backdrop.proof.stored):
        return
    changed = float((backdrop.proof.painted != backdrop.proof.stored).mean())
    off = math.sqrt(error.oklab_mse / changed)
    yield (
        "colours",
        f"{changed:.1%} of pixels changed, these by {off / JUST_NOTICEABLE:.1f} just noticeable "
        f"steps on the whole (OKLab {off:.3f})",
    )
    words = next(words for most, words in SEAM_WORDS if error.seam <= most)
    yield "cell joins", f"{words} (seam {error.seam:.4f})"
    bound = backdrop.proof.figures.bound_mse
    if bound is not None:
        yield (
            "bound",
            f"mean squared OKLab error {error.oklab_mse:.3g}; no {len(backdrop.tiles.pixels)} "
            f"patterns go below {bound:.3g}, by a bound that is low itself",
        )


def asked_words(backdrop: Backdrop) -> Iterator[tuple[str, str]]:
    """What layers ask for against what is shown, in the mood that suffers most, and the cure."""
    if not backdrop.proof.asked:
        return
    shown = backdrop.proof.asked[backdrop.mood]
    worst, most = max(backdrop.proof.asked.items(), key=lambda one: one[1].pixels)
    text = f"{shown.asked} colours asked, {shown.held} held; "
    if not most.pixels:
        yield "asked for", f"{text}no pixel moved to be seen, in any mood"
        return
    text += f"{most.pixels:.1%} of pixels moved in mood {worst}, the worst"
    fit = backdrop.tiles.before <= backdrop.tiles.budget
    cure = "fewer inks (steps.RAMP)" if fit else "a larger machine.tile_budget, or fewer inks"
    yield "asked for", f"{text}; worst cell off by {most.worst_cell:.3f}; cure: {cure}"


def error_words(backdrop: Backdrop) -> str:
    """The error of merging in plain words, with the structural similarity."""
    error = backdrop.proof.error
    if np.array_equal(backdrop.proof.painted, backdrop.proof.stored):
        moved = any(one.oklab_mse for one in backdrop.proof.asked.values())
        how = "as fitted to palette rows" if moved else "exactly as asked, in every mood"
        return f"none by merging: stored {how} (SSIM {error.ssim:.4f})"
    words = next(words for least, words in VERDICTS if error.ssim >= least)
    return f"{words} (SSIM {error.ssim:.4f})"


def _palette_rows(backdrop: Backdrop) -> str:
    """How many entries of each row planes and sprites use, see-through not counted."""
    counts = [len(entries) for entries in used_entries(backdrop)]
    full = sum(count > 0 for count in counts)
    return f"{full} of 4 used, {' + '.join(map(str, counts))} colours of 15 each"


def _depths(backdrop: Backdrop) -> Iterator[tuple[str, str]]:
    """How many depths the eye is shown; nothing where nobody counted them."""
    depths = backdrop.proof.figures.depths
    if depths is None:
        return
    parts = [
        f"{getattr(depths, name)} {of}"
        for name, of in (("back", "back plane"), ("front", "front plane"), ("sprites", "sprites"))
        if getattr(depths, name)
    ]
    text = f"{depths.all}: {', '.join(parts)} (each has a plane, speed or order of its own)"
    yield "depths", text


def _sprites(backdrop: Backdrop) -> str:
    if not backdrop.has_sprites:
        return "none"
    rows = [f"{cost.used} of {cost.limit} {cost.name}" for cost in sprite_costs(backdrop)]
    return ", ".join(rows).replace("sprites of a", "a").replace("sprite pixels of", "pixels of")


def _memory(backdrop: Backdrop) -> str:
    window = backdrop.moves.window is not None
    plan = plan_memory(backdrop.machine, len(backdrop.tiles.pixels), window, backdrop.has_sprites)
    used = sum(area.size for area in plan.areas)
    whole = backdrop.machine.mode.video_bytes
    return f"{used} of {whole} bytes, {whole - used} left for the game"


def _transfer(backdrop: Backdrop) -> str:
    """Bytes a frame that scrolling sends to video memory, against the working budget."""
    return f"{transfer_bytes(backdrop)} of {backdrop.machine.transfer_bytes} bytes a frame"


def cost_lines(costs: Sequence[Cost]) -> Iterator[str]:
    """The table of what is used, what there is and what is left; then what is over, in words."""
    heads = ("what it takes", "used", "limit", "left", "")
    rows = [(c.name, str(c.used), str(c.limit), str(c.left), c.unit) for c in costs]
    wide = [max(len(row[column]) for row in (heads, *rows)) for column in range(4)]
    for name, used, limit, left, unit in (heads, *rows):
        text = (
            f"  {name:<{wide[0]}}  {used:>{wide[1]}}  {limit:>{wide[2]}}  {left:>{wide[3]}}  {unit}"
        )
        yield text.rstrip()
    yield from (f"  over: {cost.over}" for cost in costs if cost.over)
