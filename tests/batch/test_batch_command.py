"""Whole batches: lines, sheets, what is found again, what fails, and that bytes do not depend."""

from __future__ import annotations

import hashlib
import json
import os
import signal
import struct
from pathlib import Path

import pytest
from conftest import genbg, tree

from genbg.batch import run_batch
from genbg.batch.local import run_local
from genbg.batch.plan import plan_batch
from genbg.batch.run import Work
from genbg.check import check_export


def lines_of(folder: Path) -> list[dict]:
    return [json.loads(line) for line in (folder / "variants.jsonl").read_text().splitlines()]


def test_a_batch_and_its_second_run(ebb) -> None:
    """Every variant is a checked export with a line; a second run changes nothing."""
    asked = ["batch", "ebb.toml", "--seeds", "1-3", "--vary", "layer.1.snow=0,0.9", "--keep", "2"]
    run = genbg(*asked, "--out", "many", "--jobs", "2")
    assert run.returncode == 0, run.stderr
    assert "6 variants: 6 made, 0 found finished, 0 failed" in run.stdout
    folder = Path("many")
    rows = lines_of(folder)
    assert [row["name"] for row in rows] == [v.name for v in plan_batch(*_words(asked))]
    for row in rows:
        assert check_export(folder / row["folder"]) == []
        manifest = (folder / row["folder"] / "backdrop.json").read_bytes()
        assert row["sha256"] == hashlib.sha256(manifest).hexdigest()
        assert row["figures"]["patterns"] == json.loads(manifest)["tiles"]["stored"]
    kept = [json.loads(line)["name"] for line in (folder / "kept.jsonl").read_text().splitlines()]
    assert len(set(kept)) == 2
    assert kept[0] == max(rows, key=lambda row: row["figures"]["score"])["name"]
    before = tree(folder)
    again = genbg(*asked, "--out", "many", "--jobs", "1")
    assert "0 made, 6 found finished" in again.stdout
    assert tree(folder) == before


def _words(asked: list[str]) -> tuple[list[str], str, list[str]]:
    return [asked[1]], asked[3], [asked[5]]


def test_jobs_do_not_change_a_byte(ebb) -> None:
    """One process and two leave the same files."""
    plan = plan_batch(["ebb.toml"], "1-4", [])
    for jobs in (1, 2):
        run_batch(plan, Path(f"with-{jobs}"), jobs=jobs, keep=2)
    assert tree(Path("with-1")) == tree(Path("with-2"))


def test_more_seeds_later_make_only_the_new_ones(ebb) -> None:
    """A longer batch in the same folder goes on from the shorter one; a lost file is made again."""
    folder = Path("grows")
    run_batch(plan_batch(["ebb.toml"], "1-2", []), folder, jobs=1)
    (folder / "ebb-1" / "still.png").unlink()
    report = run_batch(plan_batch(["ebb.toml"], "1-3", []), folder, jobs=1)
    assert (report.made, report.found) == (2, 1)
    assert [row["seed"] for row in lines_of(folder)] == [1, 2, 3]
    assert check_export(folder / "ebb-1") == []


def test_one_bad_variant_does_not_stop_the_rest(ebb) -> None:
    """It is told in its line and in the summary, and the status is 1."""
    run = genbg(
        "batch", "ebb.toml", "--seeds", "1-2", "--vary", "machine.tile_budget=0,400", "--out", "b"
    )
    assert run.returncode == 1
    assert "4 variants: 2 made, 0 found finished, 2 failed" in run.stdout
    assert "failed: ebb-1-0: " in run.stdout
    rows = lines_of(Path("b"))
    assert ["error" in row for row in rows] == [True, True, False, False]
    assert "tile_budget" in rows[0]["error"]
    assert (Path("b") / "contact.png").is_file()


def test_stills_alone(ebb) -> None:
    """`--previews none` leaves a still and a line of each, and no folder."""
    report = run_batch(plan_batch(["ebb.toml"], "1-2", [], "none"), Path("s"), jobs=1)
    assert report.made == 2
    assert sorted(tree(Path("s"))) == [
        "contact.html",
        "contact.png",
        "stills/ebb-1.png",
        "stills/ebb-2.png",
        "variants.jsonl",
    ]
    assert all(row["folder"] is None for row in lines_of(Path("s")))
    assert run_batch(plan_batch(["ebb.toml"], "1-2", [], "none"), Path("s"), jobs=1).found == 2


def test_sheets_have_pages(ebb, monkeypatch) -> None:
    """A page holds so many stills at their own size; none is left of a longer batch."""
    monkeypatch.setattr("genbg.batch.contact.ROWS", 1)
    folder = Path("pages")
    run_batch(plan_batch(["ebb.toml"], "1-5", [], "none"), folder, jobs=2)
    width, height = struct.unpack(">II", (folder / "contact.png").read_bytes()[16:24])
    assert (width, height) == (8 + 4 * (256 + 8), 8 + 224 + 30 + 8)
    assert struct.unpack(">I", (folder / "contact-2.png").read_bytes()[16:20])[0] == 8 + 256 + 8
    import shutil

    shutil.rmtree(folder)
    run_batch(plan_batch(["ebb.toml"], "1-4", [], "none"), folder, jobs=1)
    (folder / "contact-2.png").write_bytes(b"of a longer batch")
    run_batch(plan_batch(["ebb.toml"], "1-4", [], "none"), folder, jobs=1)
    assert not (folder / "contact-2.png").exists()


