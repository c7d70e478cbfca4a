"""Colours that change: rewrites within a line's time, scripts against the preview's dumps."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator

import numpy as np

from genbg.check.listing import Export
from genbg.errors import BytesError
from genbg.hardware.sizes import ENTRIES
from genbg.hardware.words import bytes_to_words
from genbg.model import Backdrop

HEAD = 3
"""Words of a rewrite before its colours."""
COLOUR_BITS = 0x0EEE


def check(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield gaps that are asked too much, and frames whose colours are not the script's."""
    yield from gap_faults(backdrop)
    yield from dump_faults(export, backdrop)
    if backdrop.colours.scripts:
        yield from script_faults(export, backdrop)


def gap_faults(backdrop: Backdrop) -> Iterator[str]:
    """Yield lines before which more colours are rewritten than one gap has time for."""
    most = backdrop.machine.colours_per_line
    asked: Counter[int] = Counter()
    for split in backdrop.colours.splits:
        asked[split.line] += len(split.words[backdrop.mood])
    for line, count in sorted(asked.items()):
        if count > most:
            yield (
                f"machine/splits.bin: {count} colours are rewritten before line {line}; "
                f"one gap has time for {most}"
            )


def dump_faults(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield where the preview's rewrites are other ones than those of splits.bin."""
    rewrites = backdrop.preview.splits
    if rewrites is None:
        return
    words = bytes_to_words(export.data["machine/splits.bin"])
    heads = head_places(backdrop)
    if (rewrites[:, heads] != words[heads]).any():
        yield "machine/preview/splits.bin: its lines and entries are not those of splits.bin"
    colours = np.delete(rewrites, heads, axis=1)
    if (colours & ~np.uint16(COLOUR_BITS)).any():
        yield "machine/preview/splits.bin: a colour word sets a bit that no colour uses"


def head_places(backdrop: Backdrop) -> list[int]:
    """Places of the words of splits.bin that are no colours."""
    places: list[int] = []
    at = 0
    for split in backdrop.colours.splits:
        places += range(at, at + HEAD)
        at += HEAD + len(split.words[backdrop.mood])
    return places


def script_faults(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield where a script does not come back to its start or does not make the preview."""
    for mood, script in backdrop.colours.scripts.items():
        path = f"machine/moods/{mood}.motion.bin"
        words = bytes_to_words(export.data.get(f"machine/moods/{mood}.splits.bin", b""))
        start = np.concatenate([backdrop.colours.palettes[mood], words])
        try:
            yield from follow_script(path, script, start, backdrop, mood)
        except BytesError as error:
            yield f"{path}: {error}"
    stated = export.table["motion"]
    script = backdrop.colours.scripts[backdrop.mood]
    if stated != {"frames": int(script[0]), "words": len(script)}:
        yield "backdrop.json: motion: is not what motion.bin holds"


def follow_script(
    path: str, script: np.ndarray, start: np.ndarray, backdrop: Backdrop, mood: str
) -> Iterator[str]:
    """Yield where a script goes astray; in the mood shown, the first frame that differs."""
    preview, state = backdrop.preview, start
    dumps = (
        ("palette", preview.palette, slice(0, 64)),
        ("splits", preview.splits, slice(64, None)),
    )
    told: set[str] = set()
    period = int(script[0]) if len(script) else 0
    for frame, state in play_script(script, start, set(head_places(backdrop))):
        for name, dump, part in dumps:
            if mood != backdrop.mood or name in told or not frame < min(period, preview.frames):
                continue
            rows = start[None, part] if dump is None else dump[frame::period]
            wrong = (rows != state[part]).any(axis=1)
            if wrong.any():
                told.add(name)
                first = frame + period * int(wrong.argmax())
                if dump is None:
                    yield f"machine/preview/{name}.bin: is missing, though {path} changes it"
                else:
                    yield f"machine/preview/{name}.bin: frame {first}: is not what {path} makes"
    if (state != start).any():
        yield f"{path}: after one period the colours are not those of its start"


def play_script(
    script: np.ndarray, start: np.ndarray, fixed: set[int]
) -> Iterator[tuple[int, np.ndarray]]:
    """Yield (frame, state) for frame 0 to the period; a state is changed in place afterwards.

    start: (n,) state of frame 0; fixed: words of splits.bin that are no colours
    Raises BytesError for a script that makes no sense.
    """
    changes = read_script(script)
    state = start.astype(np.uint16).copy()
    yield 0, state
    for frame in range(1, int(script[0]) + 1):
        at = frame % int(script[0])
        pairs = changes.get(at, [])
        for target, word in zip(pairs[::2], pairs[1::2], strict=True):
            if target >= len(state) or target - ENTRIES in fixed or word & ~COLOUR_BITS:
                raise BytesError(f"frame {at}: target {target} can't become {word:#06x}")
            state[target] = word
        yield frame, state


def read_script(script: np.ndarray) -> dict[int, list[int]]:
    """Return {frame: targets and words in turn} of a script; BytesError where it is none."""
    words = script.tolist()
    if not words or not words[0]:
        raise BytesError("states no period")
    changes: dict[int, list[int]] = {}
    at, last = 1, -1
    while at < len(words):
        frame, count = [*words[at : at + 2], 0][:2]
        pairs = words[at + 2 : at + 2 + 2 * count]
        if not last < frame < words[0] or not count or len(pairs) != 2 * count:
            raise BytesError(f"word {at}: frame {frame} with {count} changes can't stand there")
        changes[frame], last, at = pairs, frame, at + 2 + 2 * count
    return changes
