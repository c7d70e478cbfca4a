"""What makes a picture good, as far as it can be counted. Lightness and distances are OKLab.

A *scene* is a preset painted under one seed: its layers and its two planes, before any palette row
is chosen or any tile merged, so that it shows what the painters did.
"""

from __future__ import annotations

import functools
import os
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from genbg.colour import hex_to_rgb, oklab_table, srgb_to_oklab
from genbg.hardware.profile import machine_from
from genbg.model import BACK, FRONT, PaintedLayer, PlanePicture
from genbg.paint.scene import haze_at, paint_scene
from genbg.planes.compose import compose_planes
from genbg.preset import Preset
from genbg.reading import load_preset
from genbg.request import read_request

FOLDER = Path(__file__).parents[2] / "presets"
NAMES = sorted(path.stem for path in FOLDER.glob("*.toml"))
SEEDS = range(int(os.environ.get("GENBG_SEEDS", "10")))
"""Seeds over which the rules are held; `.ci/run` asks for twenty."""
FLOORS = ("water", "swell", "calm", "pool", "mere", "meadow")
PLAY = slice(120, 200)
"""Screen lines where play happens: the courier runs along the lower half of the screen."""


@dataclass(frozen=True, eq=False)
class Scene:
    """A preset painted under one seed.

    colours: (K+1,) colour number of every ink at home; lab: (K+1, 3) the same in OKLab
    """

    preset: Preset
    layers: tuple[PaintedLayer, ...]
    planes: tuple[PlanePicture, PlanePicture]
    colours: np.ndarray
    lab: np.ndarray


def scene_of(name: str, seed: int | None = None) -> Scene:
    """Paint a bundled preset; without a seed under its own."""
    preset = load_preset(FOLDER / f"{name}.toml", seed=seed)
    request = read_request(preset)
    painted, machine = paint_scene(request), request.machine
    planes = compose_planes([one for one in painted.layers if one.plane != "sprites"], machine)
    colours = painted.inks.colours[0, 0]
    return Scene(preset, painted.layers, planes, colours, oklab_table(machine.levels)[colours])


def wrap_steps(scene: Scene, plane: int) -> tuple[float, float, float]:
    """Mean lightness step across the wrap; of the steps inside the 95th percentile, the largest."""
    light = scene.lab[scene.planes[plane].ink, 0]
    steps = np.abs(np.roll(light, -1, axis=1) - light).mean(axis=0)
    return float(steps[-1]), float(np.percentile(steps[:-1], 95)), float(steps[:-1].max())


def band_figures(scene: Scene) -> list[tuple[str, float, float]]:
    """(band, contrast, distance from the haze) of the far, middle and near band, where present.

    far: distance 8 and more; middle: 3 to 8; near: below 3. Skies are no band, as haze does not
    touch them, nor are floors (water, ground), which have to be calm where play happens.
    contrast: standard deviation of lightness over all pixels of the band, layer by layer, weighted
    by pixels; distance from the haze: mean over the pixels.
    """
    haze = srgb_to_oklab(np.array(hex_to_rgb(scene.preset.scene.haze)))
    pools: dict[str, list[tuple[int, float, float]]] = {"far": [], "middle": [], "near": []}
    for layer, wish in zip(scene.layers, scene.preset.layers, strict=True):
        distance = haze_at(wish)
        seen = layer.ink[layer.ink > 0]
        if distance is None or not len(seen) or wish.paint in FLOORS or wish.paint == "sky":
            continue
        lab = scene.lab[seen]
        off = np.sqrt(((lab - haze) ** 2).sum(axis=1)).mean()
        band = "far" if distance >= 8 else "middle" if distance >= 3 else "near"
        pools[band].append((len(seen), float(lab[:, 0].std()), float(off)))
    rows = []
    for band, pool in pools.items():
        if pool:
            share, contrast, off = (np.array(column) for column in zip(*pool, strict=True))
            rows.append(
                (
                    band,
                    float(np.average(contrast, weights=share)),
                    float(np.average(off, weights=share)),
                )
            )
    return rows


