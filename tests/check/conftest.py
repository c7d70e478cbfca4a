"""Exports to be checked, written once a session and copied for each test that harms one."""

from __future__ import annotations

import shutil

import pytest
from sample import make_backdrop

from genbg.write import clip
from genbg.write.folder import write_export


@pytest.fixture(scope="package", autouse=True)
def short_clip():
    """Clips of few pictures, both as they are written and as they are made again: drawing them
    takes most of the time of a check."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(clip, "FRAMES_A_PART", 3)
        yield


@pytest.fixture(scope="package")
def exports(short_clip, tmp_path_factory):
    """Folders of a plain export and of one with every feature."""
    home = tmp_path_factory.mktemp("exports")
    return {
        name: write_export(make_backdrop(full=name == "full", frames=3), home / name)
        for name in ("plain", "full")
    }


@pytest.fixture
def plain(exports, tmp_path):
    """A copy of the plain export."""
    return shutil.copytree(exports["plain"], tmp_path / "plain")


@pytest.fixture
def full(exports, tmp_path):
    """A copy of the export with every feature."""
    return shutil.copytree(exports["full"], tmp_path / "full")
