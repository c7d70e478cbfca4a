"""Whole commands: exit status, messages on standard error, what is written and what is not."""

from __future__ import annotations

import os
import subprocess
import sys
import time

import pytest

from genbg import __version__, cli
from genbg.cli import Progress, run
from genbg.reading.starter import bundled_text

TEXT = """\
title = "Low tide"
[machine]
tile_budget = 64
[preview]
frames = 4
[[layer]]
paint = "steps"
lines = [96, 224]
distance = 8
"""


@pytest.fixture
def bay(tmp_path, monkeypatch, steps):
    """A preset file in an empty current folder."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "bay.toml").write_text(TEXT)
    return tmp_path


def program(*arguments, **options):
    """Run the program in a process of its own."""
    command = [sys.executable, "-m", "genbg.cli", *arguments]
    return subprocess.run(command, capture_output=True, text=True, timeout=60, **options)


def listing(folder):
    return sorted(str(path.relative_to(folder)) for path in folder.rglob("*"))


# --- commands that work ---------------------------------------------------------------------------


def test_make_writes_an_export_and_a_table(bay, capsys):
    """`make` ends with 0, fills out/<preset>-<seed> and tells what was made on standard output."""
    assert run(["make", "bay.toml", "--seed", "3"]) == 0
    assert (bay / "out" / "bay-3" / "backdrop.json").is_file()
    told = capsys.readouterr()
    assert told.err == ""
    assert told.out.startswith("Low tide (seed 3, mood home)\n")
    figures, costs = told.out.split("\n\n")
    labels = [line[:16].strip() for line in figures.splitlines()[1:]]
    fit = ["patterns", "palette rows", "error", "asked for"]
    costs_of = ["depths", "sprites", "memory", "transfer"]
    assert labels == [*fit, *costs_of, "look next at", "check with"]
    assert costs.split()[:6] == ["what", "it", "takes", "used", "limit", "left"]
    assert "budget 64" in told.out


def test_make_with_every_option(bay, capsys):
    """--out, --set, --no-preview and --quiet do what they say."""
    arguments = ["make", "bay.toml", "--out", "here", "--set", "layer.0.size=8"]
    assert run([*arguments, "--set", "seed=9", "--no-preview", "--quiet"]) == 0
    assert capsys.readouterr() == ("", "")
    assert listing(bay)[:2] == ["bay.toml", "here"]
    assert not (bay / "here" / "preview.png").exists()
    assert '"seed": 9' in (bay / "here" / "backdrop.json").read_text()


def test_check_of_a_good_and_a_damaged_export(bay, capsys):
    """`check` ends with 0 where all holds, and with 1 and a line for each thing that does not."""
    run(["make", "bay.toml", "--out", "here", "--quiet"])
    assert run(["check", "here"]) == 0
    assert capsys.readouterr().out == "here: all holds\n"
    assert run(["check", "here", "--quiet"]) == 0
    assert capsys.readouterr() == ("", "")
    tiles = bay / "here" / "machine" / "tiles.bin"
    tiles.write_bytes(bytes([tiles.read_bytes()[0] ^ 1]) + tiles.read_bytes()[1:])
    assert run(["check", "here"]) == 1
    told = capsys.readouterr()
    assert "tiles.bin" in told.out + told.err
    assert "Traceback" not in told.out + told.err


def test_presets_lists_names_and_titles(capsys):
    """`presets` prints one line a bundled preset, its name first."""
    from genbg.reading import list_bundled

    assert run(["presets"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert [tuple(line.split(maxsplit=1)) for line in lines] == list_bundled()


def test_presets_of_an_incomplete_copy(capsys, monkeypatch):
    """A copy without its presets says so."""
    monkeypatch.setattr("genbg.reading.bundled.bundled_folder", lambda: None)
    assert run(["presets"]) == 1
    says = "Error: no bundled presets found; this copy of genbg is not complete\n"
    assert capsys.readouterr() == ("", says)


def test_new_writes_a_preset_that_can_be_made(tmp_path, monkeypatch, capsys):
    """`new` writes a file that `make` takes as it is, and never overwrites one."""
    monkeypatch.chdir(tmp_path)
    assert run(["new", "mine.toml"]) == 0
    assert capsys.readouterr().out == "mine.toml: written; try: genbg make mine.toml\n"
    assert run(["make", "mine.toml", "--no-preview", "--quiet"]) == 0
    text = (tmp_path / "mine.toml").read_text()
    assert run(["new", "mine.toml"]) == 1
    assert capsys.readouterr().err == "Error: mine.toml: exists already and is left as it is\n"
    assert (tmp_path / "mine.toml").read_text() == text


def test_new_copies_a_bundled_preset(tmp_path, monkeypatch, capsys):
    """`new --from` writes the bundled text as it is; an unknown name is told and writes nothing."""
    monkeypatch.chdir(tmp_path)
    assert run(["new", "mine.toml", "--from", "mirror-lake"]) == 0
    assert (tmp_path / "mine.toml").read_text("utf-8") == bundled_text("mirror-lake")
    assert run(["new", "other.toml", "--from", "miror-lake"]) == 2
    assert 'did you mean "mirror-lake"?' in capsys.readouterr().err
    assert not (tmp_path / "other.toml").exists()


def test_painters_are_listed(capsys):
    """`painters` tells a line a painter, with a name its keys; an unknown one ends in status 2."""
    assert run(["painters"]) == 0
    assert "\nwater " in capsys.readouterr().out
    assert run(["painters", "water"]) == 0
    assert capsys.readouterr().out.startswith("water: ")
    assert run(["painters", "watr"]) == 2
    assert 'did you mean "water"?' in capsys.readouterr().err


@pytest.mark.parametrize("arguments", [["--help"], ["-h"], ["make", "--help"], ["check", "-h"]])
def test_help(arguments, capsys):
    """Help goes to standard output and ends with 0."""
    assert run(arguments) == 0
    told = capsys.readouterr()
    assert told.out.startswith("Usage: genbg ")
    assert told.err == ""


def test_help_names_every_command(capsys):
    """The list of commands has a sentence for each."""
    run(["--help"])
    out = capsys.readouterr().out
    for name, command in cli.commands.commands.items():
        assert f"  {name} " in out
        assert command.short_help


def test_version(capsys):
    """--version prints name and version."""
    assert run(["--version"]) == 0
    assert capsys.readouterr().out == f"genbg {__version__}\n"


def test_help_loads_nothing_slow():
    """`genbg --help` leaves numpy, Pillow and the stages unloaded."""
    code = (
        "import sys; from genbg.cli import run; run(['--help']); "
        "print(sorted({'numpy', 'PIL', 'tomllib', 'genbg.preset', 'genbg.pipeline', "
        "'importlib.metadata'} & set(sys.modules)))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, timeout=60)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.splitlines()[-1] == "[]"


# --- command lines and presets that are wrong -----------------------------------------------------

USAGE = [
    ([], "Usage: genbg"),
    (["mak"], "No such command 'mak'"),
    (["make"], "Missing argument 'PRESET'"),
    (["make", "bay.toml", "--sed", "1"], "No such option"),
    (["make", "bay.toml", "--seed", "one"], "'one' is not a valid integer"),
    (["make", "bay.toml", "extra"], "Got unexpected extra argument (extra)"),
    (["check"], "Missing argument 'DIR'"),
    (["new"], "Missing argument 'FILE'"),
]


@pytest.mark.parametrize(("arguments", "says"), USAGE)
def test_wrong_command_line(arguments, says, bay, capsys):
    """A command line that is wrong ends with 2 and says why on standard error."""
    assert run(arguments) == 2
    told = capsys.readouterr()
    assert says in told.err
    assert told.out == ""
    assert listing(bay) == ["bay.toml"]


PRESETS = [
    ("missing.toml", [], "missing.toml: no such file, and no bundled preset of that name"),
    (".", [], ".: is not a file"),
    ("bay.toml", ["--seed", "-1"], "--seed: seed = -1: must be a whole number from 0 to"),
    ("bay.toml", ["--set", "machine.tile_budget=0"], "--set machine.tile_budget=0: machine.tile"),
    ("bay.toml", ["--set", "machine.tile_budget=3000"], "--set machine.tile_budget=3000: machine"),
    ("bay.toml", ["--set", "layer.0.distnce=6"], "--set layer.0.distnce=6: layer.0.distnce = 6"),
    ("bay.toml", ["--set", "nonsense"], "--set nonsense: must be KEY=VALUE"),
    ("bay.toml", ["--set", "mood=night"], '--set mood=night: mood = "night": unknown mood'),
]


@pytest.mark.parametrize(("preset", "options", "says"), PRESETS)
def test_wrong_preset(preset, options, says, bay, capsys):
    """A preset that is wrong ends with 2, one message, nothing written."""
    assert run(["make", preset, *options]) == 2
    told = capsys.readouterr()
    assert told.err.startswith(says)
    assert told.err.count("\n") == 1
    assert told.out == ""
    assert listing(bay) == ["bay.toml"]


def test_all_faults_of_a_file_are_told(bay, capsys):
    """Each fault is a line with file, line and column."""
    (bay / "bad.toml").write_text(TEXT.replace("64", "0").replace("8", '"far"'))
    assert run(["make", "bad.toml"]) == 2
    lines = capsys.readouterr().err.splitlines()
    assert [line.split(" ")[0] for line in lines] == ["bad.toml:3:15:", "bad.toml:9:12:"]


def test_budget_of_one_is_met(bay, capsys):
    """The smallest budget is no error: one tile is stored."""
    assert run(["make", "bay.toml", "--set", "machine.tile_budget=1"]) == 0
    assert " 1 stored, budget 1" in capsys.readouterr().out


def test_layers_at_two_speeds(bay, capsys):
    """Two layers that share lines at different speeds are named, and nothing is written."""
    second = '[[layer]]\npaint = "steps"\nname = "near"\nlines = [200, 216]\ndistance = 2\n'
    (bay / "two.toml").write_text(TEXT + second)
    assert run(["make", "two.toml"]) == 2
    told = capsys.readouterr().err
    assert told.startswith('two.toml:14:12: layer.1.distance = 2: layers 0 "steps" and 1 "near"')
    assert "lines 200 to 215" in told
    assert told.count("\n") == 1
    assert not (bay / "out").exists()


# --- places that can't be written -----------------------------------------------------------------


def test_out_is_a_file(bay, capsys):
    """A file in place of the folder is told before anything is painted."""
    (bay / "taken").write_text("mine")
    assert run(["make", "bay.toml", "--out", "taken", "--set", "layer.0.fail=bug"]) == 1
    assert "is a file, not a folder" in capsys.readouterr().err
    assert (bay / "taken").read_text() == "mine"


def test_out_holds_other_files(bay, capsys):
    """A folder that genbg did not write is never replaced."""
    (bay / "mine").mkdir()
    (bay / "mine" / "notes.txt").write_text("keep")
    assert run(["make", "bay.toml", "--out", "mine"]) == 1
    assert "is not an export of genbg" in capsys.readouterr().err
    assert listing(bay / "mine") == ["notes.txt"]


# --- what happens on the way ----------------------------------------------------------------------

FAILURES = [
    ("memory", 1, "Error: out of memory; a smaller plane or fewer preview frames need less\n"),
    ("disk", 1, "Error: /somewhere/tiles.bin: No space left on device\n"),
    (
        "bug",
        1,
        "Error: internal error, ZeroDivisionError: a\\nbug; please report it with the preset; "
        "GENBG_TRACEBACK=1 shows where\n",
    ),
]


@pytest.mark.parametrize(("name", "status", "says"), FAILURES)
def test_failure_on_the_way(name, status, says, bay, capsys):
    """What goes wrong while painting is one line, and nothing is written."""
    assert run(["make", "bay.toml", "--set", f"layer.0.fail={name}"]) == status
    assert capsys.readouterr() == ("", says)
    assert listing(bay) == ["bay.toml"]


def test_traceback_for_developers(bay, capsys, monkeypatch):
    """GENBG_TRACEBACK=1 shows where an internal error came from; the status stays 1."""
    monkeypatch.setenv("GENBG_TRACEBACK", "1")
    assert run(["make", "bay.toml", "--set", "layer.0.fail=bug"]) == 1
    assert "Traceback (most recent call last)" in capsys.readouterr().err


def test_interrupt_in_the_middle(bay, capsys):
    """Ctrl-C ends with 130 and one line, and nothing is written."""
    assert run(["make", "bay.toml", "--set", "layer.0.fail=stop"]) == 130
    told = capsys.readouterr()
    assert told.err.strip() == "Stopped; nothing was left half-written."
    assert told.out == ""
    assert listing(bay) == ["bay.toml"]


def test_interrupt_of_the_whole_program(tmp_path):
    """SIGINT while a preset is made ends the process with 130, without a traceback."""
    (tmp_path / "sitecustomize.py").write_text(
        "import os, signal, threading\n"
        "import genbg.pipeline\n"
        "def build(preset, progress, way):\n"
        "    signal.signal(signal.SIGINT, signal.default_int_handler)\n"
        "    threading.Timer(0.1, os.kill, (os.getpid(), signal.SIGINT)).start()\n"
        "    while True: signal.pause()\n"
        "genbg.pipeline.build = build\n"
    )
    environment = {**os.environ, "PYTHONPATH": str(tmp_path)}
    done = program("new", "mine.toml", cwd=tmp_path)
    assert done.returncode == 0, done.stderr
    done = program("make", "mine.toml", cwd=tmp_path, env=environment)
    assert (done.returncode, done.stdout) == (130, "")
    assert done.stderr.strip() == "Stopped; nothing was left half-written."
    assert not (tmp_path / "out").exists()


def test_reader_that_stops_reading():
    """A closed standard output is no traceback, neither at once nor at exit."""
    read, write = os.pipe()
    os.close(read)
    command = [sys.executable, "-m", "genbg.cli", "make", "--help"]
    done = subprocess.run(command, stdout=write, stderr=subprocess.PIPE, text=True, timeout=60)
    os.close(write)
    assert done.returncode == 1
    assert done.stderr == ""


def test_terminal_of_few_characters(tmp_path):
    """A title that the terminal can't show is written in escapes and stops nothing."""
    environment = {**os.environ, "PYTHONIOENCODING": "iso-8859-1"}
    program("new", "mine.toml", cwd=tmp_path)
    options = ("--set", "title=Ebb \u2192 flow", "--no-preview")
    done = program("make", "mine.toml", *options, cwd=tmp_path, env=environment)
    assert (done.returncode, done.stderr) == (0, "")
    assert done.stdout.startswith("Ebb \\u2192 flow (seed 7, mood home)")


