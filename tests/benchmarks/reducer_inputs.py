"""Inputs of the reducer's benchmark: pictures fitted to four palette rows, and bundled presets.

Pictures are fitted by `genbg.quantize` where nothing else is said, and by a plain k-means of this
file with an ordered dither for the names that end in "*": dithered planes are the usual case on the
machine, and their texture is what a reducer loses first.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
from PIL import Image
from skimage import data

from genbg.colour import LINEAR_LEVELS, lab_steps, snap_srgb
from genbg.model import InkColours, PlanePicture
from genbg.pipeline import Way, build
from genbg.quantize.fit import fit_palette
from genbg.reading import load_preset
from genbg.reduce.judge import Judged
from genbg.reduce.store import store_task

SIZE = (256, 512)
PHOTOGRAPHS = (
    "astronaut",
    "coffee",
    "chelsea",
    "rocket",
    "hubble_deep_field",
    "immunohistochemistry",
    "coffee*",
    "chelsea*",
)


@dataclass(frozen=True, eq=False)
class Input:
    """One input: planes in palette rows, lab steps of their inks, guarded pixels.

    free: (r,) bool, rows whose entries may change places
    """

    name: str
    fitted: Judged
    lab: np.ndarray
    guard: np.ndarray
    free: np.ndarray


def photographs() -> Iterator[Input]:
    """scikit-image's photographs, cut to one plane of 512x256."""
    for name in PHOTOGRAPHS:
        picture = Image.fromarray(getattr(data, name.rstrip("*"))()).convert("RGB")
        scale = max(SIZE[1] / picture.width, SIZE[0] / picture.height)
        size = (
            max(SIZE[1], round(picture.width * scale)),
            max(SIZE[0], round(picture.height * scale)),
        )
        picture = picture.resize(size, Image.Resampling.LANCZOS)
        left, top = (picture.width - SIZE[1]) // 2, (picture.height - SIZE[0]) // 2
        picture = picture.crop((left, top, left + SIZE[1], top + SIZE[0]))
        rgb = np.asarray(picture)
        yield fitted_picture(name, dithered(rgb) if name.endswith("*") else rgb)


def folder_pictures(folder: Path) -> Iterator[Input]:
    """Every PNG of a folder whose sides are whole cells."""
    for path in sorted(folder.glob("*.png")):
        with Image.open(path) as picture:
            rgb = np.asarray(picture.convert("RGB"))
        if rgb.shape[0] % 8 == 0 and rgb.shape[1] % 8 == 0:
            yield fitted_picture(path.stem, rgb)


def dithered(rgb: np.ndarray) -> np.ndarray:
    """The picture with an 8x8 ordered dither of one colour level."""
    matrix = np.zeros((1, 1))
    for _ in range(3):
        matrix = np.block([[4 * matrix, 4 * matrix + 2], [4 * matrix + 3, 4 * matrix + 1]])
    threshold = np.tile((matrix + 0.5) / 64 - 0.5, (rgb.shape[0] // 8, rgb.shape[1] // 8))
    return np.clip(rgb + 36 * threshold[..., None], 0, 255).astype(np.uint8)


def fitted_picture(name: str, rgb: np.ndarray) -> Input:
    """One plane of a picture (H, W, 3) in four palette rows."""
    number = snap_srgb(rgb)
    colours, ink = np.unique(number, return_inverse=True)
    ink = (ink.reshape(number.shape) + 1).astype(np.uint16)
    empty = np.zeros_like(ink)
    no = np.zeros(ink.shape, dtype=bool)
    cells = no[::8, ::8]
    inks = InkColours(("home",), np.concatenate([[0], colours])[None].astype(np.uint16))
    planes = PlanePicture(empty, no, cells), PlanePicture(ink, no, cells)
    fitted = fit_palette(*planes, inks, LINEAR_LEVELS)
    lab = lab_steps()[inks.colours[0]]
    alone = Judged(fitted.palette[0], fitted.index[1:], fitted.row[1:], lab)
    return Input(name, alone, lab, no[None], np.ones(4, dtype=bool))


def presets(folder: Path) -> Iterator[Input]:
    """Every preset of a folder as it reaches the reducer, both planes."""
    for path in sorted(folder.glob("*.toml")):
        seen: dict[str, Any] = {}

        def watch(function: Any, *arguments: Any, seen: dict[str, Any] = seen) -> Any:
            if function is store_task:
                task = arguments[0]
                judged = task.judged
                seen.update(fitted=judged, lab=judged.steps, guard=task.guard, free=task.free)
            return function(*arguments)

        build(load_preset(path), way=Way(call=watch))
        yield Input(path.stem, **seen)
