"""The memory plan and the costs that the manifest states, worked out again from the bytes."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from genbg.check.listing import Export
from genbg.hardware.tile import TILE_BYTES
from genbg.model import Backdrop
from genbg.write.manifest import memory_table
from genbg.write.source import front_and_back_runs
from genbg.write.source_constants import scroll_cycles


def check(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield where the memory plan or a cost is not what the bytes ask for."""
    memory = export.table["memory"]
    yield from area_faults(memory, backdrop)
    if memory != memory_table(backdrop):
        yield "backdrop.json: memory: is not the plan of this machine and these patterns"
    cycles = scroll_cycles(*front_and_back_runs(backdrop.speeds))
    if export.table["costs"]["scroll_cycles"] != cycles:
        stated = export.table["costs"]["scroll_cycles"]
        yield f"backdrop.json: costs.scroll_cycles: {stated}; these speeds take {cycles}"
    size = backdrop.machine.screen[1] * 4
    if export.table["costs"]["scroll_bytes"] != size:
        yield f"backdrop.json: costs.scroll_bytes: the line-scroll table has {size} bytes"


def area_faults(memory: dict, backdrop: Backdrop) -> Iterator[str]:
    """Yield areas that overlap, leave the memory or do not hold what they are for."""
    areas = sorted(memory["areas"], key=lambda area: area["start"])
    for one, other in pairwise(areas):
        if one["start"] + one["bytes"] > other["start"]:
            yield f"backdrop.json: memory: {one['name']} reaches into {other['name']}"
    for area in areas:
        if area["start"] + area["bytes"] > memory["bytes"]:
            yield f"backdrop.json: memory: {area['name']} leaves the {memory['bytes']} bytes"
    patterns = [area for area in areas if area["name"] == "patterns"]
    start, size = backdrop.tile_base * TILE_BYTES, len(backdrop.patterns) * TILE_BYTES
    if [(area["start"], area["bytes"]) for area in patterns] != [(start, size)]:
        yield f"backdrop.json: memory: the patterns take {size} bytes from {start} on"
