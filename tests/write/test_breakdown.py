"""breakdown.png, breakdown.apng and breakdown.mp4: parts alone, the scanned line, its colours."""

from __future__ import annotations

import dataclasses
import io
import string
from fractions import Fraction

import imageio.v3 as imageio
import numpy as np
import pytest
from sample import make_backdrop
from small_backdrops import random_backdrop

from genbg.colour import screen_table
from genbg.errors import GenbgError
from genbg.hardware.colour_word import word_to_number
from genbg.model import BACK, FRONT, Border, Fading, Figures
from genbg.screen.display import line_palettes, load_screen
from genbg.screen.film import make_film
from genbg.write import breakdown, clip, video
from genbg.write.alone import ALL, SPRITES, coloured, part_entries
from genbg.write.captions import HOW_TO_READ, cost_rows, cut_text, speed_caption
from genbg.write.costs import all_costs
from genbg.write.labels import write as write_label
from genbg.write.lettering import HEIGHT, letters, text_mask
from genbg.write.line_speeds import RULE, arrow_lines, marks, ratio_text, speed_bars
from genbg.write.moving import motion_rows
from genbg.write.scanned import ROW_NUMBER_PX, ROW_PX, SWATCH_PX


@pytest.fixture(scope="module")
def whole():
    """A backdrop with everything that only some have."""
    return make_backdrop(full=True)


@pytest.fixture(scope="module")
def film(whole):
    """The clip of that backdrop."""
    return clip.clip_film(whole)


def test_parts_alone_make_up_the_whole(whole) -> None:
    """Each pixel of the whole frame is one of the parts' pixels there; of none: the backdrop."""
    screen = load_screen(whole)
    for frame in range(whole.preview.frames):
        parts = np.stack([part_entries(screen, part, frame) for part in (FRONT, BACK, SPRITES)])
        together = part_entries(screen, ALL, frame)
        clear = (parts < 0).all(axis=0)
        assert (together[clear] == whole.colours.backdrop_entry).all()
        assert (parts == together).any(axis=0)[~clear].all()


def test_a_part_shows_the_colours_of_the_preview(whole) -> None:
    """All parts together, coloured, are the preview's frame."""
    screen, film = load_screen(whole), make_film(whole)
    table = screen_table(film.levels)
    for frame in range(whole.preview.frames):
        picture = coloured(screen, part_entries(screen, ALL, frame), frame)
        assert np.array_equal(table[picture], film.rgb(frame))


def test_the_clip_shows_the_preview_beside_its_scanned_line(whole, film) -> None:
    """A second decoder finds the preview's frame in the pictures of all parts together."""
    ((path, data),) = clip.files(film)
    assert path == "breakdown.apng"
    shown = imageio.imread(io.BytesIO(data), extension=".png", mode="RGB", index=...)
    shots = clip.plan_shots(whole)
    assert len(shown) == len(shots) == 4 * clip.FRAMES_A_PART
    preview = make_film(whole)
    width, lines = whole.machine.screen
    for picture, shot in list(zip(shown, shots, strict=True))[-clip.FRAMES_A_PART :: 5]:
        y, x = clip.EDGE_PX + clip.HEAD_PX, clip.EDGE_PX
        seen = np.array(picture[y : y + lines, x : x + width])
        wanted = preview.rgb(shot.frame).copy()
        seen[shot.line] = wanted[shot.line] = 0
        assert np.array_equal(seen, wanted)


def test_the_scanned_line_goes_down_once_a_part(whole) -> None:
    """Lines rise from 0 within each part, and time goes on from part to part."""
    shots = clip.plan_shots(whole)
    assert [shot.part for shot in shots[:: clip.FRAMES_A_PART]] == [BACK, FRONT, SPRITES, ALL]
    for first in range(0, len(shots), clip.FRAMES_A_PART):
        lines = [shot.line for shot in shots[first : first + clip.FRAMES_A_PART]]
        assert lines[0] == 0
        assert lines == sorted(set(lines))
    assert len({shot.frame for shot in shots}) > 1


