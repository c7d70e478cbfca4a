"""Covering pixels by as few squares as can be: where hardware sprites have to stand.

A square has `side` pixels a side, 32 for the largest sprite, and may stand on any pixel. Pixels are
held as one whole number a line, bit x for column x, so that a step of the search is a few
operations on numbers.

Two facts make the search short. Of the squares that cover the topmost pixel, one that begins on
that very line covers all that any higher one does of what is left. And of those, only squares whose
left column holds a pixel count, because any other can be moved right and loses nothing. So a node
has few branches (`branches`), and pixels of which no two fit one square bound the number from below
(`least_squares`).

The exact minimum is found for what a screen usually has (posts, single lanterns, a clump of reeds);
past `NODES` steps the best cover so far is improved piece by piece, each piece exactly.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

import numpy as np

SIDE = 32
"""Pixels along one side of the largest sprite."""

NODES = 600
"""Steps of the exact search for one picture, about 0.03 s. With 2000 no bundled preset needs a
sprite fewer, and the one with most takes twice the time to make."""

MANY = 128
"""Squares of one picture past which the best cover in strips has to do: a screen has 80 sprites."""

PATCH_SQUARES = 5
"""Squares that are taken out together and covered anew, and the steps that each try may take."""
PATCH_NODES = 150

Square = tuple[int, int]
"""Top line and left column; either may lie outside the picture."""
Rows = list[int]


@dataclass(frozen=True)
class Cover:
    """squares: that cover all pixels together; exact: True where no cover has fewer.

    alike: covers of as many squares, for who has another reason to choose among them
    """

    squares: tuple[Square, ...]
    exact: bool
    alike: tuple[tuple[Square, ...], ...] = ()


def cover_pixels(mask: np.ndarray, side: int = SIDE, nodes: int = NODES) -> Cover:
    """Cover the True pixels of (h, w) bool by few squares.

    side: pixels along one side of a square; nodes: steps that the exact search may take
    Ties: the cover found first stands.
    """
    tries = [(turn, rows_of(turn.there(mask))) for turn in TURNS]
    strips = [turn.back(strip_cover(rows, side), mask.shape, side) for turn, rows in tries]
    start = min(strips, key=len)
    if len(start) > MANY:
        return Cover(tuple(start), False)
    full = [turn.back(full_cover(rows, side), mask.shape, side) for turn, rows in tries]
    start = min([*strips, *full], key=len)
    least = max(least_squares(rows, side) for _, rows in tries)
    best, exact = start, len(start) == least
    if not exact:
        rows = tries[0][1]
        found, whole = search(rows, side, len(start), nodes)
        best = start if found is None else found
        exact = whole or len(best) == least
        best = best if exact else patch(rows, side, best)
    quick = [tuple(cover) for pair in zip(strips, full, strict=True) for cover in pair]
    return Cover(tuple(best), exact, tuple(cover for cover in quick if len(cover) == len(best)))


# --- bits -----------------------------------------------------------------------------------------


def rows_of(mask: np.ndarray) -> Rows:
    """Each line of (h, w) bool as a number with bit x set for column x."""
    packed = np.packbits(mask, axis=1, bitorder="little")
    return [int.from_bytes(line.tobytes(), "little") for line in packed]


def low_bit(number: int) -> int:
    """Place of the lowest bit of a number above 0."""
    return (number & -number).bit_length() - 1


def strip_at(rows: Rows, side: int, top: int) -> int:
    """The columns that hold a pixel within the `side` lines from `top` on."""
    strip = 0
    for row in rows[max(top, 0) : top + side]:
        strip |= row
    return strip


def without(rows: Rows, side: int, square: Square) -> Rows:
    """The pixels that a square leaves."""
    top, left = square
    gone = (1 << side) - 1
    gone = gone << left if left >= 0 else gone >> -left
    first, last = max(top, 0), min(top + side, len(rows))
    return [*rows[:first], *(row & ~gone for row in rows[first:last]), *rows[last:]]


def topmost(rows: Rows, line: int = 0) -> int:
    """The first line from `line` on that holds a pixel; the number of lines where none does."""
    while line < len(rows) and not rows[line]:
        line += 1
    return line


# --- quick covers ---------------------------------------------------------------------------------


@dataclass(frozen=True)
class Turn:
    """A way to look at a picture: turned over sideways, upside down, lines for columns."""

    across: bool
    down: bool
    swap: bool

    def there(self, mask: np.ndarray) -> np.ndarray:
        turned = mask[:: -1 if self.down else 1, :: -1 if self.across else 1]
        return turned.T if self.swap else turned

    def back(self, squares: Iterable[Square], shape: tuple[int, ...], side: int) -> list[Square]:
        """The squares as they stand in the picture, of (h, w) pixels, before it was turned."""
        found = [(x, y) if self.swap else (y, x) for y, x in squares]
        return [
            (
                shape[0] - side - y if self.down else y,
                shape[1] - side - x if self.across else x,
            )
            for y, x in found
        ]


TURNS = tuple(
    Turn(across, down, swap)
    for swap in (False, True)
    for down in (False, True)
    for across in (False, True)
)


def strip_cover(rows: Rows, side: int) -> list[Square]:
    """Strips of `side` lines from the topmost pixel left on, each covered from the left."""
    squares, line = [], topmost(rows)
    while line < len(rows):
        strip = strip_at(rows, side, line)
        while strip:
            left = low_bit(strip)
            squares.append((line, left))
            strip &= ~((1 << side) - 1 << left)
        line = topmost(rows, line + side)
    return squares


def full_cover(rows: Rows, side: int) -> list[Square]:
    """Again and again the square that covers the topmost pixel and most others with it."""
    squares, line = [], 0
    while (line := topmost(rows, line)) < len(rows):
        best = fullest(rows, side, line)[0]
        squares.append((line, best))
        rows = without(rows, side, squares[-1])
    return squares


def fullest(rows: Rows, side: int, line: int) -> list[int]:
    """The branches of a line, the square with the most pixels first; ties: the leftmost."""
    wide = (1 << side) - 1

    def pixels(left: int) -> int:
        return sum((row >> left & wide).bit_count() for row in rows[line : line + side])

    return sorted(branches(rows, side, line), key=lambda left: -pixels(left))


# --- exact search ---------------------------------------------------------------------------------


def branches(rows: Rows, side: int, line: int) -> list[int]:
    """Left columns of the squares worth trying for the leftmost pixel of the topmost line."""
    strip = strip_at(rows, side, line)
    pixel = low_bit(rows[line])
    lefts: list[int] = []
    for left in range(max(0, pixel - side + 1), pixel + 1):
        if not strip >> left & 1:
            continue
        if lefts:
            fresh = (strip >> lefts[-1] + side) & ((1 << left - lefts[-1]) - 1)
            if not fresh:
                continue
        lefts.append(left)
    return lefts


def least_squares(rows: Rows, side: int, enough: int = 1 << 30, line: int = 0) -> int:
    """How many pixels there are of which no two fit one square, picked from the top left on.

    enough: where to stop; line: above which no pixel lies
    """
    rows, count = list(rows), 0
    while (line := topmost(rows, line)) < len(rows) and count < enough:
        left = low_bit(rows[line]) - side + 1
        near = (1 << 2 * side - 1) - 1
        far = ~(near << left if left >= 0 else near >> -left)
        rows[line : line + side] = [row & far for row in rows[line : line + side]]
        count += 1
    return count


def search(rows: Rows, side: int, fewer_than: int, nodes: int) -> tuple[list[Square] | None, bool]:
    """The fewest squares, if fewer than a number, and whether all possibilities were gone through.

    None where no such cover was found within `nodes` steps.
    """
    best: list[Square] | None = None
    limit, steps = fewer_than, 0

    def go(rows: Rows, line: int, taken: list[Square]) -> None:
        nonlocal best, limit, steps
        steps += 1
        line = topmost(rows, line)
        if line == len(rows):
            best, limit = taken, len(taken)
            return
        room = limit - len(taken) - 1
        if steps > nodes or room < 1 or least_squares(rows, side, room + 1, line) > room:
            return
        for left in fullest(rows, side, line):
            go(without(rows, side, (line, left)), line, [*taken, (line, left)])

    go(rows, 0, [])
    return best, steps <= nodes


def patch(rows: Rows, side: int, squares: Sequence[Square]) -> list[Square]:
    """A cover with neighbouring squares taken out and covered anew wherever that saves some."""
    best = list(squares)
    place = 0
    while place < len(best):
        top, left = best[place]
        near = sorted(best, key=lambda s: (max(abs(s[0] - top), abs(s[1] - left)), s))
        out = near[:PATCH_SQUARES]
        kept = list(best)
        for square in out:
            kept.remove(square)
        bare = rows
        for square in kept:
            bare = without(bare, side, square)
        found, _ = search(bare, side, len(out), PATCH_NODES)
        if found is None:
            place += 1
        else:
            best, place = kept + found, 0
    return best
