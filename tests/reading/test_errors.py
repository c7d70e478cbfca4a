"""Errors: their texts, their values and the exit status that each class carries."""

from __future__ import annotations

import pytest

from genbg.errors import (
    BytesError,
    Fault,
    FolderError,
    GenbgError,
    LimitError,
    PresetError,
    printable,
)


def test_fault_texts():
    """Where, key, value, what is wrong, nearest name; each part only where there is one."""
    assert str(Fault("a:1:2", "k", "3", "wrong", "j")) == 'a:1:2: k = 3: wrong; did you mean "j"?'
    assert str(Fault("a:1:2", "k", "", "wrong")) == "a:1:2: k: wrong"
    assert str(Fault("a", "", "", "wrong")) == "a: wrong"


def test_preset_error_takes_one_fault_many_or_a_text():
    """The faults are attributes; the text has a line for each."""
    fault = Fault("a", "k", "3", "wrong")
    assert PresetError(fault).faults == (fault,)
    assert str(PresetError([fault, fault])) == "a: k = 3: wrong\na: k = 3: wrong"
    assert str(PresetError("nothing works")) == "nothing works"


def test_limit_error_texts():
    """What, got, limit with their unit, and the cure; the numbers are attributes."""
    error = LimitError("patterns", 3000, 2048, "patterns", "use fewer")
    assert str(error) == "patterns: 3000 patterns asked, 2048 patterns allowed; use fewer"
    assert (error.what, error.got, error.limit) == ("patterns", 3000, 2048)
    assert str(LimitError("lines", 1.5, 1)) == "lines: 1.5 asked, 1 allowed"


@pytest.mark.parametrize(
    ("kind", "status"),
    [(GenbgError, 1), (BytesError, 1), (FolderError, 1), (PresetError, 2), (LimitError, 2)],
)
def test_exit_status(kind, status):
    """2 where the preset or the command line is wrong, 1 where the work failed."""
    assert issubclass(kind, GenbgError)
    assert kind.exit_status == status


def test_printable():
    """What a terminal would obey is shown as an escape; all else stays."""
    assert printable("a ä → b") == "a ä → b"
    assert printable("a\n\x1b[1m\u202e\udcff") == "a\\n\\x1b[1m\\u202e\\udcff"
