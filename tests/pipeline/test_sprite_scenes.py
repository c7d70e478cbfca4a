"""Sprites, order and vertical scroll from the preset to the drawn frame.

Frames are put together a second time from the painted layers: each line of each layer where its
ratio, its drift and the camera put it, in the machine's order of drawing (common practice, no
source): back low, front low, sprites low, back high, front high, sprites high.
"""

from __future__ import annotations

import dataclasses
from pathlib import Path

import numpy as np
import pytest
from scene_text import CAPE, a_layer, scene

from genbg.check import check_export
from genbg.colour import screen_table
from genbg.hardware.map_word import unpack_map
from genbg.hardware.sprite_entry import linked_order, unpack_sprites
from genbg.model import FRONT, Backdrop
from genbg.pipeline import build
from genbg.reading import parse_preset
from genbg.screen.film import make_film
from genbg.write.costs import fullest
from genbg.write.folder import write_export

SCENE = scene(
    a_layer("sky", [0, 112], body="none", steps={"sky": 5}),
    a_layer("ridge", [64, 112], **CAPE),
    a_layer("water", [112, 224], distance=6, steps={"water": 4}),
    a_layer(
        "lanterns",
        [72, 168],
        name="near",
        plane="sprites",
        distance=0.8,
        drift=0.3,
        spacing=256,
        halo=0,
    ),
    title="Poles in the strait",
    seed=4,
    machine={"tile_budget": 1200},
    camera={"speed": 2.5},
    preview={"frames": 24},
)
TRADE = "layer.2.high_lines=[136, 224]"
PRIORITY = "layer.3.high=true"
DIP = ["machine.vertical=plane", "camera.dip=24", "camera.dip_frames=24", "camera.ratio_y=[1, 0.5]"]
TALL = ["layer.2.lines=[112, 240]"]


def redraw(backdrop: Backdrop, frame: int) -> np.ndarray:
    """A frame (L, width, 3) from the painted layers alone."""
    width, lines = backdrop.machine.screen
    table = screen_table(tuple(backdrop.machine.levels))
    picture = np.zeros((lines, width, 3), dtype=np.uint8)
    depth = {"back": 0, "front": 1, "sprites": 2}
    camera = frame * float(backdrop.preview.camera_step)
    path = backdrop.preview.camera_y
    camera_y = 0.0 if path is None else int(path[frame]) / 65536
    for layer in sorted(backdrop.layers, key=lambda one: (one.priority, depth[one.plane])):
        up = int(np.floor(layer.ratio_y * camera_y))
        for place, (ratio, drift) in enumerate(zip(layer.ratio, layer.drift, strict=True)):
            line = layer.top + place - up
            if not 0 <= line < lines:
                continue
            column = (
                np.arange(width) + int(np.floor(ratio * camera + drift * frame))
            ) % layer.period
            seen = layer.alpha[place][column]
            picture[line][seen] = table[layer.number[place][column][seen]]
    return picture


@pytest.mark.parametrize(
    "settings",
    [
        [],
        [PRIORITY],
        [TRADE],
        [TRADE, PRIORITY],
        ["layer.3.high_lines=[100, 121]", TRADE, "sprites.largest=16"],
        [*DIP, *TALL],
        [*DIP, *TALL, PRIORITY, "sprites.largest=16", "camera.speed=-3"],
        ["machine.vertical=plane", "camera.speed_y=0", *TALL],
    ],
)
def test_frames_are_the_layers_put_together(settings, tmp_path: Path) -> None:
    """Every frame equals the painted layers in their order, and the export passes its check."""
    backdrop = build(parse_preset(SCENE, settings=settings))
    assert backdrop.tiles.before == len(backdrop.tiles.pixels), "no pattern is merged"
    film = make_film(backdrop)
    for frame in range(backdrop.preview.frames):
        assert np.array_equal(redraw(backdrop, frame), film.rgb(frame)), frame
    assert check_export(write_export(backdrop, tmp_path / "x", previews=False)) == []


def test_planes_trade_places_down_the_screen() -> None:
    """The back plane's water is high from line 136 on, so there it lies before low sprites."""
    low, traded = (build(parse_preset(SCENE, settings=s)) for s in ([], [TRADE]))
    rows = np.flatnonzero(unpack_map(traded.maps[1]).priority.any(axis=1))
    assert rows.tolist() == list(range(17, 28))
    one, other = make_film(low).rgb(0), make_film(traded).rgb(0)
    changed = np.flatnonzero((one != other).any(axis=(1, 2)))
    assert changed.min() >= 136
    assert changed.max() < 168
    assert dataclasses.asdict(traded.proof.figures.depths) == {
        "all": 5,
        "back": 3,
        "front": 1,
        "sprites": 1,
    }
    assert dataclasses.asdict(low.proof.figures.depths) == {
        "all": 4,
        "back": 2,
        "front": 1,
        "sprites": 1,
    }


