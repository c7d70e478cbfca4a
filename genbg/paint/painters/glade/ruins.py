"""Ruins in a glade: arcades that fade in the light, a broken gate with ivy, columns beside it."""

from __future__ import annotations

import numpy as np

from genbg.paint.craft.air import away, mixed
from genbg.paint.craft.edges import shifted
from genbg.paint.craft.exact import smooth
from genbg.paint.craft.fields import fractal, profile
from genbg.paint.craft.leaves import LeafSheet, clusters, hang_twigs, mass_leaves
from genbg.paint.craft.scatter import between, hash_array, hash_words
from genbg.paint.craft.tonal import TonalPicture
from genbg.paint.families.lantern import lantern
from genbg.paint.painters.glade.keys import Stage
from genbg.paint.painters.glade.shore import Shore

COURSE = 6.0
"""Height of a course of stones in the gate, pixels."""


def arch_opening(dx: np.ndarray, up: np.ndarray, half: float, spring: float) -> np.ndarray:
    """Pixels bool inside an arch: straight to its spring, a half circle above.

    dx: columns from its middle; up: lines above the ground
    """
    ring = dx * dx + (up - spring) * (up - spring) < half * half
    return (np.abs(dx) < half) & (up < spring) | (ring & (up >= spring))


def arcade(
    lines: int, width: int, at: tuple[float, float], span: float, count: int, seed: int
) -> np.ndarray:
    """Pixels (N, W) bool of a wall of arches, broken off at its top and its ends.

    at: column of its middle, line of its foot; span: breadth of an arch with its pier
    """
    x = away(np.arange(width)[None, :], at[0], width)
    up = at[1] - np.arange(lines)[:, None]
    within = (x + span * count / 2) % span - span / 2
    opening = arch_opening(within, up, span * 0.36, span * 0.95)
    broken = span * (1.62 + 0.9 * profile(width, seed, max(2, width // 64), 4))
    end = span * count / 2 * (1.0 - 0.25 * smooth(up, 0.0, span * 1.6))
    return (np.abs(x) < end) & (up >= -3) & (up < broken[None, :]) & ~opening


def far_arcade(
    v: np.ndarray, soft: np.ndarray, field: np.ndarray, stage: Stage, near: float, side: float,
    seed: int,
) -> np.ndarray:  # fmt: skip
    """Light (N, W) after an arcade has been put before it, pale with distance."""
    lines, width = field.shape
    x = stage.focus + (1 if seed % 2 else -1) * between(seed, 60, 150, "x")
    span = 16.0 + 26.0 * near
    count = 3 + seed % 3
    wall = arcade(lines, width, (x, stage.shore - 5), span, count, seed)
    lit = wall & ~shifted(wall, int(side), 0)
    fog = near * (1.0 - 0.6 * smooth(np.arange(lines)[:, None], stage.shore - 44, stage.shore - 4))
    soft[wall] = np.where(fog > 0.8 * near, 0.0, 1.0).repeat(width, axis=1)[wall]
    return np.where(wall, mixed(field, 0.12 + 0.25 * lit, fog), v)


def raise_gate(
    picture: TonalPicture, stage: Stage, shore: Shore, light: tuple[float, float], seed: int
) -> None:
    """A great broken arch over the way, with courses, a lit reveal, moss and ivy, and columns."""
    s = 1.1 * stage.size
    lines, width = picture.tone.shape
    dx = away(np.arange(width)[None, :], np.floor(stage.focus), width)
    foot = np.floor(shore.crest[int(stage.focus) % width]) + 4
    up = foot - np.arange(lines)[:, None]
    side = 1.0 if light[0] > 0 else -1.0
    half, spring = 17 * s, 34 * s
    crown = 74 * s + 26 * s * profile(width, hash_words(seed, "broken"), max(2, width // 32), 4)
    row = np.floor(up / COURSE).astype(np.int64)
    quoin = (hash_array(seed, row) % np.uint64(5)).astype(np.float64)
    flank = (38.0 + quoin) * s - 0.06 * up
    ends = np.where(dx * (1 if seed % 2 else -1) > 0, crown - 0.7 * np.abs(dx), crown)
    wall = (np.abs(dx) < flank) & (up > -4) & (up < ends)
    opening = arch_opening(dx, up, half, spring)
    beyond = arch_opening(dx + 5 * s * side, up, half, spring)
    body = wall & ~opening
    picture.lay(body, "stone", _courses(dx, up, seed, side, (half, spring)))
    reveal = wall & opening & ~beyond
    picture.lay(reveal, "stone", np.where(np.floor(up / COURSE) % 2, 2.0, 1.0))
    edge = body & ~shifted(body, int(side), 0) | (body & ~shifted(body, 0, -1))
    picture.lay(edge, "stone", 3.0)
    picture.lay(reveal & shifted(~opening | beyond, int(-side), 0), "stone", 3.0)
    middle = np.floor(spring + half - 15 * s)
    chain = (np.abs(dx) < 0.7) & (up > middle) & (up < spring + half)
    picture.lay(chain, "lamp", 0.0)
    lantern(picture, dx, middle - up, 1.1 * s)
    for n in range(3):
        own = hash_words(seed, "column", n)
        x = (58 + 24 * n) * s * (1 if (own >> 4) % 2 else -1) + between(own, -6, 6)
        _column(picture, dx - np.floor(x), up, s * between(own, 0.8, 1.1, 1), side, own)
    _ivy(picture, stage, foot, light, body, seed)


def _courses(
    dx: np.ndarray, up: np.ndarray, seed: int, side: float, arch: tuple[float, float]
) -> np.ndarray:
    """Tones (N, W) of stones in courses, with a ring of long stones about the arch."""
    half, spring = arch
    row = np.floor(up / COURSE)
    place = dx / 11.0 + 0.5 * (row % 2) + 90.0
    own = hash_array(seed, row.astype(np.int64) + 0 * dx.astype(np.int64),
                     np.floor(place).astype(np.int64) + 0 * row.astype(np.int64))  # fmt: skip
    tone = 0.9 + (own % np.uint64(4)).astype(np.float64) * 0.34
    joint = (up - row * COURSE < 1.0) | ((place - np.floor(place)) * 11.0 < 1.0)
    tone = np.where(joint, 0.0, tone + 0.5 * ((up - row * COURSE) > COURSE - 1.5))
    high = up - spring
    ring = np.sqrt(dx * dx + np.maximum(high, 0) * np.maximum(high, 0))
    inside = (ring < half + 7) & (ring >= half)
    steep = np.where(np.abs(dx) > 0.5, high / np.maximum(np.abs(dx), 0.5), 9.0)
    wedge = np.floor(np.clip(steep, 0.0, 4.0) * 2.2) % 2
    tone = np.where(inside & (high > 0), 1.0 + wedge, tone)
    rim = smooth(dx * side, -20.0, 40.0)
    return np.clip(np.floor(tone + 0.7 * rim), 0, 3)


def _column(
    picture: TonalPicture, dx: np.ndarray, up: np.ndarray, s: float, side: float, seed: int
) -> None:
    """A column broken off aslant, round in its light, on a plinth."""
    high, half = between(seed, 16, 52, "high") * s, 4.6 * s
    slant = (0.5 if seed % 2 else -0.5) * dx
    shaft = (np.abs(dx) < half) & (up > -3) & (up < high + slant)
    turn = dx * side / half
    groove = (np.floor(dx + 40) % 3 == 0) & (turn < 0.5)
    tone = 1.2 + 1.6 * turn - 0.6 * groove
    picture.lay(shaft, "stone", np.clip(np.floor(tone + 0.5), 0, 3))
    plinth = (np.abs(dx) < half * 1.5) & (up > -4) & (up < 4 * s)
    picture.lay(plinth, "stone", np.where(up > 3 * s - 1, 3.0, 1.0))
    cap = shaft & (up > high + slant - 2)
    picture.lay(cap, "leaves", 4.0 + (turn > 0.2))


def _ivy(
    picture: TonalPicture, stage: Stage, foot: float, light: tuple[float, float],
    body: np.ndarray, seed: int,
) -> None:  # fmt: skip
    """Ivy that lies over the broken top and hangs down one flank, and moss on the courses."""
    lines, width = body.shape
    s = stage.size
    top = np.where(body.any(axis=0), body.argmax(axis=0), lines)
    centres = []
    for n in range(9):
        own = hash_words(seed, "ivy", n)
        x = stage.focus + between(own, -36, 36, 0) * s
        y = float(top[int(np.floor(x)) % width])
        if y < lines - 20:
            centres.append((x, y + 3, between(own, 8, 15, 1) * s, between(own, 5, 9, 2) * s, 0.6))
    flank = stage.focus + (1 if seed % 2 else -1) * 30 * s
    for n in range(5):
        own = hash_words(seed, "hang", n)
        y = foot - (62 - 12 * n) * s
        size = between(own, 5, 10, 1) * s
        centres.append((flank + between(own, -6, 6, 0), y, size, size * 1.1, 0.4))
    sheet = LeafSheet(lines, width)
    masses = clusters(np.array(centres), seed, 2, 4)
    sheet.lay(mass_leaves(masses, hash_words(seed, "leaves"), light, size=1, closeness=0.8))
    hang_twigs(sheet, hash_words(seed, "twigs"), 26, (5.0, 15.0))
    level = np.clip(np.floor(sheet.level + 0.5), 0, 7)
    picture.lay(sheet.covered, "leaves", level)
    patch = fractal(width, lines, hash_words(seed, "moss"), width // 12, 1 / 9, 2)
    moss = body & (patch > 0.22) & ~sheet.covered & (picture.tone > 0)
    picture.lay(moss, "leaves", np.clip(picture.tone + 2.0, 2, 5))
