"""The formats of an export, in the order in which they are written.

A format is a function that yields (path relative to DIR, bytes). Adding one is a file here and a
line in `FORMATS`; `folder.py` puts what they yield in place and writes the manifest last, which
lists every other file.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cached_property

from genbg.model import Backdrop
from genbg.screen.film import Film, make_film
from genbg.write import (
    apng,
    breakdown,
    cartridge,
    clip,
    engine,
    gif,
    machine_bytes,
    merging,
    player,
    sheet,
    source,
    stills,
    video,
)

Progress = Callable[[str, float], None]

File = tuple[str, bytes]
"""Path relative to DIR, with "/" between folders, and the bytes."""


@dataclass(frozen=True, eq=False)
class WriteJob:
    """What the formats are made from; frames are drawn when a format first asks for them.

    bare: True leaves the frames of moving PNGs unpacked, for those who compare pictures
    """

    backdrop: Backdrop
    bare: bool = False

    def level(self, usual: int) -> int:
        """zlib's level for moving PNGs."""
        return 0 if self.bare else usual

    @cached_property
    def first_frame(self) -> Film:
        return make_film(self.backdrop, 1)

    @cached_property
    def film(self) -> Film:
        return make_film(self.backdrop)

    @cached_property
    def clip(self) -> Film:
        return clip.clip_film(self.backdrop)


@dataclass(frozen=True)
class Format:
    """A format of the export.

    name, about: for people
    files: yields the format's files; may yield none
    moving: True where all frames are drawn, which `--no-preview` leaves out
    asked: True where it is written only with `--video`
    """

    name: str
    about: str
    files: Callable[[WriteJob], Iterator[File]]
    moving: bool = False
    asked: bool = False

    @property
    def effort(self) -> int:
        """Time that it takes, roughly, for the progress bar."""
        return 20 if self.moving else 1


FORMATS = (
    Format(
        "machine bytes",
        "what a console loads, big-endian, no header",
        lambda job: machine_bytes.files(job.backdrop),
    ),
    Format(
        "source",
        "the same data as GNU m68k assembler and as C",
        lambda job: source.files(job.backdrop),
    ),
    Format(
        "still",
        "first frame",
        lambda job: stills.files(job.first_frame),
    ),
    Format(
        "sheet",
        "all patterns, indexed",
        lambda job: sheet.files(job.backdrop),
    ),
    Format(
        "merging",
        "what merging changed, pixel by pixel, and what other budgets would cost",
        lambda job: merging.files(job.backdrop),
    ),
    Format(
        "engine layers",
        "one PNG a layer and how each moves, for any game engine",
        lambda job: engine.files(job.backdrop),
    ),
    Format(
        "player page",
        "one page that draws the backdrop from the machine's bytes, to look at it from all sides",
        lambda job: player.files(job.backdrop),
    ),
    Format(
        "breakdown",
        "the parts of the picture beside their speeds, for people who explain",
        lambda job: breakdown.files(job.backdrop),
    ),
    Format(
        "animated PNG",
        "the first frames of play, every colour and frame",
        lambda job: apng.files(job.backdrop, job.film, job.level(apng.FRAME_LEVEL)),
        moving=True,
    ),
    Format(
        "animated GIF",
        "the same at 50 frames a second or slower",
        lambda job: gif.files(job.backdrop, job.film),
        moving=True,
    ),
    Format(
        "cartridge image",
        "plays the preview on the machine",
        lambda job: cartridge.files(job.backdrop),
        moving=True,
    ),
    Format(
        "breakdown clip",
        "one part after another in motion, while a scanned line goes down",
        lambda job: clip.files(job.clip, job.level(clip.LEVEL)),
        moving=True,
    ),
    Format(
        "breakdown video",
        "the same as MP4, exact colours",
        lambda job: video.files(job.clip),
        moving=True,
        asked=True,
    ),
)


def export_files(
    backdrop: Backdrop,
    previews: bool = True,
    progress: Progress | None = None,
    video: bool = False,
    bare: bool = False,
) -> Iterator[File]:
    """Yield every file of an export but the manifest.

    previews: False leaves out the formats that draw all frames; video: True adds the MP4
    bare: True leaves the frames of moving PNGs unpacked, which is quick
    progress: told the format that comes next and the share of the work done, 0..1
    """
    job = WriteJob(backdrop, bare)
    wanted = [
        member for member in FORMATS if (video if member.asked else previews or not member.moving)
    ]
    whole = sum(member.effort for member in wanted)
    done = 0
    for member in wanted:
        if progress is not None:
            progress(f"write {member.name}", done / whole)
        yield from member.files(job)
        done += member.effort