def test_sprites_keep_the_machines_sizes_and_numbers() -> None:
    """Common practice, no source: 8 to 32 pixels each way, 80 on a screen, 20 and 320 on a line."""
    backdrop = build(parse_preset(SCENE))
    placed = backdrop.sprites.placed
    assert {*placed.width.tolist(), *placed.height.tolist()} <= {1, 2, 3, 4}
    for table in backdrop.preview.sprites:
        sprites = unpack_sprites(table)
        order = linked_order(sprites.link)
        assert len(order) <= 80
        assert (sprites.x[order] > -32).all()
    screen, line, pixels = fullest(backdrop)
    assert (screen <= 80, line <= 20, pixels <= 320) == (True, True, True)


def test_a_sprite_stays_in_one_row_and_its_tiles_follow_one_another() -> None:
    """A map word a sprite: its cells are the tiles from there on, within those stored."""
    backdrop = build(parse_preset(SCENE))
    cells = unpack_map(backdrop.sprites.placed.word)
    last = cells.number + backdrop.sprites.placed.width * backdrop.sprites.placed.height
    assert (last <= len(backdrop.tiles.pixels)).all()
    assert cells.row.max() <= 3


def test_too_many_pixels_on_a_line_are_dropped_and_told() -> None:
    """A wall of sprites across the screen asks for more than 320 pixels: the report names lines
    and frames, and there the preview lacks what the machine drops.
    """
    text = SCENE.replace('paint = "lanterns"', 'paint = "ridge"').replace("spacing = 256", "")
    text = text.replace("halo = 0", "height = 0.9")
    backdrop = build(parse_preset(text, settings=["machine.tile_budget=2000"]))
    told = [
        text for text in backdrop.warnings if "pixels on a line; 320 pixels are allowed" in text
    ]
    assert told
    assert "the machine does not draw the farthest there" in told[0]
    frame = make_film(backdrop).rgb(0)
    whole = redraw(backdrop, 0)
    lacking = np.flatnonzero((frame != whole).any(axis=(1, 2)))
    assert len(lacking)
    assert fullest(backdrop)[2] > 320


def test_sprites_past_the_budget_are_left_out_and_told() -> None:
    """Sprites alone need more than the budget: those that stay leave the planes half of it."""
    backdrop = build(parse_preset(SCENE, settings=["machine.tile_budget=20"]))
    assert len(backdrop.tiles.pixels) <= 20
    assert [text for text in backdrop.warnings if "the budget is 20, so" in text]


def test_sprites_and_planes_share_a_small_budget() -> None:
    """Where tiles have to be merged, sprites stay exact: their pixels are as painted."""
    free = build(parse_preset(SCENE))
    tight = build(parse_preset(SCENE, settings=["machine.tile_budget=320", PRIORITY]))
    assert len(tight.tiles.pixels) <= 320 < len(free.tiles.pixels)
    frame, whole = make_film(tight).rgb(0), redraw(tight, 0)
    near = next(layer for layer in tight.layers if layer.plane == "sprites")
    seen = np.zeros(frame.shape[:2], dtype=bool)
    seen[near.top : near.top + len(near.alpha)] = near.alpha[:, :320]
    assert seen.any()
    assert np.array_equal(frame[seen], whole[seen])


def test_moods_reach_sprites() -> None:
    """A mood changes the colours of sprites and no tile."""
    mood = '[mood.night]\ntint = "#4949b6"\namount = 0.8\n'
    home = build(parse_preset(SCENE + mood))
    night = build(parse_preset(SCENE + mood, settings=["mood=night"]))
    assert np.array_equal(home.tiles.pixels, night.tiles.pixels)
    assert np.array_equal(home.preview.sprites, night.preview.sprites)
    assert not np.array_equal(redraw(home, 0), redraw(night, 0))
    assert np.array_equal(redraw(night, 5), make_film(night).rgb(5))


def test_columns_tilt_the_front_plane_only() -> None:
    """At frame 6 of 24 the left column stands 4 lines lower, the right one 4 higher."""
    tilt = ["machine.vertical=column", "columns.move=tilt", "columns.amplitude=[4, 0]"]
    still = ["layer.1.distance=65536", "columns.frames=24", "camera.speed=0", "layer.3.drift=0"]
    backdrop = build(parse_preset(SCENE, settings=[*tilt, *still]))
    assert backdrop.warnings == ()
    word = backdrop.preview.vscroll[6]
    assert (word[0, FRONT], word[19, FRONT]) == (1024 - 4, 4)
    assert not word[:, 1].any()
    first, tilted = make_film(backdrop).rgb(0), make_film(backdrop).rgb(6)
    cape = np.s_[64:104, 0:16]
    moved = tilted[68:108, 0:16]
    solid = (first[cape] == moved).all(axis=2)
    assert solid.mean() > 0.9


def test_a_scrolled_plane_reports_its_partial_column() -> None:
    """A plane whose offset is no multiple of 16 has a column that is undefined, so it is told."""
    settings = ["machine.vertical=column", "columns.amplitude=[4, 0]"]
    (told,) = build(parse_preset(SCENE, settings=settings)).warnings
    assert told.startswith("column scroll of the front plane: a partial column at the left edge")
