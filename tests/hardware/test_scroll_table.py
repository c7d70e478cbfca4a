"""Scroll tables, both directions, and which pairs each way to scroll reads."""

import numpy as np
import pytest

from genbg.errors import BytesError, PresetError
from genbg.hardware.scroll_table import (
    lines_in_force,
    pack_scroll,
    partial_columns,
    unpack_scroll,
)
from genbg.hardware.words import words_to_bytes


def test_a_pair_is_front_then_back():
    """Two words a line, front plane first, 10 bits each. Common practice, no source."""
    words = pack_scroll(np.array([[0x3FF, 0x001], [0x100, 0x000]]))
    assert words_to_bytes(words).hex() == "03ff000101000000"


def test_every_offset_comes_back():
    """All 1024 offsets, both ways."""
    offsets = np.arange(1024)
    assert unpack_scroll(pack_scroll(offsets)).tolist() == offsets.tolist()


def test_wrong_words_are_refused():
    """Range and stray bits are checked."""
    with pytest.raises(BytesError, match=r"field offset \[0, 1\]: 1024; allowed is 0 to 1023"):
        pack_scroll(np.array([[0, 1024]]))
    with pytest.raises(BytesError, match="0x0400 sets a bit that has to be zero"):
        unpack_scroll(np.array([0x0400, 0]))


def test_each_way_reads_its_own_pairs():
    """Every line; lines 0, 8, 16 and so on; the first pair only. Common practice, no source."""
    table = np.stack([np.arange(224), np.arange(224) + 300], axis=-1)
    assert np.array_equal(lines_in_force(table, "line"), table)
    strips = lines_in_force(table, "strip")
    for line in range(224):
        assert strips[line].tolist() == table[line - line % 8].tolist()
    assert (lines_in_force(table, "plane") == table[0]).all()
    assert lines_in_force(np.stack([table, table + 1]), "strip")[1, 15].tolist() == [9, 309]
    with pytest.raises(PresetError, match='scroll "tile": allowed are line, strip, plane'):
        lines_in_force(table, "tile")


def test_partial_columns_show_where_an_offset_is_no_multiple_of_16():
    """Column scroll leaves the left edge undefined there. Common practice, no source."""
    table = np.zeros((224, 2), dtype=int)
    table[100, 1] = 17
    table[:, 0] = 32
    assert partial_columns(table).tolist() == [False, True]
    table[100, 1] = 16
    assert partial_columns(table).tolist() == [False, False]
