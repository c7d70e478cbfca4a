"""Shapes that lines of different speeds would cut apart.

A plane has one speed a line. A sun that stands on lines of two speeds is whole at camera 0 only:
after a while its upper part has gone another way than its lower part. The painter knows which
lines such a shape takes; the speeds are known only here.
"""

from __future__ import annotations

import numpy as np

from genbg.model import LineSpeeds


def cut_shape(speeds: LineSpeeds, plane: int, top: int, bottom: int) -> list[int]:
    """Return the screen lines of `plane` within top..bottom-1 at which the speed changes.

    Each is the first line of the new speed; empty where the shape stays whole.
    """
    top, bottom = max(top, 0), min(bottom, len(speeds.ratio))
    both = np.stack([speeds.ratio[top:bottom, plane], speeds.drift[top:bottom, plane]])
    changes = (both[:, 1:] != both[:, :-1]).any(axis=0)
    return (np.flatnonzero(changes) + top + 1).tolist()
