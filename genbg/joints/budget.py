"""How many patterns may be stored: a count, or the fewest that hold a quality.

Quality is judged where the parts are joined, on the colours that the screen shows in the home mood:
every mood shares the patterns, so what they are must not depend on the mood that is shown.
"""

from __future__ import annotations

from collections.abc import Callable

from genbg.errors import Fault, LimitError, PresetError
from genbg.joints.assemble import fitted_index
from genbg.joints.colours import ScreenColours
from genbg.measure import error_figures
from genbg.model import FittedPlanes, PlacedPieces, StoredPlanes
from genbg.reduce.quality import fit_budget

Stored = tuple[StoredPlanes, PlacedPieces | None]


def hold_quality(
    store: Callable[[int], Stored],
    fitted: FittedPlanes,
    colours: ScreenColours,
    quality: float,
    budgets: tuple[int, int],
) -> Stored:
    """What `store` makes of the smallest budget whose SSIM is at least `quality`.

    budgets: the smallest that leaves the planes a pattern, and the largest allowed
    Raises PresetError where even the largest falls short.
    """
    home = colours.looks.moods[0]
    painted = colours.plane_numbers(fitted.index, fitted.row, home)

    def judge(result: Stored) -> float:
        drawn = colours.plane_numbers(fitted_index(result[0]), result[0].row, home)
        return error_figures(painted, drawn, colours.levels).ssim

    def count(result: Stored) -> int:
        return len(result[0].patterns)

    least, most = budgets
    try:
        return fit_budget(store, judge, count, quality, most, least)
    except LimitError as error:
        says = (
            f"the {most} patterns of machine.tile_budget hold no more than {error.limit:.6g}; ask "
            "for less, allow more patterns, or draw thriftier layers"
        )
        raise PresetError(Fault("", "machine.quality", repr(quality), says)) from error
