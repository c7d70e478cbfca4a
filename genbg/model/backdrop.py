"""The whole result in the machine's own numbers: what every export format reads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

import numpy as np

from genbg.model.figures import AskedFigures, ErrorFigures, Figures
from genbg.model.motion import LineSpeeds, PlacedSprites, Preview, Split, Vertical, Wave

if TYPE_CHECKING:
    from genbg.hardware.profile import Machine


@dataclass(frozen=True, eq=False)
class EngineLayer:
    """A layer for any game engine: colour numbers and alpha, with its speed.

    number: (N, W) uint16 colour numbers; alpha: (N, W) bool
    ratio, drift: (N,) float64, one a line; period: pixels after which the layer repeats
    priority: drawn with the priority bit
    ratio_y: lines up for one pixel that the camera moves down
    """

    name: str
    plane: str
    top: int
    number: np.ndarray
    alpha: np.ndarray
    ratio: np.ndarray
    drift: np.ndarray
    period: int
    priority: bool = False
    ratio_y: float = 0.0


@dataclass(frozen=True, eq=False)
class Tiles:
    """What is stored: pixels (T, 8, 8) uint8 of tiles, and the tile number `base` at which they are
    to be loaded.

    budget: what the preset allowed; before: distinct tiles before any merge
    curve: (n, 2) float64 of (tiles, mean squared OKLab error) on the way down, or empty
    """

    pixels: np.ndarray
    base: int
    budget: int
    before: int
    curve: np.ndarray = field(default_factory=lambda: np.zeros((0, 2)))


@dataclass(frozen=True, eq=False)
class ScreenColours:
    """What colour memory holds.

    palettes: {mood: (64,) uint16 words at the top of the frame}; splits: rewrites down the frame
    scripts: {mood: (n,) uint16} changes of colours by frame, where colours move: the period in
        frames, then for each frame that changes any: frame, count, and that often target and word;
        targets from 64 on are words of splits.bin
    backdrop_entry: which of the 64 entries is the backdrop colour
    """

    palettes: Mapping[str, np.ndarray]
    splits: tuple[Split, ...] = ()
    scripts: Mapping[str, np.ndarray] = field(default_factory=dict)
    backdrop_entry: int = 0


@dataclass(frozen=True, eq=False)
class Moves:
    """How planes move, and which lines stand still.

    speeds: of the screen's lines; waves: from the top down, FRONT first
    vertical: how planes move up and down, or None
    window: first and last-plus-one screen line that the window covers, or None
    """

    speeds: LineSpeeds
    waves: tuple[Wave, ...] = ()
    vertical: Vertical | None = None
    window: tuple[int, int] | None = None

    @property
    def all_speeds(self) -> LineSpeeds:
        """Speeds of all lines that layers may lie on: the screen's, or those of moving planes."""
        return self.speeds if self.vertical is None else self.vertical.speeds


@dataclass(frozen=True, eq=False)
class SpriteSet:
    """table: (n, 8) uint8 entries of the first frame, or None; placed: what tables are made of
    reserve: what the game keeps: sprites of the screen, sprites and sprite pixels of a line
    """

    table: np.ndarray | None = None
    placed: PlacedSprites | None = None
    reserve: tuple[int, int, int] = (0, 0, 0)

    def __bool__(self) -> bool:
        """Whether any frame shows sprites, so that memory has to hold a table of them."""
        return self.placed is not None or (self.table is not None and len(self.table) > 0)


@dataclass(frozen=True, eq=False)
class Proof:
    """How far what is stored is from what was painted.

    painted: (2, H, W) uint16 colour numbers of the planes after the palette fit, see-through
        pixels as the backdrop colour; stored: the same after merging
    asked: in each mood, what the layers ask for against what is shown
    """

    painted: np.ndarray
    stored: np.ndarray
    error: ErrorFigures
    figures: Figures = field(default_factory=Figures)
    asked: Mapping[str, AskedFigures] = field(default_factory=dict)


@dataclass(frozen=True)
class Label:
    """What the author says of a cartridge image: texts of its header, and how names begin.

    maker, serial, region: as a board or a shop wants them; prefix: of names in the source
    """

    maker: str = ""
    serial: str = ""
    region: str = ""
    prefix: str = "backdrop"


@dataclass(frozen=True, eq=False)
class Backdrop:
    """The whole result, in the machine's own numbers.

    maps: (2, R, C) uint16 map words of FRONT and BACK, tile numbers from 0
    """

    title: str
    name: str
    seed: int
    mood: str
    machine: Machine
    tiles: Tiles
    maps: np.ndarray
    colours: ScreenColours
    moves: Moves
    sprites: SpriteSet
    layers: tuple[EngineLayer, ...]
    preview: Preview
    proof: Proof
    warnings: tuple[str, ...] = ()
    label: Label = Label()

    @property
    def palette(self) -> np.ndarray:
        """(64,) uint16 colour words of the mood shown."""
        return self.colours.palettes[self.mood]

    @property
    def has_sprites(self) -> bool:
        """Whether any frame shows sprites."""
        return bool(self.sprites)
