"""The materials that a family builds in, by the painter's numbers."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Stuff:
    """Numbers of materials, as a painter's ramps are counted.

    walls, roofs: what a house may choose from
    """

    walls: tuple[int, ...]
    roofs: tuple[int, ...]
    stone: int
    wood: int
    lamp: int
    cloth: int
    leaf: int
    hulls: tuple[int, ...]
