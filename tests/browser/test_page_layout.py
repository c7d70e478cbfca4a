"""Every bundled preset fits its page, from a phone to a large screen, and anyone can use it there.

One page a width shows one preset after the other, which is what the live page does.
"""

from __future__ import annotations

import dataclasses

import pytest
from sample import changed, make_backdrop

from genbg.reading.bundled import bundled_names
from genbg.write import player

WIDTHS = {360: 740, 414: 896, 768: 1024, 1280: 800, 2560: 1440}
"""Width and height of the window: two phones, a tablet, a laptop, a large screen."""
RULES = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]

LEAST_BOX_PX = 16
"""Side of a check box, that of a letter."""

FAULTS = """(least) => {
    const faults = [];
    const say = (...words) => faults.push(words.join(" "));
    const shown = (node) => node.checkVisibility({ visibilityProperty: true });
    const text = (node) => node.textContent.trim().slice(0, 30);
    const name = (node) => [node.tagName, node.id || node.value, text(node)]
        .filter(Boolean).join(" ");
    const parts = ".panel, #transport, #ways, #rail-legend, header";
    const over = document.documentElement.scrollWidth - innerWidth;
    if (over > 0) say("the page scrolls sideways by", over);
    for (const part of document.querySelectorAll(parts)) {
        const box = part.getBoundingClientRect();
        for (const node of part.querySelectorAll("*")) {
            const at = node.getBoundingClientRect();
            if (!at.width || !shown(node) || node.closest(".unseen, #sheet-marks")) continue;
            if (at.left >= box.left - 1 && at.right <= box.right + 1) continue;
            say(name(node), "leaves", name(part));
        }
    }
    for (const node of document.querySelectorAll("button, input")) {
        if (!shown(node)) continue;
        node.scrollIntoView({ block: "center" });
        const at = node.getBoundingClientRect();
        const squeezed = at.width < least || Math.abs(at.width - at.height) > 0.5;
        if (node.type === "checkbox" && squeezed) say(name(node), "is squeezed");
        const top = document.elementFromPoint(at.left + at.width / 2, at.top + at.height / 2);
        const own = node.closest("label") ?? node;
        if (!own.contains(top)) say(name(node), "lies under", top ? name(top) : "nothing");
    }
    scrollTo(0, 0);
    return faults;
}"""
"""What is wrong with where things stand."""

NAMES = """() => {
    const inside = (one, other) => one.left >= other.left - 1 && one.right <= other.right + 1
        && one.top >= other.top - 1 && one.bottom <= other.bottom + 1;
    const apart = (one, other) => one.right <= other.left || one.left >= other.right
        || one.bottom <= other.top || one.top >= other.bottom;
    const box = document.getElementById("picture").getBoundingClientRect();
    const rects = (what) => [...document.querySelectorAll(what)]
        .map((node) => node.getBoundingClientRect());
    const sheets = rects("#pile .sheet");
    const names = rects("#sheet-names text");
    const listed = document.querySelectorAll("#sheet-list:not([hidden]) li").length;
    const faults = [];
    if (names.length + listed !== sheets.length) faults.push("sheets without a name");
    if (!names.every((one) => inside(one, box))) faults.push("a name leaves the picture");
    if (!sheets.every((one) => inside(one, box))) faults.push("a sheet leaves the picture");
    const clear = (one) => sheets.every((other) => apart(one, other));
    if (!names.every(clear)) faults.push("a name covers a sheet");
    return faults;
}"""


@pytest.fixture(scope="session")
def shown_data(backdrops):
    """What the page shows, by preset; the last is one of numbers, with everything in it."""
    found = {name: player.page_data(backdrops(name)) for name in bundled_names()}
    long = "the keeper's boat-house and its lanterns"
    rich = make_backdrop(3, full=True)
    layers = (*rich.layers, dataclasses.replace(rich.layers[0], name=long, plane="front"))
    return found | {
        "all of it": player.page_data(changed(rich, layers=layers, stored=rich.proof.stored ^ 1))
    }


@pytest.fixture
def sized_page(open_page, backdrops):
    """Opens a page in a window so wide."""

    def open_sized(width, **options):
        viewport = {"width": width, "height": WIDTHS[width]}
        return open_page(backdrops(bundled_names()[0]), viewport=viewport, **options)

    return open_sized


def show(page, data, way="flat"):
    """Put another backdrop on the page, and look at it in one way."""
    page.run(
        "([data, way]) => { backdropPage.load(data);"
        " document.querySelector(`[name=way][value=${way}]`).click(); }",
        [data, way],
    )
    page.settle()


@pytest.mark.parametrize("width", WIDTHS)
def test_everything_has_its_place(width, sized_page, shown_data):
    """Nothing leaves its panel or lies under something else, no box is squeezed, and the page never
    scrolls sideways; pulled apart, sheets and names stay clear of one another."""
    page, faults = sized_page(width), {}
    for name, data in shown_data.items():
        found = []
        for way in ("planes", "layers"):  # what is there in the flat view is there in these, too
            show(page, data, way)
            found += [f"{way}: {fault}" for fault in page.run(NAMES)]
        found += page.run(FAULTS, LEAST_BOX_PX)
        faults |= {name: found} if found else {}
    assert faults == {}
    assert page.faults == []


@pytest.mark.parametrize("width", WIDTHS)
def test_no_rule_is_broken_by_any_preset(width, axe_source, sized_page, shown_data):
    """axe-core finds no violation of WCAG 2.2 AA or of good practice on any preset's page."""
    scheme = ("light", "dark")[list(WIDTHS).index(width) % 2]
    page, told = sized_page(width, color_scheme=scheme), []
    page.run(axe_source + "; 0")
    for name, data in shown_data.items():
        show(page, data)
        found = page.run("(tags) => axe.run({ runOnly: tags, resultTypes: ['violations'] })", RULES)
        told += [
            f"{name}: {one['id']}: {node['html'][:120]} {node['failureSummary']}"
            for one in found["violations"]
            for node in one["nodes"]
        ]
    assert told == []
    assert len(found["passes"]) > 20