def stray_share(ink: np.ndarray, spared: np.ndarray) -> float:
    """Share of pixels that stand alone: another ink than all eight neighbours, and no dither.

    A pixel belongs to a dither where one of the eight pixels two steps away, or of the four that
    are four steps away, straight or diagonal, has its ink: ordered dither repeats every 2, 4 or 8
    pixels. `spared` pixels (stars, lit windows: guarded by the painter) do not count.
    """
    alone = ink > 0
    for dy, dx in ((0, 1), (1, 0), (1, 1), (1, -1), (0, -1), (-1, 0), (-1, -1), (-1, 1)):
        alone &= ink != _shifted(ink, dy, dx)
    ring = [(dy, dx) for dy in (-2, 0, 2) for dx in (-2, 0, 2) if dy or dx]
    ring += [(0, 4), (0, -4), (4, 0), (-4, 0), (4, 4), (-4, -4), (4, -4), (-4, 4)]
    ring += [(0, 8), (0, -8)]
    for dy, dx in ring:
        alone &= ink != _shifted(ink, dy, dx)
    return float((alone & ~spared).sum() / max(1, (ink > 0).sum()))


def _shifted(ink: np.ndarray, dy: int, dx: int) -> np.ndarray:
    """`ink` moved by (dy, dx): columns wrap, rows past the edge hold what no ink is."""
    moved = np.roll(ink.astype(np.int32), (dy, dx), axis=(0, 1))
    if dy > 0:
        moved[:dy] = -1
    elif dy < 0:
        moved[dy:] = -1
    return moved


def used_colours(scene: Scene) -> int:
    """Distinct colours that the planes show at home, the backdrop colour not counted."""
    found: set[int] = set()
    for plane in (FRONT, BACK):
        found |= set(scene.colours[np.unique(scene.planes[plane].ink)].tolist())
    return len(found)


def play_contrast(scene: Scene) -> tuple[float, float]:
    """Local contrast where play happens behind the near band, and the near band's own.

    The near band is the layer of the least distance that is no floor. Behind it: what both planes
    show on the lines of play with that layer left out. Local contrast: standard deviation of
    lightness in each 16 x 16 block that is at least half filled, and the mean over those blocks.
    """
    bands = [
        (haze_at(wish), n)
        for n, wish in enumerate(scene.preset.layers)
        if haze_at(wish) is not None and wish.paint not in FLOORS
    ]
    near = scene.layers[min(bands)[1]]
    rest = [one for one in scene.layers if one is not near and one.plane != "sprites"]
    front, back = compose_planes(rest, machine_from(scene.preset.machine))
    behind = np.where(front.ink > 0, front.ink, back.ink)[PLAY]
    return local_contrast(scene, behind), local_contrast(scene, near.ink)


