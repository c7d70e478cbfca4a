"""What a person can do with the page, by keyboard, pointer and touch."""

from __future__ import annotations

import base64
import dataclasses

import numpy as np
import pytest
from sample import changed, make_backdrop

from genbg.images import read_animation
from genbg.model import BACK, FRONT, Figures, Flashes
from genbg.reading.bundled import bundled_names
from genbg.screen.display import draw_frame, load_screen, plane_codes
from genbg.write import player

NAME = bundled_names()[0]
FOCUSABLE = """() => [...document.querySelectorAll('button, input, [tabindex]')]
    .filter((node) => node.tabIndex >= 0 && node.checkVisibility({ visibilityProperty: true }))
    .map((node) => node.id || node.value || node.tagName)"""
CONTROLS = (
    ("#play", "Enter", "view.playing"),
    ("#play", "Space", "view.playing"),
    ("#frame-on", "Enter", "view.frame"),
    ("#frame-back", "Space", "view.frame"),
    ("#speed", "ArrowLeft", "view.speed"),
    ("#speed", "Home", "view.speed"),
    ("#camera", "ArrowRight", "view.camera"),
    ("#camera", "PageUp", "view.camera"),
    ("#height", "ArrowRight", "view.lift"),
    ("[name=mood]:checked", "ArrowRight", "view.mood"),
    ("[name=way]:checked", "ArrowRight", "view.way"),
    ("#show-back", "Space", "view.show.back"),
    ("#show-front", "Space", "view.show.front"),
    ("#show-sprites", "Space", "view.show.sprites"),
    ("#layers input", "Space", "view.hidden.size"),
    ("#layers button", "Enter", "view.hidden.size"),
    ("#mark-line", "ArrowUp", "view.pinned.line"),
    ("#mark-column", "ArrowDown", "view.pinned.x"),
    ("#pattern", "ArrowRight", "view.pattern"),
    ("#pattern-keep", "Space", "view.keepPattern"),
    ("#heat", "Space", "view.heat"),
)
"""Controls, a key, and what of the page's state it changes."""
APART = (("#gap", "ArrowRight", "view.gap"), ("#turn", "ArrowLeft", "view.turn"))
"""Controls that are there while the picture is pulled apart."""


@pytest.fixture
def page(open_page):
    """The page of a backdrop of random numbers, which has everything; two layers that share it."""
    backdrop = make_backdrop(3, full=True)
    other = dataclasses.replace(backdrop.layers[0], name="shore", plane="front")
    layers = (*backdrop.layers, other)
    return open_page(changed(backdrop, layers=layers, stored=backdrop.proof.stored ^ 1))


def press(page, selector, key):
    """Put the focus on a control and press a key."""
    page.tab.locator(selector).first.focus()
    page.tab.keyboard.press(key)
    page.settle()


def state(page, what):
    return page.run(f"backdropPage.{what}")


@pytest.mark.parametrize(("selector", "key", "what"), CONTROLS)
def test_every_control_works_by_keyboard(page, selector, key, what):
    """A key pressed on a control that has the focus changes what it is for."""
    before = state(page, what)
    press(page, selector, key)
    assert state(page, what) != before
    assert page.faults == []


@pytest.mark.parametrize(("selector", "key", "what"), APART)
def test_sheets_are_turned_by_keyboard(page, selector, key, what):
    """Gap and turn are there while the picture is pulled apart."""
    press(page, "[name=way]:checked", "ArrowRight")
    before = state(page, what)
    press(page, selector, key)
    assert state(page, what) != before


def test_all_controls_are_known_to_the_tests(page):
    """No control of the page is missing in the lists above, and each can be reached."""
    press(page, "[name=way]:checked", "ArrowRight")
    listed = {selector for selector, _, _ in (*CONTROLS, *APART)} | {
        "#restart", "#save", "#colours [tabindex='0']", "#layers input", "#layers button",
        "[name=mood]", "[name=way]",
    }  # fmt: skip
    found = page.run("() => [...document.querySelectorAll('button, input, [tabindex]')].length")
    known = page.run(
        "(all) => new Set(all.flatMap((one) => [...document.querySelectorAll(one)])).size",
        [*listed, "#colours [tabindex='-1']"],
    )
    assert found == known