# --- the progress bar -----------------------------------------------------------------------------


class Terminal:
    """A standard error that says it is a terminal."""

    def __init__(self):
        self.text = ""

    def isatty(self):
        return True

    def write(self, text):
        self.text += text

    def flush(self):
        pass


def drawn(monkeypatch, seconds, quiet=False, terminal=None):
    """What a progress bar draws for work that takes so many seconds, by a clock of our own."""
    terminal = terminal or Terminal()
    now = [0.0]
    monkeypatch.setattr(time, "monotonic", lambda: now[0])
    monkeypatch.setattr(sys, "stderr", terminal)
    with Progress(quiet) as progress:
        tell = progress.part(0.0, 0.5)
        for step in range(5):
            now[0] = seconds * step / 4
            tell("paint", step / 4)
        progress.part(0.5, 1.0)("write", 1.0)
    return terminal.text


def test_progress_of_long_work(monkeypatch):
    """Work longer than a second draws a bar with percent and stage."""
    text = drawn(monkeypatch, 8.0)
    assert "50%" in text
    assert "paint" in text
    assert "100%" in text


def test_progress_of_short_work(monkeypatch):
    """Work of a moment draws nothing."""
    assert drawn(monkeypatch, 0.9) == ""


def test_progress_when_quiet_or_no_terminal(monkeypatch):
    """--quiet draws nothing, and neither does a standard error that goes to a file."""
    assert drawn(monkeypatch, 8.0, quiet=True) == ""
    log = Terminal()
    log.isatty = lambda: False
    assert drawn(monkeypatch, 8.0, terminal=log) == ""


