"""The live page in headless Chromium: saves, faults, turned controls, and what is kept."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parents[1] / "live"))

from live_server import SMALL, live

__all__ = ["live"]
DRAWN = "() => window.backdropPage?.live?.drawn"


@pytest.fixture
def tab(browser, live):
    """The page, quiet, with nothing turned; errors and foreign requests fail the test."""
    live.path.write_text(SMALL)
    live.post("/turn", {})
    context = browser.new_context(reduced_motion="reduce", viewport={"width": 1280, "height": 900})
    tab = context.new_page()
    faults, requests = [], []
    tab.on("console", lambda message: faults.append(message.text))
    tab.on("pageerror", lambda error: faults.append(str(error)))
    tab.on("request", lambda request: requests.append(request.url))
    tab.goto(live.address)
    tab.wait_for_function("() => window.backdropPage?.live?.drawn.number > 0")
    tab.wait_for_function("() => backdropPage.machine.about.seed === 3")
    yield tab
    context.close()
    assert faults == []
    assert [url for url in requests if not url.startswith((live.address, "blob:", "data:"))] == []


def save(live, old, new):
    """Save the preset with something replaced."""
    assert old in SMALL
    live.path.write_text(SMALL.replace(old, new))


def test_a_save_is_drawn_and_the_view_is_kept(tab, live) -> None:
    """Camera, mood and what is hidden stay as they are; the picture is the new one."""
    tab.evaluate(
        "() => { const { view } = backdropPage; view.camera = 500 * 65536;"
        " view.mood = 'night'; view.show.front = false; backdropPage.drawNow(); }"
    )
    before = tab.evaluate("() => backdropPage.readFrame()")
    save(live, "seed = 3 ", "seed = 21 ")
    tab.wait_for_function("() => backdropPage.machine.about.seed === 21")
    tab.wait_for_function("() => !backdropPage.live.drawn.sketch")
    view = tab.evaluate("() => backdropPage.view")
    assert (view["camera"], view["mood"], view["show"]["front"]) == (500 * 65536, "night", False)
    assert tab.evaluate("() => backdropPage.readFrame()") != before


def test_a_fault_keeps_the_picture_and_names_its_line(tab, live) -> None:
    """The message stands on the page as an alert; cured, it goes."""
    before = tab.evaluate("() => backdropPage.readFrame()")
    save(live, "tile_budget = 300", "tile_budgt = 200")
    tab.wait_for_function(
        "() => document.querySelector('#live-faults').textContent.includes('budgt')"
    )
    text = tab.locator("#live-faults").inner_text()
    assert f"{live.path}:6:" in text
    assert 'did you mean "tile_budget"?' in text
    assert tab.evaluate("() => backdropPage.readFrame()") == before
    live.path.write_text(SMALL)
    tab.wait_for_function("() => document.querySelector('#live-faults').textContent === ''")


def test_a_control_repaints_by_keyboard_and_is_written_by_a_press(tab, live) -> None:
    """Turning a number shows it at once, the file changes on the press, and only there."""
    assert tab.locator("#live-write").is_disabled()
    group = tab.locator("#turn-layer-hills")
    group.locator("summary").focus()
    tab.keyboard.press("Enter")
    field = group.get_by_label("distance", exact=True)
    field.focus()
    field.fill("4")
    tab.wait_for_function("() => backdropPage.machine.about.layers[1].ratio[0] === 0.25")
    assert live.path.read_text() == SMALL
    tab.locator("#live-write").focus()
    tab.keyboard.press("Enter")
    tab.wait_for_function("() => document.querySelector('#live-write').disabled")
    wanted = SMALL.replace("distance = 8.0     # far away", "distance = 4     # far away")
    assert live.path.read_text() == wanted


def test_put_back_forgets_what_was_turned(tab, live) -> None:
    """The picture is that of the file again."""
    tab.locator("#turn-preset summary").click()
    tab.locator("#turn-preset").get_by_label("seed").fill("99")
    tab.wait_for_function("() => backdropPage.machine.about.seed === 99")
    tab.locator("#live-drop").click()
    tab.wait_for_function("() => backdropPage.machine.about.seed === 3")
    tab.wait_for_function("() => document.querySelector('#turn-preset input').value === '3'")
    assert live.path.read_text() == SMALL


def test_the_live_panel_follows_the_accessibility_rules(tab, axe_source) -> None:
    """axe-core finds nothing against WCAG 2.2 A and AA with every group open."""
    tab.evaluate(
        "() => document.querySelectorAll('#live details').forEach((one) => one.open = true)"
    )
    tab.evaluate(axe_source)
    tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
    found = tab.evaluate("(values) => axe.run('#live', { runOnly: { type: 'tag', values } })", tags)
    assert [
        (one["id"], [node["html"] for node in one["nodes"]]) for one in found["violations"]
    ] == []


@pytest.mark.parametrize("width", [360, 1280])
def test_the_live_panel_fits_the_window(tab, width) -> None:
    """Nothing of the panel is wider than the window."""
    tab.set_viewport_size({"width": width, "height": 900})
    tab.evaluate(
        "() => document.querySelectorAll('#live details').forEach((one) => one.open = true)"
    )
    # The window and what is built anew in it settle a moment later; what stays too wide fails.
    tab.wait_for_function(
        "(width) => innerWidth === width && document.querySelectorAll('#live *').length"
        " && Math.max(...[...document.querySelectorAll('#live *')]"
        ".map((node) => node.getBoundingClientRect().right)) <= width",
        arg=width,
    )
