"""Rounds of chance, seeded and bounded in time: the same round is the same trial on every machine.

GENBG_FUZZ_SECONDS says how long each door is tried (20; CI says 60, a person by hand 300).
GENBG_FUZZ_SEED (1) chooses other trials, and GENBG_FUZZ_FIRST (0) begins at a round that a finding
named.
"""

from __future__ import annotations

import os
import random
import signal
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any

SECONDS = float(os.environ.get("GENBG_FUZZ_SECONDS", "20"))
SEED = int(os.environ.get("GENBG_FUZZ_SEED", "1"))
FIRST = int(os.environ.get("GENBG_FUZZ_FIRST", "0"))
HANGS_S = 300
"""A round that takes longer has no end; the slowest ones take some seconds."""


def fuzz(door: str, trial: Callable[[random.Random], Any]) -> int:
    """Call `trial` with other dice until the time is up, at least once; return how often."""
    began, number = time.monotonic(), FIRST
    while number == FIRST or time.monotonic() - began < SECONDS:
        try:
            with bounded():
                trial(random.Random(f"{SEED} {door} {number}"))
        except BaseException as error:
            error.add_note(
                f"{door}: round {number} of seed {SEED}; again by GENBG_FUZZ_SEED={SEED} "
                f"GENBG_FUZZ_FIRST={number} GENBG_FUZZ_SECONDS=0"
            )
            raise
        number += 1
    return number - FIRST


@contextmanager
def bounded() -> Iterator[None]:
    """Raise TimeoutError where what is done inside has no end."""

    def give_up(*_: object) -> None:
        raise TimeoutError(f"a round took more than {HANGS_S} seconds")

    before = signal.signal(signal.SIGALRM, give_up)
    signal.alarm(HANGS_S)
    try:
        yield
    finally:
        signal.alarm(0)
        signal.signal(signal.SIGALRM, before)


def harmed(data: bytes, dice: random.Random, words: tuple[bytes, ...] = ()) -> bytes:
    """Return bytes that were harmed in 1 to 4 places; words: what may be put into them."""
    for _ in range(dice.randint(1, 4)):
        data = harmed_once(data, dice, words)
    return data


def harmed_once(data: bytes, dice: random.Random, words: tuple[bytes, ...]) -> bytes:
    """Return bytes that were cut, doubled, flipped, lengthened or mixed up in one place."""
    at = dice.randint(0, len(data))
    end = min(len(data), at + dice.choice([1, 2, 8, 64, 4096]))
    flip = 1 << dice.randrange(8)
    said = dice.choice(words) if words else b"\0"
    return dice.choice(
        [
            data[:at] + data[end:],
            data[:end] + data[at:],
            data[:at] + bytes(byte ^ flip for byte in data[at:end]) + data[end:],
            data[:at] + dice.randbytes(dice.choice([1, 3, 40])) + data[at:],
            data[:at] + said + data[end:],
            data[:at],
        ]
    )


def harmed_value(value: Any, dice: random.Random, depth: int = 0) -> Any:
    """Return a JSON value in which one place holds something else, or is gone."""
    if isinstance(value, dict | list) and value and dice.random() < 0.85 and depth < 8:
        keys = list(value) if isinstance(value, dict) else list(range(len(value)))
        key = dice.choice(keys)
        changed = value.copy()
        if dice.random() < 0.08:
            del changed[key]
        else:
            changed[key] = harmed_value(value[key], dice, depth + 1)
        return changed
    near = [value + 1, value - 1, -value, value * 2] if type(value) in (int, float) else []
    odd = [None, True, 0, -1, 0.5, 255, 65536, 2**31, 2**63, 10**30, -0.0, 1e308, "", "x", "\n"]
    return dice.choice([*near, *near, *odd, [], {}, [value], {"a": value}, "ä\x1b" * 100])
