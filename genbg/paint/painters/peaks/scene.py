"""What all parts of the peaks painter need to know of the scene."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from genbg.paint.contract import Job
from genbg.paint.craft.relief import side_light, wrapped


@dataclass(frozen=True, eq=False)
class View:
    """foot: line of the layer where the valley begins; middle: column of sun or moon

    side: (W,) from which side light falls, -1 left .. 1 right
    off: (W,) signed columns right of the middle; x, y: (1, W) and (N, 1) columns and lines
    """

    job: Job
    foot: int
    middle: float
    side: np.ndarray
    off: np.ndarray
    x: np.ndarray
    y: np.ndarray

    @property
    def near(self) -> np.ndarray:
        """(W,) columns between each column and the body's, either way."""
        return np.abs(self.off)


def view_of(job: Job, foot: int) -> View:
    """The view of a job whose valley begins at line `foot` of its layer."""
    middle = job.body.x if job.body else job.width * (0.3 if job.light[0] < 0 else 0.7)
    columns = np.arange(job.width)
    return View(
        job,
        foot,
        middle,
        side_light(middle if job.body else None, job.width, job.light[0]),
        wrapped(columns, middle, job.width),
        columns[None, :].astype(np.float64),
        np.arange(job.lines, dtype=np.float64)[:, None],
    )
