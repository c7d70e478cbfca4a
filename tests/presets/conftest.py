"""A preset's tests go to one process, so that what they share is measured once."""

from __future__ import annotations

import pytest


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Group tests by the preset they are about; `--dist loadgroup` sends a group to one process."""
    for item in items:
        call = getattr(item, "callspec", None)
        if call and "presets" in item.path.parts:
            names = [str(value) for value in call.params.values()]
            item.add_marker(pytest.mark.xdist_group(names[0]))
