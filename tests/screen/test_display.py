"""Small cases worked out by hand, one for each thing that the display knows.

Facts of the machine: common practice, no source.
"""

from __future__ import annotations

import numpy as np
import pytest
from small_backdrops import random_backdrop, random_preview, random_splits, random_words

from genbg.hardware.map_word import pack_map
from genbg.hardware.profile import Machine
from genbg.hardware.sprite_entry import Sprites, pack_sprites
from genbg.model import Backdrop, Split
from genbg.screen import display
from genbg.screen.display import draw_frame, draw_frames, line_palettes, load_screen

SOLID = np.repeat(np.arange(16, dtype=np.uint8), 64).reshape(16, 8, 8)
"""Tile n is entry n all over; tile 0 is see-through."""

LOW_BACK, LOW_FRONT, PRIORITY_BACK, PRIORITY_FRONT, LOW_SPRITE, PRIORITY_SPRITE = 1, 2, 3, 4, 5, 6


def cells(numbers: dict[tuple[int, int], int], row: int = 0, priority: bool = False, **flips):
    """Map words (32, 64) with tiles at some (row, column) cells, see-through elsewhere."""
    number = np.zeros((32, 64), dtype=np.int64)
    for place, tile in numbers.items():
        number[place] = tile
    return pack_map(
        number, row, flips.get("hflip", 0), flips.get("vflip", 0), (number > 0) & priority
    )


def sprite_table(*sprites: dict) -> np.ndarray:
    """Entries (n, 8) of sprites 8 pixels wide and high unless said, linked one after another."""
    usual = {
        "x": 0,
        "y": 0,
        "width": 1,
        "height": 1,
        "number": 1,
        "row": 0,
        "hflip": 0,
        "vflip": 0,
        "priority": 0,
    }
    rows = [{**usual, **sprite} for sprite in sprites]
    links = [*range(1, len(rows)), 0]
    parts = {name: np.array([row[name] for row in rows]) for name in usual}
    masks = parts["x"] == -128
    parts["x"] = np.where(masks, 0, parts["x"])
    entries = pack_sprites(Sprites(**parts, link=np.array(links)))
    entries[masks, 6:] = 0
    return entries


def backdrop(front=None, back=None, scroll=None, **given) -> Backdrop:
    """A backdrop of the solid tiles that stands still unless `scroll` (L, 2) is given."""
    words = np.zeros((1, 224, 2), dtype=np.uint16)
    if scroll is not None:
        words[0] = scroll
    dice = np.random.Generator(np.random.PCG64(0))
    extra = given.pop("preview", {})
    return random_backdrop(
        0,
        count=16,
        **{
            "pixels": SOLID,
            "maps": np.stack([cells({}) if one is None else one for one in (front, back)]),
            "preview": random_preview(dice, 1, 224, scroll=words, **extra),
            **given,
        },
    )


def draw(**given) -> np.ndarray:
    """The first frame's entries of a backdrop."""
    return draw_frame(load_screen(backdrop(**given)), 0)


def test_nothing_shows_the_backdrop_entry() -> None:
    """Where all is see-through the backdrop colour's entry shows, whichever of the 64 it is."""
    assert (draw() == 0).all()
    assert (draw(backdrop_entry=63) == 63).all()


def test_entry_zero_of_any_row_is_see_through() -> None:
    """Tile pixels of entry 0 show the plane behind, under every palette row."""
    picture = draw(front=cells({}, row=3), back=cells({(0, 0): 7}, row=2))
    assert picture[0, 0] == 2 * 16 + 7
    assert picture[0, 8] == 0


@pytest.mark.parametrize(
    ("front_priority", "back_priority", "sprite_priority", "seen"),
    [
        # back to front: back low, front low, sprite low, back high, front high, sprite high
        (False, False, False, LOW_SPRITE),
        (False, True, False, PRIORITY_BACK),
        (True, False, False, PRIORITY_FRONT),
        (True, True, False, PRIORITY_FRONT),
        (False, False, True, PRIORITY_SPRITE),
        (False, True, True, PRIORITY_SPRITE),
        (True, False, True, PRIORITY_SPRITE),
        (True, True, True, PRIORITY_SPRITE),
    ],
)
def test_order_of_drawing(front_priority, back_priority, sprite_priority, seen) -> None:
    """Of three pixels on one place the one later in the machine's order is seen."""
    given = {
        "front": cells(
            {(0, 0): PRIORITY_FRONT if front_priority else LOW_FRONT}, priority=front_priority
        ),
        "back": cells(
            {(0, 0): PRIORITY_BACK if back_priority else LOW_BACK}, priority=back_priority
        ),
    }
    number = PRIORITY_SPRITE if sprite_priority else LOW_SPRITE
    sprite = {"number": number, "priority": sprite_priority}
    assert draw(**given, table=sprite_table(sprite))[0, 0] == seen


