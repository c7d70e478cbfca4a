"""The paint stage's door: what is asked -> all layers in the inks of the whole backdrop."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from genbg.errors import Fault, PresetError
from genbg.model import KEPT, MARKED, SHAPED, PaintedLayer, Painting
from genbg.model.inks import Inks
from genbg.model.perspective import layer_ratio
from genbg.model.zones import MIRROR
from genbg.paint.colour.inks import InkRequest
from genbg.paint.colour.views import Turn, resolve_inks
from genbg.paint.contract import Body, Job, Seen
from genbg.paint.table import painter
from genbg.preset import Layer, Preset
from genbg.request import PLANES, Request
from genbg.way import Call, plainly


@dataclass(frozen=True, eq=False)
class Scene:
    """inks: all inks and what they show; layers: back to front, as the preset has them
    notes: sentences for people on what could not be painted as it was asked
    """

    inks: Inks
    layers: tuple[PaintedLayer, ...]
    notes: tuple[str, ...] = ()


def paint_scene(request: Request, call: Call = plainly) -> Scene:
    """Paint every layer, give its inks their colours in every mood, and put it in its place."""
    paintings = paint_layers(request, call)
    inks, pictures = resolve_scene(request, paintings)
    return Scene(
        inks,
        tuple(
            place_layer(*one)
            for one in zip(request.preset.layers, paintings, pictures, strict=True)
        ),
        tuple(
            f'layer {layer.number} "{layer.name}": {note}'
            for layer, painting in zip(request.preset.layers, paintings, strict=True)
            for note in painting.notes
        ),
    )


def layer_seed(seed: int, name: str) -> int:
    """Return the layer's own seed, 0..2**64-1: the first 8 bytes of SHA-256 of seed and name."""
    return int.from_bytes(hashlib.sha256(f"{seed}/{name}".encode()).digest()[:8], "big")


def paint_layers(request: Request, call: Call = plainly) -> list[Painting]:
    """All layers' pictures, in the preset's order; a layer is painted after those that it sees."""
    layers = {layer.name: layer for layer in request.preset.layers}
    body, done = find_body(request), {}

    def paint(name: str) -> Painting:
        if name not in done:
            layer = layers[name]
            seen = {other: Seen(layers[other].lines[0], paint(other)) for other in layer.sees}
            done[name] = paint_layer(request, layer, body, seen, call)
        return done[name]

    return [paint(name) for name in layers]


def find_body(request: Request) -> Body | None:
    """The sun or moon of the first layer that has one."""
    for layer in request.preset.layers:
        place = painter(layer.paint).body
        body = place and place(layer.params, layer_job(request, layer))
        if body:
            return body
    return None


def paint_layer(
    request: Request,
    layer: Layer,
    body: Body | None = None,
    seen: Mapping[str, Seen] | None = None,
    call: Call = plainly,
) -> Painting:
    """Ask the layer's painter for its picture."""
    job = replace(layer_job(request, layer), body=body, seen=seen or {})
    try:
        return call(painter(layer.paint).paint, layer.params, job)
    except PresetError as error:
        raise error.below(f"layer.{layer.number}") from error


def layer_job(request: Request, layer: Layer) -> Job:
    """What the layer's painter is asked, but for what it may know of the scene."""
    preset, machine = request.preset, request.machine
    artist = painter(layer.paint)
    top, bottom = layer.lines
    near = layer.distance[1] if isinstance(layer.distance, tuple) else layer.distance
    return Job(
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


def resolve_scene(
    request: Request, paintings: Sequence[Painting]
) -> tuple[Inks, tuple[np.ndarray, ...]]:
    """All inks of the backdrop, and each painting (N, W) uint16 in them."""
    preset, zones = request.preset, request.zones
    requests = [
        ink_request(layer, painting)
        for layer, painting in zip(preset.layers, paintings, strict=True)
    ]
    below = dict(enumerate(preset.splits))
    return resolve_inks(
        requests,
        [zones.runs(*layer.lines, PLANES.get(layer.plane)) for layer in preset.layers],
        preset.scene,
        preset.moods,
        {**below, MIRROR: preset.reflection} if preset.reflection else below,
        zones.behind_views(),
        turns(preset, paintings),
        request.machine.levels,
    )


def ink_request(layer: Layer, painting: Painting) -> InkRequest:
    """A painted layer's wish for colours, with the haze that it takes."""
    artist = painter(layer.paint)
    share = artist.haze if layer.haze is None else layer.haze
    return InkRequest(layer.name, painting, artist.ramps, layer.colours, haze_at(layer), share)


def place_layer(layer: Layer, painting: Painting, ink: np.ndarray) -> PaintedLayer:
    """A layer in its place, with what merging has to mind."""
    guard = np.zeros(ink.shape, np.uint8)
    if painting.guard is not None:
        guard[painting.guard] = MARKED
    if painting.shape is not None:
        guard[painting.shape] = SHAPED
    if layer.guard:
        guard[ink > 0] = KEPT
    top = layer.lines[0]
    return PaintedLayer(
        name=layer.name,
        number=layer.number,
        plane=layer.plane,
        top=top,
        bottom=layer.lines[1],
        priority=layer.high,
        ink=ink,
        guard=guard,
        priority_lines=layer.high_lines or (),
        priority_columns=layer.high_columns or (),
        whole=tuple((what, top + first, top + last) for what, first, last in painting.whole),
    )


def haze_at(layer: Layer) -> float | None:
    """Distance by which haze goes: a floor's is taken half-way down its lines."""
    if isinstance(layer.distance, tuple):
        far, near = layer.distance
        return 2 / (1 / far + 1 / near)
    return layer.distance


def turns(preset: Preset, paintings: Sequence[Painting]) -> list[Turn]:
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