def test_tab_reaches_every_control(page):
    """Going on by Tab alone, the focus comes to every control and out again."""
    wanted = set(page.run(FOCUSABLE))
    page.run("() => document.activeElement.blur()")
    seen = set()
    for _ in range(120):
        page.tab.keyboard.press("Tab")
        at = page.run(
            "() => { const node = document.activeElement;"
            " return node === document.body ? null : node.id || node.value || node.tagName }"
        )
        if at is None:
            break
        seen.add(at)
    radios = {"planes", "layers", "dusk", "dawn"}  # one of a group has the focus
    assert seen >= wanted - radios


def test_colours_are_walked_by_arrow_keys(page):
    """In the 64 colours the arrow keys move the focus, and the colour's pixels are left bare."""
    page.tab.locator("#colours [tabindex='0']").focus()
    for key in ("ArrowRight", "ArrowDown", "End", "Home", "ArrowUp", "ArrowLeft", "ArrowUp"):
        page.tab.keyboard.press(key)
    page.settle()
    assert state(page, "view.pointed") == {"entry": 0}
    page.tab.keyboard.press("ArrowRight")
    assert state(page, "view.pointed") == {"entry": 1}


def test_restart_goes_to_the_first_frame(page):
    """From anywhere, the start is the preview's first frame again."""
    first = page.frame(0)
    page.run("() => Object.assign(backdropPage.view, { camera: 999999, frame: 77, lift: 65536 })")
    press(page, "#restart", "Enter")
    assert (page.pixels() == first).all()


def test_pulling_moves_the_camera_and_pressing_pins_the_mark(page):
    """A pull of n pixels to the left moves the camera n to the right, at the size shown."""
    box = page.tab.locator("#screen").bounding_box()
    scale = state(page, "view.scale")
    x, y = box["x"] + 100 * scale, box["y"] + 50 * scale
    page.tab.mouse.move(x + 1, y + 1)
    page.tab.mouse.down()
    page.tab.mouse.move(x + 1 - 30 * scale, y + 1, steps=4)
    page.tab.mouse.up()
    assert state(page, "view.camera") == 30 * 65536
    page.tab.mouse.move(x + 1, y + 1)
    page.tab.mouse.down()
    page.tab.mouse.up()
    assert state(page, "view.pinned") == {"x": 100, "line": 50, "byHand": True}


def test_touch_moves_the_camera(open_page):
    """A finger that slides sideways moves the camera as the mouse does."""
    page = open_page(make_backdrop(3), has_touch=True, viewport={"width": 360, "height": 740})
    page.tab.locator("#picture").evaluate("""(node) => {
        const box = node.getBoundingClientRect();
        const send = (kind, x) => node.dispatchEvent(new PointerEvent(kind, {
            pointerType: "touch", pointerId: 7, button: 0, bubbles: true,
            clientX: box.left + x, clientY: box.top + 60 }));
        node.setPointerCapture = () => {};
        send("pointerdown", 200); send("pointermove", 190); send("pointermove", 150);
        send("pointerup", 150);
    }""")
    assert state(page, "view.camera") == round(50 / state(page, "view.scale")) * 65536


def test_it_plays_by_the_clock(open_page):
    """Playing, frames pass as the console's clock counts them, whatever the browser does."""
    page = open_page(make_backdrop(3), reduced_motion="no-preference")
    assert state(page, "view.playing")
    times = page.run("""() => new Promise((done) => {
        const { view } = backdropPage;
        let first = null;
        const look = (now) => {
            first ??= { now, frame: view.frame };
            if (now - first.now < 1500) return requestAnimationFrame(look);
            return done([now - first.now, view.frame - first.frame]);
        };
        requestAnimationFrame(look);
    })""")
    due = times[0] * float(make_backdrop(3).machine.fps) / 1000
    # ticks of a busy machine come late, and one longer than a quarter second is cut
    assert 0.5 * due < times[1] <= due * 1.1 + 2


