"""Colour words, both directions."""

import numpy as np
import pytest

from genbg.errors import BytesError
from genbg.hardware.colour_word import COLOUR_WORD, number_to_word, word_to_number

CASES = [
    (0o000, 0x0000),  # black
    (0o007, 0x000E),  # red, bits 3-1
    (0o070, 0x00E0),  # green, bits 7-5
    (0o700, 0x0E00),  # blue, bits 11-9
    (0o777, 0x0EEE),  # white
    (0o123, 0x0246),  # blue 1, green 2, red 3
]


@pytest.mark.parametrize(("number", "word"), CASES)
def test_each_channel_against_a_constant(number, word):
    """`0000 BBB0 GGG0 RRR0`, written out by hand. Common practice, no source."""
    assert int(number_to_word(np.array(number))) == word
    assert int(word_to_number(np.array(word))) == number


def test_512_colours_of_three_bits_a_channel():
    """3 bits a channel, 512 colours. Common practice, no source."""
    words = number_to_word(np.arange(512))
    assert len(set(words.tolist())) == 512
    assert [field.largest for field in COLOUR_WORD.fields] == [7, 7, 7]
    assert bin(COLOUR_WORD.used).count("1") == 9
    assert word_to_number(words).tolist() == list(range(512))


def test_wrong_values_are_refused():
    """A number past 511 and a word with a low bit set are errors."""
    with pytest.raises(BytesError, match=r"colour number \[1\]: 512; allowed is 0 to 511"):
        number_to_word(np.array([0, 512]))
    with pytest.raises(BytesError, match="0x0001 sets a bit that has to be zero"):
        word_to_number(np.array([1]))
    with pytest.raises(BytesError, match="0x1000 sets a bit that has to be zero"):
        word_to_number(np.array([0x1000]))
