"""A plain model of the machine's video chip, for tests: ports, registers, transfers, memories.

Facts of the trade, common practice, no source. It imports nothing from `genbg`.
"""

from __future__ import annotations

import struct
from collections.abc import Callable

KINDS = {1: "video", 3: "colour", 5: "vertical"}
"""Memory that the code bits of a control word's write choose."""


class VideoChip:
    """What the control port and the data port do; `read` gives bytes of main memory.

    video: 64 KiB; colour: 64 words; vertical: 40 words; registers: 32 bytes
    moved: (memory, bytes, True where the screen is lit) of every transfer
    """

    def __init__(self, read: Callable[[int, int], bytes]):
        self.read = read
        self.video = bytearray(65536)
        self.colour = [0] * 64
        self.vertical = [0] * 40
        self.registers = [0] * 32
        self.first: int | None = None
        self.address, self.kind = 0, 0
        self.moved: list[tuple[str, int]] = []

    def control(self, word: int) -> None:
        """A word written to the control port."""
        if self.first is None and word >> 14 == 2:
            self.registers[word >> 8 & 31] = word & 255
            return
        if self.first is None:
            self.first = word
            return
        code = self.first >> 14 | word >> 2 & 0x3C
        self.address = self.first & 0x3FFF | (word & 3) << 14
        self.kind, self.first = code & 15, None
        if code & 0x20:
            assert self.registers[1] & 0x10, "transfers are not allowed"
            self.transfer()

    def transfer(self) -> None:
        """Main memory to video memory, as registers 19 to 23 say."""
        count = self.registers[19] | self.registers[20] << 8
        low = self.registers[21] | self.registers[22] << 8
        page = (self.registers[23] & 0x7F) << 16
        assert count, "65536 words"
        assert low + count <= 0x10000, "the transfer passes a border of 128 KiB"
        data = self.read((page | low) * 2, count * 2)
        self.moved.append((KINDS[self.kind], len(data)))
        for (word,) in struct.iter_unpack(">H", data):
            self.data(word)

    def data(self, word: int) -> None:
        """A word written to the data port."""
        kind = KINDS[self.kind]
        if kind == "video":
            at = self.address & 0xFFFE
            assert self.address % 2 == 0
            self.video[at : at + 2] = struct.pack(">H", word)
        elif kind == "colour":
            self.colour[self.address >> 1 & 63] = word & 0x0EEE
        else:
            self.vertical[(self.address >> 1) % 40] = word & 0x7FF
        self.address = self.address + self.registers[15] & 0xFFFF

    def words(self, start: int, count: int) -> list[int]:
        """Words of video memory."""
        return list(struct.unpack(f">{count}H", self.video[start : start + 2 * count]))
