"""An export comes whole or not at all, and nothing that genbg did not write is ever lost."""

from __future__ import annotations

import collections
import errno
import functools
import hashlib
import json
import os
import shutil
import subprocess
import sys
import tempfile
import threading
from pathlib import Path

import pytest
from small_backdrops import random_backdrop

import genbg
from genbg.errors import FolderError
from genbg.write import disk, draft, folder, lock
from genbg.write.draft import Draft
from genbg.write.folder import write_export
from genbg.write.table import FORMATS

HERE = Path(__file__).parent


@pytest.fixture(scope="module")
def backdrop():
    return random_backdrop(1, frames=2)


@pytest.fixture(scope="module")
def other():
    return random_backdrop(2, frames=2)


def content(where: Path) -> dict[str, bytes | None]:
    """All that a folder holds: files with their bytes, links with their aim, folders as None."""

    def value(path: Path) -> bytes | None:
        if path.is_symlink():
            return os.fsencode(os.readlink(path))
        return None if path.is_dir() else path.read_bytes()

    return {path.relative_to(where).as_posix(): value(path) for path in sorted(where.rglob("*"))}


def refused(backdrop, out: Path, says: str) -> None:
    """Writing to `out` raises an error that says so and changes nothing around it."""
    before = content(out.parent)
    with pytest.raises(FolderError, match=says):
        write_export(backdrop, out, previews=False)
    assert content(out.parent) == before


def test_whole_export_and_its_list(backdrop, tmp_path: Path) -> None:
    """The manifest lists every other file with length and SHA-256, and nothing else is there."""
    out = write_export(backdrop, tmp_path / "new" / "deep" / "x")
    assert out == tmp_path / "new" / "deep" / "x"
    files = {path: data for path, data in content(out).items() if data is not None}
    rows = json.loads(files.pop("backdrop.json"))["files"]
    assert {row["path"]: (row["bytes"], row["sha256"]) for row in rows} == {
        path: (len(data), hashlib.sha256(data).hexdigest()) for path, data in files.items()
    }
    assert {"still.png", "preview.png", "preview.gif", "sheet.png", "engine/layers.json"} <= {
        *files
    }
    assert [path.name for path in out.parent.iterdir()] == ["x"], "no draft is left"


def test_no_preview_leaves_out_what_moves(backdrop, tmp_path: Path) -> None:
    """Without previews all other files have the same bytes."""
    full = content(write_export(backdrop, tmp_path / "full"))
    less = content(write_export(backdrop, tmp_path / "less", previews=False))
    moving = {"preview.png", "preview.gif", "breakdown.apng", "machine/cartridge.bin"}
    assert set(full) - set(less) == moving
    assert all(full[path] == data for path, data in less.items() if path != "backdrop.json")


def test_same_backdrop_same_bytes(backdrop, tmp_path: Path) -> None:
    """Two exports of one backdrop are equal in every byte."""
    one = content(write_export(backdrop, tmp_path / "one"))
    assert one == content(write_export(backdrop, tmp_path / "two"))


def test_new_export_replaces_the_old_one_whole(backdrop, other, tmp_path: Path) -> None:
    """No file of the old export stays, also of those that the new one does not have."""
    out = write_export(backdrop, tmp_path / "x")
    write_export(other, out, previews=False)
    assert content(out) == content(write_export(other, tmp_path / "y", previews=False))


def test_relative_path(backdrop, tmp_path: Path, monkeypatch) -> None:
    """A relative path counts from the current folder."""
    monkeypatch.chdir(tmp_path)
    assert write_export(backdrop, Path("out") / "x", previews=False) == tmp_path / "out" / "x"


def test_progress_is_told(backdrop, tmp_path: Path) -> None:
    """The callback hears of each format, and a share that never falls."""
    heard = []
    write_export(backdrop, tmp_path / "x", progress=lambda *step: heard.append(step))
    assert [name for name, _ in heard] == [
        f"write {member.name}" for member in FORMATS if not member.asked
    ]
    shares = [share for _, share in heard]
    assert shares == sorted(shares)
    assert 0 <= shares[0] <= shares[-1] <= 1


def test_an_empty_folder_is_taken(backdrop, tmp_path: Path) -> None:
    """There is nothing to lose in an empty folder."""
    (tmp_path / "x").mkdir()
    assert (write_export(backdrop, tmp_path / "x", previews=False) / "backdrop.json").exists()


def test_a_folder_that_is_no_export_stays(backdrop, tmp_path: Path) -> None:
    """Somebody's folder is left as it is."""
    (tmp_path / "x").mkdir()
    (tmp_path / "x" / "notes.txt").write_text("lamps for the far island")
    refused(backdrop, tmp_path / "x", "not an export of genbg")


