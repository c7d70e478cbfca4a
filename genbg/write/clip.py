"""breakdown.apng, a short clip for people who explain: one part after another in motion.

A scanned line goes down the frame meanwhile, with the colours that memory holds there below.
The clip passes over the preview a whole number of times, so that it loops where the preview does.
Every picture is drawn before the first is compressed; the palette then holds only what is shown.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from genbg.model import BACK, FRONT, Backdrop
from genbg.screen.display import Screen, load_screen
from genbg.screen.film import Film
from genbg.write.alone import ALL, PARTS, SPRITES, coloured, colours_at, part_entries
from genbg.write.apng import MILLISECONDS, animated_png
from genbg.write.captions import clip_rows, speed_caption
from genbg.write.labels import QUIET, blank, film_of, put, write, write_right
from genbg.write.lettering import HEIGHT
from genbg.write.line_speeds import bars_px, speed_bars
from genbg.write.play import delays, played_frames
from genbg.write.scanned import ROW_PX, ROWS, STRIP_PX, put_scan, put_swatches

FRAMES_A_PART = 24
"""Pictures of each part: the scanned line goes down once."""
FPS = Fraction(12)
LEVEL = 1
"""zlib's level: level 6 takes three times the time for a sixth less."""
EDGE_PX = 12
HEAD_PX = 14
GAP_PX = 6
TEXT_GAP_PX = 6
LINE_PX = HEIGHT + 3
UNDER_PX = TEXT_GAP_PX + 2 * LINE_PX + 4 + ROWS * ROW_PX
"""Height of all that is under the picture: two lines of text and the colours."""


@dataclass(frozen=True)
class Shot:
    """One picture of the clip: which part, which preview frame, which line is scanned."""

    part: int
    frame: int
    line: int


def clip_film(backdrop: Backdrop) -> Film:
    """Return the clip's pictures."""
    screen = load_screen(backdrop)
    shots = plan_shots(backdrop)
    grounds = {part: ground(backdrop, part) for part in parts(backdrop)}
    pictures = [draw_shot(screen, shot, grounds[shot.part]) for shot in shots]
    return film_of(pictures, backdrop.machine.levels)


def clip_bytes(film: Film, level: int = LEVEL) -> bytes:
    """Return the clip as an animated PNG that loops for ever; level: zlib's level."""
    order = list(range(len(film.pixels)))
    return animated_png(film, order, delays(len(order), FPS, MILLISECONDS), level)


def files(film: Film, level: int = LEVEL) -> Iterator[tuple[str, bytes]]:
    """Yield breakdown.apng; level: zlib's level."""
    yield "breakdown.apng", clip_bytes(film, level)


def parts(backdrop: Backdrop) -> list[int]:
    """Return what the clip shows, in order."""
    return [BACK, FRONT, *([SPRITES] if backdrop.has_sprites else []), ALL]


def plan_shots(backdrop: Backdrop) -> list[Shot]:
    """Return the clip's pictures: time goes on from part to part, the scanned line begins anew."""
    played = played_frames(backdrop.preview)
    shown = [part for part in parts(backdrop) for _ in range(FRAMES_A_PART)]
    passes = max(1, round(len(shown) / FPS * backdrop.preview.fps / len(played)))
    lines = backdrop.machine.screen[1]
    return [
        Shot(
            part,
            played[number * len(played) * passes // len(shown) % len(played)],
            number % FRAMES_A_PART * lines // FRAMES_A_PART,
        )
        for number, part in enumerate(shown)
    ]


def ground(backdrop: Backdrop, part: int) -> np.ndarray:
    """Return what stays the same in all pictures of a part, (H, W) uint16."""
    width, lines = backdrop.machine.screen
    beside = bars_px(backdrop)
    picture = blank(2 * EDGE_PX + width + GAP_PX + beside, 2 * EDGE_PX + HEAD_PX + lines + UNDER_PX)
    write(picture, EDGE_PX, EDGE_PX, PARTS.get(part, "All together"))
    write_right(picture, EDGE_PX + width, EDGE_PX, speed_caption(backdrop, part), QUIET)
    planes = (part,) if part in (FRONT, BACK) else (BACK, FRONT) if part == ALL else ()
    if planes:
        put(picture, EDGE_PX + width + GAP_PX, EDGE_PX + HEAD_PX, speed_bars(backdrop, planes))
    y = EDGE_PX + HEAD_PX + lines + TEXT_GAP_PX
    for number, text in enumerate(clip_rows(backdrop, part, width + GAP_PX + beside)):
        write(picture, EDGE_PX, y + number * LINE_PX, text, QUIET)
    return picture


def draw_shot(screen: Screen, shot: Shot, base: np.ndarray) -> np.ndarray:
    """Return one picture of the clip."""
    picture = base.copy()
    entries = part_entries(screen, shot.part, shot.frame)
    x, y = EDGE_PX, EDGE_PX + HEAD_PX
    put(picture, x, y, coloured(screen, entries, shot.frame))
    put_scan(picture, x, y, screen, shot.line)
    used = np.unique(entries[shot.line])
    used = used[used >= 0]
    y += screen.lines + UNDER_PX - ROWS * ROW_PX
    put_swatches(picture, x, y, colours_at(screen, shot.frame, shot.line), used)
    texts = (f"line {shot.line}", f"{len(used)} of 64", "colours used")
    for number, text in enumerate(texts):
        write(picture, x + STRIP_PX + 12, y + number * LINE_PX, text)
    return picture
