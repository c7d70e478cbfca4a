"""Pictures in and out: the one place that imports Pillow.

A file is looked at in two steps, so that a few bytes can't ask for gigabytes: `picture_size` reads
the header alone, the caller decides whether that size is welcome, and `read_picture` unpacks only a
picture of exactly that size. PNG, GIF and BMP hold pixels exactly; JPEG and WebP are read for
photographs. Of an animation, the first frame.

Pillow is imported inside the functions, because it is slow to start.
"""

from __future__ import annotations

import contextlib
import io
import struct
import warnings
from collections.abc import Iterator
from fractions import Fraction
from pathlib import Path

import numpy as np

FORMATS = ("PNG", "GIF", "BMP", "JPEG", "WEBP")
NAMES = "PNG, GIF, BMP, JPEG and WebP"

ORIENTATION = 0x0112
"""The tag by which a camera says how it was held; Exif 2.32, 4.6.4."""
LYING = (5, 6, 7, 8)
"""Its values where width and height change places."""


PICTURE_FAULTS = (
    *(OSError, ValueError, SyntaxError, EOFError, struct.error),
    *(IndexError, KeyError, TypeError, RuntimeError),
)
"""What Pillow raises where a file's bytes make no sense."""


class NotAPictureError(Exception):
    """A file that is no picture we read, or a damaged one; the text says which."""


def picture_size(path: Path) -> tuple[int, int]:
    """Return width and height in pixels as the file's header states them; nothing is unpacked.

    A JPEG's are those of the picture as it is to be seen.

    Raises NotAPictureError where the file is none of `FORMATS` or says that it has more pixels
    than Pillow opens, OSError where it can't be read.
    """
    from PIL import Image, UnidentifiedImageError

    with path.open("rb") as file, damage_told():
        try:
            with Image.open(file, formats=FORMATS) as image:
                width, height = image.size
                lies = image.format == "JPEG" and image.getexif().get(ORIENTATION) in LYING
        except UnidentifiedImageError as error:
            raise NotAPictureError(f"is not a picture, or is damaged; {NAMES} are read") from error
        except Image.DecompressionBombError as error:
            most = 2 * (Image.MAX_IMAGE_PIXELS or 0)
            raise NotAPictureError(f"has more than {most} pixels") from error
    return (height, width) if lies else (width, height)


def read_picture(path: Path, size: tuple[int, int]) -> np.ndarray:
    """Return the picture as (height, width, 4) uint8 sRGB and alpha.

    size: (width, height) that `picture_size` told and the caller allowed. Embedded colour profiles
    are not applied: the bytes are taken as sRGB. Of 16 bits a channel the upper 8 are kept.

    A JPEG is turned as its camera was held. How the pixels of JPEG and of lossy WebP are worked
    out is the business of the libraries that come with Pillow.

    Raises NotAPictureError where the data is damaged or does not have that size.
    """
    from PIL import Image, ImageOps

    with damage_told(), Image.open(path, formats=FORMATS) as image:
        upright = ImageOps.exif_transpose(image) if image.format == "JPEG" else image
        _need_palette(image)
        if upright.size != size:
            raise NotAPictureError("is damaged: its size is told in two ways")
        if upright.mode.startswith("I"):
            return _deep_grey(upright)
        _widen_clear(upright, path)
        return np.asarray(upright.convert("RGBA"))


