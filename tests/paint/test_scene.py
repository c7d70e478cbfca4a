"""What a painter may know of its scene: the sun or moon, and the layers it names in `sees`."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import pytest
from own_painters import in_the_table

from genbg.errors import PresetError
from genbg.keys import key
from genbg.model import Painting, RampUse
from genbg.paint.contract import Body, Job, Painter, Ramp
from genbg.paint.scene import find_body, paint_layer, paint_scene
from genbg.reading import parse_preset
from genbg.request import read_request

SIGHT = """
[[layer]]
paint = "witness"
name = "{name}"
lines = [{top}, 96]
"""


@dataclass(frozen=True)
class Keys:
    """A painter that draws lines of one ink and may have a sun."""

    sun: bool = key(False, "bool", "Whether a sun stands in it.")


class Witness:
    """Paints even layers, and keeps every job that it was given, in the order of painting."""

    def __init__(self) -> None:
        self.jobs: list[Job] = []

    def paint(self, keys: Keys, job: Job) -> Painting:
        self.jobs.append(job)
        return Painting(np.full((job.lines, job.width), 1, np.uint16), (RampUse("stone", 2),))

    def body(self, keys: Keys, job: Job) -> Body | None:
        return Body(job.width / 2, float(job.top), 8.0) if keys.sun else None


@pytest.fixture
def witness() -> Iterator[Witness]:
    """Put a painter that keeps its jobs into the table for the time of a test."""
    seen = Witness()
    ramps = (Ramp("stone", "", ("#402010", "#a08060"), 2),)
    with in_the_table(Painter("witness", "Lines.", Keys, ramps, seen.paint, body=seen.body)):
        yield seen


def preset_of(*layers: tuple[str, int, str]) -> str:
    """The text of a preset: the name, the top and further keys of each layer."""
    return "".join(SIGHT.format(name=name, top=top) + more for name, top, more in layers)


def painted(text: str) -> list[str]:
    """Names of the layers as the scene holds them."""
    return [layer.name for layer in paint_scene(read_request(parse_preset(text))).layers]


def faults(text: str) -> list[str]:
    with pytest.raises(PresetError) as caught:
        parse_preset(text, place="p.toml")
    return [str(fault) for fault in caught.value.faults]


def test_a_layer_is_painted_after_those_that_it_sees(witness):
    """Though it stands before them in the preset, whose order the scene keeps."""
    chain = preset_of(
        ("lake", 0, 'sees = ["cape"]'), ("sky", 8, ""), ("cape", 16, 'sees = ["sky"]')
    )
    assert painted(chain) == ["lake", "sky", "cape"]
    assert [job.top for job in witness.jobs] == [8, 16, 0]


def test_a_layer_sees_what_it_names_and_nothing_else(witness):
    """Each seen layer comes with its first line and its picture in its own inks."""
    painted(preset_of(("sky", 8, ""), ("cape", 16, ""), ("lake", 32, 'sees = ["cape"]')))
    assert [dict(job.seen) for job in witness.jobs[:2]] == [{}, {}]
    (cape,) = witness.jobs[2].seen.values()
    assert list(witness.jobs[2].seen) == ["cape"]
    assert cape.top == 16
    assert cape.painting.ink.shape == (80, 512)
    assert cape.painting.ramps == (RampUse("stone", 2),)


def test_an_unknown_layer_is_told_with_the_nearest_name(witness):
    text = preset_of(("sky", 0, ""), ("lake", 8, 'sees = ["sky", "skye"]'))
    assert faults(text) == [
        'p.toml:11:16: layer.1.sees.1 = "skye": unknown layer; this preset has "sky" or "lake"; '
        'did you mean "sky"?'
    ]


def test_layers_that_see_each_other_are_told(witness):
    """In a circle of any length no layer could be painted first; a layer beside it is at rest."""
    circle = preset_of(("a", 0, 'sees = ["b"]'), ("b", 0, 'sees = ["c"]'), ("c", 0, 'sees = ["a"]'))
    told = faults(circle + preset_of(("d", 0, 'sees = ["a"]')))
    assert len(told) == 3
    assert all("sees this one in turn, so neither can be painted first" in text for text in told)
    (alone,) = faults(preset_of(("a", 0, 'sees = ["a"]')))
    assert alone == 'p.toml:6:9: layer.0.sees.0 = "a": a layer can\'t see itself'


def test_every_layer_knows_the_sun_of_the_first_layer_that_has_one(witness):
    """Whatever the order of painting; without one there is none."""
    suns = preset_of(
        ("lake", 32, 'sees = ["sky"]'), ("sky", 8, "sun = true"), ("moon", 16, "sun = true")
    )
    painted(suns)
    assert [job.body for job in witness.jobs] == [Body(256.0, 8.0, 8.0)] * 3
    witness.jobs.clear()
    painted(preset_of(("sky", 8, "")))
    assert witness.jobs[0].body is None


def test_the_sky_says_where_its_sun_will_stand():
    """The place that the sky gives before it paints is the middle of the disc that it paints."""
    text = '[[layer]]\npaint = "sky"\nlines = [0, 120]\nbody = "sun"\n'
    request = read_request(parse_preset(text))
    layer = request.preset.layers[0]
    body = find_body(request)
    painted = paint_layer(request, layer, body)
    assert abs(np.nonzero(painted.shape)[1].mean() - body.x) <= 1
    ((_, first, last),) = painted.whole
    assert abs((first + last) / 2 - body.y) <= 1
    assert abs((last - first) / 2 - body.radius) <= 1
