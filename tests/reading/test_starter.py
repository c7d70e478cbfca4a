"""The starter preset: loads without a fault, and what its comments show is right."""

from __future__ import annotations

import errno
import os
import re
import stat
import tomllib

import pytest

from genbg.errors import FolderError
from genbg.keys import keys_of
from genbg.preset.tables import TABLES, Layer, Mood
from genbg.reading import load_preset, parse_preset
from genbg.reading.starter import starter_text, toml_text, write_starter

HIDDEN = re.compile(r"^# (?=[a-z_.]+ = )", re.MULTILINE)


def test_starter_loads():
    """The text is a preset of several depths, with a mood."""
    preset = parse_preset(starter_text())
    assert len({layer.distance for layer in preset.layers}) >= 4
    assert preset.moods
    assert parse_preset(starter_text(), settings=["mood=night"]).mood == "night"


def test_lines_fit_a_screen():
    """No line is longer than 96 columns, but for one that holds a value."""
    for line in starter_text().splitlines():
        assert len(line) <= 96


def test_defaults_behind_a_sign_are_true():
    """With every # taken away from a default, the preset is right and still the same."""
    text = starter_text()
    shown = HIDDEN.sub("", text)
    assert shown != text
    plain, told = parse_preset(text), parse_preset(shown)
    assert told.machine == plain.machine
    assert (told.camera, told.scene, told.preview) == (plain.camera, plain.scene, plain.preview)
    assert [layer.params for layer in told.layers] == [layer.params for layer in plain.layers]


def test_every_key_is_explained():
    """Each key stands in the text, set or behind a #."""
    text = starter_text()
    names = {name for table in (*TABLES.values(), Mood, Layer) for name in keys_of(table)}
    for name in names:
        assert re.search(rf"^(# )?{name}\b", text, re.MULTILINE), name


def test_written_once(tmp_path):
    """A new file gets the text with usual permissions; an old one is never overwritten."""
    path = tmp_path / "bay.toml"
    write_starter(path)
    assert path.read_text("utf-8") == starter_text()
    assert load_preset(path).name == "bay"
    assert not stat.S_IMODE(path.stat().st_mode) & 0o111
    path.write_text("mine")
    with pytest.raises(FolderError, match=r"bay\.toml: exists already and is left as it is"):
        write_starter(path)
    assert path.read_text() == "mine"


def test_no_place_to_write(tmp_path):
    """A folder that does not exist is told, and so is a folder in place of the file."""
    with pytest.raises(FolderError, match=r"x\.toml: can't be written: No such file or directory"):
        write_starter(tmp_path / "no" / "x.toml")
    with pytest.raises(FolderError, match=r"exists already|can't be written: Is a directory"):
        write_starter(tmp_path)


def test_full_disk_leaves_nothing(tmp_path, monkeypatch):
    """Where the disk is full, no half of a file is left behind."""
    path = tmp_path / "bay.toml"
    opened = type(path).open

    class Full:
        def __init__(self, file):
            self.file = file

        def __enter__(self):
            return self

        def __exit__(self, *error):
            self.file.close()

        def write(self, data):
            self.file.write(data[:100])
            self.file.flush()
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))

    monkeypatch.setattr(type(path), "open", lambda self, mode: Full(opened(self, mode)))
    with pytest.raises(FolderError, match="can't be written: No space left on device"):
        write_starter(path)
    assert list(tmp_path.iterdir()) == []


def test_toml_text():
    """Values are written so that tomllib reads them back."""
    for value in (True, False, 3, -0.5, 'a "b" \\ ä', [1, 2], ["#000000"], [[1.5], []]):
        assert tomllib.loads(f"v = {toml_text(value)}")["v"] == value
