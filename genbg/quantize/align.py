"""Which row is which from zone to zone.

Where no cell crosses the border of two zones, the lower one's four rows may be numbered anew. They
are numbered so that as many inks as can be stay in their row, because a colour that stays where it
is needs no rewrite at the border. Zones that a cell ties together are numbered together.
"""

from __future__ import annotations

import itertools

import numpy as np

from genbg.hardware.sizes import PALETTES
from genbg.quantize.rows import Fit


def align_zones(fit: Fit, entries: np.ndarray) -> np.ndarray:
    """Entries (4, Z, 15) with the rows of each zone numbered after the zone above.

    Ties to the first order of rows that is as good, beginning with the one they have.
    """
    entries = entries.copy()
    zones = entries.shape[1]
    tied = tied_zones(fit)
    top = 1
    while top < zones:
        if tied[top]:
            top += 1
            continue
        below = next((zone for zone in range(top + 1, zones) if not tied[zone]), zones)
        kept = shared_inks(entries[:, top - 1], entries[:, top], fit.nothing)
        orders = list(itertools.permutations(range(PALETTES)))
        best = max(orders, key=lambda order: int(kept[np.arange(PALETTES), order].sum()))
        entries[:, top:below] = entries[list(best), top:below]
        top = below
    return entries


def tied_zones(fit: Fit) -> np.ndarray:
    """For each zone (Z,) bool whether a cell reaches both into it and into the zone above."""
    zone = np.zeros(len(fit.gap), np.int64)
    for number, points in enumerate(fit.members):
        zone[points] = number
    tied = np.zeros(len(fit.members), bool)
    if len(fit.first):
        highest = np.minimum.reduceat(zone[fit.kind], fit.first)
        lowest = np.maximum.reduceat(zone[fit.kind], fit.first)
        for low, high in set(zip(lowest.tolist(), highest.tolist(), strict=True)):
            tied[high + 1 : low + 1] = True
    return tied


def shared_inks(upper: np.ndarray, lower: np.ndarray, nothing: int) -> np.ndarray:
    """How many inks each row of one zone has in common with each of another, (4, 4).

    upper, lower: (4, 15) candidates
    """
    same = (upper[:, None, :, None] == lower[None, :, None]) & (upper[:, None, :, None] != nothing)
    count: np.ndarray = same.sum(axis=(2, 3))
    return count
