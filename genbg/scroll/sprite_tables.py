"""Sprites frame by frame: where each sprite stands, what the table holds, what is too much.

A sprite is `ratio * camera_x + drift * frame` pixels further left than at the start, as a line of a
plane would be, and comes again after the plane's width. Sprites beside the screen are left out of
the table of that frame. The table lists the nearest first and links them in that order, so what the
machine drops where a line has too many is the farthest.

A preset may reserve sprites for the game. Of the table, the game's share is left free: sprites past
it are not in the table. What a line can't show is dropped by the machine itself, so the table keeps
it, and only the report speaks of it.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from genbg.hardware.map_word import unpack_map
from genbg.hardware.profile import Machine
from genbg.hardware.sizes import CELL, SCROLL_MASK, TABLE_SPRITES
from genbg.hardware.sprite_entry import ENTRY_BYTES, Sprites, line_loads, pack_sprites
from genbg.model import CutSprites, PlacedSprites
from genbg.scroll.runs import on_lines, runs_text


@dataclass(frozen=True)
class Reserve:
    """What the game keeps for itself: sprites of a screen, of a line, and pixels of a line."""

    screen: int = 0
    line: int = 0
    line_px: int = 0


@dataclass(frozen=True, eq=False)
class SpriteMotion:
    """How sprites move.

    left: (F, n) columns that each sprite has moved to the left, modulo the plane's width
    up: (F, n) lines that it has moved up
    height: lines after which it comes again when it moves up or down; 0: never
    """

    left: np.ndarray
    up: np.ndarray
    height: int = 0


@dataclass(frozen=True, eq=False)
class SpriteFilm:
    """tables: (F, 80, 8) uint8; used: (F,) entries of each that count
    most: of all frames, the most entries, and the most sprites and sprite pixels on a line
    over: sentences, where more is asked than there is
    """

    tables: np.ndarray
    used: np.ndarray
    most: tuple[int, int, int] = (0, 0, 0)
    over: tuple[str, ...] = field(default=())


@dataclass(frozen=True, eq=False)
class _Shown:
    """Sprites of one frame, or of frame after frame: (m,) sprite and place, the nearest first."""

    sprite: np.ndarray
    x: np.ndarray
    y: np.ndarray


def move_sprites(
    placed: CutSprites, layers: Sequence[int], words: np.ndarray, up: np.ndarray, height: int
) -> SpriteMotion:
    """Motion of every sprite from that of its layer.

    layers: numbers of the layers that are drawn as sprites, rising
    words: (F, layers) scroll words, as a line of a plane would hold them; up: (F, layers) lines
    height: lines after which a sprite comes again when it moves up or down; 0: never
    """
    place = np.searchsorted(np.asarray(layers), placed.layer)
    return SpriteMotion((-words.astype(np.int64) & SCROLL_MASK)[:, place], up[:, place], height)


def film_sprites(
    placed: PlacedSprites, motion: SpriteMotion, machine: Machine, reserve: Reserve
) -> SpriteFilm:
    """Tables of all frames and where they ask too much."""
    width, lines = machine.screen
    W = machine.plane_px[0]
    room = machine.sprites_screen - reserve.screen
    frames = len(motion.left)
    tables = np.zeros((frames, TABLE_SPRITES, ENTRY_BYTES), dtype=np.uint8)
    shown = [shown_sprites(placed, motion, frame, (width, lines), W) for frame in range(frames)]
    asked = np.array([len(one.sprite) for one in shown])
    used = np.minimum(asked, room)
    kept = _Shown(
        np.concatenate([one.sprite[:room] for one in shown]),
        np.concatenate([one.x[:room] for one in shown]),
        np.concatenate([one.y[:room] for one in shown]),
    )
    tables[np.arange(TABLE_SPRITES) < used[:, None]] = entries_of(placed, kept, used)
    load = load_of(placed, kept, used, asked, lines)
    return SpriteFilm(tables, used, load.most(), tuple(load.sentences(machine, reserve)))


def shown_sprites(
    placed: PlacedSprites, motion: SpriteMotion, frame: int, screen: tuple[int, int], W: int
) -> _Shown:
    """The sprites that reach into the screen in a frame, with copies where the plane is narrow."""
    wide, tall = placed.width * CELL, placed.height * CELL
    x, y = (placed.x - motion.left[frame]) % W, placed.y - motion.up[frame]
    if motion.height:
        y = (y + tall) % motion.height - tall
    seen: list[tuple[np.ndarray, np.ndarray]] = []
    for copy in range(-1, screen[0] // W + 1):
        at = x + copy * W
        inside = (at > -wide) & (at < screen[0]) & (y > -tall) & (y < screen[1])
        seen.append((np.flatnonzero(inside), at[inside]))
    sprite = np.concatenate([part for part, _ in seen])
    order = np.argsort(sprite, kind="stable")
    sprite = sprite[order]
    return _Shown(sprite, np.concatenate([part for _, part in seen])[order], y[sprite])


def entries_of(placed: PlacedSprites, shown: _Shown, used: np.ndarray) -> np.ndarray:
    """Table entries (m, 8) uint8 of the sprites of frame after frame, (F,) so many, each frame's
    linked."""
    sprite = shown.sprite
    links = [(np.arange(count) + 1) % max(1, count) for count in used.tolist()]
    return pack_sprites(
        Sprites(
            shown.x,
            shown.y,
            placed.width[sprite],
            placed.height[sprite],
            np.concatenate(links),
            *unpack_map(placed.word[sprite]),
        )
    )


@dataclass(frozen=True, eq=False)
class Load:
    """What frames and lines are asked to show.

    asked: (F,) sprites of each frame; line, line_px: (F, L) sprites and sprite pixels of each line
    """

    asked: np.ndarray
    line: np.ndarray
    line_px: np.ndarray

    def most(self) -> tuple[int, int, int]:
        """The most sprites of a frame, of a line, and sprite pixels of a line."""
        asked, line, line_px = (
            int(part.max(initial=0)) for part in (self.asked, self.line, self.line_px)
        )
        return asked, line, line_px

    def sentences(self, machine: Machine, reserve: Reserve) -> Iterator[str]:
        """Where more is asked than the machine has, less what is reserved."""
        room = machine.sprites_screen - reserve.screen
        over = self.asked > room
        if over.any():
            yield (
                f"sprites: {int(self.asked.max())} stand on the screen at once; "
                f"{allowed(machine.sprites_screen, reserve.screen, '')}; the farthest are left out "
                f"{in_frames(over)}"
            )
        for counted, limit, kept, unit in (
            (self.line, machine.sprites_line, reserve.line, ""),
            (self.line_px, machine.sprite_pixels_line, reserve.line_px, " pixels"),
        ):
            wrong: np.ndarray = counted > limit - kept
            if wrong.any():
                beyond = (counted > limit).any()
                yield (
                    f"sprites: {int(counted.max())}{unit} on a line; {allowed(limit, kept, unit)}: "
                    f"{on_lines(np.any(wrong, axis=0))}, {in_frames(np.any(wrong, axis=1))}; "
                    + (
                        "the machine does not draw the farthest there"
                        if beyond
                        else "the machine draws them as long as the game shows none of its own"
                    )
                )


def load_of(
    placed: PlacedSprites, shown: _Shown, used: np.ndarray, asked: np.ndarray, lines: int
) -> Load:
    """The load of frames, of sprites of frame after frame: (F,) so many used, so many asked for."""
    frame, height = np.repeat(np.arange(len(used)), used), placed.height[shown.sprite]
    shape = len(used), lines
    line = line_loads(frame, shown.y, height, np.ones(len(frame), np.int64), shape)
    line_px = line_loads(frame, shown.y, height, placed.width[shown.sprite] * CELL, shape)
    return Load(asked, line, line_px)


def allowed(limit: int, kept: int, unit: str) -> str:
    """A limit for people, with what the game keeps."""
    less = f" ({limit} less {kept} for the game)" if kept else ""
    return f"{limit - kept}{unit} are allowed{less}"


def in_frames(wrong: np.ndarray) -> str:
    """Runs of True frames as "in frames 0 to 3 and 9"."""
    if wrong.all():
        return "in every frame of the preview"
    return f"in frame{'s' if wrong.sum() > 1 else ''} {runs_text(wrong)}"
