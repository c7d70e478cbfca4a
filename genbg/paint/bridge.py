"""Painter of bridges: arches that show what lies behind, viaducts on tall piers, aqueducts.

Arches come in few widths, each a whole number of cells, and their piers keep to the cell grid: the
ring of an arch is the same wherever it stands, and all between is one patch of stone repeated.
"""

from __future__ import annotations

import numpy as np

from genbg.keys import key
from genbg.model import Painting
from genbg.paint.contract import Job, Painter, Ramp
from genbg.paint.craft import CELL
from genbg.paint.creepers import hang_creepers
from genbg.paint.crowns import RAILS, crown_bridge
from genbg.paint.masonry import arch_head, arch_mask, arch_ring, blocks
from genbg.paint.pieces import BETWEEN, DEEP, LIT, RIM, SHADE, Sheet, Tones
from genbg.paint.scatter import hash_words, pick, pick_one
from genbg.records import record

RING = 6
"""Pixels of the ring of wedge stones around an arch."""
SOFFIT = 5
"""Pixels of an arch's inner side that show."""


@record(frozen=True)
class BridgeKeys:
    """Keys of the bridge painter."""

    tiers: int = key(1, "int", "Rows of arches: 2 is an aqueduct.", low=1, high=2)
    height: float = key(0.9, "float", "Height of its deck, a share of the lines.", low=0.2, high=1)
    span: int = key(72, "int", "Width of a usual arch.", low=16, high=256, unit="pixels")
    pier: int = key(24, "int", "Width of a usual pier.", low=8, high=96, unit="pixels")
    deck: int = key(24, "int", "Stone above the arches.", low=8, high=96, unit="pixels")
    variety: float = key(0.6, "float", "How far arches differ in width.", low=0, high=1)
    pointed: bool = key(False, "bool", "Pointed arches in place of round ones.")
    wear: float = key(0.7, "float", "Share of blocks that are worn smooth.", low=0, high=1)
    rail: str = key("coping", "choice", "What stands along the deck's edge.", choices=RAILS)
    crowns: float = key(
        0.0, "float", "Share of piers that rise above the deck to a cap or a statue.", low=0, high=1
    )
    gate: float = key(
        0.0,
        "float",
        "Where a gatehouse stands; 0 nowhere.",
        low=0,
        high=1,
        unit="share of the plane's width",
    )
    broken: int = key(
        0, "int", "Width of a stretch that has fallen; 0 none.", low=0, high=256, unit="pixels"
    )
    lamps: float = key(0.3, "float", "Share of piers with a lamp.", low=0, high=1)
    halo: int = key(0, "int", "Reach of the lamps' glow; 0 none.", low=0, high=48, unit="pixels")
    growth: float = key(0.3, "float", "Ivy over the edge.", low=0, high=1)
    water: bool = key(False, "bool", "Piers stand in water, which wets and darkens them.")
    shine: int = key(
        0, "int", "Lines at the foot that show its reflection.", low=0, high=64, unit="lines"
    )


RAMPS = (
    Ramp("stone", "Stone.", ("#332b49", "#6d5b6d", "#a8928a", "#dbc8a8", "#fff4db"), 5),
    Ramp("ivy", "Ivy.", ("#0f3333", "#2b6d33", "#82b649"), 5),
    Ramp("roof", "The gatehouse's roofs.", ("#490024", "#922449", "#db6d49"), 4),
    Ramp("iron", "Lamp posts.", ("#18182b", "#494961"), 2),
    Ramp("glow", "The glow in the air, far and near.", ("#b66d33", "#ffb65b"), 2, True),
    Ramp("lamp", "Lamps and lit windows.", ("#ff9224", "#ffdb6d", "#fffff0"), 3, True),
)


class _Hues(Tones):
    """The painter's inks; what a house asks for as its window is a lamp."""

    def __call__(self, ramp: str, tone: int) -> int:
        return super().__call__("lamp" if ramp == "window" else ramp, tone)


