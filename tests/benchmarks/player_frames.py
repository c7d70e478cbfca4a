"""How long the player page takes for a frame, in headless Chromium.

    python tests/benchmarks/player_frames.py [PRESET]...

Prints, for each bundled preset, the median and the slowest twentieth of 600 frames drawn from the
machine's bytes, the same while the picture is pulled apart, and beside them what the browser takes
to put a ready picture of that size on the canvas. Ends with 1 where a median is over 4 ms.
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

import genbg
from genbg.reading.bundled import bundled_names
from genbg.write import player

LIMIT_MS = 4.0
FRAMES = 600
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--disable-background-networking"]

TIMES = """([frames, way]) => {
    const { view } = backdropPage;
    view.way = way;
    document.querySelector(`[name=way][value=${way}]`).click();
    const pen = document.getElementById("screen").getContext("2d");
    const ready = pen.getImageData(0, 0, backdropPage.machine.width, backdropPage.machine.lines);
    const times = [[], []];
    for (let frame = 0; frame < frames; frame += 1) {
        view.frame = frame;
        view.camera = frame * backdropPage.machine.step;
        const began = performance.now();
        backdropPage.drawPicture();
        pen.getImageData(0, 0, 1, 1);
        const drawn = performance.now();
        // the browser's clock goes in steps of a tenth of a millisecond
        for (let again = 0; again < 20; again += 1) {
            pen.putImageData(ready, 0, 0);
            pen.getImageData(0, 0, 1, 1);
        }
        times[0].push(drawn - began);
        times[1].push((performance.now() - drawn) / 20);
    }
    return times.map((some) => some.sort((one, other) => one - other));
}"""


def measure(browser, name, folder):
    """Print a preset's line; return the median milliseconds of a flat frame."""
    path = folder / f"{name}.html"
    path.write_bytes(next(player.files(genbg.build(genbg.load_preset(name))))[1])
    context = browser.new_context(reduced_motion="reduce", viewport={"width": 1280, "height": 800})
    tab = context.new_page()
    tab.goto(path.as_uri())
    flat, ready = tab.evaluate(TIMES, [FRAMES, "flat"])
    apart, _ = tab.evaluate(TIMES, [FRAMES // 4, "layers"])
    context.close()
    middle, late = flat[len(flat) // 2], flat[len(flat) * 19 // 20]
    print(
        f"{name}: {middle:.2f} ms a frame ({late:.2f} the slowest twentieth), layers apart "
        f"{apart[len(apart) // 2]:.2f} ms; a ready picture takes {ready[len(ready) // 2]:.3f} ms"
    )
    return middle


def main() -> int:
    program = os.environ.get("GENBG_CHROMIUM") or shutil.which("chromium")
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=program, args=FLAGS)
        names = sys.argv[1:] or bundled_names()
        slowest = max(measure(browser, name, Path(folder)) for name in names)
        browser.close()
    return int(slowest > LIMIT_MS)


if __name__ == "__main__":
    sys.exit(main())
