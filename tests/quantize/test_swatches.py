"""Sprites in the palette fit: one row for a sprite, shares kept, zones respected."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.colour import lab_steps
from genbg.model import CutSprites, InkColours, PlanePicture
from genbg.quantize.fit import fit_palette
from genbg.quantize.swatches import add_swatches, filled_cells, rooms_of, swatch_inks, take_swatches

LEVELS = (0, 36, 73, 109, 146, 182, 219, 255)


def sprites_of(*pictures, zones=None) -> CutSprites:
    count = len(pictures)
    flags = np.zeros(count, dtype=bool)
    return CutSprites(
        layer=np.zeros(count, dtype=np.int64),
        x=np.zeros(count, dtype=np.int64),
        y=np.zeros(count, dtype=np.int64),
        picture=np.arange(count),
        hflip=flags,
        vflip=flags,
        priority=flags,
        pictures=tuple(np.asarray(picture, dtype=np.uint16) for picture in pictures),
        zones=zones or (0,) * count,
    )


def plane(ink) -> PlanePicture:
    ink = np.asarray(ink, dtype=np.uint16)
    shape = ink.shape[0] // 8, ink.shape[1] // 8
    return PlanePicture(ink, np.zeros(ink.shape, bool), np.zeros(shape, bool))


def inks_of(count: int) -> InkColours:
    return InkColours(
        ("home",), np.arange(0, 8 * count + 8, 8, dtype=np.uint16)[None, : count + 1] % 512
    )


def test_every_ink_has_a_pixel():
    """1000 pixels of ink 1 and one of ink 7 share 64: 63 and 1."""
    picture = np.ones((32, 32), dtype=np.uint16)
    picture[0, 0] = 7
    picture[1] = 0
    inks = swatch_inks(picture)
    assert len(inks) == 64
    assert np.bincount(inks)[[1, 7]].tolist() == [63, 1]


def test_more_than_64_inks_keep_the_commonest():
    """Of 70 inks the 64 commonest have a pixel each."""
    picture = np.zeros((32, 32), dtype=np.uint16)
    picture.flat[:70] = np.arange(1, 71)
    picture.flat[70:76] = np.arange(65, 71)
    inks = swatch_inks(picture)
    assert sorted(inks.tolist()) == [*range(1, 59), *range(65, 71)]


def test_cells_that_show_nothing_do_not_count():
    """A picture of four cells with one empty counts three times."""
    picture = np.zeros((16, 16), dtype=np.uint16)
    picture[0, 0] = picture[9, 0] = picture[15, 15] = 1
    assert filled_cells(picture) == 3


def test_a_sprite_has_one_row_and_its_own_colours():
    """Fitted with planes that use 45 other inks, each sprite of 15 is shown exactly in one row."""
    inks = inks_of(60)
    back = np.zeros((32, 256), dtype=np.uint16)
    for n in range(45):
        row, column = divmod(n // 15 * 8 + n % 15 // 2, 32)
        back[row * 8 : row * 8 + 8, column * 8 : column * 8 + 4 + 4 * (n % 2)] = n + 1
    picture = np.zeros((32, 32), dtype=np.uint16)
    picture[:, :30] = np.arange(46, 61).repeat(2)
    sprites = sprites_of(picture)
    front, wide, swatches = add_swatches(plane(np.zeros_like(back)), plane(back), sprites)
    fitted = fit_palette(front, wide, inks, LEVELS)
    lab = lab_steps(LEVELS)[inks.colours[0]]
    pictures, rows = take_swatches(fitted, swatches, sprites, lab)
    assert fitted.exact
    assert (fitted.palette[0, rows[0]][pictures[0]] == picture).all()


def test_inks_past_the_swatch_take_the_nearest_entry():
    """An ink that found no place in the swatch is shown by the entry of the likest one there."""
    picture = np.zeros((32, 32), dtype=np.uint16)
    picture.flat[:65] = np.arange(1, 66)
    picture.flat[65:129] = np.arange(1, 65)
    sprites, inks = sprites_of(picture), inks_of(70)
    empty = np.zeros((32, 256))
    front, back, swatches = add_swatches(plane(empty), plane(empty), sprites)
    fitted = fit_palette(front, back, inks, LEVELS)
    lab = lab_steps(LEVELS)[inks.colours[0]].astype(int)
    pictures, _ = take_swatches(fitted, swatches, sprites, lab)
    gap = ((lab[1:65] - lab[65]) ** 2).sum(axis=1)
    nearest = int(gap.argmin())
    assert pictures[0].flat[64] == pictures[0].flat[nearest]


def test_swatches_stand_on_lines_of_their_zone():
    """A picture of the lower zone is fitted with the lower zone's colours only."""
    picture = np.ones((8, 8), dtype=np.uint16)
    sprites = sprites_of(picture, picture * 2, zones=(0, 1))
    empty = plane(np.zeros((64, 256)))
    front, _, swatches = add_swatches(empty, empty, sprites, ((0, 20), (20, 64)))
    assert swatches.line.tolist() == [0, 24]
    assert swatches.column.tolist() == [256, 256]
    assert np.unique(front.ink[:20, 256:]).tolist() == [0, 1]
    assert np.unique(front.ink[20:, 256:]).tolist() == [0, 2]


@pytest.mark.parametrize(
    ("top", "bottom", "room"),
    [
        (0, 20, [(0, 8), (8, 16)]),
        (20, 30, [(24, 30)]),
        (21, 31, [(24, 31)]),
        (18, 26, [(18, 24)]),
        (3, 6, [(3, 6)]),
        (7, 9, [(7, 8)]),
        (8, 16, [(8, 16)]),
    ],
)
def test_room_in_a_zone(top, bottom, room):
    """Whole rows of cells where there are any, else the larger part of a cut one."""
    assert rooms_of(top, bottom) == room


def test_a_zone_of_three_lines_still_fits_its_sprites():
    """Between two splits three lines apart, swatches of three lines carry a sprite's 15 inks."""
    picture = np.zeros((8, 16), dtype=np.uint16)
    picture[:3, :15] = np.arange(1, 16)
    sprites, inks = sprites_of(picture, zones=(1,)), inks_of(20)
    empty, zones = plane(np.zeros((64, 256))), ((0, 20), (20, 23), (23, 64))
    front, back, swatches = add_swatches(empty, empty, sprites, zones)
    fitted = fit_palette(front, back, inks, LEVELS, zones)
    lab = lab_steps(LEVELS)[inks.colours[0]]
    pictures, rows = take_swatches(fitted, swatches, sprites, lab)
    assert (fitted.palette[1, rows[0]][pictures[0]] == picture).all()


def test_no_sprites_change_nothing():
    """Without sprites the planes stay as they are."""
    front = plane(np.ones((32, 256)))
    same, other, swatches = add_swatches(front, front, sprites_of())
    assert np.array_equal(same.ink, front.ink)
    assert np.array_equal(other.ink, front.ink)
    assert swatches.inks == ()
