"""What the stages made, put together into one backdrop in the machine's own numbers."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence

import numpy as np

from genbg import measure
from genbg.asked import asked_errors
from genbg.hardware.map_word import pack_map
from genbg.hardware.memory import plan_memory
from genbg.hardware.sizes import CELL, ONE
from genbg.model import (
    Backdrop,
    Canvas,
    Depths,
    EngineLayer,
    Figures,
    Label,
    LineSpeeds,
    Motion,
    Moves,
    PaintedLayer,
    Proof,
    ScreenColours,
    SpriteSet,
    Stored,
    Tiles,
)
from genbg.model.entries import Entries
from genbg.model.perspective import layer_ratio, to_fixed
from genbg.paint.scene import Scene
from genbg.planes.compose import order_notes
from genbg.planes.depths import Speed, count_depths
from genbg.planes.mirror import measure_mirror, mirror_layers
from genbg.preset import Preset
from genbg.request import PLANES, Request
from genbg.scroll.memory import ColourMemory, colour_warnings


def assemble(
    request: Request,
    scene: Scene,
    canvas: Canvas,
    stored: Stored,
    colours: ColourMemory,
    motion: Motion,
) -> Backdrop:
    """Put what the stages made into one backdrop, in the machine's own numbers."""
    preset, machine, cells = request.preset, request.machine, stored.cells
    entries, lines, window = colours.entries, machine.screen[1], request.window
    painted = entries.picture(stored.fit.index, stored.fit.row, preset.mood)
    drawn = entries.picture(cells.index, cells.row, preset.mood)
    plan = plan_memory(machine, len(cells.tiles), window is not None, motion.placed is not None)
    layers = [*scene.layers, *mirror_layers(scene.layers, request.zones)]
    warnings = (
        *scene.notes,
        *motion.cuts,
        *stored.warnings,
        *order_notes(scene.layers, machine),
        *motion.warnings,
        *colour_warnings(colours, machine, motion.preview, preset.mood),
    )
    return Backdrop(
        title=preset.title,
        name=preset.name,
        seed=preset.seed,
        mood=preset.mood,
        machine=machine,
        tiles=Tiles(
            cells.tiles, plan.tile_base, preset.machine.tile_budget, stored.before, stored.curve
        ),
        maps=pack_map(cells.number, cells.row, cells.hflip, cells.vflip, stored.priority),
        colours=ScreenColours(colours.palettes(), colours.splits(), colours.scripts()),
        moves=Moves(
            LineSpeeds(motion.speeds.ratio[:lines], motion.speeds.drift[:lines]),
            motion.waves,
            motion.vertical,
            window=window,
        ),
        sprites=SpriteSet(motion.first, motion.placed, reserve(preset, motion)),
        layers=tuple(
            part
            for one in layers
            for part in engine_layers(request, entries, motion, one, stored.priority)
        ),
        preview=motion.preview,
        proof=Proof(
            painted,
            drawn,
            measure.error_figures(painted, drawn, machine.levels),
            Figures(
                depths=shown_depths(request, layers, motion.speeds),
                reflection=measure_mirror(cells.number, request.zones),
                sprites_asked=motion.asked,
                splits=colours.plan.borders or None,
                colour_motion=colours.motion(),
                fade=colours.fading(),
                bound_mse=stored.bound,
            ),
            asked_errors(canvas, stored, entries, machine),
        ),
        warnings=warnings,
        label=Label(
            preset.cartridge.maker,
            preset.cartridge.serial,
            preset.cartridge.region,
            preset.source.prefix,
        ),
    )


def shown_depths(request: Request, layers: Sequence[PaintedLayer], speeds: LineSpeeds) -> Depths:
    """How many depths the eye is shown, in all and on each plane."""
    own: dict[int, Speed | None] = {}
    for layer in request.preset.layers:
        if layer.distance is None and not layer.drift:
            own[layer.number] = None
        else:
            ratio = layer_ratio(layer.distance, layer.lines[1] - layer.lines[0])
            own[layer.number] = (float(ratio[0]), float(ratio[-1]), layer.drift)
    width, height = request.machine.plane_px
    return Depths(**count_depths(layers, own, speeds, (height, width)))


def reserve(preset: Preset, motion: Motion) -> tuple[int, int, int]:
    """Sprites of a frame, of a line and sprite pixels of a line that the game keeps for itself.

    Nothing where the backdrop has no sprites: the manifest tells of no reserve then.
    """
    keys = preset.sprites
    if motion.placed is None:
        return 0, 0, 0
    return keys.reserve, keys.reserve_line, keys.reserve_pixels


def engine_layers(
    request: Request, entries: Entries, motion: Motion, layer: PaintedLayer, priority: np.ndarray
) -> Iterator[EngineLayer]:
    """A layer for a game engine; where the machine draws a part of it high, that part is a layer.

    priority: (2, R, C) bool, cells with the priority bit
    """
    whole = engine_layer(request, entries, motion, layer)
    raised = raised_pixels(layer, priority)
    if not (whole.alpha & ~raised).any():
        yield dataclasses.replace(whole, priority=bool(raised.any()))
        return
    yield dataclasses.replace(whole, alpha=whole.alpha & ~raised, priority=False)
    if (whole.alpha & raised).any():
        name = f"{layer.name}-high"
        yield dataclasses.replace(whole, name=name, alpha=whole.alpha & raised, priority=True)


def raised_pixels(layer: PaintedLayer, priority: np.ndarray) -> np.ndarray:
    """Pixels (N, W) bool that the machine draws with priority: whole cells of a plane."""
    if layer.plane == "sprites":
        return layer.priority_pixels
    cells = priority[PLANES[layer.plane]].repeat(CELL, axis=0).repeat(CELL, axis=1)
    return np.asarray(cells[layer.top : layer.bottom])


def engine_layer(
    request: Request, entries: Entries, motion: Motion, layer: PaintedLayer
) -> EngineLayer:
    """Cut a layer out for a game engine, with the speeds of its own lines."""
    asked, vertical = request.preset.layers[layer.number], motion.vertical
    ratio = to_fixed(layer_ratio(asked.distance, layer.bottom - layer.top)) / ONE
    drift = np.full(len(ratio), to_fixed(asked.drift) / ONE)
    ratio_y = ratio[0]
    if layer.plane != "sprites":
        plane, lines = PLANES[layer.plane], slice(layer.top, layer.bottom)
        ratio = motion.speeds.ratio[lines, plane] / ONE
        drift = motion.speeds.drift[lines, plane] / ONE
        ratio_y = vertical.ratio[plane] / ONE if vertical else 0.0
    return EngineLayer(
        name=layer.name,
        plane=layer.plane,
        top=layer.top,
        number=layer_numbers(request, entries, layer),
        alpha=layer.ink > 0,
        ratio=ratio,
        drift=drift,
        period=layer.ink.shape[1],
        ratio_y=ratio_y if vertical else 0.0,
    )


def layer_numbers(request: Request, entries: Entries, layer: PaintedLayer) -> np.ndarray:
    """Colour numbers (N, W) of a layer; of a mirrored one as the lines below the mirror show it."""
    inks, views = entries.inks, [0] * len(layer.ink)
    if layer.mirrored:
        views = [request.zones.view_number_of(line) for line in range(layer.top, layer.bottom)]
    rows = np.array([inks.row(view, request.preset.mood) for view in views])
    return np.asarray(inks.colours[0][rows[:, None], layer.ink])
