"""What the page says is what it shows: fades, depths, costs and changes, as the boards say it."""

from __future__ import annotations

import dataclasses
import math
from itertools import pairwise

import numpy as np
import pytest
from sample import changed, make_backdrop

from genbg.model import Border, Fading, Figures, Split
from genbg.reading.bundled import bundled_names
from genbg.write import merging
from genbg.write.engine import drawing_order
from genbg.write.line_speeds import ratio_text

FADE = Fading("dusk", 40, 10)
SPEEDS = {"sky": 0, "clouds": 1 / 16, "hills": 1 / 4, "town": 1 / 2, "quay": 1, "posts": 2}
PLANES = {"clouds": "front", "posts": "sprites"}


def text_of(page, selector):
    """What a part of the page says."""
    return page.tab.locator(selector).inner_text()


def at_frame(page, frame):
    """Show a frame with all that is read less often."""
    page.run("(n) => backdropPage.drawFrame(n)", frame)


def with_layers(backdrop, names):
    """The backdrop with layers of these names, their speeds and planes."""
    base = backdrop.layers[0]
    layers = [
        dataclasses.replace(
            base,
            name=name,
            plane=PLANES.get(name, "back"),
            ratio=np.full(len(base.ratio), SPEEDS[name]),
        )
        for name in names
    ]
    return changed(backdrop, layers=tuple(layers))


@pytest.mark.parametrize(
    ("frame", "share"), [(0, 0), (10, 0), (20, 25), (50, 100), (60, 100), (90, 25), (100, 0)]
)
def test_a_fade_is_told_and_its_mood_is_marked(frame, share, open_page):
    """Hold, go, hold, come back: the page says which mood colours go to, and how far they are."""
    page = open_page(changed(make_backdrop(3, full=True), figures=Figures(fade=FADE)))
    at_frame(page, frame)
    assert text_of(page, "#fade-text") == f"fade to dusk and back: {share} % of the way"
    marked = page.run("[...document.querySelectorAll('.fading')].map((one) => one.textContent)")
    assert marked == (["dusk"] if share else [])


def test_a_fade_to_the_mood_that_is_shown_is_told_so(open_page):
    """Nothing fades then, and a page without a fade says nothing of one."""
    page = open_page(changed(make_backdrop(3, full=True), figures=Figures(fade=FADE)))
    page.tab.locator("[name=mood][value=dusk]").check()
    at_frame(page, 50)
    assert "shown already" in text_of(page, "#fade-text")
    assert page.tab.locator(".fading").count() == 0
    assert open_page(make_backdrop(3, full=True)).tab.locator("#fade-text").is_hidden()


def test_a_bundled_fade_is_in_its_page(backdrops, open_page):
    """At the end of the way the colours are those of the other mood, and the page says so."""
    backdrop = next(one for one in map(backdrops, bundled_names()) if one.proof.figures.fade)
    fade = backdrop.proof.figures.fade
    page = open_page(backdrop)
    faded = page.frame(fade.hold + fade.frames)
    assert "100 %" in text_of(page, "#fade-text")
    page.run("(mood) => { backdropPage.view.mood = mood; }", fade.to)
    other = page.frame(fade.hold + fade.frames)
    assert (faded == other).all()


def test_layers_stand_apart_in_drawing_order_by_distance(open_page):
    """Sheets come in the order of layers.json; what is twice as near stands one step further on."""
    names = ["posts", "sky", "hills", "clouds", "town", "quay"]
    backdrop = with_layers(make_backdrop(3, full=True), names)
    page = open_page(backdrop)
    page.tab.locator("[name=way][value=layers]").check()
    page.settle()
    drawn = [layer.name for layer in drawing_order(backdrop.layers)]
    assert drawn == ["sky", "hills", "town", "quay", "clouds", "posts"]
    shown = page.run(
        "[...document.querySelectorAll('#sheet-names text')].map((n) => n.textContent)"
    )
    assert shown == drawn
    depth = page.run(
        "[...document.querySelectorAll('#pile .sheet')]"
        ".map((node) => parseFloat(node.style.transform.slice(11)))"
    )
    gaps = np.diff(depth)
    assert (gaps > 0).all()
    near = [max(SPEEDS[name], 1 / 64) for name in drawn]
    steps = [max(math.log2(b / a), 0) for a, b in pairwise(near)]
    least = gaps[3]  # clouds are farther than the quay that they are drawn over
    unit = (gaps[1] - least) / steps[1]
    assert unit > 0
    assert np.allclose(gaps, least + unit * np.array(steps), atol=0.2)


