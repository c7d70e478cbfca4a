"""What moves in a backdrop, in a few words for the pictures that explain."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from genbg.hardware.sizes import ONE
from genbg.model import BACK, FRONT, Backdrop
from genbg.write.line_speeds import ratio_text

NAMES = ((BACK, "back"), (FRONT, "front"))


def motion_rows(backdrop: Backdrop) -> Iterator[tuple[str, str]]:
    """Yield (name, words) of all that moves; nothing for what stands still."""
    yield "Camera", sideways_text(backdrop)
    if backdrop.moves.vertical is not None:
        yield "Up, down", vertical_text(backdrop)
        yield from column_rows(backdrop)
    yield from drift_rows(backdrop)
    for wave in backdrop.moves.waves:
        plane, most = dict(NAMES)[wave.plane], int(np.abs(wave.offsets.astype(int)).max())
        yield "Wave", f"{plane} lines {wave.top} to {wave.bottom - 1}, {most} px to both sides"
    yield from colour_rows(backdrop)


def sideways_text(backdrop: Backdrop) -> str:
    """Return how far the camera goes to the right in a frame."""
    step = float(backdrop.preview.camera_step)
    return f"{step:.4g} {'pixel' if step == 1 else 'pixels'} a frame, to the right"


def vertical_text(backdrop: Backdrop) -> str:
    """Return how far the camera goes down, and how far the planes follow it."""
    vertical, camera = backdrop.moves.vertical, backdrop.preview.camera_y
    assert vertical is not None
    ratios = [f"{name} {ratio_text(vertical.ratio[plane])}" for plane, name in NAMES]
    return f"{camera_text(camera, vertical.endless)}; planes: {', '.join(ratios)} of it"


def camera_text(camera_y: np.ndarray | None, endless: bool) -> str:
    """Return how the camera moves down: without end, there and back, or not at all."""
    if camera_y is None or camera_y.min() == camera_y.max():
        return "camera keeps its height"
    if endless:
        steps = [after - before for before, after in pairwise(camera_y.tolist())]
        return f"camera down {max(steps) / ONE:.3g} px a frame, without end"
    return f"camera down {(camera_y.max() - camera_y.min()) / ONE:.4g} px and back"


def column_rows(backdrop: Backdrop) -> Iterator[tuple[str, str]]:
    """Yield how far columns move up and down by themselves, where they do."""
    vertical = backdrop.moves.vertical
    if vertical is None or vertical.offsets is None:
        return
    most = np.abs(vertical.offsets).max(axis=(0, 1)).tolist()
    far = ", ".join(f"{name} {most[plane]}" for plane, name in NAMES if most[plane])
    yield "Columns", f"up and down by up to {far} px, in {len(vertical.offsets)} frames"


def drift_rows(backdrop: Backdrop) -> Iterator[tuple[str, str]]:
    """Yield how fast a plane's lines move by themselves, where any does."""
    for plane, name in NAMES:
        drift = np.abs(backdrop.moves.speeds.drift[:, plane].astype(np.int64))
        if drift.any():
            yield "Drift", f"{name} up to {drift.max() / ONE:.3g} px a frame, with the camera still"


def colour_rows(backdrop: Backdrop) -> Iterator[tuple[str, str]]:
    """Yield how colours change by themselves, where they do."""
    if not backdrop.colours.scripts:
        return
    frames = int(backdrop.colours.scripts[backdrop.mood][0])
    fade = backdrop.proof.figures.fade
    if fade is not None:
        way = f"fade to {fade.to} in {fade.frames} frames, and back"
        yield "Colours", f"{way}; all as at the start after {frames}"
    else:
        yield "Colours", f"change places; all as at the start after {frames} frames"
