"""The memory plan, against the alignments of the machine and against trying every placement."""

import itertools
from types import SimpleNamespace

import numpy as np
import pytest

from genbg.errors import LimitError
from genbg.hardware.memory import plan_memory, tile_capacity
from genbg.hardware.profile import ONE_PLANE, Machine, machine_from

PLANES = [(c, r) for c in (32, 64, 128) for r in (32, 64, 128) if c * r <= 4096]


def machine(screen=(320, 224), plane_cells=(64, 32), **more):
    return machine_from(SimpleNamespace(screen=screen, plane_cells=plane_cells, **more))


@pytest.mark.parametrize("screen", [(320, 224), (256, 224), (320, 240)])
@pytest.mark.parametrize("plane_cells", PLANES)
@pytest.mark.parametrize("window", [False, True])
@pytest.mark.parametrize("sprites", [False, True])
def test_areas_are_aligned_and_apart(screen, plane_cells, window, sprites):
    """Maps at 8 KiB, window at 4 or 2 KiB, sprites at 1 KiB or 512, scroll table at 1 KiB.

    Common practice, no source. Nothing overlaps, nothing leaves the 64 KiB, and every area has
    the size of what it holds.
    """
    wide = screen[0] == 320
    plan = plan_memory(machine(screen, plane_cells), 100, window, sprites)
    align = {
        "front map": 8192,
        "back map": 8192,
        "window map": 4096 if wide else 2048,
        "sprite table": 1024 if wide else 512,
        "scroll table": 1024,
        "patterns": 32,
    }
    size = {
        "front map": plane_cells[0] * plane_cells[1] * 2,
        "back map": plane_cells[0] * plane_cells[1] * 2,
        "window map": 4096 if wide else 2048,
        "sprite table": (80 if wide else 64) * 8,
        "scroll table": screen[1] * 4,
        "patterns": 3200,
    }
    names = set(size)
    names -= set() if window else {"window map"}
    names -= set() if sprites else {"sprite table"}
    assert {area.name for area in plan.areas} == names
    for area in plan.areas:
        assert area.start % align[area.name] == 0, area
        assert area.size == size[area.name], area
    for lower, upper in itertools.pairwise(plan.areas):
        assert lower.end <= upper.start
    assert plan.areas[0].start >= 0
    assert plan.areas[-1].end <= 65536


@pytest.mark.parametrize("plane_cells", PLANES)
def test_a_full_plan_fits_and_one_more_does_not(plane_cells):
    """The capacity can be used to the last tile, in one piece from tile_base on."""
    full = machine(plane_cells=plane_cells)
    room = tile_capacity(full, True, True)
    plan = plan_memory(full, room, True, True)
    tiles = plan.area("patterns")
    assert plan.tiles_free == 0
    assert tiles.start == plan.tile_base * 32
    for area in plan.areas:
        assert area.name == "patterns" or area.end <= tiles.start or tiles.end <= area.start
    assert plan.tile_base + room <= 2048
    with pytest.raises(
        LimitError, match=f"{room * 32 + 32} bytes asked, {room * 32} bytes allowed"
    ):
        plan_memory(full, room + 1, True, True)


