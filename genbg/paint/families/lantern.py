"""A lantern as it is seen from afar, drawn flat, in tones of the ramps `lamp` and `leaves`."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.tonal import TonalPicture


def lantern(picture: TonalPicture, u: np.ndarray, v: np.ndarray, s: float) -> None:
    """A lantern about its middle: u right, v down; a dark cage and cap, warm panes, a bright core.

    A dark frame keeps it readable before a bright place.
    """
    cage = (np.abs(u) < 3.6 * s) & (np.abs(v) < 5.2 * s)
    rim = np.where(np.abs(u) > 2.6 * s, 1.0, 2.0)
    picture.lay(cage, "lamp", np.where(np.abs(v) > 4.0 * s, 0.0, rim))
    picture.lay((np.abs(u) < 2.0 * s) & (np.abs(v - 0.6) < 3.0 * s), "lamp", 3.0)
    picture.lay(
        (np.abs(u) < max(1.1 * s, 1.05)) & (np.abs(v - 1.0) < max(1.8 * s, 1.6)), "lamp", 5.0
    )
    picture.lay((np.abs(u) < 2.4 * s) & (v > -7 * s) & (v <= -5 * s), "lamp", 0.0)