@pytest.mark.parametrize(
    ("front_priority", "back_priority", "seen"),
    [
        (False, False, LOW_FRONT),
        (False, True, PRIORITY_BACK),
        (True, False, PRIORITY_FRONT),
        (True, True, PRIORITY_FRONT),
    ],
)
def test_planes_trade_places_by_priority(front_priority, back_priority, seen) -> None:
    """A high back cell stands before a low front cell, else the front plane is in front."""
    picture = draw(
        front=cells(
            {(0, 0): PRIORITY_FRONT if front_priority else LOW_FRONT}, priority=front_priority
        ),
        back=cells({(0, 0): PRIORITY_BACK if back_priority else LOW_BACK}, priority=back_priority),
    )
    assert picture[0, 0] == seen


def test_a_see_through_high_pixel_hides_nothing() -> None:
    """Priority belongs to pixels that show: a high cell's entry 0 lets the low front be seen."""
    empty_priority = pack_map(np.zeros((32, 64), dtype=np.int64), 0, 0, 0, 1)
    assert draw(front=cells({(0, 0): 2}), back=empty_priority)[0, 0] == 2


@pytest.mark.parametrize(("hflip", "vflip"), [(0, 0), (1, 0), (0, 1), (1, 1)])
def test_flips(hflip: int, vflip: int) -> None:
    """A tile with one pixel at its upper left shows it in the corner that the flips say."""
    corner = np.zeros((2, 8, 8), dtype=np.uint8)
    corner[1, 0, 0] = 9
    words = cells({(1, 2): 1}, hflip=hflip, vflip=vflip)
    picture = draw(pixels=corner, back=words)
    assert np.argwhere(picture == 9).tolist() == [[8 + 7 * vflip, 16 + 7 * hflip]]


def test_a_larger_scroll_word_moves_right_and_wraps() -> None:
    """Line 0 moves right by 3; line 1 by 1023, which is left by 1; the plane is 512 wide."""
    scroll = np.zeros((224, 2), dtype=np.uint16)
    scroll[0], scroll[1] = 3, 1023
    picture = draw(back=cells({(0, 0): 5}), scroll=scroll)
    assert np.flatnonzero(picture[0]).tolist() == list(range(3, 11))
    assert np.flatnonzero(picture[1]).tolist() == list(range(7))
    assert np.flatnonzero(picture[2]).tolist() == list(range(8))
    assert np.flatnonzero(draw(back=cells({(0, 63): 5}), scroll=scroll)[0]).tolist() == [0, 1, 2]


def test_planes_scroll_apart() -> None:
    """Of a pair of scroll words the first moves the front plane, the second the back plane."""
    scroll = np.tile(np.array([8, 16], dtype=np.uint16), (224, 1))
    picture = draw(front=cells({(0, 0): 2}), back=cells({(0, 0): 1}), scroll=scroll)
    assert picture[0, ::8][:4].tolist() == [0, 2, 1, 0]


@pytest.mark.parametrize(("mode", "source"), [("line", 13), ("strip", 8), ("plane", 0)])
def test_scroll_modes(mode: str, source: int) -> None:
    """Line 13 moves as line 13, as its strip's first line 8, or as line 0 of the table says."""
    scroll = np.arange(224, dtype=np.uint16)[:, None].repeat(2, axis=1)
    picture = draw(back=cells({(1, 0): 5}), scroll=scroll, machine=Machine(scroll=mode))
    assert np.flatnonzero(picture[13])[0] == source


def test_vertical_scroll_moves_up() -> None:
    """A larger vertical word moves the picture up; the plane of 256 lines wraps."""
    vscroll = np.full((1, 20, 2), 8, dtype=np.uint16)
    picture = draw(back=cells({(1, 0): 5, (0, 3): 6}), preview={"vscroll": vscroll})
    assert picture[0, 0] == 5
    assert (picture[:, 24] == 0).all(), "row 0 is at line 248 now, below the screen"
    vscroll = np.full((1, 20, 2), 256 - 8, dtype=np.uint16)
    picture = draw(back=cells({(0, 3): 6}), preview={"vscroll": vscroll})
    assert np.flatnonzero(picture[:, 24]).tolist() == list(range(8, 16))


def test_columns_scroll_apart() -> None:
    """Column 1 (pixels 16 to 31) moves up by 8, the others stay."""
    vscroll = np.zeros((1, 20, 2), dtype=np.uint16)
    vscroll[0, 1, 1] = 8
    full = cells({(1, column): 5 for column in range(64)})
    picture = draw(back=full, preview={"vscroll": vscroll})
    assert np.flatnonzero(picture[0]).tolist() == list(range(16, 32))
    assert np.flatnonzero(picture[8] == 0).tolist() == list(range(16, 32))


