"""Vertical scroll: what the 20 pairs of the column-scroll table hold.

A plane's picture lies `ratio * camera_y + drift * frame` pixels further up than at the start; a
larger word moves it up. Where all columns move alike the table holds 20 equal pairs. A column may
add an offset of its own, as a swaying lantern or a tilting deck needs it.
"""

from __future__ import annotations

from fractions import Fraction

import numpy as np

from genbg.errors import LimitError
from genbg.hardware.profile import Machine
from genbg.hardware.scroll_table import COLUMN_PX, pack_scroll, partial_columns
from genbg.hardware.sizes import ONE, SCROLL_MASK
from genbg.model import BACK, FRONT


def vertical_words(
    ratio: tuple[int, int],
    drift: tuple[int, int],
    camera_y: Fraction,
    frame: int,
    offsets: np.ndarray | None = None,
    pairs: int = 20,
) -> np.ndarray:
    """Words (pairs, 2) uint16, FRONT and BACK: floor(ratio*camera_y + drift*frame) + offset.

    ratio, drift: signed 16.16 numbers of the two planes; camera_y: pixels downward, any fraction
    offsets: (pairs, 2) whole pixels that a column adds, positive up; None: none
    Words are modulo 1024, exact for any camera position.

    Raises LimitError for offsets of another number of columns.
    """
    camera_y = Fraction(camera_y)
    moved = np.array(
        [
            (Fraction(r, ONE) * camera_y + Fraction(d, ONE) * frame) // 1 % 1024
            for r, d in zip(ratio, drift, strict=True)
        ],
        dtype=np.int64,
    )
    if offsets is None:
        offsets = np.zeros((pairs, 2), dtype=np.int64)
    if np.shape(offsets) != (pairs, 2):
        cure = "give one pair of offsets a column"
        raise LimitError("column offsets", len(offsets), pairs, "columns", cure)
    return pack_scroll((moved + np.asarray(offsets, dtype=np.int64)) & SCROLL_MASK)


def column_warnings(offsets: np.ndarray, vertical: np.ndarray, machine: Machine) -> list[str]:
    """What a user has to know of column scroll: one sentence a plane with a partial column.

    offsets: (F, L, 2) horizontal offsets in force; vertical: (F, pairs, 2) vertical ones
    Only a plane whose columns differ in some frame is looked at: while all of them are equal the
    table works as whole-plane scroll and nothing is undefined.
    """
    columns = -(-machine.screen[0] // COLUMN_PX)
    shown = np.asarray(vertical)[:, :columns]
    sways = (shown != shown[:, :1]).any(axis=1)
    partial = partial_columns(offsets) & sways
    return [
        f"column scroll of the {name} plane: a partial column at the left edge is undefined in "
        f"{int(partial[:, plane].sum())} of {len(partial)} frames, where the plane's horizontal "
        f"offset is no multiple of {COLUMN_PX}"
        for plane, name in ((FRONT, "front"), (BACK, "back"))
        if partial[:, plane].any()
    ]
