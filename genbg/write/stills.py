"""still.png: the first preview frame."""

from __future__ import annotations

from collections.abc import Iterator

from genbg.screen.film import Film
from genbg.write.png import indexed_png, truecolour_png


def files(film: Film) -> Iterator[tuple[str, bytes]]:
    """Yield still.png, indexed where 256 colours will do."""
    yield "still.png", frame_png(film, 0)


def frame_png(film: Film, frame: int) -> bytes:
    """Return one frame of a film as a PNG file."""
    if film.palette is None:
        return truecolour_png(film.rgb(frame))
    return indexed_png(film.pixels[frame], film.palette)
