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
from typing import TYPE_CHECKING

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
    whole: (what, first, last-plus-one screen line) of shapes that two speeds would cut apart
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
    whole: tuple[tuple[str, int, int], ...] = ()

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
class Canvas:
    """Both planes and the sprites as painted, in inks (planes -> quantize, reduce).

    planes: FRONT, BACK, reflections included; pieces: sprites cut from their layers
    """

    planes: tuple[PlanePicture, PlanePicture]
    pieces: Pieces

    @property
    def guard(self) -> np.ndarray:
        """(2, H, W) uint8, how much merging minds each pixel."""
        return np.stack([plane.guard for plane in self.planes])

    @property
    def high(self) -> np.ndarray:
        """(2, R, C) bool, cells with the priority bit."""
        return np.stack([plane.high for plane in self.planes])


@record(frozen=True, eq=False)
class Fit:
    """Planes and sprites in palette rows, before any pattern is merged (quantize -> reduce).

    palette: (Z, 4, 16) uint16 ink of every entry in every palette zone; entry 0 of a row is
        see-through (ink 0); unused entries hold ink 0 too
    index: (2, H, W) uint8 entry 0..15 of every pixel; row: (2, R, C) uint8 palette row of a cell
    exact: True where every pixel has a colour equal in all moods to the one it was painted with
    mse: mean squared OKLab distance a pixel that the fit cost, under the HOME mood
    blocks: sprite pictures (8 * height, 8 * width) uint8 entries; block_row: (b,) uint8
    """

    palette: np.ndarray
    index: np.ndarray
    row: np.ndarray
    exact: bool
    mse: float = 0.0
    blocks: tuple[np.ndarray, ...] = ()
    block_row: np.ndarray = field(default_factory=lambda: np.zeros(0, np.uint8))

    def reordered(self, order: np.ndarray | None) -> Fit:
        """The same picture with the entries of each palette row in another order.

        order: (4, 16) uint8, for each entry the one whose ink it takes; None: as it is. Rows that
        sprites are drawn in keep their order.
        """
        if order is None:
            return self
        palette, index = reorder_entries(self.palette, self.index, self.row, order)
        return dataclasses.replace(self, palette=palette, index=index)


def reorder_entries(
    palette: np.ndarray, index: np.ndarray, row: np.ndarray, order: np.ndarray
) -> tuple[np.ndarray, np.ndarray]:
    """Palette rows (..., r, 16) and entries (P, H, W) that show the same in another order.

    row: (P, R, C) palette row of each cell, 0..r-1
    order: (r, 16) uint8, for each entry the one whose ink it takes
    """
    back = np.argsort(order, axis=1).astype(np.uint8)
    moved = np.take_along_axis(palette, np.broadcast_to(order.astype(np.intp), palette.shape), -1)
    return moved, back[row.repeat(8, axis=1).repeat(8, axis=2), index]


@record(frozen=True, eq=False)
class Cells:
    """Both planes as cells that show patterns.

    patterns: (T, 8, 8) uint8 entries 0..15; number: (2, R, C) uint16 pattern of every cell
    hflip, vflip: (2, R, C) bool; row: (2, R, C) uint8 palette row
    """

    patterns: np.ndarray
    number: np.ndarray
    hflip: np.ndarray
    vflip: np.ndarray
    row: np.ndarray

    @property
    def index(self) -> np.ndarray:
        """Entries (2, H, W) uint8 that the cells show."""
        one = self.patterns
        turned = np.stack([one, one[:, :, ::-1], one[:, ::-1], one[:, ::-1, ::-1]])
        cells = turned[self.hflip + 2 * self.vflip, self.number]
        planes, rows, columns = self.number.shape
        return cells.transpose(0, 1, 3, 2, 4).reshape(planes, rows * 8, columns * 8)


@record(frozen=True, eq=False)
class StoredSprites:
    """Sprites whose patterns are stored.

    pieces: as cut; word: (n,) uint16, the third word of each piece's table entry
    row: (n,) palette row of each piece; blocks: pictures in entries
    """

    pieces: Pieces
    word: np.ndarray
    row: np.ndarray
    blocks: tuple[np.ndarray, ...]

    def __bool__(self) -> bool:
        return len(self.pieces) > 0


@record(frozen=True, eq=False)
class Stored:
    """Planes and sprites in at most `budget` patterns (reduce -> scroll, write).

    cells: what is stored; fit: what it was made from, its entries in the order that is stored
    sprites: those that the budget had room for; high: (2, R, C) bool, the priority bits
    before: distinct patterns (up to flips) before any merge
    curve: (n, 2) float64 of (patterns, mean squared OKLab error) on the way down, or empty
    bound: mean squared OKLab error that no choice of patterns goes below, where it was asked
    """

    cells: Cells
    fit: Fit
    sprites: StoredSprites
    high: np.ndarray
    before: int
    curve: np.ndarray
    bound: float | None = None
    warnings: tuple[str, ...] = ()


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


