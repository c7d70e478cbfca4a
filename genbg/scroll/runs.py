"""Runs of lines or frames in words: a message names the first few and counts the others."""

from __future__ import annotations

import numpy as np

from genbg.measure import runs_of

RUNS_TOLD = 3


def on_lines(wrong: np.ndarray) -> str:
    """Runs of True lines as "lines 8 to 15 and 32 to 39"."""
    return f"line{'s' if wrong.sum() > 1 else ''} {runs_text(wrong)}"


def runs_text(wrong: np.ndarray) -> str:
    """Runs of True as "8 to 15, 32 and 40 to 47"; past three, how many more there are."""
    runs = [
        f"{first} to {last - 1}" if last - first > 1 else f"{first}"
        for first, last in runs_of(wrong)
    ]
    if len(runs) > RUNS_TOLD:
        rest = len(runs) - RUNS_TOLD
        runs = [*runs[:RUNS_TOLD], f"{rest} run{'s' if rest > 1 else ''} more"]
    return " and ".join([", ".join(runs[:-1]), runs[-1]]) if len(runs) > 1 else runs[0]
