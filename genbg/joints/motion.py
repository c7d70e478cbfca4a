"""Everything that moves: line speeds, waves, the camera's way, and the preview's frames.

Where the planes move up and down, speeds and waves belong to the lines of the planes (H of them),
and a screen line moves as the plane line that it shows; else they belong to the screen's lines.
"""

from __future__ import annotations

import dataclasses
from fractions import Fraction

import numpy as np

from genbg.errors import Fault, PresetError
from genbg.hardware.profile import Machine
from genbg.hardware.scroll_table import COLUMN_PX, lines_in_force
from genbg.joints.colours import ScreenColours
from genbg.joints.sprites import ScreenSprites, film_pieces
from genbg.model import (
    BACK,
    FRONT,
    LineSpeeds,
    PaintedLayer,
    Painting,
    PlacedPieces,
    Preview,
    Vertical,
    Wave,
)
from genbg.planes.zones import ZonePlan
from genbg.preset import Preset
from genbg.records import record
from genbg.scroll.columns import column_warnings
from genbg.scroll.preview import loop_frames, plan_preview
from genbg.scroll.shear import cut_shape
from genbg.scroll.speeds import Band, line_speeds, mirror_speeds, to_fixed
from genbg.scroll.sprites import SpriteFilm
from genbg.scroll.vertical import (
    CameraPath,
    film_columns,
    moved_up,
    shown_lines,
    sway_offsets,
    wrap_warnings,
)
from genbg.scroll.waves import Sway, WaveBand, add_waves, line_waves, make_wave

ONE = 65536
PLANES = {"front": FRONT, "back": BACK}


def speed_lines(
    preset: Preset, machine: Machine, zones: ZonePlan, layers: list[PaintedLayer]
) -> LineSpeeds:
    """Give every line its speed on both planes."""
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
    speeds = line_speeds(bands, machine, moving_lines(machine))
    return mirror_speeds(speeds, zones.mirror, zones.mirrored)


def sway_lines(
    preset: Preset, machine: Machine, zones: ZonePlan, layers: list[PaintedLayer]
) -> tuple[Wave, ...]:
    """The waves of all layers, and the ripple of the reflection."""
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
    waves = line_waves(bands, machine, moving_lines(machine))
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
        if zones.mirrored[plane]
    ]
    return tuple(sorted((*waves, *added), key=lambda wave: (wave.plane, wave.top)))


@record(frozen=True, eq=False)
class Film:
    """The preview, the table of its first frame, and what a user has to know of its motion."""

    preview: Preview
    vertical: Vertical | None
    load: SpriteFilm | None
    warnings: tuple[str, ...]


def film(
    preset: Preset,
    machine: Machine,
    speeds: LineSpeeds,
    waves: tuple[Wave, ...],
    colours: ScreenColours,
    sprites: ScreenSprites,
    pieces: PlacedPieces | None,
) -> Film:
    """What the console's memory holds in each preview frame."""
    vertical, path = vertical_scroll(preset, machine, speeds), camera_path(preset)
    preview = plan_preview(
        speeds,
        machine,
        preset.camera.step,
        Fraction(preset.preview.fps).limit_denominator(1000),
        preset.preview.frames,
        machine.plane_px[0],
        [
            *(wave.frames for wave in waves),
            colours.period,
            loop_frames(sprites.speeds, preset.camera.step, machine.plane_px[0]) if pieces else 1,
            *vertical_periods(vertical, path, sprites, machine),
        ],
    )
    preview = dataclasses.replace(preview, scroll=add_waves(preview.scroll, waves))
    preview = colours.in_preview(preview, preset.mood)
    preview, told = move_vertically(preview, vertical, path, machine, preset)
    load = None
    if pieces is not None:
        load = film_pieces(pieces, sprites, preset, machine, preview, vertical)
        preview = dataclasses.replace(preview, sprites=load.tables)
        told += list(load.over)
    return Film(preview, vertical, load, tuple(told))


def moving_lines(machine: Machine) -> int:
    """Lines that have a speed: those of the screen, or of planes that move vertically."""
    return machine.screen[1] if machine.vertical == "none" else machine.plane_px[1]


def camera_path(preset: Preset) -> CameraPath:
    """The camera's way down and up again, in the machine's fixed-point numbers."""
    camera = preset.camera
    speed, dip = (Fraction(round(value * ONE), ONE) for value in (camera.speed_y, camera.dip))
    return CameraPath(speed, dip, camera.dip_frames)


def vertical_scroll(preset: Preset, machine: Machine, speeds: LineSpeeds) -> Vertical | None:
    """How the planes move up and down; None where they never do."""
    if machine.vertical == "none":
        return None
    keys, offsets = preset.columns, None
    if keys is not None:
        columns = -(-machine.screen[0] // COLUMN_PX)
        offsets = sway_offsets(keys.move, keys.amplitude, keys.frames, keys.length, columns)
    front, back = (int(ratio) for ratio in to_fixed(np.array(preset.camera.ratio_y)))
    return Vertical((front, back), speeds, offsets, preset.camera.speed_y != 0)


def vertical_periods(
    vertical: Vertical | None, path: CameraPath, sprites: ScreenSprites, machine: Machine
) -> list[int]:
    """Frames after which planes, columns and sprites stand where they stood."""
    if vertical is None:
        return []
    ratio = [*vertical.ratio, *sprites.speeds.ratio[:, 0].tolist()]
    columns = 1 if vertical.offsets is None else len(vertical.offsets)
    return [path.period(ratio, machine.plane_px[1]), columns]


def move_vertically(
    preview: Preview,
    vertical: Vertical | None,
    path: CameraPath,
    machine: Machine,
    preset: Preset,
) -> tuple[Preview, list[str]]:
    """The preview with its vertical scroll, and what a user has to know of it."""
    if vertical is None:
        return preview, []
    camera_y = path.heights(preview.frames)
    up = moved_up(vertical.ratio, camera_y)
    words = film_columns(up, vertical.offsets)
    scroll = shown_lines(preview.scroll, up, machine.screen[1])
    reach = [
        [layer.lines for layer in preset.layers if PLANES.get(layer.plane) == plane]
        for plane in (FRONT, BACK)
    ]
    told = wrap_warnings(words, reach, machine)
    told += column_warnings(lines_in_force(scroll, machine.scroll), words, machine)
    return dataclasses.replace(preview, scroll=scroll, vscroll=words, camera_y=camera_y), told


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
