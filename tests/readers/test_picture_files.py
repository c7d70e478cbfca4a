"""Picture files of an export against decoders that share no code with the package."""

from __future__ import annotations

import io
import sys
from fractions import Fraction
from pathlib import Path

import imageio.v3 as imageio
import numpy as np
import picture_reader as reader
import png as pypng
import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "write"))
from small_backdrops import random_backdrop, random_preview, random_splits, random_words

from genbg.colour import LINEAR_LEVELS, lab_steps, screen_table
from genbg.model import Split
from genbg.screen.film import Film, make_film
from genbg.write import apng, gif, stills
from genbg.write.gif import fit_frame
from genbg.write.play import changed_lines, delays, played_frames


def dice(seed: int) -> np.random.Generator:
    return np.random.Generator(np.random.PCG64(seed))


def moving(fps: Fraction = Fraction(60), returns: bool = True, frames: int = 5, **given):
    """A backdrop whose preview has `frames` frames."""
    preview = random_preview(dice(2), frames, 224, fps=fps, returns=returns)
    return random_backdrop(1, preview=preview, **given)


def preview_png(backdrop) -> tuple[bytes, Film]:
    film = make_film(backdrop)
    ((path, data),) = apng.files(backdrop, film)
    assert path == "preview.png"
    return data, film


def preview_gif(backdrop) -> tuple[bytes, Film]:
    film = make_film(backdrop)
    ((path, data),) = gif.files(backdrop, film)
    assert path == "preview.gif"
    return data, film


MANY_COLOURS = tuple(
    Split(line, 0, {"home": random_words(dice(line), (64,))}) for line in range(20, 220, 20)
)
SOME_COLOURS = random_splits(dice(4), [60])


def test_chunk_order_and_sequence_numbers() -> None:
    """acTL stands before IDAT, each frame has its fcTL, sequence numbers count up from 0."""
    png = reader.read_png(preview_png(moving())[0])
    frame = [b"fcTL", b"fdAT"]
    assert png.kinds == [b"IHDR", b"acTL", b"PLTE", b"fcTL", b"IDAT", *frame * 7, b"IEND"]
    assert png.sequence == list(range(15))
    assert (png.frame_count, png.plays) == (8, 0)


def test_the_first_frame_covers_the_screen() -> None:
    """The default image is the first frame, as large as the header says; no frame is disposed of.

    The specification, clause 11.3.4, wants that of a first fcTL that stands before IDAT.
    """
    png = reader.read_png(preview_png(moving())[0])
    first = png.frames[0]
    assert (first.width, first.height, first.x, first.y) == (320, 224, 0, 0)
    assert {(frame.dispose, frame.blend) for frame in png.frames} == {(0, 0)}


def still_but(lines: dict[int, list[int]]):
    """A backdrop of four frames that stands still but for some lines, moved in some frames."""
    scroll = np.zeros((4, 224, 2), dtype=np.uint16)
    for frame, moved in lines.items():
        scroll[frame, moved] = 9
    return random_backdrop(3, preview=random_preview(dice(0), 4, 224, scroll=scroll))


def test_lines_that_stay_are_left_out() -> None:
    """Frame 1 differs from 0 in line 50 and from 2 in line 90; frame 3 differs from 2 in neither.

    Played 0 1 2 3 2 1, so frame 1 holds lines 50 to 90, frame 2 line 90 alone and frame 3 one line.
    """
    backdrop = still_but({1: [50], 2: [50, 90], 3: [50, 90]})
    data, film = preview_png(backdrop)
    bands = changed_lines(film.pixels, played_frames(backdrop.preview))
    assert bands == [(0, 224), (50, 91), (90, 91), (0, 1)]
    png = reader.read_png(data)
    shown = [(frame.y, frame.y + frame.height) for frame in png.frames]
    assert shown == [bands[number] for number in (0, 1, 2, 3, 2, 1)]
    same_frames(png, film, [0, 1, 2, 3, 2, 1])
    frames = imageio.imread(io.BytesIO(preview_gif(backdrop)[0]), extension=".gif", mode="RGB")
    for frame, number in zip(frames, [0, 1, 2, 3, 2, 1], strict=True):
        assert np.array_equal(frame, film.rgb(number))