def test_columns_start_at_the_planes_own_multiples_of_16() -> None:
    """Moved right by 5, column 1 is at pixels 21 to 36, and the part at the left goes with 0."""
    vscroll = np.zeros((1, 20, 2), dtype=np.uint16)
    vscroll[0, 1, 1] = 8
    full = cells({(1, column): 5 for column in range(64)})
    scroll = np.full((224, 2), 5, dtype=np.uint16)
    picture = draw(back=full, scroll=scroll, preview={"vscroll": vscroll})
    assert np.flatnonzero(picture[0]).tolist() == list(range(21, 37))


def test_window_hides_the_front_plane() -> None:
    """On the window's lines the back plane shows where the front plane would cover it."""
    whole = {(row, column): 2 for row in range(32) for column in range(64)}
    picture = draw(front=cells(whole), back=cells({(1, 0): 1}), window=(8, 16))
    assert (picture[7] == 2).all()
    assert (picture[16] == 2).all()
    assert (picture[8:16, :8] == 1).all()
    assert (picture[8:16, 8:] == 0).all()


def test_splits_rewrite_from_their_line_on() -> None:
    """Colour memory of a zone is what was there before with the rewritten entries replaced."""
    new = np.array([0x0EEE, 0x0222], dtype=np.uint16)
    given = backdrop(splits=(Split(100, 2, {"home": new}), Split(50, 3, {"home": new[:1]})))
    starts, words = line_palettes(given, 0)
    assert starts.tolist() == [0, 50, 100]
    assert np.array_equal(words[0], given.palette)
    assert words[1, 3] == 0x0EEE
    assert words[2, 2:4].tolist() == [0x0EEE, 0x0222]
    assert np.array_equal(np.delete(words[2], [2, 3]), np.delete(given.palette, [2, 3]))


def test_splits_of_one_line_are_one_zone() -> None:
    """Two rewrites of a line both hold from it; one past the screen is never seen."""
    dice = np.random.Generator(np.random.PCG64(3))
    given = backdrop(splits=random_splits(dice, [40, 40, 224]))
    assert line_palettes(given, 0)[0].tolist() == [0, 40]


def test_colours_of_each_frame() -> None:
    """Where colours move, frame n is shown in the n-th colour memory of the preview."""
    dice = np.random.Generator(np.random.PCG64(3))
    words = random_words(dice, (2, 64))
    scroll = np.zeros((2, 224, 2), dtype=np.uint16)
    given = random_backdrop(0, preview=random_preview(dice, 2, 224, scroll=scroll, palette=words))
    assert np.array_equal(line_palettes(given, 1)[1], words[1:])


def test_sprite_place_and_cell_order() -> None:
    """Cells of a 2 x 2 sprite use tiles down the first column, then down the second."""
    picture = draw(table=sprite_table({"x": 4, "y": 2, "width": 2, "height": 2, "number": 1}))
    assert picture[2, 4] == 1
    assert picture[10, 4] == 2
    assert picture[2, 12] == 3
    assert picture[17, 19] == 4
    assert np.argwhere(picture).min(axis=0).tolist() == [2, 4]
    assert np.argwhere(picture).max(axis=0).tolist() == [17, 19]


def test_sprite_flips_take_cells_along() -> None:
    """A flipped sprite is mirrored as a whole, not cell by cell."""
    picture = draw(table=sprite_table({"width": 2, "height": 2, "number": 1, "hflip": 1}))
    assert picture[:16:8, :16:8].tolist() == [[3, 1], [4, 2]]
    picture = draw(table=sprite_table({"width": 2, "height": 2, "number": 1, "vflip": 1}))
    assert picture[:16:8, :16:8].tolist() == [[2, 4], [1, 3]]


def test_first_sprite_of_the_list_is_in_front() -> None:
    """Links give the order, not the place in the table; earlier ones are in front."""
    table = sprite_table({"number": 1}, {"number": 2}, {"number": 3})
    table[:, 3] = [2, 0, 1]
    table[0, 1] = 128 + 50
    assert draw(table=table)[0, 0] == 3


def test_a_low_sprite_in_front_hides_a_high_one() -> None:
    """Among sprites the list decides; the front one's own priority is what planes see."""
    table = sprite_table({"number": 1, "priority": 0}, {"number": 2, "priority": 1})
    assert draw(table=table, back=cells({(0, 0): 3}, priority=True))[0, 0] == 3


