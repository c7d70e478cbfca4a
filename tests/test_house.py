"""The rules of the house, read off the imports and the tree."""

from __future__ import annotations

import ast
import functools
import subprocess
import sys
from pathlib import Path

import pytest

from genbg.preset.machine import MERGES
from genbg.reduce.search import MODES

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "genbg"
STAGES = ("paint", "planes", "quantize", "reduce", "scroll", "write")
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
ONE_PLACE = {"PIL": "images.py", "click": "cli.py"}
FILES = sorted(PACKAGE.rglob("*.py"))


def name_of(path: Path) -> str:
    """The module's full name; a folder's is that of its `__init__.py`."""
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(part for part in parts if part != "__init__")


def typing_only(tree: ast.Module) -> set[ast.AST]:
    """The nodes below `if TYPE_CHECKING:`, which no program runs."""
    tests = [node for node in ast.walk(tree) if isinstance(node, ast.If)]
    only = [node for node in tests if ast.unparse(node.test) == "TYPE_CHECKING"]
    return {below for node in only for one in node.body for below in ast.walk(one)}


@functools.cache
def imports_of(path: Path) -> set[str]:
    """Full names of what a file imports, wherever in the file.

    Of `genbg/__init__.py` only what it really loads: its public names are loaded when asked for,
    and named once more for those who check types.
    """
    found = set()
    tree = ast.parse(path.read_text("utf-8"))
    unread = typing_only(tree) if path == PACKAGE / "__init__.py" else set()
    for node in ast.walk(tree):
        if node in unread:
            continue
        if isinstance(node, ast.Import):
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, f"{path}: imports are absolute"
            found.add(node.module)
            found |= {f"{node.module}.{alias.name}" for alias in node.names}
    return found


MODULES = {name_of(path): path for path in FILES}


@functools.cache
def modules_of(path: Path) -> set[str]:
    """The files of the package that a file imports, by full name."""
    names = imports_of(path)
    deeper = {name.rpartition(".")[0] for name in names if name in MODULES}
    return {name for name in names & MODULES.keys() if name not in deeper or name == "genbg"}


def rooms_of(path: Path) -> set[str]:
    """Names of the files and folders right below genbg/ that a file imports from."""
    return {name.split(".")[1] for name in modules_of(path) if "." in name}


def listed_rooms() -> list[str]:
    """The rooms of DEVELOPERS.md from the ground up, as starts of full names."""
    text = (ROOT / "DEVELOPERS.md").read_text("utf-8").split("## The house")[1]
    lines = text.split("```text\n")[1].split("```")[0].splitlines()
    rooms = [line.split()[0] for line in lines if not line.startswith(" ")]
    for room in rooms:
        assert (PACKAGE / room).exists(), f"DEVELOPERS.md names a room {room} that is not there"
    return [
        "genbg." + room.removesuffix("/").removesuffix(".py").replace("/", ".") for room in rooms
    ]


def room_of(module: str, rooms: list[str]) -> str | None:
    """The room that a module lies in; None for one that lies in no room of the list."""
    inside = [room for room in rooms if module == room or module.startswith(f"{room}.")]
    return max(inside, key=len, default=None)


def test_every_file_lies_in_a_room_of_the_list():
    """DEVELOPERS.md lists all rooms; beside them are only the package's own two files."""
    rooms = listed_rooms()
    homeless = {name for name in MODULES if room_of(name, rooms) is None}
    assert homeless == {"genbg", "genbg.__main__", "genbg.paint"}


def test_a_room_imports_only_from_above_it():
    """No import goes down the list of rooms."""
    rooms = listed_rooms()
    stray = []
    for name, path in MODULES.items():
        own = room_of(name, rooms)
        for other in modules_of(path) if own else ():
            room = room_of(other, rooms)
            if room and rooms.index(room) > rooms.index(own):
                stray.append(f"{name} imports {other}")
    assert not stray


def test_no_circle_of_imports():
    """Files can be put in an order in which each imports only files before it."""
    left = {name: modules_of(path) - {name} for name, path in MODULES.items()}
    while free := [name for name, needs in left.items() if not needs & left.keys()]:
        for name in free:
            del left[name]
    assert not left, f"imports in a circle, or from one: {sorted(left)}"


def test_a_painter_knows_no_other():
    """What two painters use lies in parts/, families/ or craft/."""
    start = "genbg.paint.painters."
    for name, path in MODULES.items():
        if name.startswith(start):
            own = name.removeprefix(start).split(".")[0]
            used = {n.removeprefix(start).split(".")[0] for n in modules_of(path) if start in n}
            assert used <= {own}, f"{name} imports painters {used - {own}}"


def test_what_one_painter_draws_lies_with_it():
    """A part is used by two painters at least, or by other parts."""
    for part in sorted((PACKAGE / "paint/parts").glob("[a-z]*.py")):
        users = {name for name, path in MODULES.items() if name_of(part) in modules_of(path)}
        homes = {".".join(name.split(".")[:4]) for name in users}
        assert len(homes) > 1, f"{part.name} is used by {homes} alone"


