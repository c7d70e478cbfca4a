"""What a batch finds in its folder: what still holds is kept, all else is told and made again."""

from __future__ import annotations

import hashlib
import json
import shlex
import shutil
from pathlib import Path

import jsonschema
import pytest
from conftest import genbg, tree

from genbg.batch import run_batch
from genbg.batch.journal import digest_of, is_whole
from genbg.batch.plan import plan_batch
from genbg.batch.rows import parse_row, row_bytes, schema
from genbg.batch.versions import versions
from genbg.batch.work import run_task
from genbg.errors import FolderError
from genbg.write.draft import recover_all

QUICK = "none"
"""Stills alone: a variant takes a fraction of an export's time."""


@pytest.fixture(autouse=True)
def in_this_process(request, monkeypatch):
    """Variants are made here, unless a test says that they need processes of their own."""
    if "own_process" not in request.fixturenames:
        monkeypatch.setattr("genbg.batch.run.run_local", lambda tasks, jobs: map(run_task, tasks))


@pytest.fixture
def own_process() -> None:
    """Has variants made as a user's batch makes them."""


@pytest.fixture
def four(ebb):
    """A folder with four stills."""
    run_batch(plan_batch(["ebb.toml"], "1-4", [], QUICK), Path("many"), jobs=1)
    return Path("many")


def again(folder: Path, seeds: str = "1-4", **how):
    """Run a batch over the folder; return its report and what was said."""
    told: list[str] = []
    plan = plan_batch(["ebb.toml"], seeds, [], QUICK)
    return run_batch(plan, folder, jobs=1, say=told.append, **how), told


def rows_of(folder: Path) -> list[dict]:
    return [json.loads(line) for line in (folder / "variants.jsonl").read_bytes().splitlines()]


def names(folder: Path) -> list[str]:
    return [row["name"] for row in rows_of(folder)]


def test_a_folder_tells_all_that_it_holds(four: Path) -> None:
    """More seeds later: earlier ones are not made again, and stand in the lines and on the page."""
    before = tree(four)
    report, told = again(four, "5-6")
    assert (report.made, report.found, report.lines) == (2, 0, 6)
    assert told == []
    assert names(four) == [f"ebb-{seed}" for seed in range(1, 7)]
    assert (four / "contact.html").read_text().count('"name": "ebb-') == 6
    assert not (four / "contact-2.png").exists()
    assert all(tree(four)[path] == data for path, data in before.items() if "stills" in path)
    again(four, "2-3")
    assert names(four) == [f"ebb-{seed}" for seed in range(1, 7)]


def test_a_changed_preset_is_told_and_replaced_only_when_asked(four: Path) -> None:
    """The count is that of all its variants, in the plan or not; nothing is made without it."""
    text = Path("ebb.toml").read_text()
    Path("ebb.toml").write_text(text.replace("tile_budget = 400", "tile_budget = 380"))
    before = tree(four)
    with pytest.raises(FolderError, match=r"4 of the 4 variants there no longer match .*changed"):
        again(four, "4-5")
    assert tree(four) == before
    report, _ = again(four, "4-5", replace=True)
    assert (report.made, report.lines) == (5, 5)
    calm, _ = again(Path("calm"), "1-5")
    assert calm.made == 5
    lines = [
        sorted((at / "variants.jsonl").read_bytes().splitlines()) for at in (four, Path("calm"))
    ]
    assert lines[0] == lines[1]


def test_other_versions_are_told(four: Path, monkeypatch) -> None:
    """Variants made with another numpy are not mixed with ours."""
    old = {**versions(), "numpy": "0.1"}
    lines = [row_bytes({**row, "versions": old}) for row in rows_of(four)]
    (four / "variants.jsonl").write_bytes(b"".join(lines))
    monkeypatch.setattr("genbg.batch.standing.Keys.of", lambda *_: "0" * 32)
    with pytest.raises(
        FolderError, match=r"made with numpy 0\..* \(here .*\): 4\); nothing was made"
    ):
        again(four)


