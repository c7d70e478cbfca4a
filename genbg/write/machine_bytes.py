"""The bytes a console loads, and what its memory holds in each preview frame.

All numbers are big-endian and no file has a header. A word is 16 bits. Files, relative to DIR:

  machine/tiles.bin          tiles, 32 bytes each: 8 rows, left pixel in the high nibble
  machine/front.map back.map map words, row after row; tile numbers count from 0
  machine/palette.bin        64 colour words of the mood shown
  machine/moods/NAME.bin     64 colour words of one mood, one file a mood
  machine/speeds.bin         a screen line: front ratio, back ratio, front drift, back drift, 16.16
  machine/sprites.bin        sprite table entries, 8 bytes each; tile numbers count from 0
  machine/splits.bin         colour rewrites: line, first entry, count, then that many colour words
  machine/moods/NAME.splits.bin   the same rewrites in another mood
  machine/waves.bin          a wave: plane (0 front, 1 back), first line, lines, frames, step as
                             words, then 256 offsets as signed bytes; see `Wave`
  machine/motion.bin         moving colours: frames of a period; for each frame in which any colour
                             changes: frame, count, and that often target and word. Targets 0 to 63
                             are colour entries, from 64 on words of splits.bin
  machine/moods/NAME.motion.bin   the same in another mood
  machine/pieces.bin plane_speeds.bin columns.bin   see `sprite_bytes.py`
  machine/preview/...        scroll.bin, vscroll.bin, palette.bin, sprites.bin: frame after frame;
                             splits.bin: frames x the words of machine/splits.bin, where colours
                             below a split change from frame to frame
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

import numpy as np

from genbg.errors import BytesError
from genbg.hardware.sizes import ENTRIES
from genbg.hardware.tile import pack_tiles
from genbg.hardware.words import words_to_bytes
from genbg.model import Backdrop, LineSpeeds, Preview, Split, Wave
from genbg.write import sprite_bytes

MOOD_NAME = re.compile(r"[A-Za-z0-9][A-Za-z0-9_-]{0,63}")
"""What a mood may be called, since its name becomes a file name on any system."""


def files(backdrop: Backdrop) -> Iterator[tuple[str, bytes]]:
    """Yield (path relative to DIR, bytes) of every file under machine/ that is not source.

    Raises BytesError where an array does not fit its format, naming the file.
    """
    yield "machine/tiles.bin", tile_bytes(backdrop.tiles.pixels)
    yield "machine/front.map", word_bytes("front.map", backdrop.maps[0])
    yield "machine/back.map", word_bytes("back.map", backdrop.maps[1])
    yield "machine/palette.bin", colour_bytes("palette.bin", backdrop.palette)
    for mood, words in backdrop.colours.palettes.items():
        yield f"machine/moods/{mood_file(mood)}.bin", colour_bytes(f"moods/{mood}.bin", words)
    yield "machine/speeds.bin", speed_bytes(backdrop.moves.speeds)
    if backdrop.sprites.table is not None and len(backdrop.sprites.table):
        yield "machine/sprites.bin", entry_bytes("sprites.bin", backdrop.sprites.table)
    if backdrop.colours.splits:
        yield (
            "machine/splits.bin",
            word_bytes("splits.bin", split_words(backdrop.colours.splits, backdrop.mood)),
        )
        for mood in backdrop.colours.palettes:
            words = split_words(backdrop.colours.splits, mood)
            yield f"machine/moods/{mood}.splits.bin", word_bytes("splits.bin", words)
    if backdrop.moves.waves:
        yield "machine/waves.bin", b"".join(wave_bytes(wave) for wave in backdrop.moves.waves)
    if backdrop.colours.scripts:
        yield (
            "machine/motion.bin",
            word_bytes("motion.bin", backdrop.colours.scripts[backdrop.mood]),
        )
        for mood, words in backdrop.colours.scripts.items():
            yield f"machine/moods/{mood}.motion.bin", word_bytes("motion.bin", words)
    yield from sprite_bytes.files(backdrop)
    yield from preview_files(backdrop.preview)


def preview_files(preview: Preview) -> Iterator[tuple[str, bytes]]:
    """Yield the memory dumps of the preview: only those that the backdrop has any use for."""
    home = "machine/preview/"
    yield home + "scroll.bin", word_bytes("preview/scroll.bin", preview.scroll)
    if preview.vscroll is not None:
        yield home + "vscroll.bin", word_bytes("preview/vscroll.bin", preview.vscroll)
    if preview.palette is not None:
        yield home + "palette.bin", word_bytes("preview/palette.bin", preview.palette)
    if preview.sprites is not None:
        yield home + "sprites.bin", entry_bytes("preview/sprites.bin", preview.sprites)
    if preview.splits is not None:
        yield home + "splits.bin", word_bytes("preview/splits.bin", preview.splits)


def tile_bytes(tiles: np.ndarray) -> bytes:
    """Return the tiles (T, 8, 8) as 32 bytes each."""
    return pack_tiles(tiles)


def word_bytes(name: str, words: np.ndarray) -> bytes:
    """Return an array of any shape as big-endian words, last axis quickest.

    Raises BytesError naming the file where a number is not a whole 0..65535.
    """
    try:
        return words_to_bytes(words)
    except BytesError as error:
        raise BytesError(f"{name}: {error}") from error


def colour_bytes(name: str, words: np.ndarray) -> bytes:
    """Return the colour memory (64,) as bytes."""
    if np.shape(words) != (ENTRIES,):
        raise BytesError(f"{name}: colour memory is 64 words, got shape {np.shape(words)}")
    return word_bytes(name, words)


def speed_bytes(speeds: LineSpeeds) -> bytes:
    """Return, for each screen line, front ratio, back ratio, front drift, back drift as 16.16."""
    both = np.concatenate([np.asarray(speeds.ratio), np.asarray(speeds.drift)], axis=1)
    if both.dtype.kind not in "ui" or np.abs(both.astype(np.int64)).max(initial=0) > 0x7FFFFFFF:
        raise BytesError("speeds.bin: a speed does not fit a signed 16.16 number")
    return both.astype(">i4").tobytes()


def wave_bytes(wave: Wave) -> bytes:
    """Return a wave's five words and its 256 offsets."""
    offsets = np.asarray(wave.offsets)
    if offsets.shape != (256,) or offsets.dtype != np.int8:
        raise BytesError(f"waves.bin: a wave has 256 signed bytes, got {offsets.dtype}")
    lines = wave.bottom - wave.top
    head = np.array([wave.plane, wave.top, lines, wave.frames, wave.step])
    return word_bytes("waves.bin", head) + offsets.tobytes()


