"""genbg check: the player page carries what lies beside it, and runs the program of its version."""

from __future__ import annotations

import base64
import json

import numpy as np
import pytest
from forge import forge_file

from genbg.check import check_export
from genbg.write import player

PATH = "player.html"


def forge_page(folder, change):
    """Write the page again with changed data, with every hash right."""
    data = player.read_page((folder / PATH).read_bytes())
    change(data)
    forge_file(folder, PATH, player.page_bytes(data))


def other_byte(text):
    """A base64 text of the same bytes but the first."""
    data = bytearray(base64.b64decode(text))
    data[0] ^= 1
    return base64.b64encode(data).decode()


@pytest.mark.parametrize(
    "path", ["machine/tiles.bin", "machine/back.map", "machine/moods/dusk.bin", "machine/waves.bin"]
)
def test_other_bytes_in_the_page_are_told(path, full):
    """A page that draws from other bytes than those beside it is found out, by the file's name."""

    def change(data):
        data["bytes"][path] = other_byte(data["bytes"][path])

    forge_page(full, change)
    assert check_export(full) == [f"{PATH}: does not carry the bytes of {path}"]


def test_missing_and_needless_bytes_are_told(plain):
    """The page carries exactly the files that it draws from."""

    def change(data):
        data["bytes"]["machine/none.bin"] = data["bytes"].pop("machine/palette.bin")

    forge_page(plain, change)
    assert check_export(plain) == [
        f"{PATH}: does not carry machine/palette.bin",
        f"{PATH}: carries machine/none.bin, which is not a file it draws from",
    ]


def test_another_story_than_the_manifest_s_is_told(plain):
    """What the page says of the backdrop is what the manifest says."""
    forge_page(plain, lambda data: data["about"]["tiles"].update(stored=7))
    assert check_export(plain) == [f"{PATH}: about: is not what backdrop.json says"]


def test_another_program_is_told(plain):
    """A page whose program was changed, hashes and all, is not the page of this version."""
    page = (plain / PATH).read_bytes()
    forge_file(plain, PATH, page.replace(b"0x3FF", b"0x1FF", 1))
    (fault,) = check_export(plain)
    assert fault.startswith(f"{PATH}: its program is not the one that genbg ")


@pytest.mark.parametrize(
    ("planes", "says"),
    [
        ([], ["does not cover the front plane", "does not cover the back plane"]),
        (["AAA=", None], ["does not cover the front plane", "does not cover the back plane"]),
    ],
)
def test_views_that_do_not_fit_are_told(planes, says, plain):
    """Owners and changes cover both planes, whole."""
    forge_page(plain, lambda data: data["views"].update(changes=planes))
    assert check_export(plain) == [f"{PATH}: changes: {text}" for text in says]


def test_a_change_past_the_greatest_is_told(plain):
    """No pixel is changed by more than the greatest level."""
    whole = player.run_text(np.full((256, 512), 16, dtype=np.uint8))
    forge_page(plain, lambda data: data["views"].update(changes=[whole, whole]))
    assert check_export(plain) == [
        f"{PATH}: changes: the {plane} plane holds more than 15" for plane in ("front", "back")
    ]


@pytest.mark.parametrize("data", ["", "[]", "{}", json.dumps({"about": 1, "bytes": 2, "views": 3})])
def test_a_page_of_nothing_is_told_and_no_crash(data, plain):
    """Whatever stands where the data should stand, each fault is one line."""
    page = f'<script type="application/json" id="backdrop">{data}</script>'
    forge_file(plain, PATH, page.encode())
    faults = check_export(plain)
    assert faults
    assert all(fault.startswith(f"{PATH}: ") and "\n" not in fault for fault in faults)
