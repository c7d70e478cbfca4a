"""How soon a save is on the screen: `genbg live` and headless Chromium.

    python tests/benchmarks/live.py [PRESET]...

Copies each bundled preset (or those named), changes one number of one layer at a time, and takes
the time from the file's save to the new picture drawn in the page, and until the finished backdrop
is. Prints the median of each preset; ends with 1 where the median over all saves is above
`WANTED_MS`. The page's clock is this machine's. Says how busy the machine was, too: the time is
that of a person's machine only where little else runs.
"""

from __future__ import annotations

import os
import re
import shutil
import signal
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from playwright.sync_api import Page, sync_playwright

from genbg.errors import PresetError
from genbg.live.controls import control_groups
from genbg.live.rewrite import rewrite
from genbg.reading import bundled_names, load_preset
from genbg.reading.bundled import find_bundled

WANTED_MS = 250
SAVES = 6
DRAWN = "() => window.backdropPage?.live?.drawn"
NEWER = "(number) => backdropPage.live.drawn.number > number"
FINISHED = "() => !backdropPage.live.drawn.sketch"


def edits(path: Path) -> Iterator[str]:
    """Yield the preset's text with one more number of a layer changed each time."""
    groups = [group for group in control_groups(load_preset(path)) if "layer " in group["name"]]
    for number in range(SAVES * 4):
        controls = [
            control
            for control in groups[number % len(groups)]["controls"]
            if control["kind"] == "float" and isinstance(control["value"], float)
        ]
        control = controls[number // len(groups) % len(controls)]
        value = nudged(control)
        try:
            yield rewrite(path.read_text("utf-8"), {control["path"]: value}, path.parent)
        except PresetError:
            continue


def nudged(control: dict[str, Any]) -> float:
    """A value near a control's own, within its range."""
    low, high, value = control["low"], control["high"], control["value"]
    step = 0.05 * max(abs(value), 0.1)
    return round(value + step if value + step <= high else max(low, value - step), 4)


def measure(tab: Page, path: Path) -> list[tuple[float, float]]:
    """Milliseconds to the first look and to the finished backdrop, of each save."""
    found: list[tuple[float, float]] = []
    for text in edits(path):
        tab.wait_for_function(FINISHED, timeout=60_000)
        number = tab.evaluate(DRAWN)["number"]
        began = time.time() * 1000
        path.write_text(text, "utf-8")
        tab.wait_for_function(NEWER, arg=number, timeout=60_000)
        first = tab.evaluate(DRAWN)["at"] - began
        tab.wait_for_function(FINISHED, timeout=60_000)
        found.append((first, tab.evaluate(DRAWN)["at"] - began))
        if len(found) == SAVES:
            break
    return found


def measure_preset(tab: Page, name: str, folder: Path) -> list[float]:
    """Print a preset's line; the times to its first looks."""
    path = folder / f"{name}.toml"
    shutil.copyfile(find_bundled(name), path)
    command = [sys.executable, "-m", "genbg.cli", "live", str(path), "--no-browser"]
    process = subprocess.Popen(
        command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True
    )
    try:
        address = re.search(r"http://\S+", process.stdout.readline().split(";")[0])[0]
        tab.goto(address)
        tab.wait_for_function(DRAWN)
        found = measure(tab, path)
    finally:
        process.send_signal(signal.SIGINT)
        process.wait(30)
    first, last = (statistics.median(times) for times in zip(*found, strict=True))
    print(f"{name:<20} first look {first:6.0f} ms   finished {last:6.0f} ms", flush=True)
    return [one for one, _ in found]


def main() -> int:
    """Measure all presets; 1 where the median is above what is wanted."""
    names = sys.argv[1:] or bundled_names()
    program = os.environ.get("GENBG_CHROMIUM") or shutil.which("chromium")
    times: list[float] = []
    with sync_playwright() as driver, tempfile.TemporaryDirectory() as folder:
        flags = ["--no-sandbox", "--disable-gpu"]
        browser = driver.chromium.launch(executable_path=program, args=flags)
        context = browser.new_context(reduced_motion="reduce")
        tab = context.new_page()
        for name in names:
            times += measure_preset(tab, name, Path(folder))
        browser.close()
    median = statistics.median(times)
    busy = os.getloadavg()[0] / (os.cpu_count() or 1)
    print(f"median of {len(times)} saves: {median:.0f} ms; {WANTED_MS} ms wanted")
    print(f"processes that wanted a core, on average of the last minute: {busy:.1f} a core")
    return int(median > WANTED_MS)


if __name__ == "__main__":
    sys.exit(main())
