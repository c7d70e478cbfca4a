"""A plain second reader: what layers ask for against what the bytes show, at home.

Nothing of the package is imported. Layers come from the engine pictures, what is shown from maps,
tiles and palette. OKLab is worked out from its author's matrices (B. Ottosson, "A perceptual color
space for image processing", 2020) and the curve of IEC 61966-2-1.
"""

from __future__ import annotations

import functools
import json
from pathlib import Path

from frame_reader import read_tiles, read_words
from picture_reader import read_png, scan_lines

Rgb = tuple[int, int, int]


def linear(byte: int) -> float:
    value = byte / 255
    return value / 12.92 if value <= 0.04045 else ((value + 0.055) / 1.055) ** 2.4


@functools.cache
def oklab(rgb: Rgb) -> tuple[float, float, float]:
    red, green, blue = (linear(byte) for byte in rgb)
    long = (0.4122214708 * red + 0.5363325363 * green + 0.0514459929 * blue) ** (1 / 3)
    middle = (0.2119034982 * red + 0.6806995451 * green + 0.1073969566 * blue) ** (1 / 3)
    short = (0.0883024619 * red + 0.2817188376 * green + 0.6299787005 * blue) ** (1 / 3)
    return (
        0.2104542553 * long + 0.7936177850 * middle - 0.0040720468 * short,
        1.9779984951 * long - 2.4285922050 * middle + 0.4505937099 * short,
        0.0259040371 * long + 0.7827717662 * middle - 0.8086757660 * short,
    )


def apart(one: Rgb, other: Rgb) -> float:
    return sum((a - b) ** 2 for a, b in zip(oklab(one), oklab(other), strict=True)) ** 0.5


def layer_pixels(path: Path) -> list[list[Rgb | None]]:
    """An engine layer's pixels; None where it is see-through."""
    png = read_png(path.read_bytes())
    clear = {number for number, alpha in enumerate(png.alpha) if alpha == 0}
    lines = scan_lines(png, png.still)
    if png.colour_type == 6:
        quads = [[line[at : at + 4] for at in range(0, len(line), 4)] for line in lines]
        return [[tuple(quad[:3]) if quad[3] else None for quad in row] for row in quads]
    return [[None if entry in clear else png.palette[entry] for entry in line] for line in lines]


def asked_planes(folder: Path, size: tuple[int, int]) -> dict[str, list[list[Rgb]]]:
    """Both planes as the layers ask for them, see-through pixels in the background's colour."""
    width, height = size
    table = json.loads((folder / "engine" / "layers.json").read_text("utf-8"))
    behind = tuple(bytes.fromhex(table["background"][1:]))
    planes = {name: [[behind] * width for _ in range(height)] for name in ("front", "back")}
    for layer in table["layers"]:
        plane = planes[layer["plane"]]
        for line, row in enumerate(layer_pixels(folder / "engine" / layer["file"])):
            for column, pixel in enumerate(row):
                if pixel is not None:
                    plane[layer["lines"][0] + line][column] = pixel
    return planes


def shown_planes(folder: Path, size: tuple[int, int]) -> dict[str, list[list[Rgb]]]:
    """Both planes as the machine's bytes hold them."""
    width, height = size
    manifest = json.loads((folder / "backdrop.json").read_text("utf-8"))
    levels = manifest["machine"]["levels"]
    words = read_words(folder / "machine" / "palette.bin")
    colours = [tuple(levels[word >> shift & 7] for shift in (1, 5, 9)) for word in words]
    behind = manifest["machine"]["backdrop_entry"]
    tiles = read_tiles(folder / "machine" / "tiles.bin")
    planes = {}
    for name in ("front", "back"):
        cells = read_words(folder / "machine" / f"{name}.map")
        plane = [[colours[behind]] * width for _ in range(height)]
        for place, word in enumerate(cells):
            top, left = place // (width // 8) * 8, place % (width // 8) * 8
            for y in range(8):
                for x in range(8):
                    row = 7 - y if word & 0x1000 else y
                    column = 7 - x if word & 0x800 else x
                    entry = tiles[word & 0x7FF][row][column]
                    if entry:
                        plane[top + y][left + x] = colours[(word >> 13 & 3) * 16 + entry]
        planes[name] = plane
    return planes


def asked_figures(folder: Path, size: tuple[int, int]) -> dict[str, float]:
    """Share of pixels off by more than 0.02 (the JND of W3C CSS Color Module Level 4, 13.2), mean
    squared distance, and the largest mean distance of a cell."""
    asked, shown = asked_planes(folder, size), shown_planes(folder, size)
    off = {
        name: [
            [apart(a, b) for a, b in zip(*rows, strict=True)]
            for rows in zip(asked[name], shown[name], strict=True)
        ]
        for name in asked
    }
    flat = [distance for plane in off.values() for row in plane for distance in row]
    worst = max(
        sum(plane[top + y][left + x] for y in range(8) for x in range(8)) / 64
        for plane in off.values()
        for top in range(0, size[1], 8)
        for left in range(0, size[0], 8)
    )
    return {
        "pixels": sum(distance > 0.02 for distance in flat) / len(flat),
        "oklab_mse": sum(distance * distance for distance in flat) / len(flat),
        "worst_cell": worst,
    }