@pytest.mark.parametrize("stage", STAGES)
def test_a_stage_knows_no_other_stage(stage: str) -> None:
    """A stage imports no other, and only its door what is asked for; `preset` is paint's alone."""
    files = sorted((PACKAGE / stage).rglob("*.py"))
    assert files
    for path in files:
        apart = {*STAGES, *ASKED, "preset"} - {stage} - ({"preset"} if stage == "paint" else set())
        stray = rooms_of(path) & apart
        door = str(path.relative_to(PACKAGE)) in DOORS[stage]
        assert not stray - (ASKED if door else set()), f"{path.relative_to(ROOT)} imports {stray}"


def test_the_pipeline_knows_doors_only() -> None:
    """Of a stage it imports the files that are its doors."""
    files = {
        ".".join(("genbg", *path.relative_to(PACKAGE).with_suffix("").parts)) for path in FILES
    }
    known = imports_of(PACKAGE / "pipeline.py") & files
    listed = {f"genbg.{path[:-3].replace('/', '.')}" for paths in DOORS.values() for path in paths}
    assert {name for name in known if name.split(".")[1] in STAGES} == listed


ROAD = (
    *("model", "request", "way", "asked", "paint.contract", "paint.colour", "paint.scene"),
    *("planes", "quantize", "reduce", "scroll", "screen", "backdrop", "pipeline"),
)
"""The rooms that a picture goes through, from what is asked for to the backdrop."""
MOST_FIELDS = 15
"""Fields of a record that a reader can keep in mind; our own measure, no source."""


def road_trees() -> dict[Path, ast.Module]:
    """Every file of the road, parsed."""
    starts = tuple(f"genbg.{room}" for room in ROAD)
    return {
        path: ast.parse(path.read_text("utf-8"))
        for name, path in MODULES.items()
        if name in starts or name.startswith(tuple(f"{start}." for start in starts))
    }


def test_records_of_the_road_are_small():
    """No record that a stage hands on, or keeps for itself, has more than 15 fields."""
    counts = {
        f"{path.name}: {node.name}": sum(isinstance(one, ast.AnnAssign) for one in node.body)
        for path, tree in road_trees().items()
        for node in ast.walk(tree)
        if isinstance(node, ast.ClassDef) and node.decorator_list
    }
    assert max(counts.values()) > 10, "the count found no record"
    assert not {name: count for name, count in counts.items() if count > MOST_FIELDS}


def test_the_road_is_typed():
    """Nothing on the road returns Any, or hands on a mapping of Any."""
    for path, tree in road_trees().items():
        for node in ast.walk(tree):
            if isinstance(node, ast.FunctionDef) and node.returns is not None:
                assert ast.unparse(node.returns) != "Any", f"{path}: {node.name}"
            if isinstance(node, ast.Subscript) and "Any" in ast.unparse(node.slice):
                kind = ast.unparse(node.value)
                assert kind not in ("dict", "Mapping"), f"{path}:{node.lineno}"


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


def private_uses(path: Path) -> set[str]:
    """Names with one leading underscore that a test takes from the package: imported, read off a
    module or class of it, or patched there."""
    tree = ast.parse(path.read_text("utf-8"))
    ours = {
        alias.asname or alias.name.split(".")[0]
        for node in ast.walk(tree)
        if isinstance(node, ast.Import | ast.ImportFrom)
        for alias in node.names
        if (getattr(node, "module", None) or alias.name).split(".")[0] == "genbg"
    }
    found = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.ImportFrom) and (node.module or "").split(".")[0] == "genbg":
            found |= {alias.name for alias in node.names}
        elif isinstance(node, ast.Attribute) and root_of(node) in ours:
            found.add(node.attr)
        elif isinstance(node, ast.Call) and root_of(node.func) in {"monkeypatch", "patch"}:
            texts = [one.value for one in node.args if isinstance(one, ast.Constant)]
            found |= {str(text).rsplit(".")[-1] for text in texts}
    return {name for name in found if name.startswith("_") and not name.startswith("__")}


def root_of(node: ast.AST) -> str:
    """The name that a chain of attributes begins with."""
    while isinstance(node, ast.Attribute):
        node = node.value
    return node.id if isinstance(node, ast.Name) else ""


def test_private_functions_are_not_called_from_tests() -> None:
    """A test takes from the package what other files of the package may take."""
    files = sorted((ROOT / "tests").rglob("*.py"))
    stray = {str(path.relative_to(ROOT)): private_uses(path) for path in files}
    assert not {path: names for path, names in stray.items() if names}


def test_a_private_use_is_found(tmp_path: Path) -> None:
    """The rule above sees an import, an attribute and a patch."""
    text = (
        "from genbg.reduce import search\nfrom genbg.colour import _cut\n"
        "def test(monkeypatch):\n    monkeypatch.setattr(search, '_look', 1)\n    search._go()\n"
    )
    (tmp_path / "sample.py").write_text(text, "utf-8")
    assert private_uses(tmp_path / "sample.py") == {"_cut", "_look", "_go"}


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
