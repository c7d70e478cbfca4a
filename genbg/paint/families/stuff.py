"""The materials that a family builds in, by the painter's numbers."""

from __future__ import annotations

from collections.abc import Mapping
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


def stuff_of(
    numbers: Mapping[str, int],
    wall: str,
    roof: str,
    *,
    wood: str = "",
    cloth: str = "",
    leaf: str = "",
) -> Stuff:
    """What a painter with few ramps builds in: its ramps' numbers by name; lamps are ramp "lamp".

    Hulls are of wood, and wood, cloth and leaves are of the roof's ramp where none is given.
    """
    timber = numbers[wood or roof]
    return Stuff(
        walls=(numbers[wall],),
        roofs=(numbers[roof],),
        stone=numbers[wall],
        wood=timber,
        lamp=numbers["lamp"],
        cloth=numbers[cloth or roof],
        leaf=numbers[leaf or roof],
        hulls=(timber,),
    )
