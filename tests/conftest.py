"""What all tests share: tools that may be missing on a developer's machine, and never in CI."""

from __future__ import annotations

import importlib
import os
import shutil
from pathlib import Path
from types import ModuleType
from typing import NoReturn

import pytest

# Processes that tests start share what is compiled, also where the environment keeps nothing.
os.environ.pop("PYTHONDONTWRITEBYTECODE", None)
os.environ["PYTHONPYCACHEPREFIX"] = str(Path(__file__).parents[1] / ".pytest_cache" / "compiled")

APT = "apt-get install -y --no-install-recommends binutils-m68k-linux-gnu gcc-m68k-linux-gnu"


def missing(what: str, cure: str) -> NoReturn:
    """Skip the test for want of a tool; where CI=true, fail it, since CI installs every tool."""
    reason = f"{what} is missing: {cure}"
    if os.environ.get("CI") == "true":
        pytest.fail(reason, pytrace=False)
    pytest.skip(reason)


class Need:
    """Finds what a test can't do without."""

    def tool(self, name: str, cure: str = "") -> str:
        """Return the path of a program."""
        path = shutil.which(name)
        if path is None:
            missing(name, cure or (APT if name.startswith("m68k") else f"install {name}"))
        return path

    def file(self, path: Path, cure: str) -> Path:
        """Return the path of a file that is there."""
        if not path.is_file():
            missing(path.name, cure)
        return path

    def module(self, name: str) -> ModuleType:
        """Return an imported module."""
        try:
            return importlib.import_module(name)
        except ImportError:
            missing(f"the Python module {name}", "pip install genbg[test]")


@pytest.fixture(scope="session")
def need() -> Need:
    """Tools and modules by name; a missing one skips the test, or fails it where CI=true."""
    return Need()