@pytest.mark.parametrize(
    "text",
    [
        *["", "[]", "{}", '{"files": 3, "version": "1", "tile_base": 0}', "\x00"],
        '{"version": "1", "tile_base": 0, "files": [{"path": "x", "bytes": 1e999, "sha256": ""}]}',
    ],
)
def test_a_foreign_manifest_is_no_export(backdrop, tmp_path: Path, text: str) -> None:
    """A file of the manifest's name does not make a folder an export."""
    (tmp_path / "x").mkdir()
    (tmp_path / "x" / "backdrop.json").write_text(text)
    refused(backdrop, tmp_path / "x", "not an export of genbg")


@pytest.mark.parametrize("name", ["notes.txt", "machine/notes.txt", "engine/deep/notes.txt"])
def test_a_foreign_file_in_an_export_stays(backdrop, tmp_path: Path, name: str) -> None:
    """An export that holds a file genbg did not write is not replaced; the message names it."""
    out = write_export(backdrop, tmp_path / "x", previews=False)
    (out / name).parent.mkdir(exist_ok=True)
    (out / name).write_text("mine")
    refused(backdrop, out, f"{name.split('/notes')[0] if 'deep' in name else name}.*did not write")


def test_a_foreign_folder_or_link_in_an_export_stays(backdrop, tmp_path: Path) -> None:
    """Empty folders and links that genbg did not make count too."""
    out = write_export(backdrop, tmp_path / "x", previews=False)
    (out / "sketches").mkdir()
    refused(backdrop, out, "sketches/, which genbg did not write")
    (out / "sketches").rmdir()
    (out / "sketches").symlink_to(tmp_path)
    refused(backdrop, out, "sketches, which genbg did not write")


@pytest.mark.parametrize("name", ["still.png", "machine/tiles.bin", "backdrop.json"])
def test_a_file_changed_by_hand_stays(backdrop, tmp_path: Path, name: str) -> None:
    """A file that was painted over since is not lost, be it as long as before or not."""
    out = write_export(backdrop, tmp_path / "x", previews=False)
    data = (out / name).read_bytes()
    place = data.index(b"lamps") if name == "backdrop.json" else len(data) // 2
    changed = bytes([data[place] ^ 1])
    (out / name).write_bytes(data[:place] + changed + data[place + 1 :])
    refused(backdrop, out, f"{name} changed since genbg wrote")
    (out / name).write_bytes(data)
    write_export(backdrop, out, previews=False)


def test_a_file_in_a_listed_files_place_that_is_none(backdrop, tmp_path: Path) -> None:
    """A pipe with the name of a listed file is not waited for."""
    out = write_export(backdrop, tmp_path / "x", previews=False)
    (out / "still.png").unlink()
    os.mkfifo(out / "still.png")
    with pytest.raises(FolderError, match=r"still\.png changed"):
        write_export(backdrop, out, previews=False)


def test_an_export_with_files_missing_is_replaced(backdrop, tmp_path: Path) -> None:
    """Whoever deletes a file of an export loses nothing by getting it back."""
    out = write_export(backdrop, tmp_path / "x", previews=False)
    whole = content(out)
    (out / "still.png").unlink()
    write_export(backdrop, out, previews=False)
    assert content(out) == whole


def test_a_file_is_not_replaced(backdrop, tmp_path: Path) -> None:
    """`--out` that is a file is an error."""
    (tmp_path / "x").write_text("a file")
    refused(backdrop, tmp_path / "x", "is a file, not a folder")


def test_a_part_of_the_path_is_a_file(backdrop, tmp_path: Path) -> None:
    """So is one below a file."""
    (tmp_path / "x").write_text("a file")
    with pytest.raises(FolderError, match="a part of the path is a file"):
        write_export(backdrop, tmp_path / "x" / "y", previews=False)


def test_a_link_is_not_followed(backdrop, tmp_path: Path) -> None:
    """A link to an export is not replaced, nor is what it points to; a dangling one neither."""
    out = write_export(backdrop, tmp_path / "x", previews=False)
    (tmp_path / "link").symlink_to(out)
    refused(backdrop, tmp_path / "link", "is a link")
    (tmp_path / "dangling").symlink_to(tmp_path / "nowhere")
    refused(backdrop, tmp_path / "dangling", "is a link")


