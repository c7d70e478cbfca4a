"""engine/: the layers for any game engine, one PNG each, and layers.json with how they move.

layers.json lists them in the order in which they are drawn, the farthest first. A layer's line
`i` is drawn at screen line `lines[0] + i`, over the backdrop colour and the layers before it; its
picture repeats after `period` pixels and stands

    -floor(ratio[i] * camera_x + drift[i] * frame)

pixels to the right. Where the backdrop moves up and down, a layer has a `ratio_y` too and stands
`floor(ratio_y * camera_y)` lines higher, camera_y being how far the camera has moved down. All
numbers of `ratio` and `drift` are multiples of 1/65536, which a double holds exactly. On the lines
of a wave, all layers of its plane stand

    offsets[((frame mod frames) * 65536 // frames + line * step) mod 65536 // 256]

pixels further to the left, `line` being the screen line (`//` drops what is left). The pictures
are the layers as painted, before tiles were merged; where none was, an engine that follows the
rule shows the preview, pixel for pixel. A layer that the machine draws with priority in some cells
only is two layers here, the second one's name ending in "-high". What only the machine does (colour
rewrites, columns that sway, a low sprite before a high one) is not in them.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from typing import Any

import numpy as np

from genbg.colour import screen_table
from genbg.hardware.colour_word import word_to_number
from genbg.hardware.sizes import PLANE_NAMES
from genbg.measure import present
from genbg.model import Backdrop, EngineLayer, Wave
from genbg.screen.film import MOST_INDEXED
from genbg.write.png import indexed_png, truecolour_png

FORMAT = 1
DEPTHS = {"back": 0, "front": 1, "sprites": 2}
"""Order of drawing among layers of one priority; common practice, no source."""


def files(backdrop: Backdrop) -> Iterator[tuple[str, bytes]]:
    """Yield engine/layers.json and one PNG a layer."""
    layers = drawing_order(backdrop.layers)
    names = [file_name(place, layer) for place, layer in enumerate(layers)]
    yield "engine/layers.json", layers_json(backdrop, layers, names)
    for layer, name in zip(layers, names, strict=True):
        yield f"engine/{name}", layer_png(layer, tuple(backdrop.machine.levels))


def drawing_order(layers: tuple[EngineLayer, ...]) -> list[EngineLayer]:
    """Return the layers from the farthest to the nearest; on one depth, as the preset has them."""
    return sorted(layers, key=lambda layer: (layer.priority, DEPTHS[layer.plane]))


def file_name(place: int, layer: EngineLayer) -> str:
    """Return a file name that sorts in the order of drawing and that every system takes."""
    return f"{place:02d}-{re.sub(r'[^A-Za-z0-9_-]+', '-', layer.name)[:40]}.png"


def layer_png(layer: EngineLayer, levels: tuple[int, ...]) -> bytes:
    """Return a layer's picture (N, W): indexed, entry 0 see-through, or RGBA past 255 colours."""
    colours = present(layer.number[layer.alpha])
    if len(colours) >= MOST_INDEXED:
        rgb = screen_table(levels)[layer.number] * layer.alpha[..., None]
        return truecolour_png(np.dstack([rgb, layer.alpha * np.uint8(255)]))
    place = np.zeros(512, dtype=np.uint8)
    place[colours] = np.arange(1, len(colours) + 1)
    palette = np.concatenate([np.zeros((1, 3), dtype=np.uint8), screen_table(levels)[colours]])
    return indexed_png(place[layer.number] * layer.alpha, palette, [0])


def layers_json(backdrop: Backdrop, layers: list[EngineLayer], names: list[str]) -> bytes:
    """Return layers.json: UTF-8, one line a layer."""
    number = word_to_number(backdrop.palette)[backdrop.colours.backdrop_entry]
    red, green, blue = screen_table(tuple(backdrop.machine.levels))[number].tolist()
    head = {
        "format": FORMAT,
        "title": backdrop.title,
        "screen": list(backdrop.machine.screen),
        "background": f"#{red:02x}{green:02x}{blue:02x}",
        "fps": float(backdrop.preview.fps),
        "camera_step": float(backdrop.preview.camera_step),
        "offset": "-floor(ratio * camera_x + drift * frame), modulo period",
    }
    lines = [
        f"  {json.dumps(key)}: {json.dumps(value, ensure_ascii=False)},"
        for key, value in head.items()
    ]
    rows = [
        "    " + json.dumps(layer_table(place, *both), ensure_ascii=False, allow_nan=False)
        for place, both in enumerate(zip(layers, names, strict=True))
    ]
    waves = [json.dumps(wave_table(wave)) for wave in backdrop.moves.waves]
    lines += ['  "waves": [', "    " + ",\n    ".join(waves), "  ],"] if waves else []
    text = "\n".join(["{", *lines, '  "layers": [', ",\n".join(rows), "  ]", "}", ""])
    return text.encode()


def layer_table(place: int, layer: EngineLayer, name: str) -> dict[str, Any]:
    """Return a layer's entry of layers.json; ratio and drift have one number for each line."""
    vertical = {"ratio_y": plain(layer.ratio_y)} if layer.ratio_y else {}
    return {
        "file": name,
        "name": layer.name,
        "order": place,
        "plane": layer.plane,
        "high": bool(layer.priority),
        "lines": [int(layer.top), int(layer.top) + len(layer.number)],
        "period": int(layer.period),
        "ratio": [plain(ratio) for ratio in layer.ratio],
        "drift": [plain(drift) for drift in layer.drift],
        **vertical,
    }


def wave_table(wave: Wave) -> dict[str, Any]:
    """Return a wave's entry of layers.json."""
    return {
        "plane": PLANE_NAMES[wave.plane],
        "lines": [int(wave.top), int(wave.bottom)],
        "frames": int(wave.frames),
        "step": int(wave.step),
        "offsets": wave.offsets.tolist(),
    }


def plain(value: float) -> float | int:
    """Return whole numbers as such, which keeps the file short."""
    return int(value) if value == int(value) else float(value)
