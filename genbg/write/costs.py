"""What a backdrop takes of the machine: one table of what is used, what there is and what is left.

Video memory is a ledger: each row takes its bytes, and `left` is what remains after it, so that the
last row says what the game gets. All other rows stand for themselves. A row that is over says so
in a plain sentence with its cure.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

import numpy as np

from genbg.hardware.map_word import unpack_map
from genbg.hardware.memory import plan_memory
from genbg.hardware.profile import SCROLLS
from genbg.hardware.scroll_table import PAIR_BYTES
from genbg.hardware.sizes import COLUMN_PAIRS, PALETTE_COLOURS, PALETTES, SCREEN_COLOURS
from genbg.hardware.sprite_entry import cell_order, line_loads, linked_order, unpack_sprites
from genbg.measure import present
from genbg.model import Backdrop
from genbg.screen.display import draw_frame, line_palettes, load_screen
from genbg.write.borders import split_borders
from genbg.write.cycles import blank_cycles, frame_cycles, line_cycles, scroll_cycles
from genbg.write.once import once

WORD_BYTES = 2


@dataclass(frozen=True)
class Cost:
    """A row of the table.

    name: what; used, limit, left: in `unit`; cure: what helps where it is over
    """

    name: str
    used: int
    limit: int
    left: int
    unit: str
    cure: str

    @property
    def over(self) -> str | None:
        """A sentence where more is used than there is, else None."""
        if self.left >= 0:
            return None
        return (
            f"{self.name}: {self.used} {self.unit} are used and {self.limit} are there, "
            f"{-self.left} too many; {self.cure}"
        )

    @property
    def plain(self) -> dict[str, Any]:
        """The row as JSON values."""
        return {
            "name": self.name,
            "used": self.used,
            "limit": self.limit,
            "left": self.left,
            "unit": self.unit,
            "over": self.over,
        }


@once
def all_costs(backdrop: Backdrop) -> tuple[Cost, ...]:
    """Every row of the table, in the order in which it is shown."""
    return (
        *tile_costs(backdrop),
        *memory_costs(backdrop),
        *colour_costs(backdrop),
        *sprite_costs(backdrop),
        *time_costs(backdrop),
    )


def plain_cost(name: str, used: int, limit: int, unit: str, cure: str) -> Cost:
    """A row that stands for itself."""
    return Cost(name, int(used), int(limit), int(limit) - int(used), unit, cure)


def tile_costs(backdrop: Backdrop) -> Iterator[Cost]:
    """Tiles against the budget."""
    cure = "raise machine.tile_budget"
    yield plain_cost(
        "patterns", len(backdrop.tiles.pixels), backdrop.tiles.budget, "patterns", cure
    )


def memory_costs(backdrop: Backdrop) -> Iterator[Cost]:
    """What lies in video memory, each after the other."""
    machine = backdrop.machine
    window = backdrop.moves.window is not None
    plan = plan_memory(machine, len(backdrop.tiles.pixels), window, backdrop.has_sprites)
    whole = left = machine.mode.video_bytes
    for area in sorted(plan.areas, key=lambda area: (area.name != "patterns", area.name)):
        left -= area.size
        yield Cost(f"memory: {area.name}", area.size, whole, left, "bytes", "lower the budget")


def colour_costs(backdrop: Backdrop) -> Iterator[Cost]:
    """Colour entries of planes and sprites, and colours on the screen at once."""
    used = {16 * row + entry for row, held in enumerate(used_entries(backdrop)) for entry in held}
    used.add(backdrop.colours.backdrop_entry)
    limit = PALETTES * PALETTE_COLOURS + 1
    yield plain_cost("colour entries", len(used), limit, "entries", "use fewer colours")
    yield plain_cost(
        "colours of the first frame", shown_colours(backdrop), SCREEN_COLOURS, "colours", ""
    )


def used_entries(backdrop: Backdrop) -> list[set[int]]:
    """The entries 1..15 of each palette row that planes and sprites use."""
    used: list[set[int]] = [set() for _ in range(PALETTES)]
    numbers: list[list[np.ndarray]] = [[] for _ in range(PALETTES)]
    for words in backdrop.maps:
        cells = unpack_map(words)
        for row in range(PALETTES):
            numbers[row].append(cells.number[cells.row == row].astype(np.int64))
    for row, run in sprite_runs(backdrop):
        numbers[row].append(run)
    for row, found in enumerate(numbers):
        shown = present(np.concatenate(found))
        shown = shown[shown < len(backdrop.tiles.pixels)]
        used[row].update(present(backdrop.tiles.pixels[shown]).tolist())
        used[row].discard(0)
    return used


def sprite_runs(backdrop: Backdrop) -> Iterator[tuple[int, np.ndarray]]:
    """Palette row and tiles of every sprite."""
    if backdrop.sprites.placed is not None:
        placed = backdrop.sprites.placed
        cells = unpack_map(placed.word)
        sizes = zip(placed.width.tolist(), placed.height.tolist(), strict=True)
    elif backdrop.sprites.table is not None and len(backdrop.sprites.table):
        sprites = unpack_sprites(backdrop.sprites.table)
        cells = unpack_map(np.zeros(len(sprites.x), dtype=np.uint16))._replace(
            number=sprites.number, row=sprites.row
        )
        sizes = zip(sprites.width.tolist(), sprites.height.tolist(), strict=True)
    else:
        return
    for number, row, size in zip(cells.number.tolist(), cells.row.tolist(), sizes, strict=True):
        yield row, number + cell_order(*size).ravel()


def shown_colours(backdrop: Backdrop) -> int:
    """Different colours of the first frame."""
    entries = draw_frame(load_screen(backdrop), 0)
    starts, words = line_palettes(backdrop, 0)
    zone = np.searchsorted(starts, np.arange(len(entries)), side="right") - 1
    return len(present(words[zone[:, None], entries]))


def sprite_costs(backdrop: Backdrop) -> Iterator[Cost]:
    """Sprites of the fullest frame and line, less what the game keeps."""
    if not backdrop.has_sprites:
        return
    machine, kept = backdrop.machine, backdrop.sprites.reserve
    cure = "the warnings say where; draw less as sprites, or reserve fewer"
    limits = machine.sprites_screen, machine.sprites_line, machine.sprite_pixels_line
    units = "sprites", "sprites", "pixels"
    names = "sprites of a frame", "sprites of a line", "sprite pixels of a line"
    for name, used, limit, less, unit in zip(
        names, asked_sprites(backdrop), limits, kept, units, strict=True
    ):
        yield plain_cost(name, used, limit - less, unit, cure)


def asked_sprites(backdrop: Backdrop) -> tuple[int, int, int]:
    """As `fullest`, with the sprites of a frame that found no place in its table."""
    shown, line, pixels = fullest(backdrop)
    return max(shown, backdrop.proof.figures.sprites_asked or 0), line, pixels


@once
def fullest(backdrop: Backdrop) -> tuple[int, int, int]:
    """The most sprites of a frame, and the most sprites and sprite pixels of a line."""
    still = [] if backdrop.sprites.table is None else [backdrop.sprites.table]
    given = still if backdrop.preview.sprites is None else backdrop.preview.sprites
    used = [table for table in given if len(table) and table[0].any()]
    tables = list({table.tobytes(): table for table in used}.values())
    if not tables:
        return 0, 0, 0
    sprites = unpack_sprites(np.stack(tables))
    orders = [linked_order(link) for link in sprites.link]
    frame = np.repeat(np.arange(len(tables)), [len(order) for order in orders])
    place = frame, np.concatenate(orders)
    shape = len(tables), backdrop.machine.screen[1]
    y, height = sprites.y[place], sprites.height[place]
    count = line_loads(frame, y, height, np.ones(len(frame), np.int64), shape)
    pixels = line_loads(frame, y, height, sprites.width[place].astype(np.int64) * 8, shape)
    return max(map(len, orders)), int(count.max()), int(pixels.max())


def time_costs(backdrop: Backdrop) -> Iterator[Cost]:
    """What a frame takes: bytes sent in the blank, cycles, rewrites of colours."""
    machine = backdrop.machine
    yield plain_cost(
        "transfer of a frame",
        transfer_bytes(backdrop),
        machine.transfer_bytes,
        "bytes",
        'scroll by "strip", show fewer sprites or move fewer colours',
    )
    whole, slower = (
        machine.cycles_per_line * machine.frame_lines,
        "give neighbouring lines one speed",
    )
    yield plain_cost(
        "sample scroll routine",
        scroll_cycles(backdrop),
        whole,
        "cycles",
        f"{slower}, or lines fewer waves",
    )
    changes = most_changed(backdrop.preview.palette) + most_changed(backdrop.preview.splits)
    frame = frame_cycles(backdrop, asked_sprites(backdrop)[0], changes)
    lines = line_cycles(backdrop)
    yield plain_cost("driver: frame", frame, whole, "cycles", f"{slower}, or show fewer sprites")
    yield plain_cost(
        "driver: blank",
        blank_cycles(backdrop) + halted_cycles(backdrop),
        machine.cycles_per_line * machine.blank_lines,
        "cycles",
        "show fewer sprites or move fewer colours",
    )
    if lines:
        yield plain_cost("driver: lines", lines, whole, "cycles", "use fewer splits")
    if backdrop.colours.splits:
        yield from split_costs(backdrop)


def split_costs(backdrop: Backdrop) -> Iterator[Cost]:
    """Colour rewrites part-way down the frame."""
    machine, lines = backdrop.machine, [split.line for split in backdrop.colours.splits]
    yield plain_cost(
        "splits of a frame",
        len(split_borders(backdrop)),
        machine.splits_warn - 1,
        "splits",
        "from one more on, the frame rate starts to suffer",
    )
    taken = sorted(set(lines))
    yield plain_cost(
        "lines with a colour rewrite",
        len(taken),
        machine.screen[1],
        "lines",
        "use fewer splits or fewer colours in them",
    )
    most = max(
        sum(
            len(split.words[backdrop.mood])
            for split in backdrop.colours.splits
            if split.line == line
        )
        for line in taken
    )
    yield plain_cost(
        "colours of one gap",
        most,
        machine.gap_colours,
        "colours",
        "spread the rewrites over more lines",
    )


def transfer_bytes(backdrop: Backdrop) -> int:
    """Bytes sent to video, scroll and colour memory in the fullest frame of the preview."""
    machine, preview = backdrop.machine, backdrop.preview
    sent = scroll_bytes(backdrop)
    if machine.vertical != "none":
        sent += PAIR_BYTES * (COLUMN_PAIRS if machine.vertical == "column" else 1)
    if backdrop.has_sprites:
        sent += fullest(backdrop)[0] * machine.mode.sprite_entry_bytes
    return sent + most_changed(preview.palette) * WORD_BYTES


def halted_cycles(backdrop: Backdrop) -> int:
    """Cycles that the processor stands still while the driver's transfers run."""
    machine, sent = backdrop.machine, transfer_bytes(backdrop)
    if backdrop.colours.splits or backdrop.colours.scripts:
        sent += (64 - most_changed(backdrop.preview.palette)) * WORD_BYTES
    return sent * machine.cycles_per_line // max(1, machine.blank_bytes_per_line)


def scroll_bytes(backdrop: Backdrop) -> int:
    """Bytes of the scroll table: a pair of words for each line, strip or plane."""
    machine = backdrop.machine
    group = SCROLLS[machine.scroll]
    return (-(-machine.screen[1] // group) if group else 1) * PAIR_BYTES


def most_changed(palette: np.ndarray | None) -> int:
    """The most colour entries (F, 64) that change from one frame to the next, round the loop."""
    if palette is None:
        return 0
    return int((palette != np.roll(palette, 1, axis=0)).sum(axis=1).max())