def local_contrast(scene: Scene, ink: np.ndarray) -> float:
    """Mean over 16 x 16 blocks, at least half filled, of the deviation of lightness in each."""
    side = 16
    H, W = ink.shape[0] // side * side, ink.shape[1] // side * side
    blocks = ink[:H, :W].reshape(H // side, side, W // side, side).transpose(0, 2, 1, 3)
    blocks = blocks.reshape(-1, side * side)
    filled = (blocks > 0).astype(np.float64)
    count = filled.sum(axis=1)
    blocks, filled, count = (part[count * 2 >= side * side] for part in (blocks, filled, count))
    light = scene.lab[blocks, 0] * filled
    mean = light.sum(axis=1) / np.maximum(count, 1)
    spread = (((scene.lab[blocks, 0] - mean[:, None]) * filled) ** 2).sum(axis=1) / count
    return float(np.sqrt(spread).mean()) if len(spread) else 0.0


def repeats(layer: PaintedLayer, period_px: int = 320) -> list[tuple[int, int]]:
    """Large landmarks that stand twice within `period_px`: (column, shift) in cells.

    A landmark is 5 x 4 cells in which at least 14 cells are neither empty, nor of one ink, nor a
    cell that its layer shows more than eight times. Two such blocks that are equal pixel for pixel,
    at the same height and less than `period_px` apart, are a repeat.
    """
    above = layer.top % 8
    rows = np.pad(layer.ink, ((above, -(above + len(layer.ink)) % 8), (0, 0)))
    R, C = rows.shape[0] // 8, rows.shape[1] // 8
    cells = rows.reshape(R, 8, C, 8).transpose(0, 2, 1, 3).reshape(R * C, 64)
    keys = np.ascontiguousarray(cells).view(np.dtype((np.void, cells.itemsize * 64))).ravel()
    _, number, count = np.unique(keys, return_inverse=True, return_counts=True)
    plain = (cells == cells[:, :1]).all(axis=1) | (count[number] > 8)
    number, plain = number.reshape(R, C), plain.reshape(R, C)
    found = []
    for row in range(R - 3):
        blocks: dict[bytes, list[int]] = {}
        for column in range(C):
            take = (np.arange(column, column + 5)) % C
            if (~plain[row : row + 4, take]).sum() >= 14:
                blocks.setdefault(number[row : row + 4, take].tobytes(), []).append(column)
        for places in blocks.values():
            for a, b in zip(places, [*places[1:], places[0] + C], strict=True):
                if 0 < b - a < period_px // 8 and b - a != C:
                    found.append((a, b - a))
    return found


def likeness(a: Scene, b: Scene) -> float:
    """Greatest share of equal inks of two scenes, over all shifts by whole cells, per layer mean.

    Only pixels where at least one of the two shows the layer's outline matter: rows in which a
    layer is the same all along are left out.
    """
    shares = []
    for one, two in zip(a.layers, b.layers, strict=True):
        first, second = one.ink > 0, two.ink > 0
        if first.all() and second.all():
            first, second = one.ink, two.ink
        moving = ~((first == first[:, :1]).all(axis=1) & (second == second[:, :1]).all(axis=1))
        if not moving.any():
            continue
        first, second = first[moving], second[moving]
        shares.append(
            max(
                float((np.roll(second, shift, axis=1) == first).mean())
                for shift in range(0, first.shape[1], 8)
            )
        )
    return float(np.mean(shares)) if shares else 1.0


@dataclass(frozen=True, eq=False)
class Figures:
    """What was counted over all SEEDS of a preset, one entry a seed.

    wraps: (seeds, 2, 3), as `wrap_steps`; strays: (seeds, 2); play: (seeds, 2)
    bands: {band: [(contrast, distance from the haze), ...]}
    repeated: "seed, layer" of every repeated landmark
    likest: likeness of each seed to the next; prints: distinct pictures
    """

    wraps: np.ndarray
    strays: np.ndarray
    play: np.ndarray
    bands: dict[str, list[tuple[float, float]]]
    repeated: list[str]
    likest: list[float]
    prints: int


@functools.cache
def measure_preset(name: str) -> Figures:
    """Paint a preset under every seed once and count everything."""
    wraps, strays, play, repeated, likest, prints = [], [], [], [], [], set()
    bands: dict[str, list[tuple[float, float]]] = {}
    last = None
    for seed in SEEDS:
        scene = scene_of(name, seed)
        wraps.append([wrap_steps(scene, plane) for plane in (FRONT, BACK)])
        strays.append([stray_share(plane.ink, plane.guard > 0) for plane in scene.planes])
        play.append(play_contrast(scene))
        for band, contrast, off in band_figures(scene):
            bands.setdefault(band, []).append((contrast, off))
        floors = {layer.name for layer in scene.preset.layers if layer.paint in FLOORS}
        things = [one for one in scene.layers if one.name not in floors]
        repeated += [f"seed {seed}, {one.name}" for one in things if repeats(one)]
        prints.add(tuple(plane.ink.tobytes() for plane in scene.planes))
        if last is not None:
            likest.append(likeness(last, scene))
        last = scene
    return Figures(
        np.array(wraps), np.array(strays), np.array(play), bands, repeated, likest, len(prints)
    )