@pytest.mark.parametrize("out", [".", "..", "/", "x/.."])
def test_paths_without_a_name(backdrop, out: str) -> None:
    """An export needs a folder of its own."""
    with pytest.raises(FolderError, match="a folder of its own"):
        write_export(backdrop, Path(out), previews=False)


def test_the_current_folder_is_not_replaced(backdrop, tmp_path: Path, monkeypatch) -> None:
    """Not by its own name, nor one that it lies in, though both are exports."""
    out = write_export(backdrop, tmp_path / "x", previews=False)
    for here in (out, out / "machine"):
        monkeypatch.chdir(here)
        refused(backdrop, out, "holds the current folder")


def fail_writing(monkeypatch, number: int, at: int) -> None:
    """Let the `at`-th file of an export fail with an error of the system."""
    real, count = Draft.write, iter(range(1000))

    def write(self, path: str, data: bytes) -> None:
        if next(count) == at:
            error = OSError(number, os.strerror(number))
            raise self._fault(error) from error
        real(self, path, data)

    monkeypatch.setattr(Draft, "write", write)


@pytest.mark.parametrize(
    ("number", "says"),
    [
        (errno.ENOSPC, "disk is full"),
        (errno.EROFS, "read-only"),
        (errno.EACCES, "no permission"),
        (errno.EIO, "Input/output error"),
    ],
)
def test_a_failed_write_leaves_nothing(backdrop, tmp_path, monkeypatch, number, says) -> None:
    """Whatever the system refuses, the old export stays and no draft is left."""
    out = write_export(backdrop, tmp_path / "x", previews=False)
    fail_writing(monkeypatch, number, at=5)
    refused(backdrop, out, says)
    fail_writing(monkeypatch, number, at=5)
    refused(backdrop, tmp_path / "new", says)


def test_a_failed_write_leaves_no_parents(backdrop, tmp_path: Path, monkeypatch) -> None:
    """Folders that were made on the way to DIR go again; those that were there stay."""
    (tmp_path / "there").mkdir()
    fail_writing(monkeypatch, errno.ENOSPC, at=0)
    with pytest.raises(FolderError):
        write_export(backdrop, tmp_path / "there" / "a" / "b" / "x", previews=False)
    assert content(tmp_path) == {"there": None}


def test_interrupted(backdrop, tmp_path: Path, monkeypatch) -> None:
    """Ctrl-C while a file is made leaves nothing either, and goes on to the caller."""

    def files(*_):
        yield "still.png", b""
        raise KeyboardInterrupt

    monkeypatch.setattr(folder, "export_files", files)
    with pytest.raises(KeyboardInterrupt):
        write_export(backdrop, tmp_path / "x")
    assert content(tmp_path) == {}


@pytest.mark.skipif(os.name == "nt" or os.geteuid() != 0, reason="only root can mount a tiny disk")
@pytest.mark.parametrize(("options", "says"), [("size=64k", "disk is full"), ("ro", "read-only")])
def test_a_real_full_or_read_only_disk(backdrop, tmp_path, options, says) -> None:
    """The same on a file system of 64 kB and on one that can't be written."""
    disk = tmp_path / "disk"
    disk.mkdir()
    command = ["mount", "-t", "tmpfs", "-o", options, "tmpfs", str(disk)]
    if shutil.which("mount") is None or subprocess.run(command, capture_output=True).returncode:
        pytest.skip("this system lets nobody mount a tmpfs")
    try:
        refused(backdrop, disk / "x", says)
    finally:
        subprocess.run(["umount", str(disk)], check=True)


def test_a_file_that_comes_at_the_last_moment_stays(backdrop, tmp_path, monkeypatch) -> None:
    """A file put into DIR just before it is exchanged, after the last look, is not lost."""
    out = write_export(backdrop, tmp_path / "x", previews=False)
    real = draft.exchange

    def late(one: Path, other: Path) -> bool:
        (out / "notes.txt").write_text("mine")
        return real(one, other)

    monkeypatch.setattr(draft, "exchange", late)
    with pytest.raises(FolderError, match=r"notes\.txt, which genbg did not write"):
        write_export(backdrop, out, previews=False)
    assert (out / "notes.txt").read_text() == "mine"
    assert [path.name for path in tmp_path.iterdir()] == ["x"]


def test_what_killed_runs_left_goes(backdrop, tmp_path: Path) -> None:
    """A run removes what killed runs left for the same DIR, and nothing of another name."""
    killed, unlike = tmp_path / ".x.genbg-new", tmp_path / ".x.genbg-notes"
    for place in (killed, unlike):
        place.mkdir()
        (place / "still.png").write_bytes(b"half")
    (tmp_path / ".x.genbg-lock").write_text("1 2026-01-01T00:00:00Z here\n")
    write_export(backdrop, tmp_path / "x", previews=False)
    assert sorted(path.name for path in tmp_path.iterdir()) == [".x.genbg-notes", "x"]


