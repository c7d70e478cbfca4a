"""Layers cut into sprites: nothing lost, nothing twice, shapes that repeat cut alike."""

from __future__ import annotations

import numpy as np
import pytest

from genbg.model import PaintedLayer
from genbg.model.zones import plan_zones
from genbg.planes.boxes import canonical, count_tiles, cut_boxes, flip
from genbg.planes.sprites import cut_sprites

PLAN = plan_zones(224, [])


def layer(ink, number=0, top=0, plane="sprites", **more) -> PaintedLayer:
    ink = np.asarray(ink, dtype=np.uint16)
    guard = np.zeros(ink.shape, dtype=bool)
    bottom, raised = top + len(ink), more.pop("priority", False)
    return PaintedLayer(f"layer-{number}", number, plane, top, bottom, raised, ink, guard, **more)


def put_back(sprites, height: int, width: int, number: int | None = None) -> np.ndarray:
    """The turned that sprites show at the start; a pixel that two show counts twice."""
    whole = np.zeros((height, width), dtype=np.int64)
    for n, picture in enumerate(sprites.picture.tolist()):
        if number is not None and sprites.layer[n] != number:
            continue
        turned = flip(sprites.pictures[picture], sprites.hflip[n], sprites.vflip[n])
        for (y, x), ink in np.ndenumerate(turned):
            line = int(sprites.y[n]) + y
            if ink:
                whole[line, (int(sprites.x[n]) + x) % width] += ink
    return whole


def scribble(seed: int, height: int, width: int) -> np.ndarray:
    """Strokes of inks, some of them over the right edge."""
    dice = np.random.Generator(np.random.PCG64(seed))
    ink = np.zeros((height, width), dtype=np.uint16)
    for _ in range(14):
        y, x, long = dice.integers(0, height), dice.integers(0, width), dice.integers(1, 50)
        color = dice.integers(1, 9)
        if dice.integers(2):
            ink[y, (x + np.arange(long)) % width] = color
        else:
            ink[y : y + long, x] = color
    return ink


@pytest.mark.parametrize("side", [8, 16, 24, 32])
@pytest.mark.parametrize("seed", range(4))
def test_pieces_show_the_layer_and_no_pixel_twice(seed, side):
    """Put back in their places, flips and all, the sprites are the layer; sizes are the machine's.

    Common practice, no source: a sprite is 8, 16, 24 or 32 pixels wide and high.
    """
    ink = scribble(seed, 96, 256)
    sprites = cut_sprites([layer(ink, top=40)], PLAN, side)
    assert (put_back(sprites, 224, 256)[40:136] == ink).all()
    assert (sprites.x >= 0).all()
    assert (sprites.x < 256).all()
    for picture in sprites.pictures:
        assert {*picture.shape} <= {8, 16, 24, 32}
        assert max(picture.shape) <= side
        assert picture.any()


def test_a_post_by_hand():
    """A post 4 pixels wide and 70 high takes three sprites of one cell's width, 9 cells in all."""
    ink = np.zeros((80, 256), dtype=np.uint16)
    ink[5:75, 100:104] = 3
    sprites = cut_sprites([layer(ink)], PLAN)
    assert len(sprites) == 3
    assert sprites.cells[:, 0].tolist() == [1, 1, 1]
    assert sprites.cells[:, 1].sum() == 9


def test_equal_and_mirrored_shapes_share_their_blocks():
    """A shape, its mirror image and the two upside down are one picture, turned."""
    shape = np.array([[1, 1, 0], [2, 0, 0], [3, 0, 0]])
    ink = np.zeros((64, 512), dtype=np.uint16)
    for n, (across, down) in enumerate([(0, 0), (1, 0), (0, 1), (1, 1), (0, 0)]):
        ink[20:23, 40 + 80 * n : 43 + 80 * n] = flip(shape, bool(across), bool(down))
    sprites = cut_sprites([layer(ink)], PLAN)
    assert len(sprites) == 5
    assert len(sprites.pictures) == 1
    assert (put_back(sprites, 64, 512) == ink).all()
    assert len({*zip(sprites.hflip.tolist(), sprites.vflip.tolist(), strict=True)}) == 4


def test_no_piece_crosses_a_split():
    """Colours change at line 100 and the order at 110: no sprite stands on both sides of a line."""
    ink = scribble(11, 60, 256)
    one = layer(ink, top=80, priority_lines=(110, 140))
    sprites = cut_sprites([one], plan_zones(224, [100]))
    assert (put_back(sprites, 224, 256)[80:140] == ink).all()
    for n, picture in enumerate(sprites.picture.tolist()):
        turned = flip(sprites.pictures[picture], sprites.hflip[n], sprites.vflip[n])
        lines = int(sprites.y[n]) + np.flatnonzero(turned.any(axis=1))
        for cut in (100, 110):
            assert lines[-1] < cut or lines[0] >= cut
        assert sprites.priority[n] == (lines[0] >= 110)
        assert sprites.zones[picture] == int(lines[0] >= 100)


def test_nearer_layers_come_first():
    """The last layer of the preset is the nearest, so its sprites lead; planes are passed over."""
    far, near = np.zeros((8, 256), np.uint16), np.zeros((8, 256), np.uint16)
    far[0, 10] = near[0, 200] = 1
    layers = [layer(far, 0), layer(far, 1, plane="front"), layer(near, 2, top=50, priority=True)]
    sprites = cut_sprites(layers, PLAN)
    assert sprites.layer.tolist() == [2, 0]
    assert sprites.y.tolist() == [50, 0]
    assert sprites.priority.tolist() == [True, False]


def test_no_sprites():
    """Without such layers there are no sprites and no pictures."""
    sprites = cut_sprites([layer(np.ones((8, 256)), plane="back")], PLAN)
    assert len(sprites) == 0
    assert sprites.pictures == ()
    assert sprites.cells.shape == (0, 2)


def test_boxes_are_shrunk_to_what_they_show():
    """Two squares are needed for a stroke of 40 pixels; together they take 5 cells, not 32."""
    ink = np.zeros((3, 40), dtype=np.uint16)
    ink[1] = 4
    boxes = cut_boxes(ink[1:2])
    assert len(boxes) == 2
    assert count_tiles(boxes)[1] == 5 * 64


def test_canonical_is_one_of_the_flips():
    """All four flips of a picture have one canonical picture, and know the way back."""
    dice = np.random.Generator(np.random.PCG64(1))
    picture = dice.integers(0, 5, (16, 24)).astype(np.uint16)
    found = set()
    for across in (False, True):
        for down in (False, True):
            turned = flip(picture, across, down)
            first, a, d = canonical(turned)
            assert (flip(first, a, d) == turned).all()
            found.add(first.tobytes())
    assert len(found) == 1