def test_swatches_are_the_memory_at_the_scanned_line(whole, film) -> None:
    """The middle of each swatch has the colour that the splits left in memory at that line."""
    shots = clip.plan_shots(whole)
    table = screen_table(film.levels)
    lines = whole.machine.screen[1]
    top = clip.EDGE_PX + clip.HEAD_PX + lines + clip.UNDER_PX - 4 * ROW_PX
    for number in range(0, len(shots), 7):
        shot = shots[number]
        starts, words = line_palettes(whole, shot.frame)
        memory = words[(starts <= shot.line).sum() - 1]
        picture = film.rgb(number)
        for entry, colour in enumerate(table[word_to_number(memory)]):
            y = top + entry // 16 * ROW_PX + SWATCH_PX // 2
            x = clip.EDGE_PX + ROW_NUMBER_PX + entry % 16 * ROW_PX + SWATCH_PX // 2
            assert (picture[y, x] == colour).all()


@pytest.mark.parametrize("full", [False, True])
def test_the_picture_can_be_decoded_and_is_the_same_each_time(full) -> None:
    """breakdown.png of backdrops with and without sprites, twice."""
    backdrop = make_backdrop(full=full)
    ((path, data),) = breakdown.files(backdrop)
    assert path == "breakdown.png"
    assert imageio.imread(io.BytesIO(data), extension=".png").ndim >= 2
    assert [data] == [again for _, again in breakdown.files(make_backdrop(full=full))]


def test_the_smallest_screens_have_room() -> None:
    """A backdrop of few lines is drawn without an error."""
    backdrop = random_backdrop(5)
    assert list(breakdown.files(backdrop))
    assert len(clip.clip_film(backdrop).pixels) >= 3 * clip.FRAMES_A_PART


def test_bars_are_as_long_as_lines_are_fast() -> None:
    """Twice the ratio, twice the bar; the fastest line of all fills the room."""
    backdrop = make_backdrop()
    ratio = np.zeros_like(backdrop.moves.speeds.ratio)
    ratio[100:, BACK], ratio[150:, BACK] = 1 << 15, 1 << 16
    backdrop.moves.speeds.ratio[:] = ratio
    picture = speed_bars(backdrop, (BACK,))
    long = (picture[:, :60] == RULE).sum(axis=1)
    assert long[60] == 0
    assert np.max(long[100:150]) == 30
    assert np.max(long[150:]) == 60