def test_layers_are_listed_in_drawing_order(open_page):
    """The table of layers begins with the farthest."""
    backdrop = with_layers(make_backdrop(3, full=True), ["posts", "clouds", "sky"])
    page = open_page(backdrop)
    listed = page.run("[...document.querySelectorAll('#layers input')].map((node) => node.value)")
    assert listed == ["sky", "clouds", "posts"]


def mark_path(page):
    """The path of the mark over the picture."""
    page.settle()
    return page.tab.locator("#marks .over").get_attribute("d")


def test_no_line_crosses_a_playing_picture(open_page):
    """The mark's line is there while it is pointed at or set, and never while the picture plays."""
    page = open_page(make_backdrop(3))
    assert not crosses(page)
    box = page.tab.locator("#screen").bounding_box()
    page.tab.mouse.move(box["x"] + 50, box["y"] + 50)
    assert crosses(page)
    page.tab.mouse.move(5, 5)
    assert not crosses(page)
    page.tab.locator("#mark-line").focus()
    assert crosses(page)
    page.tab.keyboard.press("ArrowUp")
    page.tab.locator("#play").focus()
    assert not crosses(page)
    assert mark_path(page) != ""
    page.run("backdropPage.play()")
    assert mark_path(page) == ""
    page.run("backdropPage.pause()")


def crosses(page):
    """Whether the mark covers more than half of its line."""
    page.settle()
    wide = page.run("document.getElementById('marks').viewBox.baseVal.width")
    return page.run("document.querySelector('#marks .over').getTotalLength()") > wide / 2


def test_nothing_merged_has_no_scale(open_page):
    """Where every pixel is as painted, there is no heat to show; where one is not, there is."""
    backdrop = changed(make_backdrop(3), curve=np.zeros((0, 2)))
    page = open_page(backdrop)
    assert page.tab.locator("#heat-field").is_hidden()
    assert page.tab.locator("#curve").is_hidden()
    assert "as painted" in text_of(page, "#merging-text")
    stored = backdrop.proof.stored.copy()
    stored[0, 0, 0] ^= 1
    assert open_page(changed(backdrop, stored=stored)).tab.locator("#heat-field").is_visible()


def test_the_curve_goes_the_way_of_its_picture(open_page):
    """Tiles rise to the right as in curve.png, with the mark at the same share of the way."""
    curve = np.array([[60, 0.0], [50, 1e-5], [40, 2e-5], [20, 1e-4], [3, 1e-2]])
    backdrop = changed(make_backdrop(3), curve=curve)
    page = open_page(backdrop)
    x, y = zip(*(point.split() for point in curve_path(page)[1:].split("L")), strict=True)
    assert list(map(float, x)) == sorted(map(float, x), reverse=True)
    assert float(y[-1]) < float(y[0])
    stored = len(backdrop.tiles.pixels)
    width = float(x[0]) - 8
    mark = float(page.tab.locator("#curve circle").get_attribute("cx"))
    assert abs((mark - 8) / width - (stored - 1) / 59) < 0.01
    picture = merging.plot(backdrop)
    column = int(np.flatnonzero((picture == merging.MARK).sum(axis=0) > 100)[0])
    whole = merging.WIDTH - merging.LEFT - merging.RIGHT
    assert abs((column - merging.LEFT) / whole - (stored - 1) / 59) < 0.01


def curve_path(page):
    return page.tab.locator("#curve .line").get_attribute("d")


