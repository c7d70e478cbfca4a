"""Inks: what every mood makes of every ramp, in the colours of the machine.

The law of haze: of a layer's difference from the haze colour, the share 2 ** -(distance / half) is
left, in linear light (exponential extinction along the line of sight: Bouguer-Beer-Lambert; for
haze against the horizon: H. Koschmieder, 1924). `half` is the preset's `scene.haze_half`, the
distance at which half of the contrast is left. A layer may take a share of the haze, or none.

The law of tint: in a mood, linear light is multiplied by 1 - amount + amount * tint, channel by
channel, as under a coloured lamp. Tint comes first (it falls on the things), haze second (it lies
between them and the eye). Ramps that shine by themselves know neither. What lies below a line of
the screen (under water, in a mirror) is dimmed as a whole, lamps, haze and backdrop included.
"""

from __future__ import annotations

import functools
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Protocol

import numpy as np

from genbg.colour import (
    LINEAR_LEVELS,
    decode_srgb,
    half_power,
    hex_to_rgb,
    linear_to_oklab,
    screen_table,
    snap_oklab,
)
from genbg.model import HOME, Painting, RampUse
from genbg.paint.colour.ramps import choose_ramps, spread_anchors
from genbg.paint.contract import Ramp


class Scene(Protocol):
    """What inks need of the preset's [scene]."""

    @property
    def haze(self) -> str: ...
    @property
    def haze_half(self) -> float: ...
    @property
    def backdrop(self) -> str: ...


class TintLike(Protocol):
    """A light that falls on things, and how far they go toward it."""

    @property
    def tint(self) -> str: ...
    @property
    def amount(self) -> float: ...


class MoodLike(TintLike, Protocol):
    """What inks need of the preset's [mood.NAME]."""

    @property
    def haze(self) -> str | None: ...
    @property
    def backdrop(self) -> str | None: ...
    @property
    def colours(self) -> Mapping[str, Mapping[str, Sequence[str]]]: ...


class BelowLike(MoodLike, Protocol):
    """What inks need of the preset's [[split]] and [reflection]."""

    @property
    def moods(self) -> Mapping[str, Mapping[str, Mapping[str, Sequence[str]]]]: ...


@dataclass(frozen=True, eq=False)
class InkRequest:
    """One painted layer that wants its colours.

    layer: its name, by which moods address it
    ramps: the painter's ramps
    colours: the preset's own anchors, {ramp: ("#rrggbb", ...)}; as many as the ramp has steps are
        taken one for one, any other number is spread
    distance: in units of the play field's distance, which haze goes by; None: no haze
    haze: share of the scene's haze that the layer takes, 0..1
    """

    layer: str
    painting: Painting
    ramps: Sequence[Ramp]
    colours: Mapping[str, Sequence[str]]
    distance: float | None
    haze: float = 1.0


@dataclass(frozen=True, eq=False)
class _Light:
    """How one mood changes linear light (3,).

    veil: what dims all below a line, lamps included; 1 above every line
    """

    tint: np.ndarray
    haze: np.ndarray
    backdrop: np.ndarray
    veil: np.ndarray


@dataclass(frozen=True, eq=False)
class _Wish:
    """Anchors (n, 3) in linear light for `steps` inks; exact: one anchor an ink."""

    linear: np.ndarray
    steps: int
    exact: bool


View = tuple[BelowLike, ...]
"""Splits and mirrors that an ink is seen through, in order; () for none. Where two of them give a
colour of their own, the later one holds."""


@dataclass(frozen=True, eq=False)
class ViewColours:
    """Colour numbers of all ramps, mood by mood, in every view.

    moods: (M,) names, the first is HOME
    tables: for each layer (V, M, k) of its local inks 1..k; behind: (V, M) backdrop colours
    """

    moods: tuple[str, ...]
    tables: tuple[np.ndarray, ...]
    behind: np.ndarray


def colour_views(
    requests: Sequence[InkRequest],
    scene: Scene,
    moods: Mapping[str, MoodLike],
    levels: tuple[int, ...] = LINEAR_LEVELS,
    views: Sequence[View] = ((),),
) -> ViewColours:
    """Give every local ink of every layer its colour in every mood and view."""
    names = (HOME, *(name for name in moods if name != HOME))
    sights = [(name, moods.get(name), view) for view in views for name in names]
    lights = [_light(scene, mood, view) for _, mood, view in sights]
    wishes = [
        wish
        for request in requests
        for (name, mood, view), light in zip(sights, lights, strict=True)
        for wish in _layer_wishes(request, scene, name, mood, view, light, levels)
    ]
    colours = iter(_grant(wishes, levels))
    shape = len(views), len(names), -1
    tables = []
    for request in requests:
        ramps = len(request.painting.ramps)
        rows = [[next(colours) for _ in range(ramps)] for _ in sights]
        table = np.stack([np.concatenate([*row, np.zeros(0, np.uint16)]) for row in rows])
        tables.append(table.reshape(*shape[:2], table.shape[1]))
    behind = snap_oklab(linear_to_oklab(np.stack([light.backdrop for light in lights])), levels)
    return ViewColours(names, tuple(tables), behind.reshape(shape[:2]))


