"""A painter of the tests' own, whose pictures change only with this file, and scenes made of it.

Scenes made of it hold the road from the preset to the export still: whoever repaints the program's
painters leaves their fingerprints (`whole.json`) alone.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.keys import key
from genbg.model import Painting, RampUse
from genbg.paint.contract import Body, Job, Painter, Ramp

KINDS = ("bands", "disc", "hills", "floor", "posts")
RAMPS = (
    Ramp("stone", "What stands.", ("#201838", "#705878", "#f0d8b0"), 6),
    Ramp("lamp", "What shines.", ("#804010", "#ffe080"), 4, lit=True),
)


@dataclass(frozen=True)
class Keys:
    """What a scene says about this scenery."""

    kind: str = key("hills", "choice", "What is drawn.", choices=KINDS)
    size: int = key(24, "int", "Width of one thing.", low=4, high=128, unit="pixels")


def triangle(places: np.ndarray, size: int) -> np.ndarray:
    """0 to size and down again, over and over."""
    return size - np.abs(places % (2 * size) - size)


def bands(keys: Keys, job: Job, y: np.ndarray, x: np.ndarray) -> np.ndarray:
    """Even bands of stone, the same all along each line."""
    return 1 + y * 6 // job.lines + 0 * x


def hills(keys: Keys, job: Job, y: np.ndarray, x: np.ndarray) -> np.ndarray:
    """Slopes with a lit edge, rough inside, see-through above."""
    skew, x = job.seed % 13, x % 64
    top = triangle(x + skew, 32) + triangle(3 * x, keys.size) // 2
    depth = y - (job.lines - 8 - top * (job.lines - 8) // (32 + keys.size))
    rough = (x * 5 + y * 3 + (x * y) % 7 + skew) % 3
    return np.where(depth < 0, 0, np.where(depth < 2, 6, 1 + np.minimum(depth // 8, 3) + rough % 2))


def floor(keys: Keys, job: Job, y: np.ndarray, x: np.ndarray) -> np.ndarray:
    """A ground with glints that are wider the nearer they lie."""
    step = 2 + y // 4
    glint = (x % 64 // step * 7 + y * 5 + job.seed % 11) % 16
    return np.where(glint < 4, 7 + glint % 4, 1 + y * 4 // job.lines + 0 * x)


def posts(keys: Keys, job: Job, y: np.ndarray, x: np.ndarray) -> np.ndarray:
    """Posts with a lamp on top, 128 pixels apart."""
    at = x % 128
    post = (at >= keys.size // 3) & (at < keys.size // 3 + 4) & (y > 12)
    lamp = (np.abs(at - keys.size // 3 - 1) + np.abs(y - 8)) < 6
    return np.where(lamp, 7 + np.minimum(y // 4, 3), np.where(post, 1 + (at + y // 3) % 4, 0))


def disc(keys: Keys, job: Job, y: np.ndarray, x: np.ndarray) -> np.ndarray:
    """A round lamp in the middle of the plane."""
    body = place_body(keys, job)
    far = (x - body.x) ** 2 + (y + job.top - body.y) ** 2
    return np.where(far < body.radius**2, 8 + (far < body.radius**2 / 2), 0)


def place_body(keys: Keys, job: Job) -> Body | None:
    """The disc, where this layer draws one."""
    if keys.kind != "disc":
        return None
    return Body(job.width / 2, job.top + job.lines / 2, job.lines / 2 - 1)


def paint(keys: Keys, job: Job) -> Painting:
    """One kind of scenery, a share of its inks as many as the job's ramps have."""
    y, x = np.mgrid[: job.lines, : job.width]
    draw = {"bands": bands, "hills": hills, "floor": floor, "posts": posts, "disc": disc}
    ink = draw[keys.kind](keys, job, y, x)
    round_, lines = keys.kind == "disc", job.lines
    return Painting(
        ink.astype(np.uint16),
        (RampUse("stone", 6), RampUse("lamp", 4)),
        guard=ink > 8 if keys.kind == "posts" else None,
        shape=ink > 0 if round_ else None,
        whole=(("disc", 1, lines - 1),) if round_ else (),
    )


PAINTER = Painter("scenery", "Scenery.", Keys, RAMPS, paint, body=place_body)

SHORE = """
title = "A shore"
seed = 5
[machine]
merge = "fast"
screen = [256, 224]
plane_cells = [32, 32]
[preview]
frames = 6
[scene]
haze = "#b6b6db"
[[layer]]
paint = "scenery"
kind = "bands"
name = "sky"
lines = [0, 112]
[[layer]]
paint = "scenery"
name = "cape"
plane = "front"
lines = [40, 112]
distance = 6
guard = true
[[layer]]
paint = "scenery"
kind = "floor"
name = "strait"
lines = [112, 224]
distance = [6, 1.5]
drift = 0.25
"""
SUN = '[[layer]]\npaint = "scenery"\nkind = "disc"\nname = "sun"\nlines = [8, 72]\ndistance = 90\n'
POSTS = """
[[layer]]
paint = "scenery"
kind = "posts"
name = "posts"
plane = "sprites"
lines = [72, 168]
distance = 0.8
drift = 0.3
"""
NIGHT = '[mood.night]\ntint = "#4949b6"\namount = 0.8\ncolours.posts.lamp = ["#ffffff"]\n'
MIRROR = '[reflection]\nline = 112\nplane = "back"\ntint = "#4992b6"\namount = 0.6\nripple = 2.0\n'
SPLITS = "".join(
    f'[[split]]\nline = {line}\ntint = "#{red:02x}4960"\namount = 0.7\n'
    for line, red in ((24, 64), (60, 128), (100, 192), (180, 255))
)
CYCLE = '[[cycle]]\nlayer = "strait"\nramp = "lamp"\nframes = 2\n'
FADE = '[fade]\nto = "night"\nframes = 4\nhold = 2\n'
FLICKER = """
[[layer]]
paint = "scenery"
kind = "disc"
name = "blink"
plane = "front"
lines = [0, 224]
colours.lamp = ["#000000", "#000000", "#ffffff", "#ffffff"]
[[cycle]]
layer = "blink"
ramp = "lamp"
first = 1
last = 2
frames = 4
"""
