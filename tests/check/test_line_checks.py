"""What the check tells of waves, of moving colours and of rewrites, fault by fault."""

from __future__ import annotations

import dataclasses
import shutil
import struct

import numpy as np
import pytest
from forge import forge_file
from sample import changed, make_backdrop

from genbg.check import check_export
from genbg.model import Split
from genbg.write.folder import write_export


@pytest.fixture(scope="module")
def whole(tmp_path_factory):
    """A whole export with waves, splits and moving colours."""
    folder = tmp_path_factory.mktemp("whole") / "x"
    return write_export(make_backdrop(full=True, frames=7), folder, previews=False)


@pytest.fixture
def folder(whole, tmp_path):
    """A copy of it to harm."""
    return shutil.copytree(whole, tmp_path / "x")


def words(folder, name):
    data = (folder / "machine" / name).read_bytes()
    return list(struct.unpack(f">{len(data) // 2}H", data))


def forge_words(folder, name, numbers):
    forge_file(folder, f"machine/{name}", struct.pack(f">{len(numbers)}H", *numbers))


def test_the_sample_holds(folder):
    """Nothing is wrong before anything is forged."""
    assert check_export(folder) == []


def test_a_gap_that_is_asked_for_too_much(tmp_path):
    """Three colours before one line where two have time (measured on an implementation of the
    machine that draws the dots of colours that come too late)."""
    for count, right in ((2, True), (3, False)):
        split = Split(90, 4, {"home": np.full(count, 0x0222, dtype=np.uint16)})
        backdrop = make_backdrop(frames=2, splits=(split,))
        faults = check_export(write_export(backdrop, tmp_path / str(count), previews=False))
        says = "machine/splits.bin: 3 colours are rewritten before line 90; one gap has time for 2"
        assert faults == ([] if right else [says])


@pytest.mark.parametrize(
    ("place", "value", "says"),
    [
        (0, 2, "wave 0: plane 2, lines 100 to 140, 300 frames; allowed are plane 0 or 1"),
        (1, 250, "wave 0: plane 0, lines 250 to 290"),
        (2, 0, "wave 0: plane 0, lines 100 to 100"),
        (3, 0, "wave 0: plane 0, lines 100 to 140, 0 frames"),
        (133 + 1, 40, "wave 2: begins at line 60, before the end of the wave before it"),
    ],
)
def test_waves_that_no_screen_has(folder, place, value, says):
    """Planes, lines and periods out of range, and waves over one another."""
    data = bytearray((folder / "machine/waves.bin").read_bytes())
    struct.pack_into(">H", data, place * 2, value)
    forge_file(folder, "machine/waves.bin", bytes(data))
    assert any(says in fault for fault in check_export(folder))


def test_a_wave_of_another_height_moves_lines(folder):
    """Offsets that differ from those of the preview are told by line and frame."""
    data = bytearray((folder / "machine/waves.bin").read_bytes())
    for at in range(10, 266):
        data[at] = (data[at] + 1) % 128
    forge_file(folder, "machine/waves.bin", bytes(data))
    faults = check_export(folder)
    assert any("scroll.bin: frame 0, line 100, front plane: is not where" in f for f in faults)
    assert any("speeds.bin, waves.bin and the camera put it" in fault for fault in faults)


@pytest.mark.parametrize(
    ("change", "says"),
    [
        (lambda w: [], "states no period"),
        (lambda w: [0, *w[1:]], "states no period"),
        (lambda w: [*w[:1], 5, *w[2:]], "frame 5 with"),
        (lambda w: w[:-1], "can't stand there"),
        (lambda w: [*w[:3], 9999, *w[4:]], "target 9999 can't become"),
        (lambda w: [*w[:3], 64, *w[4:]], "target 64 can't become"),
        (lambda w: [*w[:4], 1, *w[5:]], "can't become 0x0001"),
        (lambda w: [*w[:4], w[4] ^ 2, *w[5:]], "after one period the colours are not those of its"),
    ],
)
def test_scripts_that_make_no_sense(folder, change, says):
    """Periods, frames, counts, targets and words that no script can have, and one that drifts."""
    name = "moods/dusk.motion.bin"
    forge_words(folder, name, change(words(folder, name)))
    assert any(f"machine/{name}: " in f and says in f for f in check_export(folder))


def test_a_preview_that_is_not_the_scripts(folder):
    """The first frame whose colours are others is named, for memory and for rewrites."""
    for name in ("palette", "splits"):
        path = f"preview/{name}.bin"
        numbers = words(folder, path)
        forge_words(folder, path, [*numbers[:-1], numbers[-1] ^ 0x0020])
        faults = check_export(folder)
        assert any(f"machine/{path}: frame 6: is not what" in fault for fault in faults)
        forge_words(folder, path, numbers)


def test_rewrites_of_a_frame_stand_where_splits_stand(folder):
    """A dump whose rewrites begin on other lines is told."""
    numbers = words(folder, "preview/splits.bin")
    forge_words(folder, "preview/splits.bin", [numbers[0] + 1, *numbers[1:]])
    says = "machine/preview/splits.bin: its lines and entries are not those of splits.bin"
    assert says in check_export(folder)


def test_moving_colours_without_a_dump(tmp_path):
    """A script that changes colours needs a preview that does."""
    backdrop = make_backdrop(full=True, frames=7)
    still = dataclasses.replace(backdrop.preview, palette=None, splits=None)
    wrong = changed(backdrop, preview=still)
    faults = check_export(write_export(wrong, tmp_path / "x", previews=False))
    assert any("preview/palette.bin: is missing, though" in fault for fault in faults)
    assert any("preview/splits.bin: is missing, though" in fault for fault in faults)
