"""Inks of a screen that has several views: other colours below a line, or from frame to frame.

A *view* is a list of things that lie between the eye and the scene: () is the preset as it is; a
split or a mirror adds itself. An ink has as many views as it is met in, one after the other (above
a mirror and in it). A *phase* is a state of a colour cycle: in phase p, ink i of the
cycle shows the colour of ink i - p. An ink's *column* is what it shows in every phase, view after
view, mood by mood. Two inks are one where their columns are equal.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np

from genbg.colour import LINEAR_LEVELS
from genbg.model.inks import Inks
from genbg.paint.colour.inks import (
    BelowLike,
    InkRequest,
    MoodLike,
    Scene,
    ViewColours,
    colour_views,
)

Views = tuple[tuple[int, ...], ...]
"""The views of an ink, each by the numbers of what it adds."""


Run = tuple[int, int, Views]
"""Rows of a painting whose inks have the same views: the first row and the one after the last."""


@dataclass(frozen=True)
class Turn:
    """A colour cycle: local inks `first` to `last`, both included, of request `request`."""

    request: int
    first: int
    last: int

    @property
    def phases(self) -> int:
        return self.last - self.first + 1


def resolve_inks(
    requests: Sequence[InkRequest],
    runs: Sequence[Sequence[Run]],
    scene: Scene,
    moods: Mapping[str, MoodLike],
    below: Mapping[int, BelowLike],
    behind: Sequence[Views],
    turns: Sequence[Turn] = (),
    levels: tuple[int, ...] = LINEAR_LEVELS,
) -> tuple[Inks, tuple[np.ndarray, ...]]:
    """Give every local ink of every layer its colours and its place among all inks.

    runs: of each painting, from its first row to its last; below: what the numbers in views mean
    behind: for each zone the views of its backdrop colour, as many as every ink has

    Returns all inks, and each painting's (N, W) uint16 in the inks of the whole backdrop. Inks
    that no pixel uses are left out. Order: of first appearance, layer by layer, run by run.
    """
    every = sorted(
        {v for row in runs for *_, views in row for v in views} | {v for r in behind for v in r}
    )
    place = {view: number for number, view in enumerate(every)}
    known = colour_views(
        requests, scene, moods, levels, [tuple(below[n] for n in view) for view in every]
    )
    phases, turned = turned_tables(known, turns)
    backs = [
        np.repeat(
            ink_columns(known.behind[None, ..., None], [place[v] for v in views]),
            len(turned),
            axis=0,
        )
        for views in behind
    ]
    back = list(dict.fromkeys(look.tobytes() for look in backs))
    columns: dict[bytes, int] = {}
    pictures = []
    for number, request in enumerate(requests):
        tables = np.stack([phase[number] for phase in turned])
        picture = np.zeros(request.painting.ink.shape, dtype=np.uint16)
        for first, last, views in runs[number]:
            part = slice(first, last)
            columns_of = ink_columns(tables, [place[view] for view in views])
            picture[part] = renumber(request.painting.ink[part], columns_of, columns, len(back))
        pictures.append(picture)
    body = [np.frombuffer(c, dtype=np.uint16).reshape(len(turned), -1) for c in [*back, *columns]]
    empty = tuple(back.index(look.tobytes()) for look in backs)
    inks = Inks(known.moods, len(behind[0]), np.stack(body, axis=-1), phases, empty)
    return inks, tuple(pictures)


def turned_tables(
    known: ViewColours, turns: Sequence[Turn]
) -> tuple[tuple[tuple[int, ...], ...], list[list[np.ndarray]]]:
    """Places of each cycle's phases, and for every place the tables (V, M, k) of all layers."""
    turned, phases = [list(known.tables)], []
    for turn in turns:
        places = [0]
        inks = slice(turn.first - 1, turn.last)
        for phase in range(1, turn.phases):
            table = known.tables[turn.request].copy()
            table[:, :, inks] = np.roll(table[:, :, inks], phase, axis=2)
            places.append(len(turned))
            turned.append([*known.tables])
            turned[-1][turn.request] = table
        phases.append(tuple(places))
    return tuple(phases), turned


def ink_columns(tables: np.ndarray, views: Sequence[int]) -> np.ndarray:
    """Columns (Q, V * M, k) of local inks, from their tables (Q, views, M, k)."""
    chosen = tables[:, list(views)]
    return chosen.reshape(len(tables), len(views) * tables.shape[2], tables.shape[3])


def renumber(ink: np.ndarray, shown: np.ndarray, known: dict[bytes, int], first: int) -> np.ndarray:
    """Local inks (N, W) in the backdrop's; `known` learns the new columns (shown: (Q, V*M, k)).

    first: number of the first ink, behind those of the backdrop
    """
    used = np.bincount(ink.ravel(), minlength=shown.shape[2] + 1)
    table = np.zeros(shown.shape[2] + 1, dtype=np.uint16)
    for local in np.flatnonzero(used[1:]) + 1:
        column = shown[:, :, local - 1].tobytes()
        table[local] = known.setdefault(column, len(known) + first)
    return table[ink]
