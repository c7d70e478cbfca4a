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
from genbg.paint.lamps import draw_halo, draw_lamp_post
from genbg.paint.masonry import arch_head, arch_mask, arch_ring, blocks
from genbg.paint.pieces import BETWEEN, DEEP, LIT, RIM, SHADE, Sheet, Tones, art, digits
from genbg.paint.plants import hang_ivy
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
    height: float = key(0.9, "float", "Height of its top, a share of the lines.", low=0.2, high=1)
    span: int = key(72, "int", "Width of a usual arch.", low=16, high=256, unit="pixels")
    pier: int = key(24, "int", "Width of a usual pier.", low=8, high=96, unit="pixels")
    deck: int = key(24, "int", "Stone above the arches.", low=8, high=96, unit="pixels")
    variety: float = key(0.6, "float", "How far arches differ in width.", low=0, high=1)
    pointed: bool = key(False, "bool", "Pointed arches in place of round ones.")
    towers: float = key(0.15, "float", "Share of piers with a tower on them.", low=0, high=1)
    lamps: float = key(0.3, "float", "Share of piers with a lamp.", low=0, high=1)
    halo: int = key(0, "int", "Reach of the lamps' glow; 0 none.", low=0, high=48, unit="pixels")
    growth: float = key(0.3, "float", "Ivy over the edge.", low=0, high=1)
    water: bool = key(False, "bool", "Piers stand in water, which wets and darkens them.")


RAMPS = (
    Ramp("stone", "Stone.", ("#332b49", "#6d5b6d", "#a8928a", "#dbc8a8", "#fff4db"), 5),
    Ramp("ivy", "Ivy.", ("#0f3333", "#2b6d33", "#82b649"), 5),
    Ramp("iron", "Lamp posts.", ("#18182b", "#494961"), 2),
    Ramp("glow", "The glow in the air, far and near.", ("#b66d33", "#ffb65b"), 2, True),
    Ramp("lamp", "Lamps and lit windows.", ("#ff9224", "#ffdb6d", "#fffff0"), 3, True),
)


def paint_bridge(job: Job) -> Painting:
    """A bridge along the whole width; openings and air are see-through."""
    keys: BridgeKeys = job.params
    sheet = Sheet(job, Tones(RAMPS, job.steps))
    top = max(sheet.phase, sheet.foot - int(keys.height * job.lines))
    top = min(-(-top // CELL), sheet.rows - 1) * CELL
    arches = place_arches(keys, sheet.columns, job.seed)
    tone = lay_stone(keys, sheet, top, job.seed)
    spring = cut_openings(keys, tone, arches, top, sheet.foot)
    mark_piers(keys, tone, arches, spring, sheet.foot)
    lay_deck(tone, top)
    row = np.concatenate([[0], sheet.tones.row("stone")])
    sheet.ink = row[tone + 1]
    _crown_piers(job, keys, sheet, arches, top)
    if keys.growth:
        inks = digits(sheet.tones, "ivy")
        tops = np.full(sheet.columns, top)
        hang_ivy(sheet, inks, tops, tone >= 0, keys.growth, hash_words(job.seed, "ivy"))
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


def lay_stone(keys: BridgeKeys, sheet: Sheet, top: int, seed: int) -> np.ndarray:
    """Tones (H, W) int64 of a solid wall from `top` down, -1 above.

    Which blocks are worn or dark differs all over the plane; their cells are few all the same.
    """
    lines = np.arange(len(sheet.ink))
    wall = blocks(sheet.rows, sheet.columns, hash_words(seed, "blocks"), 5)
    tone = np.where(lines[:, None] < top, -1, np.clip(BETWEEN + wall, SHADE, LIT))
    if keys.water:
        wet = np.clip(tone - 1, DEEP, BETWEEN)
        tone = np.where(lines[:, None] >= sheet.foot - 2 * CELL, wet, tone)
    return np.where(lines[:, None] < sheet.foot, tone, -1)


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
    foot: int,
) -> None:
    """Light and shade down the sides of piers, a course where arches spring, wider feet."""
    columns = tone.shape[1] // CELL
    for n, (column, width) in enumerate(arches):
        after = arches[(n + 1) % len(arches)]
        left = column + width
        cells = (after[0] - left) % columns
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


def lay_deck(tone: np.ndarray, top: int) -> None:
    """The coping, its shadow and the row of corbels that carry it, in place."""
    x = np.arange(tone.shape[1])
    tone[top] = RIM
    tone[top + 1 : top + 4] = LIT
    tone[top + 4] = DEEP
    tone[top + 5 : top + CELL] = np.where(x % 8 < 4, BETWEEN, SHADE)


TOWER_TOP = (
    "44443...44443...44443... 33332...33332...33322... 444444444444444444444442 "
    "333333333333333333333221 .2222222222222222222110. .3333333333333333332210."
)
TOWER_BODY = ".3333333333333333332210. .3333333333333333332210. .3333333333333333332210. "
TOWER_EYE = (
    ".3333333323333333332210. .3333333LL333333332210.. .333333LLLL33333332210. "
    ".333333LLLL33333332210.. .333333LLLL33333332210.. .333333444433333332210."
)


def _crown_piers(
    job: Job, keys: BridgeKeys, sheet: Sheet, arches: list[tuple[int, int]], top: int
) -> None:
    """Towers and lamps on the deck over piers."""
    for n, (column, width) in enumerate(arches):
        after = arches[(n + 1) % len(arches)][0]
        left = column + width
        cells = (after - left) % sheet.columns
        middle = left + cells // 2
        seed = hash_words(job.seed, "pier", n)
        if pick_one(seed, 1000, "tower") < keys.towers * 1000 and top >= 4 * CELL:
            sheet.put(
                _draw_tower(sheet.tones, 3 + pick_one(seed, 2, "high")), middle - 1, top, False
            )
        elif pick_one(seed, 1000, "lamp") < keys.lamps * 1000 and top >= 4 * CELL:
            post = np.pad(draw_lamp_post(sheet.tones, "iron", "lamp", 4), ((0, 0), (4, 4)))
            if keys.halo:
                glow = draw_halo(keys.halo, sheet.tones("glow", DEEP), sheet.tones("glow", RIM))
                reach = len(glow) // 2
                foot = top - len(post) + CELL // 2 + reach
                glow[max(0, len(glow) - max(0, foot - top)) :] = 0
                sheet.put(glow, middle + 1 - reach // CELL, foot, False)
            sheet.put(post, middle, top, False)


def _draw_tower(tones: Tones, rows: int) -> np.ndarray:
    """A small gatehouse tower with a lit window."""
    inks = digits(tones, "stone", L=tones("lamp", LIT))
    body = art(TOWER_BODY, inks)[0]
    piece = np.tile(body, (rows * CELL, 1))
    crown, eye = art(TOWER_TOP, inks), art(TOWER_EYE, inks)
    piece[: len(crown)] = crown
    piece[2 * CELL - 4 : 2 * CELL - 4 + len(eye), : eye.shape[1]] = eye
    return piece


PAINTER = Painter(
    name="bridge",
    about="Bridges, viaducts and aqueducts, whose arches show what lies behind.",
    params=BridgeKeys,
    ramps=RAMPS,
    paint=paint_bridge,
    thrift=0.8,
)
