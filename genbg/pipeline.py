"""The stages in order, on one page: preset -> paint -> planes -> quantize -> reduce -> scroll.

The seed enters here and is split into one number for each layer, by the layer's name, so that
adding a layer does not repaint the others. Files are written by `write/`, which is not called here.
"""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Callable
from dataclasses import dataclass
from fractions import Fraction

import numpy as np

from genbg import measure
from genbg.colour import lab_steps
from genbg.errors import PresetError
from genbg.hardware.colour_word import number_to_word
from genbg.hardware.map_word import pack_map
from genbg.hardware.memory import plan_memory
from genbg.hardware.profile import Machine, machine_from
from genbg.model import (
    BACK,
    FRONT,
    Backdrop,
    EngineLayer,
    FittedPlanes,
    Inks,
    LineSpeeds,
    PaintedLayer,
    Painting,
    Preview,
    StoredPlanes,
)
from genbg.paint.contract import Job
from genbg.paint.inks import InkRequest, resolve_inks
from genbg.paint.table import painter
from genbg.planes.compose import compose_planes
from genbg.preset import Layer, Preset, located
from genbg.quantize.fit import fit_palette
from genbg.reduce.tiles import reduce_tiles
from genbg.scroll.preview import plan_preview
from genbg.scroll.shear import cut_shape
from genbg.scroll.speeds import Band, layer_ratio, line_speeds

Progress = Callable[[str, float], None]
"""Told the name of the stage that starts and the share of the work done so far, 0..1."""


def build(preset: Preset, progress: Progress | None = None) -> Backdrop:
    """Return the backdrop that a preset asks for; nothing is written.

    Raises PresetError where layers contradict each other, LimitError where the machine is too
    small for what is asked.
    """
    try:
        return run_stages(preset, progress or (lambda stage, share: None))
    except PresetError as error:
        raise located(preset, error) from error


def run_stages(preset: Preset, tell: Progress) -> Backdrop:
    """Run the stages in order; their errors know no line of the preset's file."""
    machine = machine_from(preset.machine)
    tell("paint", 0.0)
    paintings = [paint_layer(preset, machine, layer) for layer in preset.layers]
    inks, layers = ink_layers(preset, machine, paintings)
    tell("planes", 0.4)
    front, back = compose_planes(layers, machine)
    tell("quantize", 0.45)
    fitted = fit_palette(front, back, inks, machine.levels)
    inks = fitted.inks or inks
    tell("reduce", 0.55)
    guard = np.stack([front.guard, back.guard])
    stored = reduce_tiles(fitted, home_steps(inks, machine), preset.machine.tile_budget, guard)
    tell("scroll", 0.9)
    speeds = speed_lines(preset, machine, layers)
    maps = [pack_plane(stored, plane, (front, back)[plane].high) for plane in (FRONT, BACK)]
    preview = plan_preview(
        speeds,
        machine,
        preset.camera.step,
        Fraction(preset.preview.fps).limit_denominator(1000),
        preset.preview.frames,
        machine.plane_cells[0] * 8,
    )
    warnings = cut_warnings(preset, paintings, speeds)
    parts = Parts(preset, machine, inks, layers, fitted, stored, speeds, maps, preview, warnings)
    return assemble(parts)


def layer_seed(seed: int, name: str) -> int:
    """Return the layer's own seed, 0..2**64-1: the first 8 bytes of SHA-256 of seed and name."""
    return int.from_bytes(hashlib.sha256(f"{seed}/{name}".encode()).digest()[:8], "big")


def paint_layer(preset: Preset, machine: Machine, layer: Layer) -> Painting:
    """Ask the layer's painter for its picture."""
    artist = painter(layer.paint)
    top, bottom = layer.lines
    near = layer.distance[1] if isinstance(layer.distance, tuple) else layer.distance
    job = Job(
        width=machine.plane_cells[0] * 8,
        top=top,
        bottom=bottom,
        seed=layer_seed(preset.seed, layer.name),
        params=layer.params,
        light=preset.scene.light,
        distance=near,
        ratio=layer_ratio(layer.distance, bottom - top),
        thrift=artist.thrift if layer.thrift is None else layer.thrift,
        steps={ramp.name: layer.steps.get(ramp.name, ramp.steps) for ramp in artist.ramps},
        folder=preset.folder,
        plane_height=machine.plane_cells[1] * 8,
        levels=machine.levels,
    )
    try:
        return artist.paint(job)
    except PresetError as error:
        raise located(preset, error, f"layer.{layer.number}") from error


def ink_layers(
    preset: Preset, machine: Machine, paintings: list[Painting]
) -> tuple[Inks, list[PaintedLayer]]:
    """Give the paintings their colours in every mood, and the layers their places."""
    requests = [
        InkRequest(layer.name, painting, painter(layer.paint).ramps, layer.colours, haze_at(layer))
        for layer, painting in zip(preset.layers, paintings, strict=True)
    ]
    inks, pictures = resolve_inks(requests, preset.scene, preset.moods, machine.levels)
    layers = []
    for layer, painting, ink in zip(preset.layers, paintings, pictures, strict=True):
        guard = np.zeros(ink.shape, dtype=bool) if painting.guard is None else painting.guard
        if layer.guard:
            guard = ink > 0
        layers.append(
            PaintedLayer(
                layer.name, layer.number, layer.plane, *layer.lines, layer.high, ink, guard
            )
        )
    return inks, layers


def haze_at(layer: Layer) -> float | None:
    """Distance by which haze goes: a floor's is taken half-way down its lines."""
    if isinstance(layer.distance, tuple):
        far, near = layer.distance
        return 2 / (1 / far + 1 / near)
    return layer.distance