def longest_gap_by_force(sizes, aligns):
    """Length of the longest free piece over every placement of the areas, by trying all."""
    starts = np.zeros((1, 0), dtype=np.int64)
    for n, (size, align) in enumerate(zip(sizes, aligns, strict=True)):
        here = np.arange(0, 65536 - size + 1, align)
        starts = np.concatenate(
            [np.repeat(starts, len(here), axis=0), np.tile(here, len(starts))[:, None]], axis=1
        )
        for other in range(n):
            apart = (starts[:, n] + size <= starts[:, other]) | (
                starts[:, other] + sizes[other] <= starts[:, n]
            )
            starts = starts[apart]
    order = np.argsort(starts, axis=1)
    begins = np.take_along_axis(starts, order, axis=1)
    ends = begins + np.array(sizes)[order]
    edge = np.zeros((len(starts), 1), dtype=np.int64)
    frees = np.concatenate([edge, -(-ends // 32) * 32], axis=1)
    stops = np.concatenate([begins, edge + 65536], axis=1)
    return int((stops // 32 * 32 - frees).max())


@pytest.mark.parametrize(
    ("screen", "plane_cells", "window", "sprites"),
    [
        ((320, 224), (64, 32), False, True),
        ((320, 224), (64, 64), True, False),
        ((256, 224), (32, 32), True, False),
        ((320, 240), (32, 64), True, False),
        ((256, 224), (64, 32), False, True),
    ],
)
def test_no_placement_has_more_room(screen, plane_cells, window, sprites):
    """The plan's capacity is the best of all placements, found by trying every one."""
    size = plane_cells[0] * plane_cells[1] * 2
    sizes, aligns = [size, size, screen[1] * 4], [8192, 8192, 1024]
    wide = screen[0] == 320
    if window:
        sizes.append(4096 if wide else 2048)
        aligns.append(sizes[-1])
    if sprites:
        sizes.append(640 if wide else 512)
        aligns.append(1024 if wide else 512)
    found = tile_capacity(machine(screen, plane_cells), window, sprites)
    assert found * 32 == longest_gap_by_force(sizes, aligns)


def test_the_usual_machine_by_hand():
    """Two 4 KiB maps, window, tables: one map at each end leaves 51584 bytes between.

    By hand: the lower map takes 0000-0FFF and the sprite table 1000-127F after it; the upper map
    E000-EFFF, the window F000-FFFF, the scroll table DC00-DF7F. 1280 to DBFF is 51584 bytes, 1612
    tiles.
    """
    plan = plan_memory(machine(), 640, True, True)
    assert plan.capacity == (0xDC00 - 0x1280) // 32 == 1612
    assert plan.tile_base == 0x1280 // 32
    assert plan.tiles_free == 1612 - 640


def test_what_does_not_fit_is_told_by_bytes_and_cure():
    """The message says how much too much, and which changes are enough."""
    with pytest.raises(LimitError) as caught:
        plan_memory(machine(plane_cells=(64, 64)), 1400, True, True)
    text = str(caught.value)
    assert "video memory for patterns: 44800 bytes asked, 43392 bytes allowed" in text
    assert "1408 bytes do not fit beside the maps and tables" in text
    assert "set machine.tile_budget to 1356 or less" in text
    assert "do without the window" in text
    assert "set machine.plane_cells to [32, 64]" not in text
    assert "set machine.plane_cells to [64, 32]" in text


@pytest.mark.parametrize("tiles", [1485, 1500, 1600, 1700, 1900, 2048])
@pytest.mark.parametrize("window", [False, True])
def test_every_cure_that_is_offered_cures(tiles, window):
    """What the message proposes does fit when it is done."""
    tight = machine(plane_cells=(64, 64))
    with pytest.raises(LimitError) as caught:
        plan_memory(tight, tiles, window, True)
    text = str(caught.value)
    budget = int(text.split("set machine.tile_budget to ")[1].split()[0])
    assert plan_memory(tight, budget, window, True).tiles_free == 0
    if "do without the window" in text:
        assert plan_memory(tight, tiles, False, True).tiles_free >= 0
    if "do without sprites" in text:
        assert plan_memory(tight, tiles, window, False).tiles_free >= 0
    if "machine.plane_cells" in text:
        sides = text.split("plane_cells to [")[1].rstrip("]").split(", ")
        smaller = machine(plane_cells=tuple(map(int, sides)))
        assert plan_memory(smaller, tiles, window, True).tiles_free >= 0


@pytest.mark.parametrize("tiles", [-1, 2049])
def test_no_more_tiles_than_can_be_addressed(tiles):
    """2048 is the most that a map word can name. Common practice, no source."""
    with pytest.raises(LimitError, match=f"patterns: {tiles} patterns asked, 2048 .*use 0 to"):
        plan_memory(machine(), tiles, False, False)


def test_maps_alone_may_be_too_large():
    """Where not even the maps fit, that is said, not a search without end."""
    small = Machine(
        mode=ONE_PLANE.__class__(**{**vars(Machine().mode), "video_bytes": 8192}),
        plane_cells=(64, 64),
    )
    with pytest.raises(
        LimitError, match="video memory for maps and tables: 17280 bytes asked, 8192"
    ):
        plan_memory(small, 0, False, False)


def test_plans_without_an_area_say_so():
    """A plan has no window map where none was asked for."""
    with pytest.raises(KeyError, match="window map"):
        plan_memory(machine(), 1, False, False).area("window map")


def test_the_older_mode_can_be_planned():
    """16 KiB hold one map, the sprite table and 448 tiles. From memory, no source."""
    older = Machine(
        mode=ONE_PLANE,
        screen=(256, 192),
        plane_cells=(32, 28),
        levels=(0, 85, 170, 255),
        sprites_screen=64,
        sprites_line=8,
        sprite_pixels_line=64,
    )
    plan = plan_memory(older, 400, False, True)
    assert [area.name for area in plan.areas if area.name != "patterns"]
    assert plan.capacity == (16384 - 1792 - 256) // 32


def test_tiles_start_on_a_whole_tile():
    """After a table of odd length the tiles begin at the next multiple of 32 bytes.

    70 sprites take 560 bytes; with 64x64 maps the table lies at 0, so tiles begin at 576.
    """
    plan = plan_memory(machine(plane_cells=(64, 64), sprites_screen=70), 10, True, True)
    assert plan.area("sprite table").end == 560
    assert plan.area("patterns").start == 576
    assert plan.tile_base == 18
