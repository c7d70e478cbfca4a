"""The list of painters, and the page of one."""

from __future__ import annotations

import re

import pytest

from genbg.errors import PresetError
from genbg.keys import MISSING, default_of, keys_of
from genbg.paint.table import PAINTERS, painter
from genbg.reading import parse_preset
from genbg.report.catalogue import example, painter_list, painter_page


def test_every_painter_has_its_line() -> None:
    """The list names all painters of the table once, each with its sentence."""
    lines = list(painter_list())
    assert [line.split()[0] for line in lines] == sorted(PAINTERS)
    assert all(painter(line.split()[0]).about in line for line in lines)


@pytest.mark.parametrize("name", sorted(PAINTERS))
def test_a_page_tells_every_key_and_ramp(name: str) -> None:
    """A painter's page has a line for each key that says what it means, and each ramp's colours."""
    page, art = list(painter_page(name)), painter(name)
    for key, described in keys_of(art.params).items():
        lines = [line for line in page if re.match(rf"  {key}\s", line)]
        assert any(line.endswith(described.about) for line in lines)
    for ramp in art.ramps:
        assert any(ramp.name in line and " ".join(ramp.anchors) in line for line in page)


@pytest.mark.parametrize("name", sorted(PAINTERS))
def test_the_example_is_a_preset(name: str) -> None:
    """What a page offers to paste is accepted as it stands, once required keys are filled in."""
    art, text = painter(name), "\n".join(example(painter(name)))
    required = [key for key in keys_of(art.params) if default_of(art.params, key) is MISSING]
    for key in required:
        text = text.replace(f'{key} = ""', f'{key} = "x.png"')
    assert parse_preset(text).layers[0].paint == name


def test_an_unknown_painter_is_told_with_the_nearest() -> None:
    with pytest.raises(PresetError, match=r'unknown painter.*did you mean "clouds"\?'):
        list(painter_page("clouts"))
