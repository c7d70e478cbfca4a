"""The scroll stage's door: everything that moves, and what memory holds in each preview frame.

Where the planes move up and down, speeds and waves belong to the lines of the planes (H of them),
and a screen line moves as the plane line that it shows; else they belong to the screen's lines.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator, Sequence
from fractions import Fraction

import numpy as np

from genbg.errors import Fault, PresetError
from genbg.hardware.scroll_table import COLUMN_PX, lines_in_force
from genbg.hardware.sizes import ONE
from genbg.model import (
    BACK,
    FRONT,
    LineSpeeds,
    Motion,
    PaintedLayer,
    PlacedSprites,
    Preview,
    StoredSprites,
    Vertical,
    Wave,
)
from genbg.model.perspective import layer_ratio, to_fixed
from genbg.request import PLANES, Request
from genbg.scroll.bands import Band
from genbg.scroll.columns import column_warnings
from genbg.scroll.memory import ColourMemory
from genbg.scroll.preview import loop_frames, plan_preview
from genbg.scroll.shear import cut_shape
from genbg.scroll.speeds import line_speeds, mirror_speeds
from genbg.scroll.sprite_tables import Reserve, SpriteFilm, film_sprites, move_sprites
from genbg.scroll.vertical import (
    CameraPath,
    film_columns,
    moved_up,
    shown_lines,
    sway_offsets,
    wrap_warnings,
)
from genbg.scroll.waves import Sway, WaveBand, add_waves, line_waves, make_wave
from genbg.scroll.words import film_words


def plan_motion(
    request: Request,
    layers: Sequence[PaintedLayer],
    sprites: StoredSprites,
    colours: ColourMemory,
) -> Motion:
    """Give every line and sprite its speed, and film the preview."""
    preset, machine = request.preset, request.machine
    speeds = speed_lines(request, layers)
    waves = sway_lines(request, layers)
    vertical, path = vertical_scroll(request, speeds), camera_path(request)
    own = sprite_speeds(request)
    placed = place_sprites(request, sprites, own)
    step, width = preset.camera.step, machine.plane_px[0]
    periods = [
        *(wave.frames for wave in waves),
        colours.period,
        loop_frames(own, step, width) if placed else 1,
        *vertical_periods(vertical, path, own, machine.plane_px[1]),
    ]
    fps = Fraction(preset.preview.fps).limit_denominator(1000)
    preview = plan_preview(speeds, machine, step, fps, preset.preview.frames, width, periods)
    preview = dataclasses.replace(preview, scroll=add_waves(preview.scroll, waves))
    preview = colours.in_preview(preview, preset.mood)
    preview, told = move_vertically(request, preview, vertical, path)
    cuts = tuple(cut_warnings(layers, speeds))
    if placed is None:
        return Motion(speeds, waves, vertical, None, preview, cuts=cuts, warnings=tuple(told))
    load = film_layers(request, sprites, own, placed, preview, vertical)
    return Motion(
        speeds,
        waves,
        vertical,
        placed,
        dataclasses.replace(preview, sprites=load.tables),
        first=load.tables[0, : load.used[0]] if load.used[0] else None,
        asked=load.most[0],
        cuts=cuts,
        warnings=(*told, *load.over),
    )


def speed_lines(request: Request, layers: Sequence[PaintedLayer]) -> LineSpeeds:
    """Give every line its speed on both planes."""
    zones = request.zones
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
        for layer, painted in zip(request.preset.layers, layers, strict=True)
        if layer.plane in PLANES
    ]
    speeds = line_speeds(bands, request.machine, request.moving_lines)
    return mirror_speeds(speeds, zones.mirror, zones.mirrored)


def sway_lines(request: Request, layers: Sequence[PaintedLayer]) -> tuple[Wave, ...]:
    """The waves of all layers, and the ripple of the reflection."""
    preset, machine = request.preset, request.machine
    bands = [
        WaveBand(
            layer.number,
            layer.name,
            PLANES[layer.plane],
            *layer.lines,
            Sway(layer.wave, layer.wave_lines, layer.wave_frames),
            (painted.ink == painted.ink[:, :1]).all(axis=1),
        )
        for layer, painted in zip(preset.layers, layers, strict=True)
        if layer.plane in PLANES
    ]
    waves = line_waves(bands, machine, request.moving_lines)
    mirror = preset.reflection
    if mirror is None or not mirror.ripple:
        return waves
    if machine.scroll != "line":
        says = f'needs machine.scroll = "line"; it is "{machine.scroll}", so lines move together'
        raise PresetError(Fault("", "reflection.ripple", "", says))
    ripple = Sway(mirror.ripple, mirror.ripple_lines, mirror.ripple_frames)
    added = [
        make_wave(plane, mirror.line, machine.screen[1], ripple)
        for plane in (FRONT, BACK)
        if request.zones.mirrored[plane]
    ]
    return tuple(sorted((*waves, *added), key=lambda wave: (wave.plane, wave.top)))


def sprite_speeds(request: Request) -> LineSpeeds:
    """(k, 2) of the layers that are drawn as sprites; both columns are alike."""
    layers = request.sprite_layers
    ratio = [layer_ratio(layer.distance, 1) for layer in layers]
    drift = [np.array([layer.drift]) for layer in layers]
    parts = [
        np.repeat(to_fixed(np.concatenate([*part, np.zeros(0)]))[:, None], 2, axis=1)
        for part in (ratio, drift)
    ]
    return LineSpeeds(*(part.astype(np.int32) for part in parts))


def place_sprites(
    request: Request, sprites: StoredSprites, own: LineSpeeds
) -> PlacedSprites | None:
    """The sprites as a game places them; None where there are none. own: speeds of their layers"""
    if not sprites:
        return None
    cut = sprites.cut
    layer = np.searchsorted([layer.number for layer in request.sprite_layers], cut.layer)
    return PlacedSprites(
        x=cut.x,
        y=cut.y,
        width=cut.cells[:, 0],
        height=cut.cells[:, 1],
        word=sprites.word,
        ratio=own.ratio[layer, 0],
        drift=own.drift[layer, 0],
    )


def film_layers(
    request: Request,
    sprites: StoredSprites,
    own: LineSpeeds,
    placed: PlacedSprites,
    preview: Preview,
    vertical: Vertical | None,
) -> SpriteFilm:
    """The tables of all preview frames."""
    keys, machine = request.preset.sprites, request.machine
    words = film_words(own, request.preset.camera.step, preview.frames)[:, :, 0]
    height = preview.camera_y
    if height is None:
        height = np.zeros(preview.frames, dtype=np.int64)
    motion = move_sprites(
        sprites.cut,
        [layer.number for layer in request.sprite_layers],
        words,
        moved_up(own.ratio[:, 0].tolist(), height),
        machine.plane_px[1] if vertical is not None and vertical.endless else 0,
    )
    reserve = Reserve(keys.reserve, keys.reserve_line, keys.reserve_pixels)
    return film_sprites(placed, motion, machine, reserve)


def camera_path(request: Request) -> CameraPath:
    """The camera's way down and up again, in the machine's fixed-point numbers."""
    camera = request.preset.camera
    speed, dip = (Fraction(round(value * ONE), ONE) for value in (camera.speed_y, camera.dip))
    return CameraPath(speed, dip, camera.dip_frames)


def vertical_scroll(request: Request, speeds: LineSpeeds) -> Vertical | None:
    """How the planes move up and down; None where they never do."""
    preset, machine = request.preset, request.machine
    if machine.vertical == "none":
        return None
    keys, offsets = preset.columns, None
    if keys is not None:
        columns = -(-machine.screen[0] // COLUMN_PX)
        offsets = sway_offsets(keys.move, keys.amplitude, keys.frames, keys.length, columns)
    front, back = (int(ratio) for ratio in to_fixed(np.array(preset.camera.ratio_y)))
    return Vertical((front, back), speeds, offsets, preset.camera.speed_y != 0)


def vertical_periods(
    vertical: Vertical | None, path: CameraPath, own: LineSpeeds, height: int
) -> list[int]:
    """Frames after which planes, columns and sprites stand where they stood."""
    if vertical is None:
        return []
    ratio = [*vertical.ratio, *own.ratio[:, 0].tolist()]
    columns = 1 if vertical.offsets is None else len(vertical.offsets)
    return [path.period(ratio, height), columns]


def move_vertically(
    request: Request, preview: Preview, vertical: Vertical | None, path: CameraPath
) -> tuple[Preview, list[str]]:
    """The preview with its vertical scroll, and what a user has to know of it."""
    if vertical is None:
        return preview, []
    machine = request.machine
    camera_y = path.heights(preview.frames)
    up = moved_up(vertical.ratio, camera_y)
    words = film_columns(up, vertical.offsets)
    scroll = shown_lines(preview.scroll, up, machine.screen[1])
    reach = [
        [layer.lines for layer in request.preset.layers if PLANES.get(layer.plane) == plane]
        for plane in (FRONT, BACK)
    ]
    told = wrap_warnings(words, reach, machine)
    told += column_warnings(lines_in_force(scroll, machine.scroll), words, machine)
    return dataclasses.replace(preview, scroll=scroll, vscroll=words, camera_y=camera_y), told


def cut_warnings(layers: Sequence[PaintedLayer], speeds: LineSpeeds) -> Iterator[str]:
    """Say which shapes lines of different speeds would cut apart."""
    for layer in layers:
        for what, top, bottom in layer.whole if layer.plane in PLANES else ():
            if cuts := cut_shape(speeds, PLANES[layer.plane], top, bottom):
                yield (
                    f'layer "{layer.name}": its {what} stands on lines {top} to {bottom - 1}, and '
                    f"the speed changes at line {cuts[0]}, which cuts it apart as the camera "
                    f"moves; move it, or give those lines of the {layer.plane} plane one distance"
                )
