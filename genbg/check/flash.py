"""Whether moving colours flash, counted again from the export's bytes."""

from __future__ import annotations

import dataclasses
from collections.abc import Iterator

from genbg.check.listing import Export
from genbg.flash import FLASHES_ALLOWED
from genbg.model import Backdrop
from genbg.screen.flash import colour_flashes, flash_figures


def check(export: Export, backdrop: Backdrop) -> Iterator[str]:
    """Yield where the flashes that the manifest states are not those of its frames."""
    stated = export.table["facts"].get("flashes")
    if backdrop.colours.scripts:
        counted = dataclasses.asdict(flash_figures(colour_flashes(backdrop)))
        if stated is not None and stated != counted:
            yield f"backdrop.json: facts.flashes: {stated}; the frames flash {counted}"
        told = any("flash" in text for text in export.table["warnings"])
        if max(counted.values()) > FLASHES_ALLOWED and not told:
            yield "backdrop.json: warnings: moving colours flash, and nothing warns of it"
