"""Backdrops made by hand for tests, with every feature that a format has to hold.

They come from random numbers, not from a painter: a format must hold whatever fits the machine.
"""

from __future__ import annotations

import dataclasses
from fractions import Fraction

import numpy as np

from genbg.hardware.map_word import pack_map
from genbg.hardware.memory import plan_memory
from genbg.hardware.profile import Machine
from genbg.model import (
    Backdrop,
    Depths,
    EngineLayer,
    ErrorFigures,
    Figures,
    LineSpeeds,
    Moves,
    PlacedSprites,
    Preview,
    Proof,
    ScreenColours,
    Split,
    SpriteSet,
    Tiles,
    Vertical,
    Wave,
)
from genbg.scroll.sprite_tables import Reserve, SpriteMotion, film_sprites
from genbg.scroll.words import film_words

NARROW = Machine(
    screen=(256, 224), sprites_screen=64, sprites_line=16, sprite_pixels_line=256, scroll="strip"
)
"""A narrow screen, whose planes move in strips of eight lines."""
SMALLEST = dataclasses.replace(NARROW, plane_cells=(32, 32), scroll="line")
"""The narrow screen on the smallest planes."""

GROUPS = {
    "tiles": Tiles,
    "colours": ScreenColours,
    "moves": Moves,
    "sprites": SpriteSet,
    "proof": Proof,
}
"""The records that a backdrop is made of, by the backdrop's field. No two have a field alike."""

CURVE = np.array([[60, 0.0], [50, 0.00123456789], [40, 0.0023]])


def make_backdrop(
    seed: int = 1,
    *,
    machine: Machine | None = None,
    tiles: int = 40,
    frames: int = 6,
    step: Fraction = Fraction(5, 2),
    full: bool = False,
    **changes: object,
) -> Backdrop:
    """Return a backdrop of random tiles; `full` adds all that only some backdrops have."""
    machine = dataclasses.replace(machine or Machine(), vertical="column" if full else "none")
    rng = np.random.Generator(np.random.PCG64(seed))
    width, height = machine.plane_px
    speeds = make_speeds(rng, height if full else machine.screen[1])
    palette = rng.integers(0, 512, 64)
    palettes = {"home": words_of(palette)}
    if full:
        palettes |= {"dusk": words_of(rng.integers(0, 512, 64)), "dawn": words_of(palette[::-1])}
    placed = make_placed(rng, machine, tiles) if full else None
    vertical = make_vertical(speeds) if full else None
    splits = make_splits(rng, tuple(palettes)) if full else ()
    waves = make_waves() if full else ()
    motion = {mood: make_script(rng, palettes[mood], splits, mood) for mood in palettes}
    states = motion["home"][0] if full else None
    preview = make_preview(speeds, waves, frames, step, placed, vertical, states, machine)
    numbers = rng.integers(0, 512, (2, height, width))
    fields = {
        "title": "The Lantern Post: harbour */ stair",
        "name": "harbour",
        "seed": seed,
        "mood": "home",
        "machine": machine,
        "pixels": rng.integers(0, 16, (tiles, 8, 8)).astype(np.uint8),
        "maps": np.stack([make_map(rng, machine, tiles) for _ in range(2)]),
        "palettes": palettes,
        "speeds": screen_part(speeds, machine),
        "preview": preview,
        "base": plan_memory(machine, tiles, full, full).tile_base,
        "budget": tiles + 5,
        "before": tiles + 20,
        "error": ErrorFigures(0.000123456789, 41.23456789, 0.987654321, 0.00111111111),
        "layers": (make_layer(speeds, width),),
        "painted": numbers.astype(np.uint16),
        "stored": numbers.astype(np.uint16),
        "backdrop_entry": 17 if full else 0,
        "window": (208, 224) if full else None,
        "table": first_table(preview) if full else None,
        "placed": placed,
        "reserve": (3, 2, 16) if full else (0, 0, 0),
        "vertical": vertical,
        "splits": splits,
        "waves": waves,
        "scripts": {mood: script for mood, (_, script) in motion.items()} if full else {},
        "curve": CURVE,
        "warnings": ("the tide is in",) if full else (),
        "figures": Figures(depths=Depths(5, 2, 2, 1)),
    }
    return grouped(**{**fields, **changes})


def grouped(**fields: object) -> Backdrop:
    """Return a backdrop of plain fields, each put into the record that has a field of that name."""
    given = dict(fields)
    for name, record in GROUPS.items():
        own = [field.name for field in dataclasses.fields(record) if field.name in given]
        given[name] = record(**{field: given.pop(field) for field in own})
    return Backdrop(**given)


