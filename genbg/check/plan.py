"""The memory plan and the costs that the manifest states, worked out again from the bytes."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from genbg.check.listing import Export
from genbg.hardware.tile import TILE_BYTES
from genbg.model import Backdrop
from genbg.write.manifest import cost_table, memory_table


def check(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield where the memory plan or a cost is not what the bytes ask for."""
    memory = export.table["memory"]
    yield from area_faults(memory, backdrop)
    if memory != memory_table(backdrop):
        yield "backdrop.json: memory: is not the plan of this machine and these patterns"
    costs = cost_table(backdrop)
    rows = costs.pop("table")
    for row in rows if export.table["costs"]["table"] != rows else ():
        if row not in export.table["costs"]["table"]:
            yield (
                f"backdrop.json: costs.table: {row['name']}: {row['used']} of {row['limit']} "
                f"{row['unit']} is right, with {row['left']} left"
            )
    if len(export.table["costs"]["table"]) != len(rows):
        yield f"backdrop.json: costs.table: {len(rows)} rows are right"
    for name, cost in costs.items():
        stated = export.table["costs"][name]
        if stated != cost:
            yield f"backdrop.json: costs.{name}: {stated}; these speeds and this screen take {cost}"


def area_faults(memory: dict, backdrop: Backdrop) -> Iterator[str]:
    """Yield areas that overlap, leave the memory or do not hold what they are for."""
    areas = sorted(memory["areas"], key=lambda area: area["start"])
    for one, other in pairwise(areas):
        if one["start"] + one["bytes"] > other["start"]:
            yield f"backdrop.json: memory: {one['name']} reaches into {other['name']}"
    for area in areas:
        if area["start"] + area["bytes"] > memory["bytes"]:
            yield f"backdrop.json: memory: {area['name']} leaves the {memory['bytes']} bytes"
    tiles = [area for area in areas if area["name"] == "patterns"]
    start, size = backdrop.tiles.base * TILE_BYTES, len(backdrop.tiles.pixels) * TILE_BYTES
    if [(area["start"], area["bytes"]) for area in tiles] != [(start, size)]:
        yield f"backdrop.json: memory: the patterns take {size} bytes from {start} on"
