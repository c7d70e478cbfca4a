"""What decoding a file of the machine needs: sizes that are checked, and faults that are noted."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import TypeVar

import numpy as np

from genbg.check.listing import Export
from genbg.errors import BytesError, GenbgError
from genbg.hardware.words import bytes_to_words
from genbg.model import LineSpeeds

Part = TypeVar("Part")


class Reader:
    """Decodes one file after another and notes what is wrong with each."""

    def __init__(self, export: Export):
        self.export = export
        self.faults: list[str] = []

    def read(self, path: str, decode: Callable[[bytes], Part]) -> Part | None:
        """Return what a file holds; None where it is missing or damaged, which is noted."""
        data = self.export.data.get(path)
        if data is None:
            self.faults.append(f"{path}: is missing")
            return None
        try:
            return decode(data)
        except GenbgError as error:
            self.faults.append(f"{path}: {error}")
            return None

    def read_if_there(self, path: str, decode: Callable[[bytes], Part]) -> Part | None:
        """Return what a file holds that not every backdrop has; None where it has none."""
        return self.read(path, decode) if path in self.export.data else None


def sized(shape: tuple[int, ...]) -> Callable[[bytes], np.ndarray]:
    """Return a decoder of words of a shape; it raises BytesError for more or fewer bytes."""

    def decode(data: bytes) -> np.ndarray:
        check_size(data, math.prod(shape) * 2)
        return bytes_to_words(data, shape)

    return decode


def check_size(data: bytes, size: int) -> None:
    """Raise BytesError where a file is not as long as the manifest's numbers ask for."""
    if len(data) != size:
        raise BytesError(f"has {len(data)} bytes; {size} are needed")


def line_speeds(data: bytes, lines: int) -> LineSpeeds:
    """Return the speeds of speeds.bin: front ratio, back ratio, front drift, back drift."""
    check_size(data, lines * 16)
    numbers = np.frombuffer(data, dtype=">i4").astype(np.int32).reshape(lines, 4)
    return LineSpeeds(numbers[:, :2], numbers[:, 2:])
