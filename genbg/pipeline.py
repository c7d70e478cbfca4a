"""The stages in order, on one page: preset -> paint -> planes -> quantize -> reduce -> scroll.

The seed enters here and is split into one number for each layer, by the layer's name, so that
adding a layer does not repaint the others. Files are written by `write/`, which is not called here.
"""

from __future__ import annotations

import dataclasses
import hashlib
from collections.abc import Callable
from typing import Any

import numpy as np

from genbg.colour import lab_steps
from genbg.errors import Fault, PresetError
from genbg.hardware.map_word import pack_map
from genbg.hardware.profile import Machine, machine_from
from genbg.joints.assemble import Parts, assemble, stored_index
from genbg.joints.budget import hold_quality
from genbg.joints.colours import plan_colours, zone_rows
from genbg.joints.flash import tell_flashes
from genbg.joints.motion import cut_warnings, film, speed_lines, sway_lines
from genbg.joints.sprites import (
    collect_sprites,
    cut_sprites,
    fit_planes,
    store_patterns,
    thin_sprites,
)
from genbg.measure import round_digits
from genbg.model import (
    BACK,
    FRONT,
    KEPT,
    MARKED,
    SHAPED,
    Backdrop,
    PaintedLayer,
    Painting,
    PlacedPieces,
    PlanePicture,
    StoredPlanes,
    reorder,
)
from genbg.paint.contract import Job
from genbg.paint.inks import InkRequest
from genbg.paint.table import painter
from genbg.paint.views import Looks, Turn, resolve_looks
from genbg.planes.compose import compose_planes
from genbg.planes.mirror import fold_planes, mirror_layers, mirror_pictures, unfold_planes
from genbg.planes.zones import MIRROR, ZonePlan, plan_zones
from genbg.preset import Layer, Preset, located
from genbg.records import record
from genbg.reduce.bound import error_bound
from genbg.reduce.tiles import MOST_PATTERNS
from genbg.scroll.speeds import layer_ratio
from genbg.scroll.splits import line_use

PLANES = {"front": FRONT, "back": BACK}

Progress = Callable[[str, float], None]
"""Told the name of the stage that starts and the share of the work done so far, 0..1."""


def plainly(function: Callable[..., Any], *arguments: Any) -> Any:
    """Call a stage's function and keep nothing of it."""
    return function(*arguments)


@record(frozen=True)
class Way:
    """How the stages are run.

    call: calls a costly pure function with its arguments; who builds often may keep results
    sketch: True leaves out the searches, for a first look: palette rows as they are first found,
        no pattern merged, even above the budget, and no frame looked at for flashes
    bound: True also works out what error no choice of patterns goes below, which takes seconds
    """

    call: Callable[..., Any] = plainly
    sketch: bool = False
    bound: bool = False


def build(preset: Preset, progress: Progress | None = None, way: Way | None = None) -> Backdrop:
    """Return the backdrop that a preset asks for; nothing is written.

    progress: told the stage that starts and the share done; way: absent, all is made anew

    Raises PresetError where layers contradict each other, LimitError where the machine is too
    small for what is asked.
    """
    try:
        return run_stages(preset, progress or (lambda stage, share: None), way or Way())
    except PresetError as error:
        raise located(preset, error) from error