@pytest.mark.parametrize(("general", "red"), [(0, 0), (3, 3), (4, 0), (0, 9)])
@pytest.mark.parametrize("motion", ["reduce", "no-preference"])
def test_it_starts_paused_where_motion_may_harm(general, red, motion, open_page):
    """It starts still for who asks for less motion, and where more than three flashes a second are
    counted, which it says (WCAG 2.2, success criterion 2.3.1)."""
    figures = Figures(flashes=Flashes(general, red))
    page = open_page(changed(make_backdrop(3), figures=figures), reduced_motion=motion)
    harms = max(general, red) > 3
    assert state(page, "view.playing") == (motion == "no-preference" and not harms)
    caution = page.tab.locator("#caution")
    assert caution.is_visible() == harms
    assert not harms or f"{max(general, red)} times" in caution.inner_text()


def test_the_saved_picture_is_the_frame(page, tmp_path):
    """The PNG that is saved holds the frame shown, a pixel for a pixel."""
    shown = page.frame(2)
    with page.tab.expect_download() as download:
        page.tab.locator("#save").click()
    path = tmp_path / "saved.png"
    download.value.save_as(path)
    [(saved, _)] = read_animation(path.read_bytes(), (320, 224), 1)
    assert (saved == shown).all()


@pytest.mark.parametrize(("shown", "emptied"), [("#show-front", FRONT), ("#show-back", BACK)])
def test_a_hidden_plane_is_as_if_it_were_empty(shown, emptied, open_page):
    """Hiding a plane shows what the machine shows of a plane of see-through cells."""
    backdrop = make_backdrop(4)
    page = open_page(backdrop)
    page.tab.locator(shown).click()
    blank = np.zeros((1, 8, 8), np.uint8)
    maps = backdrop.maps.copy()
    maps[emptied] = len(backdrop.tiles.pixels)
    tiles = np.concatenate([backdrop.tiles.pixels, blank])
    bare = changed(backdrop, pixels=tiles, maps=maps)
    entries = draw_frame(load_screen(bare), 3)
    assert (page.frame(3) == colours_of(bare, entries)).all()


def colours_of(backdrop, entries):
    """Screen colours (L, width, 4) of entries under the backdrop's palette alone."""
    words = backdrop.palette[entries].astype(int)
    levels = np.array(backdrop.machine.levels)
    channels = [levels[words >> shift & 7] for shift in (1, 5, 9)]
    return np.stack([*channels, np.full(entries.shape, 255)], axis=-1)


def test_a_hidden_layer_leaves_a_hole_of_its_own_pixels(backdrops, open_page):
    """Hiding a layer changes no pixel but its own, as the owners of the pixels say."""
    backdrop = backdrops(NAME)
    page = open_page(backdrop)
    number = next(n for n, layer in enumerate(backdrop.layers) if layer.plane == "front")
    before = page.frame(0)
    page.tab.locator(f"#layers input[value={backdrop.layers[number].name}]").click()
    page.settle()
    changed = (page.pixels() != before).any(axis=-1)
    owners = player.layer_owners(backdrop)[FRONT]
    own = moved(backdrop, owners, FRONT) == number
    assert changed.any()
    assert not (changed & ~own).any()


def moved(backdrop, plane_bytes, plane):
    """What a plane of bytes holds at every pixel of the screen in frame 0 (camera at 0)."""
    scroll = backdrop.preview.scroll[0, :, plane].astype(int)
    width, lines = backdrop.machine.screen
    x = (np.arange(width)[None] - scroll[:, None]) % plane_bytes.shape[1]
    return plane_bytes[np.arange(lines)[:, None], x]


def has_changes(backdrop):
    """Whether merging changed any pixel."""
    return bool((backdrop.proof.painted != backdrop.proof.stored).any())


def test_the_heat_lies_where_merging_changed_pixels(backdrops, open_page):
    """The veil shows a level where the plane that is seen there differs, and the veil elsewhere."""
    name = next(n for n in bundled_names() if has_changes(backdrops(n)))
    backdrop = backdrops(name)
    page = open_page(backdrop)
    page.frame(0)
    page.tab.locator("#heat").click()
    page.settle()
    shown = page.run("""() => {
        const veil = document.getElementById("veil");
        const { data } = veil.getContext("2d").getImageData(0, 0, veil.width, veil.height);
        return Array.from(data).filter((_, at) => at % 4 === 3).map((alpha) => alpha === 255);
    }""")
    hot = np.array(shown).reshape(backdrop.machine.screen[1], -1)
    differs = backdrop.proof.painted != backdrop.proof.stored
    front, back = (moved(backdrop, differs[plane], plane) for plane in (FRONT, BACK))
    assert hot.any()
    assert not (hot & ~(front | back)).any()


