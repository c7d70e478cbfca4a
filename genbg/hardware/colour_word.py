"""Colour word: `0000 BBB0 GGG0 RRR0`, three bits each of blue, green and red.

Colour memory holds 64 of them: 4 palette rows of 16. Common practice, no source.
"""

from __future__ import annotations

import numpy as np

from genbg.hardware.words import Field, Layout, check_range

COLOUR_WORD = Layout(
    "colour word",
    16,
    (
        Field("blue", 11, 9, "level of blue, 0 dark .. 7 bright"),
        Field("green", 7, 5, "level of green"),
        Field("red", 3, 1, "level of red"),
    ),
)


def number_to_word(number: np.ndarray) -> np.ndarray:
    """Colour words uint16 of colour numbers 0..511 (blue << 6 | green << 3 | red), any shape.

    Raises BytesError for a number outside 0..511.
    """
    number = check_range("colour number", number, 0, 511)
    return COLOUR_WORD.pack(
        {"blue": number >> 6, "green": number >> 3 & 7, "red": number & 7},
    )


def word_to_number(words: np.ndarray) -> np.ndarray:
    """Colour numbers uint16 of colour words, any shape.

    Raises BytesError for a word with a bit that no colour uses.
    """
    level = COLOUR_WORD.unpack(words)
    return level["blue"] << 6 | level["green"] << 3 | level["red"]
