"""What the driver's memory has to hold for any camera and frame, by the program's own formulas."""

from __future__ import annotations

import numpy as np

from genbg.model import Backdrop, LineSpeeds
from genbg.scroll.sprite_tables import Reserve, SpriteMotion, film_sprites
from genbg.scroll.vertical import film_columns, moved_up, shown_lines
from genbg.scroll.waves import wave_offsets
from genbg.write.machine_bytes import split_words

ONE = 65536


def scroll_words(speeds: LineSpeeds, camera_x: int, frame: int) -> np.ndarray:
    """Return the words (L, 2) of lines that follow a camera, in whole numbers of any size.

    (-floor(ratio*camera + drift*frame)) & 0x3FF, as the contract of the export says.
    """
    ratio, drift = speeds.ratio.astype(object), speeds.drift.astype(object)
    moved = (ratio * camera_x + drift * (frame * ONE)) // (ONE * ONE)
    return (-moved & 0x3FF).astype(np.int64)


def scroll_table(backdrop: Backdrop, camera_x: int, camera_y: int, frame: int) -> np.ndarray:
    """Return the line-scroll table (L, 2); cameras in 1/65536 pixel."""
    speeds = backdrop.moves.all_speeds
    words = scroll_words(speeds, camera_x, frame)
    words -= wave_offsets(backdrop.moves.waves, np.array([frame]), len(words))[0]
    up = risen(backdrop, camera_y)
    return shown_lines(words[None] & 0x3FF, up[None], backdrop.machine.screen[1])[0]


def risen(backdrop: Backdrop, camera_y: int) -> np.ndarray:
    """Return how many lines the planes stand higher (2,)."""
    vertical = backdrop.moves.vertical
    if vertical is None:
        return np.zeros(2, dtype=np.int64)
    return moved_up(vertical.ratio, np.array([camera_y]))[0]


def columns(backdrop: Backdrop, camera_y: int, frame: int) -> np.ndarray:
    """Return the vertical-scroll words (20, 2) of a backdrop that moves up and down."""
    vertical = backdrop.moves.vertical
    offsets = vertical.offsets
    if offsets is not None:
        offsets = offsets[frame % len(offsets)][None]
    return film_columns(risen(backdrop, camera_y)[None], offsets)[0]


def sprites(backdrop: Backdrop, camera_x: int, camera_y: int, frame: int) -> np.ndarray:
    """Return the sprite table's entries (n, 4) as words, pattern numbers from tile_base on."""
    pieces, vertical = backdrop.sprites.placed, backdrop.moves.vertical
    left = [
        (ratio * camera_x // ONE + drift * frame) // ONE % 1024
        for ratio, drift in zip(pieces.ratio.tolist(), pieces.drift.tolist(), strict=True)
    ]
    up = moved_up(pieces.ratio.tolist(), np.array([camera_y if vertical else 0]))
    tall = backdrop.machine.plane_px[1] if vertical is not None and vertical.endless else 0
    motion = SpriteMotion(np.array([left]), up, tall)
    film = film_sprites(pieces, motion, backdrop.machine, Reserve(backdrop.sprites.reserve[0]))
    words = film.tables[0, : film.used[0]].view(">u2").astype(np.int64)
    words[:, 2] += backdrop.tiles.base
    return words


def colours(backdrop: Backdrop, mood: str, frame: int) -> np.ndarray:
    """Return the 64 words of colour memory, then those of the rewrites, of a mood in a frame."""
    words = [np.asarray(backdrop.colours.palettes[mood])]
    if backdrop.colours.splits:
        words.append(split_words(backdrop.colours.splits, mood))
    state = np.concatenate(words).astype(np.int64)
    if not backdrop.colours.scripts:
        return state
    script = backdrop.colours.scripts[mood].tolist()
    at, now = 1, frame % script[0]
    while at < len(script) and script[at] <= now:
        count = script[at + 1]
        pairs = np.array(script[at + 2 : at + 2 + 2 * count]).reshape(-1, 2)
        if script[at]:  # what frame 0 changes is so from the start
            state[pairs[:, 0]] = pairs[:, 1]
        at += 2 + 2 * count
    return state


def rewrites(state: np.ndarray) -> dict[int, list[tuple[int, int]]]:
    """Return {line: [(entry, colour word)]} of the words of the rewrites in a state."""
    found: dict[int, list[tuple[int, int]]] = {}
    at, words = 64, state.tolist()
    while at < len(words):
        line, first, count = words[at : at + 3]
        held = words[at + 3 : at + 3 + count]
        found.setdefault(line, []).extend(enumerate(held, start=first))
        at += 3 + count
    return found