def test_the_package_runs_as_a_module():
    """`python -m genbg` is the same program, for who has not its command on the path."""
    command = [sys.executable, "-m", "genbg", "--version"]
    done = subprocess.run(command, capture_output=True, text=True, timeout=60)
    assert (done.returncode, __version__ in done.stdout) == (0, True)


def test_what_a_command_line_holds_is_shown_and_not_obeyed(bay):
    """Control signs in surplus arguments and wrong options reach the terminal as escapes."""
    for asked in (["make", "bay.toml", "\x1b[31mred"], ["--o\x1b[2Jx"], ["check", "no\x1bne"]):
        done = program(*asked, cwd=bay)
        assert done.returncode == 2
        assert "\x1b" not in done.stderr
        assert "\\x1b" in done.stderr


def test_control_signs_in_a_files_name_name_no_folder(bay, capsys):
    """The default folder's name has "_" for each sign that can't be printed."""
    odd = bay / "two\nlines\x1b[1m.toml"
    odd.write_text((bay / "bay.toml").read_text())
    assert run(["make", str(odd), "--seed", "3"]) == 0
    assert [path.name for path in (bay / "out").iterdir()] == ["two_lines_[1m-3"]
    assert "\x1b" not in capsys.readouterr().out


def test_check_of_no_folder_is_wrong_use(bay):
    """Nothing was checked, so it is no failed check: status 2, told on standard error."""
    for name in ("gone", "bay.toml"):
        done = program("check", name, cwd=bay)
        assert (done.returncode, done.stdout) == (2, "")
        assert f"{name}: is not a folder" in done.stderr


def test_sigterm_ends_like_ctrl_c(tmp_path):
    """Status 130 and one line, without a traceback."""
    script = (
        "import os, signal, sys, threading\n"
        "import genbg.cli\n"
        "def run():\n"
        "    threading.Timer(0.1, os.kill, (os.getpid(), signal.SIGTERM)).start()\n"
        "    try:\n"
        "        while True: signal.pause()\n"
        "    except KeyboardInterrupt:\n"
        "        return 130\n"
        "genbg.cli.run = run\n"
        "genbg.cli.main()\n"
    )
    done = subprocess.run([sys.executable, "-c", script], capture_output=True, timeout=60)
    assert (done.returncode, done.stderr) == (130, b"")
