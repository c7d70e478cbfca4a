"""What the moving previews of every bundled preset cost, side by side with a picture library.

    python tests/benchmarks/previews.py

Prints, for each preset, the time to draw all frames; the time and size of preview.png beside the
library's own animated PNG, and of preview.gif beside its GIF, both writers given the same frames.
Ends with 1 where ours is slower than the library's at twice its size, or where drawing the frames
takes longer than compressing them.
"""

from __future__ import annotations

import io
import math
import sys
import time
from collections.abc import Callable
from typing import Any

from PIL import Image

import genbg
from genbg.reading.bundled import bundled_names
from genbg.screen.film import Film, make_film
from genbg.write import apng, gif
from genbg.write.play import played_frames

RUNS = 7


def best(*works: Callable[[], Any]) -> list[tuple[float, Any]]:
    """Shortest time of some runs, in seconds, and the result, of each of some works.

    The works take turns, so that what else the machine does falls on all of them.
    """
    found: list[tuple[float, Any]] = [(math.inf, None)] * len(works)
    for _ in range(RUNS):
        for place, work in enumerate(works):
            began = time.perf_counter()
            result = work()
            found[place] = min(found[place][0], time.perf_counter() - began), result
    return found


def library_file(film: Film, order: list[int], kind: str, **options: object) -> bytes:
    """The same frames by the picture library: indexed, one palette for all, nothing optimised."""
    palette = film.palette.tobytes()
    pictures = [Image.fromarray(film.pixels[frame]) for frame in order]
    for picture in pictures:
        picture.putpalette(palette)
    buffer = io.BytesIO()
    pictures[0].save(
        buffer, kind, save_all=True, append_images=pictures[1:], loop=0, optimize=False, **options
    )
    return buffer.getvalue()


def measure(name: str) -> bool:
    """Print a preset's line; True where all holds."""
    backdrop = genbg.build(genbg.load_preset(name))
    order = played_frames(backdrop.preview)
    [(drawing, film)] = best(lambda: make_film(backdrop))
    level = apng.FRAME_LEVEL
    ours, theirs, our_gif, their_gif = best(
        lambda: next(apng.files(backdrop, film))[1],
        lambda: library_file(film, order, "PNG", duration=17, compress_level=level),
        lambda: next(gif.files(backdrop, film))[1],
        lambda: library_file(film, order, "GIF", duration=20),
    )
    print(
        f"{name}: {len(order)} frames; drawn in {drawing * 1000:.0f} ms; "
        f"PNG {ours[0] * 1000:.0f} ms, {len(ours[1]) // 1000} kB "
        f"({ours[0] / theirs[0]:.2f} of the library's time, "
        f"{len(ours[1]) / len(theirs[1]):.2f} of its size); "
        f"GIF {our_gif[0] * 1000:.0f} ms, {len(our_gif[1]) // 1000} kB "
        f"({our_gif[0] / their_gif[0]:.2f}, {len(our_gif[1]) / len(their_gif[1]):.2f})"
    )
    return drawing < ours[0] and (
        ours[0] < theirs[0] and our_gif[0] < their_gif[0] and len(ours[1]) < 2 * len(theirs[1])
    )


def main() -> int:
    return int(not min([measure(name) for name in bundled_names()]))


if __name__ == "__main__":
    sys.exit(main())
