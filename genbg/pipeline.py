"""The stages in order, on one page: preset -> paint -> planes -> quantize -> reduce -> scroll.

The seed enters here and is split into one number for each layer, by the layer's name, so that
adding a layer does not repaint the others. Files are written by `write/`, which is not called here.
"""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Callable
from fractions import Fraction

import numpy as np

from genbg.assemble import Parts, assemble, stored_index
from genbg.colour import lab_steps
from genbg.errors import Fault, PresetError
from genbg.hardware.map_word import pack_map
from genbg.hardware.profile import Machine, machine_from
from genbg.model import (
    BACK,
    FRONT,
    Backdrop,
    LineSpeeds,
    PaintedLayer,
    Painting,
    PlanePicture,
    Preview,
    StoredPlanes,
    Wave,
)
from genbg.paint.contract import Job
from genbg.paint.inks import InkRequest
from genbg.paint.table import painter
from genbg.paint.views import Looks, Turn, resolve_looks
from genbg.planes.compose import compose_planes
from genbg.planes.mirror import fold_planes, mirror_layers, mirror_pictures, unfold_planes
from genbg.planes.zones import MIRROR, ZonePlan, plan_zones
from genbg.preset import Layer, Preset, located
from genbg.quantize.fit import fit_palette
from genbg.reduce.tiles import reduce_tiles
from genbg.screen_colours import ScreenColours, plan_colours
from genbg.scroll.preview import plan_preview
from genbg.scroll.shear import cut_shape
from genbg.scroll.speeds import Band, layer_ratio, line_speeds, mirror_speeds
from genbg.scroll.splits import line_use
from genbg.scroll.waves import Sway, WaveBand, add_waves, line_waves, make_wave

PLANES = {"front": FRONT, "back": BACK}

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
    zones = zone_plan(preset, machine)
    tell("paint", 0.0)
    paintings = [paint_layer(preset, machine, layer) for layer in preset.layers]
    looks, layers = ink_layers(preset, machine, zones, paintings)
    tell("planes", 0.4)
    planes = compose_planes(layers, machine)
    window = window_lines(preset)
    planes = clear_window(planes[FRONT], window), planes[BACK]
    tell("quantize", 0.45)
    folded = fold_planes(*planes, zones)
    fitted = fit_palette(*folded, looks.inks(), machine.levels, zones.fit_zones(folded[0].ink))
    fitted = unfold_planes(fitted, zones, planes[FRONT].ink.shape)
    planes = mirror_pictures(*planes, zones)
    tell("reduce", 0.55)
    guard = np.stack([plane.guard for plane in planes])
    stored = reduce_tiles(fitted, home_steps(looks, machine), preset.machine.tile_budget, guard)
    tell("scroll", 0.9)
    speeds = speed_lines(preset, machine, layers)
    waves = sway_lines(preset, machine, layers)
    use = line_use(stored_index(stored), stored.row, machine.screen[1], window)
    colours = plan_colours(preset, machine, zones, looks, fitted, use)
    maps = [pack_plane(stored, number, plane.high) for number, plane in enumerate(planes)]
    preview = film(preset, machine, speeds, waves, colours)
    warnings = cut_warnings(preset, paintings, speeds)
    layers += mirror_layers(layers, zones)
    return assemble(
        Parts(
            preset,
            machine,
            zones,
            colours,
            layers,
            fitted,
            stored,
            speeds,
            waves,
            window,
            maps,
            preview,
            warnings,
        )
    )


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
    preset: Preset, machine: Machine, zones: ZonePlan, paintings: list[Painting]
) -> tuple[Looks, list[PaintedLayer]]:
    """Give the paintings their colours in every mood, and the layers their places."""
    requests = [
        InkRequest(layer.name, painting, painter(layer.paint).ramps, layer.colours, haze_at(layer))
        for layer, painting in zip(preset.layers, paintings, strict=True)
    ]
    below = dict(enumerate(preset.splits))
    looks, pictures = resolve_looks(
        requests,
        [zones.runs(*layer.lines, PLANES.get(layer.plane)) for layer in preset.layers],
        preset.scene,
        preset.moods,
        {**below, MIRROR: preset.reflection} if preset.reflection else below,
        zones.behind_recipes(),
        turns(preset, paintings),
        machine.levels,
    )
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
    return looks, layers


