"""The tables of a preset: every key with its default, its limits and a sentence about it."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from fractions import Fraction
from pathlib import Path
from typing import Any

from genbg.hardware.sizes import ONE
from genbg.keys import MISSING, key
from genbg.preset.effects import (
    ColumnKeys,
    CycleKeys,
    FadeKeys,
    ReflectionKeys,
    SplitKeys,
    WindowKeys,
)
from genbg.preset.machine import MachineKeys

MAX_SEED = 2**63 - 1
MAX_LAYERS = 64
"""Layers of a preset: more bands than a screen of 28 cell rows can show apart."""
MAX_MOODS = 16
PREFIX = re.compile(r"(?!u?int[0-9]+$)[a-z][a-z0-9_]{0,31}")
"""How names in C and for the assembler may begin; not as the types of numbers do."""
HEADER_TEXTS = {"maker": 16, "serial": 14, "region": 16}
"""Letters that a cartridge's header has for each text."""


@dataclass(frozen=True)
class CameraKeys:
    """[camera]: how the view moves in the preview."""

    speed: float = key(
        2.0,
        "float",
        "Pixels a frame at the play field; rounded to 1/65536 pixel.",
        low=-64,
        high=64,
        unit="pixels a frame",
    )

    speed_y: float = key(
        0.0,
        "float",
        "Pixels a frame downward, without end: the planes come again after their height.",
        low=-64,
        high=64,
        unit="pixels a frame",
    )
    dip: float = key(
        0.0, "float", "Pixels that it goes down and comes back.", low=0, high=512, unit="pixels"
    )
    dip_frames: int = key(
        128, "int", "Frames of going down and up again.", low=2, high=1024, unit="frames"
    )
    ratio_y: tuple[float, float] = key(
        (1.0, 0.5),
        "floats",
        "Pixels that the front and the back plane move for one pixel that the camera goes down. "
        "Layers of sprites go by their distance.",
        low=-16,
        high=16,
        length=2,
    )

    @property
    def step(self) -> Fraction:
        """`speed` as the machine's fixed-point numbers hold it: a multiple of 1/65536."""
        return Fraction(round(self.speed * ONE), ONE)


@dataclass(frozen=True)
class SceneKeys:
    """[scene]: what all layers share."""

    light: tuple[float, float] = key(
        (-0.6, 0.7),
        "floats",
        "Where light comes from: -1 left to 1 right, and 0 low to 1 overhead.",
        low=-1,
        high=1,
        length=2,
    )
    haze: str = key("#92b6db", "colour", "The colour that distance draws every layer toward.")
    haze_half: float = key(
        12.0,
        "float",
        "Distance at which half of a layer's contrast is left.",
        low=0.01,
        high=ONE,
        unit="distances of the play field",
    )
    backdrop: str = key("#000000", "colour", "The colour behind both planes.")

    def faults(self) -> Iterator[tuple[str, str]]:
        if self.light[1] < 0:
            yield "light", "the second number must be from 0 (low) to 1 (overhead)"


@dataclass(frozen=True)
class PreviewKeys:
    """[preview]: the animated pictures."""

    frames: int = key(
        128, "int", "Frames of the animation, at most.", low=1, high=1024, unit="frames"
    )
    fps: float = key(60.0, "float", "Frames a second.", low=1, high=60, unit="frames a second")


@dataclass(frozen=True)
class SpriteKeys:
    """[sprites]: how layers are cut into sprites, and what the game keeps for its own."""

    largest: int = key(
        32,
        "int",
        "Largest side of a sprite: 8, 16, 24 or 32. Smaller ones need fewer patterns, since a "
        "sprite stores all of its cells, but there have to be more of them.",
        low=8,
        high=32,
        unit="pixels",
    )

    reserve: int = key(
        0, "int", "Sprites of the screen kept for the game.", low=0, high=80, unit="sprites"
    )
    reserve_line: int = key(
        0, "int", "Sprites of each line kept for the game.", low=0, high=20, unit="sprites"
    )
    reserve_pixels: int = key(
        0, "int", "Sprite pixels of each line kept for the game.", low=0, high=320, unit="pixels"
    )

    def faults(self) -> Iterator[tuple[str, str]]:
        if self.largest % 8:
            yield "largest", "must be 8, 16, 24 or 32"


@dataclass(frozen=True)
class SourceKeys:
    """[source]: how the exported source names things."""

    prefix: str = key(
        "backdrop",
        "str",
        "What names in the source begin with, so that several backdrops fit into one game: small "
        "letters, digits and _, a letter first.",
    )

    def faults(self) -> Iterator[tuple[str, str]]:
        if not PREFIX.fullmatch(self.prefix):
            yield "prefix", "must be 1 to 32 small letters, digits and _, a letter first"


@dataclass(frozen=True)
class CartridgeKeys:
    """[cartridge]: texts in the header of the bootable image, in plain letters."""

    maker: str = key(
        "", "str", "Name of the machine and of the maker, as boards of later make want it."
    )
    serial: str = key("", "str", "Number of the product.")
    region: str = key("", "str", "Where it may run, by the letters of the trade.")

    def faults(self) -> Iterator[tuple[str, str]]:
        for name, most in HEADER_TEXTS.items():
            text = getattr(self, name)
            if len(text) > most or not ((text.isascii() and text.isprintable()) or not text):
                yield name, f"must be at most {most} plain letters, digits and signs"


@dataclass(frozen=True)
class Mood:
    """[mood.NAME]: other colours for the same tiles."""

    tint: str = key("#ffffff", "colour", "The colour of the light that falls on everything.")
    amount: float = key(0.0, "float", "How far colours go toward the tint.", low=0, high=1)
    haze: str | None = key(None, "colour", "Haze in this mood, where it differs.")
    backdrop: str | None = key(None, "colour", "Colour behind both planes, where it differs.")
    colours: Mapping[str, Mapping[str, tuple[str, ...]]] = key(
        {}, "layer_colours", "Ramps of single layers in this mood: colours.LAYER.RAMP = [...]."
    )


