"""Contact sheets: pages of stills at their own size, each with its name and figures."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path
from typing import Any

import numpy as np

from genbg.batch.journal import STILLS
from genbg.images import label_strip, picture_size, read_picture
from genbg.write.png import truecolour_png

COLUMNS, ROWS = 4, 5
GAP = 8
LABEL = 30
"""Height of the label below a still, two lines of text."""
MOST_PAGES = 50
"""Pages that are drawn; the HTML page shows all variants, however many."""
MOST_SHOWN = MOST_PAGES * COLUMNS * ROWS
PAPER = (24, 24, 28)


def still_path(folder: Path, row: dict[str, Any]) -> Path:
    """Where a variant's still lies."""
    if row.get("folder") is None:
        return folder / STILLS / f"{row['name']}.png"
    return folder / str(row["folder"]) / "still.png"


def page_name(number: int, stem: str = "contact") -> str:
    """contact.png, contact-2.png, contact-3.png, ..."""
    return f"{stem}.png" if number == 0 else f"{stem}-{number + 1}.png"


def draw_pages(rows: Iterator[dict[str, Any]], folder: Path) -> Iterator[bytes]:
    """Yield pages as PNG files, `MOST_PAGES` at most; failed variants stand as a note."""
    page: list[dict[str, Any]] = []
    made = 0
    for row in rows:
        page.append(row)
        if len(page) == COLUMNS * ROWS:
            yield draw_page(page, folder)
            page, made = [], made + 1
            if made == MOST_PAGES:
                return
    if page:
        yield draw_page(page, folder)


def draw_page(rows: Sequence[dict[str, Any]], folder: Path) -> bytes:
    """One page of up to COLUMNS x ROWS stills."""
    stills = [_still(row, folder) for row in rows]
    high = max((still.shape[0] for still in stills), default=224)
    wide = max((still.shape[1] for still in stills), default=320)
    columns = min(COLUMNS, len(rows))
    lines = -(-len(rows) // COLUMNS)
    sheet = np.empty(
        (GAP + lines * (high + LABEL + GAP), GAP + columns * (wide + GAP), 3), dtype=np.uint8
    )
    sheet[:] = PAPER
    for place, (row, still) in enumerate(zip(rows, stills, strict=True)):
        y = GAP + place // COLUMNS * (high + LABEL + GAP)
        x = GAP + place % COLUMNS * (wide + GAP)
        sheet[y : y + still.shape[0], x : x + still.shape[1]] = still
        sheet[y + high : y + high + LABEL, x : x + wide] = label_strip(
            label_lines(row), (wide, LABEL), PAPER
        )
    return truecolour_png(sheet)


def label_lines(row: dict[str, Any]) -> tuple[str, str]:
    """Two lines of text below a still."""
    if "error" in row:
        return row["name"], f"failed: {row['error']}"
    figures = row["figures"]
    return (
        row["name"],
        f"{figures['patterns']} patterns, SSIM {figures['ssim']:.4f}, score {figures['score']:.3f}",
    )


def _still(row: dict[str, Any], folder: Path) -> np.ndarray:
    if "error" in row:
        return np.full((224, 320, 3), (48, 32, 36), dtype=np.uint8)
    path = still_path(folder, row)
    return read_picture(path, picture_size(path))[..., :3]
