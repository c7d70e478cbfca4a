"""breakdown.mp4: the clip as a film for programs that cut films, without loss.

H.264 in RGB at constant quality 0, which keeps every pixel's colour; programs that show only
common films may not know it, and then breakdown.apng is the one to use. PyAV, the one encoder we
lean on, comes with the extra `video` and is imported here alone, when it is first needed. One
thread and no tags of time, so the same PyAV gives the same bytes; another one may pack the same
pixels otherwise.
"""

from __future__ import annotations

import io
from collections.abc import Iterator
from types import ModuleType

from genbg.errors import GenbgError
from genbg.screen.film import Film
from genbg.write.clip import FPS

NAME = "breakdown.mp4"
CODEC = "libx264rgb"
SCALE = 2
"""Pixels of the film to a pixel of the clip: letters stay sharp where a player smooths."""
OPTIONS = {"crf": "0", "preset": "fast", "threads": "1"}
EXACT = {"fflags": "+bitexact"}


def need_encoder() -> ModuleType:
    """Return PyAV; raises GenbgError where the extra is not installed or lacks the codec."""
    try:
        import av
    except ImportError as error:
        raise GenbgError("--video needs PyAV: pip install 'genbg[video]'") from error
    if CODEC not in av.codecs_available:
        raise GenbgError(f"--video needs a PyAV that has the encoder {CODEC}; another build has it")
    return av


def files(film: Film) -> Iterator[tuple[str, bytes]]:
    """Yield breakdown.mp4."""
    yield NAME, video_bytes(film)


def video_bytes(film: Film) -> bytes:
    """Return a film as MP4, every frame shown 1/FPS of a second."""
    av = need_encoder()
    buffer = io.BytesIO()
    _, height, width = film.pixels.shape
    with av.open(buffer, "w", format="mp4", options=EXACT) as container:
        stream = container.add_stream(CODEC, rate=FPS, options=OPTIONS)
        stream.width, stream.height, stream.pix_fmt = width * SCALE, height * SCALE, "rgb24"
        stream.codec_context.thread_count = 1
        for number in range(len(film.pixels)):
            large = film.rgb(number).repeat(SCALE, axis=0).repeat(SCALE, axis=1)
            frame = av.VideoFrame.from_ndarray(large, format="rgb24")
            frame.pts = number
            container.mux(stream.encode(frame))
        container.mux(stream.encode(None))
    return buffer.getvalue()
