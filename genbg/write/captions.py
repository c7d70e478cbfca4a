"""What the pictures that explain say: real figures of the backdrop in a few words."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from genbg.hardware.map_word import unpack_map
from genbg.hardware.memory import plan_memory
from genbg.hardware.sizes import ONE
from genbg.measure import present, round_digits
from genbg.model import BACK, FRONT, Backdrop
from genbg.write.alone import ALL, SPRITES
from genbg.write.borders import split_borders
from genbg.write.costs import scroll_bytes, transfer_bytes
from genbg.write.lettering import text_mask
from genbg.write.line_speeds import ratio_text
from genbg.write.merging import change_levels
from genbg.write.moving import sideways_text

PART_PLANES = {BACK: "back", FRONT: "front", SPRITES: "sprites"}

HOW_TO_READ = (
    "A bar is as long as its line is fast, seen against the camera;",
    "an arrow points where the picture goes when the camera goes right.",
    "The dark chequer is see-through: there the farther plane shows.",
    "split: the colours in memory change here, a few on each line.",
    "high: cells before all low ones. wave: lines that sway.",
    "window: lines that the game keeps for a status bar.",
)


def speed_caption(backdrop: Backdrop, part: int) -> str:
    """Return how fast a part moves, in pixels for each pixel of the camera."""
    if part == SPRITES:
        return "" if backdrop.sprites.placed is None else _range_text(backdrop.sprites.placed.ratio)
    if part == ALL:
        return f"camera {sideways_text(backdrop)}"
    ratio = backdrop.moves.speeds.ratio[:, part]
    if not ratio.any():
        return "stands still"
    count = len(set(ratio.tolist()))
    return f"{count} speed{'s' if count > 1 else ''}, {_range_text(ratio)}"


def _range_text(ratio: np.ndarray) -> str:
    if not len(ratio):
        return "none in this frame"
    low, high = ratio_text(int(ratio.min())), ratio_text(int(ratio.max()))
    return f"{low} of the camera" if low == high else f"{low} to {high} of the camera"


def part_caption(backdrop: Backdrop, part: int, width: int) -> list[str]:
    """Return the lines under a part: its layers from far to near, and what it is made of."""
    if part == ALL:
        colours = len(set(backdrop.palette.tolist()))
        text = f"{colours} different colours in memory at the top of the frame"
        return [text, rewrites_text(backdrop)]
    rows = [f"Layers: {layer_names(backdrop, part)}", made_of(backdrop, part)]
    return [cut_text(row, width) for row in rows]


def made_of(backdrop: Backdrop, part: int) -> str:
    """Return what a part is made of."""
    if part == SPRITES:
        count = 0 if backdrop.sprites.table is None else len(backdrop.sprites.table)
        machine = backdrop.machine
        return f"{count} of {machine.sprites_screen} sprites in the first frame"
    cells = unpack_map(backdrop.maps[FRONT] if part == FRONT else backdrop.maps[BACK])
    rows, columns = cells.number.shape
    priority = int(cells.priority.sum())
    text = f"{columns} x {rows} cells made of {len(present(cells.number))} patterns"
    drift = backdrop.moves.speeds.drift[:, part]
    drifting = drift[drift != 0]
    more = f", {priority} with priority" if priority else ""
    if len(drifting):
        fastest = int(drifting[np.abs(drifting).argmax()])
        more += f"; drifts by itself up to {abs(fastest) / ONE:.3g} px a frame"
    return text + more


def cut_text(text: str, width: int) -> str:
    """Return as much of a text as fits in a width, with dots for the rest."""
    if text_mask(text).shape[1] <= width:
        return text
    while text and text_mask(text + "...").shape[1] > width:
        text = text[:-1]
    return text + "..."


def clip_rows(backdrop: Backdrop, part: int, width: int) -> list[str]:
    """Return the two lines under the clip's picture, cut to a width in pixels."""
    if part == ALL:
        rows = [
            f"{len(backdrop.tiles.pixels)} patterns of {backdrop.tiles.budget} allowed; "
            f"{rewrites_text(backdrop)}",
            f"video memory: {memory_text(backdrop)} for the game",
        ]
    else:
        rows = [f"Layers: {layer_names(backdrop, part)}", made_of(backdrop, part)]
    return [cut_text(row, width) for row in rows]


def layer_names(backdrop: Backdrop, part: int) -> str:
    """Return the names of a part's layers, the farthest first."""
    names = [layer.name for layer in backdrop.layers if layer.plane == PART_PLANES[part]]
    return ", ".join(names) or "none"


def rewrites_text(backdrop: Backdrop) -> str:
    """Return how many splits there are, and before which lines colours are rewritten for them."""
    borders = split_borders(backdrop)
    if not borders:
        return "no colours rewritten down the frame"
    where = ", ".join(f"{a}" if a == b else f"{a}-{b}" for a, b in borders)
    many = "1 split" if len(borders) == 1 else f"{len(borders)} splits"
    one = len(borders) == 1 and borders[0][0] == borders[0][1]
    return f"{many}, colours rewritten at line{'' if one else 's'} {where}"


def memory_text(backdrop: Backdrop) -> str:
    """Return how much of video memory is taken and left."""
    window = backdrop.moves.window is not None
    stored = len(backdrop.tiles.pixels)
    plan = plan_memory(backdrop.machine, stored, window, backdrop.has_sprites)
    used = sum(area.size for area in plan.areas)
    whole = backdrop.machine.mode.video_bytes
    return f"{used} of {whole} bytes, {whole - used} left"


def cost_rows(backdrop: Backdrop) -> Iterator[tuple[str, str]]:
    """Yield (name, figures) of what the backdrop costs."""
    stored = len(backdrop.tiles.pixels)
    yield (
        "Patterns",
        f"{backdrop.tiles.before} painted, {stored} stored, {backdrop.tiles.budget} allowed",
    )
    likeness = round_digits(backdrop.proof.error.ssim)
    changed = change_levels(backdrop).any()
    yield "Likeness", f"structural similarity {likeness:.4f}" if changed else "exactly as painted"
    yield "Memory", f"{memory_text(backdrop)} for the game"
    sent, scroll = transfer_bytes(backdrop), scroll_bytes(backdrop)
    rest = f", {scroll} of them the scroll table" if scroll < sent else " for the scroll table"
    yield "Each frame", f"{sent} bytes to send{rest}"
    yield "Rewrites", rewrites_text(backdrop)