def paint_bridge(job: Job) -> Painting:
    """A bridge along the whole width; openings and air are see-through."""
    keys: BridgeKeys = job.params
    sheet = Sheet(job, _Hues(RAMPS, job.steps))
    foot = max(CELL, (sheet.foot - keys.shine) // CELL * CELL) if keys.shine else sheet.foot
    top = max(sheet.phase, foot - int(keys.height * (foot - sheet.phase)))
    top = min(-(-top // CELL), max(0, foot // CELL - 1)) * CELL
    arches = place_arches(keys, sheet.columns, job.seed)
    tone = lay_stone(keys, sheet, top, foot, job.seed)
    spring = cut_openings(keys, tone, arches, top, foot)
    mark_piers(keys, tone, arches, spring, top, foot)
    lay_deck(tone, top)
    fallen = np.zeros(sheet.width, dtype=np.int64)
    if keys.broken:
        fallen = break_stretch(keys, tone, arches, top, foot, job.seed)
    row = np.concatenate([[0], sheet.tones.row("stone")])
    sheet.ink = row[tone + 1]
    whole = fallen.reshape(-1, CELL).max(axis=1) == 0
    crown_bridge(job, keys, sheet, arches, top, whole)
    if keys.shine:
        reflect(sheet, foot, tone, row)
    if keys.growth:
        tops = np.where(whole, top, -1)
        seed = hash_words(job.seed, "ivy")
        few = job.thrift > 0.6
        hang_creepers(sheet, sheet.tones.row("ivy"), tops, keys.growth, seed, few)
    if sheet.turned:
        sheet.ink = sheet.ink[:, ::-1]
    return sheet.painting(("lamp",))


def place_arches(keys: BridgeKeys, columns: int, seed: int) -> list[tuple[int, int]]:
    """Openings (first cell column, cells) around the plane, in order; piers lie between them.

    Widths differ by two cells a step, so that an arch's middle is a cell border.
    """
    pier = max(1, keys.pier // CELL)
    usual = max(2, keys.span // CELL // 2 * 2)
    reach = round(keys.variety * usual / 4)
    count = max(1, min(round(columns / (usual + pier)), columns // 3))
    steps = pick(hash_words(seed, "spans"), 2 * reach + 1, np.arange(count)) - reach
    widths = np.maximum(usual + 2 * steps, 2)
    piers = np.full(count, pier)
    _share_out(columns, widths, piers)
    # The first arch stands across the wrap, so that no pier ends there.
    places, at = [], -int(widths[0]) // 2
    for width, wall in zip(widths.tolist(), piers.tolist(), strict=True):
        places.append((at % columns, width))
        at += width + wall
    return places


def _share_out(columns: int, widths: np.ndarray, piers: np.ndarray) -> None:
    """Make arches and piers add up to the plane, in place: arches by two cells, then piers by one.

    Each arch stays at least two cells wide and each pier one; one arch after the other gives way.
    """
    n = 0
    while (gap := columns - int(widths.sum() + piers.sum())) not in (0, 1):
        place = n % len(widths)
        if gap > 0:
            widths[place] += 2
        elif widths.max() > 2:
            widths[place] -= 2 if widths[place] > 2 else 0
        else:
            piers[place] -= 1 if piers[place] > 1 else 0
        n += 1
    piers[0] += gap


def lay_stone(keys: BridgeKeys, sheet: Sheet, top: int, foot: int, seed: int) -> np.ndarray:
    """Tones (H, W) int64 of a solid wall from `top` down, -1 above.

    Which blocks are worn differs all over the plane; their cells are few all the same.
    """
    lines = np.arange(len(sheet.ink))[:, None]
    worn = round(keys.wear * 8)
    wall = blocks(sheet.rows, sheet.columns, hash_words(seed, "blocks"), worn, dark=False)
    tone = np.where(lines < top, -1, np.clip(BETWEEN + wall, SHADE, LIT))
    if keys.water:
        tone = np.where(lines >= foot - 2 * CELL, BETWEEN, tone)
        tone = np.where(lines >= foot - CELL, SHADE, tone)
    return np.where(lines < foot, tone, -1)


def cut_openings(
    keys: BridgeKeys, tone: np.ndarray, arches: list[tuple[int, int]], top: int, foot: int
) -> dict[int, int]:
    """Cut all openings in place; returns {width in cells: line from which sides are straight}."""
    crown = top + keys.deck // CELL * CELL + CELL
    spring = {}
    if keys.tiers == 2:
        small = max(2, keys.span // CELL // 2 // 2 * 2)
        high = (small // 2 + 2) * CELL
        for column, width in _upper_arches(arches, small, tone.shape[1] // CELL):
            _cut(keys, tone, column, width, crown, min(crown + high, foot))
        crown += high + 2 * CELL
    for column, width in arches:
        head = crown + (max(w for _, w in arches) - width) * CELL // 4
        head = head // CELL * CELL
        _cut(keys, tone, column, width, head, foot)
        spring[width] = min(foot, head + arch_head(width * CELL, keys.pointed))
    return spring


def _upper_arches(arches: list[tuple[int, int]], small: int, columns: int) -> list[tuple[int, int]]:
    """Small openings above the large ones, as many as fit, and one cell of stone between them."""
    places = []
    for n, (column, _) in enumerate(arches):
        after = arches[(n + 1) % len(arches)][0]
        bay = (after - column) % columns or columns
        count = max(1, bay // (small + 1))
        for k in range(count):
            first = column + (bay * k + count // 2) // count
            room = (bay * (k + 1) + count // 2) // count - (bay * k + count // 2) // count - 1
            places.append((first % columns, min(small, room // 2 * 2)))
    return [(column, width) for column, width in places if width >= 2]


def _cut(keys: BridgeKeys, tone: np.ndarray, column: int, width: int, head: int, foot: int) -> None:
    """One opening, its ring of wedge stones and the shaded inner side that shows, in place."""
    lines = foot - head
    if lines <= 0:
        return
    span = width * CELL
    opening = arch_mask(span, lines, keys.pointed)
    ring, joint = arch_ring(span, lines, RING, keys.pointed)
    x = (column * CELL + np.arange(-RING, span + RING)) % tone.shape[1]
    above = max(0, RING - head)
    wall = tone[head - RING + above : foot]
    ring, joint = ring[above:][: len(wall)], joint[above:][: len(wall)]
    # Its upper part faces the light.
    stones = np.where(np.arange(len(ring))[:, None] < span // 6 + RING, RIM, LIT)
    stones = np.where(joint, SHADE, stones)
    wall[:, x] = np.where(ring & (wall[:, x] >= 0), stones, wall[:, x])
    x = (column * CELL + np.arange(opening.shape[1])) % tone.shape[1]
    inner = np.zeros_like(opening)
    inner[:, :SOFFIT] = opening[:, :SOFFIT]
    for n in range(1, SOFFIT + 1):
        inner[:, n:] |= opening[:, n:] & ~opening[:, :-n]
    place = tone[head:foot]
    place[:, x] = np.where(opening, np.where(inner, DEEP, -1), place[:, x])


def mark_piers(
    keys: BridgeKeys,
    tone: np.ndarray,
    arches: list[tuple[int, int]],
    spring: dict[int, int],
    top: int,
    foot: int,
) -> None:
    """Light and shade down the sides of piers, a course where arches spring, wider feet."""
    columns = tone.shape[1] // CELL
    for n, (column, width) in enumerate(arches):
        after = arches[(n + 1) % len(arches)]
        left = column + width
        cells = (after[0] - left) % columns
        _raise_pilaster(tone, left, cells, top)
        line = (max(spring[width], spring[after[1]]) + CELL - 1) // CELL * CELL
        x = (left * CELL + np.arange(cells * CELL)) % tone.shape[1]
        part = tone[line:foot]
        part[:, x[0]] = RIM
        shade = x[-max(3, cells * 2) :]
        part[:, shade] = np.maximum(part[:, shade] - 1, DEEP)
        part[:, x[-1]] = DEEP
        wide = (left * CELL + np.arange(-3, cells * CELL + 3)) % tone.shape[1]
        for at, thick in ((line, 3), (foot - CELL, CELL)):
            if at + thick > foot or at < 0:
                continue
            tone[at : at + thick, wide] = LIT if at == line else BETWEEN
            tone[at, wide] = RIM
            tone[at + thick - 1, wide] = SHADE
            tone[at : at + thick, wide[-4:]] = SHADE
        if keys.water:
            tone[foot - 3 : foot, wide] = DEEP


def _raise_pilaster(tone: np.ndarray, left: int, cells: int, top: int) -> None:
    """A flat buttress before the wall over a pier, in place; the rings of arches lie before it."""
    inset = CELL // 2 if cells > 1 else 1
    x = (left * CELL + np.arange(inset, cells * CELL - inset)) % tone.shape[1]
    part = tone[top:]
    across = np.full(len(x), LIT)
    across[0], across[-3:-1], across[-1] = RIM, BETWEEN, DEEP
    wall = (part[:, x] >= SHADE) & (part[:, x] < RIM) & _above_rings(part[:, x])
    part[:, x] = np.where(wall, across, part[:, x])


def _above_rings(part: np.ndarray) -> np.ndarray:
    """Where nothing but wall lies above: (H, w) bool, down to the first ring or opening."""
    other = (part < SHADE) | (part == RIM)
    other[:1] = False
    return ~np.logical_or.accumulate(other, axis=0)


def lay_deck(tone: np.ndarray, top: int) -> None:
    """The coping, its shadow and the row of corbels that carry it, in place."""
    x = np.arange(tone.shape[1])
    tone[top] = RIM
    tone[top + 1 : top + 4] = LIT
    tone[top + 4] = DEEP
    tone[top + 5 : top + CELL] = np.where((x + 2) % 8 < 4, SHADE, BETWEEN)


def break_stretch(
    keys: BridgeKeys,
    tone: np.ndarray,
    arches: list[tuple[int, int]],
    top: int,
    foot: int,
    seed: int,
) -> np.ndarray:
    """Take away in place what has fallen around one arch; returns how many lines (W,) are gone.

    Two stubs step down to the arch, of which the springers are left; in the water lie its stones.
    """
    column, width = arches[pick_one(seed, len(arches), "fallen")]
    middle = column * CELL + width * CELL // 2
    x = np.arange(tone.shape[1])
    half = len(x) // 2
    off = np.abs((x - middle + half) % len(x) - half)
    reach = max(keys.broken // 2, 2 * CELL)
    stone = x // 4
    ragged = 4 * pick(seed, 4, stone // 2, 1) + 4 * pick(seed, 2, stone, 2)
    tall = foot - top
    inner = min(width * CELL // 2 - CELL, reach - CELL)
    share = np.clip((reach - off) * 256 // max(1, reach - inner), 0, 256)
    gone = np.where(off < reach, (share * share * tall * 5 // (8 * 65536) + ragged) // 4 * 4, 0)
    gone = np.where(off < inner, tall - 4 * pick(seed, 3, stone // 2, 3), gone)
    gone = np.minimum(gone, tall)
    down = np.arange(len(tone))[:, None] - top
    tone[down < gone] = -1
    edge = (down >= gone) & (down < gone + 2) & (gone > 0) & (tone >= 0)
    tone[edge & (down == gone)] = RIM
    tone[edge & (down == gone + 1)] = LIT
    rubble = (off < inner) & (foot - top - gone > 0)
    tone[(down >= gone) & (down < tall) & rubble & (tone < 0)] = SHADE
    return gone


def reflect(sheet: Sheet, foot: int, tone: np.ndarray, row: np.ndarray) -> None:
    """Below line `foot` the bridge upside down, darker, broken into dashes that sway, in place."""
    for n in range(min(foot, len(sheet.ink) - foot)):
        if n % CELL == 3 or (n > 3 * CELL and n % 4 == 1) or (n > 4 * CELL and n % 2):
            continue
        line = tone[foot - 1 - n]
        sway = (0, 1, 1, 0, 0, -1, -1, 0)[n % CELL] * (1 + n // (2 * CELL))
        dim = np.roll(np.where(line >= 0, np.maximum(line - 1, DEEP), -1), sway)
        sheet.ink[foot + n] = row[dim + 1]
    sheet.ink[foot] = np.where(row[tone[foot - 1] + 1] > 0, sheet.tones("stone", RIM), 0)


PAINTER = Painter(
    name="bridge",
    about="Bridges, viaducts and aqueducts, whose arches show what lies behind.",
    params=BridgeKeys,
    ramps=RAMPS,
    paint=paint_bridge,
    thrift=0.8,
)
