"""What the machine can hold and draw: every number within its limit."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np

from genbg.check.listing import Export
from genbg.errors import GenbgError
from genbg.hardware.colour_word import word_to_number
from genbg.hardware.map_word import unpack_map
from genbg.hardware.scroll_table import unpack_scroll
from genbg.hardware.sizes import PLANE_NAMES
from genbg.hardware.sprite_entry import linked_order, unpack_sprites
from genbg.model import Backdrop


def check(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield what passes a limit of the machine, or contradicts what the manifest counts."""
    yield from check_counts(backdrop)
    yield from check_maps(backdrop)
    yield from check_colours(export, backdrop)
    yield from check_screen(backdrop)
    yield from check_waves(export, backdrop)
    yield from check_sprites(backdrop)


def fault_of(path: str, unpack: Callable[[np.ndarray], object], words: np.ndarray) -> Iterator[str]:
    """Yield what a hardware format finds wrong with words, if anything."""
    try:
        unpack(words)
    except GenbgError as error:
        yield f"{path}: {error}"


def check_counts(backdrop: Backdrop) -> Iterator[str]:
    """Yield where tiles pass the budget or what can be addressed."""
    stored, budget = len(backdrop.tiles.pixels), backdrop.tiles.budget
    if stored > budget:
        yield f"machine/tiles.bin: {stored} patterns; the budget is {budget}"
    if backdrop.tiles.before < stored:
        yield f"backdrop.json: tiles.before: {backdrop.tiles.before}, but {stored} are stored"
    most = backdrop.machine.mode.tiles_max
    if backdrop.tiles.base + stored > most:
        yield (
            f"backdrop.json: tile_base: {backdrop.tiles.base} with {stored} patterns; "
            f"a map word can address {most}"
        )


def check_maps(backdrop: Backdrop) -> Iterator[str]:
    """Yield where a map points past the stored tiles."""
    stored = len(backdrop.tiles.pixels)
    for name, words in zip(PLANE_NAMES, backdrop.maps, strict=True):
        number = unpack_map(words).number
        wrong = np.argwhere(number >= stored)
        if len(wrong):
            row, column = wrong[0].tolist()
            yield (
                f"machine/{name}.map: row {row}, column {column} shows pattern "
                f"{int(number[row, column])}; {stored} are stored ({len(wrong)} such cells)"
            )


def check_colours(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield colour words with a bit that no colour uses, and moods that do not fit together."""
    for mood, words in backdrop.colours.palettes.items():
        yield from fault_of(f"machine/moods/{mood}.bin", word_to_number, words)
    yield from fault_of("machine/palette.bin", word_to_number, backdrop.palette)
    if backdrop.preview.palette is not None:
        path = "machine/preview/palette.bin"
        yield from fault_of(path, word_to_number, backdrop.preview.palette)
    if export.data["machine/palette.bin"] != export.data[f"machine/moods/{backdrop.mood}.bin"]:
        yield f"machine/palette.bin: is not that of the mood {backdrop.mood}"
    last = 0
    for number, split in enumerate(backdrop.colours.splits):
        for mood, words in split.words.items():
            path = f"machine/moods/{mood}.splits.bin: split {number}"
            yield from fault_of(path, word_to_number, words)
        if not last <= split.line < backdrop.machine.screen[1]:
            yield (
                f"machine/splits.bin: split {number} stands at line {split.line}; allowed is "
                f"{last} to {backdrop.machine.screen[1] - 1}"
            )
        last = max(last, split.line)


def check_screen(backdrop: Backdrop) -> Iterator[str]:
    """Yield scroll words of more than 10 bits, and a window or layer that leaves the screen."""
    lines = backdrop.machine.screen[1]
    yield from fault_of("machine/preview/scroll.bin", unpack_scroll, backdrop.preview.scroll)
    if backdrop.preview.vscroll is not None:
        yield from fault_of("machine/preview/vscroll.bin", unpack_scroll, backdrop.preview.vscroll)
    window = backdrop.moves.window
    if window is not None and not 0 <= window[0] < window[1] <= lines:
        yield (
            f"backdrop.json: machine.window: lines {window[0]} to {window[1]}; "
            f"the screen has 0 to {lines}"
        )


def check_waves(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield waves that leave the screen, cover one another or are not as the manifest says."""
    lines = len(backdrop.moves.all_speeds.ratio)
    end = (0, 0)
    for number, wave in enumerate(backdrop.moves.waves):
        where = f"machine/waves.bin: wave {number}"
        if wave.plane > 1 or not wave.top < wave.bottom <= lines or not wave.frames:
            yield (
                f"{where}: plane {wave.plane}, lines {wave.top} to {wave.bottom}, {wave.frames} "
                f"frames; allowed are plane 0 or 1, lines 0 to {lines}, and at least 1 frame"
            )
        elif (wave.plane, wave.top) < end:
            yield f"{where}: begins at line {wave.top}, before the end of the wave before it"
        end = (wave.plane, wave.bottom)
    if wave_rows(backdrop) != export.table["waves"]:
        yield "machine/waves.bin: its waves are not those of backdrop.json"


def wave_rows(backdrop: Backdrop) -> list[dict[str, object]]:
    """What the manifest has to say of the waves."""
    return [
        {
            "plane": "back" if wave.plane else "front",
            "lines": [wave.top, wave.bottom],
            "pixels": max(abs(int(offset)) for offset in wave.offsets),
            "frames": wave.frames,
            "step": wave.step,
        }
        for wave in backdrop.moves.waves
    ]


def check_sprites(backdrop: Backdrop) -> Iterator[str]:
    """Yield sprite tables that the machine could not read to their end."""
    most = backdrop.machine.sprites_screen
    if backdrop.sprites.table is not None:
        yield from table_faults("machine/sprites.bin", backdrop.sprites.table, backdrop, most)
    if backdrop.preview.sprites is not None:
        distinct, first = np.unique(backdrop.preview.sprites, axis=0, return_index=True)
        for table, frame in sorted(zip(distinct, first.tolist(), strict=True), key=lambda p: p[1]):
            path = f"machine/preview/sprites.bin: frame {frame}"
            yield from table_faults(path, table, backdrop, most)


def table_faults(path: str, entries: np.ndarray, backdrop: Backdrop, most: int) -> Iterator[str]:
    """Yield what is wrong with one sprite table: links, count, tile numbers."""
    try:
        sprites = unpack_sprites(entries)
        order = linked_order(sprites.link)
    except GenbgError as error:
        yield f"{path}: {error}"
        return
    shown = len(order) if entries[0].any() else 0  # an empty table is one entry, all of it 0
    if shown > most:
        yield f"{path}: {shown} sprites are linked; the machine draws {most}"
    stored = len(backdrop.tiles.pixels)
    for entry in order:
        last = int(sprites.number[entry]) + int(sprites.width[entry] * sprites.height[entry])
        if last > stored:
            yield f"{path}: entry {entry} shows pattern {last - 1}; {stored} are stored"
