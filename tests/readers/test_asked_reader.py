"""What the manifest says of colours asked for is what a plain second reader finds."""

from __future__ import annotations

from pathlib import Path

import pytest
from asked_reader import asked_figures, oklab
from coloraide import Color
from scene_text import a_layer, scene

from genbg.pipeline import build
from genbg.reading import parse_preset
from genbg.write.folder import write_export

SCENE = scene(
    a_layer("sky", [0, 128], body="moon"),
    a_layer("ridge", [64, 128], distance=8.0),
    a_layer("water", [128, 224], plane="front", distance=[8.0, 1.0]),
    title="Two bands",
    seed=3,
    machine={"screen": [256, 224], "plane_cells": [32, 32], "tile_budget": 640},
)


@pytest.mark.parametrize("budget", [60, 640])
def test_home_figures_are_found_again_from_layers_and_bytes(tmp_path: Path, budget: int) -> None:
    """Share of moved pixels, squared distance and worst cell, by another reader, at a budget that
    merges and at one that does not."""
    backdrop = build(parse_preset(SCENE, settings=[f"machine.tile_budget={budget}"]))
    write_export(backdrop, tmp_path / "out", previews=False)
    found = asked_figures(tmp_path / "out", (256, 256))
    told = backdrop.proof.asked["home"]
    assert found["pixels"] == pytest.approx(told.pixels, abs=1e-4)
    assert found["oklab_mse"] == pytest.approx(told.oklab_mse, rel=0.01, abs=1e-7)
    assert found["worst_cell"] == pytest.approx(told.worst_cell, rel=0.01, abs=1e-4)
    assert told.pixels > 0 or budget == 640


def test_the_readers_oklab_is_that_of_coloraide() -> None:
    """The reader's own colours agree with a reference library's."""
    for rgb in ((58, 123, 213), (255, 0, 0), (36, 104, 36)):
        want = Color("srgb", [byte / 255 for byte in rgb]).convert("oklab").coords()
        assert oklab(rgb) == pytest.approx(want, abs=2e-4)


def test_every_mood_is_measured() -> None:
    """A mood whose colours fall together differently has figures of its own."""
    text = SCENE + '[mood.night]\ntint = "#4949db"\namount = 0.8\n'
    asked = build(parse_preset(text)).proof.asked
    assert list(asked) == ["home", "night"]
    assert asked["night"].asked < asked["home"].asked
