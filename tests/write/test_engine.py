"""The layers for game engines, drawn by one: pygame-ce, which knows nothing of the machine."""

from __future__ import annotations

import dataclasses
import json
import math
import os
from pathlib import Path

import numpy as np
import pytest
from own_painters import in_the_table
from sample import changed
from scene_text import CAPE, a_layer, scene, table
from scenery import PAINTER, SHORE, SUN
from small_backdrops import random_backdrop, random_preview

import genbg
from genbg.colour import screen_table
from genbg.hardware.colour_word import word_to_number
from genbg.hardware.map_word import unpack_map
from genbg.model import Backdrop, EngineLayer
from genbg.reading import parse_preset
from genbg.screen.film import make_film
from genbg.write import engine

FRAMES = 5
CAMERA_STEP = 3
BANDS = (("back", 1, 0, 120, False), ("front", 0, 40, 180, False), ("back", 1, 120, 224, True))
"""Plane name and number, first and last-plus-one line, priority of the layers."""


@pytest.fixture
def pygame(need, monkeypatch):
    """The engine, without a screen."""
    monkeypatch.setitem(os.environ, "SDL_VIDEODRIVER", "dummy")
    monkeypatch.setitem(os.environ, "PYGAME_HIDE_SUPPORT_PROMPT", "1")
    return need.module("pygame")


def plane_colours(backdrop: Backdrop, plane: int) -> tuple[np.ndarray, np.ndarray]:
    """Colour numbers and alpha (H, W) of a plane, cell by cell."""
    words = backdrop.maps[plane]
    cell = unpack_map(words)
    number = np.zeros((words.shape[0] * 8, words.shape[1] * 8), dtype=np.uint16)
    alpha = np.zeros(number.shape, dtype=bool)
    colours = word_to_number(backdrop.palette)
    for y, x in np.ndindex(words.shape):
        tile = backdrop.tiles.pixels[cell.number[y, x]]
        tile = tile[:: -1 if cell.vflip[y, x] else 1, :: -1 if cell.hflip[y, x] else 1]
        place = np.s_[y * 8 : y * 8 + 8, x * 8 : x * 8 + 8]
        number[place] = colours[cell.row[y, x] * 16 + tile]
        alpha[place] = tile > 0
    return number, alpha


