"""Jobs for every painter of the table, as different as the contract allows, and what has to hold.

Nobody lists painters or their keys here: a painter is tried because it stands in the table, a key
because its record has it. `test_contract.py` draws a few small jobs of each painter,
`tests/long/test_all_sizes.py` every size.
"""

from __future__ import annotations

import dataclasses
from pathlib import Path

import numpy as np
from PIL import Image

from genbg.keys import MISSING, Key, default_of, keys_of
from genbg.model import Painting, RampUse
from genbg.paint.contract import Body, Job, Painter, Seen

PLANE_LINES = 256
"""Lines of the plane, which no layer leaves."""

Size = tuple[int, int]
"""Lines and width of a job, in pixels."""

WRAPS_FROM = 24
WRAP_CHANGES = 1.25
"""From so many lines on a cut at the wrap is told from chance: it changes the ink of that many
times as many lines as any column inside does."""

LIGHTS = ((-0.6, 0.7), (0.6, 0.7), (0.0, 1.0), (-1.0, 0.0), (1.0, 0.0), (0.0, 0.0), (0.2, 0.4))
"""Where light comes from, taken in turn: both sides, overhead, level with the ground."""


def draw_art(home: Path, heights: set[int]) -> Path:
    """A folder with a picture of each height, for painters that want a file."""
    for lines in sorted(heights):
        noise = np.random.Generator(np.random.PCG64(lines)).integers(0, 256, (lines, 64, 4))
        Image.fromarray(noise.astype(np.uint8), "RGBA").save(home / f"{lines}.png")
    return home


def pick_value(dice: np.random.Generator, described: Key, usual: object, case: int, lines: int):
    """A value of a key: its low end in case 0, its high end in case 1, then either of them, what
    it is without a preset, or anything between. Choices are taken in turn."""
    way = case if case < 2 else int(dice.integers(6))
    if described.kind == "bool":
        return way % 2 == 1
    if described.kind == "choice":
        return described.choices[(case + case // 6) % len(described.choices)]
    if described.kind == "path":
        return f"{lines}.png"
    assert described.kind in ("int", "float"), f"say here what a {described.kind} may be"
    low, high = described.low, described.high
    assert None not in (low, high), "a painter's number has two ends"
    if way == 2 and usual not in (MISSING, None):
        return usual
    value = low if way == 0 else high if way == 1 else low + (high - low) * dice.random()
    return round(value) if described.kind == "int" else float(value)


def make_keys(art: Painter, dice: np.random.Generator, case: int, lines: int) -> object | None:
    """The painter's keys for a case; None where its record says that they do not go together."""
    values = {
        name: pick_value(dice, described, default_of(art.params, name), case, lines)
        for name, described in keys_of(art.params).items()
    }
    keys = art.params(**values)
    return None if list(getattr(keys, "faults", lambda: ())()) else keys


def some_layer(dice: np.random.Generator, width: int) -> Seen:
    """Another layer, with hills of two ramps, for painters that look at what they are shown."""
    lines = 40
    top = (dice.integers(0, lines, width // 8)).repeat(8)
    ink = np.where(np.arange(lines)[:, None] < top, 0, dice.integers(1, 6, (lines, width)))
    return Seen(24, Painting(ink.astype(np.uint16), (RampUse("rock", 3), RampUse("snow", 2))))


def make_job(art: Painter, case: int, size: Size, folder: Path) -> Job | None:
    """A job for a case, by the painter's name, the number and the size alone.

    Every key is at its low end in case 0, at its high end in case 1. None where the painter's keys
    can't be so.
    """
    dice = np.random.Generator(np.random.PCG64([case, *art.name.encode()]))
    lines, width = size
    keys = make_keys(art, dice, case, lines)
    if keys is None:
        return None
    top = int(dice.integers(0, PLANE_LINES - lines + 1))
    inks = dice.integers(1, 9, len(art.ramps)) if case % 3 else [1 + case % 8] * len(art.ramps)
    ratio = np.linspace(*sorted(dice.random(2)), lines)
    ratio = np.zeros(lines) if case % 5 == 4 else ratio if case % 2 else ratio[:1].repeat(lines)
    last = float(ratio[-1])
    return Job(
        width=width,
        top=top,
        bottom=top + lines,
        seed=int(dice.integers(0, 2**63)),
        params=keys,
        light=LIGHTS[case % len(LIGHTS)],
        distance=1 / last if last else None,
        ratio=ratio,
        thrift=(0.0, 1.0, art.thrift)[case % 3],
        steps={ramp.name: int(n) for ramp, n in zip(art.ramps, inks, strict=True)},
        folder=folder,
        body=Body(width * dice.random(), 200 * dice.random() - 20, 30.0) if case % 2 else None,
        seen={"cape": some_layer(dice, width)} if case % 4 < 2 else {},
    )


def check_painting(art: Painter, job: Job, painting: Painting) -> None:
    """What holds for every painting of every painter."""
    shape = (job.lines, job.width)
    assert painting.ink.shape == shape
    assert painting.ink.dtype == np.uint16
    fixed = [use for use in painting.ramps if use.fixed is not None]
    assert not (fixed and art.ramps), "colours of its own instead of ramps, never beside them"
    asked = [ramp.name for ramp in art.ramps]
    for use in painting.ramps:
        if use.fixed is None:
            assert use.steps == job.steps[use.name], f"{use.name}: as many inks as were asked"
        else:
            assert use.steps == len(use.fixed)
    names = [use.name for use in painting.ramps]
    assert fixed or [name for name in asked if name in names] == names, "each once, in order"
    assert painting.ink.max(initial=0) <= sum(use.steps for use in painting.ramps)
    for mask in (painting.guard, painting.shape):
        if mask is not None:
            assert mask.shape == shape
            assert mask.dtype == bool
    if painting.guard is not None:
        assert not (painting.guard & (painting.ink == 0)).any(), "see-through pixels have no mark"
    if job.lines >= WRAPS_FROM:
        change = (painting.ink != np.roll(painting.ink, 1, axis=1)).mean(axis=0)
        assert change[0] <= WRAP_CHANGES * change[1:].max(), "the wrap shows"
    for what, first, last in painting.whole:
        assert what
        assert 0 <= first < last <= job.lines


def same(one: object, other: object) -> bool:
    """Whether two records hold the same values, arrays compared by what is in them."""
    if isinstance(one, np.ndarray):
        return np.array_equal(one, other)
    if dataclasses.is_dataclass(one):
        return all(
            same(getattr(one, field.name), getattr(other, field.name))
            for field in dataclasses.fields(one)
        )
    if isinstance(one, dict):
        return one.keys() == other.keys() and all(same(one[key], other[key]) for key in one)
    return one == other