def changed(backdrop: Backdrop, **changes: object) -> Backdrop:
    """Return the backdrop with other values in fields of its own or of its records."""
    left = dict(changes)
    for name, record in GROUPS.items():
        own = [field.name for field in dataclasses.fields(record) if field.name in left]
        part = getattr(backdrop, name)
        left[name] = dataclasses.replace(part, **{field: left.pop(field) for field in own})
    return dataclasses.replace(backdrop, **left)


def words_of(numbers: np.ndarray) -> np.ndarray:
    """Return colour words 0000 BBB0 GGG0 RRR0 of colour numbers, bit by bit."""
    return ((numbers >> 6 & 7) << 9 | (numbers >> 3 & 7) << 5 | (numbers & 7) << 1).astype(
        np.uint16
    )


def make_map(rng: np.random.Generator, machine: Machine, tiles: int) -> np.ndarray:
    """Return random map words (R, C) that point at stored tiles."""
    columns, rows = machine.plane_cells
    bit = [rng.integers(0, 2, (rows, columns)) for _ in range(3)]
    number, row = rng.integers(0, tiles, (rows, columns)), rng.integers(0, 4, (rows, columns))
    return pack_map(number, row, bit[0], bit[1], bit[2])


def make_speeds(rng: np.random.Generator, lines: int) -> LineSpeeds:
    """Return still lines, layers, a ground, a layer beside the camera and one that goes back."""
    ratio = np.zeros((lines, 2), dtype=np.int32)
    drift = np.zeros((lines, 2), dtype=np.int32)
    ratio[20:60, 1] = 65536 // 17
    ratio[60:100, 1] = 65536 // 8
    ratio[100:, 1] = np.linspace(65536 // 8, 65536, lines - 100).astype(np.int32)
    ratio[40:120, 0] = 65536
    ratio[120:140, 0] = 65536 * 5 // 3
    ratio[140:150, 0] = rng.integers(-(2**31), 2**31, 10).astype(np.int32)
    ratio[150:, 0] = -21845
    drift[20:60, 1] = 16384
    drift[60:80, 1] = -7001
    drift[150:, 0] = rng.integers(-(2**31), 2**31, lines - 150).astype(np.int32)
    return LineSpeeds(ratio, drift)


def scroll_formula(speeds: LineSpeeds, camera_x: Fraction, frame: int) -> np.ndarray:
    """Return (L, 2) uint16 (-floor(ratio*camera_x + drift*frame)) & 0x3FF, in plain integers."""
    above, below = camera_x.numerator, camera_x.denominator
    words = []
    for ratios, drifts in zip(speeds.ratio.tolist(), speeds.drift.tolist(), strict=True):
        for ratio, drift in zip(ratios, drifts, strict=True):
            pixels = (ratio * above + drift * frame * below) // (65536 * below)
            words.append(-pixels & 0x3FF)
    return np.array(words, dtype=np.uint16).reshape(-1, 2)


def make_waves() -> tuple[Wave, ...]:
    """Return a slow swell on the front plane and, on the back plane, heat above a ripple."""
    rng = np.random.Generator(np.random.PCG64(31))
    return tuple(
        Wave(plane, top, bottom, frames, step, rng.integers(-127, 128, 256).astype(np.int8))
        for plane, top, bottom, frames, step in (
            (0, 100, 140, 300, 1000),
            (1, 0, 60, 7, 65535),
            (1, 60, 224, 96, 5461),
        )
    )


def wave_formula(waves: tuple[Wave, ...], frame: int, line: int, plane: int) -> int:
    """Return the pixels that waves take from a word, in plain integers."""
    for wave in waves:
        if wave.plane == plane and wave.top <= line < wave.bottom:
            phase = frame % wave.frames * 65536 // wave.frames + line * wave.step
            return int(wave.offsets[phase % 65536 // 256])
    return 0


def waved(
    speeds: LineSpeeds, waves: tuple[Wave, ...], camera_x: Fraction, frame: int
) -> np.ndarray:
    """Return scroll words (L, 2) uint16 with the waves in them, in plain integers."""
    words = scroll_formula(speeds, camera_x, frame).astype(int)
    for line in range(len(words)):
        for plane in range(2):
            words[line, plane] -= wave_formula(waves, frame, line, plane)
    return (words & 0x3FF).astype(np.uint16)


def make_script(rng: np.random.Generator, palette: np.ndarray, splits: tuple, mood: str) -> list:
    """Return states (5, n) of moving colours and their script: two entries, one of a rewrite."""
    words = [palette.tolist()]
    for split in splits:
        words.append([split.line, split.first, len(split.words[mood])])
        words.append(split.words[mood].tolist())
    start = [word for part in words for word in part]
    states = [list(start) for _ in range(5)]
    for frame in (1, 2, 4):
        for target in (5, 40, len(start) - 1):
            states[frame][target] = int(words_of(rng.integers(0, 512, 1))[0])
    script = [5]
    for frame, state in enumerate(states):
        pairs = [
            number
            for target, (old, new) in enumerate(zip(states[frame - 1], state, strict=True))
            if old != new
            for number in (target, new)
        ]
        script += [frame, len(pairs) // 2, *pairs] if pairs else []
    return [np.array(states, dtype=np.uint16), np.array(script, dtype=np.uint16)]


def make_preview(
    speeds: LineSpeeds,
    waves: tuple[Wave, ...],
    frames: int,
    step: Fraction,
    placed: PlacedSprites | None,
    vertical: Vertical | None,
    states: np.ndarray | None,
    machine: Machine,
) -> Preview:
    """Return the preview of these speeds, with whatever else moves."""
    scroll = np.stack([waved(speeds, waves, frame * step, frame) for frame in range(frames)])
    if placed is None or vertical is None or states is None:
        return Preview(fps=machine.fps, camera_step=step, returns=False, scroll=scroll)
    rng = np.random.Generator(np.random.PCG64(32))
    camera_y = np.append(40000, rng.integers(-(2**22), 2**22, frames - 1))
    up = camera_y[:, None] * np.array(vertical.ratio) // 2**32
    line = (np.arange(machine.screen[1])[None, :, None] + up[:, None]) % scroll.shape[1]
    columns = up[:, None] + vertical.offsets[np.arange(frames) % len(vertical.offsets)]
    return Preview(
        fps=machine.fps,
        camera_step=step,
        returns=True,
        scroll=np.take_along_axis(scroll, line, axis=1),
        vscroll=(columns & 0x3FF).astype(np.uint16),
        palette=states[np.arange(frames) % 5, :64],
        splits=states[np.arange(frames) % 5, 64:],
        sprites=make_tables(placed, camera_y, step, frames, machine),
        camera_y=camera_y,
    )


def make_vertical(speeds: LineSpeeds) -> Vertical:
    """Return planes that move up and down, each at a ratio of its own, with swaying columns."""
    rng = np.random.Generator(np.random.PCG64(33))
    return Vertical((65536, -20000), speeds, rng.integers(-40, 41, (3, 20, 2)), True)


def make_placed(rng: np.random.Generator, machine: Machine, tiles: int) -> PlacedSprites:
    """Return five sprites that stand on the screen while the camera has not moved."""
    n = 5
    return PlacedSprites(
        x=rng.integers(0, machine.screen[0], n),
        y=rng.integers(0, machine.screen[1], n),
        width=rng.integers(1, 5, n),
        height=rng.integers(1, 5, n),
        word=rng.integers(0, tiles - 16, n).astype(np.uint16) | np.uint16(0xB800),
        ratio=rng.integers(-(2**18), 2**18, n).astype(np.int32),
        drift=rng.integers(-(2**18), 2**18, n).astype(np.int32),
    )


def make_tables(
    placed: PlacedSprites, camera_y: np.ndarray, step: Fraction, frames: int, machine: Machine
) -> np.ndarray:
    """Return the sprite tables (F, 80, 8) of all frames."""
    words = film_words(
        LineSpeeds(*(np.stack([v, v], 1) for v in (placed.ratio, placed.drift))), step, frames
    )
    left = -words[:, :, 0].astype(int) & 0x3FF
    up = camera_y[:, None] * placed.ratio // 2**32
    motion = SpriteMotion(left, up, machine.plane_px[1])
    return film_sprites(placed, motion, machine, Reserve(3, 2, 16)).tables


def first_table(preview: Preview) -> np.ndarray:
    """Return the entries (n, 8) of the first frame: up to the one whose link is 0."""
    table = preview.sprites[0]
    return table[: int((table[:, 3] == 0).argmax()) + 1]


def screen_part(speeds: LineSpeeds, machine: Machine) -> LineSpeeds:
    """Return the speeds of the screen's lines."""
    return LineSpeeds(speeds.ratio[: machine.screen[1]], speeds.drift[: machine.screen[1]])


def make_splits(rng: np.random.Generator, moods: tuple[str, ...]) -> tuple[Split, ...]:
    """Return three colour rewrites, two in neighbouring gaps, the third of one entry, the last."""
    return tuple(
        Split(line, first, {mood: words_of(rng.integers(0, 512, count)) for mood in moods})
        for line, first, count in ((96, 16, 2), (97, 20, 2), (160, 63, 1))
    )


def make_layer(speeds: LineSpeeds, width: int) -> EngineLayer:
    """Return the back plane's lines as one engine layer."""
    lines = len(speeds.ratio)
    return EngineLayer(
        name="hills",
        plane="back",
        top=0,
        number=np.zeros((lines, width), dtype=np.uint16),
        alpha=np.ones((lines, width), dtype=bool),
        ratio=speeds.ratio[:, 1] / 65536,
        drift=speeds.drift[:, 1] / 65536,
        period=width,
        ratio_y=-20000 / 65536 if lines > 240 else 0.0,
    )
