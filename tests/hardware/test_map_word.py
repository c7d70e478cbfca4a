"""Map words, both directions."""

import numpy as np
import pytest

from genbg.errors import BytesError
from genbg.hardware.map_word import MAP_WORD, pack_map, unpack_map

CASES = [
    ((0x7FF, 0, 0, 0, 0), 0x07FF),  # tile number, bits 10-0
    ((0, 0, 1, 0, 0), 0x0800),  # horizontal flip, bit 11
    ((0, 0, 0, 1, 0), 0x1000),  # vertical flip, bit 12
    ((0, 3, 0, 0, 0), 0x6000),  # palette row, bits 14-13
    ((0, 1, 0, 0, 0), 0x2000),
    ((0, 0, 0, 0, 1), 0x8000),  # priority, bit 15
    ((0x123, 2, 1, 0, 1), 0xC923),
]


@pytest.mark.parametrize(("cell", "word"), CASES)
def test_each_field_against_a_constant(cell, word):
    """Bits as common practice has them, no source."""
    assert int(pack_map(*cell)) == word
    assert tuple(int(part) for part in unpack_map(np.array(word))) == cell


def test_every_word_is_a_cell():
    """All 65536 words can be read, and packing gives them back."""
    words = np.arange(65536)
    cells = unpack_map(words)
    assert np.array_equal(pack_map(*cells), words)
    assert cells.hflip.dtype == bool
    assert cells.row.dtype == np.uint8


def test_2048_tiles_and_four_rows_can_be_addressed():
    """11 bits of tile number, 2 of palette row. Common practice, no source."""
    largest = {field.name: field.largest for field in MAP_WORD.fields}
    assert largest == {"high": 1, "row": 3, "vflip": 1, "hflip": 1, "number": 2047}


def test_a_map_is_packed_as_a_whole():
    """Arrays (R, C) and single values go together."""
    number = np.array([[1, 2], [3, 4]])
    words = pack_map(number, 1, False, np.array([[False, True], [False, False]]), True)
    assert words.dtype == np.uint16
    assert words.tolist() == [[0xA001, 0xB002], [0xA003, 0xA004]]


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        ((2048, 0, 0, 0, 0), "field number: 2048; allowed is 0 to 2047"),
        ((0, 4, 0, 0, 0), "field row: 4; allowed is 0 to 3"),
        ((0, 0, 2, 0, 0), "field hflip: 2; allowed is 0 to 1"),
        ((0, 0, 0, -1, 0), "field vflip: -1; allowed is 0 to 1"),
        ((0, 0, 0, 0, 2), "field high: 2; allowed is 0 to 1"),
    ],
)
def test_each_field_one_past_its_range(cell, text):
    """The field that does not fit is named."""
    with pytest.raises(BytesError, match=f"map word, {text}"):
        pack_map(*cell)


def test_what_is_no_word_is_refused():
    """Words have 16 bits."""
    with pytest.raises(BytesError, match=r"map word \[0\]: -1; allowed is 0 to 65535"):
        unpack_map(np.array([-1]))
