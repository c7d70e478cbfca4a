"""The rules of the house, read off the imports and the tree."""

from __future__ import annotations

import ast
import subprocess
import sys
from pathlib import Path

import pytest

from genbg.preset.machine import MERGES
from genbg.reduce.search import MODES

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "genbg"
STAGES = ("paint", "planes", "quantize", "reduce", "scroll", "write")
SHARED = {"assignment", "hardware", "model", "colour", "keys", "measure", "errors", "images"} | {
    "records",
    "screen",
}
ASKED = {"request", "way"}
"""What is asked for and how the stages are run: the stages' doors read it."""
DOORS = {
    "paint": {"paint/scene.py"},
    "planes": {"planes/canvas.py"},
    "quantize": {"quantize/sheet.py"},
    "reduce": {"reduce/store.py"},
    "scroll": {"scroll/memory.py", "scroll/motion.py"},
    "write": set(),
}
"""The files of each stage that the pipeline calls."""
DRIVERS = {"pipeline", "backdrop", "reading", "batch", "check", "live", "cli", "report"}
ONE_PLACE = {"PIL": "images.py", "click": "cli.py"}
FILES = sorted(PACKAGE.rglob("*.py"))


def imports_of(path: Path) -> set[str]:
    """Full names of the modules that a file imports, wherever in the file."""
    found = set()
    for node in ast.walk(ast.parse(path.read_text("utf-8"))):
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports are absolute"
            found.add(node.module)
            found |= {f"{node.module}.{alias.name}" for alias in node.names}
    return found


def rooms_of(path: Path) -> set[str]:
    """Names of the files and folders right below genbg/ that a file imports from."""
    names = [name.split(".") for name in imports_of(path)]
    present = {p.stem for p in PACKAGE.iterdir()}
    return {n[1] for n in names if n[0] == "genbg" and len(n) > 1 and n[1] in present}


@pytest.mark.parametrize("stage", STAGES)
def test_a_stage_knows_no_other_stage(stage: str) -> None:
    """A stage imports the shared files and itself, its door also what is asked for; nothing else
    of the package."""
    files = sorted((PACKAGE / stage).rglob("*.py"))
    assert files
    for path in files:
        asked = ASKED if str(path.relative_to(PACKAGE)) in DOORS[stage] else set()
        stray = rooms_of(path) - SHARED - {stage} - ({"preset"} if stage == "paint" else set())
        assert not stray - asked, f"{path.relative_to(ROOT)} imports {stray}"


def test_the_pipeline_knows_doors_only() -> None:
    """Of a stage it imports the files that are its doors."""
    files = {
        ".".join(("genbg", *path.relative_to(PACKAGE).with_suffix("").parts)) for path in FILES
    }
    known = imports_of(PACKAGE / "pipeline.py") & files
    listed = {f"genbg.{path[:-3].replace('/', '.')}" for paths in DOORS.values() for path in paths}
    assert {name for name in known if name.split(".")[1] in STAGES} == listed


@pytest.mark.parametrize("name", sorted(SHARED))
def test_shared_files_know_no_stage(name: str) -> None:
    """What the stages share depends on none of them."""
    folder = PACKAGE / name
    files = sorted(folder.rglob("*.py")) if folder.is_dir() else [folder.with_suffix(".py")]
    assert files
    for path in files:
        stray = rooms_of(path) & {*STAGES, *DRIVERS, *ASKED}
        assert not stray, f"{path.relative_to(ROOT)} imports {stray}"


@pytest.mark.parametrize("library", sorted(ONE_PLACE))
def test_a_library_is_imported_in_one_place(library: str) -> None:
    """Pillow and click are each imported by one file."""
    users = {
        str(path.relative_to(PACKAGE))
        for path in FILES
        if any(name.split(".")[0] == library for name in imports_of(path))
    }
    assert users == {ONE_PLACE[library]}


@pytest.mark.parametrize("command", ["import genbg", "from genbg.cli import main"])
def test_start_is_light(command: str) -> None:
    """Neither the package nor the command line loads numpy or Pillow to start."""
    code = f"{command}; import sys; print(sorted({{'numpy', 'PIL'}} & set(sys.modules)))"
    run = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert run.stdout.strip() == "[]"


def test_the_top_level_is_tidy() -> None:
    """The top of the repository holds what the house names and dotfiles."""
    listed = subprocess.run(
        ["git", "-C", str(ROOT), "ls-files"], capture_output=True, text=True, check=False
    )
    if listed.returncode:
        pytest.skip("not a git checkout")
    tops = {line.split("/")[0] for line in listed.stdout.splitlines()}
    house = {"README.md", "DEVELOPERS.md", "pyproject.toml", "genbg", "presets", "tests", "out"}
    assert {top for top in tops if not top.startswith(".")} == house
    assert [line for line in listed.stdout.splitlines() if line.startswith("out/")] == [
        "out/.gitkeep"
    ]


def test_every_way_to_merge_is_one_that_the_search_knows():
    """The preset's choices and the search's modes are listed apart, because stages stay apart."""
    assert sorted(MERGES) == sorted(MODES)


def test_no_test_asserts_a_time() -> None:
    """No test of the test command reads a clock; times are measured in tests/benchmarks only."""
    clocks = {"perf_counter", "monotonic", "process_time", "thread_time", "time", "times"}
    clocks |= {f"{name}_ns" for name in clocks}
    readers = {
        path.relative_to(ROOT).as_posix()
        for path in sorted((ROOT / "tests").rglob("*.py"))
        if not {"benchmarks", "long"} & {*path.parts}
        for node in ast.walk(ast.parse(path.read_text("utf-8")))
        if isinstance(node, ast.Call)
        and isinstance(node.func, ast.Attribute)
        and isinstance(node.func.value, ast.Name)
        and node.func.value.id in ("time", "os", "timeit")
        and node.func.attr in clocks
    }
    assert readers == set()
