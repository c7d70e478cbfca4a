"""Sprites from layers to table entries.

Four stages meet here: layers are cut into pieces (planes), pieces take part in the palette fit
(quantize), their patterns are stored (reduce), and each frame gets its table (scroll).
"""

from __future__ import annotations

import dataclasses
import itertools
from collections.abc import Sequence

import numpy as np

from genbg.hardware.map_word import pack_map
from genbg.hardware.profile import Machine
from genbg.model import (
    FittedPlanes,
    Inks,
    LineSpeeds,
    PaintedLayer,
    Pieces,
    PlacedPieces,
    PlanePicture,
    Preview,
    StoredPlanes,
    Vertical,
)
from genbg.planes.pieces import cut_pieces
from genbg.planes.swatches import add_swatches, take_swatches
from genbg.planes.zones import ZonePlan
from genbg.preset import Layer, Preset
from genbg.quantize.fit import fit_palette
from genbg.quantize.pack import ROWS
from genbg.records import record
from genbg.reduce.blocks import Runs, add_runs, lay_runs, plane_budget
from genbg.reduce.tiles import reduce_tiles
from genbg.scroll.speeds import layer_ratio, to_fixed
from genbg.scroll.sprites import Reserve, SpriteFilm, film_sprites, move_pieces
from genbg.scroll.vertical import moved_up
from genbg.scroll.words import film_words

ENTRIES = 64


@record(frozen=True, eq=False)
class ScreenSprites:
    """All sprites of a backdrop.

    pieces: what was cut; row: (n,) palette row of each; runs: patterns of the blocks
    blocks: in entries; layers: the layers that are drawn as sprites, by their numbers
    """

    pieces: Pieces
    row: np.ndarray
    runs: Runs
    blocks: tuple[np.ndarray, ...]
    layers: tuple[Layer, ...]

    def __bool__(self) -> bool:
        return len(self.pieces) > 0

    @property
    def speeds(self) -> LineSpeeds:
        """(k, 2) of the layers; both columns are alike."""
        ratio = [layer_ratio(layer.distance, 1) for layer in self.layers]
        drift = [np.array([layer.drift]) for layer in self.layers]
        parts = [
            np.repeat(to_fixed(np.concatenate([*part, np.zeros(0)]))[:, None], 2, axis=1)
            for part in (ratio, drift)
        ]
        return LineSpeeds(*(part.astype(np.int32) for part in parts))

    def placed(self, start: np.ndarray) -> PlacedPieces | None:
        """The pieces in the machine's numbers; start: (b,) first pattern of each block's run."""
        if not self:
            return None
        pieces, runs, speeds = self.pieces, self.runs, self.speeds
        layer = np.searchsorted([layer.number for layer in self.layers], pieces.layer)
        cells = pieces.cells
        return PlacedPieces(
            x=pieces.x,
            y=pieces.y,
            width=cells[:, 0],
            height=cells[:, 1],
            word=pack_map(
                start[pieces.block],
                self.row,
                pieces.hflip ^ runs.hflip[pieces.block],
                pieces.vflip ^ runs.vflip[pieces.block],
                pieces.high,
            ),
            ratio=speeds.ratio[layer, 0],
            drift=speeds.drift[layer, 0],
        )

    def line_use(self, lines: int) -> np.ndarray:
        """How many pixels of each screen line show each entry: (L, 64), each piece once."""
        use = np.zeros((lines, ENTRIES), dtype=np.int64)
        for piece, block in enumerate(self.pieces.block.tolist()):
            picture = self.blocks[block][:: -1 if self.pieces.vflip[piece] else 1]
            for line, entries in enumerate(picture, start=int(self.pieces.y[piece])):
                if 0 <= line < lines:
                    shown = entries[entries > 0].astype(np.intp) + 16 * int(self.row[piece])
                    use[line] += np.bincount(shown, minlength=ENTRIES)
        return use


def fit_planes(
    planes: tuple[PlanePicture, PlanePicture],
    pieces: Pieces,
    inks: Inks,
    machine: Machine,
    plan: ZonePlan,
    lab: np.ndarray,
    quick: bool = False,
) -> tuple[FittedPlanes, tuple[np.ndarray, ...], np.ndarray]:
    """The palette rows of planes and sprites together.

    planes: folded where something mirrors; lab: (K+1, 3) lab steps of every ink at HOME
    quick: take the first rows found, for a first look
    Returns the fit of the planes, the blocks in entries, and the palette row (b,) of each.
    """
    zones = plan.fit_zones(planes[0].ink)
    front, back, swatches = add_swatches(*planes, pieces, zones)
    fitted = fit_palette(front, back, inks, machine.levels, zones, quick)
    return take_swatches(fitted, swatches, pieces, lab)


