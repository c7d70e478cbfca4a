"""Bundled presets give the bytes that they gave before, on whatever machine this is."""

from __future__ import annotations

import json

import pytest
from prints import PRINTS, fingerprint, names


def test_every_preset_has_a_print() -> None:
    """The list of fingerprints and the presets are the same set."""
    assert sorted(json.loads(PRINTS.read_text())) == names()


@pytest.mark.parametrize("name", names())
def test_bytes_are_as_before(name: str) -> None:
    """A preset's bytes change only on purpose: `python tests/golden/prints.py --remake`."""
    assert fingerprint(name) == json.loads(PRINTS.read_text())[name]
