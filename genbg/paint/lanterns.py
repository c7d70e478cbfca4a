"""Painter of strings of lanterns: posts, ropes that sag between them, lanterns with their glow.

A rope hangs as a parabola, which a rope under the even load of its lanterns does. Its right half is
the mirror image of the left one, spans have few lengths, and lanterns hang on whole cells by cords
of their own length, so that a festival costs few patterns.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft import CELL
from genbg.paint.lamps import draw_halo, draw_lantern
from genbg.paint.pieces import BETWEEN, DEEP, LIT, RIM, SHADE, Sheet, Tones, art, digits
from genbg.paint.scatter import hash_words, pick_one
from genbg.records import record

SCREEN_CELLS = 40
"""Cells of the widest screen."""
SIZES = {"small": (2,), "long": (1,), "round": (0,), "mixed": (0, 1, 2)}


@record(frozen=True)
class LanternKeys:
    """Keys of the lanterns painter."""

    spacing: int = key(120, "int", "From post to post.", low=48, high=512, unit="pixels")
    posts: float = key(
        0.9,
        "float",
        "Height of the posts, a share of the lines; 0: ropes from above the layer, without posts.",
        low=0,
        high=1,
    )
    strands: int = key(1, "int", "Ropes from post to post.", low=1, high=3)
    sag: float = key(
        0.2, "float", "How far a rope hangs through, a share of its span.", low=0, high=0.5
    )
    hidden: float = key(
        0.0,
        "float",
        "Share of the sag that is above the layer, with the ropes' ends and what hangs there.",
        low=0,
        high=0.9,
    )
    every: int = key(32, "int", "From lantern to lantern.", low=16, high=128, unit="pixels")
    kinds: str = key("mixed", "choice", "Lanterns.", choices=tuple(SIZES))
    halo: int = key(20, "int", "Reach of a lantern's glow; 0 none.", low=0, high=48, unit="pixels")
    second: float = key(0.3, "float", "Share of lanterns of the other colour.", low=0, high=1)
    bunting: float = key(0.0, "float", "Share of ropes with small flags.", low=0, high=1)


RAMPS = (
    Ramp("post", "Posts.", ("#180024", "#49243f", "#925b49", "#dba26d"), 4),
    Ramp("rope", "Ropes and cords.", ("#33184a",), 1),
    Ramp("flag", "Flags.", ("#49246d", "#b6496d"), 2),
    Ramp("glow", "The glow in the air, far and near.", ("#924924", "#db8149"), 2, True),
    Ramp("lantern", "Most lanterns, from rim to core.", ("#b63300", "#ff9224", "#ffffb6"), 4, True),
    Ramp("other", "The other lanterns.", ("#b6246d", "#ff6d92", "#ffe8db"), 4, True),
)


@record(frozen=True)
class Strand:
    """One rope: cell columns of its ends, their line, its sag, its number from the uppermost."""

    left: int
    right: int
    line: int
    sag: int
    number: int

    def drop(self, x: np.ndarray) -> np.ndarray:
        """Lines (...) int64 of the rope at pixels `x` from its left end."""
        span = (self.right - self.left) * CELL
        # 4 s t (1 - t), with t at the middle of each pixel, so that both halves mirror.
        t = 2 * x + 1
        return self.line + self.sag * t * (2 * span - t) // (span * span)


def paint_lanterns(job: Job) -> Painting:
    """Strings of lanterns along the whole width; the rest is see-through."""
    keys: LanternKeys = job.params
    sheet = Sheet(job, Tones(RAMPS, job.steps))
    posts = place_posts(sheet.columns, keys.spacing, job.seed)
    top = sheet.foot - int((keys.posts or 1) * job.lines)
    line = max(sheet.phase, top) + 3 if keys.posts else sheet.phase - 4
    strands = hang_strands(keys, sheet, posts, line)
    lanterns = choose_lanterns(keys, strands, sheet.columns, sheet.foot, job.seed)
    lanterns = [one for one in lanterns if one.top >= sheet.phase]
    if keys.halo:
        _lay_halos(keys, sheet, lanterns)
    for n, strand in enumerate(strands):
        _draw_rope(job, keys, sheet, strand, n)
    for lantern in lanterns:
        _hang_lantern(sheet, lantern)
    for column in posts if keys.posts else ():
        _raise_post(sheet, column, max(sheet.phase, top))
    return sheet.painting(("lantern", "other"))


def place_posts(columns: int, spacing: int, seed: int) -> list[int]:
    """Cell columns of posts, at even distances of few lengths, that close around the plane."""
    count = max(1, round(columns * CELL / spacing))
    even = columns // count // 2 * 2
    rest = (columns - even * count) // 2
    long = {(pick_one(seed, count, "long") + n * 2) % count for n in range(rest)}
    while len(long) < rest:
        long.add(min(set(range(count)) - long))
    places, at = [], pick_one(seed, columns, "first")
    for n in range(count):
        places.append(at % columns)
        at += even + (2 if n in long else 0)
    return places


def hang_strands(keys: LanternKeys, sheet: Sheet, posts: list[int], line: int) -> list[Strand]:
    """The ropes of every span; each next one below starts lower and hangs less."""
    strands = []
    for n, left in enumerate(posts):
        right = posts[(n + 1) % len(posts)]
        right += sheet.columns if right <= left else 0
        for strand in range(keys.strands):
            span = (right - left) * CELL
            sag = int(span * keys.sag * (1 - 0.3 * strand))
            start = line + strand * 3 * CELL - int(sag * keys.hidden)
            room = sheet.foot - start - 3 * CELL
            strands.append(Strand(left, right, start, max(2, min(sag, room)), strand))
    return strands


def lantern_columns(strand: Strand, every: int) -> list[int]:
    """Cell columns of the left halves of a rope's lanterns, the same from both ends."""
    step = max(2, every // CELL)
    middle = (strand.left + strand.right) // 2
    reach = strand.right - 2 - middle
    first = 0 if (reach // step + strand.number) % 2 == 0 else step // 2
    right = [middle + n for n in range(first, reach + 1, step)]
    left = [2 * middle - column for column in right if column != middle]
    return [column - 1 for column in sorted([*left, *right])]


@record(frozen=True)
class Lantern:
    """One lantern: cell column of its left half, first line of its cord and of itself, looks."""

    column: int
    rope: int
    top: int
    kind: int
    ramp: str


def choose_lanterns(
    keys: LanternKeys, strands: list[Strand], columns: int, foot: int, seed: int
) -> list[Lantern]:
    """All lanterns, none like another at its height within a screen while there is a choice.

    Where kind and colour are taken, the cord is made longer by a cell, twice at most, but not so
    that the lantern would hang below line `foot`.
    """
    chosen: list[Lantern] = []
    for strand in strands:
        for column in lantern_columns(strand, keys.every):
            wishes = list(_wishes(keys, strand, column, hash_words(seed, "lantern", len(chosen))))
            free = [
                wish
                for wish in wishes
                if wish.top + 2 * CELL <= foot
                and not any(_alike(wish, other, columns) for other in chosen)
            ]
            chosen.append((free or wishes)[0])
    return chosen


def _wishes(keys: LanternKeys, strand: Strand, column: int, seed: int) -> Iterator[Lantern]:
    """What a lantern might be, best first."""
    rope = int(strand.drop(np.array((column + 1 - strand.left) * CELL)))
    top = -(-(rope + 2) // CELL) * CELL
    kinds = SIZES[keys.kinds]
    first = pick_one(seed, len(kinds), "kind")
    colours: tuple[str, ...] = (
        ("other", "lantern") if _chance(seed, keys.second) else ("lantern", "other")
    )
    if keys.second in (0.0, 1.0):
        colours = colours[:1]
    for longer in range(3):
        for ramp in colours:
            for n in range(len(kinds)):
                kind = kinds[(first + n) % len(kinds)]
                yield Lantern(column, rope, top + longer * CELL, kind, ramp)


def _chance(seed: int, share: float) -> bool:
    return pick_one(seed, 1000, "other") < share * 1000


def _alike(one: Lantern, two: Lantern, columns: int) -> bool:
    away = abs(one.column - two.column) % columns
    near = min(away, columns - away) < SCREEN_CELLS
    return near and (one.top, one.kind, one.ramp) == (two.top, two.kind, two.ramp)


def _lay_halos(keys: LanternKeys, sheet: Sheet, lanterns: list[Lantern]) -> None:
    glow = draw_halo(keys.halo, sheet.tones("glow", DEEP), sheet.tones("glow", RIM))
    half = len(glow) // 2
    for lantern in lanterns:
        sheet.put(glow, lantern.column + 1 - half // CELL, lantern.top + CELL + half, False)


def _draw_rope(job: Job, keys: LanternKeys, sheet: Sheet, strand: Strand, number: int) -> None:
    """The rope, one pixel without gaps, with flags where it has some."""
    span = (strand.right - strand.left) * CELL
    x = np.arange(span)
    line = strand.drop(x)
    after = np.maximum(line, np.concatenate([line[1:], line[-1:]]))
    before = np.maximum(line, np.concatenate([line[:1], line[:-1]]))
    low = np.maximum(np.where(x < span // 2, after, before) - 1, line)
    rope = sheet.tones("rope", BETWEEN)
    columns = (strand.left * CELL + x) % sheet.width
    for deep in range(int((low - line).max()) + 1):
        there = (line + deep <= low) & (line + deep >= 0) & (line + deep < len(sheet.ink))
        sheet.ink[(line + deep)[there], columns[there]] = rope
    if pick_one(job.seed, 1000, "bunting", number) < keys.bunting * 1000:
        flag = art(
            "1111111. 1111111. .11111.. .11111.. ..111... ..111... ...1.... ...1....",
            digits(sheet.tones, "flag"),
        )
        for column in range(strand.left + 1, strand.right - 1):
            at = int(strand.drop(np.array((column - strand.left) * CELL + 3)))
            other = np.where(flag > 0, sheet.tones("flag", RIM), 0) if column % 2 else flag
            sheet.put(other, column, at + 1 + CELL, False)


def _hang_lantern(sheet: Sheet, lantern: Lantern) -> None:
    middle = (lantern.column + 1) * CELL
    cord = slice(max(0, lantern.rope), min(lantern.top + 2, len(sheet.ink)))
    for x in (middle - 1, middle):
        sheet.ink[cord, x % sheet.width] = sheet.tones("rope", LIT)
    piece = draw_lantern(sheet.tones, lantern.ramp, lantern.kind)
    sheet.put(piece, lantern.column, lantern.top + len(piece), False)


def _raise_post(sheet: Sheet, column: int, top: int) -> None:
    """A post centred on the border left of a cell column, capped, with a collar for its ropes."""
    tone = np.array([RIM, LIT, SHADE, DEEP])
    row = sheet.tones.row("post")
    tone = tone[::-1] if sheet.turned else tone
    x = (column * CELL + np.arange(-2, 2)) % sheet.width
    sheet.ink[top:, x] = row[tone]
    sheet.ink[top : top + 2, (column * CELL + np.arange(-3, 3)) % sheet.width] = row[LIT]
    sheet.ink[top + 6 : top + 8, x] = row[DEEP]
    sheet.ink[-4:, (column * CELL + np.arange(-3, 3)) % sheet.width] = row[SHADE]


PAINTER = Painter(
    name="lanterns",
    about="Strings of lanterns between posts, with their glow.",
    params=LanternKeys,
    ramps=RAMPS,
    paint=paint_lanterns,
    thrift=0.8,
)
