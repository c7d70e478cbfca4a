"""Ramps: a few anchor colours to a row of inks on the 512-colour grid that looks even.

The ideal inks lie on the line through the anchors in OKLab, the same distance apart. Snapping
each to its nearest grid colour makes steps that jump, since the grid is coarse; so the grid
colours near each ideal ink are candidates and the row is chosen as a whole, by dynamic programming,
for the least sum of errors of place and of step. All sums are of integers, so the choice is the
same on every machine.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np

from genbg.colour import LAB_SCALE, lab_steps

CANDIDATES = 12
"""Grid colours tried for an ink: those within about two grid steps of the ideal one."""
HUE = 4.0
"""Weight of an error in a and b against one in lightness; twice that for greys, since a grey that
turns pink is seen first."""
GREY = 40
"""Lab steps of chroma below which an ink counts as grey."""
UNEVEN = 2.0
"""Weight of a step's error in length against the error of place."""
TWIN = 1.0
"""Weight of a step that the anchors ask for and that two equal neighbours do not make."""
SIDEWAYS = 0.75
"""Weight of a step's part across the ramp's direction: keeps hues from swinging to and fro."""
BACKWARD = 6.0
"""Weight of going back along the ramp, and of lightness that misses a quarter of its rise."""


def spread_anchors(anchors: np.ndarray, steps: int) -> np.ndarray:
    """OKLab (steps, 3): points the same distance apart on the line through anchors (n, 3).

    One step asked: the middle of the line. One anchor, or all alike: that colour again.
    """
    anchors = np.asarray(anchors, dtype=np.float64)
    moves = np.diff(anchors, axis=0)
    lengths = np.sqrt(_squares(moves))
    ends = np.concatenate([[0.0], np.cumsum(lengths)])
    if ends[-1] == 0.0:
        return np.repeat(anchors[:1], steps, axis=0)
    part = np.array([0.5]) if steps == 1 else np.arange(steps) / (steps - 1)
    return _points_at(anchors, ends, part * ends[-1])


def _points_at(anchors: np.ndarray, ends: np.ndarray, at: np.ndarray) -> np.ndarray:
    piece = np.clip(np.searchsorted(ends, at, side="right") - 1, 0, len(anchors) - 2)
    length = ends[piece + 1] - ends[piece]
    share = (at - ends[piece]) / np.where(length > 0, length, 1.0)
    return anchors[piece] + share[:, None] * (anchors[piece + 1] - anchors[piece])


def choose_ramps(ideals: Sequence[np.ndarray], levels: tuple[int, ...]) -> list[np.ndarray]:
    """Colour numbers (S,) uint16 of rows of inks near ideal OKLab colours, each (S, 3).

    For each, of all rows of candidates the one of least cost: squared distance from the ideal
    inks, plus UNEVEN times the squared error of every step, plus what twins and backward steps
    cost. Ties: the row with the nearer candidates first. Rows of one length are chosen together.
    """
    chosen: list[np.ndarray] = [np.zeros(0, dtype=np.uint16)] * len(ideals)
    for steps in sorted({len(ideal) for ideal in ideals}):
        places = [n for n, ideal in enumerate(ideals) if len(ideal) == steps]
        rows = _choose(np.stack([ideals[n] for n in places]), levels)
        for n, row in zip(places, rows, strict=True):
            chosen[n] = row
    return chosen


def _choose(ideal: np.ndarray, levels: tuple[int, ...]) -> np.ndarray:
    """Colour numbers (B, S) uint16 for ideal OKLab colours (B, S, 3)."""
    target = np.rint(ideal * LAB_SCALE)
    table = lab_steps(levels).astype(np.float64)
    near, cost = _candidates(target, table)
    batch = np.arange(len(target))
    best, back = cost[:, 0], []
    for k in range(1, target.shape[1]):
        link = _link_costs(
            target[:, k] - target[:, k - 1], table[near[:, k - 1]], table[near[:, k]]
        )
        total = best[:, :, None] + link
        back.append(total.argmin(axis=1))
        best = total.min(axis=1) + cost[:, k]
    choice = [best.argmin(axis=1)]
    for came in reversed(back):
        choice.append(came[batch, choice[-1]])
    picks = np.stack(choice[::-1], axis=1)
    return np.take_along_axis(near, picks[..., None], axis=2)[..., 0].astype(np.uint16)


def _candidates(target: np.ndarray, table: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Colour numbers (B, S, C) nearest to target lab steps (B, S, 3), and their squared distance.

    Distances are integers below 2**22 and go into one key with the number, so that ties fall to the
    lowest number and a partial sort is enough.
    """
    axes = [target[..., i, None] - table[:, i] for i in range(3)]
    chroma = target[..., 1] * target[..., 1] + target[..., 2] * target[..., 2]
    hue = np.where(chroma < GREY * GREY, 2.0 * HUE, HUE)[..., None]
    away = axes[0] * axes[0] + hue * (axes[1] * axes[1] + axes[2] * axes[2])
    key = away.astype(np.int64) * 512 + np.arange(512)
    near = np.sort(np.partition(key, CANDIDATES, axis=-1)[..., :CANDIDATES], axis=-1)
    return near & 511, (near >> 9).astype(np.float64)


def _squares(d: np.ndarray) -> np.ndarray:
    return d[..., 0] * d[..., 0] + d[..., 1] * d[..., 1] + d[..., 2] * d[..., 2]


def _link_costs(want: np.ndarray, one: np.ndarray, two: np.ndarray) -> np.ndarray:
    """Costs (B, C, C) of following candidates of one ink (B, C, 3) with those of the next.

    want: (B, 3) lab steps from one ideal ink to the next
    """
    length = np.rint(np.sqrt(_squares(want)))[:, None, None]
    move = [two[:, None, :, i] - one[:, :, None, i] for i in range(3)]
    square = move[0] * move[0] + move[1] * move[1] + move[2] * move[2]
    ahead = sum(m * want[:, i, None, None] for i, m in enumerate(move))
    ahead = np.rint(ahead / np.maximum(length, 1.0))
    back = np.minimum(ahead, 0.0)
    light = want[:, 0, None, None]
    fall = np.minimum(move[0] * np.sign(light) - np.floor(np.abs(light) / 4), 0.0)
    side = np.maximum(square - ahead * ahead, 0.0)
    off = np.rint(np.sqrt(square)) - length
    twin = np.where(square == 0, TWIN * length * length, 0.0)
    wrong_way = BACKWARD * (back * back + 3.0 * fall * fall)
    return UNEVEN * off * off + SIDEWAYS * side + wrong_way + twin


def unevenness(numbers: Sequence[int], levels: tuple[int, ...]) -> float:
    """Largest step over the mean step of a row of colours, in OKLab; 1.0 is perfectly even."""
    lab = lab_steps(levels)[np.asarray(numbers)].astype(np.float64)
    steps = np.sqrt(_squares(np.diff(lab, axis=0))).tolist()
    whole = sum(steps)
    return max(steps) * len(steps) / whole if whole else 1.0
