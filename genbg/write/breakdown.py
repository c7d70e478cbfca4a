"""breakdown.png: a picture for people who explain, taken apart.

The picture shows the back plane, the front plane and the sprites (without any, the stored tiles)
alone, and all together, each beside its line speeds and marks; below, the colours in memory at the
scanned line, what the backdrop costs, how to read it all and what moves. See-through parts are a
dark chequer of 8 pixels.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

import numpy as np

from genbg.hardware.colour_word import word_to_number
from genbg.measure import present
from genbg.model import BACK, FRONT, Backdrop
from genbg.screen.display import Screen, load_screen
from genbg.write.alone import ALL, PARTS, SPRITES, chequer, coloured, colours_at, part_entries
from genbg.write.captions import HOW_TO_READ, cost_rows, cut_text, part_caption, speed_caption
from genbg.write.labels import INK, QUIET, blank, film_of, put, write, write_right
from genbg.write.lettering import HEIGHT
from genbg.write.line_speeds import bars_px, speed_bars
from genbg.write.moving import motion_rows
from genbg.write.scanned import ROW_PX, ROWS, put_scan, put_swatches
from genbg.write.sheet import common_rows, sheet_pixels
from genbg.write.stills import frame_png

EDGE_PX = 20
GAP_PX = 24
HEAD_PX = 14
FOOT_PX = 32
BARS_GAP_PX = 6
TITLE_PX = 36
LINE_PX = HEIGHT + 3
STRIP_GAP_PX = 14
NAMES_PX = 70
"""Width of the names of figures."""


def files(backdrop: Backdrop) -> Iterator[tuple[str, bytes]]:
    """Yield breakdown.png."""
    screen = load_screen(backdrop)
    film = film_of([board(screen)], backdrop.machine.levels)
    yield "breakdown.png", frame_png(film, 0)


def board(screen: Screen) -> np.ndarray:
    """Return the picture (H, W) uint16 in colour numbers."""
    backdrop = screen.backdrop
    box_w, box_h = screen.width + BARS_GAP_PX + bars_px(backdrop), HEAD_PX + screen.lines + FOOT_PX
    width = 2 * EDGE_PX + 2 * box_w + GAP_PX
    left, right = EDGE_PX, EDGE_PX + box_w + GAP_PX
    strip_y = TITLE_PX + EDGE_PX + 2 * box_h + GAP_PX
    words_y = strip_y + HEAD_PX + ROWS * ROW_PX + STRIP_GAP_PX
    moving = list(motion_rows(backdrop))
    words_px = HEAD_PX + max(len(HOW_TO_READ), len(moving)) * LINE_PX
    picture = blank(width, words_y + words_px + EDGE_PX)
    put_head(picture, backdrop)
    line = scanned_line(screen)
    third = SPRITES if backdrop.has_sprites else None
    for place, part in enumerate((BACK, FRONT, third, ALL)):
        x = right if place % 2 else left
        y = TITLE_PX + EDGE_PX + place // 2 * (box_h + GAP_PX)
        if part is None:
            put_tiles(picture, x, y, screen)
        else:
            put_part(picture, x, y, screen, part, line)
    put_colours(picture, left, strip_y, screen, line)
    put_rows(picture, right, strip_y, "What it costs", cost_rows(backdrop), box_w)
    put_legend(picture, left, words_y)
    put_rows(picture, right, words_y, "What moves", moving, box_w)
    return picture


def put_head(picture: np.ndarray, backdrop: Backdrop) -> None:
    """Write the title, and which seed, mood and frame are shown."""
    write(picture, EDGE_PX, EDGE_PX, backdrop.title or backdrop.name, INK, 2)
    about = f"seed {backdrop.seed}, mood {backdrop.mood}, frame 0"
    write_right(picture, picture.shape[1] - EDGE_PX, EDGE_PX + 5, about, QUIET)


def scanned_line(screen: Screen) -> int:
    """Return the line whose colours the picture shows: the first of those with most."""
    entries = part_entries(screen, ALL, 0)
    return int(np.argmax([len(present(line)) for line in entries]))


def put_part(picture: np.ndarray, x: int, y: int, screen: Screen, part: int, line: int) -> None:
    """Draw a part of the first frame with its heading, its bars and a caption."""
    backdrop = screen.backdrop
    write(picture, x, y, PARTS.get(part, "All together"))
    write_right(picture, x + screen.width, y, speed_caption(backdrop, part), QUIET)
    put(picture, x, y + HEAD_PX, coloured(screen, part_entries(screen, part, 0), 0))
    planes = (part,) if part in (FRONT, BACK) else (BACK, FRONT) if part == ALL else ()
    if planes:
        put(picture, x + screen.width + BARS_GAP_PX, y + HEAD_PX, speed_bars(backdrop, planes))
    if part == ALL:
        put_scan(picture, x, y + HEAD_PX, screen, line)
    foot = y + HEAD_PX + screen.lines + 5
    for number, text in enumerate(
        part_caption(backdrop, part, screen.width + BARS_GAP_PX + bars_px(backdrop))
    ):
        write(picture, x, foot + number * (HEIGHT + 2), text, QUIET)


def put_tiles(picture: np.ndarray, x: int, y: int, screen: Screen) -> None:
    """Draw the stored tiles, as many across as the screen is wide."""
    backdrop = screen.backdrop
    stored = len(backdrop.tiles.pixels)
    write(picture, x, y, "Stored patterns")
    text = f"{stored} of 8 x 8 pixels, {stored * 32} bytes"
    write_right(picture, x + screen.width, y, text, QUIET)
    numbers = word_to_number(backdrop.palette)
    sheet = sheet_pixels(backdrop.tiles.pixels, common_rows(backdrop))
    cells = sheet.reshape(-1, 8, 16, 8).transpose(0, 2, 1, 3).reshape(-1, 8, 8)
    across = screen.width // 8
    fits = min(stored, across * (screen.lines // 8))
    ground = chequer(-(-fits // across) * 8, screen.width)
    put(picture, x, y + HEAD_PX, ground)
    for number, cell in enumerate(cells[:fits]):
        row, column = divmod(number, across)
        under = ground[row * 8 : row * 8 + 8, column * 8 : column * 8 + 8]
        seen = np.where(cell & 15, numbers[cell], under)
        put(picture, x + column * 8, y + HEAD_PX + row * 8, seen)


def put_colours(picture: np.ndarray, x: int, y: int, screen: Screen, line: int) -> None:
    """Draw the 64 colours that memory holds at a line; small where the line does not use them."""
    used = present(part_entries(screen, ALL, 0)[line])
    text = f"Colours in memory at line {line} (marked): {len(used)} of 64 used on it"
    write(picture, x, y, text)
    put_swatches(picture, x, y + HEAD_PX, colours_at(screen, 0, line), used)


def put_legend(picture: np.ndarray, x: int, y: int) -> None:
    """Write how the picture is to be read."""
    write(picture, x, y, "How to read it")
    for number, text in enumerate(HOW_TO_READ):
        write(picture, x, y + HEAD_PX + 2 + number * LINE_PX, text, QUIET)


def put_rows(
    picture: np.ndarray, x: int, y: int, head: str, rows: Iterable[tuple[str, str]], width: int
) -> None:
    """Write a heading and rows of a name and a text, no wider than `width` pixels."""
    write(picture, x, y, head)
    for number, (name, text) in enumerate(rows):
        top = y + HEAD_PX + 2 + number * LINE_PX
        write(picture, x, top, name, QUIET)
        write(picture, x + NAMES_PX, top, cut_text(text, width - NAMES_PX))
