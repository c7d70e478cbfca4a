"""What the stages made, put together into one backdrop in the machine's own numbers."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator

import numpy as np

from genbg import measure
from genbg.hardware.memory import plan_memory
from genbg.hardware.profile import Machine
from genbg.joints.colours import ScreenColours, colour_warnings
from genbg.joints.motion import Film
from genbg.model import (
    BACK,
    FRONT,
    Backdrop,
    EngineLayer,
    FittedPlanes,
    LineSpeeds,
    PaintedLayer,
    PlacedPieces,
    StoredPlanes,
    Wave,
)
from genbg.planes.compose import order_notes
from genbg.planes.depths import Speed, count_depths
from genbg.planes.mirror import mirror_facts
from genbg.planes.zones import ZonePlan
from genbg.preset import Preset
from genbg.records import record
from genbg.scroll.speeds import layer_ratio, to_fixed
from genbg.scroll.sprites import SpriteFilm

ONE = 65536


@record(frozen=True, eq=False)
class Parts:
    """What the stages left on the table, for `assemble`."""

    preset: Preset
    machine: Machine
    zones: ZonePlan
    colours: ScreenColours
    layers: list[PaintedLayer]
    fitted: FittedPlanes
    stored: StoredPlanes
    speeds: LineSpeeds
    waves: tuple[Wave, ...]
    window: tuple[int, int] | None
    maps: list[np.ndarray]
    pieces: PlacedPieces | None
    moves: Film
    warnings: list[str]
    facts: dict[str, float]


def assemble(parts: Parts) -> Backdrop:
    """Put what the stages made into one backdrop, in the machine's own numbers."""
    preset, machine, colours, stored = parts.preset, parts.machine, parts.colours, parts.stored
    painted = colours.plane_numbers(parts.fitted.index, parts.fitted.row, preset.mood)
    drawn = colours.plane_numbers(stored_index(stored), stored.row, preset.mood)
    palettes = colours.palettes()
    plan = plan_memory(
        machine, len(stored.patterns), parts.window is not None, parts.pieces is not None
    )
    preview, vertical, lines = parts.moves.preview, parts.moves.vertical, machine.screen[1]
    painted_layers = [layer for layer in parts.layers if not layer.mirrored]
    order = order_notes(painted_layers, machine)
    warnings = *parts.warnings, *order, *parts.moves.warnings
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
        speeds=LineSpeeds(parts.speeds.ratio[:lines], parts.speeds.drift[:lines]),
        preview=preview,
        tile_base=plan.tile_base,
        tile_budget=preset.machine.tile_budget,
        tiles_before=stored.before,
        error=measure.error_figures(painted, drawn, machine.levels),
        layers=tuple(one for layer in parts.layers for one in engine_layers(layer, parts)),
        painted=painted,
        stored=drawn,
        window=parts.window,
        sprites=first_table(parts.moves.load),
        pieces=parts.pieces,
        reserve=(
            preset.sprites.reserve,
            preset.sprites.reserve_line,
            preset.sprites.reserve_pixels,
        ),
        vertical=vertical,
        splits=colours.splits(),
        waves=parts.waves,
        motion=colours.scripts(),
        curve=stored.curve,
        warnings=(*warnings, *colour_warnings(colours, machine, preview, preset.mood)),
        facts={
            "memory": [dataclasses.asdict(area) for area in plan.areas],
            "depths": shown_depths(parts),
            **mirror_facts(stored.number, parts.zones),
            **({"sprites_asked": parts.moves.load.most[0]} if parts.moves.load else {}),
            **colours.facts(),
            **parts.facts,
        },
    )


def shown_depths(parts: Parts) -> dict[str, int]:
    """How many depths the eye is shown, in all and on each plane."""
    own: dict[int, Speed | None] = {}
    for layer in parts.preset.layers:
        if layer.distance is None and not layer.drift:
            own[layer.number] = None
        else:
            ratio = layer_ratio(layer.distance, layer.lines[1] - layer.lines[0])
            own[layer.number] = (float(ratio[0]), float(ratio[-1]), layer.drift)
    width, height = parts.machine.plane_px
    return count_depths(parts.layers, own, parts.speeds, (height, width))


def first_table(load: SpriteFilm | None) -> np.ndarray | None:
    """The table entries (n, 8) of the first frame; None where it shows no sprite."""
    if load is None or not load.used[0]:
        return None
    return load.tables[0, : load.used[0]]


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


def fitted_index(stored: StoredPlanes) -> np.ndarray:
    """The same as entries of the fit, whose order merging may have changed."""
    index = stored_index(stored)
    if stored.order is None:
        return index
    row = stored.row.repeat(8, axis=1).repeat(8, axis=2)
    return stored.order[row, index]


def engine_layers(layer: PaintedLayer, parts: Parts) -> Iterator[EngineLayer]:
    """A layer for a game engine; where it is high in parts, these are a layer of their own."""
    whole = engine_layer(layer, parts)
    high = layer.high_pixels
    if high.all() or not high.any():
        yield whole
        return
    for part, name in ((~high, layer.name), (high, f"{layer.name}-high")):
        if (whole.alpha & part).any():
            alpha = whole.alpha & part
            yield dataclasses.replace(whole, name=name, alpha=alpha, high=part is high)


def engine_layer(layer: PaintedLayer, parts: Parts) -> EngineLayer:
    """Cut a layer out for a game engine, with the speeds of its own lines."""
    speeds, distance = parts.speeds, parts.preset.layers[layer.number].distance
    ratio = to_fixed(layer_ratio(distance, layer.bottom - layer.top)) / ONE
    drift = np.full(len(ratio), to_fixed(parts.preset.layers[layer.number].drift) / ONE)
    ratio_y, vertical = ratio[0], parts.moves.vertical
    if layer.plane != "sprites":
        plane = FRONT if layer.plane == "front" else BACK
        ratio = speeds.ratio[layer.top : layer.bottom, plane] / ONE
        drift = speeds.drift[layer.top : layer.bottom, plane] / ONE
        ratio_y = vertical.ratio[plane] / ONE if vertical else 0.0
    return EngineLayer(
        layer.name,
        layer.plane,
        layer.top,
        layer_numbers(layer, parts),
        layer.ink > 0,
        ratio,
        drift,
        layer.ink.shape[1],
        layer.high,
        ratio_y if vertical else 0.0,
    )


def layer_numbers(layer: PaintedLayer, parts: Parts) -> np.ndarray:
    """Colour numbers (N, W) of a layer; of a mirrored one as the lines below the mirror show it."""
    looks = parts.colours.looks
    shown = looks.colours[0]
    views = [0] * len(layer.ink)
    if layer.mirrored:
        views = [parts.zones.variant_of(line) for line in range(layer.top, layer.bottom)]
    rows = np.array([looks.row(view, parts.preset.mood) for view in views])
    return np.asarray(shown[rows[:, None], layer.ink])
