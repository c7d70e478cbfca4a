"""The bars beside a picture: how fast each line moves, and where something changes down the frame.

A plane's speeds are a bar for each line, as long as the line is fast, with an arrow the way the
picture moves when the camera goes right, and its ratio in figures. Marks lie over the bars: the
line of a rewrite of colours, the lines of the window, of waves, and those that have cells with the
priority bit.
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from genbg.hardware.map_word import unpack_map
from genbg.hardware.sizes import ONE
from genbg.measure import runs_of
from genbg.model import BACK, FRONT, Backdrop
from genbg.write.borders import split_borders
from genbg.write.labels import INK, OF_BACK, OF_FRONT, PAPER, QUIET, RULE, blank, fill, write
from genbg.write.lettering import HEIGHT, text_mask

PLANE_COLOURS = {FRONT: OF_FRONT, BACK: OF_BACK}
BARS_PX = 64
"""Width of the bars, the figures among them; the words of the marks stand right of it."""
MARKS_PX = 44
LABEL_EVERY = 14
"""Lines from one figure to the next at least."""
Mark = tuple[int, int, str]
"""First line, word, and between them the last line of splits, else the one after the last."""


def bars_px(backdrop: Backdrop) -> int:
    """Return the width of a backdrop's rails; without any mark they need no room for words."""
    return BARS_PX + (MARKS_PX if any(marks(backdrop, (FRONT, BACK))) else 0)


def speed_bars(backdrop: Backdrop, planes: tuple[int, ...]) -> np.ndarray:
    """Return the bars (L, bars_px) uint16 of the given planes, side by side, with all marks."""
    lines = backdrop.machine.screen[1]
    picture = blank(bars_px(backdrop), lines)
    room = BARS_PX // len(planes)
    fastest = max(1, int(np.abs(backdrop.moves.speeds.ratio).max()))
    for place, plane in enumerate(planes):
        ratio = backdrop.moves.speeds.ratio[:, plane]
        draw_bars(picture, place * room, room - 4, ratio, fastest, PLANE_COLOURS[plane])
    draw_marks(picture, sorted(set(marks(backdrop, planes))))
    return picture


def draw_bars(
    picture: np.ndarray, x: int, room: int, ratio: np.ndarray, fastest: int, colour: int
) -> None:
    """Draw a bar for each line, arrows over them and figures over some."""
    length = (np.abs(ratio.astype(np.int64)) * room + fastest - 1) // fastest
    for line, size in enumerate(length.tolist()):
        fill(picture, x, line, size, 1, RULE)
    for line in arrow_lines(ratio):
        draw_arrow(picture, x, line, int(length[line]), int(ratio[line]) >= 0, colour)
        text = ratio_text(int(ratio[line]))
        if text_mask(text).shape[1] <= room + 3:
            write(picture, x + 1, max(0, line - HEIGHT - 1), text, INK)


def arrow_lines(ratio: np.ndarray) -> list[int]:
    """Return the lines that get an arrow: within each run of like lines, else evenly spaced."""
    edges = [0, *(np.flatnonzero(np.diff(ratio)) + 1).tolist(), len(ratio)]
    middles = [
        (first + last + HEIGHT) // 2 for first, last in pairwise(edges) if last - first > HEIGHT
    ]
    taken = sorted({min(line, len(ratio) - 3) for line in middles if len(ratio) > HEIGHT})
    chosen: list[int] = []
    for line in sorted({*taken, *range(LABEL_EVERY, len(ratio) - 2, LABEL_EVERY)}):
        even = line not in taken
        near_run = even and any(abs(line - other) < LABEL_EVERY for other in taken)
        same = even and chosen and ratio[line] == ratio[chosen[-1]]
        if near_run or same or (chosen and line - chosen[-1] < LABEL_EVERY - 2):
            continue
        chosen.append(line)
    return chosen


def draw_arrow(
    picture: np.ndarray, x: int, line: int, length: int, leftwards: bool, colour: int
) -> None:
    """Draw an arrow of a length; a dot where nothing moves."""
    length = max(length, 2)
    fill(picture, x, line, length, 1, colour)
    if length < 5:
        return
    for step in (1, 2):
        place = x + step if leftwards else x + length - 1 - step
        fill(picture, place, line - step, 1, 2 * step + 1, colour)


def marks(backdrop: Backdrop, planes: tuple[int, ...]) -> Iterator[Mark]:
    """Yield what happens down the frame that concerns the given planes."""
    lines = backdrop.machine.screen[1]
    for first, last in split_borders(backdrop):
        if first < lines:
            yield first, min(last, lines - 1), "split"
    if backdrop.moves.window is not None and FRONT in planes:
        yield *backdrop.moves.window, "window"
    for wave in backdrop.moves.waves:
        if wave.plane in planes:
            yield wave.top, wave.bottom, "wave"
    for plane in planes:
        for first, last in priority_runs(backdrop, plane):
            if first < lines:
                yield first, min(last, lines), "high"


def priority_runs(backdrop: Backdrop, plane: int) -> list[tuple[int, int]]:
    """Return the runs of plane lines, first and last plus one, that have high cells."""
    words = backdrop.maps[FRONT] if plane == FRONT else backdrop.maps[BACK]
    priority: np.ndarray = np.asarray(unpack_map(words).priority.any(axis=1))
    return [(first * 8, last * 8) for first, last in runs_of(priority)]


def draw_marks(picture: np.ndarray, found: list[Mark]) -> None:
    """Draw each mark: a dashed line, or a bracket along its lines; words keep clear of another."""
    free = 0
    for first, last, word in found:
        is_split = "split" in word
        if is_split:
            for line in (first, last):
                picture[line, 0:BARS_PX:4] = picture[line, 1:BARS_PX:4] = INK
                fill(picture, BARS_PX, line, 4, 1, INK)
        else:
            fill(picture, BARS_PX, first, 1, last - first, QUIET)
            fill(picture, BARS_PX, first, 4, 1, QUIET)
            fill(picture, BARS_PX, last - 1, 4, 1, QUIET)
        y = max(free, (first + last - HEIGHT) // 2)
        if y + HEIGHT <= len(picture):
            fill(picture, BARS_PX + 5, y, text_mask(word).shape[1], HEIGHT, PAPER)
            write(picture, BARS_PX + 6, y, word, INK if is_split else QUIET)
            free = y + HEIGHT + 1


def ratio_text(ratio: int) -> str:
    """Return a 16.16 ratio as people read it: "1/24" where that is meant, else three digits."""
    below = round(ONE / ratio) if ratio else 0
    if below > 1 and abs(ONE / below - ratio) <= 1:
        return f"1/{below}"
    return f"{float(f'{ratio / ONE:.3g}'):g}"
