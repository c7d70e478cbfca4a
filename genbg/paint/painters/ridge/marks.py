"""Small drawings as text: tones, changes of tone, and masks of one cell or a few."""

from __future__ import annotations

import numpy as np

CHANGES = {".": 0, "+": 1, "-": -1}


def tone_changes(text: str) -> np.ndarray:
    """Changes (h, w) int64: "-" a tone darker, "+" lighter, "." as it is; rows by spaces."""
    return np.array([[CHANGES[sign] for sign in row] for row in text.split()])


def tone_patch(text: str) -> np.ndarray:
    """Tones (h, w) int64: one digit a pixel; rows by spaces."""
    return np.array([[int(sign) for sign in row] for row in text.split()])
