"""What the stages hand on: frozen dataclasses and the letters that name their axes.

Letters in shapes, the same everywhere:
  W, H   plane width and height in pixels       C, R   the same in cells
  N      lines of a layer (`bottom - top`)       K      inks (see-through not counted)
  M      moods                                   T      stored patterns
  L      screen lines                            F      preview frames
Arrays are indexed row first, `[y, x]`. Where a last axis of length 2 stands for the planes, it is
`FRONT, BACK`, as the machine's tables have it.

An *ink* is a colour that a painter asked for, before anyone knows which palette entry will hold
it. Ink 0 is see-through. A mood gives every ink another colour and changes nothing else, which is
why a mood costs no pattern.
"""

from __future__ import annotations

import dataclasses
from collections.abc import Mapping
from dataclasses import field
from fractions import Fraction
from typing import TYPE_CHECKING, Any

import numpy as np

from genbg.records import record

if TYPE_CHECKING:
    from genbg.hardware.profile import Machine

FRONT, BACK = 0, 1
MARKED, KEPT, SHAPED = 1, 2, 3
"""How much merging minds a pixel: what its painter marked, what the preset keeps, and what belongs
to a plain shape of which every dent would show."""

HOME = "home"
"""Name of the mood that the preset's own colours describe."""


@record(frozen=True)
class RampUse:
    """A run of neighbouring inks in a painting.

    name: ramp of the painter's contract; steps: how many inks it takes
    fixed: colour numbers, where the colours are given (the picture painter) and no ramp is asked
    """

    name: str
    steps: int
    fixed: tuple[int, ...] | None = None


@record(frozen=True, eq=False)
class Painting:
    """What a painter returns.

    ink: (N, W) uint16 local inks: 0 see-through, then those of ramps[0] from dark to light (or in
        the order that the painter's contract states), then those of ramps[1], ...
    ramps: the ramps in ink order
    guard: (N, W) bool, pixels that merging has to keep (a lit window, a star), or None
    shape: (N, W) bool, pixels of a plain shape of which every dent would show (a sun's disc), or
        None
    whole: (what, first, last-plus-one line of the painting) of shapes that lines of different
        speeds would cut apart, such as a sun
    """

    ink: np.ndarray
    ramps: tuple[RampUse, ...]
    guard: np.ndarray | None = None
    shape: np.ndarray | None = None
    whole: tuple[tuple[str, int, int], ...] = ()


@record(frozen=True, eq=False)
class Inks:
    """All inks of a backdrop.

    moods: (M,) names, moods[0] is HOME
    colours: (M, K+1) uint16 colour numbers; column 0 is the backdrop colour, which shows where
        both planes are see-through
    behind: for each zone of the screen, from the top down, the ink that is its backdrop colour
    """

    moods: tuple[str, ...]
    colours: np.ndarray
    behind: tuple[int, ...] = (0,)


@record(frozen=True, eq=False)
class PaintedLayer:
    """A layer after painting, in the inks of the whole backdrop.

    name, plane ("front", "back" or "sprites"), top, bottom: as the preset says
    ink: (N, W) uint16; guard: (N, W) uint8, `MARKED` or `SHAPED` by its painter, `KEPT` by the
        preset, or 0
    high: drawn with the priority bit
    number: place in the preset, counted from 0
    high_lines, high_columns: where it is high though `high` is False: first line or column of the
        plane and the one after the last; () says nothing, and both of them (): nowhere
    """

    name: str
    number: int
    plane: str
    top: int
    bottom: int
    high: bool
    ink: np.ndarray
    guard: np.ndarray
    mirrored: bool = False
    high_lines: tuple[int, ...] = ()
    high_columns: tuple[int, ...] = ()

    @property
    def high_pixels(self) -> np.ndarray:
        """(N, W) bool, where the layer is drawn with the priority bit."""
        partly = bool(self.high_lines or self.high_columns)
        where = np.full(self.ink.shape, self.high or partly)
        if partly and not self.high:
            if self.high_lines:
                line = np.arange(self.top, self.bottom)
                where[(line < self.high_lines[0]) | (line >= self.high_lines[1])] = False
            if self.high_columns:
                column = np.arange(self.ink.shape[1])
                first, last = self.high_columns
                where[:, (column < first) | (column >= last)] = False
        return where