def test_the_page_holds_the_rows_and_no_end_of_script(ebb) -> None:
    """The rows in the page are JSON that no name can break out of."""
    folder = Path("page")
    run_batch(plan_batch(["ebb.toml"], "1", ['title="</script>","b"'], "none"), folder, jobs=1)
    text = (folder / "contact.html").read_text()
    body = text.split('<script id="rows" type="application/json">')[1].split("</script>")[0]
    rows = json.loads(body)
    assert [row["name"] for row in rows] == [row["name"] for row in lines_of(folder)]
    assert rows[0]["varied"]["title"] == "</script>"


@pytest.mark.slow
@pytest.mark.parametrize("jobs", [1, 2])
def test_a_killed_worker_costs_nothing(ebb, jobs) -> None:
    """A worker that is killed is replaced, and every variant still comes, once."""
    plan = plan_batch(["ebb.toml"], "1-6", [], "none")
    make = Work(plan, Path("k"), None, None, print, far=False)._task
    tasks = (make(n, variant, "none", False) for n, variant in enumerate(plan))
    results, killed = [], 0
    for result in run_local(tasks, jobs):
        results.append(result)
        if not killed:
            for child in children():
                os.kill(child, signal.SIGKILL)
                killed += 1
    assert killed >= jobs
    assert sorted(result.number for result in results) == list(range(6))
    assert not any(result.error for result in results)


def children() -> list[int]:
    """Worker processes of this one, from /proc; the helper that tracks semaphores is none."""
    found = []
    for entry in Path("/proc").iterdir():
        try:
            parent = int((entry / "stat").read_text().rsplit(")", 1)[1].split()[1])
            line = (entry / "cmdline").read_bytes()
        except (OSError, ValueError, IndexError):
            continue
        if parent == os.getpid() and b"spawn_main" in line:
            found.append(int(entry.name))
    return found


@pytest.mark.parametrize(
    ("arguments", "status", "says"),
    [
        (["nowhere.toml", "--seeds", "1"], 2, "nowhere.toml"),
        (["ebb.toml", "--seeds", "x"], 2, "--seeds"),
        (["ebb.toml", "--seeds", "1", "--jobs", "0"], 2, "--jobs"),
        (["ebb.toml"], 2, "--seeds"),
        (["ebb.toml", "--seeds", "1", "--out", "ebb.toml"], 1, "ebb.toml"),
        (["ebb.toml", "--seeds", "1", "--out", "taken"], 1, "holds what no batch wrote (mine.txt)"),
        (["ebb.toml", "--seeds", "1", "--cluster", "nonsense"], 1, "tcp://HOST:PORT is meant"),
        (["ebb.toml", "--seeds", "1", "--cluster", "tcp://127.0.0.1:1"], 1, "no scheduler answers"),
    ],
)
def test_bad_use_is_one_message(ebb, arguments, status, says) -> None:
    """Each wrong use has its status and one message, and leaves what was there as it was."""
    pytest.importorskip("distributed")
    Path("taken").mkdir()
    Path("taken/mine.txt").write_text("mine")
    before = tree(Path())
    run = genbg("batch", *arguments)
    assert run.returncode == status
    assert says in run.stderr
    assert "Traceback" not in run.stderr
    after = {path: data for path, data in tree(Path()).items() if not path.startswith("out/")}
    assert after == before


@pytest.mark.parametrize("how", [signal.SIGINT, signal.SIGTERM])
def test_ctrl_c_keeps_what_is_finished(ebb, how) -> None:
    """A batch stopped by Ctrl-C or SIGTERM ends with 130; the next goes on, as if undisturbed."""
    import subprocess
    import sys
    import time

    asked = ["batch", "ebb.toml", "--seeds", "1-12", "--jobs", "1", "--previews", "none"]
    process = subprocess.Popen(
        [sys.executable, "-m", "genbg.cli", *asked, "--out", "c"],
        stderr=subprocess.PIPE,
        text=True,
        preexec_fn=lambda: signal.signal(signal.SIGINT, signal.default_int_handler),
    )
    part = Path("c/variants.part.jsonl")
    while not (part.exists() and part.read_bytes().count(b"\n") >= 2):
        assert process.poll() is None
        time.sleep(0.02)
    process.send_signal(how)
    _, told = process.communicate(timeout=60)
    assert process.returncode == 130
    assert told.strip() == "Stopped; nothing was left half-written."
    run = genbg(*asked, "--out", "c")
    assert run.returncode == 0
    assert "12 variants: " in run.stdout
    assert " 0 found finished" not in run.stdout
    genbg(*asked, "--out", "d")
    assert tree(Path("c")) == tree(Path("d"))