def test_sprites_cut_by_the_screen() -> None:
    """Parts of sprites beside the screen are not drawn and do not wrap."""
    picture = draw(
        table=sprite_table({"x": -4, "y": -4}, {"x": 316, "y": 220, "number": 2}, {"x": 380})
    )
    assert np.argwhere(picture == 1).max(axis=0).tolist() == [3, 3]
    assert np.argwhere(picture == 2).min(axis=0).tolist() == [220, 316]
    assert np.count_nonzero(picture) == 32


def test_twenty_sprites_on_a_line() -> None:
    """Of 21 sprites on a line the last is not drawn there; on its other lines it is."""
    row = [{"x": 8 * n, "number": 1} for n in range(20)]
    picture = draw(table=sprite_table(*row, {"x": 200, "y": 4, "number": 2}))
    assert np.flatnonzero((picture == 2).any(axis=1)).tolist() == [8, 9, 10, 11]


def test_320_sprite_pixels_on_a_line() -> None:
    """Ten sprites of 32 pixels use a line up, also beside the screen; the eleventh is dropped."""
    wide = [{"x": -32, "width": 4} for _ in range(9)]
    last = {"x": 100, "width": 4, "number": 2}
    assert (draw(table=sprite_table(*wide, last))[0, 100:132] > 0).all()
    assert (draw(table=sprite_table(*wide, wide[0], last)) == 0).all()
    cut = draw(table=sprite_table(*wide, {"x": -32, "width": 1}, last))
    assert (cut[0, 100:124] > 0).all()
    assert (cut[0, 124:] == 0).all(), "the sprite that crosses the limit is cut there"


def test_limits_are_fields_of_the_machine() -> None:
    """A board that shows 3 sprites on a screen shows 3, one that shows 2 on a line shows 2."""
    table = sprite_table(*[{"x": 16 * n, "number": n + 1} for n in range(5)])
    three = draw(table=table, machine=Machine(sprites_screen=3))
    assert np.unique(three[0]).tolist() == [0, 1, 2, 3]
    two = draw(table=table, machine=Machine(sprites_line=2))
    assert np.unique(two[0]).tolist() == [0, 1, 2]


def test_position_word_zero_masks_the_rest_of_its_lines() -> None:
    """Sprites after the mask are not drawn on the lines that it covers, those before it are."""
    table = sprite_table(
        {"x": 0, "height": 2}, {"x": -128, "height": 1}, {"x": 40, "height": 2, "number": 3}
    )
    picture = draw(table=table)
    assert (picture[:8, 40] == 0).all()
    assert (picture[8:16, 40] > 0).all()
    assert (picture[:16, 0] > 0).all()


def test_frames_at_once_are_frames_one_by_one() -> None:
    """The quick path, many frames in one call, gives what each frame alone gives."""
    given = random_backdrop(4, frames=display.FRAMES_AT_ONCE + 3)
    screen = load_screen(given)
    together = np.concatenate(list(display.iter_frames(screen)))
    assert together.shape == (given.preview.frames, 224, 320)
    for frame in range(given.preview.frames):
        assert np.array_equal(together[frame], draw_frame(screen, frame))


@pytest.mark.parametrize("seed", range(4))
def test_quick_path_equals_the_plain_one(seed: int) -> None:
    """Gathered rows and the greater code give what pixel-by-pixel rules give."""
    given = random_backdrop(seed, frames=2, machine=Machine(plane_cells=(32, 64)))
    quick = draw_frames(load_screen(given), 0, 2)
    for frame in range(2):
        assert np.array_equal(quick[frame], plain_frame(given, frame))


def plain_frame(given: Backdrop, frame: int) -> np.ndarray:
    """The planes by masks, layer over layer, without codes, ranks or runs of bytes."""
    picture = np.full((224, 320), given.colours.backdrop_entry, dtype=np.uint8)
    y, x = np.mgrid[:224, :320]
    layers = []
    for plane, words in ((1, given.maps[1]), (0, given.maps[0])):
        R, C = words.shape
        px = (x - given.preview.scroll[frame, :, plane].astype(int)[:, None]) % (C * 8)
        word = words[y % (R * 8) // 8, px // 8].astype(int)
        ty = np.where(word & 0x1000, 7 - y % 8, y % 8)
        tx = np.where(word & 0x0800, 7 - px % 8, px % 8)
        entry = given.tiles.pixels[word & 0x7FF, ty, tx]
        layers.append((word >> 15, entry, (word >> 13 & 3) * 16 + entry))
    for wanted in (0, 1):
        for priority, entry, colour in layers:
            seen = (priority == wanted) & (entry > 0)
            picture[seen] = colour[seen]
    return picture
