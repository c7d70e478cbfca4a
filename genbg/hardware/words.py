"""Words of the machine: bit fields described by one table a word.

A layout is a list of fields, each with its name, its highest and lowest bit and what it means.
Packing, unpacking, range checks and documentation all read that table. Bit 0 is the lowest. A bit
that no field claims is zero: packing leaves it so, unpacking refuses anything else. Words are
stored big-endian, high byte first.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from genbg.errors import BytesError


@dataclass(frozen=True)
class Field:
    """A bit field: bits `high` down to `low` of a word."""

    name: str
    high: int
    low: int
    meaning: str

    @property
    def largest(self) -> int:
        """The largest number that the field can hold."""
        return (1 << (self.high - self.low + 1)) - 1


@dataclass(frozen=True)
class Layout:
    """A word of `bits` bits, 8 or 16, and its fields.

    Raises ValueError when the table itself is wrong: fields that overlap or leave the word.
    """

    name: str
    bits: int
    fields: tuple[Field, ...]

    def __post_init__(self) -> None:
        taken = 0
        for field in self.fields:
            mask = field.largest << field.low
            if field.low < 0 or field.high < field.low or field.high >= self.bits:
                raise ValueError(f"{self.name}: bits of {field.name} leave the word")
            if taken & mask:
                raise ValueError(f"{self.name}: bits of {field.name} are taken twice")
            taken |= mask

    @property
    def used(self) -> int:
        """Mask of the bits that belong to a field."""
        return sum(field.largest << field.low for field in self.fields)

    def pack(self, values: Mapping[str, np.ndarray | int]) -> np.ndarray:
        """Words, uint16 (or uint8 for 8 bits), of one array a field; arrays broadcast.

        Raises BytesError, naming the field, the first place and the value, for a number that is
        not whole or that the field cannot hold, and for a field that is missing or unknown.
        """
        names = [field.name for field in self.fields]
        if sorted(values) != sorted(names):
            raise BytesError(
                f"{self.name}: got fields {', '.join(sorted(values))}; it has {', '.join(names)}"
            )
        parts = [
            self._checked(field, np.asarray(values[field.name])).astype(np.uint32) << field.low
            for field in self.fields
        ]
        words = np.zeros(np.broadcast_shapes(*(part.shape for part in parts)), dtype=np.uint32)
        for part in parts:
            words |= part
        return words.astype(np.uint8 if self.bits == 8 else np.uint16)

    def unpack(self, words: np.ndarray) -> dict[str, np.ndarray]:
        """One uint16 array a field, of the shape of `words`.

        Raises BytesError for a word with a bit that belongs to no field.
        """
        words = check_words(self.name, words, self.bits)
        stray = (words & ~np.int64(self.used)) != 0
        if stray.any():
            place = _first(stray)
            raise BytesError(
                f"{self.name}{_at(place)}: 0x{int(words[place]):0{self.bits // 4}X} sets a bit "
                f"that has to be zero; used bits are 0x{self.used:0{self.bits // 4}X}"
            )
        return {
            field.name: (words >> field.low & field.largest).astype(np.uint16)
            for field in self.fields
        }

    def _checked(self, field: Field, values: np.ndarray) -> np.ndarray:
        return check_range(f"{self.name}, field {field.name}", values, 0, field.largest)


def check_range(what: str, values: np.ndarray, low: int, high: int) -> np.ndarray:
    """`values` as whole numbers int64 if all lie in low..high.

    Raises BytesError that names `what`, the first place, the value and what is allowed.
    """
    values = np.asarray(values)
    if values.dtype.kind not in "iub":
        raise BytesError(f"{what}: {values.dtype} numbers; whole numbers are needed")
    wrong = np.asarray((values < low) | (values > high))
    if wrong.any():
        place = _first(wrong)
        raise BytesError(f"{what}{_at(place)}: {int(values[place])}; allowed is {low} to {high}")
    return values.astype(np.int64)


def check_words(what: str, words: np.ndarray, bits: int = 16) -> np.ndarray:
    """`words` as int64 if each is a whole number of `bits` bits; else BytesError."""
    return check_range(what, np.asarray(words), 0, (1 << bits) - 1)


def check_length(what: str, data: bytes, unit: int, count: int | None = None) -> int:
    """How many pieces of `unit` bytes `data` holds.

    Raises BytesError when the last piece is cut short, or when there are not `count` of them.
    """
    if len(data) % unit:
        raise BytesError(f"{what}: {len(data)} bytes; it has to be a multiple of {unit}")
    if count is not None and len(data) != unit * count:
        raise BytesError(f"{what}: {len(data)} bytes; {unit * count} are needed")
    return len(data) // unit


def words_to_bytes(words: np.ndarray) -> bytes:
    """Big-endian bytes of words of any shape, row after row."""
    return check_words("words", words).astype(">u2").tobytes()


def bytes_to_words(data: bytes, shape: tuple[int, ...] = (-1,)) -> np.ndarray:
    """Words uint16 of big-endian bytes, in `shape` (one side may be -1).

    Raises BytesError when the bytes do not fill the shape.
    """
    check_length("words", data, 2)
    words = np.frombuffer(data, dtype=">u2").astype(np.uint16)
    try:
        return words.reshape(shape)
    except ValueError:
        raise BytesError(f"words: {len(words)} do not fill the shape {shape}") from None


def _first(wrong: np.ndarray) -> tuple[int, ...]:
    """Place of the first True, row after row; () for a single value."""
    return tuple(int(i) for i in np.argwhere(wrong)[0])


def _at(place: tuple[int, ...]) -> str:
    return f" [{', '.join(map(str, place))}]" if place else ""