@dataclass(frozen=True, kw_only=True)
class Layer:
    """[[layer]]: one band of scenery. The painter's own keys stand among these.

    name: the painter's name, with a number where others have it, if the preset gives none
    number: place in the preset, counted from 0
    params: the painter's dataclass, checked; None until the painter is known
    """

    paint: str = key(MISSING, "str", "The painter.")
    name: str = key(None, "name", "What moods and exports call the layer.")
    plane: str = key(
        "back", "choice", "Where the layer is drawn.", choices=("back", "front", "sprites")
    )
    lines: tuple[int, int] = key(
        MISSING,
        "ints",
        "Screen lines, the second not included; where the camera moves up and down, also those of "
        "the plane below the screen.",
        low=0,
        high=1024,
        length=2,
    )
    distance: float | tuple[float, float] | None = key(
        None,
        "distance",
        "In units of the play field's distance: at 8 the layer moves 1/8 as far. Two numbers are "
        "a floor seen from above: at the first line and at the last. None goes along with the "
        "layer that shares its lines.",
        low=0.01,
        high=ONE,
    )
    drift: float = key(0.0, "float", "Own movement.", low=-64, high=64, unit="pixels a frame")
    wave: float = key(
        0.0,
        "float",
        "How far lines sway to both sides, as in heat, swell or wind.",
        low=0,
        high=32,
        unit="pixels",
    )
    wave_lines: float = key(
        32.0, "float", "Lines from one crest to the next.", low=2, high=1024, unit="lines"
    )
    wave_frames: int = key(
        128, "int", "Frames after which the wave is as before.", low=2, high=1024, unit="frames"
    )
    high: bool = key(False, "bool", "Drawn with the priority bit, over the other plane.")
    high_lines: tuple[int, int] | None = key(
        None,
        "ints",
        "Lines, the second not included, on which alone the layer is drawn with the priority bit; "
        "on the planes multiples of 8, since the bit is a cell's.",
        low=0,
        high=1024,
        length=2,
    )
    high_columns: tuple[int, int] | None = key(
        None,
        "ints",
        "Pixel columns of the plane, multiples of 8, in which alone it is; with high_lines: where "
        "both hold.",
        low=0,
        high=1024,
        length=2,
    )
    guard: bool = key(False, "bool", "Merge patterns of other layers before those of this one.")
    thrift: float | None = key(
        None,
        "float",
        "0 draws every cell anew, 1 uses as few patterns as can be; the painter's own if absent.",
        low=0,
        high=1,
    )
    haze: float | None = key(
        None,
        "float",
        "Share of the scene's haze that the layer takes; 1 if absent, and 0 for picture.",
        low=0,
        high=1,
    )
    colours: Mapping[str, tuple[str, ...]] = key(
        {}, "ramp_colours", "Ramps of this layer, from dark to light: colours.RAMP = [...]."
    )
    steps: Mapping[str, int] = key(
        {}, "ramp_steps", "How many inks a ramp takes: steps.RAMP = 5.", low=1, high=32
    )
    sees: tuple[str, ...] = key(
        (),
        "names",
        "Layers whose pictures its painter may look at, for mirrors and shadows.",
    )
    number: int = 0
    params: Any = None

    def faults(self) -> Iterator[tuple[str, str]]:
        if self.lines[0] >= self.lines[1]:
            yield "lines", "the first line must be above (less than) the second, not included"
        for name in ("high_lines", "high_columns"):
            where = getattr(self, name)
            if where is not None and where[0] >= where[1]:
                yield name, "the first must be less than the second, which is not included"
            elif where is not None and self.high:
                yield name, "says where the layer is high, and `high = true` says everywhere"


@dataclass(frozen=True)
class Preset:
    """What a user asks for, checked.

    name: stem of the file; mood: the one to show; moods: without the preset's own colours
    folder: where the files that the preset names lie; path: the preset's file, or None
    text: the file as read; settings: what the command line changed
    """

    title: str = key("", "str", "Title of the backdrop.")
    seed: int = key(
        0, "int", "Another number, another landscape of the same kind.", low=0, high=MAX_SEED
    )
    mood: str = "home"
    name: str = ""
    machine: MachineKeys = field(default_factory=MachineKeys)
    camera: CameraKeys = field(default_factory=CameraKeys)
    scene: SceneKeys = field(default_factory=SceneKeys)
    preview: PreviewKeys = field(default_factory=PreviewKeys)
    sprites: SpriteKeys = field(default_factory=SpriteKeys)
    source: SourceKeys = field(default_factory=SourceKeys)
    cartridge: CartridgeKeys = field(default_factory=CartridgeKeys)
    layers: tuple[Layer, ...] = ()
    moods: Mapping[str, Mood] = field(default_factory=dict)
    splits: tuple[SplitKeys, ...] = ()
    reflection: ReflectionKeys | None = None
    window: WindowKeys | None = None
    cycles: tuple[CycleKeys, ...] = ()
    fade: FadeKeys | None = None
    columns: ColumnKeys | None = None
    folder: Path = Path()
    path: Path | None = None
    text: str = ""
    settings: tuple[str, ...] = ()


TABLES: dict[str, type] = {
    "machine": MachineKeys,
    "camera": CameraKeys,
    "scene": SceneKeys,
    "preview": PreviewKeys,
    "sprites": SpriteKeys,
    "source": SourceKeys,
    "cartridge": CartridgeKeys,
}
"""Tables that stand once: name in the file and in `Preset` -> its keys."""
