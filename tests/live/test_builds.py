"""What is kept between looks, what is watched, and what happens when a look can't be made."""

from __future__ import annotations

import numpy as np
import pytest
from live_server import SMALL
from PIL import Image

from genbg import build, load_preset
from genbg.errors import GenbgError, LimitError
from genbg.live import builds, run
from genbg.live.builds import Builder, Painter
from genbg.live.controls import control_groups, settings_of
from genbg.live.memo import Memo
from genbg.live.watch import files_of
from genbg.pipeline import Way
from genbg.reading import bundled_names, parse_preset


def test_equal_arguments_are_one_call() -> None:
    """A second call with equal arrays returns the first result; another array is another call."""
    calls = []

    def work(array, number):
        calls.append(number)
        return array + number

    memo = Memo()
    first = memo.call(work, np.arange(4), 1)
    assert memo.call(work, np.arange(4), 1) is first
    memo.call(work, np.arange(4), 2)
    memo.call(work, np.arange(5), 1)
    memo.call(work, np.arange(4, dtype=np.uint8), 1)
    assert calls == [1, 2, 1, 1]


def test_the_oldest_result_goes_first() -> None:
    """Past the limit, what was not asked for the longest is made anew."""
    calls = []
    memo = Memo(keep=2)
    for number in (1, 2, 1, 3, 1, 2):
        memo.call(calls.append, number)
    assert calls == [1, 2, 3, 2]


def test_what_cannot_be_pickled_is_called_each_time() -> None:
    """A function as an argument has no bytes to compare."""
    calls = []
    memo = Memo()
    memo.call(lambda key: calls.append(1), lambda: None)
    memo.call(lambda key: calls.append(1), lambda: None)
    assert len(calls) == 2


def test_a_kept_look_is_the_look_made_anew() -> None:
    """Turning there and back gives the bytes that a fresh start gives, with results kept."""
    texts = [SMALL, SMALL.replace("height = 0.6", "height = 0.3")]
    fresh = [Painter().look(parse_preset(text), False).data for text in texts]
    keeper = Painter()
    for number in (0, 1, 0):
        keeper.look(parse_preset(texts[number]), True)
        assert keeper.look(parse_preset(texts[number]), False).data == fresh[number]
    assert keeper.memo.hits > 0


def test_a_first_look_merges_nothing_and_moves_alike() -> None:
    """Its tiles are those before merging; speeds, layers and palettes' size are the same."""
    sketch = build(parse_preset(SMALL), None, Way(sketch=True))
    budget = sketch.tiles.before - 4
    whole = build(parse_preset(SMALL, settings=[f"machine.tile_budget={budget}"]))
    assert len(whole.tiles.pixels) == budget
    assert len(sketch.tiles.pixels) == sketch.tiles.before == whole.tiles.before
    assert np.array_equal(whole.moves.speeds.ratio, sketch.moves.speeds.ratio)
    assert np.array_equal(whole.preview.scroll, sketch.preview.scroll)
    assert [layer.name for layer in whole.layers] == [layer.name for layer in sketch.layers]


def test_pictures_are_watched_and_never_kept(tmp_path) -> None:
    """A picture that a layer names is watched, and read anew although its name is the same."""
    path = tmp_path / "art.toml"
    path.write_text('[[layer]]\npaint = "picture"\nfile = "art.png"\nlines = [0, 224]\n')
    looks = []
    for colour in ((0, 0, 0), (255, 255, 255)):
        Image.new("RGB", (512, 224), colour).save(tmp_path / "art.png")
        looks.append(builder_of(path).repaint({}).look.data)
    Image.new("RGB", (512, 224), (0, 0, 255)).save(tmp_path / "art.png")
    assert files_of(load_preset(path)) == {path, tmp_path / "art.png"}
    assert looks[0] != looks[1]
    assert builder_of(path).repaint({}).look.data not in looks


def builder_of(path, kept={}):  # noqa: B006  one builder for all saves of a file
    """The builder of a preset, the same for the same file."""
    if path not in kept:
        kept[path] = Builder(str(path))
    return kept[path]


@pytest.mark.parametrize(
    ("error", "says"),
    [
        (GenbgError("no\nmore"), ("no", "more")),
        (OSError(13, "Permission denied", "a.png"), ("a.png: Permission denied",)),
        (ZeroDivisionError("x"), ("internal error, ZeroDivisionError: x; please report",)),
    ],
)
def test_whatever_fails_keeps_the_last_picture(small, monkeypatch, error, says) -> None:
    """The state has the old look and says what is wrong."""
    live = Builder(str(small))

    def fail(*arguments):
        raise error

    monkeypatch.setattr(builds, "build", fail)
    state = live.repaint({"seed": 5})
    assert state.look is live.state.look
    assert len(state.faults) == len(says)
    assert all(fault.startswith(text) for fault, text in zip(state.faults, says, strict=True))


def test_what_only_merged_tiles_fit_waits_for_the_finished_look(small, monkeypatch) -> None:
    """Too many tiles before merging is no fault; the last picture stays meanwhile."""
    live = Builder(str(small))

    def fail(*arguments):
        raise LimitError("patterns", 3000, 2000)

    monkeypatch.setattr(builds, "build", fail)
    state = live.repaint({})
    assert state.look is live.state.look
    assert state.faults == ()


@pytest.mark.parametrize("name", bundled_names())
def test_every_control_says_what_holds(name) -> None:
    """Each control's value, set as it is, changes nothing of the preset."""
    preset = load_preset(name)
    controls = [one for group in control_groups(preset) for one in group["controls"]]
    assert len(controls) > 50
    assert len({one["path"] for one in controls}) == len(controls)
    turned = {one["path"]: one["value"] for one in controls if one["value"] is not None}
    ramps = {path for path in turned if ".colours." in path or ".steps." in path}
    same = load_preset(name, settings_of({p: v for p, v in turned.items() if p not in ramps}))
    assert same.machine == preset.machine
    assert same.scene == preset.scene
    assert same.layers == preset.layers


def test_a_missing_library_is_one_clear_error(monkeypatch) -> None:
    """The error names the library and the extra that brings it."""
    monkeypatch.setitem(__import__("sys").modules, "watchfiles", None)
    with pytest.raises(GenbgError, match=r"needs watchfiles.*pip install 'genbg\[live\]'"):
        run.run_live("harbour-dusk", 0, False, print)


def test_a_port_that_is_taken_is_one_clear_error() -> None:
    """The error names the port."""
    with run.open_port(0) as listener:
        port = listener.getsockname()[1]
        with pytest.raises(GenbgError, match=f"port {port} can't be used"):
            run.open_port(port)