def test_ratios_are_written_as_on_the_boards(open_page):
    """The mark, the bars and the boards write a ratio alike."""
    backdrop = make_backdrop(3)
    page = open_page(backdrop)
    ratio = backdrop.moves.speeds.ratio
    for line in (0, 30, 70, 150, 220):
        page.run(
            "(line) => { backdropPage.view.pinned.line = line; backdropPage.drawNow(); }", line
        )
        said = page.run(
            "[...document.querySelectorAll('#line-speeds tbody td:nth-child(2)')]"
            ".map((node) => node.textContent)"
        )
        assert said == [ratio_text(int(ratio[line, plane])) for plane in (1, 0)]


def test_the_rail_has_a_legend_and_one_band_a_split(open_page):
    """Both planes' colours and the bands are named; a split of several lines is one band."""
    full = make_backdrop(3, full=True)
    words = full.colours.splits[0].words
    splits = tuple(Split(line, 16, words) for line in (94, 95, 97))
    borders = (Border(96, 27, 94, 97, 0, 0),)
    page = open_page(changed(full, splits=splits, scripts={}, figures=Figures(splits=borders)))
    legend = text_of(page, "#rail-legend")
    for word in ("back plane", "front plane", "colours are rewritten"):
        assert word in legend
    assert page.tab.locator("#rail .split").count() == 1
    plain = open_page(make_backdrop(3))
    assert "rewritten" not in text_of(plain, "#rail-legend")


def with_sprite_layers(backdrop):
    """The backdrop with two layers of sprites: the nearest is of "near", the others of "far"."""
    placed = backdrop.sprites.placed
    speed = np.where(np.arange(len(placed.x)) == 0, 98304, 32768).astype(np.int32)
    base = dataclasses.replace(backdrop.layers[0], plane="sprites", priority=True)
    ratio = np.ones(len(base.ratio))
    layers = tuple(
        dataclasses.replace(base, name=name, ratio=ratio * part, drift=ratio * 0)
        for name, part in (("far", 0.5), ("near", 1.5))
    )
    still = dataclasses.replace(placed, ratio=speed, drift=speed * 0)
    return changed(backdrop, layers=(*backdrop.layers, *layers), placed=still)


SHEETS = """() => {
    const names = [...document.querySelectorAll("#sheet-names text")];
    const sheets = [...document.querySelectorAll("#pile canvas")];
    const shown = (canvas) => canvas.getContext("2d")
        .getImageData(0, 0, canvas.width, canvas.height).data
        .filter((byte, place) => place % 4 === 3 && byte > 0).length;
    return Object.fromEntries(sheets.map((canvas, at) => [names[at].textContent, shown(canvas)]));
}"""
"""How many pixels each sheet shows, by name."""


def test_sprites_belong_to_their_layers(open_page):
    """Each sheet holds its own layer's sprites, and a hidden layer's are gone from the picture."""
    page = open_page(with_sprite_layers(make_backdrop(3, full=True)))
    page.frame(0)
    page.tab.locator("[name=way][value=layers]").check()
    page.settle()
    both = page.run(SHEETS)
    assert both["near"] > 0
    assert both["far"] > 0
    shown = "backdropPage.readFrame()"
    before = page.pixels(shown)
    page.tab.locator("#layers input[value=near]").click()
    page.settle()
    assert page.run(SHEETS)["near"] == 0
    assert page.run(SHEETS)["far"] >= both["far"]
    assert (page.pixels(shown) != before).any()


def test_pointing_at_a_layer_of_sprites_bares_its_own(open_page):
    """The veil leaves bare as many pixels as the layer's sheet shows, and not other sprites."""
    page = open_page(with_sprite_layers(make_backdrop(3, full=True)))
    page.frame(0)
    page.tab.locator("[name=way][value=layers]").check()
    page.settle()
    own = page.run(SHEETS)["near"]
    page.tab.locator("[name=way][value=flat]").check()
    number = page.run("backdropPage.machine.about.layers.findIndex(({ name }) => name === 'near')")
    page.run("(n) => { backdropPage.view.pointed = { layer: n }; backdropPage.drawNow(); }", number)
    bare = page.run("""() => {
        const veil = document.getElementById("veil");
        const { data } = veil.getContext("2d").getImageData(0, 0, veil.width, veil.height);
        return data.filter((byte, at) => at % 4 === 3 && byte === 0).length;
    }""")
    assert bare == own > 0
