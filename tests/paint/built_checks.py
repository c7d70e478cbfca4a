"""What the tests of built things share: counts by material, outlines, landmarks."""

import numpy as np


def ramp_pixels(painting, *names):
    """Pixels (N, W) bool of materials."""
    found = np.zeros(painting.ink.shape, dtype=bool)
    first = 1
    for use in painting.ramps:
        if use.name in names:
            found |= (painting.ink >= first) & (painting.ink < first + use.steps)
        first += use.steps
    return found


def outline_of(painting):
    """First painted line (W,) of every column; the number of lines where there is none."""
    solid = painting.ink > 0
    return np.where(solid.any(axis=0), solid.argmax(axis=0), len(solid))


def same_outline(painting, width=64, within=320):
    """How often a stretch of an outline that rises and falls comes back within a screen."""
    line = outline_of(painting)
    columns = len(line)
    found = 0
    for x in range(0, columns, 8):
        part = np.take(line, range(x, x + width), mode="wrap")
        if np.count_nonzero(np.diff(part)) < width // 8:
            continue
        for away in range(16, within - width):
            other = np.take(line, range(x + away, x + away + width), mode="wrap")
            found += bool((part == other).all())
    return found


def likeness(one, two):
    """Largest share of columns with equal outlines, however the two are shifted."""
    first, second = outline_of(one), outline_of(two)
    return max((first == np.roll(second, n)).mean() for n in range(0, len(first), 8))
