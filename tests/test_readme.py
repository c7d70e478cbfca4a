"""What the README shows is what the program takes."""

from __future__ import annotations

import re
import shlex
import tomllib
from pathlib import Path

import pytest

from genbg import cli
from genbg.errors import PresetError
from genbg.pipeline import build
from genbg.reading import list_bundled, load_preset, parse_preset
from genbg.report.summary import cost_lines
from genbg.write.costs import all_costs

TEXT = (Path(__file__).parents[1] / "README.md").read_text("utf-8")
BLOCKS = re.findall(r"```toml\n(.*?)```", TEXT, re.S)
LINES = [
    line.split("#")[0].strip()
    for block in re.findall(r"```sh\n(.*?)```", TEXT, re.S)
    for line in block.splitlines()
    if line.startswith("genbg ")
]


def test_the_preset_in_the_guide_is_right() -> None:
    """The whole preset that the guide shows loads, and its fragments name keys that exist."""
    whole, *fragments = BLOCKS
    parse_preset(whole)
    for fragment in fragments:
        tomllib.loads(fragment)
        assert "unknown key" not in faults_of(f"{whole}\n{fragment}")
    mood, effects = fragments[:2]
    assert faults_of(f"{whole}\n{mood}\n{effects}") == ""


def faults_of(text: str) -> str:
    """What is wrong with a preset, as the user is told; "" where nothing is."""
    try:
        parse_preset(text)
    except PresetError as error:
        return str(error)
    return ""


@pytest.mark.parametrize("line", LINES)
def test_commands_in_the_guide_exist(line: str) -> None:
    """Every command and option that the guide shows is one of the program's."""
    words = shlex.split(line)
    command = cli.commands.commands[words[1]]
    known = {option for param in command.params for option in param.opts}
    assert {word for word in words if word.startswith("--")} <= known


def test_presets_in_the_guide_are_bundled() -> None:
    """Every preset that the guide names by its own name exists."""
    names = {name for name, _ in list_bundled()}
    asked = {word for line in LINES for word in shlex.split(line)[2:] if "-" in word[1:]}
    asked = {word for word in asked if re.fullmatch(r"[a-z]+-[a-z]+", word)}
    assert asked
    assert asked <= names


def test_the_table_of_costs_is_that_of_this_version() -> None:
    """What the guide shows of a preset's costs is what `make` prints."""
    name, block = re.search(
        r"<!-- table: costs of (.*?) -->\n```text\n(.*?)```", TEXT, re.S
    ).groups()
    assert block == costs_text(name)


def costs_text(name: str) -> str:
    """The table of costs of a bundled preset, without the indent."""
    lines = cost_lines(all_costs(build(load_preset(name))))
    return "".join(f"{line.removeprefix('  ')}\n" for line in lines)
