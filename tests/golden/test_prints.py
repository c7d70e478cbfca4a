"""Every bundled preset has a fingerprint; `prints.py` beside this compares them, in CI."""

from __future__ import annotations

import json

from prints import PRINTS, names


def test_every_preset_has_a_print() -> None:
    """The list of fingerprints and the presets are the same set."""
    assert sorted(json.loads(PRINTS.read_text())) == names()
