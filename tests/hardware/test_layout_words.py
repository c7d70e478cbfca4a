"""The mechanism behind every word: fields, range checks, big-endian bytes."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from genbg.errors import BytesError
from genbg.hardware.words import (
    Field,
    Layout,
    bytes_to_words,
    check_length,
    check_range,
    words_to_bytes,
)

DOOR = Layout("door word", 16, (Field("lamp", 15, 12, "lamps lit"), Field("step", 4, 1, "stairs")))


def test_fields_stand_where_the_table_says():
    """Each field fills its own bits and no other, worked by hand."""
    assert int(DOOR.pack({"lamp": 0xF, "step": 0})) == 0xF000
    assert int(DOOR.pack({"lamp": 0, "step": 0xF})) == 0x001E
    assert int(DOOR.pack({"lamp": 9, "step": 5})) == 0x900A
    assert {k: int(v) for k, v in DOOR.unpack(np.array(0x900A)).items()} == {"lamp": 9, "step": 5}
    assert DOOR.used == 0xF01E


@settings(deadline=None)
@given(st.data())
def test_any_layout_agrees_with_arithmetic_on_binary_text(data):
    """A word is the text of its fields in binary, written by a way that shares no code."""
    widths = data.draw(st.lists(st.integers(1, 5), min_size=1, max_size=3))
    gaps = data.draw(st.lists(st.integers(0, 1), min_size=len(widths), max_size=len(widths)))
    values = [data.draw(st.integers(0, 2**width - 1)) for width in widths]
    fields, text, top = [], "", 15
    for n, (width, gap, value) in enumerate(zip(widths, gaps, values, strict=True)):
        top -= gap
        if top - width + 1 < 0:
            break
        fields.append(Field(f"f{n}", top, top - width + 1, ""))
        text += "0" * gap + format(value, f"0{width}b")
        top -= width
    layout = Layout("any", 16, tuple(fields))
    named = {field.name: value for field, value in zip(fields, values, strict=False)}
    word = layout.pack(named)
    assert int(word) == int(text.ljust(16, "0"), 2)
    assert {name: int(value) for name, value in layout.unpack(word).items()} == named


def test_a_value_that_does_not_fit_is_named():
    """The message names word, field, place, value and range."""
    steps = np.zeros((2, 3), dtype=int)
    steps[1, 2] = 16
    with pytest.raises(
        BytesError, match=r"door word, field step \[1, 2\]: 16; allowed is 0 to 15$"
    ):
        DOOR.pack({"lamp": 1, "step": steps})
    with pytest.raises(BytesError, match=r"door word, field lamp: -1; allowed is 0 to 15$"):
        DOOR.pack({"lamp": -1, "step": 0})


def test_fields_must_be_all_and_only_those_of_the_word():
    """A missing or unknown field is refused by name."""
    with pytest.raises(BytesError, match="door word: got fields lamp; it has lamp, step"):
        DOOR.pack({"lamp": 1})


def test_numbers_that_are_not_whole_are_refused():
    """A float never becomes a field in silence."""
    with pytest.raises(BytesError, match="field lamp: float64 numbers; whole numbers are needed"):
        DOOR.pack({"lamp": np.array([1.5]), "step": 0})


def test_a_bit_of_no_field_is_refused():
    """Unpacking is exact: what packing can't have made is an error."""
    with pytest.raises(
        BytesError,
        match=r"door word \[1\]: 0x0001 sets a bit that has to be zero; used bits are 0xF01E",
    ):
        DOOR.unpack(np.array([0xF000, 0x0001]))
    with pytest.raises(BytesError, match=r"door word \[0\]: 65536; allowed is 0 to 65535"):
        DOOR.unpack(np.array([0x10000]))


def test_a_wrong_table_is_refused():
    """Fields that overlap or leave the word are found when the table is made."""
    with pytest.raises(ValueError, match="bits of b are taken twice"):
        Layout("bad", 16, (Field("a", 4, 2, ""), Field("b", 2, 0, "")))
    with pytest.raises(ValueError, match="bits of a leave the word"):
        Layout("bad", 8, (Field("a", 8, 2, ""),))


def test_words_are_big_endian():
    """High byte first: 0x1234 is 12 34."""
    assert words_to_bytes(np.array([[0x1234], [0xFF00]])) == bytes.fromhex("1234FF00")
    assert bytes_to_words(bytes.fromhex("1234FF00"), (2, 1)).tolist() == [[0x1234], [0xFF00]]


def test_cut_bytes_are_refused():
    """An odd byte, a wrong count and a shape that the words do not fill are told apart."""
    with pytest.raises(BytesError, match="words: 3 bytes; it has to be a multiple of 2"):
        bytes_to_words(b"abc")
    with pytest.raises(BytesError, match=r"words: 3 do not fill the shape \(2, 2\)"):
        bytes_to_words(b"abcdef", (2, 2))
    with pytest.raises(BytesError, match="lamps: 6 bytes; 8 are needed"):
        check_length("lamps", b"abcdef", 2, 4)
    assert check_length("lamps", b"abcdef", 2, 3) == 3


def test_range_check_returns_what_it_was_given():
    """Both ends of the range are allowed."""
    assert check_range("x", np.array([0, 7], dtype=np.uint8), 0, 7).tolist() == [0, 7]