def test_pointing_at_a_tile_marks_its_cells(backdrops, open_page):
    """With a tile marked, the pixels left bare are those of its cells that are seen."""
    backdrop = backdrops(NAME)
    page = open_page(backdrop)
    page.frame(0)
    codes = [
        moved(backdrop, plane_codes(backdrop.tiles.pixels, words, plane, 0), plane)
        for plane, words in ((FRONT, backdrop.maps[0]), (BACK, backdrop.maps[1]))
    ]
    y, x = np.argwhere((codes[FRONT] == 0) & (codes[BACK] > 0))[0].tolist()
    column = (x - int(backdrop.preview.scroll[0, y, BACK])) % backdrop.machine.plane_px[0] // 8
    number = int(backdrop.maps[1][y // 8, column]) & 0x7FF
    page.run(
        "(n) => Object.assign(backdropPage.view, { pattern: n, keepPattern: true, pointed: null })",
        number,
    )
    page.run("() => backdropPage.drawNow()")
    bare = np.array(
        page.run("""() => {
        const veil = document.getElementById("veil");
        const { data } = veil.getContext("2d").getImageData(0, 0, veil.width, veil.height);
        return Array.from(data).filter((_, at) => at % 4 === 3).map((alpha) => alpha === 0);
    }""")
    ).reshape(backdrop.machine.screen[1], -1)
    cells = [
        (words & 0x7FF == number).repeat(8, axis=0).repeat(8, axis=1)
        for words in (backdrop.maps[0], backdrop.maps[1])
    ]
    front, back = (moved(backdrop, cells[plane], plane) for plane in (FRONT, BACK))
    assert bare[y, x]
    assert not (bare & ~(front | back)).any()


def test_the_mark_says_what_stands_there(backdrops, open_page):
    """The tile under the mark is chosen in the sheet, and its line's speed is told."""
    backdrop = backdrops(NAME)
    page = open_page(backdrop)
    page.frame(0)
    page.run("() => { backdropPage.view.pinned = { x: 9, line: 20 }; backdropPage.drawNow(); }")
    text = page.tab.locator("#mark-text").inner_text()
    maps = {"front": backdrop.maps[0], "back": backdrop.maps[1]}
    plane = "front" if "on the front plane" in text else "back"
    scroll = backdrop.preview.scroll[0, 20, 0 if plane == "front" else 1]
    column = (9 - int(scroll)) % (backdrop.machine.plane_cells[0] * 8) // 8
    number = int(maps[plane][20 // 8, column]) & 0x7FF
    assert f"pattern {number}" in text
    assert state(page, "view.pattern") == number


def test_another_backdrop_keeps_camera_and_view(open_page):
    """Loading other data leaves camera, mood, mark and hidden layers as they were."""
    backdrop, other = make_backdrop(3, full=True), make_backdrop(8, full=True)
    page = open_page(backdrop)
    page.tab.locator("[name=mood][value=dusk]").check()
    page.tab.locator("#layers input").first.click()
    page.run("() => Object.assign(backdropPage.view, { camera: 123 * 65536, frame: 9 })")
    page.run("(data) => backdropPage.load(data)", player.page_data(other))
    page.settle()
    assert state(page, "view.camera") == 123 * 65536
    assert state(page, "view.mood") == "dusk"
    assert state(page, "view.hidden.size") == 1
    assert page.faults == []
    page.tab.locator("#layers input").first.click()
    page.tab.locator("[name=mood][value=home]").check()
    fresh = open_page(other)
    assert (page.frame(1) == fresh.frame(1)).all()


def test_bytes_in_the_page_are_read_back(page):
    """The hook for programs gives a whole picture."""
    data = base64.b64decode(page.run("backdropPage.readFrame()"))
    assert len(data) == 320 * 224 * 4
