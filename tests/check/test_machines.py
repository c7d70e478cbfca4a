"""genbg check takes whatever genbg make writes, for any console that a preset can ask for."""

from __future__ import annotations

import random

import pytest
from random_presets import any_table, toml_of
from scene_text import a_layer, scene, table

from genbg.check import check_export
from genbg.errors import GenbgError
from genbg.pipeline import build
from genbg.preset.machine import MachineKeys
from genbg.reading import parse_preset
from genbg.write.folder import write_export

SCENE = scene(
    a_layer("sky", [0, 120], body="none"),
    a_layer("water", [120, 224], distance=[8.0, 1.0]),
    a_layer("lanterns", [72, 168], plane="sprites", distance=2.0, spacing=96),
    table("[split]", line=150, tint="#4949b6", amount=0.5),
    table("mood.night", tint="#242492", amount=0.7),
    title="The strait",
    preview={"frames": 2},
    window={"rows": [26, 28]},
)


def made(tmp_path, machine, wave=0.0, dip=0):
    """What the check says of an export; None where the preset is refused."""
    text = f"machine = {toml_of({'machine': machine}).split('=', 1)[1]}"
    settings = [f"camera.dip={dip}", f"layer.1.wave={wave}"]
    try:
        backdrop = build(parse_preset(text + SCENE, settings=settings))
    except GenbgError:
        return None
    folder = write_export(backdrop, tmp_path / "x", previews=False)
    return check_export(folder)


@pytest.mark.parametrize(
    "machine",
    [
        {"sprites_screen": 0},
        {"sprites_line": 0},
        {"sprite_pixels_line": 0},
        {"colours_per_line": 1},
        {"transfer_bytes": 0},
        {"tile_budget": 2, "merge": "fast"},
    ],
)
def test_a_console_that_lacks_nearly_everything(machine, tmp_path):
    """Each limit at its lowest: what is asked too much of is told when it is made, not refused."""
    assert made(tmp_path, machine) == []


def test_a_reserve_that_no_sprites_share(tmp_path):
    """What a game keeps for itself is told where there are sprites, and is nothing elsewhere."""
    text = "seed = 1\n[sprites]\nreserve = 42\n[machine]\nscreen = [256, 224]\n"
    text += '[[layer]]\npaint = "sky"\nlines = [0, 64]\nbody = "none"\n'
    backdrop = build(parse_preset(text))
    assert backdrop.sprites.placed is None
    assert check_export(write_export(backdrop, tmp_path / "x", previews=False)) == []


@pytest.mark.slow
def test_any_console(tmp_path):
    """Consoles made by chance, seeded: whatever is written holds."""
    dice, built = random.Random(14), 0
    for _ in range(60):
        machine = any_table(MachineKeys, dice, 0.25) | {"merge": "fast"}
        machine.pop("quality", None)
        machine["tall_lines"] = dice.choice([232, 240])
        vertical = machine.get("vertical", "none") != "none"
        wave = dice.choice([0.0, 2.0]) if machine.get("scroll", "line") == "line" else 0.0
        faults = made(tmp_path, machine, wave, 24 if vertical else 0)
        assert faults in ([], None), machine
        built += faults is not None
        if built == 8:
            return
    raise AssertionError(f"only {built} consoles were taken")
