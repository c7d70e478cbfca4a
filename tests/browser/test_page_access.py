"""Anyone can use the page: the accessibility rules, sizes from a phone to 4K, light and dark."""

from __future__ import annotations

import numpy as np
import pytest
from sample import changed, make_backdrop

from genbg.images import read_animation
from genbg.model import Figures, Flashes

RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
WIDTHS = (320, 360, 768, 1024, 1280, 2560, 3840)


def full_backdrop():
    """A backdrop with everything, with notes and more flashes than are safe."""
    figures = Figures(flashes=Flashes(general=5, red=0))
    return changed(make_backdrop(3, full=True), warnings=("a note",), figures=figures)


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [360, 1280])
@pytest.mark.parametrize("way", ["flat", "planes", "layers"])
def test_no_rule_is_broken(scheme, width, way, axe_source, open_page):
    """axe-core finds no violation of WCAG 2.2 AA or of good practice."""
    viewport = {"width": width, "height": 800}
    page = open_page(full_backdrop(), color_scheme=scheme, viewport=viewport)
    page.tab.locator(f"[name=way][value={way}]").check()
    page.settle()
    page.run(axe_source + "; 0")
    found = page.run("(tags) => axe.run({ runOnly: tags })", RULES)
    told = [
        f"{one['id']}: {node['html'][:120]} {node['failureSummary']}"
        for one in found["violations"]
        for node in one["nodes"]
    ]
    assert told == []
    assert len(found["passes"]) > 20


@pytest.mark.parametrize("width", WIDTHS)
@pytest.mark.parametrize("ratio", [1, 1.25, 2, 3])
def test_pixels_are_whole_and_nothing_sticks_out(width, ratio, open_page):
    """A pixel of the console is a whole number of the screen's pixels, and no page scrolls
    sideways, from 360 pixels to 4K."""
    page = open_page(
        make_backdrop(3, full=True),
        viewport={"width": width, "height": max(640, width * 9 // 16)},
        device_scale_factor=ratio,
    )
    box = page.tab.locator("#screen").bounding_box()
    size = box["width"] * ratio / 320
    assert abs(size - round(size)) < 0.01
    assert round(size) >= 1
    assert abs(box["height"] * ratio / 224 - size) < 0.01
    if width >= 360 or ratio > 1:
        over = page.run("document.documentElement.scrollWidth - window.innerWidth")
        assert over <= 0


def test_the_picture_is_drawn_at_its_size(open_page):
    """At one pixel for one, what the browser shows is the frame, pixel for pixel."""
    backdrop = make_backdrop(3, full=True)
    page = open_page(backdrop, viewport={"width": 360, "height": 700})
    page.run("document.getElementById('marks').style.display = 'none'")
    frame = page.frame(0)
    shot = page.tab.locator("#screen").screenshot()
    [(pixels, _)] = read_animation(shot, (320, 224), 1)
    assert np.array_equal(pixels, frame)
