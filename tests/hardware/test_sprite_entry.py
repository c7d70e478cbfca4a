"""Sprite table entries, both directions."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genbg.errors import BytesError
from genbg.hardware.sprite_entry import (
    Sprites,
    bytes_to_entries,
    cell_order,
    line_loads,
    linked_order,
    pack_sprites,
    unpack_sprites,
)

PLAIN = Sprites(
    x=0, y=0, width=1, height=1, link=0, number=0, row=0, hflip=0, vflip=0, priority=0
)  # at the screen's corner

CASES = [
    (PLAIN, "0080 00 00 0000 0080"),
    (PLAIN._replace(y=200), "0148 00 00 0000 0080"),  # vertical position + 128 in word 0
    (PLAIN._replace(y=-128), "0000 00 00 0000 0080"),
    (PLAIN._replace(width=4), "0080 0C 00 0000 0080"),  # width - 1 in bits 3-2
    (PLAIN._replace(height=3), "0080 02 00 0000 0080"),  # height - 1 in bits 1-0
    (PLAIN._replace(link=79), "0080 00 4F 0000 0080"),  # next entry
    (PLAIN._replace(number=0x7FF, row=3, hflip=1), "0080 00 00 6FFF 0080"),  # as a map word
    (PLAIN._replace(vflip=1, priority=1), "0080 00 00 9000 0080"),
    (PLAIN._replace(x=319), "0080 00 00 0000 01BF"),  # horizontal position + 128 in word 3
    (PLAIN._replace(x=-127), "0080 00 00 0000 0001"),
]


@pytest.mark.parametrize(("sprite", "text"), CASES)
def test_each_field_against_hex_text(sprite, text):
    """The 8 bytes as common practice has them, no source; position width of 9 bits from memory."""
    assert pack_sprites(sprite).tobytes() == bytes.fromhex(text)
    entry = bytes_to_entries(bytes.fromhex(text))
    assert tuple(int(part[0]) for part in unpack_sprites(entry)) == tuple(sprite)


@settings(deadline=None)
@given(st.data())
def test_any_list_comes_back(data):
    """Random sprites survive the way to bytes and back, field by field."""
    count = data.draw(st.integers(0, 80))

    def column(low, high):
        return np.array(data.draw(st.lists(st.integers(low, high), min_size=count, max_size=count)))

    sprites = Sprites(
        column(-127, 383).astype(int),
        column(-128, 383).astype(int),
        *(
            column(*limits).astype(int)
            for limits in [(1, 4), (1, 4), (0, 127), (0, 2047), (0, 3), (0, 1), (0, 1), (0, 1)]
        ),
    )
    entries = pack_sprites(sprites)
    assert entries.shape == (count, 8)
    for name, got in unpack_sprites(bytes_to_entries(entries.tobytes()))._asdict().items():
        assert got.tolist() == getattr(sprites, name).tolist(), name


@pytest.mark.parametrize(
    ("change", "text"),
    [
        ({"x": -128}, "sprite x: -128; allowed is -127 to 383"),
        ({"x": 384}, "sprite x: 384; allowed is -127 to 383"),
        ({"y": -129}, "sprite y: -129; allowed is -128 to 383"),
        ({"y": 384}, "sprite y: 384; allowed is -128 to 383"),
        ({"width": 0}, "sprite width: 0; allowed is 1 to 4"),
        ({"width": 5}, "sprite width: 5; allowed is 1 to 4"),
        ({"height": 5}, "sprite height: 5; allowed is 1 to 4"),
        ({"link": 128}, "sprite link, field link: 128; allowed is 0 to 127"),
        ({"number": 2048}, "map word, field number: 2048; allowed is 0 to 2047"),
    ],
)
def test_each_field_one_past_its_range(change, text):
    """Width and height are 8, 16, 24 or 32 pixels; x = -128 would mask lines and is refused."""
    with pytest.raises(BytesError, match=text):
        pack_sprites(PLAIN._replace(**change))


def test_a_masking_entry_can_be_read():
    """Unused entries are zero: reading them is not an error, x is -128."""
    assert unpack_sprites(np.zeros((1, 8), dtype=np.uint8)).x.tolist() == [-128]


def test_wrong_bytes_are_refused():
    """Stray bits, shapes and cut tables are errors."""
    with pytest.raises(BytesError, match="sprite table: 9 bytes; it has to be a multiple of 8"):
        bytes_to_entries(bytes(9))
    with pytest.raises(BytesError, match=r"sprite table: int64 of shape \(8,\)"):
        unpack_sprites(np.zeros(8, dtype=np.int64))
    stray = np.zeros((1, 8), dtype=np.uint8)
    stray[0, 2] = 0x10
    with pytest.raises(BytesError, match=r"sprite size \[0\]: 0x10 sets a bit"):
        unpack_sprites(stray)


def test_cells_count_down_the_columns():
    """A sprite of 3 by 2 cells reads its tiles column by column. Common practice, no source."""
    assert cell_order(3, 2).tolist() == [[0, 2, 4], [1, 3, 5]]


def test_links_are_followed_from_entry_0():
    """The order of reading is that of the links, and the list ends at link 0."""
    assert linked_order(np.array([2, 3, 1, 0])) == [0, 2, 1, 3]
    assert linked_order(np.array([0, 1])) == [0]
    assert linked_order(np.zeros(0, dtype=int)) == []


def test_broken_links_are_refused():
    """A link out of the table and a ring are errors, not endless loops."""
    with pytest.raises(BytesError, match=r"sprite link \[0\]: 2; allowed is 0 to 1"):
        linked_order(np.array([2, 0]))
    with pytest.raises(BytesError, match=r"sprite link \[2\]: 1 comes round again"):
        linked_order(np.array([1, 2, 1]))


def test_line_loads_count_what_stands_on_each_line():
    """Against a count line by line; sprites may reach out at either edge or stand outside."""
    random = np.random.Generator(np.random.PCG64(3))
    frame, y = random.integers(0, 3, 40), random.integers(-40, 60, 40)
    height, load = random.integers(1, 5, 40), random.integers(1, 5, 40) * 8
    found = line_loads(frame, y, height, load, (3, 48))
    for f in range(3):
        for line in range(48):
            on = (frame == f) & (y <= line) & (line < y + 8 * height)
            assert found[f, line] == load[on].sum(), (f, line)