def _layer_wishes(
    request: InkRequest,
    scene: Scene,
    name: str,
    mood: MoodLike | None,
    view: View,
    light: _Light,
    levels: tuple[int, ...],
) -> list[_Wish]:
    """What a layer's ramps ask for in one mood and view, haze and tint done."""
    exact = mood.colours.get(request.layer, {}) if mood else {}
    clear = 1.0
    if request.distance is not None:
        clear = 1.0 - request.haze * (1.0 - half_power(request.distance / scene.haze_half))
    wishes = []
    for use in request.painting.ramps:
        ramp = next((r for r in request.ramps if r.name == use.name), None)
        below = _below_anchors(request.layer, use.name, name, view, light, bool(ramp and ramp.lit))
        if below is not None:
            wishes.append(_Wish(below, use.steps, len(below) == use.steps))
            continue
        if use.name in exact:
            linear = _linear_of(exact[use.name]) * light.veil
            wishes.append(_Wish(linear, use.steps, len(linear) == use.steps))
            continue
        linear, given = _anchors(request, use, ramp, levels)
        if not (ramp and ramp.lit):
            share = clear if ramp is None or ramp.hazed else 1.0
            linear = linear * light.tint * light.veil
            if share < 1.0:
                linear = light.haze + share * (linear - light.haze)
        else:
            linear = linear * light.veil
        wishes.append(_Wish(linear, use.steps, given and len(linear) == use.steps))
    return wishes


def _below_anchors(
    layer: str, ramp: str, mood: str, view: View, light: _Light, lit: bool
) -> np.ndarray | None:
    """Linear-light anchors (n, 3) that a view gives a ramp by name; None where it gives none.

    Given for the mood: as they are. Given for all: tinted by the mood, unless the ramp shines by
    itself. What lies below later lines of the view dims either.
    """
    found: np.ndarray | None = None
    for below in view:
        if found is not None:
            found = found * _tint_of(below)
        if ramp in below.colours.get(layer, {}):
            found = _linear_of(below.colours[layer][ramp]) * (1.0 if lit else light.tint)
        if ramp in below.moods.get(mood, {}).get(layer, {}):
            found = _linear_of(below.moods[mood][layer][ramp])
    return found


def _anchors(
    request: InkRequest, use: RampUse, ramp: Ramp | None, levels: tuple[int, ...]
) -> tuple[np.ndarray, bool]:
    """Linear-light anchors (n, 3) of a ramp, and whether they are inks, one for one."""
    if use.fixed is not None:
        rgb = screen_table(levels)[np.asarray(use.fixed, dtype=np.intp)]
        return _srgb_table()[rgb], True
    if use.name in request.colours:
        return _linear_of(request.colours[use.name]), True
    if ramp is None:
        raise KeyError(f'layer "{request.layer}" paints with unknown ramp "{use.name}"')
    return _linear_of(ramp.anchors), ramp.chosen


def _grant(wishes: Sequence[_Wish], levels: tuple[int, ...]) -> list[np.ndarray]:
    """Colour numbers (steps,) uint16 of every wish."""
    if not wishes:
        return []
    ends = np.cumsum([len(wish.linear) for wish in wishes])[:-1]
    lab = linear_to_oklab(np.concatenate([wish.linear for wish in wishes]))
    labs, granted = np.split(lab, ends), np.split(snap_oklab(lab, levels), ends)
    spread = [n for n, wish in enumerate(wishes) if not wish.exact]
    ramps = choose_ramps([spread_anchors(labs[n], wishes[n].steps) for n in spread], levels)
    for n, ramp in zip(spread, ramps, strict=True):
        granted[n] = ramp
    return granted


def _light(scene: Scene, mood: MoodLike | None, view: View = ()) -> _Light:
    tint = _tint_of(mood) if mood else np.ones(3)
    own_haze = mood.haze if mood else None
    own_backdrop = mood.backdrop if mood else None
    haze = _linear_of([own_haze])[0] if own_haze else _linear_of([scene.haze])[0] * tint
    backdrop = (
        _linear_of([own_backdrop])[0] if own_backdrop else (_linear_of([scene.backdrop])[0] * tint)
    )
    veil = np.ones(3)
    for below in view:
        dims = _tint_of(below)
        veil = veil * dims
        haze = _linear_of([below.haze])[0] if below.haze else haze * dims
        backdrop = _linear_of([below.backdrop])[0] if below.backdrop else backdrop * dims
    return _Light(tint, haze, backdrop, veil)


def _tint_of(mood: TintLike) -> np.ndarray:
    """What linear light (3,) is multiplied by."""
    return 1.0 - mood.amount + mood.amount * _linear_of([mood.tint])[0]


@functools.cache
def _srgb_table() -> np.ndarray:
    return decode_srgb(np.arange(256) / 255.0)


def _linear_of(colours: Sequence[str]) -> np.ndarray:
    """Linear light (n, 3) of "#rrggbb" strings."""
    return _srgb_table()[np.array([hex_to_rgb(colour) for colour in colours], dtype=np.intp)]