def entry_bytes(name: str, entries: np.ndarray) -> bytes:
    """Return sprite table entries (..., 8) uint8 as bytes."""
    entries = np.asarray(entries)
    if entries.dtype != np.uint8 or entries.shape[-1:] != (8,):
        raise BytesError(
            f"{name}: entries are 8 bytes each, got {entries.dtype} of shape {entries.shape}"
        )
    return entries.tobytes()


def split_words(splits: Sequence[Split], mood: str) -> np.ndarray:
    """Return the colour rewrites of one mood as words (n,): line, first entry, count, colours.

    Raises BytesError where a rewrite is empty or passes the last entry.
    """
    parts = []
    for number, split in enumerate(splits):
        words = np.asarray(split.words[mood])
        if not 1 <= len(words) <= ENTRIES - split.first:
            raise BytesError(
                f"splits.bin: split {number} rewrites {len(words)} entries from {split.first}; "
                "allowed are 1 to 64 entries, none past entry 63"
            )
        head = np.array([split.line, split.first, len(words)])
        parts.append(np.concatenate([head, words.astype(np.int64)]))
    return np.concatenate(parts)


def mood_file(mood: str) -> str:
    """Return the mood's name, which serves as a file name.

    Raises BytesError where it could not be one on every system.
    """
    if not MOOD_NAME.fullmatch(mood):
        raise BytesError(
            f"mood {mood!r}: a mood's name becomes a file name; "
            "allowed are 1 to 64 letters, digits, - and _, a letter or digit first"
        )
    return mood