def home_steps(inks: Inks, machine: Machine) -> np.ndarray:
    """Lab steps (K+1, 3) of every ink in the HOME mood."""
    return lab_steps(machine.levels)[inks.colours[0]]


def speed_lines(preset: Preset, machine: Machine, layers: list[PaintedLayer]) -> LineSpeeds:
    """Give every screen line its speed on both planes."""
    planes = {"front": FRONT, "back": BACK}
    bands = [
        Band(
            layer.number,
            layer.name,
            planes[layer.plane],
            *layer.lines,
            layer.distance,
            layer.drift,
            (painted.ink == painted.ink[:, :1]).all(axis=1),
        )
        for layer, painted in zip(preset.layers, layers, strict=True)
        if layer.plane in planes
    ]
    return line_speeds(bands, machine)


def cut_warnings(preset: Preset, paintings: list[Painting], speeds: LineSpeeds) -> list[str]:
    """Say which shapes lines of different speeds would cut apart."""
    told = []
    for layer, painting in zip(preset.layers, paintings, strict=True):
        for what, first, last in painting.whole if layer.plane != "sprites" else ():
            top, bottom = layer.lines[0] + first, layer.lines[0] + last
            plane = FRONT if layer.plane == "front" else BACK
            if cuts := cut_shape(speeds, plane, top, bottom):
                told.append(
                    f'layer "{layer.name}": its {what} stands on lines {top} to {bottom - 1}, and '
                    f"the speed changes at line {cuts[0]}, which cuts it apart as the camera "
                    f"moves; move it, or give those lines of the {layer.plane} plane one distance"
                )
    return told


def pack_plane(stored: StoredPlanes, plane: int, high: np.ndarray) -> np.ndarray:
    """Map words (R, C) of one plane."""
    return pack_map(
        stored.number[plane], stored.row[plane], stored.hflip[plane], stored.vflip[plane], high
    )


@dataclass(frozen=True, eq=False)
class Parts:
    """What the stages left on the table, for `assemble`."""

    preset: Preset
    machine: Machine
    inks: Inks
    layers: list[PaintedLayer]
    fitted: FittedPlanes
    stored: StoredPlanes
    speeds: LineSpeeds
    maps: list[np.ndarray]
    preview: Preview
    warnings: list[str]


def assemble(parts: Parts) -> Backdrop:
    """Put what the stages made into one backdrop, in the machine's own numbers."""
    preset, machine, inks, stored = parts.preset, parts.machine, parts.inks, parts.stored
    shown = inks.colours[inks.moods.index(preset.mood)]
    painted = shown[plane_inks(parts.fitted.palette, parts.fitted.index, parts.fitted.row)]
    drawn = shown[plane_inks(parts.fitted.palette, stored_index(stored), stored.row)]
    palettes = {
        mood: number_to_word(colours[parts.fitted.palette].reshape(64))
        for mood, colours in zip(inks.moods, inks.colours, strict=True)
    }
    plan = plan_memory(machine, len(stored.patterns), window=False, sprites=False)
    return Backdrop(
        title=preset.title,
        name=preset.name,
        seed=preset.seed,
        mood=preset.mood,
        machine=machine,
        patterns=stored.patterns,
        front_map=parts.maps[FRONT],
        back_map=parts.maps[BACK],
        palette=palettes[preset.mood],
        palettes=palettes,
        speeds=parts.speeds,
        preview=parts.preview,
        tile_base=plan.tile_base,
        tile_budget=preset.machine.tile_budget,
        tiles_before=stored.before,
        error=measure.error_figures(painted, drawn, machine.levels),
        layers=tuple(
            engine_layer(layer, shown, parts.speeds, preset.layers[layer.number].distance)
            for layer in parts.layers
        ),
        painted=painted,
        stored=drawn,
        curve=stored.curve,
        warnings=tuple(parts.warnings),
        facts={"memory": [dataclasses.asdict(area) for area in plan.areas]},
    )


def plane_inks(palette: np.ndarray, index: np.ndarray, row: np.ndarray) -> np.ndarray:
    """Inks (2, H, W) of entries (2, H, W) under palette rows (2, R, C); palette is (4, 16)."""
    rows = row.repeat(8, axis=1).repeat(8, axis=2)
    return palette[rows, index]


def stored_index(stored: StoredPlanes) -> np.ndarray:
    """Entries (2, H, W) uint8 that the stored patterns show."""
    flipped = np.stack(
        [
            stored.patterns,
            stored.patterns[:, :, ::-1],
            stored.patterns[:, ::-1],
            stored.patterns[:, ::-1, ::-1],
        ]
    )
    cells = flipped[stored.hflip + 2 * stored.vflip, stored.number]
    planes, rows, columns = stored.number.shape
    return cells.transpose(0, 1, 3, 2, 4).reshape(planes, rows * 8, columns * 8)


def engine_layer(
    layer: PaintedLayer,
    colours: np.ndarray,
    speeds: LineSpeeds,
    distance: float | tuple[float, float] | None,
) -> EngineLayer:
    """Cut a layer out for a game engine, with the speeds of its own lines."""
    ratio = layer_ratio(distance, layer.bottom - layer.top)
    drift = np.zeros(len(ratio))
    if layer.plane != "sprites":
        plane = FRONT if layer.plane == "front" else BACK
        ratio = speeds.ratio[layer.top : layer.bottom, plane] / 65536
        drift = speeds.drift[layer.top : layer.bottom, plane] / 65536
    return EngineLayer(
        layer.name,
        layer.plane,
        layer.top,
        colours[layer.ink],
        layer.ink > 0,
        ratio,
        drift,
        layer.ink.shape[1],
        layer.high,
    )