def layered_backdrop(seed: int) -> Backdrop:
    """A random backdrop whose planes are the bands above, with their speeds on every line."""
    dice = np.random.Generator(np.random.PCG64(seed))
    base = random_backdrop(seed)
    keep = np.zeros((2, 32, 1), dtype=bool)
    priority = np.zeros((2, 32, 1), dtype=np.uint16)
    for _, plane, top, bottom, first in BANDS:
        keep[plane, top // 8 : bottom // 8] = True
        priority[plane, top // 8 : bottom // 8] = first << 15
    tiles = base.tiles.pixels.copy()
    tiles[0] = 0
    maps = [
        np.where(keep[plane], words & 0x7FFF | priority[plane], 0).astype(np.uint16)
        for plane, words in enumerate(base.maps)
    ]
    base = changed(base, pixels=tiles, maps=np.stack(maps))
    layers, scroll = [], np.zeros((FRAMES, 224, 2), dtype=np.uint16)
    for place, (name, plane, top, bottom, first) in enumerate(BANDS):
        ratio, drift = (dice.integers(-131072, 131072, bottom - top) / 65536 for _ in range(2))
        number, alpha = plane_colours(base, plane)
        band = np.s_[top:bottom]
        layers.append(
            EngineLayer(
                f"band {place}", name, top, number[band], alpha[band], ratio, drift, 512, first
            )
        )
        for frame in range(FRAMES):
            offsets = -np.floor(ratio * (frame * CAMERA_STEP) + drift * frame)
            scroll[frame, band, plane] = offsets.astype(np.int64) & 0x3FF
    preview = random_preview(dice, FRAMES, 224, scroll=scroll, camera_step=CAMERA_STEP)
    return dataclasses.replace(base, layers=tuple(layers), preview=preview)


def unpack(backdrop: Backdrop, folder: Path) -> dict:
    """Write the engine files and return layers.json."""
    for path, data in engine.files(backdrop):
        (folder / path).parent.mkdir(exist_ok=True)
        (folder / path).write_bytes(data)
    return json.loads((folder / "engine" / "layers.json").read_text("utf-8"))


def draw_by_engine(pygame, folder: Path, scene: dict, frame: int) -> np.ndarray:
    """A frame (H, W, 3) as a game would draw it, from layers.json and the pictures alone."""
    screen = pygame.Surface(scene["screen"])
    screen.fill(scene["background"])
    for layer in scene["layers"]:
        picture = pygame.image.load(folder / "engine" / layer["file"])
        top, bottom = layer["lines"]
        for line in range(bottom - top):
            camera = frame * scene["camera_step"]
            x = -math.floor(layer["ratio"][line] * camera + layer["drift"][line] * frame)
            x -= wave_offset(scene.get("waves", []), layer["plane"], top + line, frame)
            x = x % layer["period"] - layer["period"]
            while x < scene["screen"][0]:
                screen.blit(picture, (x, top + line), (0, line, layer["period"], 1))
                x += layer["period"]
    return pygame.surfarray.array3d(screen).swapaxes(0, 1)


def wave_offset(waves: list, plane: str, line: int, frame: int) -> int:
    """Pixels to the left that the waves of layers.json move a line of a plane by."""
    for wave in waves:
        if wave["plane"] == plane and wave["lines"][0] <= line < wave["lines"][1]:
            phase = frame % wave["frames"] * 65536 // wave["frames"] + line * wave["step"]
            return wave["offsets"][phase % 65536 // 256]
    return 0


MIRROR = scene(
    a_layer("sky", [0, 120]),
    a_layer("ridge", [64, 120], **CAPE, wave=2, wave_lines=20, wave_frames=30),
    table("[split]", line=184, tint="#0000ff", amount=0.5),
    machine={"tile_budget": 1000},
    camera={"speed": 1.5},
    preview={"frames": 40},
    reflection={"line": 120, "tint": "#4992b6", "amount": 0.6, "ripple": 3, "ripple_frames": 25},
)


def test_an_engine_draws_waves_and_reflections(tmp_path: Path, pygame) -> None:
    """Waves by the rule of layers.json, reflections as layers of their own: the preview's frames.

    Lines on which colours are being rewritten are left out: only the machine needs time for that.
    """
    backdrop = genbg.build(parse_preset(MIRROR))
    assert fits_exactly(backdrop)
    assert {layer.name for layer in backdrop.layers} >= {"cape", "cape-mirrored", "sky-mirrored"}
    scene, film = unpack(backdrop, tmp_path), make_film(backdrop)
    late = {split.line for split in backdrop.colours.splits}
    lines = [line for line in range(224) if line not in late]
    for frame in (0, 1, 17, 39):
        picture = draw_by_engine(pygame, tmp_path, scene, frame)
        assert np.array_equal(picture[lines], film.rgb(frame)[lines]), frame


@pytest.mark.parametrize("seed", [1, 2])
def test_an_engine_draws_the_preview(seed: int, tmp_path: Path, pygame) -> None:
    """pygame-ce, told nothing but layers.json, shows every frame of the preview exactly."""
    backdrop = layered_backdrop(seed)
    scene, film = unpack(backdrop, tmp_path), make_film(backdrop)
    for frame in range(FRAMES):
        assert np.array_equal(draw_by_engine(pygame, tmp_path, scene, frame), film.rgb(frame))


def fits_exactly(backdrop: Backdrop) -> bool:
    """Whether the planes hold every colour of the layers: no palette row ran out, none merged."""
    planes = [backdrop.proof.stored[0].copy(), backdrop.proof.stored[1].copy()]
    for layer in backdrop.layers:
        if layer.plane != "sprites":
            part = planes[("front", "back").index(layer.plane)][layer.top :][: len(layer.number)]
            part[layer.alpha] = layer.number[layer.alpha]
    return all(np.array_equal(planes[plane], backdrop.proof.stored[plane]) for plane in (0, 1))


def test_an_engine_draws_painted_presets(tmp_path: Path, pygame) -> None:
    """The same with layers that a painter drew, two of them on lines that both planes share."""
    with in_the_table(PAINTER):
        backdrop = genbg.build(parse_preset(SHORE + SUN, settings=["layer.1.high_lines=[48, 80]"]))
    assert fits_exactly(backdrop)
    scene, film = unpack(backdrop, tmp_path), make_film(backdrop)
    for frame in range(backdrop.preview.frames):
        assert np.array_equal(draw_by_engine(pygame, tmp_path, scene, frame), film.rgb(frame))


def test_layers_are_listed_from_the_farthest_to_the_nearest(tmp_path: Path) -> None:
    """Low back, low front, low sprites, then the same three with priority."""
    base = random_backdrop(1).layers[0]
    layers = tuple(
        dataclasses.replace(base, name=f"{plane} {priority}", plane=plane, priority=priority)
        for priority in (True, False)
        for plane in ("sprites", "front", "back")
    )
    scene = unpack(random_backdrop(1, layers=layers), tmp_path)
    assert [layer["name"] for layer in scene["layers"]] == [
        "back False",
        "front False",
        "sprites False",
        "back True",
        "front True",
        "sprites True",
    ]
    assert [layer["order"] for layer in scene["layers"]] == list(range(6))


def test_layers_of_one_depth_keep_their_order(tmp_path: Path) -> None:
    """Two layers of one plane stand as in the preset, each in a file of its own."""
    base = random_backdrop(1).layers[0]
    layers = tuple(dataclasses.replace(base, name=name) for name in ("pier", "a/b", "pier"))
    scene = unpack(random_backdrop(1, layers=layers), tmp_path)
    assert [layer["name"] for layer in scene["layers"]] == ["pier", "a/b", "pier"]
    assert [layer["file"] for layer in scene["layers"]] == [
        "00-pier.png",
        "01-a-b.png",
        "02-pier.png",
    ]


def test_more_colours_than_a_palette_holds(tmp_path: Path, pygame) -> None:
    """A layer of 256 colours and more is RGBA; pixels and alpha are the layer's."""
    base = random_backdrop(1).layers[0]
    for count, kind in ((255, 3), (256, 6), (512, 6)):
        number = (np.arange(16 * 512) % count).reshape(16, 512).astype(np.uint16)
        layer = dataclasses.replace(base, number=number)
        data = engine.layer_png(layer, tuple(random_backdrop(1).machine.levels))
        assert data[25] == kind, "colour type of the header, W3C PNG 11.2.1"
        (tmp_path / "layer.png").write_bytes(data)
        picture = pygame.Surface((512, 16), pygame.SRCALPHA)
        picture.blit(pygame.image.load(tmp_path / "layer.png"), (0, 0))
        seen = layer.alpha
        rgb = pygame.surfarray.array3d(picture).swapaxes(0, 1)
        assert np.array_equal(rgb[seen], screen_table()[number][seen])
        assert np.array_equal(pygame.surfarray.array_alpha(picture).T > 0, seen)


ORDERS = {
    "none high": {},
    "all of its lines": {"bank": "high_lines = [96, 160]"},
    "some of its lines": {"bank": "high_lines = [104, 136]"},
    "some of its columns": {"bank": "high_columns = [64, 320]"},
    "lines and columns": {"bank": "high_lines = [112, 160]\nhigh_columns = [8, 200]"},
    "high, low layers in its cells": {"posts": "high = true"},
    "both planes": {"posts": "high_lines = [96, 128]", "bank": "high_lines = [112, 160]"},
    "sprites": {"bank": "high_lines = [96, 128]", "lamps": "high_lines = [112, 144]"},
    "mirrored": {"bank": "high_lines = [112, 160]", "mirror": "[reflection]\nline = 160\n"},
}
"""Keys that say which layers, lines and columns are drawn with priority."""


def ordered_preset(folder: Path, keys: dict[str, str]) -> str:
    """A preset of flat pictures that cross one another on both planes and as sprites."""
    from PIL import Image

    y, x = np.mgrid[:64, :512]
    shapes = {
        "wall": np.ones((64, 512), bool),
        "bank": (x + 2 * y) % 96 < 60,
        "posts": x % 33 < 9,
        "rail": (x + y) % 50 < 20,
        "lamps": (x % 128 < 24) & (y > 4) & (y < 60),
    }
    text = ["[machine]\ntile_budget = 1800\n[camera]\nspeed = 3\n[preview]\nframes = 8"]
    planes = {"wall": "back", "bank": "back", "posts": "front", "rail": "front", "lamps": "sprites"}
    for number, (name, shape) in enumerate(shapes.items()):
        rgba = np.zeros((64, 512, 4), np.uint8)
        rgba[shape] = [36 * number, 255 - 36 * number, 109 if number % 2 else 218, 255]
        Image.fromarray(rgba).save(folder / f"{name}.png")
        distance = {"back": 4, "front": 2, "sprites": 1}[planes[name]]
        text.append(
            f'[[layer]]\npaint = "picture"\nfile = "{name}.png"\nname = "{name}"\n'
            f'plane = "{planes[name]}"\nlines = [96, 160]\ndistance = {distance}\n'
            + keys.get(name, "")
        )
    return "\n".join([*text, keys.get("mirror", "")])


@pytest.mark.parametrize("keys", ORDERS.values(), ids=ORDERS.keys())
def test_an_engine_keeps_the_order_of_the_planes(keys, tmp_path: Path, pygame) -> None:
    """Whatever is high, in whole or in part, is drawn in the machine's order, pixel for pixel."""
    (tmp_path / "one.toml").write_text(ordered_preset(tmp_path, keys), "utf-8")
    backdrop = genbg.build(genbg.load_preset(str(tmp_path / "one.toml")))
    assert fits_exactly(backdrop)
    scene, film = unpack(backdrop, tmp_path), make_film(backdrop)
    assert any(layer["high"] for layer in scene["layers"]) == bool(keys)
    late = {split.line for split in backdrop.colours.splits} - {160}
    lines = [line for line in range(224) if line not in late]
    for frame in (0, 5):
        picture = draw_by_engine(pygame, tmp_path, scene, frame)
        assert np.array_equal(picture[lines], film.rgb(frame)[lines]), frame