def haze_at(layer: Layer) -> float | None:
    """Distance by which haze goes: a floor's is taken half-way down its lines."""
    if isinstance(layer.distance, tuple):
        far, near = layer.distance
        return 2 / (1 / far + 1 / near)
    return layer.distance


def turns(preset: Preset, paintings: list[Painting]) -> list[Turn]:
    """The local inks that the preset's colour cycles move."""
    found = []
    names = [layer.name for layer in preset.layers]
    for cycle in preset.cycles:
        number = names.index(cycle.layer)
        first = 1
        for use in paintings[number].ramps:
            if use.name == cycle.ramp:
                last = use.steps - 1 if cycle.last is None else cycle.last
                found.append(Turn(number, first + cycle.first, first + last))
            first += use.steps
    return found


def home_steps(looks: Looks, machine: Machine) -> np.ndarray:
    """Lab steps (K+1, 3) of every ink in the HOME mood."""
    return lab_steps(machine.levels)[looks.colours[0, 0]]


def zone_plan(preset: Preset, machine: Machine) -> ZonePlan:
    """Which colours hold on which lines."""
    splits, mirror = [split.line for split in preset.splits], preset.reflection
    if mirror is None:
        return plan_zones(machine.screen[1], splits)
    return plan_zones(machine.screen[1], splits, mirror.line, mirror.plane)


def window_lines(preset: Preset) -> tuple[int, int] | None:
    """Screen lines that the window covers."""
    return None if preset.window is None else (preset.window.rows[0] * 8, preset.window.rows[1] * 8)


def clear_window(front: PlanePicture, window: tuple[int, int] | None) -> PlanePicture:
    """The front plane without what the window hides, which then needs no pattern."""
    if window is None:
        return front
    ink = front.ink.copy()
    ink[slice(*window)] = 0
    return dataclasses.replace(front, ink=ink)


def speed_lines(preset: Preset, machine: Machine, layers: list[PaintedLayer]) -> LineSpeeds:
    """Give every screen line its speed on both planes."""
    bands = [
        Band(
            layer.number,
            layer.name,
            PLANES[layer.plane],
            *layer.lines,
            layer.distance,
            layer.drift,
            (painted.ink == painted.ink[:, :1]).all(axis=1),
        )
        for layer, painted in zip(preset.layers, layers, strict=True)
        if layer.plane in PLANES
    ]
    speeds = line_speeds(bands, machine)
    zones = zone_plan(preset, machine)
    return mirror_speeds(speeds, zones.mirror, zones.mirrored)


def sway_lines(preset: Preset, machine: Machine, layers: list[PaintedLayer]) -> tuple[Wave, ...]:
    """The waves of all layers, and the ripple of the reflection."""
    bands = [
        WaveBand(
            layer.number,
            layer.name,
            PLANES[layer.plane],
            *layer.lines,
            Sway(layer.wave, layer.wave_lines, layer.wave_frames),
            layer.distance is None,
            (painted.ink == painted.ink[:, :1]).all(axis=1),
        )
        for layer, painted in zip(preset.layers, layers, strict=True)
        if layer.plane in PLANES
    ]
    waves = line_waves(bands, machine)
    mirror, zones = preset.reflection, zone_plan(preset, machine)
    if mirror is None or not mirror.ripple:
        return waves
    if machine.scroll != "line":
        says = f'needs machine.scroll = "line"; it is "{machine.scroll}", so lines move together'
        raise PresetError(Fault("", "reflection.ripple", "", says))
    ripple = Sway(mirror.ripple, mirror.ripple_lines, mirror.ripple_frames)
    added = [
        make_wave(plane, mirror.line, machine.screen[1], ripple)
        for plane in (FRONT, BACK)
        if zones.mirrored[plane]
    ]
    return tuple(sorted((*waves, *added), key=lambda wave: (wave.plane, wave.top)))


def film(
    preset: Preset,
    machine: Machine,
    speeds: LineSpeeds,
    waves: tuple[Wave, ...],
    colours: ScreenColours,
) -> Preview:
    """What the console's memory holds in each preview frame."""
    preview = plan_preview(
        speeds,
        machine,
        preset.camera.step,
        Fraction(preset.preview.fps).limit_denominator(1000),
        preset.preview.frames,
        machine.plane_cells[0] * 8,
        [*(wave.frames for wave in waves), colours.period],
    )
    preview = dataclasses.replace(preview, scroll=add_waves(preview.scroll, waves))
    return colours.in_preview(preview, preset.mood)


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
