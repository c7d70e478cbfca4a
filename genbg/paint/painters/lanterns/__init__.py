"""Painter of strings of lanterns: posts, ropes that sag between them, lanterns with their glow.

Ropes are those of `strands.py`. Lanterns hang on whole cells by cords of their own length. In
water at the foot each has its image, straight below it.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft.edges import CELL
from genbg.paint.craft.scatter import hash_words, pick_one
from genbg.paint.craft.sheet import BETWEEN, DEEP, LIT, RIM, SHADE, Sheet, art, digits
from genbg.paint.painters.lanterns.strands import (
    SIZES,
    Keys,
    Strand,
    glowing_columns,
    hang_strands,
    lantern_columns,
    place_posts,
)
from genbg.paint.parts.lamps import draw_glow, draw_halo, draw_lantern

SCREEN_CELLS = 40
"""Cells of the widest screen."""
GLINTS = ((-6, 6), (-7, 5), (-5, 7), (-6, 4), (-3, 6), (-5, 3), (-2, 4), (-3, 1))
"""First pixel and end of each glint of a lantern's image, from its middle, from the shore on."""
SHORE = 6
"""Lines between the foot and the water that mirrors."""

RAMPS = (
    Ramp("post", "Posts.", ("#180024", "#49243f", "#925b49", "#dba26d"), 4),
    Ramp("rope", "Ropes and cords.", ("#33184a",), 1),
    Ramp("flag", "Flags.", ("#49246d", "#b6496d"), 2),
    Ramp("glow", "The glow in the air, far and near.", ("#924924", "#db8149"), 2, True),
    Ramp("lantern", "Most lanterns, from rim to core.", ("#b63300", "#ff9224", "#ffffb6"), 4, True),
    Ramp("other", "The other lanterns.", ("#b6246d", "#ff6d92", "#ffe8db"), 4, True),
)


def paint(keys: Keys, job: Job) -> Painting:
    """Strings of lanterns along the whole width; the rest is see-through."""
    sheet = Sheet(job, RAMPS)
    water = min(keys.mirror, job.lines // 2)
    sheet.foot -= water
    posts = place_posts(sheet.columns, keys.spacing, job.seed)
    top = sheet.foot - int((keys.posts or 1) * job.lines)
    line = max(sheet.phase, top) + 3 if keys.posts else sheet.phase - 4
    strands = hang_strands(keys, sheet, posts, line)
    lanterns = choose_lanterns(keys, strands, sheet.columns, sheet.foot, job.seed)
    lanterns = [one for one in lanterns if one.top >= sheet.phase]
    if keys.halo:
        glowing = [column for strand in strands for column in glowing_columns(strand, keys)]
        _lay_halos(keys, sheet, [one for one in lanterns if one.column in glowing])
    for n, strand in enumerate(strands):
        _draw_rope(job, keys, sheet, strand, n)
    for lantern in lanterns:
        _hang_lantern(sheet, lantern)
        _mirror(sheet, lantern, water)
    for column in posts if keys.posts else ():
        _raise_post(sheet, column, max(sheet.phase, top))
    return sheet.painting(("lantern", "other"))


@dataclass(frozen=True)
class Lantern:
    """One lantern: cell column of its left half, first line of its cord and of itself, looks."""

    column: int
    rope: int
    top: int
    kind: int
    ramp: str


def choose_lanterns(
    keys: Keys, strands: list[Strand], columns: int, foot: int, seed: int
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


def _wishes(keys: Keys, strand: Strand, column: int, seed: int) -> Iterator[Lantern]:
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


def _lay_halos(keys: Keys, sheet: Sheet, lanterns: list[Lantern]) -> None:
    draw = draw_halo if keys.rings == "dotted" else draw_glow
    glow = draw(keys.halo, sheet.tones("glow", DEEP), sheet.tones("glow", RIM))
    half = len(glow) // 2
    for lantern in lanterns:
        sheet.put(
            glow, lantern.column + 1 - half // CELL, lantern.top + CELL + half, by_light=False
        )


def _mirror(sheet: Sheet, lantern: Lantern, lines: int) -> None:
    """A lantern's image in the water before the foot: glints of two lines, ever shorter and dimmer.

    lines: from the foot to where the image ends
    """
    middle = (lantern.column + 1) * CELL
    core, rim = sheet.tones(lantern.ramp, LIT), sheet.tones(lantern.ramp, SHADE)
    for line in range(SHORE, lines):
        n = (line - SHORE) * len(GLINTS) // (lines - SHORE)
        first, end = GLINTS[n]
        if line % 3 == SHORE % 3 + 2:
            continue
        x = np.arange(first, end)
        inner = (x >= first + 1 + n // 3) & (x < end - 1 - n // 3)
        sheet.ink[sheet.foot + line, (middle + x) % sheet.width] = np.where(inner, core, rim)


def _draw_rope(job: Job, keys: Keys, sheet: Sheet, strand: Strand, number: int) -> None:
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
            sheet.put(other, column, at + 1 + CELL, by_light=False)


def _hang_lantern(sheet: Sheet, lantern: Lantern) -> None:
    middle = (lantern.column + 1) * CELL
    cord = slice(max(0, lantern.rope), min(lantern.top + 2, len(sheet.ink)))
    for x in (middle - 1, middle):
        sheet.ink[cord, x % sheet.width] = sheet.tones("rope", LIT)
    piece = draw_lantern(sheet.tones, lantern.ramp, lantern.kind)
    sheet.put(piece, lantern.column, lantern.top + len(piece), by_light=False)


def _raise_post(sheet: Sheet, column: int, top: int) -> None:
    """A post centred on the border left of a cell column, capped, with a collar for its ropes."""
    tone = np.array([RIM, LIT, SHADE, DEEP])
    row = sheet.tones.row("post")
    tone = tone[::-1] if sheet.turned else tone
    x = (column * CELL + np.arange(-2, 2)) % sheet.width
    sheet.ink[top : sheet.foot, x] = row[tone]
    sheet.ink[top : top + 2, (column * CELL + np.arange(-3, 3)) % sheet.width] = row[LIT]
    sheet.ink[top + 6 : top + 8, x] = row[DEEP]
    sheet.ink[sheet.foot - 4 : sheet.foot, (column * CELL + np.arange(-3, 3)) % sheet.width] = row[
        SHADE
    ]


PAINTER = Painter(
    name="lanterns",
    about="Strings of lanterns between posts, with their glow.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.8,
)