def cut_sprites(preset: Preset, layers: Sequence[PaintedLayer], plan: ZonePlan) -> Pieces:
    """The pieces of all layers that are drawn as sprites."""
    return cut_pieces(layers, plan, preset.sprites.largest)


def collect_sprites(
    preset: Preset, pieces: Pieces, blocks: tuple[np.ndarray, ...], row: np.ndarray
) -> ScreenSprites:
    """What is known of the sprites after the fit; row: (b,) palette row of each block."""
    layers = tuple(layer for layer in preset.layers if layer.plane == "sprites")
    return ScreenSprites(pieces, row[pieces.block], lay_runs(blocks), blocks, layers)


def thin_sprites(sprites: ScreenSprites, budget: int) -> tuple[ScreenSprites, list[str]]:
    """The sprites that a budget has room for, and what to tell the user of the others.

    All where a pattern is left for the planes. Else blocks go in order of how often they are shown
    for each pattern that they take (of those alike the upper left), to half of the budget.
    """
    taken = len(sprites.runs.patterns)
    if taken < budget:
        return sprites, []
    sizes = [block.size // 64 for block in sprites.blocks]
    shown = np.bincount(sprites.pieces.block, minlength=len(sizes)).tolist()
    room, keep = budget // 2, np.zeros(len(sizes), dtype=bool)
    for block in sorted(range(len(sizes)), key=lambda one: (-shown[one] / sizes[one], one)):
        if sizes[block] <= room:
            keep[block], room = True, room - sizes[block]
    fewer = keep_blocks(sprites, keep)
    gone = len(sprites.pieces) - len(fewer.pieces)
    return fewer, [
        f"sprites take {taken} patterns and the budget is {budget}, so {gone} of "
        f"{len(sprites.pieces)} are left out; raise machine.tile_budget"
    ]


def keep_blocks(sprites: ScreenSprites, keep: np.ndarray) -> ScreenSprites:
    """The sprites whose block (b,) is to be kept; blocks are numbered anew in their order."""
    pieces = sprites.pieces
    stay, place = keep[pieces.block], np.cumsum(keep) - 1
    columns = {
        name: getattr(pieces, name)[stay] for name in ("layer", "x", "y", "hflip", "vflip", "high")
    }
    fewer = Pieces(
        **columns,
        block=place[pieces.block[stay]],
        blocks=tuple(itertools.compress(pieces.blocks, keep)),
        zones=tuple(itertools.compress(pieces.zones, keep)),
    )
    blocks = tuple(itertools.compress(sprites.blocks, keep))
    return ScreenSprites(fewer, sprites.row[stay], lay_runs(blocks), blocks, sprites.layers)


def store_patterns(
    fitted: FittedPlanes,
    sprites: ScreenSprites,
    lab: np.ndarray,
    budget: int,
    guard: np.ndarray,
    merge: str,
    fixed: bool,
) -> tuple[StoredPlanes, PlacedPieces | None]:
    """Planes and sprites in at most `budget` patterns, and the pieces with their numbers.

    fitted: with four rows for each zone; what is stored counts rows 0 to 3 again
    merge: what merging minds, as in the preset's machine.merge
    fixed: whether every entry has to keep its place
    """
    free = free_rows(fitted, sprites, fixed)
    room = plane_budget(sprites.runs, budget)
    stored = reduce_tiles(fitted, lab, room, guard, merge, free=free)
    stored = dataclasses.replace(stored, row=stored.row % ROWS)
    stored, start = add_runs(stored, sprites.runs)
    return stored, sprites.placed(start)


def free_rows(fitted: FittedPlanes, sprites: ScreenSprites, fixed: bool) -> np.ndarray:
    """Palette rows (r,) bool whose entries merging may bring into another order: none where all are
    fixed, else those that no sprite is drawn in."""
    free = np.full(len(fitted.palette), not fixed)
    free[sprites.row] = False
    return free


def film_pieces(
    pieces: PlacedPieces,
    sprites: ScreenSprites,
    preset: Preset,
    machine: Machine,
    preview: Preview,
    vertical: Vertical | None,
) -> SpriteFilm:
    """The tables of all preview frames."""
    words = film_words(sprites.speeds, preset.camera.step, preview.frames)[:, :, 0]
    ratio = sprites.speeds.ratio[:, 0].tolist()
    height = preview.camera_y
    if height is None:
        height = np.zeros(preview.frames, dtype=np.int64)
    motion = move_pieces(
        sprites.pieces,
        [layer.number for layer in sprites.layers],
        words,
        moved_up(ratio, height),
        machine.plane_px[1] if vertical is not None and vertical.endless else 0,
    )
    keys = preset.sprites
    reserve = Reserve(keys.reserve, keys.reserve_line, keys.reserve_pixels)
    return film_sprites(pieces, motion, machine, reserve)
