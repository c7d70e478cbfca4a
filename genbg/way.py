"""How the stages are run: who keeps costly results, and what is left out for a first look."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from typing import ParamSpec, Protocol, TypeVar

P = ParamSpec("P")
R = TypeVar("R")

Progress = Callable[[str, float], None]
"""Told the name of the stage that starts and the share of the work done so far, 0..1."""


class Call(Protocol):
    """Calls a costly pure function with its arguments, or returns what it returned before."""

    def __call__(self, function: Callable[P, R], /, *arguments: P.args, **named: P.kwargs) -> R: ...


def plainly(function: Callable[P, R], /, *arguments: P.args, **named: P.kwargs) -> R:
    """Call a stage's function and keep nothing of it."""
    return function(*arguments, **named)


@dataclass(frozen=True)
class Way:
    """How the stages are run.

    call: who builds often may keep results
    sketch: True leaves out the searches, for a first look: palette rows as they are first found,
        no tile merged, even above the budget, and no frame looked at for flashes
    bound: True also works out what error no choice of tiles goes below, which takes seconds
    """

    call: Call = plainly
    sketch: bool = False
    bound: bool = False