def same_frames(png: reader.Png, film: Film, order: list[int]) -> None:
    """The APNG shows the film's frames in that order."""
    for lines, number in zip(reader.played_lines(png), order, strict=True):
        assert np.array_equal([reader.rgb_line(png, line) for line in lines], film.rgb(number))


@pytest.mark.parametrize("splits", [(), SOME_COLOURS, MANY_COLOURS])
def test_apng_frames_are_the_films(splits) -> None:
    """Every frame, there and back, decodes to the pixels that were drawn."""
    data, film = preview_png(moving(splits=splits, frames=3))
    same_frames(reader.read_png(data), film, [0, 1, 2, 1])


def test_palette_is_the_machines_own() -> None:
    """Where colours stay, pixels are entries and the palette is the 64 words, doubles and all."""
    backdrop = moving(palettes={"home": np.zeros(64, dtype=np.uint16)})
    png = reader.read_png(preview_png(backdrop)[0])
    assert png.palette == [(0, 0, 0)] * 64


def test_few_and_many_colours() -> None:
    """Up to 256 colours are indexed, more are true colour; the cases above are one of each."""
    assert make_film(moving()).palette is not None
    assert make_film(moving(splits=SOME_COLOURS)).palette is not None
    many = make_film(moving(splits=MANY_COLOURS))
    assert many.palette is None
    assert len(np.unique(many.pixels)) > 256


def test_other_decoders_read_the_apng() -> None:
    """imageio sees all the frames; pypng, which reads stills, sees the first with its entries."""
    data, film = preview_png(moving())
    frames = imageio.imread(io.BytesIO(data), plugin="pillow", extension=".png", mode="RGB")
    order = [0, 1, 2, 3, 4, 3, 2, 1]
    assert len(frames) == len(order)
    for frame, number in zip(frames, order, strict=True):
        assert np.array_equal(frame, film.rgb(number))
    width, height, rows, about = pypng.Reader(bytes=data).read()
    assert (width, height, len(about["palette"])) == (320, 224, 64)
    assert np.array_equal(np.array([list(row) for row in rows]), film.pixels[0])


def test_equal_frames_stay_in_the_file() -> None:
    """A camera that stands still makes equal frames, and each of them is there."""
    scroll = np.zeros((6, 224, 2), dtype=np.uint16)
    preview = random_preview(dice(0), 6, 224, scroll=scroll, returns=False)
    backdrop = random_backdrop(3, preview=preview)
    assert len(reader.read_png(preview_png(backdrop)[0]).frames) == 6
    found = reader.gif_blocks(preview_gif(backdrop)[0])
    assert (found["images"], len(found["delays"])) == (6, 6)


@pytest.mark.parametrize(
    ("fps", "first"),
    [
        (Fraction(60), [17, 17, 16, 17, 17, 16]),
        (Fraction(50), [20] * 6),
        (Fraction(30), [34, 33, 33, 34, 33, 33]),
        (Fraction(1), [1000] * 6),
    ],
)
def test_apng_delays_are_whole_milliseconds(fps: Fraction, first: list[int]) -> None:
    """Delays are whole milliseconds and their error is carried on."""
    png = reader.read_png(preview_png(moving(fps=fps))[0])
    assert [frame.delay for frame in png.frames[:6]] == [(ms, 1000) for ms in first]


@pytest.mark.parametrize("fps", [Fraction(60), Fraction(1498, 25), Fraction(497, 10), Fraction(7)])
def test_delays_never_drift(fps: Fraction) -> None:
    """After any number of frames the time shown is the exact time, less than one unit late."""
    times = delays(1000, fps, 1000)
    for count in (1, 2, 3, 10, 999, 1000):
        assert 0 <= sum(times[:count]) - Fraction(1000 * count) / fps < 1


