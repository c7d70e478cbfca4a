"""Craft that painters share: rims and outlines, clean edges, patches that repeat on whole cells.

Masks and inks are (N, W) and wrap over the width; above the first and below the last line, the
outermost line goes on.
"""

from __future__ import annotations

import numpy as np

from genbg.hardware.sizes import CELL as CELL


def shifted(a: np.ndarray, dx: int, dy: int) -> np.ndarray:
    """What lies `dx` pixels right of and `dy` below each place: result[y, x] = a[y+dy, x+dx]."""
    lines = np.clip(np.arange(len(a)) + dy, 0, len(a) - 1)
    return np.roll(a[lines], -dx, axis=1)


def light_step(light: tuple[float, float]) -> tuple[int, int]:
    """One pixel toward the light: (dx, dy), each -1, 0 or 1; up is -1."""
    x, y = light
    high = y > abs(x) * 2.4
    flat = y * 2.4 < abs(x)
    return (0 if high else (1 if x > 0 else -1)), (0 if flat else -1)


def rim(mask: np.ndarray, light: tuple[float, float], width: int = 1) -> np.ndarray:
    """Pixels (N, W) bool of a mask from which `width` pixels toward the light is outside it."""
    dx, dy = light_step(light)
    lit = np.zeros_like(mask)
    for n in range(1, width + 1):
        lit |= ~shifted(mask, dx * n, dy * n)
    return mask & lit


def outline(mask: np.ndarray) -> np.ndarray:
    """Pixels (N, W) bool of a mask with a side neighbour outside it."""
    inside = mask.copy()
    for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
        inside &= shifted(mask, dx, dy)
    return mask & ~inside


def clean_mask(mask: np.ndarray, rounds: int = 1) -> np.ndarray:
    """A mask without single pixels, one-pixel holes and one-pixel notches.

    A pixel with at least three of its four side neighbours unlike it takes their value.
    """
    for _ in range(rounds):
        count = np.zeros(mask.shape, dtype=np.uint8)
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1)):
            count += shifted(mask, dx, dy)
        mask = np.where(mask, count > 1, count > 2)
    return mask


def stray_pixels(ink: np.ndarray) -> np.ndarray:
    """Pixels (N, W) bool none of whose eight neighbours has their ink."""
    alone = np.ones(ink.shape, dtype=bool)
    for dx, dy in ((1, 0), (1, 1), (0, 1), (-1, 1)):
        there = slice(0, len(ink) - dy)
        other = np.roll(ink[dy:], -dx, axis=1)
        same = ink[there] == other
        alone[there] &= ~same
        alone[dy:] &= ~np.roll(same, dx, axis=1)
    return alone


def lone_pixels(ink: np.ndarray) -> np.ndarray:
    """Stray pixels (N, W) bool that belong to no dither: none 2, 4 or 8 pixels off has their ink.

    Ordered dither repeats every 2, 4 or 8 pixels.
    """
    alone = stray_pixels(ink)
    ring = [(dx, dy) for dx in (-2, 0, 2) for dy in (-2, 0, 2) if dx or dy]
    ring += [(4 * dx, 4 * dy) for dx in (-1, 0, 1) for dy in (-1, 0, 1) if dx or dy]
    for dx, dy in [*ring, (8, 0), (-8, 0)]:
        alone &= ink != shifted(ink, dx, dy)
    return alone


def remove_strays(ink: np.ndarray, keep: np.ndarray | None = None) -> np.ndarray:
    """Inks (N, W) with every stray pixel painted over by a neighbour.

    It takes the ink that two of its side neighbours share, else that of the left one.
    keep: (N, W) bool, pixels that stay (stars, dither)
    """
    stray = stray_pixels(ink)
    if keep is not None:
        stray &= ~keep
    left, right = shifted(ink, -1, 0), shifted(ink, 1, 0)
    above, below = shifted(ink, 0, -1), shifted(ink, 0, 1)
    shared = np.where(above == below, above, np.where(above == right, above, left))
    shared = np.where(below == right, below, shared)
    shared = np.where((left == right) | (left == above) | (left == below), left, shared)
    return np.where(stray, shared, ink)


def mirrored(half: np.ndarray) -> np.ndarray:
    """(h, 2w): a half and its mirror image, so that the other side costs no tile."""
    return np.concatenate([half, half[:, ::-1]], axis=1)


def lit_share(heights: np.ndarray, light: tuple[float, float], relief: float = 1.0) -> np.ndarray:
    """How much light (N, W) float32, -1..1, falls on a relief: slopes toward the light are bright.

    heights: (N, W) bulge toward the eye, in pixels; relief: how deep it is taken
    """
    heights = np.asarray(heights, dtype=np.float32)
    across = np.roll(heights, -1, axis=1) - np.roll(heights, 1, axis=1)
    down = shifted(heights, 0, 1) - shifted(heights, 0, -1)
    across *= np.float32(relief * 0.5)
    down *= np.float32(relief * 0.5)
    lx, ly = np.float32(light[0]), np.float32(light[1])
    dot = ly * down - lx * across
    return dot / np.sqrt(across * across + down * down + np.float32(1))


def paste(onto: np.ndarray, stamp: np.ndarray, x: int, y: int) -> None:
    """Put a stamp of inks (h, w) on a picture in place; ink 0 is see-through, columns wrap."""
    first, last = max(0, y), min(len(onto), y + len(stamp))
    if first >= last:
        return
    columns = (np.arange(stamp.shape[1]) + x) % onto.shape[1]
    part = stamp[first - y : last - y]
    place = onto[first:last]
    place[:, columns] = np.where(part > 0, part, place[:, columns])
