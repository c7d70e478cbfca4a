"""Vertical scroll: what the 20 pairs of the column-scroll table hold.

A plane's picture lies `ratio * camera_y + drift * frame` pixels further up than at the start; a
larger word moves it up. Where all columns move alike the table holds 20 equal pairs. A column may
add an offset of its own, as a swaying lantern or a tilting deck needs it.
"""

from __future__ import annotations

import numpy as np

from genbg.hardware.profile import Machine
from genbg.hardware.scroll_table import COLUMN_PX, partial_columns
from genbg.model import BACK, FRONT


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