@record(frozen=True, eq=False)
class Motion:
    """All that moves, and what memory holds while it does (scroll -> write).

    speeds: of all lines that layers may lie on: the screen's, or those of moving planes
    waves: from the top down, FRONT first; vertical: how planes move up and down, or None
    pieces: sprites as a game places them, or None; asked: the most sprites of a frame
    first: (n, 8) table entries of the first frame, or None
    cuts: sentences on shapes that speeds cut apart; warnings: on all else
    """

    speeds: LineSpeeds
    waves: tuple[Wave, ...]
    vertical: Vertical | None
    pieces: PlacedPieces | None
    preview: Preview
    first: np.ndarray | None = None
    asked: int | None = None
    cuts: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()


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


@record(frozen=True)
class Border:
    """What the rewrites at one border of a split cost.

    line: where the colours are to change; colours: entries that differ
    first, last: lines before which the first and the last of them is rewritten
    late_lines: lines with a late pixel; late_pixels: such pixels, both planes at full width
    """

    line: int
    colours: int
    first: int
    last: int
    late_lines: int
    late_pixels: int


@record(frozen=True)
class Reflected:
    """What a reflection takes: its first line, lines and cells, and patterns of its own."""

    line: int
    lines: int
    cells: int
    patterns: int


@record(frozen=True)
class Depths:
    """How many depths the eye is shown, in all and where."""

    all: int
    back: int
    front: int
    sprites: int


@record(frozen=True)
class ColourMotion:
    """How many cycles turn colours, and after how many frames all are as at the start."""

    cycles: int
    frames: int


@record(frozen=True)
class Fading:
    """A fade: the mood `to` that colours go to and come back from.

    frames: of the way to it; hold: frames that each of the two moods stays
    """

    to: str
    frames: int
    hold: int


@record(frozen=True)
class Flashes:
    """Most flashes within one second, and most of saturated red."""

    general: int
    red: int


@record(frozen=True)
class Figures:
    """Measured figures, in the order of the manifest's `facts`; None where there is nothing."""

    depths: Depths | None = None
    reflection: Reflected | None = None
    sprites_asked: int | None = None
    splits: tuple[Border, ...] | None = None
    colour_motion: ColourMotion | None = None
    bound_mse: float | None = None
    flashes: Flashes | None = None
    fade: Fading | None = None


@record(frozen=True, eq=False)
class Tiles:
    """What is stored: patterns (T, 8, 8) uint8, and pattern `base` at which they are to be loaded.

    budget: what the preset allowed; before: distinct patterns before any merge
    curve: (n, 2) float64 of (patterns, mean squared OKLab error) on the way down, or empty
    """

    patterns: np.ndarray
    base: int
    budget: int
    before: int
    curve: np.ndarray = field(default_factory=lambda: np.zeros((0, 2)))


@record(frozen=True, eq=False)
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


@record(frozen=True, eq=False)
class Moves:
    """How planes move: speeds of the screen's lines, waves from the top down, FRONT first, and how
    planes move up and down, or None."""

    speeds: LineSpeeds
    waves: tuple[Wave, ...] = ()
    vertical: Vertical | None = None

    @property
    def all_speeds(self) -> LineSpeeds:
        """Speeds of all lines that layers may lie on: the screen's, or those of moving planes."""
        return self.speeds if self.vertical is None else self.vertical.speeds


@record(frozen=True, eq=False)
class SpriteSet:
    """table: (n, 8) uint8 entries of the first frame, or None; pieces: what tables are made of
    reserve: what the game keeps: sprites of the screen, sprites and sprite pixels of a line
    """

    table: np.ndarray | None = None
    pieces: PlacedPieces | None = None
    reserve: tuple[int, int, int] = (0, 0, 0)

    def __bool__(self) -> bool:
        """Whether any frame shows sprites, so that memory has to hold a table of them."""
        return self.pieces is not None or (self.table is not None and len(self.table) > 0)


@record(frozen=True, eq=False)
class Proof:
    """How far what is stored is from what was painted.

    painted: (2, H, W) uint16 colour numbers of the planes after the palette fit, see-through
        pixels as the backdrop colour; stored: the same after merging
    """

    painted: np.ndarray
    stored: np.ndarray
    error: ErrorFigures
    figures: Figures = Figures()


@record(frozen=True, eq=False)
class Backdrop:
    """The whole result, in the machine's own numbers.

    maps: (2, R, C) uint16 map words of FRONT and BACK, pattern numbers from 0
    window: first and last-plus-one screen line that the window covers, or None
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
    window: tuple[int, int] | None = None
    warnings: tuple[str, ...] = ()

    @property
    def palette(self) -> np.ndarray:
        """(64,) uint16 colour words of the mood shown."""
        return self.colours.palettes[self.mood]

    @property
    def has_sprites(self) -> bool:
        """Whether any frame shows sprites."""
        return bool(self.sprites)