def run_stages(preset: Preset, tell: Progress, way: Way) -> Backdrop:
    """Run the stages in order; their errors know no line of the preset's file."""
    machine = machine_from(preset.machine)
    zones = zone_plan(preset, machine)
    tell("paint", 0.0)
    paintings = [paint_layer(preset, machine, layer, way) for layer in preset.layers]
    looks, layers = ink_layers(preset, machine, zones, paintings)
    tell("planes", 0.4)
    planes = compose_planes(layers, machine)
    window = window_lines(preset)
    if machine.vertical == "none":
        planes = clear_window(planes[FRONT], window), planes[BACK]
    tell("quantize", 0.45)
    lab = home_steps(looks, machine)
    cut = cut_sprites(preset, layers, zones)
    folded = fold_planes(*planes, zones)
    fitted, blocks, rows = way.call(
        fit_planes, folded, cut, looks.inks(), machine, zones, lab, way.sketch
    )
    sprites, missing = thin_sprites(
        collect_sprites(preset, cut, blocks, rows), preset.machine.tile_budget
    )
    fitted = unfold_planes(fitted, zones, planes[FRONT].ink.shape)
    planes = mirror_pictures(*planes, zones)
    tell("reduce", 0.55)
    guard = np.stack([plane.guard for plane in planes])
    judged, steps = zone_rows(fitted, mood_steps(looks, machine), zones, looks.behind)
    fixed = len(zones.segments()) > 1  # rewrites count on entries that stay where they are

    def store(budget: int) -> tuple[StoredPlanes, PlacedPieces | None]:
        merge = preset.machine.merge
        return way.call(store_patterns, judged, sprites, steps, budget, guard, merge, fixed)

    if way.sketch:
        stored, pieces = store(MOST_PATTERNS)
    elif preset.machine.quality is None:
        stored, pieces = store(preset.machine.tile_budget)
    else:
        idle = np.zeros((machine.screen[1], 64), dtype=np.int64)
        colours = plan_colours(preset, machine, zones, looks, fitted, idle)
        budgets = len(sprites.runs.patterns) + 1, preset.machine.tile_budget
        stored, pieces = hold_quality(store, fitted, colours, preset.machine.quality, budgets)
    facts = {}
    fitted = reorder(fitted, stored.order)
    if way.bound:
        tell("bound", 0.8)
        room = len(stored.patterns) - len(sprites.runs.patterns)
        ordered = reorder(judged, stored.order)
        facts["bound_mse"] = round_digits(error_bound(ordered, steps, max(1, room)))
    tell("scroll", 0.9)
    speeds = speed_lines(preset, machine, zones, layers)
    waves = sway_lines(preset, machine, zones, layers)
    use = line_use(stored_index(stored), stored.row, machine.screen[1], window)
    use += sprites.line_use(machine.screen[1])
    colours = plan_colours(preset, machine, zones, looks, fitted, use)
    maps = [pack_plane(stored, number, plane.high) for number, plane in enumerate(planes)]
    moves = film(preset, machine, speeds, waves, colours, sprites, pieces)
    warnings = [*cut_warnings(preset, paintings, speeds), *missing]
    layers += mirror_layers(layers, zones)
    backdrop = assemble(
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
            pieces,
            moves,
            warnings,
            facts,
        )
    )
    return backdrop if way.sketch else tell_flashes(backdrop)


def layer_seed(seed: int, name: str) -> int:
    """Return the layer's own seed, 0..2**64-1: the first 8 bytes of SHA-256 of seed and name."""
    return int.from_bytes(hashlib.sha256(f"{seed}/{name}".encode()).digest()[:8], "big")


def paint_layer(preset: Preset, machine: Machine, layer: Layer, way: Way | None = None) -> Painting:
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
        return (way or Way()).call(artist.paint, job)
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
        guard = np.zeros(ink.shape, np.uint8)
        if painting.guard is not None:
            guard[painting.guard] = MARKED
        if painting.shape is not None:
            guard[painting.shape] = SHAPED
        if layer.guard:
            guard[ink > 0] = KEPT
        layers.append(
            PaintedLayer(
                layer.name,
                layer.number,
                layer.plane,
                *layer.lines,
                layer.high,
                ink,
                guard,
                high_lines=layer.high_lines or (),
                high_columns=layer.high_columns or (),
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
    for place, cycle in enumerate(preset.cycles):
        number = names.index(cycle.layer)
        inks, first = range(0), 1
        for use in paintings[number].ramps:
            if use.name == cycle.ramp:
                inks = range(first, first + use.steps)
            first += use.steps
        last = len(inks) - 1 if cycle.last is None else cycle.last
        if not cycle.first < last < len(inks):
            says = f"the layer paints with {len(inks)} inks of this ramp; at least two take part"
            raise PresetError(Fault("", f"cycle.{place}.ramp", "", says))
        found.append(Turn(number, inks[cycle.first], inks[last]))
    return found


def home_steps(looks: Looks, machine: Machine) -> np.ndarray:
    """Lab steps (K+1, 3) of every ink in the HOME mood."""
    return lab_steps(machine.levels)[looks.colours[0, 0]]


def mood_steps(looks: Looks, machine: Machine) -> np.ndarray:
    """`home_steps` with a fourth column: how much lighter than at home the other moods show an ink.

    Two inks that look alike at home and part at night then differ for the reducer too, and no
    square of lit sky is stored as a dark one. Mean over moods and views, counted half.
    """
    light = lab_steps(machine.levels)[looks.colours[0], 0].astype(np.int64)
    home = home_steps(looks, machine)
    others = max(1, len(light) - 1)
    apart = (light[1:].sum(axis=0) - (len(light) - 1) * light[0]) // (2 * others)
    return np.concatenate([home, apart[:, None].astype(home.dtype)], axis=1)


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


def pack_plane(stored: StoredPlanes, plane: int, high: np.ndarray) -> np.ndarray:
    """Map words (R, C) of one plane."""
    return pack_map(
        stored.number[plane], stored.row[plane], stored.hflip[plane], stored.vflip[plane], high
    )
