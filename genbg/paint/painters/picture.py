"""The picture painter: the user's own art, taken pixel for pixel.

Colours go to the nearest of the 512; alpha below one half is see-through, and soft alpha is told.
The scene's haze is left out unless the layer asks for it. Three sizes are right:
  as large as the plane       the rows of the layer's lines are used, so one file can hold many
                              layers, each in its place
  plane width x layer lines   the layer as it is
  a divisor of the plane's width x layer lines: repeated side by side
"""

from __future__ import annotations

import dataclasses
import stat
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

import numpy as np

from genbg.colour import snap_srgb
from genbg.errors import Fault, PresetError
from genbg.images import NotAPictureError, picture_size, read_picture
from genbg.keys import MISSING, key
from genbg.model import Painting, RampUse
from genbg.paint.contract import Job, Painter, Ramp

OPAQUE = 255
OPAQUE_FROM = 128
"""Alpha bytes from here on are opaque: 127 of 255 lies below one half."""


@dataclass(frozen=True)
class Keys:
    """What a preset says about the user's own art."""

    file: str = key(
        MISSING, "path", "The picture, relative to the preset's folder and never outside."
    )


RAMPS: tuple[Ramp, ...] = ()


def paint(keys: Keys, job: Job) -> Painting:
    """Return the user's picture in inks of its own colours, sorted by colour number.

    Raises PresetError where the file is missing, lies outside the preset's folder, is no picture,
    or has a size that does not fit; a wrong size is refused before anything is unpacked.
    """
    path = find_picture(job)
    try:
        size = picture_size(path)
        check_size(job, size)
        pixels = read_picture(path, size)
    except NotAPictureError as error:
        _refuse(job, str(error))
    except OSError as error:
        _refuse(job, f"can't be read: {error.strerror or error}")
    if size == (job.width, job.plane_height):
        pixels = pixels[job.top : job.bottom]
    notes = alpha_notes(keys.file, pixels[..., 3])
    pixels = np.tile(pixels, (1, job.width // size[0], 1))
    return dataclasses.replace(ink_picture(pixels, job.levels), notes=notes)


def alpha_notes(name: str, alpha: np.ndarray) -> tuple[str, ...]:
    """What is lost of soft alpha (N, W), which the machine does not know; () where none is."""
    soft = (alpha > 0) & (alpha < OPAQUE)
    if not soft.any():
        return ()
    kept = int((soft & (alpha >= OPAQUE_FROM)).sum())
    whole = int(soft.sum())
    return (
        f"{whole} pixel{'s' * (whole != 1)} of {name} {'is' if whole == 1 else 'are'} half "
        f"see-through, which the machine does not know: {kept} became opaque, {whole - kept} "
        f"see-through",
    )


def ink_picture(pixels: np.ndarray, levels: tuple[int, ...]) -> Painting:
    """The painting of sRGB and alpha bytes (N, W, 4)."""
    opaque = pixels[..., 3] >= OPAQUE_FROM
    # Colours under see-through pixels are never looked at: editors leave rubbish there.
    number = snap_srgb(np.where(opaque[..., None], pixels[..., :3], 0), levels)
    used = np.unique(number[opaque])
    ink = np.where(opaque, np.searchsorted(used, number) + 1, 0).astype(np.uint16)
    if not used.size:
        return Painting(ink, ())
    return Painting(ink, (RampUse("picture", len(used), tuple(used.tolist())),))


def find_picture(job: Job) -> Path:
    """Path of the picture, links resolved, inside the preset's folder and a regular file."""
    name = job.params.file
    folder = (job.folder or Path()).resolve()
    if Path(name).is_absolute():
        _refuse(job, "must be relative to the preset's folder")
    try:
        path = (folder / name).resolve()
        if not path.is_relative_to(folder):
            _refuse(job, "leads out of the preset's folder; art must lie in it")
        mode = path.stat().st_mode
    except FileNotFoundError:
        _refuse(job, f"no such file in {folder}", _nearest(folder, name))
    except (OSError, ValueError, RuntimeError) as error:
        # ValueError: a zero byte in the name; RuntimeError: links in a circle (Python 3.11, 3.12)
        _refuse(job, f"can't be read: {getattr(error, 'strerror', None) or error}")
    if not stat.S_ISREG(mode):
        _refuse(job, "is not a file")
    return path


def check_size(job: Job, size: tuple[int, int]) -> None:
    """Raises PresetError unless a picture of this size can fill the layer."""
    width, height = size
    fills = width > 0 and job.width % width == 0 and height == job.lines
    if fills or size == (job.width, job.plane_height):
        return
    _refuse(
        job,
        f"is {width}x{height} pixels; right are {job.width}x{job.plane_height} (the plane), "
        f"{job.width}x{job.lines} (the layer's lines), or {job.lines} high and a width that "
        f"divides {job.width}, which repeats",
    )


def _nearest(folder: Path, name: str) -> str | None:
    from genbg.keys import nearest_name

    try:
        names = sorted(entry.name for entry in (folder / name).parent.iterdir())
    except OSError:
        return None
    found = nearest_name(Path(name).name, names)
    return str(Path(name).with_name(found)) if found else None


def _refuse(job: Job, says: str, nearest: str | None = None) -> NoReturn:
    raise PresetError(Fault("", "file", f'"{job.params.file}"', says, nearest))


PAINTER = Painter(
    name="picture",
    about="Your own art, with alpha: as large as the plane, as the layer's lines, or a strip.",
    params=Keys,
    ramps=RAMPS,
    paint=paint,
    thrift=0.0,
    haze=0.0,
)
