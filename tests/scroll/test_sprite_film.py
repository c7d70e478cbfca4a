"""Sprite tables frame by frame, and what is said where a preset asks too much."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.hardware.profile import Machine
from genbg.hardware.sprite_entry import unpack_sprites
from genbg.model import PlacedSprites
from genbg.scroll.runs import runs_text
from genbg.scroll.sprite_tables import Reserve, SpriteMotion, film_sprites


def placed_at(places, width=4, height=4) -> PlacedSprites:
    """CutSprites of one size at (x, y)."""
    x, y = (np.array(part, dtype=np.int64) for part in zip(*places, strict=True))
    count = len(places)
    zeros = np.zeros(count, dtype=np.int32)
    return PlacedSprites(
        x=x,
        y=y,
        width=np.full(count, width),
        height=np.full(count, height),
        word=np.arange(count).astype(np.uint16),
        ratio=zeros,
        drift=zeros,
    )


def still(count: int, frames: int = 1, left=0, up=0, height=0) -> SpriteMotion:
    shape = (frames, count)
    return SpriteMotion(np.full(shape, left), np.full(shape, up), height)


def places_of(film, frame=0) -> list[tuple[int, int, int]]:
    """(tile, x, y) of a frame's sprites in the order of the table."""
    used = int(film.used[frame])
    sprites = unpack_sprites(film.tables[frame, :used])
    return list(zip(sprites.number.tolist(), sprites.x.tolist(), sprites.y.tolist(), strict=True))


def test_what_is_beside_the_screen_is_left_out():
    """Of four sprites of 32 pixels on a plane of 512, two reach into the screen of 320."""
    placed = placed_at([(0, 0), (319, 10), (320, 20), (481, 30), (480, 40)])
    film = film_sprites(placed, still(5), Machine(), Reserve())
    assert places_of(film) == [(0, 0, 0), (1, 319, 10), (3, -31, 30)]
    assert film.used.tolist() == [3]
    assert film.over == ()
    assert not film.tables[0, 3:].any()


def test_a_sprite_above_or_below_is_left_out():
    """Lines -31 and 223 show a line of a sprite of 32; -32 and 224 show none."""
    placed = placed_at([(0, 0)] * 4)
    motion = SpriteMotion(np.zeros((1, 4), int), np.array([[31, 32, -223, -224]]))
    film = film_sprites(placed, motion, Machine(), Reserve())
    assert places_of(film) == [(0, 0, -31), (2, 0, 223)]


def test_sprites_come_again_after_the_plane():
    """Moved left by 500 of 512, a sprite at column 20 stands at column 32."""
    film = film_sprites(placed_at([(20, 0)]), still(1, left=500), Machine(), Reserve())
    assert places_of(film) == [(0, 32, 0)]
    film = film_sprites(placed_at([(20, 5)]), still(1, up=250, height=256), Machine(), Reserve())
    assert places_of(film) == [(0, 20, 11)]


def test_a_plane_narrower_than_the_screen_shows_a_sprite_twice():
    """On a plane of 256 under a screen of 320, column 10 is seen at 10 and at 266."""
    machine = Machine(plane_cells=(32, 32))
    film = film_sprites(placed_at([(10, 0), (250, 8)]), still(2), machine, Reserve())
    assert places_of(film) == [(0, 10, 0), (0, 266, 0), (1, -6, 8), (1, 250, 8)]


def test_links_follow_the_order_of_the_pieces():
    """The nearest comes first; each links the next and the last links 0."""
    film = film_sprites(placed_at([(40, 0), (20, 0), (60, 0)]), still(3), Machine(), Reserve())
    sprites = unpack_sprites(film.tables[0, :3])
    assert sprites.number.tolist() == [0, 1, 2]
    assert sprites.link.tolist() == [1, 2, 0]


def rows_of(count: int, width=1, height=1, y=0, step=3):
    return placed_at([(3 + step * n, y) for n in range(count)], width, height)


@pytest.mark.parametrize("kept", [0, 10])
def test_the_screens_limit_by_one(kept):
    """80 sprites fit (common practice, no source), one more does not; less what the game keeps."""
    room = 80 - kept
    machine = Machine(sprites_line=20)
    many = placed_at([(3 * n, 10 * (n % 20)) for n in range(room + 1)], 1, 1)
    fits = PlacedSprites(*(part[:room] for part in vars(many).values()))
    assert film_sprites(fits, still(room), machine, Reserve(kept)).over == ()
    film = film_sprites(many, still(room + 1), machine, Reserve(kept))
    assert film.used.tolist() == [room]
    assert film.most[0] == room + 1
    less = f" (80 less {kept} for the game)" if kept else ""
    assert film.over[0] == (
        f"sprites: {room + 1} stand on the screen at once; {room} are allowed{less}; the farthest "
        "are left out in every frame of the preview"
    )


def test_the_lines_limit_by_one():
    """20 sprites of a line fit, 21 do not: the report names lines and frames, the table keeps all.

    Common practice, no source: the machine itself drops what is past the limit.
    """
    assert film_sprites(rows_of(20), still(20), Machine(), Reserve()).over == ()
    placed, motion = rows_of(21, y=100), still(21, frames=3)
    motion.up[1] = 300
    film = film_sprites(placed, motion, Machine(), Reserve())
    assert film.used.tolist() == [21, 0, 21]
    assert film.over == (
        "sprites: 21 on a line; 20 are allowed: lines 100 to 107, in frames 0 and 2; "
        "the machine does not draw the farthest there",
    )


def test_the_pixels_limit_by_one_column():
    """Ten sprites of 32 pixels fill a line of 320; another of 8 is 8 pixels too many."""
    ten = placed_at([(31 * n, 50) for n in range(10)], 4, 1)
    assert film_sprites(ten, still(10), Machine(), Reserve()).over == ()
    more = placed_at([(28 * n, 50) for n in range(11)], 4, 1)
    more.width[10] = 1
    film = film_sprites(more, still(11), Machine(), Reserve())
    assert film.most == (11, 11, 328)
    assert film.over == (
        "sprites: 328 pixels on a line; 320 pixels are allowed: lines 50 to 57, in every frame of "
        "the preview; the machine does not draw the farthest there",
    )


def test_within_the_machine_but_not_beside_the_game():
    """12 sprites of a line pass the machine; with 10 kept for the game they are 2 too many."""
    film = film_sprites(rows_of(12, y=8), still(12), Machine(), Reserve(line=10))
    assert film.over == (
        "sprites: 12 on a line; 10 are allowed (20 less 10 for the game): lines 8 to 15, in every "
        "frame of the preview; the machine draws them as long as the game shows none of its own",
    )


@pytest.mark.parametrize(
    ("places", "text"),
    [
        ([0], "0"),
        ([3, 4], "3 to 4"),
        ([0, 2, 3], "0 and 2 to 3"),
        ([0, 2, 4], "0, 2 and 4"),
        ([0, 2, 4, 6], "0, 2, 4 and 1 run more"),
        ([0, 2, 4, 6, 8], "0, 2, 4 and 2 runs more"),
    ],
)
def test_runs_in_words(places, text):
    """Runs are told with their first and last; past three the rest is counted."""
    wrong = np.zeros(10, dtype=bool)
    wrong[places] = True
    assert runs_text(wrong) == text
