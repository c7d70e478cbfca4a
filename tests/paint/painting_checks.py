"""What the tests of painters share: jobs, and plain counts that use nothing of the painters."""

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.table import painter

LIGHT_LEFT, LIGHT_RIGHT = (-0.6, 0.7), (0.6, 0.7)


def job_of(name, top=40, bottom=136, seed=1, ratio=0.1, **changes):
    """A job for a painter; `params` is a dict, `ratio` a number or (first line, last line)."""
    known = painter(name)
    first, last = ratio if isinstance(ratio, tuple) else (ratio, ratio)
    given = {
        "width": 512,
        "top": top,
        "bottom": bottom,
        "seed": seed,
        "light": LIGHT_LEFT,
        "distance": 1.0 / last if last else None,
        "ratio": np.linspace(first, last, bottom - top),
        "thrift": known.thrift,
        "steps": {ramp.name: ramp.steps for ramp in known.ramps},
    }
    given |= changes
    given["params"] = known.params(**changes.get("params", {}))
    return Job(**given)


def paint(name, **given):
    """The painting of `job_of(name, ...)`."""
    return painter(name).draw(job_of(name, **given))


def draw(name, top, bottom, seed=1, body=None, seen=None, width=512, **keys):
    """The painting of a layer at distance 4, ratio 1 and thrift 0.4 with these keys."""
    return paint(
        name,
        top=top,
        bottom=bottom,
        seed=seed,
        ratio=1.0,
        distance=4.0,
        light=(-0.4, 0.5),
        thrift=0.4,
        width=width,
        body=body,
        seen=seen or {},
        params=keys,
    )


def count_tiles(ink, top):
    """Distinct 8x8 cells of the screen's grid up to both flips, the empty one not counted."""
    above, below = top % 8, -(top + len(ink)) % 8
    padded = np.pad(ink, ((above, below), (0, 0)))
    found = set()
    for y in range(0, len(padded), 8):
        for x in range(0, padded.shape[1], 8):
            cell = padded[y : y + 8, x : x + 8]
            flips = (cell, cell[::-1], cell[:, ::-1], cell[::-1, ::-1])
            if cell.any():
                found.add(min(flip.tobytes() for flip in flips))
    return len(found)


def stray_share(ink):
    """Share of pixels none of whose eight neighbours has their ink; columns wrap."""
    same = np.zeros(ink.shape, dtype=bool)
    for dy in (-1, 0, 1):
        for dx in (-1, 0, 1):
            if dy or dx:
                rows = np.arange(len(ink)) + dy
                inside = (rows >= 0) & (rows < len(ink))
                other = np.roll(ink, -dx, axis=1)[np.clip(rows, 0, len(ink) - 1)]
                same |= (other == ink) & inside[:, None]
    return 1.0 - same.mean()


def step_at_wrap(ink):
    """Share of lines whose ink changes from the last column to the first, and all such shares."""
    changes = (ink != np.roll(ink, 1, axis=1)).mean(axis=0)
    return changes[0], changes[1:]


def sheared(ink, ratio, camera):
    """The lines as the machine shows them with the camera at a place."""
    shift = np.floor(ratio * camera).astype(int) % ink.shape[1]
    return np.stack([np.roll(row, -by) for row, by in zip(ink, shift, strict=True)])


def inks_of(painting, ramp):
    """Pixels (N, W) bool of a ramp, and how light they are, 0 the darkest ink of it."""
    first = 1
    for use in painting.ramps:
        if use.name == ramp:
            here = (painting.ink >= first) & (painting.ink < first + use.steps)
            return here, painting.ink.astype(np.int64) - first
        first += use.steps
    raise KeyError(ramp)