@record(frozen=True, eq=False)
class Pieces:
    """Hardware sprites cut from the layers that are drawn as sprites, the nearest first.

    n pieces show b blocks. A block is a picture that takes whole cells, in inks.
    layer: (n,) number of each piece's layer in the preset
    x: (n,) column 0..W-1 of its left edge at the start, as a plane has columns; y: (n,) screen line
    block: (n,) the block it shows, hflip, vflip: (n,) bool, turned so; high: (n,) bool
    blocks: pictures (8 * height, 8 * width) uint16, 1 to 4 cells each way
    zones: palette zone of each block, counted from the top
    """

    layer: np.ndarray
    x: np.ndarray
    y: np.ndarray
    block: np.ndarray
    hflip: np.ndarray
    vflip: np.ndarray
    high: np.ndarray
    blocks: tuple[np.ndarray, ...]
    zones: tuple[int, ...]

    def __len__(self) -> int:
        return len(self.x)

    @property
    def cells(self) -> np.ndarray:
        """(n, 2) width and height of each piece in cells."""
        sizes = [(block.shape[1] // 8, block.shape[0] // 8) for block in self.blocks]
        return np.array(sizes, dtype=np.int64).reshape(-1, 2)[self.block]


@record(frozen=True, eq=False)
class PlanePicture:
    """One plane as painted.

    ink: (H, W) uint16; guard: (H, W) uint8, as a layer's
    high: (R, C) bool, cells with the priority bit
    """

    ink: np.ndarray
    guard: np.ndarray
    high: np.ndarray


@record(frozen=True, eq=False)
class PaletteZone:
    """The palette rows of a run of plane lines, where colours are rewritten down the frame.

    top, bottom: plane lines, the second not included; palette: (4, 16) as in `FittedPlanes`
    """

    top: int
    bottom: int
    palette: np.ndarray


@record(frozen=True, eq=False)
class FittedPlanes:
    """Both planes in palette rows, before any pattern is merged. Cells count once each.

    palette: (4, 16) uint16 ink of every entry; entry 0 of a row is see-through (ink 0); unused
        entries hold ink 0 too; where there are several zones, this is the uppermost one's
    index: (2, H, W) uint8 entry 0..15 of every pixel, planes FRONT, BACK
    row: (2, R, C) uint8 palette row of every cell, in every zone that the cell reaches
    exact: True where every pixel has a colour equal in all moods to the one it was painted with
    zones: from the top down; empty where the whole plane has one palette
    mse: mean squared OKLab distance a pixel that the fit cost, under the HOME mood
    """

    palette: np.ndarray
    index: np.ndarray
    row: np.ndarray
    exact: bool
    zones: tuple[PaletteZone, ...] = ()
    mse: float = 0.0


def reorder(fitted: FittedPlanes, order: np.ndarray | None) -> FittedPlanes:
    """The same planes with the entries of each palette row in the order that was stored.

    order: as in `StoredPlanes`; of planes with several palette zones it is None
    """
    if order is None:
        return fitted
    back = np.argsort(order, axis=1).astype(np.uint8)
    row = fitted.row.repeat(8, axis=1).repeat(8, axis=2)
    palette = reorder_palette(fitted.palette, order)
    return dataclasses.replace(fitted, palette=palette, index=back[row, fitted.index])


def reorder_palette(palette: np.ndarray, order: np.ndarray | None) -> np.ndarray:
    """Palette rows (r, 16) in the order that was stored."""
    return palette if order is None else np.take_along_axis(palette, order.astype(np.intp), 1)


@record(frozen=True, eq=False)
class StoredPlanes:
    """Both planes in at most `budget` patterns.

    patterns: (T, 8, 8) uint8 entries 0..15
    number: (2, R, C) uint16 pattern of every cell; hflip, vflip: (2, R, C) bool
    row: (2, R, C) uint8 palette row of every cell (merging may choose another one)
    before: distinct patterns (up to flips) before any merge
    curve: (n, 2) float64 of (patterns, mean squared OKLab error) on the way down, or empty
    order: (r, 16) uint8, for every entry of each palette row the entry of the fit that it stands
        for; None where all are as they were
    """

    patterns: np.ndarray
    number: np.ndarray
    hflip: np.ndarray
    vflip: np.ndarray
    row: np.ndarray
    before: int
    curve: np.ndarray = field(default_factory=lambda: np.zeros((0, 2)))
    order: np.ndarray | None = None


@record(frozen=True, eq=False)
class LineSpeeds:
    """How fast each screen line moves.

    ratio: (L, 2) int32, signed 16.16 pixels a camera pixel, columns FRONT, BACK
    drift: (L, 2) int32, signed 16.16 pixels a frame
    """

    ratio: np.ndarray
    drift: np.ndarray


@record(frozen=True, eq=False)
class Wave:
    """An offset of lines `top` to `bottom` (the second not included) of one plane.

    frames: after which it is as before; step: what a line adds to the phase, 0..65535
    offsets: (256,) int8 pixels, by the upper 8 bits of the phase
    """

    plane: int
    top: int
    bottom: int
    frames: int
    step: int
    offsets: np.ndarray


@record(frozen=True, eq=False)
class Split:
    """A rewrite of colours part-way down the frame.

    line: screen line from which it holds; first: first colour entry 0..63
    words: {mood: (n,) uint16 colour words}
    """

    line: int
    first: int
    words: Mapping[str, np.ndarray]


@record(frozen=True, eq=False)
class PlacedPieces:
    """Sprites as a game places them, the nearest first; a screen's table is made from these.

    x, y: (n,) column 0..W-1 of the left edge and screen line of the upper one, at the start
    width, height: (n,) cells; word: (n,) uint16, the third word of a table entry
    ratio: (n,) int32, 16.16 pixels that a piece moves for one of the camera, sideways and down
    drift: (n,) int32, 16.16 pixels a frame sideways
    """

    x: np.ndarray
    y: np.ndarray
    width: np.ndarray
    height: np.ndarray
    word: np.ndarray
    ratio: np.ndarray
    drift: np.ndarray


@record(frozen=True, eq=False)
class Vertical:
    """How the planes move up and down.

    ratio: of FRONT and BACK, 16.16 lines up for one pixel that the camera moves down
    speeds: of all H plane lines; screen line i shows plane line i + lines up, and moves as it does
    offsets: (P, 20, 2) whole pixels that each column adds, positive up, again after P frames; None
        where all columns move alike
    endless: True where the camera goes on and on, so that sprites come again after H lines
    """

    ratio: tuple[int, int]
    speeds: LineSpeeds
    offsets: np.ndarray | None = None
    endless: bool = False


@record(frozen=True, eq=False)
class Preview:
    """What the console's memory holds in each preview frame.

    camera_step: pixels the camera moves a frame, a multiple of 1/65536
    returns: True where the animation plays the frames back again to where it began
    scroll: (F, L, 2) uint16; vscroll: (F, 20, 2) uint16 or None
    palette: (F, 64) uint16 or None; sprites: (F, 80, 8) uint8 or None
    splits: (F, n) uint16 words of the rewrites as splits.bin has them, where they change; or None
    camera_y: (F,) int64 1/65536 pixels that the camera has moved down, or None where it never does
    """

    fps: Fraction
    camera_step: Fraction
    returns: bool
    scroll: np.ndarray
    vscroll: np.ndarray | None = None
    palette: np.ndarray | None = None
    sprites: np.ndarray | None = None
    splits: np.ndarray | None = None
    camera_y: np.ndarray | None = None

    @property
    def frames(self) -> int:
        return len(self.scroll)


@record(frozen=True)
class ErrorFigures:
    """Planes as stored against planes as painted (after the palette fit); contract of `error`."""

    oklab_mse: float
    psnr: float
    ssim: float
    seam: float


@record(frozen=True, eq=False)
class EngineLayer:
    """A layer for any game engine: colour numbers and alpha, with its speed.

    number: (N, W) uint16 colour numbers; alpha: (N, W) bool
    ratio, drift: (N,) float64, one a line; period: pixels after which the layer repeats
    high: drawn with the priority bit
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
    high: bool = False
    ratio_y: float = 0.0


@record(frozen=True, eq=False)
class Backdrop:
    """The whole result, in the machine's own numbers.

    patterns: (T, 8, 8) uint8; front_map, back_map: (R, C) uint16 map words, numbers from 0
    palette: (64,) uint16 colour words of the mood shown; palettes: {mood: (64,) uint16}
    window: first and last-plus-one screen line that the window covers, or None
    sprites: (n, 8) uint8 table entries of the first frame, or None; pieces: what tables are made of
    reserve: what the game keeps: sprites of the screen, sprites and sprite pixels of a line
    vertical: how the planes move up and down, or None
    tile_base: pattern number at which the patterns are to be loaded
    backdrop_entry: which of the 64 entries is the backdrop colour
    painted: (2, H, W) uint16 colour numbers of the planes after the palette fit, see-through
        pixels as the backdrop colour; stored: the same after merging
    waves: from the top down, FRONT first, none over another of its plane
    motion: {mood: (n,) uint16} changes of colours by frame, where colours move: the period in
        frames, then for each frame that changes any: frame, count, and that often target and word;
        targets from 64 on are words of splits.bin
    facts: further figures for the manifest (memory plan, costs), plain JSON values
    """

    title: str
    name: str
    seed: int
    mood: str
    machine: Machine
    patterns: np.ndarray
    front_map: np.ndarray
    back_map: np.ndarray
    palette: np.ndarray
    palettes: Mapping[str, np.ndarray]
    speeds: LineSpeeds
    preview: Preview
    tile_base: int
    tile_budget: int
    tiles_before: int
    error: ErrorFigures
    layers: tuple[EngineLayer, ...]
    painted: np.ndarray
    stored: np.ndarray
    backdrop_entry: int = 0
    window: tuple[int, int] | None = None
    sprites: np.ndarray | None = None
    splits: tuple[Split, ...] = ()
    waves: tuple[Wave, ...] = ()
    motion: Mapping[str, np.ndarray] = field(default_factory=dict)
    pieces: PlacedPieces | None = None
    reserve: tuple[int, int, int] = (0, 0, 0)
    vertical: Vertical | None = None
    curve: np.ndarray = field(default_factory=lambda: np.zeros((0, 2)))
    warnings: tuple[str, ...] = ()
    facts: Mapping[str, Any] = field(default_factory=dict)

    @property
    def all_speeds(self) -> LineSpeeds:
        """Speeds of all lines that layers may lie on: the screen's, or those of moving planes."""
        return self.speeds if self.vertical is None else self.vertical.speeds

    @property
    def has_sprites(self) -> bool:
        """Whether any frame shows sprites, so that memory has to hold a table of them."""
        return self.pieces is not None or (self.sprites is not None and len(self.sprites) > 0)