def test_a_file_in_what_a_killed_run_left_stays(backdrop, tmp_path: Path) -> None:
    """A run killed just after the exchange leaves the old export under the draft's name; a file
    that somebody had put into it at the last moment is not lost."""
    left = write_export(backdrop, tmp_path / "x", previews=False).rename(tmp_path / ".x.genbg-new")
    (left / "notes.txt").write_text("mine")
    refused(
        backdrop, tmp_path / "x", r"\.x\.genbg-new: holds notes\.txt, which genbg did not write"
    )


def test_one_run_owns_a_folder(backdrop, tmp_path: Path, monkeypatch) -> None:
    """Another run waits, then names the process and since when; it comes through once that is done;
    so does the first look at DIR, before anything is painted."""
    out = write_export(backdrop, tmp_path / "x", previews=False)
    monkeypatch.setattr(folder, "Draft", functools.partial(Draft, wait_s=0.0))
    with Draft(out) as running:
        running.write("still.png", b"half")
        for attempt in (
            lambda: write_export(backdrop, out, previews=False),
            lambda: draft.check_free(out, wait_s=0.0),
        ):
            with pytest.raises(FolderError, match=rf"process {os.getpid()} has been .* since 20"):
                attempt()
        assert (running.path / "still.png").exists()
    write_export(backdrop, out, previews=False)
    with Draft(out) as running:
        threading.Timer(0.1, running._lock.release).start()
        draft.check_free(out, wait_s=60.0)
    assert [path.name for path in tmp_path.iterdir()] == ["x"]


def test_where_the_system_knows_no_locks(backdrop, other, tmp_path: Path, monkeypatch) -> None:
    """A draft that lies there may be a running one's, and stays; an export put aside comes back."""
    monkeypatch.setattr(lock, "fcntl", None)
    out = write_export(backdrop, tmp_path / "x", previews=False)
    out.rename(tmp_path / ".x.genbg-old")
    (tmp_path / ".x.genbg-new").mkdir()
    (tmp_path / "x.txt").write_text("no export")
    with Draft(out) as running:
        assert (out / "backdrop.json").exists()
        assert running.path != tmp_path / ".x.genbg-new"
    assert (tmp_path / ".x.genbg-new").exists()


def test_a_folders_exports_are_put_right_at_once(backdrop, tmp_path: Path) -> None:
    """What killed runs left of any export goes in one listing; a running one's is left alone."""
    write_export(backdrop, tmp_path / "x", previews=False).rename(tmp_path / ".x.genbg-old")
    (tmp_path / ".y.genbg-new").mkdir()
    with Draft(tmp_path / "z") as running:
        draft.recover_all(tmp_path)
        assert running.path.exists()
    assert [path.name for path in tmp_path.iterdir()] == ["x"]
    assert (tmp_path / "x" / "backdrop.json").exists()


def test_no_folder_is_listed_but_the_export(backdrop, tmp_path: Path, monkeypatch) -> None:
    """An export's time does not depend on what lies beside it: its parent is never listed."""
    listed = []
    for name in ("listdir", "scandir"):
        real = getattr(os, name)
        monkeypatch.setattr(
            os, name, lambda place=".", real=real: (listed.append(place), real(place))[1]
        )
    for _ in range(2):
        write_export(backdrop, tmp_path / "x", previews=False)
    assert listed
    assert not any(isinstance(at, str | Path) and Path(at) == tmp_path for at in listed)


def test_where_names_cannot_be_exchanged(backdrop, other, tmp_path, monkeypatch) -> None:
    """Two renames do it there; when the second fails, the first is taken back."""
    monkeypatch.setattr(draft, "exchange", lambda one, other: False)
    out = write_export(backdrop, tmp_path / "x", previews=False)
    old = content(out)
    real = os.rename

    def rename(source, place) -> None:
        if Path(place) == out and ".genbg-old" not in str(source):
            raise OSError(errno.EIO, "no")
        real(source, place)

    with monkeypatch.context() as patch:
        patch.setattr(os, "rename", rename)
        with pytest.raises(FolderError, match="nothing was changed"):
            write_export(other, out, previews=False)
    assert content(tmp_path) == {"x": None, **{f"x/{path}": data for path, data in old.items()}}
    write_export(other, out, previews=False)
    assert content(out) != old
    assert [path.name for path in tmp_path.iterdir()] == ["x"]