def _widen_clear(image, path: Path) -> None:  # type: ignore[no-untyped-def]
    """Bring the see-through grey of a PNG of 2 or 4 bits to 8, as Pillow brings its pixels.

    Source: W3C PNG Specification, Third Edition, 11.3.1.1 (tRNS) and 13.12 (sample depth).
    """
    with path.open("rb") as file:
        depth, colour_type = file.read(26)[24:26]
    if image.format == "PNG" and colour_type == 0 and depth in (2, 4):
        clear = image.info.get("transparency")
        if isinstance(clear, int):
            image.info["transparency"] = clear * (255 // ((1 << depth) - 1))


@contextlib.contextmanager
def damage_told() -> Iterator[None]:
    """Whatever Pillow meets in a damaged file becomes NotAPictureError; it warns of nothing."""
    from PIL import Image, UnidentifiedImageError

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            yield
    except UnidentifiedImageError as error:
        raise NotAPictureError("is damaged") from error
    except PICTURE_FAULTS as error:
        raise NotAPictureError(f"is damaged: {error}") from error
    except Image.DecompressionBombError as error:
        raise NotAPictureError("is damaged: its size is told in two ways") from error


def _need_palette(image) -> None:  # type: ignore[no-untyped-def]
    """Raise NotAPictureError where a picture of palette entries has no palette.

    The library would take shades of grey for it. Source: W3C PNG Specification, Third Edition,
    11.2.2: PLTE has to be there for colour type 3.
    """
    if image.format == "PNG" and image.mode == "P" and image.palette is None:
        raise NotAPictureError("is damaged: its pixels are entries of a palette that it lacks")


def _deep_grey(image) -> np.ndarray:  # type: ignore[no-untyped-def]
    """RGBA (height, width, 4) uint8 of a grey picture of 16 bits, which Pillow would clip."""
    grey = np.asarray(image).astype(np.int64)
    clear = image.info.get("transparency")
    alpha = np.where(grey == clear, 0, 255) if isinstance(clear, int) else np.full_like(grey, 255)
    byte = np.clip(grey >> 8, 0, 255)
    return np.stack([byte, byte, byte, alpha], axis=-1).astype(np.uint8)


def library_version() -> str:
    """Return the version of the library that packs GIFs and draws letters."""
    import PIL

    return PIL.__version__


def gif_head(size: tuple[int, int], palette: np.ndarray) -> bytes:
    """Return the start of a GIF that loops for ever: all that comes before its first frame.

    size: (width, height); palette: (P, 3) uint8 sRGB, 1 <= P <= 256, the global colour table, which
    is filled up with black to a power of two
    Source: GIF89a specification, 17 to 19; the looping extension is common practice, no source.
    """
    from PIL import Image

    picture = Image.new("P", size)
    picture.putpalette(np.ascontiguousarray(palette, dtype=np.uint8).tobytes())
    buffer = io.BytesIO()
    picture.save(buffer, "GIF", loop=0, optimize=False, interlace=False)
    data = buffer.getvalue()
    extension = 13 + 3 * (2 << (data[10] & 7))
    # introducer, label, 11 bytes of name, one block of 3 bytes, terminator
    return data[: extension + 2 + 12 + 4 + 1]


def gif_image_data(pixels: np.ndarray) -> bytes:
    """Return the image data of a GIF frame of pixels (H, W) uint8: code size, blocks, terminator.

    Lines are in order, not interlaced. Source: GIF89a specification, 22 and Appendix F.
    """
    from PIL import Image
    from PIL.GifImagePlugin import getdata

    descriptor_bytes = 10
    picture = Image.fromarray(np.ascontiguousarray(pixels, dtype=np.uint8))
    return b"".join(getdata(picture, interlace=False))[descriptor_bytes:]


def label_strip(
    lines: tuple[str, ...], size: tuple[int, int], paper: tuple[int, int, int]
) -> np.ndarray:
    """Return lines of text as a picture (height, width, 3) uint8 of the given (width, height).

    Text that is too long is cut at the right edge. The letters are those that come with Pillow.
    """
    from PIL import Image, ImageDraw, ImageFont

    image = Image.new("RGB", size, paper)
    draw = ImageDraw.Draw(image)
    height = size[1] // len(lines)
    font = ImageFont.load_default(size=height - 3)
    for number, line in enumerate(lines):
        draw.text((0, number * height), line, fill=(232, 232, 236), font=font)
    return np.asarray(image)


def read_animation(
    data: bytes, size: tuple[int, int], most: int
) -> Iterator[tuple[np.ndarray, Fraction]]:
    """Yield (pixels (height, width, 4) uint8 sRGB and alpha, seconds shown) of each frame.

    data: of a PNG or GIF; size: (width, height) that it must have; most: frames it may have. A
    picture that does not move yields one frame, shown for 0 seconds. Nothing is unpacked before
    its size is known.

    Raises NotAPictureError where it is no such picture or has another size or more frames.
    """
    with _opened(data, size) as image:
        count = getattr(image, "n_frames", 1)
        if count > most:
            raise NotAPictureError(f"has {count} frames; {most} are needed")
        for number in range(count):
            if count > 1:
                image.seek(number)
            pixels = np.asarray(image.convert("RGBA"))
            if pixels.shape != (size[1], size[0], 4):
                raise NotAPictureError(f"is damaged: frame {number} has another size")
            yield pixels, Fraction(image.info.get("duration", 0)) / 1000


def read_indexed(data: bytes, size: tuple[int, int]) -> tuple[np.ndarray, np.ndarray]:
    """Return an indexed PNG's pixels (height, width) uint8 and its palette (P, 3) uint8.

    Raises NotAPictureError where it is no such picture, has another size or true colours.
    """
    with _opened(data, size) as image:
        if image.mode != "P":
            raise NotAPictureError("has no palette; indexed colours are needed")
        pixels = np.asarray(image)
        palette = np.frombuffer(image.palette.palette, dtype=np.uint8)
        return pixels, palette[: len(palette) // 3 * 3].reshape(-1, 3)


@contextlib.contextmanager
def _opened(data: bytes, size: tuple[int, int]):  # type: ignore[no-untyped-def]
    """Open a PNG or GIF of a size; whatever Pillow meets in it becomes NotAPictureError."""
    from PIL import Image, UnidentifiedImageError

    try:
        with warnings.catch_warnings():
            warnings.simplefilter("ignore")
            warnings.simplefilter("error", Image.DecompressionBombWarning)
            with Image.open(io.BytesIO(data), formats=("PNG", "GIF")) as image:
                if image.size != size:
                    raise NotAPictureError(
                        f"is {image.size[0]}x{image.size[1]} pixels; {size[0]}x{size[1]} are needed"
                    )
                _need_palette(image)
                yield image
    except UnidentifiedImageError as error:
        raise NotAPictureError("is not a PNG or GIF, or is damaged") from error
    except (
        OSError,
        ValueError,
        SyntaxError,
        EOFError,
        struct.error,
        IndexError,
        KeyError,
    ) as error:
        raise NotAPictureError(f"is damaged: {error}") from error
    except (Image.DecompressionBombError, Image.DecompressionBombWarning) as error:
        raise NotAPictureError("is damaged: it is larger than it says") from error
