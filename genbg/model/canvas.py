"""What composing hands on: both planes and all sprites, as painted."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np


@dataclass(frozen=True, eq=False)
class CutSprites:
    """Hardware sprites cut from the layers that are drawn as sprites, the nearest first.

    n sprites show b pictures. A picture is a picture that takes whole cells, in inks.
    layer: (n,) number of each sprite's layer in the preset
    x: (n,) column 0..W-1 of its left edge at the start, as a plane has columns; y: (n,) screen line
    picture: (n,) the picture it shows, hflip, vflip: (n,) bool, turned so; priority: (n,) bool
    pictures: pictures (8 * height, 8 * width) uint16, 1 to 4 cells each way
    zones: palette zone of each picture, counted from the top
    """

    layer: np.ndarray
    x: np.ndarray
    y: np.ndarray
    picture: np.ndarray
    hflip: np.ndarray
    vflip: np.ndarray
    priority: np.ndarray
    pictures: tuple[np.ndarray, ...]
    zones: tuple[int, ...]

    def __len__(self) -> int:
        return len(self.x)

    @property
    def cells(self) -> np.ndarray:
        """(n, 2) width and height of each sprite in cells."""
        sizes = [(picture.shape[1] // 8, picture.shape[0] // 8) for picture in self.pictures]
        return np.array(sizes, dtype=np.int64).reshape(-1, 2)[self.picture]


@dataclass(frozen=True, eq=False)
class PlanePicture:
    """One plane as painted.

    ink: (H, W) uint16; guard: (H, W) uint8, as a layer's
    priority: (R, C) bool, cells with the priority bit
    """

    ink: np.ndarray
    guard: np.ndarray
    priority: np.ndarray


@dataclass(frozen=True, eq=False)
class Canvas:
    """Both planes and the sprites as painted, in inks (planes -> quantize, reduce).

    planes: FRONT, BACK, reflections included; sprites: sprites cut from their layers
    """

    planes: tuple[PlanePicture, PlanePicture]
    sprites: CutSprites

    @property
    def guard(self) -> np.ndarray:
        """(2, H, W) uint8, how much merging minds each pixel."""
        return np.stack([plane.guard for plane in self.planes])

    @property
    def priority(self) -> np.ndarray:
        """(2, R, C) bool, cells with the priority bit."""
        return np.stack([plane.priority for plane in self.planes])
