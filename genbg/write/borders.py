"""Where colours change down the frame: one run of lines for each split."""

from __future__ import annotations

from genbg.model import Backdrop


def split_borders(backdrop: Backdrop) -> list[tuple[int, int]]:
    """Return the first and the last line before which the colours of each split are rewritten.

    A split of many colours takes several lines. Where nobody has told which rewrites belong
    together, those on neighbouring lines do.
    """
    told = backdrop.proof.figures.splits
    if told:
        return [(border.first, border.last) for border in told]
    runs: list[tuple[int, int]] = []
    for line in sorted({split.line for split in backdrop.colours.splits}):
        if runs and line == runs[-1][1] + 1:
            runs[-1] = runs[-1][0], line
        else:
            runs.append((line, line))
    return runs