@pytest.fixture
def quick_disk(tmp_path: Path):
    """A folder in memory where the system has such, as hundreds of exports wait for the disk."""
    memory = Path("/dev/shm")
    with tempfile.TemporaryDirectory(dir=memory if memory.is_dir() else tmp_path) as place:
        yield Path(place)


def runs_that_end(place: Path, *asked: str) -> collections.Counter:
    """What `killed_runs.py` counts."""
    command = [sys.executable, "-W", "ignore", str(HERE / "killed_runs.py"), str(place / "q" / "x")]
    (place / "q").mkdir()
    tests = [str(Path(genbg.__file__).parents[1]), str(HERE.parent), str(HERE)]
    done = subprocess.run(
        [*command, *asked],
        capture_output=True,
        text=True,
        env={**os.environ, "PYTHONPATH": os.pathsep.join(tests)},
        timeout=600,
    )
    assert done.returncode == 0, done.stderr
    found = collections.Counter(json.loads(done.stdout))
    assert found["broken"] == 0
    assert found["falsely refused"] == 0
    assert found["leftovers"] == 0, "the next run cleans up"
    return found


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
@pytest.mark.parametrize(
    ("way", "system"), [("steps", "exchange"), ("steps", "rename"), ("moments", "exchange")]
)
def test_killed_at_any_step(quick_disk: Path, way: str, system: str) -> None:
    """Killed at every system call in turn, and at random moments: DIR is old or new, never else.

    Where names can't be exchanged DIR may be absent for a moment, and the next run puts it back.
    """
    found = runs_that_end(quick_disk, way, system)
    assert found["seed 1"] + found["seed 2"] + found["absent"] == found["runs"] >= 25
    if way == "steps":
        assert found["seed 1"] > 10
        assert found["seed 2"] > 5
        assert (found["absent"] > 0) == (system == "rename")


@pytest.mark.skipif(not hasattr(os, "fork"), reason="needs fork")
@pytest.mark.parametrize("way", ["stopped", "killed"])
def test_two_runs_into_one_folder(quick_disk: Path, way: str) -> None:
    """Run A stops before each of its calls, B goes to its end or dies, A goes on or dies: DIR holds
    one whole export at any time, and B is refused only while A, which it names, has the lock."""
    found = runs_that_end(quick_disk, way, "exchange", "40")
    assert found["absent"] == 0
    assert found["seed 1"] > 30
    assert found["seed 2"] > 30
    assert found["seed 3"] > 10
    if way == "stopped":
        assert found["refused"] >= found["named"] > 50


@pytest.mark.parametrize("waiting", [0.0, disk.MOST_WAITING_KB + 1, float("inf")])
def test_everything_is_handed_to_the_disk(backdrop, tmp_path, monkeypatch, waiting):
    """In one step where little waits to be written; else every file and folder by itself."""
    whole, single = [], []
    system = disk.flush_system
    monkeypatch.setattr(disk, "waiting_kb", lambda: waiting)
    monkeypatch.setattr(disk, "flush_system", lambda path: whole.append(path) or system(path))
    monkeypatch.setattr(disk, "flush_file", lambda path: single.append(path))
    export = write_export(backdrop, tmp_path / "out", previews=False)
    files = sum(path.is_file() for path in export.rglob("*"))
    assert len(whole) == (waiting == 0)
    assert len(single) == (0 if waiting == 0 and system(tmp_path) else files)


def test_a_disk_that_fails_at_the_flush_leaves_nothing(backdrop, tmp_path, monkeypatch):
    """What the system tells only when data is handed over is told, and no folder is left."""

    def fail(path):
        raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC), str(path))

    monkeypatch.setattr(disk, "waiting_kb", lambda: 0.0)
    monkeypatch.setattr(disk, "flush_system", fail)
    with pytest.raises(FolderError, match="the disk is full"):
        write_export(backdrop, tmp_path / "out", previews=False)
    assert list(tmp_path.iterdir()) == []


def test_waiting_data_is_read_where_the_system_tells(monkeypatch):
    """proc(5): lines such as "Dirty:   13244 kB"; no such file means nobody knows."""
    text = (
        "MemFree:  1 kB\nDirty:             13244 kB\nWriteback:         6 kB\nWritebackTmp: 9 kB\n"
    )
    monkeypatch.setattr(Path, "read_text", lambda self, encoding: text)
    assert disk.waiting_kb() == 13250
    monkeypatch.setattr(Path, "read_text", lambda self, encoding: "")
    assert disk.waiting_kb() == float("inf")
