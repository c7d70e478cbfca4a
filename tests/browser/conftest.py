"""A real browser, headless, and the player page of every bundled preset in it.

Chromium is found by the environment variable GENBG_CHROMIUM or on the path. axe-core is looked for
in the folder that AXE_HOME names, else in node_modules of the checkout: `npm install --no-save
axe-core`.
"""

from __future__ import annotations

import base64
import os
from pathlib import Path

import numpy as np
import pytest

import genbg
from genbg.write import player

ROOT = Path(__file__).parents[2]

FLAGS = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
"""No sandbox, as CI runs as root; the rest keeps the browser itself from asking the network."""


@pytest.fixture(scope="session")
def browser(need):
    """Headless Chromium."""
    playwright = need.module("playwright.sync_api")
    cure = "apt-get install chromium, or set GENBG_CHROMIUM to its path"
    program = need.tool(os.environ.get("GENBG_CHROMIUM", "chromium"), cure)
    with playwright.sync_playwright() as driver:
        started = driver.chromium.launch(executable_path=program, args=list(FLAGS))
        yield started
        started.close()


@pytest.fixture(scope="session")
def axe_source(need):
    """The accessibility rules as a program."""
    home = Path(os.environ.get("AXE_HOME", ROOT))
    path = home / "node_modules" / "axe-core" / "axe.min.js"
    cure = "npm install --no-save axe-core, and set AXE_HOME to the folder of node_modules"
    return need.file(path, cure).read_text("utf-8")


@pytest.fixture(scope="session")
def backdrops():
    """Bundled backdrops by name, each built when it is first asked for."""
    built = {}

    def build(name):
        if name not in built:
            built[name] = genbg.build(genbg.load_preset(name))
        return built[name]

    return build


class Page:
    """A player page in the browser, and what it did that it should not.

    tab: playwright's page; requests: addresses asked for; faults: messages and errors
    """

    def __init__(self, tab, path):
        self.tab, self.path = tab, path
        self.requests: list[str] = []
        self.faults: list[str] = []
        tab.on("request", lambda request: self.requests.append(request.url))
        tab.on("console", lambda message: self.faults.append(message.text))
        tab.on("pageerror", lambda error: self.faults.append(str(error)))
        tab.goto(path.as_uri())
        tab.wait_for_function("window.backdropPage !== undefined")

    def run(self, program, value=None):
        """The value of a JavaScript function or expression."""
        return self.tab.evaluate(program, value)

    def settle(self):
        """Wait until what was asked for has been drawn."""
        self.run("() => new Promise((done) => requestAnimationFrame(() => setTimeout(done, 20)))")

    def pixels(self, program="backdropPage.readFrame()", value=None):
        """A picture that the page returns as base64, (L, width, 4) uint8."""
        data = base64.b64decode(self.run(program, value))
        width, lines = self.run("[backdropPage.machine.width, backdropPage.machine.lines]")
        return np.frombuffer(data, dtype=np.uint8).reshape(lines, width, 4)

    def frame(self, number):
        """A preview frame as the page draws it."""
        return self.pixels("(n) => (backdropPage.drawFrame(n), backdropPage.readFrame())", number)


@pytest.fixture
def open_page(browser, tmp_path):
    """Opens the page of a backdrop; options go to the browser's context."""
    contexts = []

    def open_one(backdrop, **options):
        usual = {"reduced_motion": "reduce", "viewport": {"width": 1280, "height": 800}}
        context = browser.new_context(**{**usual, **options})
        contexts.append(context)
        path = tmp_path / f"page-{len(contexts)}.html"
        path.write_bytes(next(player.files(backdrop))[1])
        return Page(context.new_page(), path)

    yield open_one
    for context in contexts:
        context.close()