@pytest.mark.parametrize(
    ("fps", "first"),
    [
        (Fraction(60), [2] * 6),
        (Fraction(50), [2] * 6),
        (Fraction(497, 10), [3, 2, 2, 2, 2, 2]),
        (Fraction(30), [4, 3, 3, 4, 3, 3]),
        (Fraction(25), [4] * 6),
    ],
)
def test_gif_delays(fps: Fraction, first: list[int]) -> None:
    """GIF frames last two hundredths of a second or longer; the picture repeats for ever."""
    found = reader.gif_blocks(preview_gif(moving(fps=fps))[0])
    assert found["delays"][:6] == first
    assert min(found["delays"]) >= 2
    assert found == {**found, "size": (320, 224), "images": 8, "loop": 0}


@pytest.mark.parametrize("splits", [(), SOME_COLOURS])
def test_gif_frames_are_the_films(splits) -> None:
    """With up to 256 colours a GIF frame decodes to the pixels that were drawn."""
    data, film = preview_gif(moving(splits=splits, frames=3))
    frames = imageio.imread(io.BytesIO(data), plugin="pillow", extension=".gif", mode="RGB")
    assert len(frames) == 4
    for frame, number in zip(frames, [0, 1, 2, 1], strict=True):
        assert np.array_equal(frame, film.rgb(number))


def test_gif_of_many_colours_keeps_the_most_frequent() -> None:
    """Past 256 colours each frame has its own 256 most frequent, and shows them exactly."""
    data, film = preview_gif(moving(splits=MANY_COLOURS, frames=2, returns=False))
    frames = imageio.imread(io.BytesIO(data), plugin="pillow", extension=".gif", mode="RGB")
    for number, frame in enumerate(frames):
        kept, pixels = fit_frame(film.pixels[number], film.levels)
        assert len(kept) <= 256
        assert np.array_equal(frame, screen_table(film.levels)[kept[pixels]])


def test_colours_that_go_become_the_nearest() -> None:
    """257 colours: the rarest becomes the nearest other in OKLab, the rest stay as they are."""
    number = np.repeat(np.arange(257), 2)[:513]
    colours, pixels = fit_frame(number[None], LINEAR_LEVELS)
    assert colours.tolist() == list(range(256))
    shown = colours[pixels[0]]
    assert np.array_equal(shown[:512], number[:512])
    steps = lab_steps(LINEAR_LEVELS).astype(np.int64)
    gaps = ((steps[:256] - steps[256]) ** 2).sum(axis=1)
    assert gaps[shown[512]] == gaps.min()


def test_frames_play_there_and_back() -> None:
    """A preview that returns plays 0..F-1 and then F-2..1; one that loops plays 0..F-1."""
    assert played_frames(moving(frames=5).preview) == [0, 1, 2, 3, 4, 3, 2, 1]
    assert played_frames(moving(frames=5, returns=False).preview) == [0, 1, 2, 3, 4]
    assert played_frames(moving(frames=1).preview) == [0]
    assert played_frames(moving(frames=2).preview) == [0, 1]


@pytest.mark.parametrize("splits", [(), SOME_COLOURS, MANY_COLOURS])
def test_still_is_the_first_frame(splits) -> None:
    """still.png is frame 0, and pypng reads the same pixels."""
    backdrop = moving(splits=splits)
    film = make_film(backdrop)
    ((path, data),) = stills.files(make_film(backdrop, 1))
    assert path == "still.png"
    _, _, rows, _ = pypng.Reader(bytes=data).asRGB8()
    assert np.array_equal(np.array([list(row) for row in rows]).reshape(224, 320, 3), film.rgb(0))


def test_same_bytes_twice() -> None:
    """Two runs write the same bytes, though threads share the work."""
    assert preview_png(moving())[0] == preview_png(moving())[0]
    assert preview_gif(moving())[0] == preview_gif(moving())[0]


def test_measured_levels_are_shown() -> None:
    """Pictures use the machine's screen levels."""
    from genbg.hardware.profile import LADDERS, Machine

    words = np.full(64, 0x0EEE, dtype=np.uint16) - np.arange(64, dtype=np.uint16) % 8 * 2
    backdrop = moving(
        palettes={"home": words},
        machine=Machine(levels=LADDERS["measured"]),
    )
    png = reader.read_png(preview_png(backdrop)[0])
    assert [colour[0] for colour in png.palette[:8]] == list(reversed(LADDERS["measured"]))