def test_every_long_run_of_one_speed_has_an_arrow() -> None:
    """Runs of 20 lines get one each; a slope gets some."""
    runs = np.repeat([0, 5, 9], 20)
    chosen = arrow_lines(runs)
    assert {line // 20 for line in chosen} == {0, 1, 2}
    assert len(arrow_lines(np.arange(100))) > 3


def test_costs_are_the_backdrops_own_figures(whole) -> None:
    """Stored tiles, budget and bytes stand in the captions."""
    texts = dict(cost_rows(whole))
    assert f"{len(whole.tiles.pixels)} stored" in texts["Patterns"]
    assert f"{whole.tiles.budget} allowed" in texts["Patterns"]
    assert speed_caption(whole, ALL).startswith("camera 2.5 pixels")


def test_the_board_and_the_table_of_costs_say_the_same(whole) -> None:
    """Bytes of a frame and splits are those of the table; a split of many lines is one split."""
    costs = {cost.name: cost.used for cost in all_costs(whole)}
    texts = dict(cost_rows(whole))
    assert texts["Each frame"].startswith(f"{costs['transfer of a frame']} bytes")
    borders = (Border(96, 9, 94, 98, 3, 7), Border(160, 1, 160, 160, 0, 0))
    splits = tuple(
        dataclasses.replace(whole.colours.splits[0], line=line)
        for line in (94, 95, 96, 97, 98, 160)
    )
    backdrop = dataclasses.replace(
        whole,
        colours=dataclasses.replace(whole.colours, splits=splits),
        proof=dataclasses.replace(whole.proof, figures=Figures(splits=borders)),
    )
    costs = {cost.name: cost.used for cost in all_costs(backdrop)}
    assert costs["splits of a frame"] == 2
    assert dict(cost_rows(backdrop))["Rewrites"].startswith("2 splits, ")
    words = [word for _, _, word in marks(backdrop, (FRONT, BACK)) if "split" in word]
    assert words == ["split", "split"]


def test_a_ratio_is_written_one_way() -> None:
    """One part in a whole number is a fraction, as distances are told; all else three digits."""
    said = {
        65536 // 24: "1/24",
        65536 // 3: "1/3",
        65536: "1",
        0: "0",
        43691: "0.667",
        -32768: "-0.5",
    }
    assert {ratio: ratio_text(ratio) for ratio in said} == said


def test_every_board_says_how_it_is_read_and_what_moves(whole, monkeypatch) -> None:
    """With sprites or without, with few tiles or many; what moves up and down is told."""
    texts = written(monkeypatch, whole)
    assert set(HOW_TO_READ) <= texts
    assert "What moves" in texts
    assert any(text.startswith("camera down") and "front 1" in text for text in texts)
    still = make_backdrop()
    assert not still.has_sprites
    texts = written(monkeypatch, still)
    assert set(HOW_TO_READ) <= texts
    assert not any("camera down" in text for text in texts)


def test_a_fade_is_told(whole) -> None:
    """The mood that colours go to, the frames of the way, and the period."""
    figures = Figures(fade=Fading("dusk", 40, 10))
    faded = dataclasses.replace(whole, proof=dataclasses.replace(whole.proof, figures=figures))
    told = dict(motion_rows(faded))["Colours"]
    assert "fade to dusk in 40 frames, and back" in told


def written(monkeypatch, backdrop) -> set[str]:
    """The texts that a board has in it."""
    texts: set[str] = set()

    def keep(picture, x, y, text, *rest):
        texts.add(text)
        return write_label(picture, x, y, text, *rest)

    monkeypatch.setattr(breakdown, "write", keep)
    breakdown.board(load_screen(backdrop))
    return texts


def test_every_ascii_sign_that_captions_use_has_a_letter() -> None:
    """Letters and digits are all there, all different, none higher than a line."""
    table = letters()
    signs = string.ascii_letters + string.digits + ".,:;-+/()%!?'\""
    assert set(signs) <= set(table)
    shapes = {table[sign].tobytes() + bytes(table[sign].shape) for sign in signs}
    assert len(shapes) == len(signs)
    assert {len(mask) for mask in table.values()} == {HEIGHT}


def test_marked_letters_and_strange_ones() -> None:
    """Marks are left out; what has no letter is a question mark."""
    assert np.array_equal(text_mask("é"), text_mask("e"))
    assert np.array_equal(text_mask("灯"), text_mask("?"))


def test_long_texts_are_cut_with_dots() -> None:
    """A cut text fits the width and ends in dots; a short one stays."""
    assert cut_text("short", 200) == "short"
    cut = cut_text("a long list of layers, one after another", 100)
    assert cut.endswith("...")
    assert text_mask(cut).shape[1] <= 100


def test_the_video_has_every_pixel_of_the_clip(need, film) -> None:
    """Decoded again, each frame equals the clip's, enlarged; 12 frames a second."""
    av = need.module("av")
    ((path, data),) = video.files(film)
    assert path == "breakdown.mp4"
    with av.open(io.BytesIO(data)) as container:
        stream = container.streams.video[0]
        frames = [frame.to_ndarray(format="rgb24") for frame in container.decode(stream)]
        assert stream.average_rate == Fraction(12)
    assert len(frames) == len(film.pixels)
    for number in range(0, len(frames), 9):
        large = film.rgb(number).repeat(video.SCALE, axis=0).repeat(video.SCALE, axis=1)
        assert np.array_equal(frames[number], large)


def test_a_missing_encoder_is_one_clear_error(monkeypatch) -> None:
    """Without PyAV the error names the extra that brings it."""
    monkeypatch.setitem(__import__("sys").modules, "av", None)
    with pytest.raises(GenbgError, match=r"pip install 'genbg\[video\]'"):
        video.need_encoder()
