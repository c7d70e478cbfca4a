"""Everything that a build says is what it said before, on whatever machine this is."""

from __future__ import annotations

import json

import pytest
from whole import CASES, WHOLE, fingerprint


def test_every_case_has_a_print() -> None:
    """The list of fingerprints and the cases are the same set."""
    assert list(json.loads(WHOLE.read_text())) == list(CASES)


@pytest.mark.slow
@pytest.mark.parametrize("case", CASES)
def test_all_is_as_before(case: str) -> None:
    """It changes only on purpose: `python tests/golden/whole.py --remake`."""
    assert fingerprint(case) == json.loads(WHOLE.read_text())[case]
