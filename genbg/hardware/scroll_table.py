"""Scroll tables. Common practice, no source.

line-scroll table    in video memory: for each screen line two words, front plane then back plane;
                     a larger value moves the picture right
column-scroll table  20 such pairs, one for every 16 pixels of the screen; a larger value moves
                     the picture up
"""

from __future__ import annotations

import numpy as np

from genbg.errors import PresetError
from genbg.hardware.profile import SCROLLS
from genbg.hardware.words import Field, Layout

SCROLL_WORD = Layout("scroll word", 16, (Field("offset", 9, 0, "pixels, modulo 1024"),))

PAIR_BYTES = 4
COLUMN_PX = 16


def pack_scroll(offsets: np.ndarray) -> np.ndarray:
    """Scroll words uint16 of offsets in pixels, any shape; usually (L, 2), columns FRONT, BACK.

    Raises BytesError for an offset outside 0..1023.
    """
    return SCROLL_WORD.pack({"offset": offsets})


def unpack_scroll(words: np.ndarray) -> np.ndarray:
    """Offsets in pixels, 0..1023 uint16, of scroll words of any shape.

    Raises BytesError for a word of more than 10 bits.
    """
    return SCROLL_WORD.unpack(words)["offset"]


def lines_in_force(offsets: np.ndarray, scroll: str) -> np.ndarray:
    """Offsets (..., L, 2) that the machine applies to each line, given the table (..., L, 2).

    "line" reads every pair; "strip" reads those of lines 0, 8, 16 and so on; "plane" reads the
    first pair only.

    Raises PresetError for another way to scroll.
    """
    offsets = np.asarray(offsets)
    if scroll not in SCROLLS:
        listed = ", ".join(SCROLLS)
        raise PresetError(f'scroll "{scroll}": allowed are {listed}')
    lines = offsets.shape[-2]
    group = SCROLLS[scroll] or lines
    return offsets[..., np.arange(lines) // group * group, :]


def partial_columns(offsets: np.ndarray) -> np.ndarray:
    """Where column scroll shows a partial column at the left edge, (..., 2) bool for FRONT, BACK.

    offsets: (..., L, 2) horizontal offsets in force. A plane whose offset is no multiple of 16 on
    some line shows a partial column there, and its vertical offset is undefined.
    """
    return (np.asarray(offsets) % COLUMN_PX != 0).any(axis=-2)