@pytest.mark.parametrize("previews", ["none", "still"])
def test_damage_of_the_same_size_is_found(ebb, previews: str) -> None:
    """One bit of a file is enough: that variant is made again, told in one line, to what it was."""
    plan = plan_batch(["ebb.toml"], "1-2", [], previews)
    folder, told = Path("d"), []
    run_batch(plan, folder, jobs=1)
    calm = tree(folder)
    paths = (
        ["stills/ebb-1.png"] if previews == "none" else ["ebb-1/still.png", "ebb-2/backdrop.json"]
    )
    for path in paths:
        data = bytearray((folder / path).read_bytes())
        data[len(data) // 2] ^= 1
        (folder / path).write_bytes(data)
    report = run_batch(plan, folder, jobs=1, say=told.append)
    assert (report.made, report.failed) == (len(paths), 0)
    assert len(told) == 1
    assert "ebb-1" in told[0]
    assert "not whole; made again" in told[0]
    assert tree(folder) == calm


def test_a_file_of_somebody_in_a_damaged_export_stays(ebb) -> None:
    """A variant whose folder holds a foreign file is a failure, and the file is left."""
    plan = plan_batch(["ebb.toml"], "1", [])
    run_batch(plan, Path("d"), jobs=1)
    Path("d/ebb-1/backdrop.json").write_bytes(b"")
    Path("d/ebb-1/notes.txt").write_text("mine")
    report = run_batch(plan, Path("d"), jobs=1)
    assert "holds notes.txt, which genbg did not write" in report.failures[0][1]
    assert Path("d/ebb-1/notes.txt").read_text() == "mine"


@pytest.mark.parametrize(
    "bad",
    [
        b"[" * 100_000 + b"]" * 100_000,
        b'{"name": "ebb-1"',
        b'{"name": 3}',
        b"null",
        b"\xff\xfe",
        b'{"a": 1e999}',
    ],
    ids=["deep", "half", "wrong", "null", "no text", "endless"],
)
def test_a_damaged_line_is_told_and_its_variant_made_again(four: Path, bad: bytes) -> None:
    """Deep, half and wrong lines end nothing, wherever they stand."""
    calm = tree(four)
    lines = (four / "variants.jsonl").read_bytes().splitlines()
    (four / "variants.jsonl").write_bytes(b"\n".join([lines[0], bad, *lines[2:]]) + b"\n")
    report, told = again(four)
    assert (report.made, report.found) == (1, 3)
    assert len(told) == 1
    assert "1 damaged lines of finished variants" in told[0]
    assert (four / "variants.jsonl").read_bytes().splitlines() == lines
    assert tree(four) == calm


@pytest.mark.parametrize(
    "change",
    [
        {"name": "../../up"},
        {"name": ".hidden"},
        {"seed": -1},
        {"seed": "1"},
        {"figures": {}},
        {"figures": {"score": None, "ssim": 1, "patterns": 1}},
        {"sha256": "00"},
        {"made_from": "x" * 32},
        {"folder": "elsewhere"},
        {"settings": "mood=home"},
        {"versions": None},
    ],
)
def test_rows_of_wrong_types_are_none(four: Path, change: dict) -> None:
    """All that the program reads of a row has its type, or the row does not count."""
    row = json.loads((four / "variants.jsonl").read_bytes().splitlines()[0])
    assert parse_row(row_bytes(row)) == row
    assert parse_row(row_bytes({**row, **change})) is None
    assert parse_row(row_bytes(row)[:-1]) is None


def test_links_in_the_folder_are_not_followed(ebb, four: Path) -> None:
    """Whatever is a link in a batch's folder, what it points to stays as it is."""
    away = Path("away")
    shutil.copytree(four, away)
    before = tree(away)
    (four / "contact.png").unlink()
    (four / "contact.png").symlink_to(away.resolve() / "contact.png")
    (four / "stills" / "ebb-1.png").unlink()
    (four / "stills" / "ebb-1.png").symlink_to(away.resolve() / "stills" / "ebb-1.png")
    report, _ = again(four)
    assert (report.made, report.found) == (1, 3)
    assert not (four / "stills" / "ebb-1.png").is_symlink()
    shutil.rmtree(four / "stills")
    (four / "stills").symlink_to(away.resolve() / "stills")
    with pytest.raises(FolderError, match="stills: is a link"):
        again(four)
    (four / "variants.part.jsonl").unlink(missing_ok=True)
    (four / "variants.part.jsonl").symlink_to(away.resolve() / "variants.jsonl")
    with pytest.raises(FolderError, match=r"variants\.part\.jsonl: is a link"):
        again(four)
    assert tree(away) == before


def test_a_linked_export_is_not_whole(tmp_path: Path) -> None:
    """Neither the folder nor a part of the path may be a link."""
    (tmp_path / "x" / "machine").mkdir(parents=True)
    (tmp_path / "x" / "machine" / "tiles.bin").write_bytes(b"tiles")
    known = hashlib.sha256(b"tiles").hexdigest()
    assert digest_of(tmp_path / "x", "machine/tiles.bin") == known
    (tmp_path / "y").symlink_to(tmp_path / "x")
    (tmp_path / "z").mkdir()
    (tmp_path / "z" / "machine").symlink_to(tmp_path / "x" / "machine")
    for name in ("y", "z"):
        with pytest.raises(OSError, match="Not a directory"):
            digest_of(tmp_path / name, "machine/tiles.bin")
    assert not is_whole(tmp_path, {"name": "y", "folder": "y", "sha256": known})


def test_a_second_batch_is_told_that_one_runs(four: Path) -> None:
    """Its message names the process; the folder stays as it is."""
    seen = []

    def tell(done: int, whole: int, found: int) -> None:
        if not seen:
            seen.append(genbg("batch", "ebb.toml", "--seeds", "9", "--out", str(four)))

    run_batch(plan_batch(["ebb.toml"], "1-5", [], QUICK), four, jobs=1, tell=tell)
    assert seen[0].returncode == 1
    assert f"Error: {four}: process " in seen[0].stderr
    assert "runs a batch there since 20" in seen[0].stderr
    assert len(names(four)) == 5
    assert not (four / ".genbg-lock").exists()


def test_lost_lines_of_other_presets_go(ebb, four: Path) -> None:
    """A variant that is gone and whose preset nobody named now has no line any more."""
    Path("flood.toml").write_text(ebb.read_text())
    (four / "stills" / "ebb-2.png").unlink()
    told: list[str] = []
    run_batch(plan_batch(["flood.toml"], "1", [], QUICK), four, jobs=1, say=told.append)
    assert names(four) == ["ebb-1", "ebb-3", "ebb-4", "flood-1"]
    assert ["ebb-2 of an earlier batch" in text for text in told] == [True]


@pytest.mark.parametrize("previews", ["none", "still", "all"])
def test_a_lines_command_gives_its_hash(ebb, own_process, previews: str) -> None:
    """Each line satisfies the schema, by a library's judgement and by ours, has the versions, and
    its command makes the very file that it tells the hash of."""
    lists = ["layer.1.snow=0.9", "title=Low 'water'"]
    run_batch(plan_batch(["ebb.toml"], "3", lists, previews), Path("c"), jobs=1)
    (row,) = rows_of(Path("c"))
    jsonschema.Draft202012Validator.check_schema(schema())
    jsonschema.validate(row, schema())
    assert row["varied"] == {"layer.1.snow": 0.9, "title": "Low 'water'"}
    assert (row["previews"], row["versions"]) == (previews, versions())
    words = shlex.split(row["command"])
    assert words[0] == "genbg"
    run = genbg(*words[1:])
    assert run.returncode == 0, run.stderr
    made = Path(words[words.index("--out") + 1]) / row["hashed"]
    assert hashlib.sha256(made.read_bytes()).hexdigest() == row["sha256"]


def test_a_failed_line_satisfies_the_schema(ebb) -> None:
    """So does the line of a variant that can't be made; a mixture of both does not."""
    run_batch(
        plan_batch(["ebb.toml"], "1", ["machine.tile_budget=0,400"], QUICK), Path("f"), jobs=1
    )
    failed, made = rows_of(Path("f"))
    assert "error" in failed
    for row in (failed, made):
        jsonschema.validate(row, schema())
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate({**made, **failed}, schema())


def test_what_killed_runs_left_is_looked_for_once(ebb, monkeypatch) -> None:
    """A batch lists its folder for leftovers once, not for each of its exports."""
    looked = []

    def counted(folder: Path) -> None:
        looked.append(folder)
        recover_all(folder)

    monkeypatch.setattr("genbg.batch.standing.recover_all", counted)
    plan = plan_batch(["ebb.toml"], "1-2", [], "none")
    run_batch(plan, Path("many"), jobs=1)
    (Path("many") / ".ebb-9.genbg-new").mkdir()
    looked.clear()
    run_batch(plan_batch(["ebb.toml"], "1-3", [], "still"), Path("many"), jobs=1, replace=True)
    assert looked == [Path("many")]
    assert not (Path("many") / ".ebb-9.genbg-new").exists()
